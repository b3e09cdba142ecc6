"""What was once told, judged or agreed and has been said otherwise since, for the page of a visit or horse.

In: the older words of the records. Out: lines and JSON-ready data.
Not here: reading the records, what stands now (beside_lines.py, records_care_text.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from reasoner.rendering.beside_lines import done_line, judgement_line
from reasoner.rendering.records_care_text import agreed_words
from reasoner.rendering.records_json import agreed_json
from reasoner.rendering.text_page import Line, heading
from reasoner.rendering.told_json import afterwards_json

if TYPE_CHECKING:
    from reasoner.store.consents import Agreed
    from reasoner.store.earlier_words import Earlier

TITLE = "said earlier, and otherwise since"
Words = Mapping[tuple[str, str], str]


def earlier_lines(earlier: Earlier, words: Words, steps: Words, today: date) -> Iterator[Line]:
    """A line for each older word: who, when and what. Nothing where nothing was said twice."""
    if earlier.done or earlier.opinions or earlier.agreed:
        yield from heading(TITLE)
    for done in earlier.done:
        yield done_line(done, steps)
    for opinion in earlier.opinions:
        yield judgement_line(opinion, words)
    for agreed in earlier.agreed:
        yield _agreed(agreed, today)


def earlier_agreed_lines(earlier: Sequence[Agreed], today: date) -> Iterator[Line]:
    """The same of what was agreed about a horse alone."""
    if earlier:
        yield from heading(TITLE)
    for agreed in earlier:
        yield _agreed(agreed, today)


def earlier_json(earlier: Earlier, today: date) -> dict[str, Any]:
    """The same as data, the newest first."""
    told = afterwards_json(earlier.done, earlier.opinions, ())
    return {"told": told["told"], "judged": told["judged"], "agreed": agreed_json(earlier.agreed, today)}


def _agreed(one: Agreed, today: date) -> Line:
    return Line(agreed_words(one, today), mark="-", hang=2)
