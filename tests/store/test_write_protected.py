"""Records that may only be read: a write-protected file, folder or disk is read whole, and what would write says so.

In: records whose rights are taken away, asked by somebody without any. Out: what is told.
Not here: other faults (test_faults.py).
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import select

from reasoner.store import tables as t
from reasoner.store.backup import restore
from reasoner.store.place import place_of
from reasoner.store.reading import visits
from reasoner.store.saving import save
from tests.store.keeping import example, opened, opened_new
from tests.store.nursery import PATIENCE_S, READ, WRITTEN, Nursery
from tests.store.practice import files_in, fill


@pytest.fixture
def protected() -> Iterator[Path]:
    """Records that somebody without rights may read and not write, in `yard`; `own` is a folder they may write to."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    with opened_new(folder / "ya?rd 100%") as store:
        fill(store, folder / "ya?rd 100%")
    (folder / "ya?rd 100%" / "practice.db.files").chmod(0o755)
    (folder / "own").mkdir()
    (folder / "own").chmod(0o777)
    yield folder
    subprocess.run(["chmod", "-R", "u+rwx", folder], check=True)
    shutil.rmtree(folder)


@pytest.mark.parametrize(
    ("file", "folder"), [(0o444, 0o555), (0o444, 0o777), (0o666, 0o555)], ids=["both", "file", "folder"]
)
def test_records_that_may_only_be_read_are_read(nursery: Nursery, protected: Path, file: int, folder: int) -> None:
    practice = protected / "ya?rd 100%" / "practice.db"
    with opened(place_of(str(practice))) as store, store.reading() as connection:
        kept, every = len(visits(connection)), len(connection.execute(select(t.visit.c.uid)).all())
    data = practice.read_bytes()
    practice.chmod(file)
    practice.parent.chmod(folder)
    before = files_in(practice.parent)
    said = nursery.one("looking", None, nobody=True, store=str(practice), out=str(protected / "own"))["said"]
    assert len(said) == kept + 3, said
    assert said[-3:] == ["0 wrong", "backup of 2 files", f"export of {every}"]
    (told,) = nursery.one("saving", None, nobody=True, store=str(practice), first=0)["said"]
    assert told.startswith("REFUSED ST06"), told
    assert "may be read here and not be written" in told
    assert "write-protected" in told
    assert practice.read_bytes() == data
    assert files_in(practice.parent) == before, "reading leaves nothing beside the file"
    restored = place_of(str(protected / "again.db"))
    restore(protected / "own" / "b", restored)
    with opened(restored) as again, again.reading() as connection:
        assert len(visits(connection)) == kept


def test_what_lies_beside_protected_records_is_read_or_told(nursery: Nursery, protected: Path) -> None:
    """Somebody with the right to write is at work: their log is read with its index, and without it that is said."""
    practice = protected / "ya?rd 100%" / "practice.db"
    with opened(place_of(str(practice))) as store:
        save(store, example("nettle"), by="Wren Aldous")
        assert practice.with_name("practice.db-wal").stat().st_size > 0
        shutil.copytree(practice.parent, protected / "copied")
        practice.parent.chmod(0o555)
        practice.chmod(0o444)
        said = nursery.one("looking", None, nobody=True, store=str(practice), out=str(protected / "own"))["said"]
        assert any(line.startswith("Nettle") for line in said), "what was just kept is read"
        assert f"backup of {2} files" in said
    copied = protected / "copied" / "practice.db"
    copied.with_name("practice.db-shm").unlink()
    copied.chmod(0o444)
    copied.parent.chmod(0o555)
    (told,) = nursery.one("looking", None, nobody=True, store=str(copied), out=str(protected / "own"))["said"]
    assert told.startswith("REFUSED RE70"), told
    assert "practice.db-wal" in told
    assert "Copy both files" in told


def _when_it_was_read(own: Path) -> None:
    until = time.monotonic() + PATIENCE_S
    while not (own / READ).exists() and time.monotonic() < until:
        time.sleep(0.02)


def test_protected_records_that_change_while_they_are_read(nursery: Nursery, protected: Path) -> None:
    practice = protected / "ya?rd 100%" / "practice.db"
    practice.chmod(0o644)
    place = place_of(str(practice))

    def write() -> None:
        _when_it_was_read(protected / "own")
        with opened(place) as store:
            save(store, example("nettle"), by="Wren Aldous")
        (protected / "own" / WRITTEN).touch()

    somebody = threading.Thread(target=write)
    somebody.start()
    said = nursery.one("overtaken", None, nobody=True, store=str(practice), own=str(protected / "own"))["said"]
    somebody.join()
    assert said[-1].startswith("REFUSED RE71"), said
    assert "Ask again" in said[-1]


def test_what_somebody_writes_between_two_looks_is_seen(nursery: Nursery, protected: Path) -> None:
    """The log in which it lies appears after the records were opened."""
    practice = protected / "ya?rd 100%" / "practice.db"
    practice.chmod(0o644)
    done = threading.Event()

    def write() -> None:
        _when_it_was_read(protected / "own")
        with opened(place_of(str(practice))) as store:
            save(store, example("nettle"), by="Wren Aldous")
            (protected / "own" / WRITTEN).touch()
            done.wait(PATIENCE_S)  # it stays open, so that what it kept lies in its log alone

    somebody = threading.Thread(target=write)
    somebody.start()
    said = nursery.one("looking_twice", None, nobody=True, store=str(practice), own=str(protected / "own"))["said"]
    done.set()
    somebody.join()
    first, second = (int(line.split()[0]) for line in said)
    assert second == first + 1, said


def test_records_that_may_not_be_looked_at(nursery: Nursery, protected: Path) -> None:
    practice = protected / "ya?rd 100%" / "practice.db"
    practice.chmod(0o600)
    (told,) = nursery.one("looking", None, nobody=True, store=str(practice), out=str(protected / "own"))["said"]
    assert told.startswith("REFUSED ST05"), told
    assert "may not read this file" in told
    practice.parent.chmod(0o600)
    (told,) = nursery.one("looking", None, nobody=True, store=str(practice), out=str(protected / "own"))["said"]
    assert told.startswith("REFUSED ST05"), told
    assert "permission denied" in told
