"""Figures of agreement in words: a number with its interval, what published work calls it, names of places and hands.

In: estimates and the table of agreement. Out: short texts for the page, the picture and JSON.
Not here: the page (agreement_text), working anything out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from reasoner.rendering import phrases, wording
from reasoner.rendering.short_sources import short_source
from reasoner.rulebook.measures.agreement import AgreementTable, Bands
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.agreement import Agreement
from reasoner.teaching.statistics import Estimate

MINUS = "-"


def estimate(found: Estimate | None, places: int = 2) -> str:
    """ "0.87 (0.83 to 0.91)", or why there is no number."""
    if found is None:
        return "not defined here: no place differs from another"
    value = number(found.value, places)
    if found.low is None or found.high is None:
        return f"{value} (no interval: it is not defined here)"
    return f"{value} ({number(found.low, places)} to {number(found.high, places)})"


def number(value: float, places: int = 2) -> str:
    """Rounded, and never minus nothing."""
    text = f"{value:.{places}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def called(found: Estimate | None, of: Literal["kappa", "icc"], table: AgreementTable, book: Rulebook) -> Iterator[str]:
    """What each source calls it, judged on the whole interval: "moderate to good (Koo and Li 2016)"."""
    if found is None:
        return
    for bands in table.bands:
        if bands.of == of:
            yield f"{_word(bands, found)} ({source(bands, book)})"


def source(bands: Bands, book: Rulebook) -> str:
    """The source of some bands in few words."""
    page = book.sources.get(bands.basis) if isinstance(bands.basis, str) else None
    return short_source(page.authors, page.year, page.title) if page is not None else str(bands.basis)


def _word(bands: Bands, found: Estimate) -> str:
    low, high = (bands.word(found.value if end is None else end) for end in (found.low, found.high))
    if low == high:
        return low
    # A band may itself be called "fair to good".
    return f"{low} up to {high}" if " to " in low + high else f"{low} to {high}"


def place(key: str, side: str, words: Vocabulary, *, after_work: bool = False) -> str:
    """A place with its side: "withers, left", "loin, right, after work"."""
    known = words.places.get(key)
    name = wording.full_name(key, known.name, words) if known else phrases.plain(key)
    return phrases.at_side(name, side) + (", after work" if after_work else "")


def spots(some: Iterable[tuple[str, str]], words: Vocabulary) -> str:
    """Places by region, both sides told once: "back: girth line (left), withers (both sides)"."""
    sides: dict[str, list[str]] = {}
    for key, side in some:
        sides.setdefault(key, []).append(side)
    regions: dict[str, list[str]] = {}
    for key, found in sides.items():
        known = words.places.get(key)
        side = {"": "", "left": " (left)", "right": " (right)"}[found[0]] if len(found) == 1 else " (both sides)"
        region = wording.group_of(key, words)
        regions.setdefault(region, []).append((known.name if known else phrases.plain(key)) + side)
    return "; ".join(f"{region}: {', '.join(names)}" for region, names in regions.items())


def hands(agreement: Agreement) -> tuple[str, str]:
    """What the two are called: their names, the first and the second time, or the first and the second file."""
    one, two = agreement.hands
    if agreement.same_hand:
        return f"{one}, the first time", f"{one}, the second time"
    return one or "the first file", two or "the second file"
