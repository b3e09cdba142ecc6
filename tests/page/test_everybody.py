"""Nobody sees or changes another's: every route of the application, whoever added it, for every role.

In: the routes as the application lists them, and a yard of two horses. Out: a failure for a route that lets the wrong person in,
or that nobody has thought about. Not here: what a route does for whoever may ask.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.routing import RouteContext, iter_route_contexts
from fastapi.testclient import TestClient

from reasoner.page import gate
from reasoner.page.app import made
from reasoner.page.who import Who, keeper, practitioner, who
from tests.page.neighbours import SCRIPT, Yard, yard

#: What everybody may ask for, who they are or not, and why.
FOR_EVERYBODY = {
    "/pair": "how one comes in",
    "/sign-in": "how one comes in",
    "/sign-out": "ends the own session alone",
    "/certificate": "holds nothing of anybody",
    "/certificate/authority.crt": "is there to be given away",
}
#: Script and style that are the same for everybody, and hold nothing of anybody; the gate asks who it is all the same.
FILES_OF_THE_PAGE = ("/service-worker.js", "/handbook/book.css", "/handbook/book.js", "/pictures.css")
SAFE = {"GET", "HEAD", "OPTIONS"}
#: Words of Bramble's file, which Hazel's owner is not to read.
NOT_HERS = ("Bramble", "the Larkhope riding group")


@pytest.fixture(scope="module")
def larkhope(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    return yard(tmp_path_factory.mktemp("larkhope"))


@dataclass
class Route:
    """One route: its path with its parameters, how it may be asked, and everything it depends on, however deep."""

    path: str
    methods: set[str]
    asks: set[Any]


def routes_of(app: FastAPI) -> list[Route]:
    found = [
        Route(one.path or "", one.methods or set(), set(asks(one.dependant)))
        for one in iter_route_contexts(app.routes)
        if _is_ours(one)
    ]
    assert len(found) > 5
    return found


def _is_ours(one: RouteContext) -> bool:
    return isinstance(getattr(one, "dependant", None), Dependant)


def asks(dependant: Dependant) -> Iterator[Any]:
    """Everything a route depends on, however deep."""
    yield dependant.call
    for inner in dependant.dependencies:
        yield from asks(inner)


def path_for(route: Route, at: Yard, horse: str) -> str:
    """The route's path with the names of this horse's records in it; a parameter nobody knows fails here."""
    known = at.visits[horse]
    values = {
        "visit": known.uid,
        "other": known.uid,
        "horse": known.horse,
        "photograph": at.photographs[horse],
        "version": known.version,
    }
    asked = re.findall(r"{(\w+)(?::\w+)?}", route.path)
    strange = [name for name in asked if name not in values and name not in FREE]
    assert not strange, f"{route.path}: say in this test what {strange} names, or in FREE that it names nobody's record"
    return re.sub(r"{(\w+)(?::\w+)?}", lambda found: values.get(found[1], FREE.get(found[1], "x")), route.path)


#: Parameters that name no record of a horse, with one that reads.
FREE = {
    "key": "withers_pinch", "conclusion": "withers_pinch", "reader": "owner", "place": "loin", "side": "left", "line": "1",
    "number": "1", "name": "x", "chapter": "x", "practice": "0" * 32,
}  # fmt: skip


def unasked(app: FastAPI) -> list[str]:
    """Routes that ask nobody who they are, but for those that are meant to."""
    meant = {*FOR_EVERYBODY, *FILES_OF_THE_PAGE}
    return [route.path for route in routes_of(app) if route.path not in meant and who not in route.asks]


def test_every_route_asks_who_it_is(larkhope: Yard) -> None:
    """A new route without `Asking`, `Keeper` or `Practitioner` fails here."""
    assert unasked(larkhope.near) == []
    careless = made(larkhope.served)
    careless.add_api_route("/horses/{horse}/everything", lambda horse: horse)
    assert unasked(careless) == ["/horses/{horse}/everything"], "the look finds what it looks for"


def test_every_route_that_changes_something_asks_for_a_keeper(larkhope: Yard) -> None:
    for route in routes_of(larkhope.near):
        if route.path in FOR_EVERYBODY or route.methods <= SAFE or route.path in ASKED_BY_POST:
            continue
        assert {keeper, practitioner} & route.asks, f"{route.path} changes something for anybody"


#: Questions that are asked by POST because they are long; they keep nothing.
ASKED_BY_POST = ("/api/answer", "/api/next", "/api/line")


def test_what_strangers_may_reach_is_what_the_gate_says() -> None:
    assert {*gate.OPEN} <= set(FOR_EVERYBODY)
    assert not any(path.startswith(gate.OPEN_UNDER) for path in FOR_EVERYBODY)


def every_way(at: Yard, horse: str) -> Iterator[tuple[str, str]]:
    for route in routes_of(at.near):
        for method in sorted(route.methods):
            yield method, path_for(route, at, horse)


def test_a_stranger_reaches_nothing(larkhope: Yard) -> None:
    stranger = larkhope.stranger()
    for method, path in [*every_way(larkhope, "Bramble"), ("GET", "/openapi.json"), ("GET", "/nothing"), ("GET", "//pair"),
                         ("GET", "/static/../horses"), ("GET", "/static/%2e%2e/horses"), ("GET", "/pair/../horses")]:  # fmt: skip
        if path in gate.OPEN:
            continue
        answer = stranger.request(method, path, headers=SCRIPT)
        assert answer.status_code in (401, 404), (method, path, answer.status_code)
        assert not any(word in answer.text for word in NOT_HERS), path


def test_an_owner_sees_the_own_horse_and_no_other(larkhope: Yard) -> None:
    ines = larkhope.let_in("Ines Tallow")
    with_names = 0
    for route in routes_of(larkhope.near):
        if "GET" not in route.methods or route.path in FOR_EVERYBODY:
            continue
        path = path_for(route, larkhope, "Bramble")
        answer = ines.get(path)
        words = (
            NOT_HERS[1:] if path.startswith("/handbook") else NOT_HERS
        )  # the rules have a horse of that name in an example
        assert not any(word.encode() in answer.content for word in words), path
        if path != path_for(route, larkhope, "Hazel"):
            with_names += 1
            assert answer.status_code in (403, 404), (path, answer.status_code)
            strange = re.sub(r"[0-9a-f]{32}", "0" * 32, path)
            assert ines.get(strange).status_code == answer.status_code, f"{path}: kept and not kept look different"
            assert ines.get(path_for(route, larkhope, "Hazel")).status_code < 500, path
    assert with_names >= 2


def test_the_first_page_offers_nobody_what_is_answered_with_a_no(larkhope: Yard) -> None:
    for name in ("", "Tam Orrin", "Ines Tallow"):
        someone = larkhope.let_in(name)
        told = someone.get("/", headers={"accept": "text/html"}).text
        links = re.findall(r'<a [^>]*href="(/[^"]*)"', told)
        assert "/horses" in links, name
        for link in links:
            assert someone.get(link).status_code == 200, (name, link)


def test_an_owner_changes_nothing(larkhope: Yard) -> None:
    ines = larkhope.let_in("Ines Tallow")
    for horse in ("Bramble", "Hazel"):
        for method, path in every_way(larkhope, horse):
            if method not in SAFE and path not in (*gate.OPEN, *gate.OWNERS_OWN):
                assert ines.request(method, path).status_code == 403, (method, path)
    for method in ("POST", "PUT", "PATCH", "DELETE"):
        assert ines.request(method, "/no-such-route").status_code == 403


def as_(at: Yard, somebody: Who) -> TestClient:
    """The application with somebody as the one who asks, past the gate: the routes' own checks alone."""
    app = made(replace(at.served, nearby=False))
    app.dependency_overrides[who] = lambda: somebody
    return TestClient(app, base_url="http://127.0.0.1:8173", headers={"X-From-Page": "1"}, follow_redirects=False)


