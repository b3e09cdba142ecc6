"""Days that have not come yet: a slip in the year, caught before a visit or a word of consent is kept.

In: a day that was read, and today. Out: nothing, or a refusal that tells both.
Not here: days before a visit (records.telling), reading a day.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from reasoner.problems import BadInput, Problem, register
from reasoner.visit.model import Visit

register({"ST53": "a visit of a day that has not come yet", "ST54": "something said on a day that has not come yet"})

#: A telephone may stand in another zone than the computer that keeps: its day may be one ahead, and no more.
DAYS_BETWEEN_ZONES = 1


def visits_have_come(visits: Iterable[Visit], today: date, repair: str = "", *, spare: int = 0) -> None:
    """Whether every visit is of a day that has come; `spare` days more are let through. Raises BadInput (ST53 for each)."""
    wrong = [
        Problem(one.file, 0, "ST53", f"the visit is of {one.day.isoformat()}, and today is {today.isoformat()}: that day has "
                "not come yet; nothing was kept.", " ".join(filter(None, ("Mend the day, the year first of all.", repair))))
        for one in visits if one.day > today + timedelta(days=spare)
    ]  # fmt: skip
    if wrong:
        raise BadInput(wrong)


def said_by_now(said_on: date, today: date, shown: str) -> None:
    """Whether something can have been said on that day. Raises BadInput (ST54)."""
    if said_on > today:
        what = f"{said_on.isoformat()} was read, and today is {today.isoformat()}: that day has not come yet; nothing was kept."
        raise BadInput([Problem(shown, 0, "ST54", what, "It is the day it was said, not the last day it holds.")])
