"""How the next check is chosen: the table `checking` of rules/scales/, read and held against the words of the rulebook.

In: the table as plain data; later the whole book. Out: `Checking`, and a problem for every word that names nothing.
Not here: choosing. A misspelt stop would let a look be proposed that it was meant to take away, so nothing is passed over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from reasoner.problems import Problem, near_hint, register
from reasoner.rulebook.scales import Checking
from reasoner.rulebook.vocabulary import canonical

if TYPE_CHECKING:
    from reasoner.rulebook.rulebook import Rulebook

register({"RB62": "a word in the table of checks names nothing"})

PALPATION, SPACES = "palpation", "between_the_spinous_processes"
WHERE = "rules/scales/checking.yaml"


def checking_from(table: Mapping[str, Any]) -> Checking:
    """The table as it is written. Raises KeyError, ValueError, TypeError or AttributeError where it cannot be read."""

    def lists(name: str) -> dict[str, tuple[str, ...]]:
        return {canonical(key): tuple(map(canonical, words)) for key, words in table[name].items()}

    return Checking(
        scores=tuple(float(score) for score in table["scores_tried"]), minutes_a_side=float(table["minutes_a_side"]),
        minutes_to_begin={canonical(key): float(value) for key, value in table.get("minutes_to_begin", {}).items()},
        first=canonical(table["first"]), asks=lists("asks"), back=tuple(map(canonical, table["back"])),
        no_trot_after=lists("no_trot_after"), by_telephone=tuple(map(canonical, table["by_telephone"])),
        basis=table.get("basis", ""),
    )  # fmt: skip


def slips_of_checking(book: Rulebook) -> Iterator[Problem]:
    """A problem for each heading, entry, reading, region and stop of the table that is not there."""
    checking = book.scales.checking
    if checking is None:
        return
    words = book.vocabulary
    headings = {canonical(key) for key in words.sections} | {PALPATION, SPACES}
    stops = {canonical(word) for stop in book.scales.stops for word in (stop.key, *stop.also)}
    yield from _missing((*checking.asks, *checking.minutes_to_begin, checking.first), headings, "heading")
    yield from _missing((stop for some in checking.asks.values() for stop in some), stops, "stop")
    yield from _missing(checking.back, set(map(canonical, words.regions)), "region")
    yield from _missing(checking.no_trot_after, set(words.observations), "entry")
    yield from _missing(checking.by_telephone, headings | set(words.observations), "heading or entry")
    for key, readings in checking.no_trot_after.items():
        if key in words.observations:
            known = {word.key for word in words.observations[key].readings}
            yield from _missing(readings, known, f"reading of {words.observations[key].name}")
    if not checking.scores or not all(0.0 <= score <= 10.0 for score in checking.scores):
        yield Problem(WHERE, 0, "RB62", "`scores_tried` holds numbers from 0 to 10, at least one.")
    if not checking.minutes_a_side > 0.0 or not all(minutes >= 0.0 for minutes in checking.minutes_to_begin.values()):
        yield Problem(WHERE, 0, "RB62", "a number of minutes lies above 0.")


def heading_of(section: str) -> str:
    """The heading at the left edge that a section of the vocabulary stands under."""
    return section.partition("/")[0]


def _missing(words: Any, known: set[str], what: str) -> Iterator[Problem]:
    for word in dict.fromkeys(words):
        if word not in known:
            said = f'"{word.replace("_", " ")}" is no {what}.'
            yield Problem(WHERE, 0, "RB62", said, near_hint(word, known))
