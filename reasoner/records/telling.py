"""What people tell of a kept visit, checked against that visit before it is kept.

In: the rows of a kept visit, and what is told of it. Out: the step or conclusion meant, with its side.
Not here: adding the row (store/), wording of pages.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.vocabulary import canonical
from reasoner.store import tables as t
from reasoner.store.names import same_name
from reasoner.store.reading import KnownVisit

register(
    {
        "RE20": "a step that was not in the plan of that visit",
        "RE21": "a side that must be said, or does not belong",
        "RE22": "words that must be said: who, or why",
        "RE23": "a conclusion of which that visit says nothing",
        "RE24": "a countersignature that cannot be given",
        "RE27": "a day before the visit, or one still to come",
    }
)

#: Answers that mean little without their reason: a step that was stopped may have been stopped by the horse.
NEEDS_A_REASON = ("not", "stopped")


def step_meant(connection: Connection, visit: KnownVisit, step: str, side: str, shown: str) -> tuple[str, str]:
    """The step of a visit's plan that is meant, by key, and its side. Raises BadInput (RE20, RE21)."""
    c = t.step.c
    rows = connection.execute(select(c.key, c.side).where(c.version == visit.version).order_by(c.at)).all()
    sides: dict[str, list[str]] = {}
    for row in rows:
        sides.setdefault(row.key, []).append(row.side)
    key = canonical(step)
    if key not in sides:
        what = f'"{step}" is no step of the plan of {visit.name} on {visit.day.isoformat()}.'
        listed = f"Its steps: {', '.join(sides) or 'none'}."
        raise BadInput([Problem(shown, 0, "RE20", what, " ".join(filter(None, (near_hint(key, sides), listed))))])
    return key, _side(side, sides[key], f'the step "{key}"', shown)


def conclusion_meant(answer: Mapping[str, Any], key: str, side: str, shown: str) -> tuple[str, str]:
    """The conclusion of a kept answer that is meant, by key, and its side. Raises BadInput (RE21, RE23).

    Where no side is said, the one that something speaks for is meant, rather than the one that it speaks against.
    """
    sides: dict[str, list[str]] = {}
    spoken_for: dict[str, list[str]] = {}
    for one in answer["conclusions"]:
        if one["band"] != "none":
            sides.setdefault(one["key"], []).append(one["side"] or "")
            if one["band"] != "against":
                spoken_for.setdefault(one["key"], []).append(one["side"] or "")
    wanted = canonical(key)
    if wanted not in sides:
        listed = f"It speaks of: {', '.join(sorted(sides)) or 'nothing'}."
        what = f'of "{key}" that visit says nothing.'
        raise BadInput([Problem(shown, 0, "RE23", what, " ".join(filter(None, (near_hint(wanted, sides), listed))))])
    if not side and len(spoken_for.get(wanted, ())) == 1:
        return wanted, spoken_for[wanted][0]
    return wanted, _side(side, sides[wanted], f'"{wanted}"', shown)


def _side(side: str, known: Sequence[str], what: str, shown: str) -> str:
    """The side meant: the one there is, where none is said."""
    if not side and len(known) == 1:
        return known[0]
    if side in known:
        return side
    if not side:
        raise BadInput([Problem(shown, 0, "RE21", f"{what} stands there for both sides.", "Say --side left or right.")])
    ways = " or ".join(one for one in known if one)
    hint = f"Say --side {ways}." if ways else "Leave --side out."
    raise BadInput([Problem(shown, 0, "RE21", f"{what} does not stand there for the {side}.", hint)])


def told_in_full(by: str, because: str, *, needed: bool, shown: str) -> None:
    """Whether a name, and where it is `needed` a reason, were given. Raises BadInput (RE22)."""
    wrong = [] if by.strip() else [Problem(shown, 0, "RE22", "nobody is named who says so.", "Write --by NAME.")]
    if needed and not because.strip():
        wrong.append(Problem(shown, 0, "RE22", "this needs its reason.", 'Write --because "...".'))
    if wrong:
        raise BadInput(wrong)


def told_in_time(told_on: date, visit: KnownVisit, today: date, shown: str) -> None:
    """Whether something could be told on that day, which is not still to come either. Raises BadInput (RE27)."""
    if told_on < visit.day:
        what = f"{told_on.isoformat()} is before the visit of {visit.day.isoformat()}."
        raise BadInput([Problem(shown, 0, "RE27", what, "--told-on is the day the owner said so.")])
    if told_on > today >= visit.day:
        what = f"{told_on.isoformat()} has not come yet; today is {today.isoformat()}."
        raise BadInput([Problem(shown, 0, "RE27", what, "--told-on is the day the owner said so.")])


def may_countersign(visit: KnownVisit, by: str, signed_by: Collection[str], shown: str) -> bool:
    """Whether this countersignature is still to be added (False: it is there). Raises BadInput (RE22, RE24)."""
    told_in_full(by, "", needed=False, shown=shown)
    day = visit.day.isoformat()
    if not visit.checked_by or same_name(visit.checked_by, visit.examiner):
        what = (
            f"the visit to {visit.name} on {day} names nobody but its examiner; nothing waits for a countersignature."
        )
        raise BadInput([Problem(shown, 0, "RE24", what, "An apprentice's visit says `checked by:`.")])
    if not same_name(by, visit.checked_by):
        what = f'that visit is to be checked by {visit.checked_by}, not by "{by}".'
        hint = "Who answers for it is written in the visit; another name is a correction of it."
        raise BadInput([Problem(shown, 0, "RE24", what, hint)])
    return not any(same_name(by, one) for one in signed_by)
