"""Of records on a server, everybody sees the files that anybody enclosed.

In: a server, and two machines with a folder of their own. Out: the same bytes on either.
Not here: records in a file (test_beside.py).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.store import enclosed_bytes as lying
from reasoner.store import tables as t
from reasoner.store.checking import check
from reasoner.store.enclosed_bytes import kept_at, take_in
from reasoner.store.enclosing import enclose, enclosed_with
from reasoner.store.exporting import export
from reasoner.store.importing import import_
from reasoner.store.opening import Store, open_store
from reasoner.store.place import place_of
from reasoner.store.reading import visits
from reasoner.store.saving import save
from reasoner.store.whole import put
from reasoner.store.written_out import written_out
from tests.store.damage import hurt_the_photograph
from tests.store.keeping import example, opened
from tests.store.practice import enclosed_bytes
from tests.store.servers import Server

PHOTOGRAPH = b"\xff\xd8 as large as a photograph, and kept as it is " * 130_000


@pytest.fixture
def clinic(server: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    """Records on a server with a visit; this machine's own folder is `here`."""
    monkeypatch.setattr("reasoner.store.place._own_folder", lambda: tmp_path / "here")
    store = open_store(server.database(), make=True)
    save(store, example("bramble"), by="Wren Aldous")
    (tmp_path / "left.csv").write_bytes(PHOTOGRAPH)
    yield store
    store.close()


def _enclosed(store: Store, tmp_path: Path) -> None:
    with store.reading() as connection:
        (visit,) = visits(connection)
    enclose(store, visit, [tmp_path / "left.csv"])


def test_a_photograph_is_seen_from_another_machine(
    clinic: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _enclosed(clinic, tmp_path)
    assert not (tmp_path / "here").exists(), "nothing of it lies on this machine"
    monkeypatch.setattr("reasoner.store.place._own_folder", lambda: tmp_path / "elsewhere")
    with opened(clinic.place) as other:
        with other.reading() as connection:
            (visit,) = visits(connection)
            files = enclosed_with(connection, other.place, visit.uid)
            assert [one.at for one in files] == [None]
            (path,) = written_out(connection, other.place, files, tmp_path / "seen")
            written_out(connection, other.place, files, tmp_path / "seen")  # there already, to the byte
            path.write_bytes(b"mine")
            with pytest.raises(BadInput, match="ST30"):
                written_out(connection, other.place, files, tmp_path / "seen")
            assert path.read_bytes() == b"mine"
            assert len(connection.execute(t.piece.select()).all()) == -(-len(PHOTOGRAPH) // lying._PIECE) > 4
        assert list(enclosed_bytes(other).values()) == [PHOTOGRAPH]
        assert check(other).wrong == ()
        export(other, tmp_path / "out")
    import_(tmp_path / "out", place_of(str(tmp_path / "file.db")))
    with opened(place_of(str(tmp_path / "file.db"))) as file:
        assert list(enclosed_bytes(file).values()) == [PHOTOGRAPH]
        assert check(file).wrong == ()


def test_a_damaged_copy_is_mended_by_enclosing_a_sound_one(clinic: Store, tmp_path: Path) -> None:
    _enclosed(clinic, tmp_path)
    hurt_the_photograph(clinic, b"x")
    assert [p.code for p in check(clinic).wrong] == ["ST41"]
    _enclosed(clinic, tmp_path)
    assert check(clinic).wrong == ()
    assert list(enclosed_bytes(clinic).values()) == [PHOTOGRAPH]


def test_files_that_an_earlier_version_left_on_a_machine_are_read_there_and_taken_in(
    clinic: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the version before kept them: a row in the database, the bytes in a folder of the machine that enclosed them."""
    monkeypatch.setattr(
        "reasoner.store.enclosing.keep_bytes", lambda _, place, data: put(kept_at(place, _sha(data)), data)
    )
    _enclosed(clinic, tmp_path)
    assert check(clinic).wrong == ()
    monkeypatch.setattr("reasoner.store.place._own_folder", lambda: tmp_path / "elsewhere")
    (wrong,) = check(clinic).wrong
    assert "reasoner records upgrade" in wrong.hint
    with clinic.writing() as connection:
        assert take_in(connection, clinic.place).elsewhere == ("left.csv",)
    monkeypatch.setattr("reasoner.store.place._own_folder", lambda: tmp_path / "here")
    with clinic.writing() as connection:
        assert take_in(connection, clinic.place).files == 1
        assert take_in(connection, clinic.place).files == 0
    monkeypatch.setattr("reasoner.store.place._own_folder", lambda: tmp_path / "elsewhere")
    assert check(clinic).wrong == ()


def _sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
