"""What a practitioner changed before it goes out, told beside it: in a report, on the screen, on the page of the records.

In: an answer with changes in it, or the rows of the changes. Out: sentences and lines.
Not here: the changed sentences themselves; they are marked where they stand (records.editing).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from reasoner.records.editing import MARKED, Edited, SetAside
from reasoner.rendering import phrases
from reasoner.rendering.text_page import Line, heading

if TYPE_CHECKING:
    from reasoner.store.edits import Edit

#: What stands at each line, for whoever reads what was changed.
LINES = {
    "step": "a step of the plan", "owner": "a step, as the owner reads it", "task": "what the owner is asked to do",
    "observed": "a sentence of what was observed, as the owner reads it",
}  # fmt: skip
DEEDS = {
    "reword": "written anew", "strike": "taken out", "add": "added", "back": "the tool's own words let stand again",
}  # fmt: skip


def told(edited: Edited) -> list[str]:
    """What a report says of the changes in it; nothing where there are none."""
    if not edited.writers:
        return []
    who = phrases.listed(edited.writers)
    return [
        f"Sentences marked \"{MARKED}\" were written by {who} in place of the tool's; the tool's own words are kept."
    ]


def aside_words(one: SetAside) -> str:
    """A change that is not made, in a sentence.

    >>> from reasoner.store.edits import Edit
    >>> edit = Edit(uid="", visit="", version="", line="step", deed="reword", key="", side="", kind="", tool_words="Walk.",
    ...             words="Walk him out", because="", who="Wren Aldous", saved_at="2026-11-28T09:00")
    >>> aside_words(SetAside(edit=edit, because="The tool says something else there now."))
    'Not as Wren Aldous changed it on 28 November 2026 ("Walk him out"): The tool says something else there now.'
    """
    edit = one.edit
    said = edit.words or f"taken out: {edit.tool_words.rstrip('.')}"
    return f'Not as {edit.who} changed it on {_day(edit)} ("{said.rstrip(".")}"): {one.because}'


def edited_above(edited: Edited) -> Iterator[Line]:
    """The lines above a plan on the screen that has changes in it, or that has some set aside."""
    for text in told(edited):
        yield Line(text, "strong")
    for one in edited.aside:
        yield Line(aside_words(one), "alarm")


def edit_lines(every: Sequence[Edit]) -> Iterator[Line]:
    """Every change of a visit, the tool's own words beside, for its page in the records."""
    if every:
        yield from heading("changed before it went out")
    for edit in every:
        yield Line(what(edit), mark="-", hang=2, tail=f"{edit.who}, {_day(edit)}")
        yield from beside(edit)


def what(edit: Edit) -> str:
    """What was done to which line."""
    side = f", {edit.side}" if edit.side else ""
    return phrases.sentence(f"{LINES[edit.line]}{side}: {DEEDS[edit.deed]}")


def beside(edit: Edit) -> Iterator[Line]:
    """The words of both, and the reason."""
    if edit.words:
        yield Line(edit.words, indent=2, mark="now", hang=6)
    if edit.tool_words:
        yield Line(edit.tool_words, "faint", 2, "tool", hang=6)
    if edit.because:
        yield Line(phrases.sentence(edit.because), indent=2, mark="why", hang=6)


def edits_json(every: Iterable[Edit]) -> list[dict[str, object]]:
    """The same as data."""
    return [
        {
            "line": one.line, "deed": one.deed, "key": one.key, "side": one.side or None, "kind": one.kind or None,
            "tool_words": one.tool_words or None, "words": one.words or None, "because": one.because or None,
            "by": one.who, "at": one.saved_at,
        }
        for one in every
    ]  # fmt: skip


def _day(edit: Edit) -> str:
    return phrases.iso_day(edit.saved_at[:10])