def test_the_routes_hold_an_owner_back_even_without_the_gate(larkhope: Yard) -> None:
    """Two walls: this one stands where the other has a hole."""
    ines = as_(larkhope, Who(name="Ines Tallow", role="owner", horse=larkhope.visits["Hazel"].horse))
    for method, path in every_way(larkhope, "Bramble"):
        if method not in SAFE and path not in FOR_EVERYBODY and path not in ASKED_BY_POST:
            assert ines.request(method, path).status_code == 403, (method, path)


def test_only_a_practitioner_answers_for_visits(larkhope: Yard) -> None:
    """Whatever its name, a route that countersigns, approves or lets people in is no apprentice's."""
    theirs = re.compile(r"countersign|approv|telephones|people")
    found = [
        one
        for one in routes_of(larkhope.near)
        if theirs.search(one.path) and (one.methods - SAFE or "telephones" in one.path)
    ]
    assert len(found) >= 3
    for route in found:
        assert practitioner in route.asks, f"{route.path}: take `Practitioner`"
    tam = as_(larkhope, Who(name="Tam Orrin", role="apprentice"))
    assert tam.get("/telephones").status_code == 403


def test_there_is_no_other_way_in(larkhope: Yard) -> None:
    """Mounted parts and plain routes pass the gate too, but ask nobody: each is named here."""
    others = {one.path for one in iter_route_contexts(larkhope.near.routes) if not _is_ours(one)}
    assert others == {"/openapi.json", "/static"}


def test_static_files_are_those_of_the_page(larkhope: Yard) -> None:
    stranger = larkhope.stranger()
    assert stranger.get("/static/page.css").status_code == 200
    for path in ("/static/../app.py", "/static/..%2fapp.py", "/static/%2e%2e/app.py", "/static/....//app.py", "/static/",
                 "/static//etc/passwd", "/static/\\..\\app.py", "/static/page.css%00.py"):  # fmt: skip
        answer = stranger.get(path)
        assert answer.status_code in (401, 404), path
        assert "def made" not in answer.text


def test_the_yard_of_these_tests_is_what_they_think(larkhope: Yard, tmp_path: Path) -> None:
    page = larkhope.let_in().get(f"/visits/{larkhope.visits['Bramble'].uid}/photographs").text
    assert "Bramble" in page
