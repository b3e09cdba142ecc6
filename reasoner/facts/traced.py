"""What a visit's tracings and taped widths come to, station by station.

In: a visit's outlines and entries, the table of tracings. Out: `AtStation`: widths, ratio and slopes with their errors, and what
could not be read. Not here: the geometry (measures/tracing.py), entries of the visit (measured_tracing.py), wording.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from decimal import Decimal
from typing import TYPE_CHECKING, cast

from reasoner.frozen import frozen
from reasoner.measures.tracing import NotReached, Point, Side, Tracer, Widths, below_midline
from reasoner.rulebook.measures.tracing import Between, Instrument, Tracing
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Outline, Visit

if TYPE_CHECKING:
    from uncertainties import UFloat

TABLE, INSTRUMENT, WHEN, TAPE = "tracing", "traced_with", "traced_when", "tape"
SIDES: tuple[Side, Side] = ("left", "right")


@frozen(kw_only=True)
class AtStation:
    """One station over the back.

    `widths` at each depth both sides reach; `full` is the whole width at a depth, also where only that was taped; `alone` the
    half-width by itself of a side whose other was not traced or ends too early. `sides` are the points, down from the midline,
    for drawing. `missing` are sentences about what could not be read. All lengths in mm, slopes in degrees from the horizontal.
    """

    station: str
    name: str
    instrument: Instrument
    line: int = 0
    widths: tuple[Widths, ...] = ()
    full: Mapping[float, UFloat] = field(default_factory=dict)
    alone: Mapping[tuple[Side, float], UFloat] = field(default_factory=dict)
    ratio: UFloat | None = None
    slopes: Mapping[Side, UFloat] = field(default_factory=dict)
    slope_difference: UFloat | None = None
    sides: Mapping[Side, tuple[Point, ...]] = field(default_factory=dict)
    missing: tuple[str, ...] = ()

    @property
    def taped(self) -> bool:
        """Whether only widths were taped here, and nothing traced."""
        return not self.sides


def table_of(book: Rulebook) -> Tracing:
    """The table of tracings."""
    return cast(Tracing, book.measures[TABLE])


def shown(station: str) -> str:
    """A station for a reader: T13 for t13, words as they are."""
    return station.upper() if station[:1] in "tl" and station[1:].isdigit() else station.replace("_", " ")


def stations(
    visit: Visit, table: Tracing, *, depths_mm: Sequence[float] = (), instrument: str = ""
) -> tuple[AtStation, ...]:
    """Every station that was traced across, in the order written, then those with taped widths alone.

    `depths_mm` instead of the depths of the table; `instrument` instead of the one the visit names.
    """
    used = table.instrument(instrument or str(visit.noted_value(INSTRUMENT) or ""))
    traced = [_traced(outline, table, used, depths_mm) for outline in visit.outlines if _is_back(outline)]
    return (*traced, *_taped(visit, table))


def _is_back(outline: Outline) -> bool:
    return outline.of == "back" and outline.plane == "across"


def _traced(outline: Outline, table: Tracing, used: Instrument, depths_mm: Sequence[float]) -> AtStation:
    points = {side: below_midline(some) for side, some in (("left", outline.left), ("right", outline.right)) if some}
    sides = cast("dict[Side, tuple[Point, ...]]", points)
    tracer = Tracer(sides, used)
    widths: list[Widths] = []
    alone: dict[tuple[Side, float], UFloat] = {}
    missing = [f"the {side} side was not traced" for side in SIDES if side not in sides]
    for depth in depths_mm or table.site(outline.station).depths_mm:
        reached = [side for side in sides if _reaches(tracer, side, depth, missing)]
        if len(reached) == len(SIDES):
            widths.append(tracer.widths(depth, table.errors_shown.value))
        else:
            alone |= {(side, depth): tracer.side_mm(side, depth) for side in reached}
    slopes = _slopes(tracer, table.slope)
    return AtStation(
        station=outline.station, name=shown(outline.station), instrument=used, line=outline.line, widths=tuple(widths),
        full={one.depth_mm: one.full for one in widths}, alone=alone, ratio=_ratio(tracer, table.ratio), slopes=slopes,
        slope_difference=slopes["left"] - slopes["right"] if len(slopes) == len(SIDES) else None, sides=sides,
        missing=tuple(missing),
    )  # fmt: skip


def _reaches(tracer: Tracer, side: Side, depth: float, missing: list[str]) -> bool:
    try:
        tracer.side_mm(side, depth)
    except NotReached as no:
        missing.append(str(no))
        return False
    return True


def _ratio(tracer: Tracer, between: Between) -> UFloat | None:
    """None where a side is missing or does not reach; that is told with the widths."""
    try:
        return tracer.ratio(between)
    except (NotReached, KeyError, ZeroDivisionError):
        return None


def _slopes(tracer: Tracer, between: Between) -> dict[Side, UFloat]:
    found: dict[Side, UFloat] = {}
    for side in SIDES:
        try:
            found[side] = tracer.slope_deg(side, between)
        except (NotReached, KeyError):
            continue
    return found


def _taped(visit: Visit, table: Tracing) -> Iterator[AtStation]:
    """Widths that were taken without a tracing; they tell no side."""
    from uncertainties import ufloat

    used = table.instrument(TAPE)
    noted = {noted.key: noted for noted in visit.noted}
    for station in dict.fromkeys(width.station for width in table.widths):
        entries = [width for width in table.widths if width.station == station and width.entry in noted]
        full: dict[float, UFloat] = {}
        for width in entries:
            value = noted[width.entry].value
            if isinstance(value, Decimal):
                # Both ends are read, and the depth is judged at each; a depth misjudged by 1 mm is taken to give 1 mm of width
                # on its side, as on a slope of 45 degrees: without a tracing the slope is not known.
                ends = [ufloat(0, off) for off in (used.line_mm, used.depth_mm) for _ in SIDES]
                full[width.depth_mm] = float(value) + sum(ends)
        if full:
            both = (full.get(table.ratio.upper_mm), full.get(table.ratio.lower_mm))
            yield AtStation(
                station=station, name=f"{shown(station)} by tape", instrument=used, full=full,
                line=noted[entries[0].entry].line, ratio=both[0] / both[1] if both[0] and both[1] else None,
            )  # fmt: skip
