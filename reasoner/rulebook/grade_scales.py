"""The named scales on which a veterinarian grades: looked up by any spelling, and what stands on one.

In: the table `grade_scales` of the vocabulary, a scale's name or a grade as written. Out: grades with what each stands for.
Not here: reading a visit, comparing two grades (measures/given_numbers.py).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from reasoner.problems import nearest
from reasoner.rulebook.vocabulary import Vocabulary, canonical

_GRADE = r"([0-9]{1,2}(?:\.5)?)(?:\s*(?:/|of|out of)\s*([0-9]{1,2}))?"


def grade_scales(vocabulary: Vocabulary) -> Mapping[str, Any]:
    """Every scale by its name; empty where the vocabulary has none."""
    table = vocabulary.facts.get("grade_scales", {})
    return table if isinstance(table, Mapping) else {}


def scale_called(name: str, scales: Mapping[str, Any]) -> str:
    """The name under which a scale stands in the table, or an empty string."""
    for known, entry in scales.items():
        if canonical(name) in {canonical(word) for word in (known, *entry.get("also", ()))}:
            return known
    return ""


def nearest_scale(name: str, scales: Mapping[str, Any]) -> str:
    """The nearest name of a scale, or the names of all."""
    names = {word.lower(): word for known, entry in scales.items() for word in (known, *entry.get("also", ()))}
    near = nearest(name, names)
    return f'Near: "{names[near]}".' if near else f"Scales whose grades are known here: {', '.join(scales)}."


def grades_of(name: str, scales: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The grades of a scale with what each stands for, from the lowest up; empty for a scale that is not in the table."""
    known = scale_called(name, scales)
    return list(scales[known]["grades"].items()) if known else []


def read_grade(text: str) -> tuple[Decimal, Decimal | None] | None:
    """A grade and what it is out of: (2, None), (2, 5); None for what is no grade.

    >>> read_grade("2.5"), read_grade("2 of 5"), read_grade("6/5"), read_grade("slight")
    ((Decimal('2.5'), None), (Decimal('2'), Decimal('5')), None, None)
    """
    found = re.fullmatch(_GRADE, text.strip())
    if found is None or float(found[1]) > float(found[2] or 10):
        return None
    return Decimal(found[1]), Decimal(found[2]) if found[2] else None


def on_scale(grade: tuple[Decimal, Decimal | None], grades: list[tuple[str, str]]) -> bool:
    """Whether a grade lies between the lowest and the highest, and is written out of the highest if out of anything."""
    low, high = Decimal(grades[0][0]), Decimal(grades[-1][0])
    return low <= grade[0] <= high and (grade[1] is None or grade[1] == high)
