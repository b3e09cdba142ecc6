"""Why: the chain behind a conclusion, or behind a sore place; and why a conclusion was not drawn.

In: a kept visit, judged by today's rules. Out: /visits/{visit}/why/{conclusion}, /why-here, /why-not.
Not here: finding the reasons (explanation, questions.why_not), the steps inside steps (page.chain).
"""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Query
from fastapi.responses import HTMLResponse

from reasoner.explanation.why import why_of
from reasoner.page.chain import node_of
from reasoner.page.looking import NOT_THERE, Looked, Side, Uid, looked_at
from reasoner.page.pages import page
from reasoner.page.rows import parts_of
from reasoner.page.served import Serving
from reasoner.page.who import Keeper
from reasoner.questions.why_not import why_not
from reasoner.rendering import phrases, wording
from reasoner.rendering.why_not_text import why_not_lines
from reasoner.rendering.why_text import WHY_HERE, concerns_here, place_head

router = APIRouter()
Name = Annotated[str, Path(pattern="^[a-z0-9_]{1,80}$")]


@router.get("/visits/{visit}/why/{conclusion}", response_class=HTMLResponse)
def why(who: Keeper, served: Serving, visit: Uid, conclusion: Name, side: Side = "") -> HTMLResponse:
    """What speaks for and against one conclusion, each step opening to its rule, what that rests on and the finding."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
    concluded = looked.own.explanation.concluded
    if (conclusion, side) not in concluded:
        raise NOT_THERE
    node = node_of(looked.own, (conclusion, side))
    return page(
        "why.html", **_head(who, looked), title=node.words, nodes=[("", "", node)], top=[], others=[], concerns=[]
    )


@router.get("/visits/{visit}/why-here", response_class=HTMLResponse)
def why_here(
    who: Keeper, served: Serving, visit: Uid, place: Annotated[str, Query(pattern="^[a-z0-9_]{1,80}$")], side: Side = ""
) -> HTMLResponse:
    """Why it is sore at one place: every conclusion that accounts for it, directly or through a chain."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
    answer, places = looked.own, served.ready.book.vocabulary.places
    if place not in places or (places[place].sides == "midline") != (side == ""):
        raise NOT_THERE
    found = why_of(answer.explanation, answer.record, answer.facts, answer.visit, places[place], side)
    nodes = []
    for number, reason in enumerate(found.reasons):
        before = "behind that" if len(reason.path) > 1 else "also possible" if number else ""
        by_way = [wording.conclusion_words(answer.explanation, *key) for key in reason.path[1:]]
        nodes.append(
            (
                before,
                " → ".join(map(phrases.clause, by_way)),
                node_of(answer, (reason.concluded.key, reason.concluded.side)),
            )
        )
    others = [c for c in found.others if c.upper_band not in ("none", "against")]
    head, *more = place_head(found, answer)
    return page(
        "why.html", **_head(who, looked), title=phrases.sentence(head.text.removeprefix(WHY_HERE)),
        top=[line.text for line in more], nodes=nodes,
        others=[(c.key, c.side, c.words, phrases.pointers(c.upper_band)) for c in others],
        concerns=[line.text for line in concerns_here(found, answer)],
    )  # fmt: skip


@router.get("/visits/{visit}/why-not", response_class=HTMLResponse)
def not_drawn(
    who: Keeper, served: Serving, visit: Uid,
    conclusion: Annotated[str, Query(pattern="^([a-z0-9_]{1,80}(/(left|right)?)?)?$")] = "",
) -> HTMLResponse:  # fmt: skip
    """Why a conclusion was not drawn: the least that kept each of its rules silent. Without one, a list to choose from."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
    answer, concluded = looked.own, looked.own.explanation.concluded
    key, _, side = conclusion.partition("/")
    if conclusion and (key, side) not in concluded:
        raise NOT_THERE
    parts = parts_of(why_not_lines(why_not(answer, (key, side)), answer, full=True)) if conclusion else []
    choices = sorted((one.words, f"{one.key}/{one.side}") for one in concluded.values() if not one.certainty > 0)
    return page(
        "why_not.html", **_head(who, looked), parts=parts, choices=choices, chosen=f"{key}/{side}" if key else ""
    )


def _head(who: Keeper, looked: Looked) -> dict[str, Any]:
    return {
        "who": who, "visit": looked.known, "day": phrases.day(looked.known.day),
        "not_a_probability": phrases.NOT_A_PROBABILITY, "nothing_here": phrases.NO_REASON_HERE,
    }  # fmt: skip
