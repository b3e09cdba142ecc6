"""Another visit to the same horse: the blank file with what stays written, and last time beside every empty place.

In: the visits before as they were kept, and the rulebook. Out: the text of the new file, and what it asks about as data.
Not here: the lines and their order (visit.blank), reading the store. Nothing of last time becomes a reading of the new day.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence

from reasoner.frozen import frozen
from reasoner.records.carried import Carried
from reasoner.records.course import table_of
from reasoner.records.strictest import Awaited, awaited_of
from reasoner.rendering import phrases
from reasoner.rendering.carried_text import carried_lines, opening_lines
from reasoner.rendering.diary_text import asked_by_words
from reasoner.rendering.visit_rows import WHEN, noted_value, touch_words
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.store.history import Held, HeldExpectation, HeldStep, Told, number_of
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


def again_text(
    every: Sequence[Held], book: Rulebook, vets_words: Sequence[Carried] = (), since: Sequence[str] = ()
) -> str:
    """The file of a new visit after all those kept (at least one, in order). With its day filled in it reads as a visit at which
    nothing was examined yet; of `vets_words` those that still hold are written, to be seen and struck. `since` are lines on
    what was told after the last answer was kept."""
    return blank_visit(book.vocabulary, begun_again(every, book, vets_words, since))


def begun_again(
    every: Sequence[Held], book: Rulebook, vets_words: Sequence[Carried] = (), since: Sequence[str] = ()
) -> Before:
    """What the visits kept leave to the next one: the opening, what stays, last time's readings, and what veterinarians said."""
    held, words = every[-1], book.vocabulary
    return Before(
        opening=tuple(_opening(held, vets_words, since, book)),
        stays={n.key: _written(n, held.visit, words) for n in staying(held.visit, book)},
        last=dict(_last(held.visit, words)),
        vets_words=tuple(carried_lines(vets_words, words)),
    )


def asked_about(held: Held, book: Rulebook) -> tuple[Asked, ...]:
    """Every step of the last plan, in its order."""
    return tuple(
        Asked(step=step, looked_for=tuple(expected_words(e, book.vocabulary) for e in step.expects),
              told=f"taken out of the plan by {step.out_by}" if step.out_by else told_words(step.told))
        for step in held.steps
    )  # fmt: skip


def expected_words(expected: HeldExpectation, words: Vocabulary) -> str:
    """What was looked for: "left girth line 5 to 2 or less by 14 April 2026"."""
    place = words.places.get(expected.place) or words.observations.get(expected.place)
    name = " ".join(filter(None, (expected.side, place.name if place else phrases.plain(expected.place))))
    if expected.words:
        hoped = " or ".join(map(phrases.plain, expected.words))
        return f"{name}: {hoped} by {phrases.day(expected.by)} ({phrases.plain(expected.was_word)} then)"
    was = f"{expected.was:g} to " if expected.was is not None else "to "
    return f"{name} {was}{expected.to:g} or less by {phrases.day(expected.by)}"


def awaited_said(awaited: Awaited, words: Vocabulary) -> str:
    """What was looked for at one place, by the strictest of the steps that did."""
    to, was = number_of(awaited.to), number_of(awaited.was)
    return expected_words(
        HeldExpectation(
            place=awaited.place, side=awaited.side, was=was, to=to or 0.0, by=awaited.by,
            was_word=awaited.was if to is None else "", words=tuple(awaited.to.split()) if to is None else (),
        ), words,
    )  # fmt: skip


def told_words(told: Told | None, *, reason: bool = True) -> str:
    """What was told of a step: "done (the owner, 14 April 2026)"; an empty string where nobody told. The owner's `reason` is left
    out of what goes to anybody else than the owner and the examiner."""
    if told is None:
        return ""
    said = {"not": "not done"}.get(told.answer, phrases.plain(told.answer)) + (
        f", {phrases.owners_words(told.because)}" if reason and told.because else ""
    )
    return f"{said} ({', '.join(filter(None, (told.by, phrases.day(told.on))))})"


def vets_word_said(word: VetsWord) -> str:
    """A veterinarian's word in a line: who, about what, what it allows and forbids, until when."""
    said = [f"{word.who or 'a veterinarian'}, seen {phrases.day(word.seen)}"]
    for label, keys in (("about", word.about), ("allows", word.allows), ("forbids", word.forbids)):
        said += [f"{label} {', '.join(map(phrases.plain, keys))}"] if keys else []
    said.append(f"until {phrases.day(word.until)}" if word.until else "no last day")
    return "; ".join(said)


def _opening(held: Held, vets_words: Sequence[Carried], since: Sequence[str], book: Rulebook) -> Iterator[str]:
    known = held.known
    hands = f", examined by {known.examiner}" if known.examiner else ""
    yield f"The same as last time except what you write. Last time was {phrases.day(known.day)}{hands}."
    yield "What stays is written below; of what must be looked at anew, last time's reading stands beside the empty place."
    asked = asked_about(held, book)
    expected, numbers = awaited_of(held.steps), {(step.key, step.side): n for n, step in enumerate(held.steps, 1)}
    if expected:
        yield ""
        yield "What was looked for, and the step below that looked for it:"
    for awaited in expected:
        yield f"  {awaited_said(awaited, book.vocabulary)}. Today? ({asked_by_words(awaited, numbers)})"
    if asked:
        yield ""
        yield f"What was agreed; ask of each: {ANSWERS}"
    for number, one in enumerate(asked, 1):
        yield f"  {number}. {_one_line(one.step.words).rstrip('.')}: {one.told or '?'}"
    for _, _, says in held.concerns:
        yield f"  Told to a veterinarian? What was said? ({_one_line(says).rstrip('.')})"
    if vets_words:
        yield ""
    yield from map(_one_margin, opening_lines(vets_words))
    if since:
        yield ""
    yield from map(_one_margin, since)


def staying(visit: Visit, book: Rulebook) -> Iterator[Noted]:
    """The entries of a visit that are taken as the same at the next one until somebody writes otherwise."""
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


def _one_margin(text: str) -> str:
    """One line, with its margin."""
    return text[: len(text) - len(text.lstrip())] + _one_line(text)


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
