"""Every row that somebody said has a seal: a byte changed behind the records' back is found and named in plain words.

In: a small practice with a row in every table, and one thing changed in it. Out: what `check` tells.
Not here: what follows from a visit's words (test_checking.py).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import Boolean, Connection, LargeBinary, Table, delete, func, insert, select, update

from reasoner.store import sealing
from reasoner.store import tables as t
from reasoner.store.checking import check
from reasoner.store.exporting import export
from reasoner.store.importing import import_
from reasoner.store.opening import Store, open_to_upgrade, upgrade, upgrade_within
from reasoner.store.place import place_of
from reasoner.store.sealing import SEALED, WORDS, broken, key_of
from tests.store.damage import unlocked
from tests.store.keeping import opened, opened_new
from tests.store.practice import as_of_the_first_release, content, fill

LATE = "of these sealed only when the records were brought up to date"


def told(connection: Connection) -> list[str]:
    return [f"{one.what} {one.of}" for one in broken(connection, {})]


def test_every_table_that_somebody_speaks_in_is_sealed() -> None:
    """All but what follows from a visit's words, what may go, files (they carry checksums), and the seals themselves."""
    follows = {table.name for table in t.META.sorted_tables if "version" in table.primary_key.columns}
    rest = {table.name for table in SEALED} | follows | {"owner_contact", "piece", "seal"}
    assert rest == {table.name for table in t.META.sorted_tables}
    assert set(WORDS) == {table.name for table in SEALED}


def test_one_changed_letter_of_any_column_of_any_table_is_found(store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path)
    with store.reading() as connection:
        assert told(connection) == []
    looked = 0
    for table in SEALED:
        for column in table.columns:
            if column.name == key_of(table) or column.foreign_keys or isinstance(column.type, LargeBinary):
                continue
            with store.engine.connect() as connection:  # never kept
                turn = connection.begin()
                unlocked(connection, table.name)
                key = table.c[key_of(table)]
                row = connection.execute(select(key, column).where(column.is_not(None)).order_by(key).limit(1)).first()
                if row is not None:
                    other = _other(column.type, row[1])
                    connection.execute(update(table).where(key == row[0]).values({column.name: other}))
                    assert told(connection) == [f"changed {table.name}"], (table.name, column.name)
                    looked += 1
                turn.rollback()
    assert looked > 50
    assert check(store).wrong == ()


def _other(kind: object, value: object) -> object:
    if isinstance(kind, Boolean):
        return not value
    return value + 40 if isinstance(value, int) else (str(value)[:-1] + ("x" if str(value)[-1:] != "x" else "y"))


def _first(connection: Connection, table: Table) -> str:
    return str(
        connection.execute(select(table.c[key_of(table)]).order_by(table.c[key_of(table)]).limit(1)).scalar_one()
    )


def _taken_out(connection: Connection) -> None:
    unlocked(connection, "done")
    connection.execute(delete(t.done).where(t.done.c.uid == _first(connection, t.done)))


def _slipped_in(connection: Connection) -> None:
    row = dict(connection.execute(select(t.consent).limit(1)).mappings().one())
    connection.execute(insert(t.consent).values({**row, "uid": "0" * 32, "given": False}))


def _taken_out_with_its_seal(connection: Connection) -> None:
    unlocked(connection, "consent", "seal")
    bare = select(t.consent.c.uid).where(
        t.consent.c.uid.not_in(select(t.consent_placed.c.consent))
    )  # no row leans on it
    uid = connection.execute(bare.order_by(t.consent.c.uid).limit(1)).scalar_one()
    connection.execute(delete(t.consent).where(t.consent.c.uid == uid))
    connection.execute(delete(t.seal).where(t.seal.c.row == uid))


def _sealed_anew(connection: Connection) -> None:
    """A row changed and its own seal made to fit: the chain does not."""
    unlocked(connection, "consent", "seal")
    uid = _first(connection, t.consent)
    connection.execute(update(t.consent).where(t.consent.c.uid == uid).values(who="somebody else"))
    row = connection.execute(select(t.consent).where(t.consent.c.uid == uid)).mappings().one()
    connection.execute(update(t.seal).where(t.seal.c.row == uid).values(sha256=sealing.sum_of(row)))


@pytest.mark.parametrize(
    ("deed", "says"),
    [
        (_taken_out, "what an owner told of a step was taken out"),
        (_slipped_in, "an agreement has no seal"),
        (_taken_out_with_its_seal, "the seals themselves were changed"),
        (_sealed_anew, "the first that does not follow from those before it is that of an agreement"),
    ],
)
def test_what_was_done_behind_its_back_is_told_in_words(
    store: Store, tmp_path: Path, deed: Callable[[Connection], None], says: str
) -> None:
    fill(store, tmp_path, every=True)
    with store.writing() as connection:
        deed(connection)
        found = [sealing.told(one) for one in broken(connection, {})]
    assert any(says in one for one in found), found
    assert "ST51" in {p.code for p in check(store).wrong}


def test_the_last_row_taken_out_with_its_seal_is_what_a_seal_cannot_show(store: Store, tmp_path: Path) -> None:
    """As the opening of sealing.py says: an earlier backup or export shows it, and nothing in the records themselves."""
    fill(store, tmp_path)
    with store.writing() as connection:
        unlocked(connection, "seal", *(table.name for table in SEALED))
        last = connection.execute(select(t.seal).order_by(t.seal.c.at.desc()).limit(1)).one()
        table = t.META.tables[last.of]
        connection.execute(delete(t.seal).where(t.seal.c.at == last.at))
        connection.execute(delete(table).where(table.c[key_of(table)] == last.row))
        assert told(connection) == []


def test_records_of_the_version_before_get_their_seals_at_the_upgrade(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path, moved=False)
        old = as_of_the_first_release(store, tmp_path / "old.db")
        known_then = {table.name for table in SEALED} - {"handed_over", "photograph", "edited", "approved"}
        rows = sum(len(held) for name, held in content(store).items() if name in known_then)
    place = place_of(str(old))
    older = open_to_upgrade(place)
    with older.writing() as connection:
        upgrade_within(connection, "0003")
    upgrade(older)
    older.close()
    (tmp_path / "practice.db.files").rename(tmp_path / "old.db.files")
    with opened(place) as now:
        found = check(now)
        assert found.wrong == ()
        assert found.looked_at["rows with a seal"] == found.looked_at[LATE] == rows
        with now.writing() as connection:
            unlocked(connection, "done")
            connection.execute(update(t.done).values(because="no reason"))
        (wrong,) = check(now).wrong
        assert "what an owner told of a step was changed after it was said" in wrong.sentence


def test_an_export_carries_the_seals(store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path)
    with store.writing() as connection:
        unlocked(connection, "version")
        connection.execute(update(t.version).where(t.version.c.number == 2).values(why="no reason"))
    export(store, tmp_path / "out")
    import_(tmp_path / "out", place_of(str(tmp_path / "other.db")))
    with opened(place_of(str(tmp_path / "other.db"))) as other:
        (wrong,) = check(other).wrong
        assert "who kept or corrected a visit, when and why was changed" in wrong.sentence
        with other.reading() as connection:
            assert connection.execute(select(func.count()).select_from(t.seal)).scalar_one() > 20
