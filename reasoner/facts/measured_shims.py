"""Where the saddle sat at a visit, as numbers, and the entries that follow from it.

In: a `Visit` and the rulebook. Out: a `Seat` for the standing horse and one after work; `rests` and `saddle comes to` as `Noted`.
Not here: geometry (measures/), thicknesses (the plan gives one, where its step stands).
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from typing import cast

from reasoner.measures.seat import Seat, side_of, to_one_side
from reasoner.rulebook.measures.shims import Shims
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Noted, Outline, Points, Side, Visit

#: For each time the entries that tell a side (the first two are written on the side the saddle has gone to), and what follows.
STANDING = ("saddle_off_the_middle", "saddle_roll", "saddle_side_height")
AFTER_WORK = ("saddle_off_the_middle_after_work", "saddle_roll_after_work")
FOLLOWS = {STANDING: "rests", AFTER_WORK: "saddle_comes_to"}
RIDER, TACK = "rider_weight", "tack_weight"


def table_of(book: Rulebook) -> Shims:
    """The table of shims of a rulebook that has one."""
    return cast(Shims, book.measures["shims"])


def standing(visit: Visit, book: Rulebook) -> Seat:
    """The saddle on the standing horse."""
    return _seat(visit, book, *STANDING)


def after_work(visit: Visit, book: Rulebook) -> Seat:
    """The saddle after work on both reins, before the girth was touched."""
    return _seat(visit, book, *AFTER_WORK, "")


def on_both_sides(visit: Visit, book: Rulebook) -> tuple[str, ...]:
    """The entries that say the saddle is off to both sides at once, by name; no thickness is worked out from them."""
    found = []
    for key in (*STANDING[:2], *AFTER_WORK):
        if key in book.vocabulary.observations and _both(visit, key):
            found.append(book.vocabulary.observations[key].name)
    return tuple(found)


def worked_out(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """`rests` from the standing horse, `saddle comes to` from what was measured after work."""
    table = table_of(book)
    for entries, seat in ((STANDING, standing(visit, book)), (AFTER_WORK, after_work(visit, book))):
        side, key = side_of(seat, table), FOLLOWS[entries]
        lines = [noted for noted in visit.noted if noted.key in entries]
        if side is not None and lines and key in book.vocabulary.observations:
            telling = next((n for n in lines if n.value and n.side == side), lines[0])
            yield Noted(key=key, value=side, written=_written(side, seat), line=telling.line, kind="side")


def _written(side: str, seat: Seat) -> str:
    """The side, and the numbers it was read from: "right (12 mm off the middle)"."""
    said = []
    if seat.off_mm is not None:
        said.append(f"{abs(seat.off_mm):g} mm off the middle")
    if seat.roll_deg is not None:
        said.append(f"{abs(seat.roll_deg):g}° of roll")
    if seat.heights_mm is not None:
        said.append(f"left side {seat.heights_mm[0]:g} mm and right side {seat.heights_mm[1]:g} mm high")
    return f"{side} ({', '.join(said)}, measured)"


def _seat(visit: Visit, book: Rulebook, off: str, roll: str, height: str) -> Seat:
    left, right = _number(visit, height, "left"), _number(visit, height, "right")
    bars = _positive(visit, "bar_spacing")
    kind = visit.noted_value("saddle_type")
    return Seat(
        off_mm=_one_side(visit, off), roll_deg=_one_side(visit, roll),
        heights_mm=(left, right) if left is not None and right is not None else None,
        apart_mm=_positive(visit, "side_heights_apart"), bars_mm=bars, radius_mm=_positive(visit, "back_radius"),
        drop_mm=None if bars is None else _drop(visit, bars / 2, table_of(book).radius_from.stations),
        rider_kg=_positive(visit, RIDER), tack_kg=_positive(visit, TACK), mass_height_mm=_positive(visit, "rider_middle_height"),
        saddle_type=kind if isinstance(kind, str) else "", on_both_sides=_both(visit, off) or _both(visit, roll),
    )  # fmt: skip


def _number(visit: Visit, key: str, side: Side | None = None) -> float | None:
    value = visit.noted_value(key, side)
    return float(value) if isinstance(value, Decimal) else None


def _positive(visit: Visit, key: str) -> float | None:
    """A distance or a mass; one of nothing was not measured."""
    value = _number(visit, key)
    return value if value is not None and value > 0 else None


def _both(visit: Visit, key: str) -> bool:
    return bool(_number(visit, key, "left")) and bool(_number(visit, key, "right"))


def _one_side(visit: Visit, key: str) -> float | None:
    left, right = _number(visit, key, "left"), _number(visit, key, "right")
    if left and right:  # cannot be, and `on_both_sides` says so; the greater stands, so that no call is lost by a slip
        return None if left == right else right if right > left else -left
    return to_one_side(left, right)


def _drop(visit: Visit, half_width_mm: float, stations: tuple[str, ...]) -> float | None:
    """How far a traced back falls away at half the distance between the bars, the mean of both sides; None without a tracing."""
    across = {o.station: o for o in visit.outlines if o.of == "back" and o.plane == "across"}
    for station in stations:
        if station in across:
            falls = _falls(across[station], half_width_mm)
            if falls is not None:
                return falls
    return None


def _falls(outline: Outline, half_width_mm: float) -> float | None:
    middle = [float(down) for points in (outline.left, outline.right) for out, down in points if out == 0]
    sides = [_down_at(points, half_width_mm) for points in (outline.left, outline.right)]
    if any(down is None for down in sides):
        return None
    return sum(cast("list[float]", sides)) / 2 - (sum(middle) / len(middle) if middle else 0.0)


def _down_at(points: Points, out_mm: float) -> float | None:
    """The line's depth at a distance from the midline, straight between its points; None where the line does not reach."""
    for (near, above), (far, below) in pairwise(points):
        if float(near) <= out_mm <= float(far):
            return float(above) + float(below - above) * (out_mm - float(near)) / float(far - near)
    return None
