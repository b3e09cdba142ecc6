"""A lesson as a sheet for paper: the story first, the rules it rests on as numbered notes, the anatomy at the end.

In: a `Told`. Out: one self-contained HTML file as text; no script, nothing fetched.
Not here: what is said, the page at the desk (page/templates/lesson.html), writing the file.
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.frozen import frozen
from reasoner.rendering.lesson_shapes import Anatomy, Chapter, Point, Rule, Step, Told
from reasoner.rendering.report import MARK, environment

MOST_NOTES = 3
"""How many rules a step sends the reader to, unless everything is asked for: the loudest."""


@frozen(kw_only=True)
class OnPaper:
    """A step as it is printed: the numbers of its notes, the letters of its places, and the points that are told."""

    step: Step
    points: tuple[tuple[str, Point], ...]
    notes: tuple[int, ...]
    places: tuple[str, ...]


def lesson_html(told: Told, *, full: bool = False) -> str:
    """The sheet: the leading thread; with `full` every step and every rule."""
    notes: dict[tuple[str, int, str], tuple[int, Rule]] = {}
    places: dict[str, tuple[str, Anatomy]] = {}
    chapters = [
        (chapter, [_step(step, notes, places, full) for step in (chapter.steps if full else chapter.leading)])
        for chapter in told.chapters
    ]
    return environment().get_template("lesson.html").render(
        mark=MARK, told=told, chapters=chapters, folded=[] if full else _folded(told.chapters),
        notes=list(notes.values()), places=list(places.values()),
    )  # fmt: skip


def _step(
    step: Step, notes: dict[tuple[str, int, str], tuple[int, Rule]], places: dict[str, tuple[str, Anatomy]], full: bool
) -> OnPaper:
    points = [point for point in step.points if full or not point.folded]
    before = ["", *(point.mark for point in points)]
    rules = step.rules if full else _loudest(step.rules)
    for rule in rules:
        notes.setdefault((rule.file, rule.line, rule.name), (len(notes) + 1, rule))
    for place in step.anatomy:
        places.setdefault(place.place, (_letter(len(places)), place))
    return OnPaper(
        step=step, points=tuple(("" if p.mark == b else p.mark, p) for p, b in zip(points, before, strict=False)),
        notes=tuple(dict.fromkeys(notes[rule.file, rule.line, rule.name][0] for rule in rules)),
        places=tuple(places[place.place][0] for place in step.anatomy),
    )  # fmt: skip


def _loudest(rules: Sequence[Rule]) -> list[Rule]:
    """The first rules that speak; they come loudest first."""
    return [rule for rule in rules if rule.speaks != "waits"][:MOST_NOTES]


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB and so on, so that notes on places are not taken for notes on rules.

    >>> _letter(0), _letter(25), _letter(26)
    ('A', 'Z', 'AA')
    """
    more, at = divmod(number, 26)
    return (_letter(more - 1) if more else "") + chr(ord("A") + at)


def _folded(chapters: Sequence[Chapter]) -> list[str]:
    return [chapter.rest for chapter in chapters if chapter.rest]
