"""What two wordings of one visit say differently.

In: two visits. Out: a line for each place or entry that differs, in walking order.
Not here: which of them is right.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.rendering.phrases import at_side
from reasoner.rendering.visit_rows import noted_rows, touch_rows
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Visit

NOTHING = "nothing"


def differing_lines(kept: Visit, other: Visit, words: Vocabulary) -> list[str]:
    """One line a place and side, or an entry: "loin, left: 3 is kept, 5 is here"."""
    return [f"{name}: {was} is kept, {now} is here" for name, was, now in differing(kept, other, words)]


def differing(kept: Visit, other: Visit, words: Vocabulary) -> list[tuple[str, str, str]]:
    """(place and side or entry, what the kept visit says of it, what the other says), in walking order."""
    before, after = dict(_said(kept, words)), dict(_said(other, words))
    return [
        (name, before.get(name) or NOTHING, after.get(name) or NOTHING)
        for name in dict.fromkeys((*before, *after))
        if before.get(name, "") != after.get(name, "")
    ]


def _said(visit: Visit, words: Vocabulary) -> Iterator[tuple[str, str]]:
    for row in noted_rows(visit, words, lambda key: True):
        name = f"{row.section}: {row.name}" if row.section else row.name
        yield name, f"{row.value} ({row.note})" if row.note else row.value
    for touched in touch_rows(visit, words, lambda place: True):
        for side, said in (("left", touched.left), ("right", touched.right), ("", touched.middle)):
            if said:
                yield at_side(touched.name, side), said
