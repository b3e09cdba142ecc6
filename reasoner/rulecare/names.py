"""Looking a thing of the rulebook up by what a person calls it.

In: a word and a `Rulebook`. Out: an `Entry` (kind, key, name, file, line), or BadInput with the nearest valid word.
Not here: what leans on it (leaning), how it is shown (rendering).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical

register({"CL05": "nothing of that name in the rulebook", "CL06": "a name that means several things"})


@frozen
class Entry:
    """One thing of a rulebook; `name` is what a person calls it: a page's sentence, a place's name, a source's title."""

    kind: str
    key: str
    name: str
    file: str
    line: int


def entries(book: Rulebook) -> Iterator[Entry]:
    """Everything that has a name: pages, their rules, sources, places, observations."""
    for conclusion in book.conclusions.values():
        yield Entry("conclusion", conclusion.id, conclusion.says, conclusion.file, conclusion.line)
    for concern in book.concerns.values():
        yield Entry("concern", concern.id, concern.says, concern.file, concern.line)
    for action in book.actions.values():
        yield Entry("action", action.id, action.says, action.file, action.line)
    for rule, page, evidence in book.rules():
        yield Entry("rule", rule, evidence.rule, page.file, evidence.line)
    for circumstance in book.circumstances.values():
        yield Entry("circumstance", circumstance.id, circumstance.says, circumstance.file, circumstance.line)
    for source in book.sources.values():
        yield Entry("source", source.id, source.title, source.file, source.line)
    for place in book.vocabulary.places.values():
        yield Entry("place", place.key, place.name, place.file, place.line)
    for observation in book.vocabulary.observations.values():
        yield Entry("observation", observation.key, observation.name, observation.file, observation.line)


def look_up(word: str, book: Rulebook) -> Entry:
    """The thing meant by a word: a key before a name before a synonym. Raises BadInput (CL05, CL06)."""
    every = list(entries(book))
    wanted = "/".join(canonical(part) for part in word.split("/"))
    for found in (
        [e for e in every if e.key == wanted],
        [e for e in every if canonical(e.name) == wanted],
        [e for e in every if wanted in _synonyms(e, book)],
    ):
        if len(found) == 1:
            return found[0]
        if found:
            keys = ", ".join(f"{e.key} ({e.kind})" for e in found)
            raise BadInput([Problem("KEY", 0, "CL06", f'"{word}" means several things.', f"Say which: {keys}.")])
    hint = near_hint(wanted, [e.key for e in every]) or near_hint(word, [e.name for e in every])
    raise BadInput([Problem(
        "KEY", 0, "CL05", f'"{word}" is no rule, page, action, concern, source, place or observation of this rulebook.',
        hint or "Such as withers_pinch, or withers_pinch/sore_on_this_side.",
    )])  # fmt: skip


def _synonyms(entry: Entry, book: Rulebook) -> set[str]:
    if entry.kind == "place":
        place = book.vocabulary.places[entry.key]
        return {canonical(w) for w in (place.latin, *place.also) if w}
    if entry.kind == "observation":
        return {canonical(w) for w in book.vocabulary.observations[entry.key].also}
    return set()
