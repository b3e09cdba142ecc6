"""The gate: names of this machine alone, nothing that another site sends, nothing longer than what it is for.

In: requests as a browser, a stranger's site and a careless program send them. Out: passes or refusals, nothing done.
Not here: codes and sessions, each route.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from reasoner.page import gate
from tests.page.neighbours import ADDRESS, NEAR, Yard, yard
from tests.page.serving import SELF
from tests.store.pictures import picture


@pytest.fixture(scope="module")
def larkhope(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    return yard(tmp_path_factory.mktemp("larkhope"))


@pytest.fixture
def here(larkhope: Yard) -> TestClient:
    return TestClient(larkhope.own, base_url=SELF, follow_redirects=False)


@pytest.mark.parametrize("host", ["127.0.0.1:8173", "localhost:8173", "LOCALHOST", "[::1]:8173", "127.0.0.1"])
def test_the_own_machine_goes_by_its_own_names(here: TestClient, host: str) -> None:
    assert here.get("/", headers={"Host": host}).status_code == 200


STRANGE = ["evil.example", "evil.example:8173", "127.0.0.1.evil.example", "localhost.evil.example", "", "evil@127.0.0.1",
           f"{ADDRESS}:8173", "127.0.0.1/evil", "[::1", "0.0.0.0:8173",
           "127.0.0.1?", "127.0.0.1#x", "127.0.0.1?/pair", "127.0.0.1:x/pair"]  # fmt: skip


@pytest.mark.parametrize("host", STRANGE)
@pytest.mark.parametrize("path", ["/", "/static/page.css", "/openapi.json", "/no-such-page"])
def test_a_name_turned_to_this_machine_is_refused(here: TestClient, host: str, path: str) -> None:
    answer = here.get(path, headers={"Host": host})
    assert answer.status_code == 421
    assert "Bramble" not in answer.text


def test_nearby_goes_by_its_address_alone(larkhope: Yard) -> None:
    near = larkhope.let_in()
    assert near.get("/").status_code == 200
    for host in ("127.0.0.1:8174", "localhost", "evil.example", "192.168.7.21"):
        assert near.get("/", headers={"Host": host}).status_code == 421, host


def send(someone: TestClient, at: Yard, **headers: str) -> int:
    """A photograph, which everybody but an owner may send."""
    visit = at.visits["Bramble"].uid
    files = {"photograph": ("x.jpg", picture(shade=201), "image/jpeg")}
    return someone.post(f"/visits/{visit}/photographs", files=files, headers=headers).status_code


TRUE = {"Origin": SELF, "Sec-Fetch-Site": "same-origin"}


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:3000"},
        {"Origin": "https://127.0.0.1:8173"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "none"},
        {"Origin": "https://evil.example", "X-From-Page": "1"},
        {"Sec-Fetch-Site": "cross-site", "X-From-Page": "1"},
        TRUE,  # our own page, but a form without its token
    ],
)
def test_what_another_site_sends_does_nothing(larkhope: Yard, here: TestClient, headers: dict[str, str]) -> None:
    before = listed(larkhope)
    assert send(here, larkhope, **headers) == 403
    assert listed(larkhope) == before


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "application/octet-stream", ""])
def test_without_the_header_only_a_form_may_be_sent(larkhope: Yard, here: TestClient, kind: str) -> None:
    answer = here.post("/telephones/end", content=b"session=" + b"0" * 32, headers={**TRUE, "Content-Type": kind})
    assert answer.status_code == 403


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_every_way_of_changing_is_asked(here: TestClient, method: str) -> None:
    assert here.request(method, "/telephones/end").status_code == 403


def test_our_own_pages_may(larkhope: Yard, here: TestClient) -> None:
    assert send(here, larkhope, **TRUE, **{"X-From-Page": "1"}) in (200, 201)
    path = f"/visits/{larkhope.visits['Bramble'].uid}/photographs"
    token = larkhope.token(here, path)
    form = {"data": {"token": token}, "files": {"photograph": ("x.jpg", picture(shade=202), "image/jpeg")}}
    assert here.post(path, headers=TRUE, **form).status_code == 201  # type: ignore[arg-type]
    other = {**form, "data": {"token": "0" * 64}}
    assert here.post(path, headers=TRUE, **other).status_code == 403  # type: ignore[arg-type]


def test_a_token_is_good_in_its_own_session_alone(larkhope: Yard) -> None:
    one, other = larkhope.let_in(), larkhope.let_in()
    path = f"/visits/{larkhope.visits['Bramble'].uid}/photographs"
    token = larkhope.token(one, path)
    for someone, code in ((one, 201), (other, 403)):
        del someone.headers["X-From-Page"]
        files = {"photograph": ("x.jpg", picture(shade=240), "image/jpeg")}
        assert someone.post(path, data={"token": token}, files=files).status_code == code


def test_nothing_is_longer_than_what_it_is_for(
    larkhope: Yard, here: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gate, "MOST", 1000)
    monkeypatch.setattr(gate, "MOST_BYTES", 5000)
    monkeypatch.setattr(gate, "_AROUND_A_FILE", 0)
    path, headers = f"/visits/{larkhope.visits['Bramble'].uid}/photographs", {"X-From-Page": "1"}

    def by_pieces(count: int) -> Iterator[bytes]:
        yield from (b"x" * 100 for _ in range(count))

    form = {**headers, "Content-Type": "application/x-www-form-urlencoded"}
    assert here.post("/telephones/end", content=b"x" * 1001, headers=form).status_code == 413
    assert here.post("/telephones/end", content=by_pieces(11), headers=form).status_code == 413, "whatever was promised"
    assert here.post("/telephones/end", content=by_pieces(10), headers=form).status_code == 422
    assert here.post(path, content=b"x" * 5001, headers=headers).status_code == 413
    large = {"photograph": ("x.jpg", b"x" * 6000, "image/jpeg")}
    assert here.post(path, files=large, headers=headers).status_code == 413


def test_a_refusal_tells_the_browser_to_refuse_as_well(larkhope: Yard, here: TestClient) -> None:
    for answer in (
        here.get("/", headers={"Host": "evil.example"}), here.post("/telephones/end"), larkhope.stranger().get("/horses"),
        larkhope.stranger().get("/pair"),
    ):  # fmt: skip
        assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["x-frame-options"] == "DENY"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert answer.headers["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in answer.headers


def test_refusals_are_words(larkhope: Yard, here: TestClient) -> None:
    words = here.post("/telephones/end", headers={"Accept": "text/html"})
    assert "did not come from a page of this tool" in words.text
    assert larkhope.stranger().get("/", headers={"Accept": "text/html"}).headers["location"] == "/pair"
    assert larkhope.stranger().get("/", headers={"Accept": "*/*"}).json() == {"says": "Say who you are first."}


def listed(at: Yard) -> list[str]:
    with at.served.store.reading() as connection:
        from reasoner.store.enclosing import enclosed_with

        return [one.uid for v in at.visits.values() for one in enclosed_with(connection, at.served.store.place, v.uid)]


def test_nobody_speaks_for_another_address(larkhope: Yard) -> None:
    """Headers by which a proxy tells whom it speaks for are nobody's business here."""
    forged = {
        "X-Forwarded-For": "127.0.0.1",
        "X-Forwarded-Host": "localhost",
        "Forwarded": "for=127.0.0.1",
        "X-Real-IP": "::1",
    }
    assert larkhope.stranger().get("/", headers=forged).status_code == 401
    assert NEAR.startswith("https://")
