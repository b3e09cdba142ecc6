"""Everything kept of one horse's visits, the newest version of each, for laying them side by side.

In: a connection and the visits. Out: a `Held` for each: its readings as a `Visit`, its plan, what it concluded, what was told.
Not here: comparing, judging. A visit comes back from its rows, so that words which the rules have dropped since stay readable.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, cast

from sqlalchemy import Connection, Table, func, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.afterwards import done_of
from reasoner.store.edits import Edit, changed_steps, out_of
from reasoner.store.reading import KnownVisit, answer_of
from reasoner.visit.model import DateSpan, Noted, Side, Touch, VetsWord, Visit

#: Levels at which no veterinarian is asked the same day.
UNPRESSING = ("none", "routine")


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
    """What a step was to change at one place: `was` then, `to` or less by the day `by` (points of the soreness scale).

    Where it is seen and not felt, `place` is an entry, `was_word` its reading then and `words` the readings hoped for.
    """

    place: str
    side: str
    was: float | None
    to: float
    by: date
    was_word: str = ""
    words: tuple[str, ...] = ()


@frozen(kw_only=True)
class Told:
    """What an owner told of a step."""

    answer: str
    because: str
    by: str
    on: date


@frozen(kw_only=True)
class HeldStep:
    """A step of a plan: what it answers (conclusions with their sides), what it was to change, the last that was told of it.
    `out_by`: who took it out of the plan; it was then to change nothing, unless it was told of all the same."""

    key: str
    side: str
    kind: str
    words: str
    answers: tuple[tuple[str, str], ...]
    recheck_on: date | None
    expects: tuple[HeldExpectation, ...]
    told: Told | None
    out_by: str = ""


@frozen(kw_only=True)
class HeldCall:
    """A pressing reason to call as it was raised then; `opened`: a veterinarian's word that held that day opened some of what it
    stops."""

    key: str
    call: str
    words: str
    opened: bool


@frozen(kw_only=True)
class Held:
    """One visit as it was kept: `visit` holds what was read and nothing else, its file a few words on the day."""

    known: KnownVisit
    saved_at: str
    visit: Visit
    conclusions: tuple[HeldConclusion, ...]
    concerns: tuple[tuple[str, str, str], ...]
    steps: tuple[HeldStep, ...]
    calls: tuple[HeldCall, ...] = ()


def history(connection: Connection, visits: Sequence[KnownVisit], *, told_until: str | None = None) -> tuple[Held, ...]:
    """Each visit whole, in the order given; of what was told only what was kept up to the moment `told_until`, where one is
    named."""
    versions = [one.version for one in visits]
    rows = {table.name: _rows(connection, table, versions) for table in _TABLES}
    first = _first_saved(connection, [one.uid for one in visits])
    told = _told(connection, [one.uid for one in visits], told_until)
    changed = changed_steps(connection, [one.uid for one in visits])
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
            steps=tuple(_steps(one, rows, told.get(one.uid, {}), changed.get(one.uid, ()))),
            calls=tuple(_calls(connection, one, rows)),
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


def _told(connection: Connection, visits: Sequence[str], until: str | None) -> dict[str, dict[tuple[str, str], Told]]:
    """By visit and (step, side) the last that was told."""
    found: dict[str, dict[tuple[str, str], Told]] = {}
    for one in done_of(connection, *visits, saved_until=until) if visits else ():
        told = Told(answer=one.answer, because=one.because, by=one.told_by, on=one.told_on)
        found.setdefault(one.visit, {})[one.step, one.side] = told
    return found


def _calls(
    connection: Connection, one: KnownVisit, rows: Mapping[str, Mapping[str, Sequence[Any]]]
) -> Iterator[HeldCall]:
    """The pressing calls; what a word opened is told by the kept answer alone, which is read only where there was a word."""
    raised = [r for r in rows["raised"].get(one.version, ()) if r.call not in UNPRESSING]
    opened: set[str] = set()
    if raised and rows["vets_word"].get(one.version):
        concerns = answer_of(connection, one.version)["referral"]["concerns"]
        opened = {key for c in concerns if c["released"] for key in (c["key"], *(fold["key"] for fold in c["folds"]))}
        opened -= {c["key"] for c in concerns if not c["released"]}
    for r in raised:
        yield HeldCall(key=r.key, call=r.call, words=r.words, opened=r.key in opened)


def _steps(
    one: KnownVisit, rows: Mapping[str, Mapping[str, Sequence[Any]]], told: Mapping[tuple[str, str], Told],
    changed: Sequence[Edit],
) -> Iterator[HeldStep]:  # fmt: skip
    drawn: dict[str, set[str]] = {}
    for c in rows["conclusion"].get(one.version, ()):
        if c.band != "against":
            drawn.setdefault(c.key, set()).add(c.side)
    expects: dict[tuple[str, str], list[HeldExpectation]] = {}
    for r in rows["expectation"].get(one.version, ()):
        expects.setdefault((r.step, r.step_side), []).append(
            HeldExpectation(place=r.place, side=r.side, was=number_of(r.was), to=number_of(r.to) or 0.0,
                            by=date.fromisoformat(r.by), **_seen_words(r))
        )  # fmt: skip
    steps = rows["step"].get(one.version, ())
    out = out_of(steps, changed)
    for r in steps:
        # An answer that names no side is one about both.
        answer = told.get((r.key, r.side)) or told.get((r.key, ""))
        away = r.key in out and answer is None
        yield HeldStep(
            key=r.key, side=r.side, kind=r.kind, words=r.words, told=answer, out_by=out[r.key].who if away else "",
            expects=() if away else tuple(expects.get((r.key, r.side), ())),
            answers=tuple((k, side) for k in dict.fromkeys(r.answers.split()) for side in _sides(k, r.side, drawn)),
            recheck_on=date.fromisoformat(r.recheck_on) if r.recheck_on else None,
        )  # fmt: skip
    for own in changed:
        if own.deed == "add":
            words = f"{own.words.rstrip('.')} (added by {own.who})."
            yield HeldStep(key=own.key, side=own.side, kind=own.kind, words=words, answers=(), recheck_on=None, expects=(),
                           told=told.get((own.key, own.side)) or told.get((own.key, "")))  # fmt: skip


def number_of(text: str | None) -> float | None:
    """Points of the soreness scale as they are kept; None for a word, or where nothing is kept.

    >>> number_of("2.5"), number_of("even"), number_of(None)
    (2.5, None, None)
    """
    return float(text) if text and text[0].isdigit() else None


def _seen_words(row: Any) -> dict[str, Any]:
    return {} if number_of(row.to) is not None else {"was_word": row.was or "", "words": tuple(row.to.split())}


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
