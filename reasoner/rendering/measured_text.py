"""A measure as a page for the terminal.

In: `Told`. Out: lines. Not here: what is told.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.rendering import phrases, wording
from reasoner.rendering.measured import Told
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.rulebook import Rulebook


def measured_lines(told: Told, book: Rulebook, *, full: bool = True) -> Iterator[Line]:
    """One measure: its sentences, what was not measured, what it does not say, and what it rests on. Not `full` counts the
    details instead of telling them."""
    yield from heading(told.title)
    for sentence in told.lines:
        yield Line(sentence)
    for sentence in told.more if full else ():
        yield Line(sentence)
    if told.more and not full:
        yield Line(f"(and {phrases.counted(len(told.more), 'sentence')} in detail: --full)", "faint")
    for missing in told.not_measured:
        yield Line(missing, mark="not measured", hang=2)
    for caution in told.cautions:
        yield Line(caution, "faint", mark="mind", hang=2)
    yield Line(f"rests on {wording.basis(told.rests_on, book)}", "faint")
