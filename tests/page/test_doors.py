"""The doors: codes, passwords, sessions, people; and what guessing comes to.

In: a yard with a clock that is moved by hand. Out: who is in, and for how long.
Not here: what each may see.
"""

from __future__ import annotations

import re
import stat
import threading
from collections import Counter
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from reasoner.page.doors.codes import LASTS, LENGTH, MOST_WRONG, SIGNS, Codes
from reasoner.page.doors.guessing import FREE, SHUT_AFTER, SHUT_FOR, Guesses
from reasoner.page.doors.people import SHORTEST
from reasoner.page.gate import COOKIE
from reasoner.problems import BadInput
from tests.page.neighbours import NEAR, PASSWORD, SCRIPT, Clock, Yard, yard


@pytest.fixture
def larkhope(tmp_path: Path) -> Yard:
    return yard(tmp_path)


def pair(someone: TestClient, code: str) -> int:
    return someone.post("/pair", data={"code": code}, headers=SCRIPT).status_code


def sign_in(someone: TestClient, name: str, password: str) -> int:
    return someone.post("/sign-in", data={"name": name, "password": password}, headers=SCRIPT).status_code


def test_a_code_lets_one_telephone_in_once(larkhope: Yard) -> None:
    code = larkhope.doors.codes.current()
    one, other = larkhope.stranger(), larkhope.stranger()
    assert one.get("/").status_code == 401
    assert pair(one, code.shown.lower().replace("-", " ")) == 303
    assert one.get("/").status_code == 200
    assert pair(other, code.shown) == 422
    assert other.get("/").status_code == 401
    assert larkhope.doors.codes.current().text != code.text


def test_the_cookie_is_for_this_page_alone(larkhope: Yard) -> None:
    answer = larkhope.stranger().post("/pair", data={"code": larkhope.doors.codes.current().text}, headers=SCRIPT)
    cookie = answer.headers["set-cookie"]
    for needed in (f"{COOKIE}=", "HttpOnly", "Secure", "SameSite=strict", "Path=/", "Max-Age="):
        assert needed in cookie
    assert "Domain" not in cookie
    assert COOKIE.startswith("__Host-")


def test_a_code_runs_out(larkhope: Yard) -> None:
    code = larkhope.doors.codes.current()
    larkhope.clock.now += LASTS
    assert pair(larkhope.stranger(), code.text) == 422
    assert larkhope.doors.codes.current().text != code.text


def test_a_code_cannot_be_guessed() -> None:
    codes = Codes(clock := Clock())
    assert len(SIGNS) ** LENGTH > 7e10
    assert len({*SIGNS}) == len(SIGNS)
    seen = Counter[str]()
    for _ in range(2000):
        code = codes.current()
        assert re.fullmatch(f"[{SIGNS}]{{{LENGTH}}}", code.text)
        seen.update(code.text)
        clock.now += LASTS
    assert set(seen) == {*SIGNS}
    assert max(seen.values()) < 1.3 * min(seen.values()), "every sign is as likely as another"


def test_a_few_wrong_codes_and_all_are_replaced(larkhope: Yard) -> None:
    own, made = (
        larkhope.doors.codes.current(),
        larkhope.doors.codes.made_for(larkhope.doors.people.called("Tam Orrin").uid),
    )
    for _ in range(MOST_WRONG):
        assert larkhope.doors.codes.taken("0000-0000") is None
    assert larkhope.doors.codes.taken(own.text) is None
    assert larkhope.doors.codes.taken(made.text) is None
    assert larkhope.doors.codes.current().text != own.text


def test_whoever_guesses_waits_and_at_last_is_shut_out(larkhope: Yard) -> None:
    someone, waits = larkhope.stranger(), list[int]()
    for _ in range(SHUT_AFTER):
        answer = someone.post("/pair", data={"code": "2222-2222"}, headers=SCRIPT)
        if answer.status_code == 429:
            waits.append(int(answer.headers["retry-after"]))
            assert "Wait" in answer.text
            larkhope.clock.on(seconds=waits[-1])
            answer = someone.post("/pair", data={"code": "2222-2222"}, headers=SCRIPT)
        assert answer.status_code == 422
    assert waits == sorted(waits)
    assert len(waits) == SHUT_AFTER - FREE
    right = larkhope.doors.codes.current().text
    assert pair(someone, right) == 429, "even the right code is not looked at now"
    assert larkhope.doors.codes.current().text == right, "and is not used up"
    larkhope.clock.now += SHUT_FOR
    assert pair(someone, larkhope.doors.codes.current().text) == 303


