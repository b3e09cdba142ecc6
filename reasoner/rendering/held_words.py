"""Words kept before they were held to the list of words nobody may use: held back in what leaves, shown at the desk.

In: a judgement or a caption as it is kept, and the list. Out: what stands in its place in a report, and what to do, for the desk.
Not here: the list (rules/scales/wording.yaml), refusing such words when they are written (records.changing).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from reasoner.records.changing import not_ours
from reasoner.rendering import phrases
from reasoner.rendering.beside_lines import judgements

if TYPE_CHECKING:
    from reasoner.rulebook.wording import Wording
    from reasoner.store.afterwards import Opinion
    from reasoner.store.enclosing import Enclosed

WHY = "it holds a word that is not ours to say"
CAPTION = f"(a caption is held back: {WHY})"


def judgements_that_leave(
    opinions: Sequence[Opinion], words: Mapping[tuple[str, str], str], wording: Wording
) -> list[str]:  # fmt: skip
    """Every judgement in a sentence; of one that holds such a word that it is held back, and whose it is."""
    return [
        f"A judgement of {one.who} ({phrases.iso_day(one.saved_at[:10])}) is held back here: {WHY}."
        if not_ours(one.because, wording) else sentence
        for one, sentence in zip(opinions, judgements(opinions, words), strict=True)
    ]  # fmt: skip


def captions_that_leave(enclosed: Iterable[Enclosed], wording: Wording) -> list[Enclosed]:
    """The files with such captions taken out, and that said in their place."""
    return [
        replace(one, caption=CAPTION) if one.caption and not_ours(one.caption, wording) else one for one in enclosed
    ]


def what_to_do(text: str, wording: Wording | None, how: str) -> str:
    """For the desk: which word holds it back from reports, what may be written instead, and `how`; empty where none does."""
    wrong = not_ours(text, wording) if wording is not None and text else ""
    return f"Held back from reports: {wrong} {how}" if wrong else ""
