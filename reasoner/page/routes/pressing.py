"""A hand on a floor scale, logged from the telephone: how near to the aim, how steady, does it drift.

In: what was typed. Out: /press, and the log as the table that `reasoner press` reads.
Not here: keeping (page.pushes), working out (teaching.press), words and picture (rendering).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Annotated, Literal, cast

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import URL

from reasoner.page.looking import NOT_THERE
from reasoner.page.pages import page
from reasoner.page.pictures import inside
from reasoner.page.pushes import Pushed, keep, names_kept, pushes_of, take_back
from reasoner.page.rows import parts_of, rows_of
from reasoner.page.served import Served, Serving
from reasoner.page.signing_as import name_of
from reasoner.page.who import Keeper, Who
from reasoner.problems import BadInput, Problem, register
from reasoner.rendering import phrases
from reasoner.rendering.press_picture import press_picture
from reasoner.rendering.press_text import NAMES, kg, press_lines
from reasoner.rendering.text_page import Line
from reasoner.rulebook.measures.press import PressTable
from reasoner.teaching.press import HANDS, practice_of
from reasoner.teaching.press_log import aim_of, as_csv, some, typed

register({"PG66": "a push without the name of a hand"})

router = APIRouter()
Name = Annotated[str, Query(max_length=200)]
Typed = Annotated[str, Form(max_length=400)]
_COMMA = re.compile(r"(?<=\d),(?=\d)")
Hand = Literal["left", "right", "both"]


@router.get("/press", response_class=HTMLResponse)
def pressing(
    who: Keeper, served: Serving, name: Name = "", aim: Annotated[float | None, Query(gt=0)] = None,
    hand: Hand = "both", days: Literal["last", "all"] = "last",
) -> HTMLResponse:  # fmt: skip
    """One person's pushes at one aim: a form for the next, the picture, the figures."""
    return _shown(who, served, name_of(who, served, name), aim, hand, days)


def _shown(
    who: Who, served: Served, name: str, aim: float | None, hand: Hand, days: str = "last", *,
    problems: Sequence[Problem] = (), typed_aim: str = "", reading: str = "",
) -> HTMLResponse:  # fmt: skip
    """The page; where a push could not be kept with why, and what was typed to be mended."""
    every = pushes_of(served.store.place, name) if name else ()
    aims = sorted({one.aim_kg for one in every})
    aim = aim if aim is not None else every[-1].aim_kg if every else None
    at_aim = [one for one in every if one.aim_kg == aim]
    shown = [one for one in at_aim if days == "all" or one.day == at_aim[-1].day]
    book, table = served.ready.book, _table(served)
    lines: list[Line] = []
    picture = ""
    if shown and aim is not None:
        practice = practice_of([one.push for one in shown], aim, table)
        lines, picture = (
            list(press_lines(practice, book, table)),
            press_picture(practice, " ".join(table.cautions.lines[:2])),
        )
    cautions = [Line(said, "body" if number else "alarm") for number, said in enumerate(table.cautions.lines[:2])]
    return page(
        "press.html", 422 if problems else 200, problems=problems, reading=reading, who=who, name=name,
        nearby=served.nearby, names=() if served.nearby else names_kept(served.store.place),
        aim=f"{aim:g}" if aim is not None else "", typed_aim=typed_aim, hand=hand, hands=NAMES,
        aims=[(f"{one:g}", kg(one)) for one in aims], last=_last(at_aim), count=len(at_aim), days=days,
        several=len({one.day for one in at_aim}) > 1,
        day=phrases.day(at_aim[-1].day) if at_aim else "", cautions=rows_of(cautions),
        parts=parts_of(line for line in lines if line.role not in ("title", "alarm")), picture=inside(picture) if picture else "",
    )  # fmt: skip


@router.post("/press")
def push(
    who: Keeper, served: Serving, aim: Typed, hand: Annotated[Hand, Form()], reading: Typed, name: Typed = ""
) -> Response:
    """Keep one push, or several in the order made; what does not read (TE10, TE12, PG66) stands in the form to be mended."""
    try:
        # Kept as it will stand in the page's links, so that it is found again by them.
        name, aim_kg = _named(who, served, name), float(f"{aim_of(_pointed(aim), 'aim'):g}")
        keep(served.store.place, name, aim_kg, some(typed(hand, _pointed(reading), "reading"), "reading"), served.now())
    except BadInput as bad:
        shown = float(_pointed(aim)) if _is_aim(_pointed(aim)) else None
        return _shown(who, served, name_of(who, served, name), shown, hand, problems=bad.problems, typed_aim=aim,
                      reading=reading)  # fmt: skip
    return _back(served, name, f"{aim_kg:g}", hand)


@router.post("/press/taken-back")
def taken_back(
    who: Keeper, served: Serving, at: Annotated[int, Form(ge=1, le=2**62)], aim: Typed = "",
    hand: Annotated[Hand, Form()] = "both", name: Typed = "",
) -> RedirectResponse:  # fmt: skip
    """Take one of one's own pushes back."""
    name = _named(who, served, name)
    if not take_back(served.store.place, name, at):
        raise NOT_THERE
    return _back(served, name, aim, hand)


@router.get("/press/pushes.csv")
def table_of_pushes(who: Keeper, served: Serving, aim: Annotated[float, Query(gt=0)], name: Name = "") -> Response:
    """One person's pushes at one aim, as `reasoner press --log` reads them."""
    name = name_of(who, served, name)
    found = [one.push for one in pushes_of(served.store.place, name) if one.aim_kg == aim]
    if not found:
        raise NOT_THERE
    headers = {"Content-Disposition": f'attachment; filename="pushes-{aim:g}kg.csv"'}
    return Response(as_csv(found), media_type="text/csv", headers=headers)


def _table(served: Served) -> PressTable:
    return cast(PressTable, served.ready.book.measures["press"])


def _pointed(text: str) -> str:
    """With a point for the comma that many telephones write in a number; several pushes are parted by blanks here."""
    return _COMMA.sub(".", text)


def _named(who: Who, served: Served, typed_name: str) -> str:
    name = name_of(who, served, typed_name)
    if not name:
        hint = "Write the name; each hand is compared with itself."
        raise BadInput([Problem("name", 0, "PG66", "whose hand pushed was not said; a name was expected.", hint)])
    return name


def _last(found: Sequence[Pushed]) -> dict[str, object] | None:
    if not found:
        return None
    one = found[-1]
    return {"at": one.at, "says": f"{kg(one.push.kg)}, {NAMES[one.push.hand]}", "hand": one.push.hand}


def _back(served: Served, name: str, aim: str, hand: str) -> RedirectResponse:
    asked = URL("/press").include_query_params(hand=hand if hand in HANDS else "both")
    if _is_aim(aim):
        asked = asked.include_query_params(aim=aim)
    if not served.nearby:
        asked = asked.include_query_params(name=name)
    return RedirectResponse(f"{asked}#next", 303)


def _is_aim(text: str) -> bool:
    try:
        return float(text) > 0
    except ValueError:
        return False
