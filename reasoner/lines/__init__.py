"""Spoken and typed lines: what a person says at the horse, as findings of a visit.

In: a line, and what it is said about. Out: what was understood, and what has to be asked before anything is entered.
Not here: the words themselves (they are data in rules/vocabulary/), terminals and pages.
"""

from __future__ import annotations

from reasoner.lines.answers import KEEP, answered
from reasoner.lines.model import Finding, Part, PassedOver, Question, Reading, Understood
from reasoner.lines.understanding import understood

__all__ = ["KEEP", "Finding", "Part", "PassedOver", "Question", "Reading", "Understood", "answered", "understood"]
