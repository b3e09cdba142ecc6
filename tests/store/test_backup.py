"""Backups: consistent while in use, whole or not at all, never over something, and checked before they are believed.

In: a small practice. Out: the same practice again; refusals.
Not here: crashes.
"""

from __future__ import annotations

import hashlib
import threading
import zipfile
from pathlib import Path
from shutil import copytree

import pytest

from reasoner.problems import BadInput
from reasoner.store.backup import SUMS, backup, restore
from reasoner.store.checking import check
from reasoner.store.opening import open_store, open_to_upgrade, upgrade
from reasoner.store.place import Place, place_of
from reasoner.store.saving import save
from tests.store.keeping import example, fresh, kept_of, opened, opened_new
from tests.store.practice import as_of_the_first_release, but_seals, content, files_in, fill, of_the_first_release
from tests.store.servers import Server


def test_a_backup_is_restored_to_the_same_records(tmp_path: Path) -> None:
    with opened_new(tmp_path / "one") as store:
        fill(store, tmp_path)
        made = backup(store, tmp_path / "larkhope.backup")
        wanted = content(store)
        files = files_in(store.place.files)
    assert made.files == 2
    assert made.sha256 == hashlib.sha256((tmp_path / "larkhope.backup").read_bytes()).hexdigest()
    new = place_of(str(tmp_path / "restored.db"))
    assert restore(tmp_path / "larkhope.backup", new) == 3
    assert files_in(new.files) == files
    with opened(new) as again:
        assert content(again) == wanted
        found = check(again)
        assert (found.wrong, found.notes) == ((), ())
        save(again, example("nettle"), by="Wren Aldous")


