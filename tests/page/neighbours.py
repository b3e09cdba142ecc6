"""The page as telephones nearby reach it, without a network: fresh records, doors, a clock that is moved by hand.

In: a folder. Out: a `Yard`: clients for strangers, for the own machine, for somebody let in; two horses with a visit and a
photograph each. Not here: expectations.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from shutil import copytree
from tempfile import TemporaryDirectory

from fastapi import FastAPI
from fastapi.testclient import TestClient

from reasoner.page.app import made
from reasoner.page.doors.nearby import Doors, doors_at
from reasoner.page.served import Served
from reasoner.store.enclosing import enclose_photograph, enclosed_with
from reasoner.store.reading import KnownVisit, visits
from reasoner.store.saving import save
from tests.page.serving import NOW, SELF, served_in
from tests.store.keeping import example
from tests.store.pictures import picture

ADDRESS, PORT = "192.168.7.20", 8174
NEAR = f"https://{ADDRESS}:{PORT}"
PASSWORD = "three old wet hens"
SCRIPT = {"X-From-Page": "1", "Origin": NEAR, "Sec-Fetch-Site": "same-origin"}


@dataclass
class Clock:
    """A clock that stands until it is moved."""

    now: datetime = NOW

    def __call__(self) -> datetime:
        return self.now

    def on(self, **more: int) -> None:
        self.now += timedelta(**more)


@dataclass
class Yard:
    """One running page, from both sides."""

    served: Served
    doors: Doors
    clock: Clock
    near: FastAPI
    own: FastAPI
    visits: dict[str, KnownVisit] = field(default_factory=dict)
    photographs: dict[str, str] = field(default_factory=dict)

    def stranger(self) -> TestClient:
        """A telephone that nobody has let in."""
        return TestClient(self.near, base_url=NEAR, follow_redirects=False)

    def here(self) -> TestClient:
        """The own machine."""
        return TestClient(self.own, base_url=SELF, follow_redirects=False, headers={"X-From-Page": "1"})

    def let_in(self, name: str = "") -> TestClient:
        """A telephone let in by the practitioner's code, or by one made for somebody on the list."""
        code = self.doors.codes.made_for(self.doors.people.called(name).uid) if name else self.doors.codes.current()
        someone = self.stranger()
        answer = someone.post("/pair", data={"code": code.shown, "label": "test"}, headers=SCRIPT)
        assert (answer.status_code, answer.headers["location"]) == (303, "/"), answer.text
        someone.headers.update(SCRIPT)
        return someone

    def token(self, someone: TestClient, path: str) -> str:
        """The token of the forms of a page."""
        found = re.search(r'name="token" value="([0-9a-f]+)"', someone.get(path).text)
        assert found, f"{path} has no form with a token"
        return found[1]


@cache
def _begun() -> TemporaryDirectory[str]:
    """The records and the people of a yard, made once: Bramble's and Hazel's visits with a photograph each; Tam Orrin an
    apprentice, Ines Tallow Hazel's owner."""
    folder = TemporaryDirectory()
    served = served_in(Path(folder.name))
    for name in ("bramble", "hazel"):
        save(served.store, example(name), by="Wren Aldous")
    with served.store.reading() as connection:
        every = visits(connection)
    for number, one in enumerate(every):
        enclose_photograph(served.store, one, "x.jpg", picture(shade=50 + 40 * number), caption=f"of {one.name}")
    people = doors_at(served.store.place, lambda: NOW, ADDRESS, PORT).people
    people.add("Tam Orrin", "apprentice", horse=None, password=PASSWORD)
    people.add("Ines Tallow", "owner", horse=next(one.horse for one in every if one.name == "Hazel"), password="")
    served.store.close()
    return folder


def yard(folder: Path) -> Yard:
    """A yard of its own in this folder."""
    copytree(_begun().name, folder, dirs_exist_ok=True)
    clock = Clock()
    served = replace(served_in(folder), now=clock)
    served = replace(served, doors=(doors := doors_at(served.store.place, clock, ADDRESS, PORT)))
    found = Yard(served=served, doors=doors, clock=clock, near=made(replace(served, nearby=True)), own=made(served))
    with served.store.reading() as connection:
        found.visits = {one.name: one for one in visits(connection)}
        for name, one in found.visits.items():
            found.photographs[name] = enclosed_with(connection, served.store.place, one.uid)[0].uid
    return found
