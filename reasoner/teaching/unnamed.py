"""A case from a real visit, with every name taken out of it.

In: a visit file's bytes, the files beside it, a rulebook. Out: a `Case` that holds none of the names the visit had.
Not here: collecting visits. Free text goes whole (a note may name anybody): the horse, the yard, the people, the practice, the
saddle, notes, a veterinarian's word. What was worked on or traced stays out as well, and so does what follows from a tracing.
Days keep their distance to the day of the visit, which becomes a day of our own. What a horse or a rider could be known again by
(height, weights, the day of birth) is written in the steps of the table of cases.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import TYPE_CHECKING, cast

from reasoner.problems import BadInput, Problem, register
from reasoner.quantities import dimension_of, plain, read_quantity, unit_size
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Observation, Vocabulary, canonical
from reasoner.teaching.making import DAY, FILE, TABLE, Case
from reasoner.teaching.session import GIVEN
from reasoner.visit.model import DateSpan, Noted, Touch, Visit
from reasoner.visit.reading import visit_from_bytes
from reasoner.visit.written_out import Draft, Pressed, written_out

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from reasoner.rulebook.measures.cases import Cases
    from reasoner.store.place import Place

register({"TE56": "a visit that cannot be a case"})

TEXT = "text"
THE_DAY = "visit"
YEAR = 365
LATER = {"settled": "once settled", "after_work": "after work"}


def case_from(data: bytes, file: str, book: Rulebook, origin: str, beside: Mapping[str, bytes] | None = None) -> Case:
    """The case of a visit file, with the files `beside` it (None: those of its folder). Raises BadInput: what is wrong in the
    file; TE56 where nothing in it can be examined again."""
    vocabulary = book.vocabulary
    visit = visit_from_bytes(data, file, vocabulary, beside)
    text = written_out(_draft(visit, vocabulary, _steps(book)), vocabulary)
    clean = visit_from_bytes(text.encode(), FILE, vocabulary)
    given = {key for key, entry in vocabulary.observations.items() if entry.section in GIVEN}
    if not clean.touches and all(noted.key in given for noted in clean.noted):
        raise BadInput(
            [
                Problem(
                    file, 0, "TE56", "nothing was felt, seen or asked in this visit; there is nothing to examine again."
                )
            ]
        )
    return Case(text, replace(clean, warnings=()), origin=origin)


def names_in(visit: Visit) -> tuple[str, ...]:
    """Everything in a visit that names somebody or something, or may: what must not be found in its case."""
    found = [noted.value for noted in visit.noted if noted.kind == TEXT and isinstance(noted.value, str)]
    for entries in (visit.noted, visit.touches, visit.vets_words, visit.worked, visit.outlines):
        found += [entry.note for entry in entries]
    found += [word.who for word in visit.vets_words]
    return tuple(dict.fromkeys(text.strip() for text in found if text.strip()))


def _steps(book: Rulebook) -> Mapping[str, Decimal]:
    """The step of each entry that is written in steps, in the unit that it is held in (of a date days)."""
    table = cast("Cases | None", book.measures.get(TABLE))
    said = table.from_a_visit.steps if table is not None and table.from_a_visit is not None else {}
    kinds = book.vocabulary.observations
    return {
        key: read_quantity(step, "days" if kinds[key].kind == "date" else dimension_of(kinds[key].unit))
        for key, step in said.items()
        if key in kinds
    }


def _draft(visit: Visit, vocabulary: Vocabulary, steps: Mapping[str, Decimal]) -> Draft:
    entries: dict[str, str | dict[str, str]] = {}
    for noted in visit.noted:
        observation = vocabulary.observations.get(noted.key)
        # What is said of one leg alone ("seen at") has no line of its own in such a file, and free text may hold a name.
        if (
            observation is None
            or noted.key == THE_DAY
            or noted.kind == TEXT
            or noted.about is not None
            or observation.from_records
        ):
            continue
        said = _said(noted, visit.day, observation, steps.get(noted.key))
        if noted.side is None:
            entries[noted.key] = said
        else:
            sides = entries.setdefault(noted.key, {})
            if isinstance(sides, dict):
                sides[noted.side] = said
    return Draft(day=DAY, entries=entries, palpation=_palpation(visit.touches), quiet={})


def _said(noted: Noted, day: date, observation: Observation, step: Decimal | None) -> str:
    if isinstance(noted.value, DateSpan):
        if noted.value.never:
            return noted.written
        return _day(noted.value, day).isoformat() if step is None else _about(noted.value, day, step)
    if isinstance(noted.value, str):
        return noted.value.replace("_", " ")
    return noted.written if step is None else _nearest(noted.value, observation, step)


def _nearest(amount: Decimal, observation: Observation, step: Decimal) -> str:
    """The amount to the nearest step, in the unit of its entry; never nothing, where it was something."""
    size = unit_size(observation.unit)
    return f"{plain(max(round(amount / step), 1) * step / size)} {observation.unit}"


def _about(span: DateSpan, day: date, step: Decimal) -> str:
    """The month in the middle of the step that a date lies in, counted back from the day of the visit; from two years on the
    year alone."""
    ago = (int((day - span.last).days // step) + Decimal("0.5")) * step
    return f"{DAY - timedelta(days=int(ago)):{'%Y' if ago > 2 * YEAR else '%Y-%m'}}"


def _day(span: DateSpan, day: date) -> date:
    """A day as long before the day of the case as it was before that of the visit; of a month its last day."""
    return DAY - timedelta(days=(day - span.last).days)


def _palpation(touches: tuple[Touch, ...]) -> dict[str, dict[str, Pressed]]:
    found: dict[str, dict[str, dict[str, str | tuple[str, ...] | dict[str, str | tuple[str, ...]]]]] = {}
    for touch in touches:
        said = dict(_felt(touch)) if touch.not_examined is None else {}
        if not said:
            continue
        here = found.setdefault(touch.place, {}).setdefault(touch.side or "middle", {})
        if touch.when in LATER:
            here[LATER[touch.when]] = said
        else:
            here |= said
    return {place: dict(sides) for place, sides in found.items()}


def _felt(touch: Touch) -> Iterator[tuple[str, str | tuple[str, ...]]]:
    if touch.refused:
        yield "responses", ("would not allow touch",)
    if touch.soreness is not None:
        yield "soreness", f"{touch.soreness:f}"
    for name, words in (("responses", touch.responses), ("felt", touch.felt)):
        if words and not (name == "responses" and touch.refused):
            yield name, tuple(word.replace("_", " ") for word in words)
    for name, word in (("depth", touch.depth), ("touch", touch.touch)):
        if word:
            yield canonical(name), word.replace("_", " ")


def kept_case(connection: Connection, horse: str, book: Rulebook, chance: Random, place: Place) -> Case:
    """A case from one visit kept in the records at `place`, by chance; of one horse (its uid) if `horse` says which. A visit that
    waits for its countersignature is none, nor one in which there is nothing to examine. Raises BadInput (TE56) where that
    leaves none."""
    from reasoner.records.signing import waiting
    from reasoner.store.reading import beside_of, text_of, visits

    shown = place.shown
    every = visits(connection, horse=horse or None)
    waits = {one.uid for one in waiting(connection, every)}
    left = [one for one in every if one.uid not in waits]
    while left:
        one = left.pop(int(chance.random() * len(left)))
        try:
            beside = beside_of(connection, place, one.version)
            return case_from(text_of(connection, one.version, shown=shown), shown, book, "visit", beside)
        except BadInput as bad:
            if not any(problem.code == "TE56" for problem in bad.problems):
                raise
    raise BadInput(
        [
            Problem(
                shown,
                0,
                "TE56",
                "no visit is kept here that can be a case.",
                "Keep one with `reasoner records save VISIT`.",
            )
        ]
    )
