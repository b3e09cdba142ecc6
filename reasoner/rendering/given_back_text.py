"""One apprentice's answer to give back: what they did, what the teacher says, what the rules say.

In: an answer beside the teacher's, its session, the marks by the rules. Out: lines.
Not here: marks by the rules themselves (practise_marks_text).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reasoner.rendering.class_text import HOW, facts_of
from reasoner.rendering.phrases import moment
from reasoner.rendering.practise_marks_text import marked_lines
from reasoner.rendering.teachers_answer_text import both_lines, key_words
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.beside_the_teacher import Beside
from reasoner.teaching.handing_out import Locked
from reasoner.teaching.marked import Marked


def given_back_lines(one: Beside, locked: Locked, marks: Marked, book: Rulebook) -> Iterator[Line]:
    """The whole sheet."""
    yield Line(f"{one.work.by}: {one.work.title}", "title")
    yield Line(
        f"Begun {moment(one.work.begun)}, ended {moment(one.work.ended_at)}. Receipt {one.work.receipt}.", "faint"
    )
    yield from heading("your answer beside your teacher's")
    yield from (Line(words, role, 2, mark="-") for words, role in facts_of(one, book))
    yield from both_lines(locked.answer, locked.rules, book)
    yield from heading("what you did, in order")
    names = {look.key: look.name for look in one.marks.looks}
    for number, choice in enumerate(one.work.choices, 1):
        yield Line(choice_words(choice, names, book), indent=2, mark=f"{number}.")
    yield from heading("how it is held")
    yield Line(HOW, "faint")
    yield GAP
    yield Line("Beside the rules, choice by choice", "strong")
    yield from (line for line in marked_lines(marks, book) if line.role != "title")


def choice_words(choice: Mapping[str, Any], names: Mapping[str, str], book: Rulebook) -> str:
    """One choice as it was made."""
    if "look" in choice:
        return f"looked at {names.get(choice['look'], str(choice['look']).replace('_', ' '))}"
    if "think" in choice:
        held = [
            f"{key_words((one['cause'], one['side'] or ''), book)} ({one['percent']:g} %)" for one in choice["think"]
        ]
        return f"thought: {'; '.join(held) or 'nothing stands out'}"
    if "refer" in choice:
        return f"call: {choice['refer']}"
    for kind, words in (("step", "step"), ("drop", "took back")):
        if kind in choice:
            return f"{words}: {key_words((choice[kind], choice['side'] or ''), book)}"
    return "ended"
