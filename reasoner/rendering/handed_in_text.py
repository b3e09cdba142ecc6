"""The end of an apprentice's work on a handed-out case, on the terminal.

In: the work. Out: lines.
Not here: marks by the rules (practise_marks_text); the teacher's answer, which is locked where this is printed.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.teaching.handed_in import Work

RECEIPT = (
    "Read these letters out to your teacher now, or write them down together. From then on nothing in the file can be changed "
    "unnoticed. They tell nothing of your answer."
)
LEFT_TO_THE_TEACHER = "Handed in: your teacher opens it. What was right is told then."
RULES_BELOW = (
    "What these rules make of the case stands below. Your teacher's own answer is locked, and may say otherwise."
)
LIES_READY = (
    "It lies ready where your teacher takes answers in; nothing has to be sent. A copy for yourself is the file below."
)


def handed_in_lines(work: Work, file: str, marks_shown: bool, *, put: bool = False) -> Iterator[Line]:
    """That the work has ended, where it lies (`put`: where the teacher takes answers in), and its receipt."""
    yield Line(f'{work.by}: "{work.title}" is ended', "title")
    yield Line(RULES_BELOW if marks_shown else LEFT_TO_THE_TEACHER)
    yield GAP
    yield Line(LIES_READY if put else f"Give this file to your teacher: {file}", "strong")
    yield from heading("receipt")
    yield Line(work.receipt, "strong", 2)
    yield Line(RECEIPT, "faint", 2)


def other_rules(case: str, here: str) -> str:
    """That a case and this machine have different rules."""
    return f"this case was handed out with rulebook {case}; these rules are {here}. Looks may be offered otherwise than in class."
