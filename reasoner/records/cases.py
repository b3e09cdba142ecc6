"""Every step of every plan that promised something, with what was told of it and what came of it.

In: the store. Out: `Steps`: one row a step and visit, with the conclusions it answers and the rules that spoke for them.
Not here: counting (track.py), what is true of one promise (outcomes.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from sqlalchemy import Connection, func, select, tuple_

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.records.course import rank_of, table_of
from reasoner.records.outcomes import Graded, Hoped, HopedWord, Read, outcome, outcome_in_words, together
from reasoner.records.read_again import read_again
from reasoner.rulebook.practice import TrackSettings
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import ReadingError, Scales
from reasoner.rulebook.vocabulary import canonical
from reasoner.store import tables as t
from reasoner.store.afterwards import Opinion, answers_told, opinions_of
from reasoner.store.history import number_of
from reasoner.store.names import same_name
from reasoner.store.reading import KnownVisit, visits
from reasoner.store.standing import here

register({"RE26": "nobody of that name in the records", "RE28": "the rules do not say what is counted"})

#: Before work: a reading once the horse had settled counts before one from the first touch. After work is another story.
BEFORE_WORK = ("settled", "first")
Spot = tuple[str, str, str]
"""A horse, a place, a side."""
Hands = Mapping[str, ReadingError | None]
"""How far the hand of each examiner wavers, by name."""


@frozen(kw_only=True)
class Promise:
    """What a step promised of one place; `outcome` is "" where the step was not carried out, `seen` the day that tells.

    What is seen and not felt has no points: `place` is an entry then, `was_word` its reading, `words` those looked for, and
    `to` None.
    """

    place: str
    side: str
    was: float | None
    to: float | None
    by: date
    outcome: str
    seen: date | None
    was_word: str = ""
    words: tuple[str, ...] = ()

    @property
    def days_late(self) -> int:
        """How many days after the day set the visit was that tells; 0 where it was not later, or none tells."""
        return 0 if self.seen is None else max(0, (self.seen - self.by).days)


@frozen(kw_only=True)
class StepCase:
    """One step of one visit's plan that promised something.

    `told` is the owner's answer ("" where nobody told), `outcome` what came of it ("" where it was not carried out, or nobody
    told), `in_part` what came of it where it was done only in part; `answers` are the conclusions, with their side, that the step
    answers.
    """

    visit: KnownVisit
    step: str
    side: str
    told: str
    outcome: str
    in_part: str
    promises: tuple[Promise, ...]
    answers: tuple[tuple[str, str], ...]


@frozen(kw_only=True)
class Steps:
    """Everything that is counted. `certainty` and `kinds` are of the conclusions that steps answer, by version, key and side;
    `spoke` the rules that spoke for them, with the strength each had then. `promised_nothing` counts steps without a promise;
    `within_days` is how long after the day set a visit still tells."""

    cases: tuple[StepCase, ...]
    certainty: Mapping[tuple[str, str, str], float]
    kinds: Mapping[str, str]
    spoke: Mapping[tuple[str, str, str], tuple[tuple[str, float], ...]]
    opinions: tuple[Opinion, ...]
    visits: int
    horses: int
    last: date | None
    promised_nothing: int
    within_days: int


@frozen
class _Answered:
    by_step: dict[tuple[str, str, str], tuple[tuple[str, str], ...]]
    certainty: dict[tuple[str, str, str], float]
    kinds: dict[str, str]


def steps_of(
    connection: Connection, book: Rulebook, *, examiner: str = "", since: date | None = None, shown: str = "records"
) -> Steps:
    """Every step of the newest version of every visit, of one examiner and since a day where asked. Later visits by anybody
    tell what came of it. Raises BadInput (RE26, RE28)."""
    scales, within_days = book.scales, table_of(book).looked_at.within_days
    settings = settings_of(scales)
    every = visits(connection)
    wanted = _wanted(every, examiner, since, shown)
    told = answers_told(connection)
    by_version = {one.version: one for one in wanted}
    promised = _promised(connection, by_version)
    answer_to = {
        (version, *step): told.get((by_version[version].uid, *step), "") for version, step in promised
    }  # fmt: skip
    done = {at for at, answer in answer_to.items() if answer in (*settings.carried_out, *settings.in_part)}
    hands = hands_of(scales, every)
    graded = _graded(connection, every, hands, {version for version, *_ in done})
    seen = read_again(connection, every, {
        (by_version[version].horse, row.place, row.side) for (version, step), rows in promised.items()
        if (version, *step) in done for row in rows if number_of(row.to) is None
    }, book)  # fmt: skip
    answers = _answers(connection, by_version)
    cases = []
    for (version, (step, side)), rows in promised.items():
        visit = by_version[version]
        answer = answer_to[version, step, side]
        tells = (settings.waver, within_days)
        looked = (version, step, side) in done
        promises = tuple(
            _promise_in_words(row, visit, seen, book, within_days, looked) if number_of(row.to) is None
            else _promise(row, visit, graded, hands, tells, looked)
            for row in rows
        )  # fmt: skip
        came = together([one.outcome for one in promises]) if looked else ""
        whole = answer in settings.carried_out
        cases.append(
            StepCase(
                visit=visit, step=step, side=side, told=answer, promises=promises,
                outcome=came if whole else "", in_part="" if whole else came,
                answers=answers.by_step.get((version, step, side), ()),
            )
        )  # fmt: skip
    uids = {one.uid for one in wanted}
    return Steps(
        cases=tuple(cases), certainty=answers.certainty, kinds=answers.kinds, spoke=_spoke(connection, {v for v, _ in promised}),
        opinions=tuple(one for one in opinions_of(connection) if one.visit in uids), visits=len(wanted),
        horses=len({one.horse for one in wanted}), last=max((one.day for one in every), default=None),
        promised_nothing=_steps(connection, by_version) - len(promised), within_days=within_days,
    )  # fmt: skip


def settings_of(scales: Scales) -> TrackSettings:
    """The settings of the track record. Raises BadInput (RE28) where the rules hold none."""
    if scales.track is None:
        hint = "Keep a table `track` in a file of scales/, such as the shipped scales/track.yaml."
        raise BadInput([Problem("rules/scales", 0, "RE28", "nothing says what the track record counts.", hint)])
    return scales.track


def hands_of(scales: Scales, every: Iterable[KnownVisit]) -> Hands:
    """How far each examiner's hand wavers: as known of this hand, else of the usual one."""
    names = {one.examiner for one in every}
    return {name: scales.examiners.get(canonical(name)) or scales.reading_error for name in names}


