"""Full disks, read-only ones, two writers, other versions, damaged files: a sentence, a code, and nothing lost.

In: records that something befalls. Out: what is told, and that all that was acknowledged is there.
Not here: being killed (test_crash.py).
"""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import subprocess
import tempfile
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from reasoner.problems import BadInput
from reasoner.store import opening
from reasoner.store import tables as t
from reasoner.store.backup import backup, copy_beside
from reasoner.store.checking import check
from reasoner.store.enclosing import enclose
from reasoner.store.exporting import export
from reasoner.store.importing import import_
from reasoner.store.opening import Store, open_store, open_to_upgrade, upgrade
from reasoner.store.place import Place, place_of
from reasoner.store.reading import horses, text_of, visits
from reasoner.store.saving import save
from tests.store.dying import LOT, visit_text
from tests.store.keeping import example, fresh, kept_of, opened, opened_new
from tests.store.nursery import Nursery
from tests.store.practice import as_of_the_first_release, but_seals, content, files_in, fill


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 3 MB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", folder], capture_output=True, check=False)
    if done.returncode:
        pytest.skip("nobody here may mount a small disk; the tests with a limit on files tell the same of a full one")
    yield folder
    subprocess.run(["umount", "--lazy", folder], check=True)


def test_a_full_disk(small_disk: Path, tmp_path: Path) -> None:
    with opened_new(tmp_path / "other") as source:
        fill(source, tmp_path)
        out = export(source, tmp_path / "out").folder
    store, saved = fresh(small_disk), list[str]()

    def until_it_is_full() -> None:
        for number in range(500):
            saved.append(save(store, kept_of(visit_text(number)), by="Tam Orrin").version)

    with pytest.raises(BadInput, match=r"ST06.*full.*nothing was changed"):
        until_it_is_full()
    assert len(saved) > 5
    big = tmp_path / "big.csv"
    big.write_bytes(random.Random(1).randbytes(3_000_000))
    with store.reading() as connection:
        visit = visits(connection)[0]
    before = {name for name in files_in(small_disk) if not name.endswith(("-wal", "-shm"))}
    for deed, code in (
        (lambda: enclose(store, visit, [big]), "ST06"),
        (lambda: backup(store, small_disk / "b"), r"ST31 .*/b:"),
        (lambda: export(store, small_disk / "e"), "ST31"),
        (lambda: export(store, small_disk / "p", "parquet"), "ST31"),
        (lambda: import_(out, place_of(str(small_disk / "new.db"))), "ST06"),
    ):
        with pytest.raises(BadInput, match=code):
            deed()
    after = {name for name in files_in(small_disk) if not name.endswith(("-wal", "-shm", "new.db"))}
    assert after == before, "nothing half done is left lying about"
    store.close()
    backup(fresh_again := open_store(store.place), tmp_path / "b")  # elsewhere there is room
    found = check(fresh_again)
    assert found.wrong == ()
    assert found.looked_at["versions"] == len(saved)
    with fresh_again.reading() as connection:
        assert [text_of(connection, uid) for uid in saved] == [visit_text(n).encode() for n in range(len(saved))]
    fresh_again.close()


