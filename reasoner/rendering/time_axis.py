"""Time along the foot of a small picture: where each visit stands, and what is written under it.

In: the days of the visits, and the room. Out: positions; ticks with their words.
Not here: drawing, what the visits say.

Visits that would stand on top of each other are drawn a little apart; years or months stay in their order, and a thin line marks
where each begins.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from reasoner.frozen import frozen

#: The least room between two visits, in units of the picture; of very many visits this share of the whole is given to it.
APART, SHARE = 4.6, 0.7
#: From a span of so many days on months stand under the axis, from so many on years; below it the first and the last day.
MONTHS_FROM, YEARS_FROM = 75, 600
#: How wide a letter of the picture is at most, and how much stays free between two words.
LETTER_WIDE, FREE = 7.4, 6.0
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@frozen
class Tick:
    """One word under the axis, or none where there is no room for it. `line`: a month or a year begins here. `pushed`: how far
    the word stands behind it, because of the word before."""

    x: float
    words: str
    line: bool
    at_end: bool = False
    pushed: float = 0.0


def across(days: Sequence[date], x0: float, x1: float) -> list[float]:
    """Where each visit stands between `x0` and `x1`: by its day, unless two would then stand on top of each other."""
    span = (days[-1] - days[0]).days
    if len(days) == 1 or not span:
        return [x0 + (x1 - x0) * (0.5 if len(days) == 1 else at / (len(days) - 1)) for at in range(len(days))]
    gaps = [(later - earlier).days / span for earlier, later in pairwise(days)]
    apart = min(APART, SHARE * (x1 - x0) / len(gaps))
    crowded = min(gaps) * (x1 - x0) < apart
    free = (x1 - x0) - (apart * len(gaps) if crowded else 0.0)
    xs = [x0]
    for gap in gaps:
        xs.append(xs[-1] + free * gap + (apart if crowded else 0.0))
    return xs


def ticks(days: Sequence[date], xs: Sequence[float], x1: float) -> list[Tick]:
    """What stands under the axis: years, months or days, by the span; nothing is written past `x1` or over another word."""
    first, last = days[0], days[-1]
    span = (last - first).days
    if span < MONTHS_FROM:
        found = [Tick(xs[0], _day(first, year=True), line=False)]
        return [*found, Tick(x1, _day(last, year=False), line=False, at_end=True)] if span else found
    return _years(days, xs, x1) if span >= YEARS_FROM else _month_ticks(days, xs, x1)


def _years(days: Sequence[date], xs: Sequence[float], x1: float) -> list[Tick]:
    """Each year's number where its band has room for it, in short where it is narrow, or none."""
    first, last = days[0], days[-1]
    starts = [first, *(date(year, 1, 1) for year in range(first.year + 1, last.year + 1))]
    places = [_between(one, days, xs) for one in starts]
    out, free_from = [], xs[0]
    for at, (place, end) in enumerate(pairwise([*places, x1])):
        year = starts[at].year
        begins = max(place, free_from)
        names = (str(year), f"\N{RIGHT SINGLE QUOTATION MARK}{year % 100:02}") if begins - place <= FREE else ()
        said = next((one for one in names if len(one) * LETTER_WIDE <= end - begins + FREE), "")
        out.append(Tick(place, said, line=at > 0, pushed=begins - place))
        free_from = begins + len(said) * LETTER_WIDE + FREE if said else free_from
    return out


def _month_ticks(days: Sequence[date], xs: Sequence[float], x1: float) -> list[Tick]:
    """As many months as there is room for; where a year begins, its number is among them."""
    first = days[0]
    starts = [first, *_months(first, days[-1])]
    turns = [one for one in starts[1:] if one.month == 1] or [first]
    places = [_between(one, days, xs) for one in starts]
    words = [_month(one, year=one in turns) for one in starts]
    taken: list[tuple[float, float]] = []
    told = set()
    for at in sorted(range(len(starts)), key=lambda at: (starts[at] not in turns, at)):
        begins, ends = places[at], places[at] + len(words[at]) * LETTER_WIDE
        if ends <= x1 + FREE and all(ends + FREE <= other or begins >= until + FREE for other, until in taken):
            taken.append((begins, ends))
            told.add(at)
    return [Tick(place, words[at] if at in told else "", line=at > 0) for at, place in enumerate(places)]


def _between(day: date, days: Sequence[date], xs: Sequence[float]) -> float:
    """Where a day stands between two visits."""
    at = min(max(bisect_right(days, day), 1), len(days) - 1)
    earlier, later = days[at - 1], days[at]
    gap = (later - earlier).days
    return xs[at - 1] + (xs[at] - xs[at - 1]) * ((day - earlier).days / gap if gap else 0.0)


def _months(first: date, last: date) -> list[date]:
    every = [date(first.year + n // 12, n % 12 + 1, 1) for n in range(first.month, first.month + 22)]
    return [one for one in every if one <= last]


def _month(day: date, *, year: bool) -> str:
    return MONTHS[day.month - 1] + (f" {day.year % 100:02}" if year else "")


def _day(day: date, *, year: bool) -> str:
    return f"{day.day} {MONTHS[day.month - 1]}" + (f" {day.year % 100:02}" if year else "")
