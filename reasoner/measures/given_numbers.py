"""Numbers that a gait system, a printed list or a veterinarian gives: compared with themselves and never converted.

In: differences in mm with the side a system names, totals of published lists, grades with their scale. Out: whether a
difference has changed, a checked total, which of two grades is the higher, or why that cannot be said.
Not here: limits for rules (there are none), reading of text.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Literal

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.grade_scales import grades_of, nearest_scale, on_scale, read_grade, scale_called
from reasoner.rulebook.measures.feet_and_gait import FeetAndGait

register(
    {
        "MS46": "a total that its list cannot give",
        "MS48": "a grade that is not on its scale",
    }
)

#: The six differences a system may give, in the order in which they are told.
DIFFERENCES = ("head_min_mm", "head_max_mm", "withers_min_mm", "withers_max_mm", "pelvis_min_mm", "pelvis_max_mm")


@frozen(kw_only=True)
class Lean:
    """A difference between the two halves of a stride in mm (0 and more), and the side that the system names."""

    side: Literal["left", "right"]
    mm: float

    @property
    def signed_mm(self) -> float:
        """The same as one number: a plus is to the right."""
        return self.mm if self.side == "right" else -self.mm


@frozen(kw_only=True)
class Graded:
    """A grade as a veterinarian gave it: the scale by the name it was given, and the number."""

    scale: str
    grade: str


@frozen(kw_only=True)
class Order:
    """How the later of two grades stands to the earlier: "higher", "lower", "same", or "not compared" and why."""

    later: Literal["higher", "lower", "same", "not compared"]
    why: str


def repeat_mm(key: str, table: FeetAndGait) -> float:
    """The spread of one measurement after another, in mm, for one of `DIFFERENCES`."""
    return float(getattr(table.repeats, key))


def change(key: str, before: Lean, now: Lean, table: FeetAndGait) -> tuple[float, bool]:
    """(later less earlier in mm, a plus to the right; whether that is more than the spread of repeats).

    Source of the spreads: Hardeman and others 2019; they stand in the table.
    """
    by = round(now.signed_mm - before.signed_mm, 9)
    return by, abs(by) >= repeat_mm(key, table)


def face_total(units: Sequence[int], table: FeetAndGait) -> int:
    """The total of the six parts of the face, each 0, 1 or 2. Raises BadInput (MS46).

    Source: Dalla Costa and others 2014; the parts stand in the table. No cut-off is known.
    """
    wanted, most = len(table.face.units), table.face.most_each
    if len(units) != wanted:
        raise _bad(
            "MS46", f"{len(units)} parts of the face were read; expected {wanted}: {', '.join(table.face.units)}."
        )
    for name, score in zip(table.face.units, units, strict=True):
        if not 0 <= score <= most:
            raise _bad("MS46", f"{name}: {score} was read; expected 0 to {most}.")
    return sum(units)


def checked_total(total: int, most: int, what: str) -> int:
    """A total that its list can give, as it is. Raises BadInput (MS46) with the range."""
    if not 0 <= total <= most:
        raise _bad("MS46", f"{what}: a total of {total} was read; the list gives 0 to {most}.")
    return total


def order_of(earlier: Graded, later: Graded, scales: Mapping[str, Any]) -> Order:
    """Whether the later grade stands higher or lower on the same scale, and nothing more: a grade is an order and no amount.

    Grades of two scales are never compared, and no number of one is turned into the other. Raises BadInput (MS48) for a
    grade that is none, or is not on its scale.
    """
    first, second = place_on(earlier, scales), place_on(later, scales)
    one, two = (scale_called(g.scale, scales) for g in (earlier, later))
    for given, known in ((earlier, one), (later, two)):
        if not known:
            why = f'"{given.scale}" is not in the table of scales. {nearest_scale(given.scale, scales)}'
            return Order(later="not compared", why=why)
    if one != two:
        why = f"{earlier.scale} and {later.scale} are two scales; the same number means another thing on each."
        return Order(later="not compared", why=why)
    if first == second:
        return Order(later="same", why=f"the same grade on {later.scale}.")
    stands: Literal["higher", "lower"] = "higher" if second > first else "lower"
    return Order(later=stands, why=f"{stands} on {later.scale}; how much that is, the scale does not say.")


def place_on(given: Graded, scales: Mapping[str, Any]) -> Decimal:
    """Where a grade stands on its scale. Raises BadInput (MS48)."""
    grade = read_grade(given.grade)
    if grade is None:
        what = f'{given.scale}: "{given.grade}" is no grade; expected a number as it was given, such as 2 or 2/5.'
        raise _bad("MS48", what)
    grades = grades_of(given.scale, scales)
    if grades and not on_scale(grade, grades):
        (low, first), *_, (high, last) = grades
        what = f'"{given.grade}" is not on the {given.scale} scale, which runs from {low} ({first}) to {high} ({last}).'
        raise _bad("MS48", what)
    return grade[0]


def _bad(code: str, sentence: str) -> BadInput:
    return BadInput([Problem("measure", 0, code, sentence)])