@pytest.mark.parametrize("deed", ["saving", "importing", "backing", "exporting"])
def test_no_room_for_a_larger_file(nursery: Nursery, tmp_path: Path, deed: str) -> None:
    """The same without a disk of its own: no file may grow beyond a limit."""
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        export(store, tmp_path / "out")
        before, place = content(store), store.place
    size = (tmp_path / "practice.db").stat().st_size
    out = str(tmp_path / "out")
    said = {
        "saving": lambda: nursery.one("saving", None, limit=size, store=place.url, first=0),
        "importing": lambda: nursery.one(
            "importing", None, limit=size // 2, store=str(tmp_path / "new.db"), folder=out
        ),
        "backing": lambda: nursery.one("backing", None, limit=size // 2, store=place.url, folder=str(tmp_path)),
        "exporting": lambda: nursery.one("exporting", None, limit=3000, store=place.url, folder=str(tmp_path / "e")),
    }[deed]()["said"]
    assert said
    assert said[-1].startswith(("REFUSED ST06", "REFUSED ST31")), said
    if deed == "backing":
        assert said[-1].startswith(f"REFUSED ST31 {tmp_path / 'b0'}:"), "the place that is full, and not the records"
    assert not (tmp_path / "e").exists()
    assert not (tmp_path / "b0").exists()
    if deed == "importing":
        with pytest.raises(BadInput, match="ST02"):
            open_store(place_of(str(tmp_path / "new.db")))
    with opened(place) as again:
        assert check(again).wrong == ()
        found = content(again)
        kept = set(said[:-1]) if deed == "saving" else set()
        assert {row["uid"] for row in found["version"]} == {row["uid"] for row in before["version"]} | kept


def test_a_file_and_a_folder_that_may_only_be_read(nursery: Nursery) -> None:
    folder = Path(tempfile.mkdtemp())  # one that somebody without rights can reach
    try:
        folder.chmod(0o755)
        with opened_new(folder / "yard") as store:
            save(store, example("bramble"), by="Wren Aldous")
            wanted, place = content(store), store.place
        data = (folder / "yard" / "practice.db").read_bytes()
        (folder / "yard" / "practice.db").chmod(0o444)
        (folder / "yard").chmod(0o555)
        (folder / "new").mkdir(mode=0o555)
        for deed, words in (
            ("saving", {"store": place.url, "first": 0}),
            ("migrating", {"store": place.url}),
            ("saving", {"store": str(folder / "new" / "practice.db"), "first": 0}),
            ("saving", {"store": str(folder / "new" / "further" / "practice.db"), "first": 0}),
            ("exporting", {"store": place.url, "folder": str(folder / "new" / "out")}),
        ):
            (said,) = nursery.one(deed, None, nobody=True, **words)["said"]
            assert said.startswith(("REFUSED ST06", "REFUSED ST31")), (deed, said)
            assert (folder / "yard" / "practice.db").read_bytes() == data
            assert list((folder / "new").iterdir()) == []
        (folder / "yard").chmod(0o755)
        (folder / "yard" / "practice.db").chmod(0o644)
        with opened(place) as again:
            assert content(again) == wanted
    finally:
        subprocess.run(["chmod", "-R", "u+rwx", folder], check=True)
        shutil.rmtree(folder)


def test_two_writers_at_once_both_succeed(place: Place) -> None:
    """They also begin the records at once."""
    lots = [[kept_of(visit_text(n)) for n in range(start, start + LOT)] for start in (0, LOT)]
    together, saved, faults = threading.Barrier(2), list[str](), list[BaseException]()

    def work(lot: list[object]) -> None:
        try:
            together.wait(30)
            store = open_store(place, make=True)
            for one in lot:
                saved.append(save(store, one, by="Tam Orrin").version)  # type: ignore[arg-type]
            store.close()
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=work, args=(lot,)) for lot in lots]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    with opened(place) as store:
        with store.reading() as connection:
            rows = connection.execute(select(t.version.c.uid)).scalars().all()
            assert len(horses(connection)) == 2 * LOT
        assert sorted(rows) == sorted(saved)
        assert check(store).wrong == ()


