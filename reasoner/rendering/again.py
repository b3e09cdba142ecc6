"""Another visit to the same horse: the blank file with what stays written, and last time beside every empty place.

In: the visits before as they were kept, and the rulebook. Out: the text of the new file, and what it asks about as data.
Not here: the lines and their order (visit.blank), reading the store. Nothing of last time becomes a reading of the new day.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence

from reasoner.frozen import frozen
from reasoner.records.course import table_of
from reasoner.rendering import phrases
from reasoner.rendering.visit_rows import WHEN, noted_value, touch_words
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.store.history import Held, HeldExpectation, HeldStep, Told
from reasoner.visit.blank import Before, blank_visit
from reasoner.visit.model import Noted, VetsWord, Visit
from reasoner.visit.reader import plain
from reasoner.visit.reading import VISIT

ANSWERS = "done, partly, not done, or stopped because ..?"
_PLAIN_TEXT = re.compile(r"[\w(][\w .()/'+-]*")
#: Words that the reader of the file would take for something else than text.
_NOT_TEXT = re.compile(r"[\d.+-]+|true|false|yes|no|on|off|null|~|none", re.IGNORECASE)


@frozen(kw_only=True)
class Asked:
    """A step of the last plan to ask about, with what it was to change in words and what was told of it already."""

    step: HeldStep
    looked_for: tuple[str, ...]
    told: str


def again_text(every: Sequence[Held], book: Rulebook) -> str:
    """The file of a new visit after all those kept (at least one, in order). With its day filled in it reads as a visit at which
    nothing was examined yet."""
    held, words = every[-1], book.vocabulary
    stays = {n.key: _written(n, held.visit, words) for n in _staying(held.visit, book)}
    before = Before(
        opening=tuple(_opening(held, holding(every), book)), stays=stays, last=dict(_last(held.visit, words))
    )
    return blank_visit(words, before)


def asked_about(held: Held, book: Rulebook) -> tuple[Asked, ...]:
    """Every step of the last plan, in its order."""
    return tuple(
        Asked(step=step, looked_for=tuple(expected_words(e, book.vocabulary) for e in step.expects), told=told_words(step.told))
        for step in held.steps
    )  # fmt: skip


def expected_words(expected: HeldExpectation, words: Vocabulary) -> str:
    """What was looked for: "left girth line 5 to 2 or less by 14 April 2026"."""
    place = words.places.get(expected.place)
    name = " ".join(filter(None, (expected.side, place.name if place else phrases.plain(expected.place))))
    was = f"{expected.was:g} to " if expected.was is not None else "to "
    return f"{name} {was}{expected.to:g} or less by {phrases.day(expected.by)}"


def told_words(told: Told | None) -> str:
    """What was told of a step: "done (the owner, 14 April 2026)"; an empty string where nobody told."""
    if told is None:
        return ""
    said = {"not": "not done"}.get(told.answer, phrases.plain(told.answer)) + (
        f" because {told.because}" if told.because else ""
    )
    return f"{said} ({', '.join(filter(None, (told.by, phrases.day(told.on))))})"


def holding(every: Sequence[Held]) -> tuple[VetsWord, ...]:
    """What veterinarians said that may still hold after the last visit: to a day no earlier than it, or without a last day and
    written down at it. The oldest first, each once."""
    last = every[-1].known.day
    found = {
        (word.who, word.seen, word.about, word.allows, word.forbids): word
        for held in every for word in held.visit.vets_words
        if (held is every[-1] if word.until is None else word.until >= last)
    }  # fmt: skip
    return tuple(sorted(found.values(), key=lambda word: word.seen))


def _vets_word(word: VetsWord) -> str:
    said = [f"{word.who or 'a veterinarian'}, seen {phrases.day(word.seen)}"]
    for label, keys in (("about", word.about), ("allows", word.allows), ("forbids", word.forbids)):
        said += [f"{label} {', '.join(map(phrases.plain, keys))}"] if keys else []
    said.append(f"until {phrases.day(word.until)}" if word.until else "no last day")
    return "; ".join(said)


def _opening(held: Held, vets_words: Sequence[VetsWord], book: Rulebook) -> Iterator[str]:
    known = held.known
    hands = f", examined by {known.examiner}" if known.examiner else ""
    yield f"The same as last time except what you write. Last time was {phrases.day(known.day)}{hands}."
    yield "What stays is written below; of what must be looked at anew, last time's reading stands beside the empty place."
    asked = asked_about(held, book)
    expected = [line for one in asked for line in one.looked_for]
    if expected:
        yield ""
        yield "What was looked for:"
    for line in dict.fromkeys(expected):
        yield f"  {line}. Today?"
    if asked:
        yield ""
        yield f"What was agreed; ask of each: {ANSWERS}"
    for number, one in enumerate(asked, 1):
        yield f"  {number}. {_one_line(one.step.words).rstrip('.')}: {one.told or '?'}"
    for _, _, says in held.concerns:
        yield f"  Told to a veterinarian? What was said? ({_one_line(says).rstrip('.')})"
    if vets_words:
        yield ""
        yield "A veterinarian's word; if it holds today, write it again at the end, for a visit knows only what stands in it:"
    for word in vets_words:
        yield f"  {_one_line(_vets_word(word))}"


def _staying(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    stays = table_of(book).stays.entries
    for noted in visit.noted:
        if (
            noted.key in stays
            and noted.key in book.vocabulary.observations
            and noted.side is None
            and noted.about is None
        ):
            yield noted


def _written(noted: Noted, visit: Visit, words: Vocabulary) -> str:
    """The entry as it can be written again."""
    if noted.kind == "text":
        text = _quoted(str(noted.value))
    elif noted.kind in ("choice", "side"):
        text = plain(str(noted.value))
    else:
        text = noted.written or noted_value(noted, words.observations.get(noted.key), visit)
    return f"{{is: {text}, note: {json.dumps(_one_line(noted.note), ensure_ascii=False)}}}" if noted.note else text


def _quoted(text: str) -> str:
    text = _one_line(text)
    bare = _PLAIN_TEXT.fullmatch(text) and not _NOT_TEXT.fullmatch(text) and text == text.strip()
    return text if bare else json.dumps(text, ensure_ascii=False)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _last(visit: Visit, words: Vocabulary) -> Iterator[tuple[tuple[str, str], str]]:
    """Last time's readings by entry or place; of a leg by its side as well."""
    found: dict[tuple[str, str], list[str]] = {}
    for touch in visit.touches:
        said = touch_words(touch) + ("" if touch.when == "first" else f" {WHEN[touch.when]}")
        found.setdefault((touch.place, ""), []).append(f"{touch.side} {said}" if touch.side else said)
    for noted in visit.noted:
        if noted.key == VISIT:
            continue
        said = _one_line(noted_value(noted, words.observations.get(noted.key), visit))
        said += f" ({_one_line(noted.note)})" if noted.note else ""
        leg = noted.side or ""
        found.setdefault((noted.key, leg), []).append(said)
        if leg:
            found.setdefault((noted.key, ""), []).append(f"{leg} {said}")
    yield from ((key, ", ".join(some)) for key, some in found.items())