def _wanted(every: tuple[KnownVisit, ...], examiner: str, since: date | None, shown: str) -> tuple[KnownVisit, ...]:
    found = tuple(one for one in every if since is None or one.day >= since)
    if not examiner:
        return found
    mine = tuple(one for one in found if same_name(one.examiner, examiner))
    known = {one.examiner for one in every if one.examiner}
    if not mine and not any(same_name(one, examiner) for one in known):
        hint = near_hint(examiner, known) or f"Examiners: {', '.join(sorted(known)) or 'none'}."
        raise BadInput([Problem(shown, 0, "RE26", f'no visit kept here was examined by "{examiner}".', hint)])
    return mine


# -- rows --------------------------------------------------------------------------------------------------------------


def _promised(
    connection: Connection, versions: Mapping[str, KnownVisit]
) -> dict[tuple[str, tuple[str, str]], list[Any]]:
    """What each step of a version promised, visits by day and steps in their order."""
    e = t.expectation.c
    held: dict[tuple[str, tuple[str, str]], list[Any]] = {}
    for row in connection.execute(select(t.expectation).order_by(e.version, e.at)).all():
        if row.version in versions:
            held.setdefault((row.version, (row.step, row.step_side)), []).append(row)
    order = {version: number for number, version in enumerate(versions)}
    return dict(sorted(held.items(), key=lambda one: order[one[0][0]]))


