"""Everything kept of one horse's visits, the newest version of each, for laying them side by side.

In: a connection and the visits. Out: a `Held` for each: its readings as a `Visit`, its plan, what it concluded, what was told.
Not here: comparing, judging. A visit comes back from its rows, so that words which the rules have dropped since stay readable.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, cast

from sqlalchemy import Connection, Table, func, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.afterwards import done_of
from reasoner.store.reading import KnownVisit
from reasoner.visit.model import DateSpan, Noted, Side, Touch, VetsWord, Visit


@frozen(kw_only=True)
class HeldConclusion:
    """A conclusion as it was drawn then."""

    key: str
    side: str
    kind: str
    certainty: float
    band: str
    leading: bool
    words: str


@frozen(kw_only=True)
class HeldExpectation:
    """What a step was to change at one place: `was` then, `to` or less by the day `by` (points of the soreness scale)."""

    place: str
    side: str
    was: float | None
    to: float
    by: date


@frozen(kw_only=True)
class Told:
    """What an owner told of a step."""

    answer: str
    because: str
    by: str
    on: date


@frozen(kw_only=True)
class HeldStep:
    """A step of a plan: what it answers (conclusions with their sides), what it was to change, the last that was told of it."""

    key: str
    side: str
    kind: str
    words: str
    answers: tuple[tuple[str, str], ...]
    recheck_on: date | None
    expects: tuple[HeldExpectation, ...]
    told: Told | None


@frozen(kw_only=True)
class Held:
    """One visit as it was kept: `visit` holds what was read and nothing else, its file a few words on the day."""

    known: KnownVisit
    saved_at: str
    visit: Visit
    conclusions: tuple[HeldConclusion, ...]
    concerns: tuple[tuple[str, str, str], ...]
    steps: tuple[HeldStep, ...]


def history(connection: Connection, visits: Sequence[KnownVisit]) -> tuple[Held, ...]:
    """Each visit whole, in the order given."""
    versions = [one.version for one in visits]
    rows = {table.name: _rows(connection, table, versions) for table in _TABLES}
    first = _first_saved(connection, [one.uid for one in visits])
    told = _told(connection, [one.uid for one in visits])
    return tuple(
        Held(
            known=one, saved_at=first[one.uid],
            visit=Visit(
                file=f"the visit of {one.day.isoformat()}", day=one.day,
                touches=tuple(map(_touch, rows["touch"].get(one.version, ()))),
                noted=tuple(map(_noted, rows["noted"].get(one.version, ()))),
                vets_words=tuple(map(_vets_word, rows["vets_word"].get(one.version, ()))),
            ),
            conclusions=tuple(
                HeldConclusion(key=r.key, side=r.side, kind=r.kind, certainty=r.certainty, band=r.band, leading=r.leading,
                               words=r.words)
                for r in rows["conclusion"].get(one.version, ())
            ),
            concerns=tuple((r.key, r.side, r.words) for r in rows["raised"].get(one.version, ())),
            steps=_steps(one, rows, told.get(one.uid, {})),
        )
        for one in visits
    )  # fmt: skip


_TABLES = (t.touch, t.noted, t.vets_word, t.conclusion, t.raised, t.step, t.expectation)


def _rows(connection: Connection, table: Table, versions: Sequence[str]) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    query = select(table).where(table.c.version.in_(versions)).order_by(table.c.version, table.c.at)
    for row in connection.execute(query):
        found.setdefault(row.version, []).append(row)
    return found


def _first_saved(connection: Connection, visits: Sequence[str]) -> dict[str, str]:
    """When each visit was kept for the first time."""
    v = t.version.c
    rows = connection.execute(select(v.visit, func.min(v.saved_at)).where(v.visit.in_(visits)).group_by(v.visit))
    return {visit: str(saved_at) for visit, saved_at in rows}


def _told(connection: Connection, visits: Sequence[str]) -> dict[str, dict[tuple[str, str], Told]]:
    """By visit and (step, side) the last that was told."""
    found: dict[str, dict[tuple[str, str], Told]] = {}
    for one in done_of(connection, *visits) if visits else ():
        told = Told(answer=one.answer, because=one.because, by=one.told_by, on=one.told_on)
        found.setdefault(one.visit, {})[one.step, one.side] = told
    return found


def _steps(
    one: KnownVisit, rows: Mapping[str, Mapping[str, Sequence[Any]]], told: Mapping[tuple[str, str], Told]
) -> tuple[HeldStep, ...]:
    drawn: dict[str, set[str]] = {}
    for c in rows["conclusion"].get(one.version, ()):
        if c.band != "against":
            drawn.setdefault(c.key, set()).add(c.side)
    expects: dict[tuple[str, str], list[HeldExpectation]] = {}
    for r in rows["expectation"].get(one.version, ()):
        expects.setdefault((r.step, r.step_side), []).append(
            HeldExpectation(place=r.place, side=r.side, was=None if r.was is None else float(r.was), to=float(r.to),
                            by=date.fromisoformat(r.by))
        )  # fmt: skip
    return tuple(
        HeldStep(
            key=r.key, side=r.side, kind=r.kind, words=r.words, expects=tuple(expects.get((r.key, r.side), ())),
            answers=tuple((k, side) for k in dict.fromkeys(r.answers.split()) for side in _sides(k, r.side, drawn)),
            recheck_on=date.fromisoformat(r.recheck_on) if r.recheck_on else None,
            # An answer that names no side is one about both.
            told=told.get((r.key, r.side)) or told.get((r.key, "")),
        )
        for r in rows["step"].get(one.version, ())
    )  # fmt: skip


def _sides(key: str, side: str, drawn: Mapping[str, set[str]]) -> tuple[str, ...]:
    """On which sides the conclusion stood that a step answers: the step's own side if it stood there."""
    stood = drawn.get(key, {side})
    return (side,) if side in stood else tuple(sorted(stood))


