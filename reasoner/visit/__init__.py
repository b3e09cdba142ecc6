"""What was written down on the day, with the line each thing stands on.

In: a visit file and the vocabulary. Out: a `Visit`, or every mistake in it at once.
Not here: which words exist (they are data in rules/), numbers made of findings, judgement.
"""

from __future__ import annotations

from reasoner.visit.model import DateSpan, Grade, Noted, Side, Touch, VetsWord, Visit, When, Worked, mirrored
from reasoner.visit.reading import read_visit, visit_from_node

__all__ = [
    "DateSpan",
    "Grade",
    "Noted",
    "Side",
    "Touch",
    "VetsWord",
    "Visit",
    "When",
    "Worked",
    "mirrored",
    "read_visit",
    "visit_from_node",
]
