"""An answer to a question taken in: the findings it settles, or the next question.

In: what was understood, one of its questions, an answer in the user's words. Out: `Understood` anew; nothing is changed in place.
Not here: how a question is put (terminal, page).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import cast

from reasoner.lines.model import Finding, Part, PassedOver, Question, Reading, Understood
from reasoner.lines.questions import ALL_SIDES, MIDDLE, VERB_OFFERS, SideOrBoth, of_entry, of_place, of_places, possible
from reasoner.lines.speech import speech_of
from reasoner.problems import BadInput, Problem, near_hint
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Vocabulary, canonical

#: An answer to any question: nothing is entered, and the words are kept as a note.
KEEP = "keep as a note"
Told = Finding | PassedOver | Question


def answered(told: Understood, question: Question, answer: str, book: Rulebook) -> Understood:
    """What is understood once a question of `told` is answered, in any spelling of an offered answer, or with `KEEP`.

    Raises BadInput (LN02) for an answer that is none, and ValueError where the question is not one of `told`.
    """
    if question not in told.questions:
        raise ValueError("the question is not one of those that were understood")
    rest = tuple(q for q in told.questions if q != question)
    if canonical(answer) == canonical(KEEP):
        kept = told.kept if question.words in told.kept else (*told.kept, question.words)
        return replace(told, questions=rest, kept=kept)
    settled = [*_settled(question, answer, book.vocabulary)]
    passed = tuple(one for one in settled if isinstance(one, PassedOver))
    return replace(
        told, questions=(*rest, *(one for one in settled if isinstance(one, Question))),
        findings=_with(told.findings, [one for one in settled if isinstance(one, Finding)]),
        not_examined=(*told.not_examined, *passed),
    )  # fmt: skip


def _settled(question: Question, answer: str, vocabulary: Vocabulary) -> Iterator[Told]:
    if question.ask == "verb":
        yield from _verb(question, answer, vocabulary)
    elif question.ask == "place":
        yield from _place(question, answer, vocabulary)
    elif question.ask == "side":
        yield from _side(question, answer, vocabulary)
    else:
        yield from _reading(question, answer, vocabulary)


def _verb(question: Question, answer: str, vocabulary: Vocabulary) -> Iterator[Told]:
    side, left_out = VERB_OFFERS
    chosen = canonical(answer)
    if chosen in (canonical(left_out), "left_out", "not_done"):
        if question.entry:
            yield _passed(question.entry, None, question, vocabulary)
        for key in question.places:
            yield _passed(key, None, question, vocabulary)
    elif chosen in (canonical(side), "left", "side"):
        part = Part(side="left")
        if question.entry:
            yield from of_entry(question.entry, part, question.words, vocabulary)
        elif len(question.places) == 1:
            yield from of_place(question.places[0], part, question.words, vocabulary)
        else:
            yield replace(question, ask="place", offers=question.places, parts=(part,))
    else:
        raise _none(answer, question.offers)


def _passed(key: str, side: SideOrBoth | None, question: Question, vocabulary: Vocabulary) -> PassedOver:
    if key in vocabulary.places:
        sided, kind = vocabulary.places[key].sides == "each", "place"
    else:
        sided, kind = vocabulary.observations[key].sides == "each", "entry"
    return PassedOver(
        kind="place" if kind == "place" else "entry", key=key, side=(side or "both") if sided else None, reason="",
        words=question.words,
    )  # fmt: skip


def _place(question: Question, answer: str, vocabulary: Vocabulary) -> Iterator[Told]:
    key = vocabulary.place_of.get(canonical(answer), "")
    if not key or (question.offers and key not in question.offers):
        raise _none(answer, question.offers or tuple(vocabulary.places))
    for part in question.parts:
        if question.left_out:
            yield _passed(key, part.side, question, vocabulary)
        else:
            yield from of_place(key, part, question.words, vocabulary)


def _side(question: Question, answer: str, vocabulary: Vocabulary) -> Iterator[Told]:
    chosen = vocabulary.side_of.get(canonical(answer), canonical(answer))
    if question.entry and vocabulary.observations[question.entry].kind == "side":
        yield from _entry_reading(question, answer, vocabulary)
        return
    if chosen not in question.offers or chosen not in (*ALL_SIDES, MIDDLE):
        raise _none(answer, question.offers)
    side = None if chosen == MIDDLE else cast(SideOrBoth, chosen)
    for part in question.parts:
        if question.entry:
            yield from of_entry(question.entry, replace(part, side=side), question.words, vocabulary)
        elif len(question.places) > 1:
            yield from of_places(question.places, replace(part, side=side), question.words, vocabulary)
        else:
            yield from of_place(question.places[0], replace(part, side=side), question.words, vocabulary)


def _reading(question: Question, answer: str, vocabulary: Vocabulary) -> Iterator[Told]:
    if question.entry:
        yield from _entry_reading(question, answer, vocabulary)
        return
    reading = _of_touch(question, answer, vocabulary)
    for part in question.parts:
        whole = _joined(part.reading, reading)
        yield from of_place(question.places[0], replace(part, reading=whole), question.words, vocabulary)


def _entry_reading(question: Question, answer: str, vocabulary: Vocabulary) -> Iterator[Told]:
    entry = vocabulary.observations[question.entry]
    key = entry.reading_of.get(canonical(answer), "")
    if not key and entry.kind == "side":
        side = vocabulary.side_of.get(canonical(answer), "")
        key = side if side in ("left", "right") else ""
    if entry.kind in ("number", "count", "date", "text"):
        key = answer.strip()  # whoever writes it reads it again, by the reader of visit files
    if not key:
        raise _none(answer, question.offers)
    for part in question.parts:
        yield from of_entry(
            entry.key, replace(part, reading=Reading(value=key.replace("_", " "))), question.words, vocabulary
        )


def _of_touch(question: Question, answer: str, vocabulary: Vocabulary) -> Reading:
    """A number, or a word for what was felt or answered: of the offered ones where words are offered."""
    word = canonical(answer)
    number = _number(answer, vocabulary)
    if number is not None and possible(number):
        return Reading(soreness=number)
    for quality, name in (("responses", "responses"), ("felt", "felt"), ("touch", "touch"), ("depth", "depth")):
        key = vocabulary.quality(quality).get(word)
        if key and (key in question.offers or question.offers[:1] == ("0",)):
            return _worded(name, key)
    raise _none(answer, question.offers)


def _worded(name: str, key: str) -> Reading:
    if name == "responses":
        return Reading(responses=(key,))
    if name == "felt":
        return Reading(felt=(key,))
    return Reading(touch=key) if name == "touch" else Reading(depth=key)


def _number(answer: str, vocabulary: Vocabulary) -> Decimal | None:
    said = speech_of(vocabulary).numbers.get(answer.strip().casefold())
    try:
        number = Decimal(said if said is not None else answer.strip())
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def _joined(one: Reading, other: Reading) -> Reading:
    """Two readings of one spot: the second wins where both say the same thing."""
    return Reading(
        soreness=one.soreness if other.soreness is None else other.soreness,
        responses=tuple(dict.fromkeys((*one.responses, *other.responses))),
        felt=tuple(dict.fromkeys((*one.felt, *other.felt))),
        depth=other.depth or one.depth, touch=other.touch or one.touch, when=one.when, value=other.value or one.value,
    )  # fmt: skip


def _with(findings: Sequence[Finding], more: Sequence[Finding]) -> tuple[Finding, ...]:
    out = {(f.kind, f.key, f.side): f for f in findings}
    for finding in more:
        known = out.get((finding.kind, finding.key, finding.side))
        if known is not None:
            finding = replace(finding, reading=_joined(known.reading, finding.reading))
        out[finding.kind, finding.key, finding.side] = finding
    return tuple(out.values())


def _none(answer: str, offers: Sequence[str]) -> BadInput:
    plain = [offer.replace("_", " ") for offer in offers]
    expected = ", ".join(plain[:14]) + (" ..." if len(plain) > 14 else "")
    hint = near_hint(answer.casefold(), plain) or f'Or "{KEEP}".'
    return BadInput(
        [Problem("the answer", 0, "LN02", f'"{answer[:60]}" is not an answer here; expected one of: {expected}.', hint)]
    )