def test_many_guesses_at_once_are_no_way_round() -> None:
    guesses, free = Guesses(Clock()), list[int]()

    def guess() -> None:
        if guesses.wait(["from there"]) == 0:
            free.append(1)

    threads = [threading.Thread(target=guess) for _ in range(40)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert len(free) == FREE


def test_made_up_names_do_not_fill_the_memory() -> None:
    guesses = Guesses(Clock())
    for number in range(10_000):
        guesses.wait([f"name {number}"])
    assert len(guesses._wrong) < 5000


def test_a_password_lets_in_by_any_capitals_of_the_name(larkhope: Yard) -> None:
    one = larkhope.stranger()
    assert sign_in(one, "tam  ORRIN", PASSWORD) == 303
    assert one.get("/").status_code == 200


@pytest.mark.parametrize(
    ("name", "password"),
    [("Tam Orrin", "three old wet hen"), ("Tam Orrin", ""), ("Nobody", PASSWORD), ("", ""), ("Ines Tallow", ""),
     ("Ines Tallow", PASSWORD), ("' OR 1=1 --", "' OR 1=1 --"), ("Tam Orrin", "x" * 399)],
)  # fmt: skip
def test_nothing_else_does(larkhope: Yard, name: str, password: str) -> None:
    someone = larkhope.stranger()
    assert sign_in(someone, name, password) == 422
    assert someone.get("/").status_code == 401


def test_an_account_is_shut_whatever_address_guesses(larkhope: Yard) -> None:
    keys = ["name tam orrin"]
    for number in range(SHUT_AFTER):
        larkhope.doors.guesses.wait([f"from 192.168.7.{number}", *keys])
        larkhope.clock.on(seconds=600)  # slowly, so that no pause stands in the way
    larkhope.clock.on(seconds=-600)
    assert sign_in(larkhope.stranger(), "Tam Orrin", PASSWORD) == 429
    larkhope.clock.now += SHUT_FOR
    assert sign_in(larkhope.stranger(), "Tam Orrin", PASSWORD) == 303


def test_passwords_and_sessions_are_kept_so_that_nobody_comes_in_with_them(larkhope: Yard) -> None:
    one = larkhope.stranger()
    sign_in(one, "Tam Orrin", PASSWORD)
    held = (larkhope.served.store.place.files.with_name("practice.db.access") / "people.db").read_bytes()
    assert b"$argon2id$" in held
    assert PASSWORD.encode() not in held
    assert one.cookies[COOKIE].encode() not in held


def test_nobody_else_on_this_machine_may_look(larkhope: Yard) -> None:
    folder = larkhope.doors.papers.key.parent
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {f.name: stat.S_IMODE(f.stat().st_mode) for f in folder.iterdir()} == {
        "people.db": 0o600, "authority.key": 0o600, "authority.pem": 0o600, "machine.key": 0o600, "machine.pem": 0o600,
    }  # fmt: skip


def test_a_session_ends_unused_and_in_any_case(larkhope: Yard) -> None:
    one = larkhope.let_in()
    for _ in range(9):
        larkhope.clock.on(days=6)
        assert one.get("/").status_code == 200
    larkhope.clock.on(days=6, seconds=1)
    assert one.get("/").status_code == 401, "sixty days, however much it was used"
    two = larkhope.let_in()
    larkhope.clock.on(days=7, minutes=1)
    assert two.get("/").status_code == 401, "a week unused"


def test_a_password_is_asked_for_again_sooner(larkhope: Yard) -> None:
    one = larkhope.stranger()
    sign_in(one, "Tam Orrin", PASSWORD)
    larkhope.clock.on(hours=11)
    assert one.get("/").status_code == 200
    larkhope.clock.on(hours=12, minutes=1)
    assert one.get("/").status_code == 401


def test_sessions_are_ended_from_the_list_and_by_leaving(larkhope: Yard) -> None:
    phone, tam = larkhope.let_in(), larkhope.let_in("Tam Orrin")
    every = {one.name: one for one in larkhope.doors.sessions.every()}
    assert {"the practitioner", "Tam Orrin"} == set(every)
    assert larkhope.here().post("/telephones/end", data={"session": every["Tam Orrin"].uid}).status_code == 303
    assert tam.get("/").status_code == 401
    assert larkhope.here().post("/telephones/end", data={"session": every["Tam Orrin"].uid}).status_code == 404
    word = phone.cookies[COOKIE]
    assert phone.post("/sign-out").status_code == 303
    phone.cookies.set(COOKIE, word)
    assert phone.get("/").status_code == 401, "the word is worth nothing any more"


def test_moments_are_told_in_utc_whatever_zone_the_machine_is_in(larkhope: Yard) -> None:
    """The page has the machine's own clock; what it calls UTC has to be."""
    larkhope.clock.now = datetime(2026, 11, 28, 1, 30, tzinfo=timezone(timedelta(hours=2)))
    larkhope.let_in()
    (one,) = larkhope.doors.sessions.every()
    assert one.last == "2026-11-27T23:30:00+00:00"
    assert "last seen 27 November 2026, 23:30 UTC" in larkhope.here().get("/telephones").text


@pytest.mark.parametrize("word", ["", "x", "x" * 5000, "é", "' OR 1=1 --", "\x7f"])
def test_no_other_word_is_a_session(larkhope: Yard, word: str) -> None:
    larkhope.let_in()
    cookie = f"{COOKIE}={word}".encode()
    assert larkhope.stranger().get("/", headers=[(b"cookie", cookie)]).status_code == 401


def test_who_is_taken_off_the_list_is_out_at_once(larkhope: Yard) -> None:
    tam = larkhope.let_in("Tam Orrin")
    code = larkhope.doors.codes.made_for(larkhope.doors.people.called("Tam Orrin").uid)
    larkhope.doors.people.close("tam orrin")
    assert tam.get("/").status_code == 401
    assert sign_in(larkhope.stranger(), "Tam Orrin", PASSWORD) == 422
    assert pair(larkhope.stranger(), code.text) == 422
    with pytest.raises(BadInput, match="PG07"):
        larkhope.doors.people.close("Tam Orrin")
    assert larkhope.doors.people.add("Tam Orrin", "apprentice", horse=None, password=PASSWORD).role == "apprentice"
    assert tam.get("/").status_code == 401


def test_another_password_ends_the_sessions(larkhope: Yard) -> None:
    tam = larkhope.let_in("Tam Orrin")
    larkhope.doors.people.set_password("Tam Orrin", "four dry young geese")
    assert tam.get("/").status_code == 401
    assert sign_in(larkhope.stranger(), "Tam Orrin", "four dry young geese") == 303


@pytest.mark.parametrize(
    ("name", "role", "horse", "password", "said"),
    [
        ("Tam Orrin", "apprentice", None, PASSWORD, "PG07.*already"),
        ("TAM  orrin", "owner", "h", PASSWORD, "PG07.*already"),
        (" ", "apprentice", None, PASSWORD, "PG07"),
        ("Bo", "aprentice", None, PASSWORD, 'PG08.*Near: "apprentice"'),
        ("Bo", "owner", None, PASSWORD, "PG08.*--horse"),
        ("Bo", "apprentice", "h", PASSWORD, "PG08.*only an owner"),
        ("Bo", "apprentice", None, "x" * (SHORTEST - 1), "PG09"),
        ("Bo", "apprentice", None, "aaaaaaaaaaaa", "PG09.*guessed"),
        ("Bo Arden Fell", "apprentice", None, "bo arden fell", "PG09.*guessed"),
        ("Bo", "apprentice", None, "x" * 201, "PG09"),
    ],
)
def test_who_cannot_be_added(larkhope: Yard, name: str, role: str, horse: str | None, password: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        larkhope.doors.people.add(name, role, horse=horse, password=password)
    assert len(larkhope.doors.people.every()) == 2


def test_codes_for_others_let_in_those_others(larkhope: Yard) -> None:
    here = larkhope.here()
    tam = larkhope.doors.people.called("Tam Orrin")
    page = here.post("/telephones/code", data={"person": tam.uid}).text
    code = re.search(r'class="code">([0-9A-Z-]+)<', page)
    assert code
    assert "A code for Tam Orrin" in page
    one = larkhope.stranger()
    assert pair(one, code[1]) == 303
    one.headers.update(SCRIPT)
    assert one.get("/telephones").status_code == 403, "an apprentice makes no codes"
    assert one.post("/telephones/code", data={"person": tam.uid}).status_code == 403
    assert here.post("/telephones/code", data={"person": "0" * 32}).status_code == 404


def test_the_page_of_codes_says_what_it_shows(larkhope: Yard) -> None:
    page = larkhope.here().get("/telephones").text
    assert larkhope.doors.codes.current().shown in page
    assert NEAR in page
    assert "data:image/png;base64," in page
    assert "owner of Hazel" in page


def test_on_the_own_machine_there_is_nothing_to_come_in_by(larkhope: Yard) -> None:
    here = larkhope.here()
    assert here.post("/pair", data={"code": larkhope.doors.codes.current().text}).status_code == 404
    assert here.post("/sign-in", data={"name": "Tam Orrin", "password": PASSWORD}).status_code == 404


def test_whoever_is_in_is_sent_on(larkhope: Yard) -> None:
    assert larkhope.let_in().get("/pair").headers["location"] == "/"
