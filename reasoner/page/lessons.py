"""A visit told as a lesson, for the page.

In: a visit, the rules, which words. Out: the lesson, told.
Not here: what a teacher would say (teaching.lesson), its wording (rendering.lesson_told), the route.
"""

from __future__ import annotations

from reasoner.consult import Answer, judge
from reasoner.rendering.lesson_shapes import Told, Words
from reasoner.rendering.lesson_told import told
from reasoner.rules_cache import Ready
from reasoner.teaching.lesson import Lesson, lesson_of
from reasoner.visit.model import Visit

MOST_LESSONS = 4
"""Lessons kept while they are asked for in a row: plain, technical, the sheet."""
_LESSONS: dict[tuple[Visit, str], tuple[Answer, Lesson]] = {}


def lesson_told(rules: Ready, visit: Visit, words: Words) -> Told:
    """The visit told as a lesson. The last few are kept: plain, technical and the sheet are asked for in a row."""
    key = (visit, rules.book.stamp)
    made = _LESSONS.get(key)
    if made is None:
        answer = judge(visit, rules)
        made = answer, lesson_of(answer)
        for old in list(_LESSONS)[: 1 - MOST_LESSONS]:
            _LESSONS.pop(old, None)
        _LESSONS[key] = made
    answer, lesson = made
    return told(lesson, answer, words)
