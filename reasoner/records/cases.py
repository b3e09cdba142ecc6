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
from reasoner.records.outcomes import Graded, Hoped, outcome, together
from reasoner.rulebook.practice import TrackSettings
from reasoner.rulebook.scales import ReadingError, Scales
from reasoner.rulebook.vocabulary import canonical
from reasoner.store import tables as t
from reasoner.store.afterwards import Opinion, answers_told, opinions_of
from reasoner.store.names import same_name
from reasoner.store.reading import KnownVisit, visits

register({"RE26": "nobody of that name in the records", "RE28": "the rules do not say what is counted"})

#: Before work: a reading once the horse had settled counts before one from the first touch. After work is another story.
BEFORE_WORK = ("settled", "first")
Spot = tuple[str, str, str]
"""A horse, a place, a side."""
Hands = Mapping[str, ReadingError | None]
"""How far the hand of each examiner wavers, by name."""


@frozen(kw_only=True)
class Promise:
    """What a step promised of one place; `outcome` is "" where the step was not carried out, `seen` the day that tells."""

    place: str
    side: str
    was: float | None
    to: float
    by: date
    outcome: str
    seen: date | None


@frozen(kw_only=True)
class StepCase:
    """One step of one visit's plan that promised something.

    `told` is the owner's answer ("" where nobody told), `outcome` what came of it ("" where it was not carried out, or nobody
    told); `answers` are the conclusions, with their side, that the step answers.
    """

    visit: KnownVisit
    step: str
    side: str
    told: str
    outcome: str
    promises: tuple[Promise, ...]
    answers: tuple[tuple[str, str], ...]


@frozen(kw_only=True)
class Steps:
    """Everything that is counted. `certainty` and `kinds` are of the conclusions that steps answer, by version, key and side;
    `spoke` the rules that spoke for them, with the strength each had then. `promised_nothing` counts steps without a promise."""

    cases: tuple[StepCase, ...]
    certainty: Mapping[tuple[str, str, str], float]
    kinds: Mapping[str, str]
    spoke: Mapping[tuple[str, str, str], tuple[tuple[str, float], ...]]
    opinions: tuple[Opinion, ...]
    visits: int
    horses: int
    last: date | None
    promised_nothing: int


@frozen
class _Answered:
    by_step: dict[tuple[str, str, str], tuple[tuple[str, str], ...]]
    certainty: dict[tuple[str, str, str], float]
    kinds: dict[str, str]


def steps_of(
    connection: Connection, scales: Scales, *, examiner: str = "", since: date | None = None, shown: str = "records"
) -> Steps:
    """Every step of the newest version of every visit, of one examiner and since a day where asked. Later visits by anybody
    tell what came of it. Raises BadInput (RE26, RE28)."""
    settings = settings_of(scales)
    every = visits(connection)
    wanted = _wanted(every, examiner, since, shown)
    told = answers_told(connection)
    by_version = {one.version: one for one in wanted}
    promised = _promised(connection, by_version)
    carried = {
        (version, *step) for version, step in promised
        if told.get((by_version[version].uid, *step), "") in settings.carried_out
    }  # fmt: skip
    hands = hands_of(scales, every)
    graded = _graded(connection, every, hands, {version for version, *_ in carried})
    answers = _answers(connection, by_version)
    cases = []
    for (version, (step, side)), rows in promised.items():
        visit = by_version[version]
        done = (version, step, side) in carried
        promises = tuple(_promise(row, visit, graded, hands, settings, done) for row in rows)
        cases.append(
            StepCase(
                visit=visit, step=step, side=side, told=told.get((visit.uid, step, side), ""), promises=promises,
                outcome=together([one.outcome for one in promises]) if done else "",
                answers=answers.by_step.get((version, step, side), ()),
            )
        )  # fmt: skip
    uids = {one.uid for one in wanted}
    return Steps(
        cases=tuple(cases), certainty=answers.certainty, kinds=answers.kinds, spoke=_spoke(connection, {v for v, _ in promised}),
        opinions=tuple(one for one in opinions_of(connection) if one.visit in uids), visits=len(wanted),
        horses=len({one.horse for one in wanted}), last=max((one.day for one in every), default=None),
        promised_nothing=_steps(connection, by_version) - len(promised),
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
    promised = (
        select(t.visit.c.horse, e.place, e.side).join(t.version, v.visit == t.visit.c.uid)
        .join(t.expectation, e.version == v.uid)
    )  # fmt: skip
    rows = connection.execute(
        select(c.version, t.visit.c.horse, c.place, c.side, c.time, c.soreness, c.refused)
        .join(t.version, c.version == v.uid).join(t.visit, v.visit == t.visit.c.uid)
        .where(c.place.in_(sorted({place for _, place, _ in spots})), c.time.in_(BEFORE_WORK),
               c.soreness.is_not(None) | c.refused, tuple_(t.visit.c.horse, c.place, c.side).in_(promised))
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
    row: Any, visit: KnownVisit, graded: Mapping[Spot, list[Graded]], hands: Hands, settings: TrackSettings, done: bool
) -> Promise:  # fmt: skip
    was, to, by = (None if row.was is None else float(row.was)), float(row.to), date.fromisoformat(row.by)
    came, seen = "", None
    if done:
        hoped = Hoped(day=visit.day, by=by, was=was, to=to, error=hands[visit.examiner])
        came, seen = outcome(hoped, graded.get((visit.horse, row.place, row.side), ()), settings)
    return Promise(place=row.place, side=row.side, was=was, to=to, by=by, outcome=came, seen=seen)


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
