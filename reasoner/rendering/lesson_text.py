"""A lesson on the terminal: the leading thread outright, the rest counted; with `full` everything, each step opened.

In: a `Told`. Out: lines.
Not here: what is said.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.rendering.lesson_shapes import Anatomy, Chapter, Rule, Step, Told
from reasoner.rendering.lesson_told import NOT_CHECKED
from reasoner.rendering.phrases import sentence
from reasoner.rendering.text_page import GAP, Line, heading

MORE = "--full opens every step to its rule, what that rests on, and the anatomy."
OTHER_WORDS = {
    "plain": "--words technical says it with the numbers.",
    "technical": "--words plain says it without numbers.",
}
MARKS = {"for": "rule for", "against": "rule against", "calls": "why", "waits": "rule that waits"}


def lesson_lines(told: Told, *, full: bool = False) -> Iterator[Line]:
    """The lesson, line by line."""
    yield Line(told.title, "title")
    yield Line(told.about)
    shown: set[str] = set()
    for number, chapter in enumerate(told.chapters):
        yield from heading(f"{number}. {chapter.title}" if number else chapter.title)
        yield from _chapter(chapter, full, shown)
    yield from heading(NOT_CHECKED)
    yield from (Line(line, "open") for line in told.not_checked)
    yield from heading("what this rests on")
    yield from (Line(line, "faint") for line in told.rests_on)
    yield from (Line(line, "faint", mark="-") for line in told.cautions)
    yield GAP
    yield Line(" ".join(([] if full else [MORE]) + [OTHER_WORDS[told.words]]), "faint")


def _chapter(chapter: Chapter, full: bool, shown: set[str]) -> Iterator[Line]:
    for line in chapter.opening:
        yield Line(line)
    for step in chapter.steps if full else chapter.leading:
        yield GAP
        yield from _step(step, full, shown)
    if chapter.folded and not full:
        yield GAP
        yield Line(f"({chapter.rest}: --full)", "faint")
    if chapter.closing:
        yield GAP
    for line in chapter.closing:
        yield Line(line)


def _step(step: Step, full: bool, shown: set[str]) -> Iterator[Line]:
    lines = list(dict.fromkeys(one.line for one in step.seen if one.line))
    tail = f"line{'s' if len(lines) > 1 else ''} {', '.join(map(str, lines))}" if lines else ""
    yield Line(step.says, "alarm" if step.alarm else "strong", 2, tail=tail)
    for line in step.more:
        yield Line(line, indent=4)
    before = ""
    for point in step.points:
        if full or not point.folded:
            mark = "and:" if point.mark == before else f"{point.mark}:"
            yield Line(point.text, indent=4, mark=mark, hang=len(point.mark) + 2)
            before = point.mark
    if full:
        for rule in step.rules:
            yield from _rule(rule)
        for place in step.anatomy:
            yield from _anatomy(place, shown)


def _rule(rule: Rule) -> Iterator[Line]:
    loud = f" ({rule.loud})" if rule.loud else ""
    yield Line(f"{rule.name}{loud}", indent=4, mark=f"{MARKS[rule.speaks]}:", tail=f"{rule.file}:{rule.line}", hang=4)
    yield Line(rule.because, indent=8)
    yield Line(sentence("rests on " + "; ".join(one.words for one in rule.basis)), "faint", 8)


def _anatomy(place: Anatomy, shown: set[str]) -> Iterator[Line]:
    """The place, in full where it is met first."""
    if place.place in shown:
        yield Line(f"{place.name}: see above", "faint", 4, mark="under the hand:", hang=4)
        return
    shown.add(place.place)
    yield Line(place.name, indent=4, mark="under the hand:", tail=f"{place.file}:{place.line}", hang=4)
    for label, text in place.rows:
        yield Line(text, indent=8, mark=f"{label}:", hang=4)
    basis = "; ".join(one.words for one in place.basis)
    yield Line(f"{place.read} {sentence(basis)}".strip(), "faint", 8)
