"""`check` finds what was changed behind the records' back, names it, and is silent where nothing was.

In: a small practice, and one thing changed in it. Out: what is told.
Not here: damage that keeps a file from being opened (test_faults.py).
"""

from __future__ import annotations

import hashlib
import sqlite3
import zlib
from contextlib import closing
from pathlib import Path

import pytest

from reasoner.records.keeping import archive_of
from reasoner.rulebook.layers import stamp_of
from reasoner.store import tables as t
from reasoner.store.checking import check
from reasoner.store.opening import Store
from reasoner.store.saving import save
from tests.store.damage import hurt_the_photograph, unlocked
from tests.store.keeping import example
from tests.store.practice import fill


def test_everything_is_looked_at(store: Store, tmp_path: Path) -> None:
    saved = fill(store, tmp_path)
    found = check(store)
    assert (found.wrong, found.notes) == ((), ())
    with store.reading() as connection:
        rows = sum(
            connection.exec_driver_sql(f'SELECT count(*) FROM "{name}"').scalar_one()
            for name in (
                "touch",
                "noted",
                "outline",
                "vets_word",
                "conclusion",
                "raised",
                "step",
                "expectation",
                "spoke",
                "answered",
            )
        )
    assert found.looked_at["rows"] == rows > 200
    assert found.looked_at["versions"] == found.looked_at["versions read again"] == len(saved)
    assert (found.looked_at["rulebooks"], found.looked_at["enclosed files"]) == (1, 2)
    assert ("pages" in found.looked_at) == (store.place.file is not None)


@pytest.mark.parametrize(
    ("table", "change", "code"),
    [
        ("version", "UPDATE version SET text = answer WHERE number = 1", "ST23"),
        ("version", "UPDATE version SET sha256 = answer_sha256 WHERE number = 2", "ST23 ST51"),
        ("rulebook", "UPDATE rulebook SET archive = (SELECT text FROM version LIMIT 1)", "ST23"),
        ("version", "UPDATE version SET level = 'prompt' WHERE number = 2", "ST39 ST51"),
        ("examiner", "UPDATE examiner SET name = 'Tam Orin'", "ST39 ST51"),
        ("horse", "UPDATE horse SET name = 'Brambles' WHERE name = 'Bramble'", "ST39 ST51"),
        ("visit", "UPDATE visit SET day = '2026-04-19' WHERE part = 2", "ST39 ST51"),
        ("touch", "UPDATE touch SET soreness = '9' WHERE place = 'croup' AND side = 'left'", "ST39"),
        ("noted", "DELETE FROM noted WHERE key = 'owner'", "ST39"),
        ("conclusion", "UPDATE conclusion SET certainty = certainty + 0.001", "ST39"),
        ("expectation", "UPDATE expectation SET by = '2026-12-31'", "ST39"),
    ],
)  # fmt: skip
def test_what_was_changed_behind_its_back_is_named(
    store: Store, tmp_path: Path, table: str, change: str, code: str
) -> None:
    fill(store, tmp_path)
    with store.writing() as connection:
        unlocked(connection, table)
        assert connection.exec_driver_sql(change).rowcount
    assert {p.code for p in check(store).wrong} == set(code.split())


def test_answers_and_words_that_do_not_unpack(store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path)
    data = zlib.compress(b'{"leading": 3}')
    with store.writing() as connection:
        unlocked(connection, "version")
        connection.execute(t.version.update().where(t.version.c.number == 2).values(
            answer=data, answer_sha256=hashlib.sha256(data).hexdigest()))  # fmt: skip
    assert "ST39" in {p.code for p in check(store).wrong}


@pytest.mark.parametrize("deed", [None, b"x"])
def test_a_missing_or_changed_enclosed_file_is_named(store: Store, tmp_path: Path, deed: bytes | None) -> None:
    fill(store, tmp_path)
    hurt_the_photograph(store, deed)
    (told,) = (p for p in check(store).wrong if p.code == "ST41")
    assert "left side.JPG" in told.sentence


def test_a_row_that_leads_nowhere_is_named(store: Store, tmp_path: Path) -> None:
    fill(store, tmp_path)
    if store.place.file is not None:
        store.close()
        with closing(
            sqlite3.connect(store.place.file)
        ) as careless:  # without a word about references, none is looked at
            careless.execute("DROP TRIGGER no_delete_of_examiner")
            careless.execute("DELETE FROM examiner")
            careless.commit()
    else:
        with store.engine.begin() as connection:
            connection.exec_driver_sql("SET LOCAL session_replication_role = replica")
            connection.exec_driver_sql("DELETE FROM examiner")
    assert "ST40" in {p.code for p in check(store).wrong}


def test_a_rulebook_of_another_time_is_told_and_not_called_wrong(store: Store, tmp_path: Path) -> None:
    layers = [(tmp_path, "omens/moon.yaml", b"tides: high\n")]
    kept = example("bramble")
    other = type(kept)(visit=kept.visit, text=kept.text, answer=kept.answer, stamp=stamp_of(layers), engine="0.0.1",
                       archive=archive_of(layers))  # fmt: skip
    save(store, other, by="Wren Aldous")
    found = check(store)
    assert found.wrong == ()
    assert [p.code for p in found.notes] == ["ST42"]
    assert found.looked_at["versions"] == 1
    assert "versions read again" not in found.looked_at


def test_what_another_version_would_read_otherwise_is_told_and_not_called_wrong(store: Store) -> None:
    kept = example("bramble")
    then = {**kept.answer, "engine": "0.0.1"}
    save(store, type(kept)(visit=kept.visit, text=kept.text, answer=then, stamp=kept.stamp, engine="0.0.1",
                           archive=kept.archive), by="Wren Aldous")  # fmt: skip
    assert check(store).notes == ()
    with store.writing() as connection:
        unlocked(connection, "touch")
        connection.exec_driver_sql("DELETE FROM touch WHERE side = 'right'")
    found = check(store)
    assert found.wrong == ()
    assert [p.code for p in found.notes] == ["ST46"]
    assert "touch" in found.notes[0].sentence