def _graded(
    connection: Connection, every: tuple[KnownVisit, ...], hands: Hands, carried: set[str]
) -> Mapping[Spot, list[Graded]]:
    """The readings before work of each horse, place and side of which a step that was carried out promised something."""
    by_version = {one.version: one for one in every}
    horse = {version: by_version[version].horse for version in carried}
    e, v, c = t.expectation.c, t.version.c, t.touch.c
    spots = {
        (horse[version], place, side)
        for version, place, side in connection.execute(select(e.version, e.place, e.side)).all() if version in horse
    }  # fmt: skip
    if not spots:
        return {}
    # Nine readings in ten are of places that nothing was promised of: the database leaves them out, and not we, row by row.
    now = here()
    promised = (
        select(now.c.horse, e.place, e.side).join(t.version, v.visit == now.c.uid)
        .join(t.expectation, e.version == v.uid)
    )  # fmt: skip
    rows = connection.execute(
        select(c.version, now.c.horse, c.place, c.side, c.time, c.soreness, c.refused)
        .join(t.version, c.version == v.uid).join(now, v.visit == now.c.uid)
        .where(c.place.in_(sorted({place for _, place, _ in spots})), c.time.in_(BEFORE_WORK),
               c.soreness.is_not(None) | c.refused, tuple_(now.c.horse, c.place, c.side).in_(promised))
    ).all()  # fmt: skip
    first: dict[tuple[str, str, str], Any] = {}
    for version, of, place, side, time, soreness, refused in rows:
        if version in by_version and (of, place, side) in spots:  # older versions are not among them
            at = (version, place, side)
            if at not in first or time == BEFORE_WORK[0]:
                first[at] = (soreness, refused)
    held: dict[Spot, list[Graded]] = {}
    in_order = sorted(first.items(), key=lambda one: (by_version[one[0][0]].day, by_version[one[0][0]].part, one[0]))
    for (version, place, side), (soreness, refused) in in_order:
        visit = by_version[version]
        held.setdefault((visit.horse, place, side), []).append(
            Graded(
                day=visit.day, soreness=None if soreness is None else float(soreness), refused=refused,
                error=hands[visit.examiner],
            )
        )  # fmt: skip
    return held


def _promise(
    row: Any, visit: KnownVisit, graded: Mapping[Spot, list[Graded]], hands: Hands, tells: tuple[float, int], done: bool
) -> Promise:  # fmt: skip
    was, to, by = (None if row.was is None else float(row.was)), float(row.to), date.fromisoformat(row.by)
    came, seen = "", None
    if done:
        hoped = Hoped(day=visit.day, by=by, was=was, to=to, error=hands[visit.examiner])
        came, seen = outcome(hoped, graded.get((visit.horse, row.place, row.side), ()), *tells)
    return Promise(place=row.place, side=row.side, was=was, to=to, by=by, outcome=came, seen=seen)


def _promise_in_words(
    row: Any, visit: KnownVisit, seen: Mapping[Spot, list[Read]], book: Rulebook, within_days: int, done: bool
) -> Promise:  # fmt: skip
    words, by, entry = tuple(row.to.split()), date.fromisoformat(row.by), book.vocabulary.observations.get(row.place)
    came, on = "", None
    if done:
        hoped = HopedWord(
            day=visit.day, by=by, words=words, rank=rank_of(entry, row.was) if entry and row.was else None
        )
        came, on = outcome_in_words(hoped, seen.get((visit.horse, row.place, row.side), ()), within_days)
    return Promise(
        place=row.place,
        side=row.side,
        was=None,
        to=None,
        by=by,
        outcome=came,
        seen=on,
        was_word=row.was or "",
        words=words,
    )


def _answers(connection: Connection, versions: Mapping[str, KnownVisit]) -> _Answered:
    """What each step answers, and the certainty and kind of each of these conclusions."""
    held: dict[tuple[str, str, str], list[tuple[str, str]]] = {}
    found = _Answered({}, {}, {})
    a = t.answered.c
    query = select(a.version, a.step, a.step_side, a.conclusion, a.side, a.kind, a.certainty).order_by(a.version, a.at)
    for version, step, step_side, key, side, kind, certainty in connection.execute(query).all():
        if version in versions:
            held.setdefault((version, step, step_side), []).append((key, side))
            found.certainty[version, key, side] = certainty
            found.kinds[key] = kind
    found.by_step.update({at: tuple(dict.fromkeys(conclusions)) for at, conclusions in held.items()})
    return found


def _spoke(connection: Connection, promising: set[str]) -> Mapping[tuple[str, str, str], tuple[tuple[str, float], ...]]:
    """The rules that spoke for a conclusion, of visits whose plan promised something."""
    s = t.spoke.c
    held: dict[tuple[str, str, str], list[tuple[str, float]]] = {}
    for version, key, side, rule, strength in connection.execute(
        select(s.version, s.conclusion, s.side, s.rule, s.strength)
    ).all():
        if version in promising:
            held.setdefault((version, key, side), []).append((rule, strength))
    return {at: tuple(sorted(found)) for at, found in held.items()}


def _steps(connection: Connection, versions: Mapping[str, KnownVisit]) -> int:
    """How many steps the plans of these versions hold."""
    c = t.step.c
    each = select(c.version, c.key, c.side).distinct().subquery()
    rows = connection.execute(select(each.c.version, func.count()).group_by(each.c.version)).all()
    return sum(number for version, number in rows if version in versions)