def test_a_backup_lists_its_checksums_as_everyday_programs_check_them(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        backup(store, tmp_path / "b")
    with zipfile.ZipFile(tmp_path / "b") as packed:
        for line in packed.read(SUMS).decode().splitlines():
            sha, name = line.split("  ")
            assert hashlib.sha256(packed.read(name)).hexdigest() == sha


def test_a_backup_is_consistent_while_others_save(tmp_path: Path) -> None:
    visits = [kept_of(f"horse: {{name: Juniper {n}}}\nvisit: 2026-04-18\nyard: Skelbeck\n") for n in range(12)]
    store, saved, first = fresh(tmp_path), list[str](), threading.Event()

    def work() -> None:
        for one in visits:
            saved.append(save(store, one, by="Tam Orrin").version)
            first.set()

    writer = threading.Thread(target=work)
    writer.start()
    assert first.wait(30)
    counts, number = [], 0
    while writer.is_alive() or number == 0:
        before = len(saved)
        backup(store, tmp_path / f"b{number}")
        counts.append((before, number, len(saved)))
        number += 1
    writer.join()
    store.close()
    for before, number, after in counts:
        place = place_of(str(tmp_path / f"r{number}.db"))
        restore(tmp_path / f"b{number}", place)
        with opened(place) as again:
            found = check(again)
            assert found.wrong == ()
            assert before <= found.looked_at["versions"] <= min(after + 1, len(visits))


def test_a_backup_to_a_disk_that_knows_one_name_for_a_file_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", refused)
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        backup(store, tmp_path / "b")
        with pytest.raises(BadInput, match="ST30"):
            backup(store, tmp_path / "b")
        wanted = content(store)
    restore(tmp_path / "b", place_of(str(tmp_path / "new.db")))
    with opened(place_of(str(tmp_path / "new.db"))) as again:
        assert content(again) == wanted


def test_nothing_is_written_over(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        backup(store, tmp_path / "b")
        before, rows = (tmp_path / "b").read_bytes(), content(store)
        with pytest.raises(BadInput, match="ST30"):
            backup(store, tmp_path / "b")
        with pytest.raises(BadInput, match="ST30"):
            restore(tmp_path / "b", store.place)
        other = place_of(str(tmp_path / "other.db"))
        (tmp_path / "other.db.files").mkdir()
        (tmp_path / "other.db.files" / "somebody's").write_text("mine")
        with pytest.raises(BadInput, match="ST30"):
            restore(tmp_path / "b", other)
        (tmp_path / "other.db.files" / "somebody's").unlink()
        (tmp_path / "other.db.files").rmdir()
        (tmp_path / "other.db-wal").write_bytes(b"left by another file of that name")
        with pytest.raises(BadInput, match="ST30"):
            restore(tmp_path / "b", other)
        (tmp_path / "other.db-wal").unlink()
        assert content(store) == rows
    assert (tmp_path / "b").read_bytes() == before


def test_the_files_of_a_restore_that_was_cut_off_are_gone_on_with_and_nobody_elses(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        backup(store, tmp_path / "b")
        wanted, files = content(store), files_in(store.place.files)
    new = place_of(str(tmp_path / "new.db"))
    copytree(store.place.files, new.files)
    (new.files / "one more").write_text("mine")
    with pytest.raises(BadInput, match="ST30"):
        restore(tmp_path / "b", new)
    (new.files / "one more").unlink()
    (one, *_) = new.files.iterdir()
    data = one.read_bytes()
    one.write_bytes(data + b"x")
    with pytest.raises(BadInput, match="ST30"):
        restore(tmp_path / "b", new)
    one.write_bytes(data)
    restore(tmp_path / "b", new)
    with opened(new) as again:
        assert (content(again), files_in(new.files)) == (wanted, files)


def test_a_damaged_backup_is_not_believed_wherever_it_is_damaged(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        backup(store, tmp_path / "b")
    data, damaged, place = (tmp_path / "b").read_bytes(), tmp_path / "damaged", place_of(str(tmp_path / "new.db"))
    spots = [*range(30, len(data), len(data) // 40), len(data) - 30]
    whole = 0
    for at in spots:
        damaged.write_bytes(data[:at] + bytes(b ^ 0xFF for b in data[at : at + 8]) + data[at + 8 :])
        said = _said(damaged, place)
        if said:
            assert said == ["ST34"]
            assert {f.name for f in tmp_path.iterdir() if f.name.startswith("new.db")} == set()
        else:
            # A few bytes of a zip say nothing about what is in it (a name told twice, a time): then all must be there.
            whole += 1
            with opened(place) as again:
                assert check(again).wrong == ()
            (tmp_path / "new.db").unlink()
            for file in place.files.iterdir():
                file.unlink()
            place.files.rmdir()
    assert whole <= 2
    for cut in (0, 10, len(data) // 2, len(data) - 1):
        damaged.write_bytes(data[:cut])
        with pytest.raises(BadInput, match="ST34"):
            restore(damaged, place)
    with pytest.raises(BadInput, match="ST34"):
        restore(tmp_path / "not there", place)


def test_nor_where_its_list_of_contents_is_damaged(tmp_path: Path) -> None:
    """A number there may point before the beginning of the file, or far behind its end."""
    with opened_new(tmp_path) as store:
        save(store, example("bramble"), by="Wren Aldous")
        backup(store, tmp_path / "b")
    data, damaged, place = (tmp_path / "b").read_bytes(), tmp_path / "damaged", place_of(str(tmp_path / "new.db"))
    for at in range(len(data) - 180, len(data) - 4):
        damaged.write_bytes(data[:at] + bytes(b ^ 0xFF for b in data[at : at + 4]) + data[at + 4 :])
        said = _said(damaged, place)
        assert said in ([], ["ST34"]), at
        if not said:
            (tmp_path / "new.db").unlink()


def _said(file: Path, place: Place) -> list[str]:
    """The codes with which a backup is refused; none where it is restored."""
    try:
        restore(file, place)
    except BadInput as bad:
        return [p.code for p in bad.problems]
    return []


def test_a_missing_or_changed_photograph_is_told_before_it_is_missed(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
        (photo,) = (f for f in store.place.files.iterdir() if f.read_bytes().startswith(b"\xff\xd8"))
        data = photo.read_bytes()
        for deed in (lambda: photo.write_bytes(data + b"x"), photo.unlink):
            deed()
            with pytest.raises(BadInput, match=r"ST41.*left side\.JPG"):
                backup(store, tmp_path / "b")
            assert not (tmp_path / "b").exists()


def test_a_backup_of_a_newer_version_is_refused(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        with store.writing() as connection:
            connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
        backup(store, tmp_path / "b")
    with pytest.raises(BadInput, match="ST04"):
        restore(tmp_path / "b", place_of(str(tmp_path / "new.db")))
    assert not (tmp_path / "new.db").exists()


def test_damaged_records_are_not_copied_as_if_they_were_whole(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path)
    path = tmp_path / "practice.db"
    data = bytearray(path.read_bytes())
    for page in range(20 * 4096, len(data), 4096):
        data[page + 50 : page + 90] = b"\xa5" * 40
    path.write_bytes(data)
    with pytest.raises(BadInput, match="ST05"), opened(store.place) as again:
        backup(again, tmp_path / "b")
    assert not (tmp_path / "b").exists()
    assert path.read_bytes() == data


def test_of_a_server_the_export_is_the_backup(server: Server, tmp_path: Path) -> None:
    place = server.database()
    store = open_store(place, make=True)
    with pytest.raises(BadInput, match=r"ST43.*export"):
        backup(store, tmp_path / "b")
    store.close()
    with pytest.raises(BadInput, match="ST43"):
        restore(tmp_path / "b", place)


def test_a_backup_of_the_first_release_is_restored_and_then_brought_up_to_date(tmp_path: Path) -> None:
    with opened_new(tmp_path) as store:
        fill(store, tmp_path, moved=False)
        wanted = of_the_first_release(content(store))
        as_of_the_first_release(store, tmp_path / "old.db")
    copytree(store.place.files, tmp_path / "old.db.files")
    older = open_to_upgrade(place_of(str(tmp_path / "old.db")))
    backup(older, tmp_path / "b")
    older.close()
    new = place_of(str(tmp_path / "new.db"))
    restore(tmp_path / "b", new)
    with pytest.raises(BadInput, match="ST03"):
        open_store(new)
    older = open_to_upgrade(new)
    upgrade(older)
    older.close()
    with opened(new) as again:
        assert but_seals(content(again)) == wanted
        assert check(again).wrong == ()
