"""A lesson in one wording: its chapters in the order a teacher would go through them.

In: a `Lesson`, its answer, and which words. Out: `Told`. Plain and technical tell the same steps, in other names and numbers.
Not here: any one chapter, layout.
"""

from __future__ import annotations

from collections.abc import Iterable

from reasoner.rendering import phrases, shared_text, short_text
from reasoner.rendering.answered import Answered
from reasoner.rendering.lesson_doubts import home_chapter, open_chapter, turns_chapter
from reasoner.rendering.lesson_found import first_chapter, found_chapter
from reasoner.rendering.lesson_shapes import Told, Words
from reasoner.rendering.lesson_weighed import rivals_chapter, thread_chapter
from reasoner.rendering.text_page import Line
from reasoner.teaching.lesson import Lesson

NOT_CHECKED = "not checked today"
WORDS: tuple[Words, ...] = ("plain", "technical")


def told(lesson: Lesson, answer: Answered, words: Words) -> Told:
    """The lesson in these words."""
    visit = answer.visit
    name = visit.horse_name or "the horse"
    hands = visit.noted_value("examined_by")
    about = ". ".join(
        part for part in (
            phrases.sentence(", ".join(filter(None, shared_text.horse(visit)))).rstrip("."),
            f"Visit of {phrases.day(visit.day)}" + (f", examined by {hands}" if hands else ""),
        ) if part
    )  # fmt: skip
    chapters = [first_chapter(lesson, answer, words), found_chapter(lesson, answer, words)]
    if not lesson.stop:
        chapters += [
            chapter for chapter in (
                thread_chapter(lesson, answer, words), rivals_chapter(lesson, answer, words),
                turns_chapter(lesson, answer, words), open_chapter(lesson, answer, words), home_chapter(lesson, answer),
            ) if chapter is not None
        ]  # fmt: skip
    rests = _lines(shared_text.rests_on(answer, named=words == "technical"))
    return Told(
        words=words, title=f"A lesson: {name}", about=phrases.sentence(about), chapters=tuple(chapters),
        not_checked=_lines(short_text.not_checked(answer, NOT_CHECKED)), rests_on=rests,
        cautions=tuple(dict.fromkeys(map(phrases.sentence, (*shared_text.always(answer.ready.book), phrases.LEFT_IS)))),
    )  # fmt: skip


def _lines(lines: Iterable[Line]) -> tuple[str, ...]:
    """The words of a part of the terminal's pages, without its heading."""
    return tuple(line.text for line in lines if line.text and line.role != "heading")
