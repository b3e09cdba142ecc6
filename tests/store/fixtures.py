"""Places for records: a file, and a database on a real server, so that one test holds for both.

In: temporary folders, a server of our own. Out: the fixtures `place` (nothing in it yet) and `store` (begun, empty), `nursery`.
Not here: how the server is run (servers.py), children (nursery.py). A conftest that wants them imports them, and `server`.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from reasoner.store.opening import Store, open_store
from reasoner.store.place import Place, place_of
from tests.store.nursery import Nursery
from tests.store.servers import Server, programs


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """A PostgreSQL server, started once for all tests of a process."""
    folder = programs()
    if folder is None:
        pytest.skip("no PostgreSQL server is on this machine (initdb and postgres): `apt-get install postgresql`")
    running = Server(folder)
    yield running
    running.stop()


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Place:
    """A place where nothing is yet, of either kind."""
    if request.param == "sqlite":
        return place_of(str(tmp_path / "practice.db"))
    monkeypatch.setattr("reasoner.store.place._own_folder", lambda: tmp_path / "own")  # where enclosed files would lie
    running: Server = request.getfixturevalue("server")
    return running.database()


@pytest.fixture
def store(place: Place) -> Iterator[Store]:
    """Records just begun, of either kind."""
    opened = open_store(place, make=True)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def nursery() -> Iterator[Nursery]:
    """Children that may be killed, given little room, or few rights: one parent for all tests of a file."""
    running = Nursery()
    yield running
    running.close()
