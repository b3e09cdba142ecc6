"""Whether everything kept is still what was kept.

In: an opened store. Out: how many of each kind were looked at, and every one that is not as it was.
Not here: mending. Nothing is written, and nothing is taken on trust: files are read again, words are read again.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Iterator, Mapping
from functools import cached_property, lru_cache
from typing import Any

from sqlalchemy import Connection, bindparam, select

from reasoner import __version__
from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.store import sealing
from reasoner.store import tables as t
from reasoner.store.archives import layers_of
from reasoner.store.enclosed_bytes import bytes_of, kept_at
from reasoner.store.names import same_name
from reasoner.store.opening import Store
from reasoner.store.placing import placings
from reasoner.store.reading import KnownHorse, beside_of, horses
from reasoner.store.telling_rows import told_of
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes

register(
    {
        "ST39": "rows that do not follow from what is kept",
        "ST40": "a row that names another which is not there",
        "ST46": "rows that another version of the reasoner would read otherwise",
        "ST51": "a row that does not fit its seal",
        "ST42": "rules kept that this version cannot read",
    }
)

_MOST = 20
"""How many faults that the database itself finds are named."""


@frozen(kw_only=True)
class Checked:
    """How many were looked at, by what they are; what is wrong; and what could not be looked at, which is not wrong."""

    looked_at: Mapping[str, int]
    wrong: tuple[Problem, ...]
    notes: tuple[Problem, ...]


def check(store: Store) -> Checked:
    """Look at everything. Raises BadInput (ST05, ST07) only where the records cannot be read at all."""
    with store.reading() as connection:
        return _Check(store, connection).all()


class _Check:
    """One look at everything, at one moment."""

    def __init__(self, store: Store, connection: Connection) -> None:
        self.store, self.connection = store, connection
        self.looked: dict[str, int] = {}
        self.notes: list[Problem] = []
        self.words: dict[str, Vocabulary | None] = {}

    def all(self) -> Checked:
        """Every look, the database's own first."""
        wrong = [*self.pages()]
        if not wrong:  # of a damaged file the rest would only be guessed at
            wrong += [*self.references(), *self.seals(), *self.rulebooks(), *self.versions(), *self.enclosed()]
        return Checked(looked_at=self.looked, wrong=tuple(wrong), notes=tuple(self.notes))

    def pages(self) -> Iterator[Problem]:
        """What SQLite finds in its own file; a server looks after its own."""
        if self.store.place.file is None:
            return
        found = [str(row[0]) for row in self.connection.exec_driver_sql(f"PRAGMA integrity_check({_MOST})")]
        self.looked["pages"] = int(self.connection.exec_driver_sql("PRAGMA page_count").scalar_one())
        for said in [] if found == ["ok"] else found:
            yield self._wrong("ST05", f"the file is damaged: {said}.")

    def references(self) -> Iterator[Problem]:
        """Every reference of every row."""
        count = 0
        for table in t.META.sorted_tables:
            for key in table.foreign_keys:
                named, there = key.parent, key.column
                query = select(*table.primary_key.columns, named.label("named")).where(
                    named.is_not(None), named.not_in(select(there))
                )
                for row in self.connection.execute(query):
                    yield self._wrong("ST40", f"a row of {table.name} ({row[0]}) names the {there.table.name} {row.named}, "
                                      "which is not there.")  # fmt: skip
            count += len(table.foreign_keys) * len(self.connection.execute(select(table.primary_key.columns[0])).all())
        self.looked["references"] = count

    def seals(self) -> Iterator[Problem]:
        """Every row that somebody said, against its seal, and the seals against each other."""
        for one in sealing.broken(self.connection, self.looked):
            yield self._wrong("ST51", sealing.told(one))

    def rulebooks(self) -> Iterator[Problem]:
        """Every rulebook against its stamp; its words are what the visits are read with again."""
        for row in self.connection.execute(select(t.rulebook.c.stamp, t.rulebook.c.archive, t.rulebook.c.engine)):
            self._count("rulebooks")
            archive = bytes(row.archive)
            if layers_of(archive, row.stamp) is None:
                yield self._wrong("ST23", f"the rulebook {row.stamp[:12]} does not match its stamp.")
                continue
            self.words[row.stamp] = None
            try:
                self.words[row.stamp] = _words_of(archive, row.stamp)
            except BadInput as bad:
                self.notes.append(Problem(
                    self.store.place.shown, 0, "ST42", f"the rulebook {row.stamp[:12]} (engine {row.engine}) is whole, but this "
                    f"version of the reasoner does not read it: {bad.problems[0].sentence} What it judged was checked by "
                    "checksum alone.", severity="warning"))  # fmt: skip

    def versions(self) -> Iterator[Problem]:
        """Every version: its bytes, its answer, and that its rows are what both say."""
        every = select(t.version.c.uid).order_by(t.version.c.uid)
        for uid in self.connection.execute(every).scalars().all():
            row = self.connection.execute(select(t.version).where(t.version.c.uid == uid)).one()
            self._count("versions")
            text, answer = bytes(row.text), bytes(row.answer)
            sound = True
            for what, data, sha in (("visit file", text, row.sha256), ("answer", answer, row.answer_sha256)):
                if hashlib.sha256(data).hexdigest() != sha:
                    sound = False
                    yield self._wrong("ST23", f"the {what} of version {uid} does not match its checksum.")
            if sound:
                yield from self._told(row, text, answer)

    def _beside(self, version: str) -> Mapping[str, bytes]:
        return beside_of(self.connection, self.store.place, version)

    def _told(self, row: Any, text: bytes, answer: bytes) -> Iterator[Problem]:
        words = self.words.get(row.rulebook)
        if words is None:  # told where the rulebooks are looked at
            return
        try:
            visit, said = (
                visit_from_bytes(text, f"version {row.uid}", words, self._beside(row.uid)),
                json.loads(zlib.decompress(answer)),
            )
            wanted, names = told_of(visit, said), _names(visit, said)
        except (BadInput, ValueError, KeyError, TypeError, zlib.error) as fault:
            yield self._wrong("ST39", f"version {row.uid} cannot be read again as it was then: {str(fault)[:200]}")
            return
        self._count("versions read again")
        then = str(said.get("engine"))
        for what in self._differing(row.uid, names, wanted):
            if then == __version__:
                yield self._wrong("ST39", f"version {row.uid} {what}")
            else:  # a later program may read more out of the same words; that is nobody's damage
                why = f"It was kept by version {then} of the reasoner and is read here by {__version__}, which may be why."
                sentence = f"version {row.uid} {what} {why} Its words and its answer are as they were kept."
                self.notes.append(Problem(self.store.place.shown, 0, "ST46", sentence, severity="warning"))

    def _differing(
        self, uid: str, names: Mapping[str, str], wanted: Mapping[str, list[dict[str, Any]]]
    ) -> Iterator[str]:
        """Where the rows of a version are not what its words and its answer say."""
        under = self.connection.execute(_FOUND_UNDER, {"version": uid}).mappings().one_or_none()
        also = self._also_under(str(under["uid"])) if under is not None else {}
        for key, name in names.items():
            kept = (under[key] or "") if under is not None else ""
            if not any(same_name(one, name) for one in (kept, *also.get(key, ()))):
                yield f'is found under {key.replace("_", " ")} "{kept}", and its words say "{name}".'
        for name, rows in wanted.items():
            table = t.META.tables[name]
            query = select(table).where(table.c.version == uid).order_by(table.c.at)
            found = [dict(one) for one in self.connection.execute(query).mappings()]
            self._count("rows", len(found))
            if found != [{"version": uid, "at": n, **one} for n, one in enumerate(rows)]:
                yield (f"has rows of {name} that are not what its kept words and answer say: {len(found)} kept, {len(rows)} "
                       "expected.")  # fmt: skip

    @cached_property
    def _horses(self) -> dict[str, KnownHorse]:
        return {one.uid: one for one in horses(self.connection)}

    @cached_property
    def _placed(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for one in placings(self.connection):
            found.setdefault(one.visit, []).append(one.uid_of_horse)
        return found

    def _also_under(self, visit: str) -> dict[str, list[str]]:
        """What else a visit's words may say: the name of a horse it was moved to, a yard where its horse ever stood, or no yard;
        each of these rows has a seal of its own."""
        first = self.connection.execute(select(t.visit.c.horse).where(t.visit.c.uid == visit)).scalar_one()
        moved = [self._horses[uid] for uid in self._placed.get(visit, ()) if uid in self._horses]
        every = [*moved, *([self._horses[first]] if first in self._horses else [])]
        return {"horse": [one.name for one in moved], "yard": ["", *(yard for one in every for yard in one.yards)]}

    def enclosed(self) -> Iterator[Problem]:
        """Every file that a row tells of."""
        for row in self.connection.execute(select(t.enclosed.c.name, t.enclosed.c.sha256)).all():
            self._count("enclosed files")
            path = kept_at(self.store.place, row.sha256)
            try:
                data = bytes_of(self.connection, self.store.place, row.sha256)
                if hashlib.sha256(data).hexdigest() != row.sha256:
                    yield Problem(str(path), 0, "ST41", f'the enclosed file "{row.name}" is not as it was kept.',
                                  "Enclose a sound copy of it again, or take it from a backup.")  # fmt: skip
            except FileNotFoundError:
                yield Problem(str(path), 0, "ST41", f'the enclosed file "{row.name}" is missing.',
                              "Enclose it again, or take it from a backup; of records on a server it may lie on the machine that "
                              "enclosed it: `reasoner records upgrade` there brings it in.")  # fmt: skip
            except OSError as fault:
                why = (fault.strerror or "no reason given").lower()
                yield Problem(str(path), 0, "ST41", f'the enclosed file "{row.name}" cannot be read: {why}.')

    def _count(self, what: str, more: int = 1) -> None:
        self.looked[what] = self.looked.get(what, 0) + more

    def _wrong(self, code: str, sentence: str) -> Problem:
        return Problem(self.store.place.shown, 0, code, sentence, self._hint)

    @cached_property
    def _hint(self) -> str:
        if self.store.place.file is None:
            return "Read an export into another database, and compare."
        return "Restore a backup to another name, and compare."


def _names(visit: Visit, answer: Mapping[str, Any]) -> dict[str, str]:
    """What a version is found by, as its words and its answer have it."""
    keys = {
        "yard": "yard",
        "examined_by": "examined_by",
        "checked_by": "checked_by",
        "saddle": "which_saddle",
        "rider": "ridden_by",
    }
    written = {name: visit.noted_value(key) for name, key in keys.items()}
    names = {name: " ".join(value.split()) if isinstance(value, str) else "" for name, value in written.items()}
    return {
        "horse": " ".join(visit.horse_name.split()),
        "day": visit.day.isoformat(),
        "call": answer["referral"]["level"],
        **names,
    }


_CHECKED = t.examiner.alias()
#: The same as the rows have it.
_FOUND_UNDER = (
    select(
        t.visit.c.uid, t.horse.c.name.label("horse"), t.visit.c.day, t.version.c.level.label("call"), t.yard.c.name.label("yard"),
        t.examiner.c.name.label("examined_by"), _CHECKED.c.name.label("checked_by"), t.saddle.c.name.label("saddle"),
        t.rider.c.name.label("rider"),
    )
    .select_from(t.version).join(t.visit, t.version.c.visit == t.visit.c.uid).join(t.horse, t.visit.c.horse == t.horse.c.uid)
    .outerjoin(t.yard, t.horse.c.yard == t.yard.c.uid).outerjoin(t.examiner, t.version.c.examiner == t.examiner.c.uid)
    .outerjoin(_CHECKED, t.version.c.checked_by == _CHECKED.c.uid).outerjoin(t.saddle, t.version.c.saddle == t.saddle.c.uid)
    .outerjoin(t.rider, t.version.c.rider == t.rider.c.uid).where(t.version.c.uid == bindparam("version"))
)  # fmt: skip


@lru_cache(maxsize=4)
def _words_of(archive: bytes, stamp: str) -> Vocabulary:
    """The words of a rulebook that matches its stamp; reading one takes a second. Raises BadInput."""
    from reasoner.rulebook.loading import rulebook_from

    return rulebook_from(layers_of(archive, stamp) or []).vocabulary