def _touch(row: Any) -> Touch:
    return Touch(
        place=row.place, side=_side(row.side), when=row.time, soreness=None if row.soreness is None else Decimal(row.soreness),
        responses=_words(row.responses), felt=_words(row.felt), depth=row.depth, touch=row.touch, refused=bool(row.refused),
        not_examined=row.not_examined, quiet_list=bool(row.quiet_list), line=row.line, note=row.note,
    )  # fmt: skip


def _noted(row: Any) -> Noted:
    about = row.about.split("/") if row.about else None
    return Noted(
        key=row.key, side=_side(row.side), value=_value(row), written=row.written, line=row.line, note=row.note, kind=row.kind,
        about=(about[0], cast(Side, about[1])) if about else None,
    )  # fmt: skip


def _vets_word(row: Any) -> VetsWord:
    about, allows, forbids = (_words(text) or () for text in (row.about, row.allows, row.forbids))
    return VetsWord(
        who=row.who, seen=date.fromisoformat(row.seen), about=about, allows=allows, forbids=forbids,
        until=date.fromisoformat(row.until) if row.until else None, line=row.line, note=row.note,
    )  # fmt: skip


def _value(row: Any) -> str | Decimal | DateSpan:
    text = str(row.value)
    if row.kind in ("number", "count"):
        return Decimal(text)
    if row.kind != "date":
        return text
    if text == "never":
        return DateSpan(first=date.min, last=date.min, never=True)
    first, _, last = text.partition("/")
    return DateSpan(first=date.fromisoformat(first), last=date.fromisoformat(last))


def _words(text: str | None) -> tuple[str, ...] | None:
    return None if text is None else tuple(text.split())


def _side(text: str) -> Side | None:
    return cast(Side, text) if text else None


def words_of(held: Iterable[Held], key: str) -> tuple[str, ...]:
    """The different things written under a text entry, in the order of the visits."""
    return tuple(dict.fromkeys(v for one in held if isinstance(v := one.visit.noted_value(key), str)))
