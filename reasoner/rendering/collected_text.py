"""What became of the files that were collected, and what a hand-out keeps from whom, on the terminal and on the page.

In: verdicts, a handed-out case. Out: lines.
Not here: collecting (teaching.collecting).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.rendering import phrases
from reasoner.rendering.text_page import GAP, Line
from reasoner.teaching.collecting import SET_ASIDE, Kind, Verdict
from reasoner.teaching.handing_out import HandedOut

WORDS: dict[Kind, str] = {
    "taken": "taken", "taken already": "collected already; nothing was changed", "taken beside": "taken",
    "the case": "this is the case itself, and no answer; left alone", "unfinished": "not taken: unfinished",
    "another case": "not taken: of another case", "not taken": "not taken",
}  # fmt: skip
KEEPS = (
    "What the file keeps: your answer, your words and what the rules say of the case can be read with this class's key alone. "
    "The readings are enciphered with a key that follows from the file itself: no eye, editor or search finds them, but they "
    "have to be uncovered look by look on the apprentice's machine, so somebody who writes a program could read them all. A "
    "changed file is noticed when it is begun; one that was changed and sealed anew, when its answers are collected."
)
LEFT = "What was not taken stays where it lies; collecting it again, mended, is safe."


def collected_lines(verdicts: Sequence[Verdict]) -> Iterator[Line]:
    """Each file and what became of it."""
    for one in verdicts:
        aside = one.kind in SET_ASIDE
        whose = f'{one.work.by}, "{one.work.title}"' if one.work is not None and not aside else ""
        said = ": ".join(part for part in (one.file, WORDS[one.kind], whose) if part)
        yield Line(said, "open" if aside else "body", mark="-")
        if one.why:
            yield Line(one.why, indent=2)
        yield from (Line(note, indent=2) for note in one.notes)
        if one.kind in ("taken", "taken beside") and one.work is not None:
            yield Line(f"receipt {one.work.receipt}", "faint", 2)
    taken = sum(one.kind in ("taken", "taken beside") for one in verdicts)
    aside_count = sum(one.kind in SET_ASIDE for one in verdicts)
    yield GAP
    yield Line(f"{phrases.counted(taken, 'answer')} taken; {aside_count} set aside.", "strong")
    if aside_count:
        yield Line(LEFT, "faint")


def handed_out_lines(case: HandedOut, file: str) -> Iterator[Line]:
    """What was written, for whom, and what it keeps from whom."""
    yield Line(f"written: {file}", "strong")
    yield Line("Give this file to your apprentices. They work on it with:", indent=2)
    yield Line(f'reasoner practise {file.rpartition("/")[2]} --name "THEIR NAME"', indent=4)
    end = "see what the rules make of it" if case.marks else "see nothing but that it is handed in"
    yield Line(f"At the end they {end}; your own answer stays locked either way.", indent=2)
    yield Line(KEEPS, "faint", 2)
    yield Line(f"seal {case.seal[:16]}", "faint", 2)
