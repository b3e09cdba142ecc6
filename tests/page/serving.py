"""An application over fresh records for the tests of the page.

In: a folder. Out: the application, and a client that speaks to it without a network.
Not here: a browser.
"""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from functools import cache
from pathlib import Path

from fastapi import FastAPI
from fastapi.testclient import TestClient

from reasoner.consult import load_rulebook
from reasoner.page.app import made
from reasoner.page.served import Served
from reasoner.rules_cache import Ready
from reasoner.store.opening import open_store
from reasoner.store.place import place_of
from tests.day import TODAY

NOW = datetime.combine(TODAY, time(9), UTC)
#: How far the machine's own clock is behind a noon of the tests: whatever its day and hour, theirs is the same, and no test runs
#: over a midnight.
BEHIND: timedelta = NOW.replace(hour=12) - datetime.now(UTC)
SELF = "http://127.0.0.1:8173"


def goes_on() -> datetime:
    """A clock that goes on from that noon, as a telephone's does (browser.py sets those by it)."""
    return (datetime.now(UTC) + BEHIND).astimezone()


@cache
def rules() -> Ready:
    """The shipped rules, compiled once."""
    return load_rulebook()


def served_in(folder: Path) -> Served:
    """Fresh records in a folder, and the shipped rules, on a day that stands still."""
    store = open_store(place_of(str(folder / "practice.db")), make=True)
    return Served(store=store, ready=rules(), folders=None, now=lambda: NOW)


def application(folder: Path) -> FastAPI:
    """The page over fresh records."""
    return made(served_in(folder))


def client(folder: Path) -> TestClient:
    """One who speaks to the page over fresh records, as its own script does; a fault of the program is raised in the test."""
    return TestClient(application(folder), base_url=SELF, headers={"X-From-Page": "1"})
