"""Several expectations of one place by one day are one: the strictest, which implies the others, with all that asked for it.

In: what each step was expected to change. Out: `Awaited`, one a place, side and day.
Not here: whether it came (expectations.py), wording.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from reasoner.frozen import frozen
from reasoner.store.history import HeldExpectation, HeldStep, number_of


@frozen(kw_only=True)
class AskedBy:
    """A step that expects something of a place, and what it expects by itself (points of the soreness scale, or the readings of
    an entry, as written)."""

    step: str
    side: str
    to: str


@frozen(kw_only=True)
class Awaited:
    """What a plan was expected to change: the soreness at a place, what it was (as written, or empty), what it should be or less,
    and the steps that ask for it, in the order of the plan. Where it is seen and not felt, `place` is an entry, `to` its readings
    hoped for."""

    place: str
    side: str
    was: str
    to: str
    by: date
    asked_by: tuple[AskedBy, ...]


def strictest(every: Iterable[Awaited]) -> tuple[Awaited, ...]:
    """Of several expectations of one place by one day the strictest, with what all of them rest on; in the order told."""
    found: dict[tuple[str, str, date], Awaited] = {}
    for one in every:
        key = (one.place, one.side, one.by)
        known = found.get(key)
        if known is None:
            found[key] = one
        else:
            least = min(known, one, key=lambda each: _points(each.to))
            found[key] = replace(least, asked_by=tuple(dict.fromkeys((*known.asked_by, *one.asked_by))))
    return tuple(found.values())


def _points(to: str) -> float:
    """Points; of words none is stricter than another."""
    points = number_of(to)
    return 0.0 if points is None else points


def awaited_of(steps: Iterable[HeldStep]) -> tuple[Awaited, ...]:
    """What the steps of a kept plan were to change, each place and day once."""
    return strictest(
        Awaited(
            place=e.place, side=e.side, was=e.was_word or ("" if e.was is None else f"{e.was:g}"), to=_to(e), by=e.by,
            asked_by=(AskedBy(step=step.key, side=step.side, to=_to(e)),),
        )
        for step in steps
        for e in step.expects
    )  # fmt: skip


def _to(expected: HeldExpectation) -> str:
    return " ".join(expected.words) or f"{expected.to:g}"
