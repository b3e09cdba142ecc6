"""What a page answers to something recorded, written down as an example of it would be.

In: a page and an answer. Out: an `Example` that holds today, with the reason it names; None where no reason can be named.
Not here: whether it is worth keeping (fences.py).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reasoner.consult import Answer
from reasoner.rulebook.pages import Action, Concern, Conclusion, Example
from reasoner.rulecare.example_check import Case, Page
from reasoner.rulecare.example_kinds import (
    LESSENED,
    NOT_LESSENED,
    NOT_RAISED,
    NOT_WANTED,
    RAISED,
    TAKEN,
    WITHHELD,
    OfAction,
    OfCircumstance,
    OfConcern,
)


def proposed(page: Page, recorded: Mapping[str, Any], answer: Answer) -> Example | None:
    """The example that what is recorded would make of this page today."""
    blank = Example(name="fence", recorded=recorded, expect="")
    if isinstance(page, Conclusion):
        return _conclusion(page, blank, answer)
    case = Case(page, blank, False)
    if isinstance(page, Concern):
        return _concern(page, OfConcern(case, answer))
    if isinstance(page, Action):
        return _action(page, OfAction(case, answer))
    return _circumstance(page.id, OfCircumstance(case, answer))


def _made(blank: Example, expect: Any, thanks: list[str], stopped: list[str]) -> Example | None:
    if not thanks and not stopped:
        return None
    return Example(
        name=blank.name, recorded=blank.recorded, expect=expect, thanks_to=tuple(thanks), stopped_by=tuple(stopped)
    )


def _side(page: Page) -> str:
    """The side a fence speaks of; its mirror speaks of the other."""
    return "left" if getattr(page, "sides", "none") == "each" else ""


def _sided(page: Page, word: str) -> Any:
    return {"left": word} if _side(page) else word


def _conclusion(page: Conclusion, blank: Example, answer: Answer) -> Example | None:
    side = _side(page)
    band = answer.ready.book.scales.band(answer.record.certainty(page.id, side))
    check = OfConcern(Case(page, blank, False), answer)
    rules = answer.record.rules_of(page.id, side)
    names = {r.number: page.evidence[r.number].rule for r in rules}
    thanks = [names[r.number] for r in rules if r.state == "fired" and r.counted]
    stopped = [names[r.number] for r in rules if r.state == "below" and check.known(r.premise)]
    return _made(blank, _sided(page, band), thanks, stopped)


def _concern(page: Concern, check: OfConcern) -> Example | None:
    grounds = [(side, place, signs) for key, side, place, signs in check.meta["concerns"] if key == page.id]
    up = [(side, place, n) for side, place, signs in grounds for n, x in enumerate(signs) if check.holds(x)]
    raised = sorted({(side, place) for side, place, _ in up})
    words = check.words
    expect: Any
    if page.for_each:
        expect = {"places": [f"{s} {words.places[p].name}".strip() for s, p in raised]} if raised else NOT_RAISED
    elif page.sides == "each":
        expect = {s: RAISED if (s, "") in raised else NOT_RAISED for s in ("left", "right")}
    else:
        expect = RAISED if raised else NOT_RAISED
    thanks = list(dict.fromkeys(page.signs[n].sign for _, _, n in up))
    calm = [g for g in grounds if (g[0], g[1]) not in raised]
    stopped = [s.sign for n, s in enumerate(page.signs) if any(check.refuted(signs[n]) for _, _, signs in calm)]
    return _made(check.example, expect, thanks, stopped if not thanks else [])


def _action(page: Action, check: OfAction) -> Example | None:
    here = (page.id, _side(page))
    plan = check.answer.plan
    held = {(w.key, w.side): w.because for w in plan.withheld}
    own = [n.otherwise for n in page.only_after] + [f.because for f in page.forbidden_by]
    wanted = next(wanted for key, side, wanted, *_ in check.meta["actions"] if (key, side) == here)
    if here in plan.standing:
        keys = sorted({key for x in wanted if check.holds(x) for key in check.speaking(x)})
        return _made(check.example, _sided(page, TAKEN), keys[:1], [])
    if here in held:
        return _made(check.example, _sided(page, WITHHELD), [s for s in dict.fromkeys(own) if s in held[here]], [])
    keys = sorted({key for x in wanted for key in check.leaf_keys(x)})
    return next(
        (one for key in keys if (one := _made(check.example, NOT_WANTED, [key], [])) is not None), None
    )  # fmt: skip


def _circumstance(key: str, check: OfCircumstance) -> Example | None:
    atoms = list(check.atoms())
    if not atoms:
        return None
    working = sorted({spot for spot, literal, *_ in atoms if check.record.support(literal) > 0.0})
    touched = {spot for spot, *_ in atoms}
    expect: Any = LESSENED if set(working) == touched else NOT_LESSENED
    if working and set(working) != touched:
        expect = {"places": [f"{s} {check.words.places[p].name}".strip() for s, p in working]}
    some = {x for _, x, *_ in atoms}
    thanks = sorted({k for x in some if check.holds(x) for k in check.speaking(x)})
    stopped = sorted({k for x in some if check.refuted(x) for k in check.leaf_keys(x)})
    return _made(check.example, expect, thanks[:1] if working else [], [] if working else stopped[:1])
