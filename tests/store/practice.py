"""A small practice with something in every table, and all of its content for comparing.

In: an empty store. Out: the same with visits, corrections, agreements and files in it; rows as plain data.
Not here: expectations.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from sqlalchemy import Boolean, Connection, Float, Integer, MetaData, Table, create_engine, insert, select

from reasoner.store import tables as t
from reasoner.store.consents import Agreed, agree
from reasoner.store.enclosed_bytes import bytes_of
from reasoner.store.enclosing import enclose
from reasoner.store.fresh import new_uid
from reasoner.store.opening import Store, upgrade_within
from reasoner.store.people import keep_contact
from reasoner.store.placing import move, withdraw
from reasoner.store.reading import KnownHorse, horse_called, visit_of
from reasoner.store.saving import Saved, correct, save
from reasoner.store.sealing import SEALED, add
from reasoner.store.stays import stands
from tests.store.keeping import example, kept_of
from tests.store.pictures import picture

ODD = (
    "horse: {name: 'St. Otter/Hob', born: 2011}\r\nvisit: 2026-04-18\nyard: Netherfold\n"
    'owner: "Skelbeck, Ines \'Bee\' Tallow"\nnotes: "two words, \\"girthy\\"; naïve: ½ × 3 ≥ 1\\nnext line"\n'
)
#: Tables that the first releases did not have.
NEW = ("stay", "placed", "consent_placed")
TELEPHONE = "01632-960-114-x"


def fill(store: Store, folder: Path, *, every: bool = False, moved: bool = True) -> tuple[Saved, ...]:
    """Two horses of different years whose names differ by a capital only, a day with two visits, a correction, files, agreements;
    but where `moved` is false also a visit moved, one withdrawn and a horse at another yard;
    with `every` a row in each table, also in those that tell of a version (and then tell what no version says)."""
    first = save(store, example("bramble"), by="Wren Aldous")
    other = kept_of(example("bramble").text.replace(b"loin:                       {left: 3", b"loin: {left: 4"))
    saved = (
        first,
        correct(store, first.visit, other, by="Tam Orrin", why='the loin, "read off" the wrong line'),
        save(store, example("hazel"), by="Wren Aldous"),
        save(store, kept_of(ODD), by="Wren Aldous"),
        save(store, kept_of("horse: {name: Juniper, born: 2016}\nvisit: 2026-04-18\nyard: Skelbeck\n"), by="Tam Orrin"),
        save(store, kept_of("horse: {name: juniper, born: 2011}\nvisit: 2026-04-18\nyard: Skelbeck\n"), by="Tam Orrin"),
        save(
            store,
            kept_of("horse: {name: juniper, born: 2011}\nvisit: 2026-04-18\nyard: Skelbeck\n# again"),
            by="Tam Orrin",
            part=2,
        ),
    )
    photo, table = folder / "left side.JPG", folder / "tracing.csv"
    photo.write_bytes(picture())
    table.write_text("behind,down\n0,0\n40,12\n")
    with store.reading() as connection:
        visit = visit_of(connection, first.visit)
        horse = horse_called(connection, "Bramble")
    enclose(store, visit, [photo, table])
    day = date(2026, 4, 18)
    agree(
        store,
        horse,
        Agreed(what="owner agreed", given=True, who="Ines Tallow", on=day, until=date(2027, 4, 18), note=""),
    )
    keep_contact(
        store, "the Larkhope riding group", {"telephone": TELEPHONE, "mail": "", "address": "1 Beck Lane,\nLarkhope"}
    )
    if moved:
        _moved(store, saved, day)
    with store.writing() as connection:
        for one in t.META.sorted_tables:
            if one in t.AS_FILES or (not moved and one.name in NEW):
                continue
            told = "at" in one.columns
            if (every or not told) and connection.execute(select(one).limit(1)).first() is None:
                row = _any_row(connection, one)
                if one in SEALED:
                    add(connection, one, **row)
                else:
                    connection.execute(insert(one).values(**row))
    return saved


def _moved(store: Store, saved: Sequence[Saved], day: date) -> None:
    with store.reading() as connection:
        wrong, twice = visit_of(connection, saved[4].visit), visit_of(connection, saved[6].visit)
        otter, hazel = horse_called(connection, "St. Otter/Hob"), horse_called(connection, "Hazel")
    agree(store, horse_of(store, "Juniper 2016"),
          Agreed(what="owner agreed", given=True, who="Ines Tallow", on=day, until=None, note=""))  # fmt: skip
    move(store, wrong, otter.uid, by="Wren Aldous", why='it was "Otter", not Juniper')
    withdraw(store, twice, by="Tam Orrin", why="kept twice")
    stands(store, hazel, yard="Skelbeck", owner="", since=date(2026, 5, 1), today=day.replace(month=6), who="Wren Aldous",
           why="")  # fmt: skip


def horse_of(store: Store, name: str) -> KnownHorse:
    """The kept horse of this name."""
    with store.reading() as connection:
        return horse_called(connection, name)


def _any_row(connection: Connection, table: Table) -> dict[str, Any]:
    """A row that no command writes yet; its references lead somewhere."""
    row: dict[str, Any] = {}
    for column in table.columns:
        if column.foreign_keys:
            row[column.name] = connection.execute(select(next(iter(column.foreign_keys)).column).limit(1)).scalar()
        elif isinstance(column.type, Boolean):
            row[column.name] = True
        elif isinstance(column.type, Integer | Float):
            row[column.name] = 1
        else:
            row[column.name] = (
                new_uid() if column.primary_key else 'some "words", and\nmore'[: getattr(column.type, "length", None)]
            )
    return row


def as_of_the_first_release(store: Store, path: Path) -> Path:
    """The same records as the first release kept them: its tables, its columns."""
    engine = create_engine(f"sqlite:///{path}")
    then = MetaData()
    with engine.begin() as connection, store.reading() as source:
        upgrade_within(connection, "0001")
        then.reflect(connection)
        for table in then.sorted_tables:
            now = t.META.tables.get(table.name)
            rows = (
                [] if now is None else source.execute(select(*(now.c[c.name] for c in table.columns))).mappings().all()
            )
            if rows:
                connection.execute(insert(table), [dict(row) for row in rows])
    engine.dispose()
    return path


def content(store: Store) -> dict[str, list[dict[str, Any]]]:
    """Every row of every table, but for those that hold files; the files of either kind are `enclosed_bytes`."""
    with store.reading() as connection:
        return {
            table.name: [dict(row) for row in connection.execute(select(table).order_by(*table.primary_key)).mappings()]
            for table in t.META.sorted_tables if table not in t.AS_FILES
        }  # fmt: skip


#: What the first release did not know, so that nothing of it can come out of its records.
LATER = ("photograph", "handed_over", "edited", "approved")


def of_the_first_release(rows: dict[str, list[dict[str, Any]]]) -> dict[str, list[dict[str, Any]]]:
    """What of these rows the first release could keep; the seals are made anew when it is brought up to date."""
    return {name: [] if name in LATER else held for name, held in but_seals(rows).items()}


def but_seals(rows: dict[str, list[dict[str, Any]]]) -> dict[str, list[dict[str, Any]]]:
    """The same without the seals, which are made anew where records of an older version are brought up to date."""
    return {name: held for name, held in rows.items() if name != "seal"}


def enclosed_bytes(store: Store) -> dict[str, bytes]:
    """The bytes of every enclosed file by the checksum its row tells, wherever they lie."""
    with store.reading() as connection:
        shas = connection.execute(select(t.enclosed.c.sha256)).scalars().all()
        return {sha: bytes_of(connection, store.place, sha) for sha in shas}


def files_in(folder: Path) -> dict[str, bytes]:
    """Every file in a folder, by its name inside it."""
    return {str(f.relative_to(folder)): f.read_bytes() for f in sorted(folder.rglob("*")) if f.is_file()}
