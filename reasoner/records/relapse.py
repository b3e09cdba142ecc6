"""Better after its remedy, and worse again: places that came down and have gone up since, by more than the hand's own error.

In: visits laid side by side, what came of the plans. Out: when a place was worse again, and how often the same place was.
Not here: what it says of a cause (tried), what such an entry means (the rules on pages), wording of pages.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from reasoner.frozen import frozen
from reasoner.records.course import Comparing, Spot
from reasoner.records.expectations import Outcome
from reasoner.records.trace import spot_name
from reasoner.visit.model import Noted

RELAPSES = "times_worse_again"


@frozen(kw_only=True)
class Relapse:
    """A place that was better at one visit and worse again at a later one, by their numbers; `planned` is the visit of the plan
    after which it was better."""

    spot: Spot
    planned: int
    better: int
    worse: int


def worse_again(comparing: Comparing, spot: Spot, since: int) -> int | None:
    """The first visit after `since` at which the place is worse than at `since`, or than at the visit before it that examined it.

    Worse is more than the hand's own error, or no longer allowing touch, and of visits that are like each other.
    """
    course = comparing.course(spot)
    before = since
    for at in range(since + 1, len(comparing.visits)):
        if course is None or not course.examined(at):
            continue
        if any(_worse(comparing, spot, one, at) for one in {since, before}):
            return at
        before = at
    return None


def stands(comparing: Comparing, spot: Spot, at: int) -> bool:
    """Whether the place, worse again at that visit, has not become better since."""
    later = (comparing.of(spot, at, other) for other in range(at + 1, len(comparing.visits)))
    return not any(pair.change in ("better", "freed") and not pair.unlike for pair in later)


def _worse(comparing: Comparing, spot: Spot, earlier: int, later: int) -> bool:
    pair = comparing.of(spot, earlier, later)
    return pair.change in ("worse", "refused") and not pair.unlike


def relapses(helped: Iterable[Outcome], comparing: Comparing) -> Noted | None:
    """How often the place that most often did so came down after a remedy and was worse again; None where none ever came down.

    `helped` are outcomes of remedies that were carried out. One time ends before the next begins: a remedy counts again only
    where it was planned at the visit that found the place worse again, or later. Those seen longer ago than the rules allow are
    left out.
    """
    better: dict[Spot, set[tuple[int, int]]] = {}
    for one in helped:
        if (
            one.judged is not None
            and one.compared is not None
            and not one.compared.unlike
            and one.compared.change == "better"
        ):
            better.setdefault((one.expected.place, one.expected.side), set()).add((one.plan, one.judged))
    if not better:
        return None
    oldest = comparing.visits[-1].day.toordinal() - comparing.table.relapses.within_days
    every = {spot: _times(spot, some, comparing, oldest) for spot, some in better.items()}
    spot, most = max(every.items(), key=lambda one: (len(one[1]), [x.worse for x in one[1]], one[0]))
    last = comparing.visits[most[-1].worse if most else -1]
    line = next((t.line for t in last.touches if (t.place, t.side or "") == spot and t.line), 1)
    return Noted(
        key=RELAPSES, value=Decimal(len(most)), kind="count", line=line, file=last.file, written=_written(spot, most, comparing),
    )  # fmt: skip


def _times(spot: Spot, better: set[tuple[int, int]], comparing: Comparing, oldest: int) -> list[Relapse]:
    found: list[Relapse] = []
    for planned, judged in sorted(better, key=lambda one: (one[1], one[0])):
        if found and planned < found[-1].worse:
            continue
        at = worse_again(comparing, spot, judged)
        if at is not None:
            found.append(Relapse(spot=spot, planned=planned, better=judged, worse=at))
    return [one for one in found if comparing.visits[one.worse].day.toordinal() >= oldest]


def _written(spot: Spot, times: list[Relapse], comparing: Comparing) -> str:
    if not times:
        return "0; nothing that came down after a remedy is worse again"
    name = spot_name(*spot, comparing.book)
    days = [
        f"better on {comparing.visits[one.better].day.isoformat()}, worse again on {comparing.visits[one.worse].day.isoformat()}"
        for one in times
    ]
    return f"{len(times)}, {name}: {'; '.join(days)}"