def test_many_who_begin_the_same_records_at_once_all_come_in(tmp_path: Path) -> None:
    """Without patience of its own about one opening in twenty is refused here, so that thirty times four find it."""
    faults: list[BaseException] = []

    def begin(place: Place, together: threading.Barrier) -> None:
        try:
            together.wait(30)
            open_store(place, make=True).close()
        except BaseException as fault:
            faults.append(fault)

    for turn in range(30):
        together, place = threading.Barrier(4), place_of(str(tmp_path / f"{turn}.db"))
        threads = [threading.Thread(target=begin, args=(place, together)) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert faults == []


def test_a_writer_who_waits_too_long_is_told(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    open_store(place, make=True).close()
    monkeypatch.setattr(opening, "PATIENCE_S", 1)
    with opened(place) as one, opened(place) as other:
        with one.writing() as connection:
            connection.execute(t.rider.insert().values(uid="1" * 32, name="Ines Tallow"))
            with pytest.raises(BadInput, match=r"ST07.*somebody else"):
                save(other, example("bramble"), by="Tam Orrin")
            with other.reading() as reader:
                assert visits(reader) == ()  # whoever only reads waits for nobody
        save(other, example("bramble"), by="Tam Orrin")


def test_records_of_the_first_release_are_brought_up_to_date_and_a_copy_is_kept(tmp_path: Path) -> None:
    with opened_new(tmp_path / "source") as source:
        fill(source, tmp_path, moved=False)
        wanted = but_seals(content(source))
        as_of_the_first_release(source, tmp_path / "old.db")
    place = place_of(str(tmp_path / "old.db"))
    data = (tmp_path / "old.db").read_bytes()
    with closing(sqlite3.connect(tmp_path / "old.db")) as old:
        then = {name for (name,) in old.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
    with pytest.raises(BadInput, match=r"ST03.*upgrade"):
        open_store(place)
    assert (tmp_path / "old.db").read_bytes()[100:] == data[100:], "nothing was touched but how its log is kept"
    for number in (1, 2):
        store = open_to_upgrade(place)
        copy = copy_beside(store)
        upgrade(store)
        store.close()
        assert copy == tmp_path / f"old.db.before-upgrade-{number}"
    with opened(place) as again:
        worked_out = {"spoke", "answered"}  # from the answers that were kept
        later: dict[str, list[dict[str, Any]]] = {name: [] for name in wanted.keys() - then - worked_out}
        assert {"photograph", "edited", "handed_over"} <= later.keys()
        assert but_seals(content(again)) == {**wanted, **later}, "what was not asked for then is not made up"
    with pytest.raises(BadInput, match="ST03"):
        open_store(place_of(str(tmp_path / "old.db.before-upgrade-1")))


def test_records_of_a_newer_version_are_left_alone(store: Store) -> None:
    save(store, example("bramble"), by="Wren Aldous")
    with store.writing() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
        before = {n: connection.execute(table.select()).all() for n, table in t.META.tables.items()}
    store.close()
    data = store.place.file.read_bytes() if store.place.file else b""
    for attempt in (open_store, open_to_upgrade, lambda place: open_store(place, make=True)):
        with pytest.raises(BadInput, match="ST04"):
            attempt(store.place)
    assert (store.place.file.read_bytes() if store.place.file else b"") == data
    with store.reading() as connection:
        assert {n: connection.execute(table.select()).all() for n, table in t.META.tables.items()} == before


@pytest.mark.parametrize(
    ("name", "start", "end"),
    [("its first page", 0, 100), ("the list of its tables", 100, 4096), ("all but the first page", 4096, None),
     ("everything", 0, None)],
)  # fmt: skip
def test_a_damaged_file_is_told_and_left_as_it_is(tmp_path: Path, name: str, start: int, end: int | None) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        place = store.place
    path = tmp_path / "practice.db"
    data = bytearray(path.read_bytes())
    end = len(data) if end is None else end
    data[start:end] = random.Random(5).randbytes(end - start)
    path.write_bytes(data)
    for deed in (_look, _save, lambda s: export(s, tmp_path / "out"), lambda s: backup(s, tmp_path / "b"), _check):
        with pytest.raises(BadInput, match="ST05"), opened(place) as again:
            deed(again)
    assert path.read_bytes()[100:] == data[100:]
    assert not (tmp_path / "out").exists()
    assert not (tmp_path / "b").exists()


def test_damage_in_one_place_is_told_or_has_changed_nothing(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        wanted, place = content(store), store.place
    path = tmp_path / "practice.db"
    whole, chance, told = path.read_bytes(), random.Random(7), 0
    for _ in range(40):
        at = chance.randrange(4096, len(whole) - 64)
        path.write_bytes(whole[:at] + bytes(b ^ 0xA5 for b in whole[at : at + 64]) + whole[at + 64 :])
        codes = _told(place)
        if codes:
            told += 1
            assert codes <= {"ST05", "ST23", "ST39", "ST40", "ST41"}
        else:  # it lies where no record does
            with opened(place) as again:
                assert content(again) == wanted
    assert told > 10
    path.write_bytes(whole)
    assert _told(place) == set()


def _told(place: Place) -> set[str]:
    """The codes of everything that `check` finds wrong, or that keeps the records from being opened."""
    try:
        with opened(place) as store:
            return {p.code for p in check(store).wrong}
    except BadInput as bad:
        return {p.code for p in bad.problems}


def _look(store: Store) -> None:
    content(store)


def _save(store: Store) -> None:
    for number in range(LOT):
        save(store, kept_of(visit_text(number)), by="Tam Orrin")


def _check(store: Store) -> None:
    found = check(store)
    if found.wrong:
        raise BadInput(found.wrong)


def test_a_cut_off_file(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        place = store.place
    path = tmp_path / "practice.db"
    data = path.read_bytes()
    for size in (len(data) // 2, 5000, 4096, 50):
        path.write_bytes(data[:size])
        with pytest.raises(BadInput, match="ST05"), opened(place) as again:
            _check(again)


def test_a_place_that_cannot_be_one(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("not a database at all, only words " * 200)
    with pytest.raises(BadInput, match="ST05"):
        open_store(place_of(str(tmp_path / "notes.txt")), make=True)
    with pytest.raises(BadInput, match=r"ST05|ST06"):
        open_store(place_of(str(tmp_path / "notes.txt" / "practice.db")), make=True)
    with pytest.raises(BadInput, match="ST05"):
        open_store(place_of(f"postgresql://keeper@/none?host={tmp_path}"))
    assert os.listdir(tmp_path) == ["notes.txt"]
