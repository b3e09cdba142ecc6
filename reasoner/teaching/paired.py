"""Two visits to one horse on one day laid side by side: every place that both graded, one graded, neither touched.

In: two visits and the vocabulary. Out: a `Pair`.
Not here: statistics (agreement), what the differences move (moved), finding the files.

Of a place graded several times before work the settled reading counts, as in the rules; a reading after work stands by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.questions.changes import Spot
from reasoner.rulebook.measures.agreement import Sides
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.store.names import folded, plain, same_name
from reasoner.visit.model import Side, Touch, Visit

register(
    {
        "TE01": "two visits to different horses",
        "TE02": "two visits on different days",
        "TE03": "one file given as two visits",
    }
)

SIDES: tuple[Side, Side] = ("left", "right")
AFTER_WORK = "after_work"


@frozen(kw_only=True)
class Both:
    """One place and side that both graded, in points from 0 to 10. `listed`: both 0s come from a list of quiet places."""

    place: str
    side: str
    after_work: bool
    one: float
    two: float
    line_one: int
    line_two: int
    listed: bool

    @property
    def difference(self) -> float:
        """The second less the first, in points."""
        return self.two - self.one


@frozen(kw_only=True)
class Pair:
    """Two visits side by side. `without_number`: examined by both, and at least one wrote no number; `only_one`, `only_two`:
    examined before work by that one alone; `neither`: by neither."""

    one: Visit
    two: Visit
    readings: tuple[Both, ...]
    without_number: tuple[Spot, ...]
    only_one: tuple[Spot, ...]
    only_two: tuple[Spot, ...]
    neither: tuple[Spot, ...]

    @property
    def hands(self) -> tuple[str, str]:
        """Who graded, as written; empty where it is not."""
        return hand_of(self.one), hand_of(self.two)

    @property
    def same_hand(self) -> bool:
        """Whether one examiner graded twice."""
        one, two = self.hands
        return bool(one) and same_name(one, two)


def hand_of(visit: Visit) -> str:
    """The examiner as written, or an empty string."""
    written = visit.noted_value("examined_by")
    return plain(written) if isinstance(written, str) else ""


def horse_and_day(visit: Visit) -> tuple[str, str, str]:
    """What makes two visits a pair: the horse's name, its yard, the day."""
    yard = visit.noted_value("yard")
    return folded(visit.horse_name), folded(yard if isinstance(yard, str) else ""), visit.day.isoformat()


def paired(one: Visit, two: Visit, vocabulary: Vocabulary) -> Pair:
    """Lay two visits side by side. Raises BadInput: TE01 another horse, TE02 another day, TE03 one file twice."""
    problems = list(_unlike(one, two))
    if problems:
        raise BadInput(problems)
    first, second = touches_that_count(one), touches_that_count(two)
    examined = {spot for spot, after in {*first, *second} if not after}
    before = {spot for spot, after in first if not after}, {spot for spot, after in second if not after}
    spots = _every_spot(vocabulary)
    order = {spot: number for number, spot in enumerate(spots)}
    shared = sorted({*first} & {*second}, key=lambda key: (key[1], order.get(key[0], len(order)), key[0]))
    both, silent = [], []
    for spot, after in shared:
        a, b = first[spot, after], second[spot, after]
        if a.soreness is None or b.soreness is None:
            silent.append(spot)
            continue
        both.append(Both(
            place=spot[0], side=spot[1], after_work=after, one=float(a.soreness), two=float(b.soreness),
            line_one=a.line, line_two=b.line, listed=a.quiet_list and b.quiet_list,
        ))  # fmt: skip
    return Pair(
        one=one, two=two, readings=tuple(both), without_number=tuple(dict.fromkeys(silent)),
        only_one=_in_order(before[0] - before[1], order), only_two=_in_order(before[1] - before[0], order),
        neither=tuple(spot for spot in spots if spot not in examined),
    )  # fmt: skip


@frozen(kw_only=True)
class Turned:
    """The readings of places that both graded on both sides: how far they lie `apart` in points, all added up, and `across`, with
    left and right of one file exchanged; `places` that answer more on one side than on the other in both files."""

    places: int
    apart: float
    across: float


def turned(pair: Pair, table: Sides | None) -> Turned | None:
    """The two as they are written, and as if one had written left for right; None where the table does not have it asked."""
    found: dict[tuple[str, bool], dict[str, Both]] = {}
    for one in pair.readings:
        found.setdefault((one.place, one.after_work), {})[one.side] = one
    both = [(sides["left"], sides["right"]) for sides in found.values() if {*SIDES} <= {*sides}]
    sides = Turned(
        places=sum(left.one != right.one and left.two != right.two for left, right in both),
        apart=sum(abs(side.difference) for sides in both for side in sides),
        across=sum(abs(right.two - left.one) + abs(left.two - right.one) for left, right in both),
    )
    asked = table is not None and sides.places >= table.places and sides.across <= table.share * sides.apart
    return sides if asked else None


def _unlike(one: Visit, two: Visit) -> Iterable[Problem]:
    if Path(one.file).resolve() == Path(two.file).resolve():
        yield Problem(two.file, 0, "TE03", "this file was given twice; two visits were expected.",
                      "Name the file that the second hand wrote.")  # fmt: skip
        return
    (name, yard, day), (other, place, then) = horse_and_day(one), horse_and_day(two)
    if (name, yard) != (other, place):
        said = f"this visit is to {_horse(two)}, and {one.file} is to {_horse(one)}; one horse was expected."
        yield Problem(two.file, 0, "TE01", said, "Two hands are compared on the same horse; write name and yard alike.")
    if day != then:
        said = f"this visit is of {then}, and {one.file} is of {day}; one day was expected."
        yield Problem(two.file, 0, "TE02", said,
                      "A horse changes from day to day; `reasoner progress` compares days.")  # fmt: skip


def _horse(visit: Visit) -> str:
    yard = visit.noted_value("yard")
    name = f'"{visit.horse_name}"' if visit.horse_name else "a horse without a name"
    return f"{name} at {yard}" if isinstance(yard, str) and yard else name


def touches_that_count(visit: Visit) -> Mapping[tuple[Spot, bool], Touch]:
    """The touch that counts of each place and side, before and after work; places passed over are left out."""
    found: dict[tuple[Spot, bool], Touch] = {}
    for touch in visit.touches:
        if touch.not_examined is not None:
            continue
        key = (touch.place, touch.side or ""), touch.when == AFTER_WORK
        if key not in found or touch.when == "settled":
            found[key] = touch
    return found


def _every_spot(vocabulary: Vocabulary) -> list[Spot]:
    places = sorted(vocabulary.places.values(), key=lambda place: (place.walk, place.key))
    return [(p.key, side) for p in places for side in (SIDES if p.sides == "each" else ("",))]


def _in_order(spots: Iterable[Spot], order: Mapping[Spot, int]) -> tuple[Spot, ...]:
    return tuple(sorted(spots, key=lambda spot: (order.get(spot, len(order)), spot)))
