"""Practice at the page: who may, taken up after a restart and on two telephones, second taps, going back, what cannot be done.

In: fresh records, people of a yard, chosen cases. Out: failures.
Not here: what leaks (test_practise_leaks), the browser (test_browser_practise), marks (tests/teaching).
"""

from __future__ import annotations

import html
import json
import os
import re
import sqlite3
import stat
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from reasoner.page.app import made
from reasoner.page.longer import Longer
from reasoner.page.practice.kept import folder_of
from reasoner.page.practice.sessions import MOST_OPEN, Sessions
from reasoner.page.routes import practise
from reasoner.rendering.book import book_html
from reasoner.rulebook.loading import load_rulebook
from reasoner.teaching.marking import marked
from reasoner.teaching.practice_record import record_from
from reasoner.teaching.session import Session
from reasoner.teaching.session_key import NAME
from tests.page.desk_store import desk
from tests.page.neighbours import Yard, yard
from tests.page.practice import Played, case_of
from tests.page.serving import SELF, client, rules, served_in
from tests.rendering.forbidden import found_in

PLAIN = case_of("girth_presses", "left")
LIMB = case_of("spares_a_hind_limb", "left")


def _alert(text: str) -> str:
    found = re.search(r'role="alert".*?</div>', text, re.DOTALL)
    return html.unescape(re.sub(r"<[^>]+>", " ", found[0])) if found else ""


# -- a case from its beginning to its end ------------------------------------------------------------------------------------


def test_a_look_shows_its_reading_and_is_offered_no_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    before = play.looks()
    assert "girth_line" in before
    page = play.does("look", look="girth_line").text
    touches = {t.side: t.soreness for t in PLAIN.visit.touches if t.place == "girth_line"}
    assert f"girth line: left {touches['left']:f}, right {touches['right']:f}" in page
    assert set(before) - set(play.looks()) >= {"girth_line"}


def test_looks_stand_in_groups_in_the_order_of_the_walk_and_are_found_by_typing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    page = play.get(play.at).text
    groups = re.findall(r"<summary>([^<]+?) <span", page)
    vocabulary = rules().book.vocabulary
    at = [groups.index(f"Palpation: {name}") for name in ("head", "neck", "shoulder", "back")]
    walk = [
        min(vocabulary.places[k].walk for k in vocabulary.regions[name])
        for name in ("head", "neck", "shoulder", "back")
    ]
    assert sorted(at) == [at[i] for i in sorted(range(4), key=walk.__getitem__)]
    found = play.get(f"{play.at}?find=GIRTH%20line").text
    looks = re.findall(r'<li data-words="[^"]*">\s*<button name="look" value="(\w+)"', found)
    assert "girth_line" in looks
    assert f"{len(looks)} of " in found
    assert len(looks) < 5, "also what is called so by another name, and nothing else"
    assert 'name="find" value="GIRTH line"' in found
    none = play.get(f"{play.at}?find=%3Cb%3Eno").text
    assert "0 of" in none
    assert "<b>no" not in none


def test_what_something_standing_forbids_is_not_offered_and_not_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    play = Played(client(tmp_path), monkeypatch, LIMB)
    assert "saddle_comes_to" in play.looks()
    page = play.does("look", look="hind_step").text
    assert "saddle_comes_to" not in play.looks()
    assert "not looked at now: something seen so far stands in their way" in page
    refused = play.does("look", look="saddle_comes_to")
    assert refused.status_code == 422
    assert "The end says what it is" in _alert(refused.text)
    whole = "".join(answer.text for _, answer in play.answers)
    assert not [
        concern for concern in rules().book.concerns.values() if "{" not in concern.says and concern.says in whole
    ]


def test_several_causes_are_said_at_once_and_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    play.does("think", new_cause="girth_presses", new_side="left", new_sure="60 %")
    page = play.does(
        "think", cause=["girth_presses/left"], sure=["30"], new_cause="mouth_and_teeth", new_sure="65,5"
    ).text
    assert 'value="30"' in page
    assert 'value="65.5"' in page
    page = play.does("think", cause=["girth_presses/left", "mouth_and_teeth/"], sure=["0", "65.5"]).text
    assert "girth presses, left" not in page
    assert "mouth and teeth</label>" in page


def test_the_days_of_a_case_are_written_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    page = play.get(play.at).text
    assert "visit: 18 April 2026" in page
    assert not re.search(r">[^<]*\d{4}-\d\d-\d\d", page)


def test_a_page_that_was_opened_before_takes_nothing_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two tabs, or a telephone and a desk: the one that does not know of a cause yet names another, and both stay."""
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    play.does("think", new_cause="girth_presses", new_side="left", new_sure="40")
    page = play.does("think", new_cause="mouth_and_teeth", new_sure="30").text
    assert "girth presses, left</label>" in page
    assert "mouth and teeth</label>" in page
    page = play.does("think", cause=["mouth_and_teeth/"], sure=["70"]).text
    assert "come to 110% together" in _alert(page)


@pytest.mark.parametrize(
    ("what", "fields", "told"),
    [
        ("think", {"new_cause": "girth_presses", "new_sure": "60"}, "No side was said for girth presses"),
        ("think", {"new_cause": "girth_presses", "new_side": "left", "new_sure": "many"}, '"many" was read'),
        ("think", {"new_cause": "girth_presses", "new_side": "left", "new_sure": ""}, "in percent was expected"),
        ("think", {"new_cause": "girth_presses", "new_side": "left", "new_sure": "100"}, "nothing is ever certain"),
        ("think", {"new_sure": "60"}, "No cause was chosen"),
        ("think", {"new_side": "left"}, "No cause was chosen"),
        ("think", {}, "No cause was chosen"),
        ("think", {"cause": "nothing_here/left", "sure": "5"}, "is no cause of these rules"),
        ("refer", {}, "No answer was chosen"),
        ("refer", {"degree": "soon"}, '"soon" was read'),
        ("step", {}, "No step was chosen"),
        ("step", {"step": "pray"}, "is no step of a plan of these rules"),
        ("step", {"step": "girth_hole_by_hole", "side": "left"}, "no side was expected"),
        ("step", {"step": "shims_under_the_side"}, "No side was said for shims under the side"),
        ("look", {"look": "grith_line"}, "girth line"),
    ],
)
def test_what_cannot_be_done_is_said_and_nothing_is_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str, fields: dict[str, str], told: str
) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    before = play.get(play.at).text
    answer = play.does(what, **fields)
    assert answer.status_code == 422
    assert told in _alert(answer.text)
    if fields.get("new_sure"):
        assert f'value="{fields["new_sure"]}"' in answer.text, "what was typed is there to be mended"
    if fields.get("step", "pray") != "pray":
        assert f'<option value="{fields["step"]}" selected>' in answer.text, "what was chosen is there to be mended"
    assert play.get(play.at).text == before


def test_the_address_of_a_refused_form_says_what_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A telephone that opens it anew, or somebody it was sent to, asks for it without the form."""
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    answer = play.client.get(f"{play.at}/think", headers={"accept": "text/html"})
    assert answer.status_code == 405
    assert "takes what a form sends" in answer.text


def test_a_step_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    assert "Take back" in play.does("step", step="girth_hole_by_hole").text
    assert "Take back" not in play.does("drop", step="girth_hole_by_hole/").text
    assert play.does("drop", step="girth_hole_by_hole/").status_code == 200


def test_the_marks_are_those_of_the_terminal_with_links_into_the_handbook(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    play = Played(client(tmp_path), monkeypatch, LIMB)
    for look in ("withers", "hind_step"):
        play.does("look", look=look)
    play.does("think", new_cause="girth_presses", new_side="right", new_sure="60")
    play.does("refer", degree="none")
    play.does("step", step="poles_in_hand")
    asks = play.get(f"{play.at}/end").text
    assert "girth presses, right 60 %" in asks
    page = play.does("end").text
    session = Session(
        case=LIMB, looks=("withers", "hind_step"), referral="none", steps=(("poles_in_hand", ""),), ended=True
    )
    marks = marked(replace(session, thoughts=()), rules())
    assert (
        f"You said none; after what you had seen {marks.referral.seen} stands. This is the error that weighs most."
        in page
    )
    assert page.index("<h2>The veterinarian") < page.index("<h2>Causes") < page.index("<h2>Looks")
    assert 'class="late"' in page
    assert "Comes again" not in page
    assert re.search(r"This kind of case comes again from \d+ \w+ \d{4} on", page)
    named = set(re.findall(r"published work \(([^)]*\d{4})", page))
    ids = {source for source in rules().book.sources if source.replace("_", " ") in page}
    assert named, "the case has a reason that rests on published work"
    assert not ids, "a source is told by its authors and its year"
    linked = set(re.findall(r'href="/handbook#([^"]+)"', page))
    assert any(one.startswith("rule-") for one in linked)
    assert any(one.startswith("concern-") for one in linked)
    assert any(one.startswith("observation-") for one in linked)
    there = set(re.findall(r'id="([^"]+)"', book_html(load_rulebook(None))))
    assert linked <= there, linked - there
    assert found_in(html.unescape(re.sub(r"<[^>]+>", " ", page))) == []


# -- kept ----------------------------------------------------------------------------------------------------------------------


def test_it_outlasts_a_restart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    play.does("look", look="girth_line")
    play.does("think", new_cause="girth_presses", new_side="left", new_sure="60")
    page = play.get(play.at).text
    token = r'name="token" value="[0-9a-f]+"'
    anew = client(tmp_path)
    assert re.sub(token, "", anew.get(play.at).text) == re.sub(token, "", page)
    assert play.at in anew.get("/practise").text
    if os.name == "posix":
        folder = folder_of(served_in(tmp_path).store.place)
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        assert {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()} == {0o600}


def test_a_lost_key_is_told_and_the_case_can_be_put_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    (folder_of(served_in(tmp_path).store.place) / NAME).unlink()
    gone = play.client.get(play.at, headers={"Accept": "text/html"})
    assert gone.status_code == 422
    assert "enciphered with a key that is not here" in gone.text
    assert str(tmp_path) not in gone.text
    assert "Cannot be taken up" in play.client.get("/practise").text
    assert play.post(f"{play.at}/put-away").status_code == 303
    assert play.client.get(play.at).status_code == 404
    assert Played(client(tmp_path), monkeypatch, PLAIN).does("look", look="girth_line").status_code == 200


def test_an_ended_case_is_told_though_these_rules_read_it_no_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its marks are kept; they used to go with the case, where the words of its visit were changed since."""
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    play.does("look", look="girth_line")
    assert "of 100 points" in play.does("end").text
    with sqlite3.connect(folder_of(served_in(tmp_path).store.place) / "sessions.db") as db:
        assert db.execute("UPDATE session SET file = replace(file, 'girth line', 'girth rail')").rowcount == 1
    again = play.get(play.at)
    assert again.status_code == 200
    assert "of 100 points" in again.text
    assert "of 100 points" in play.does("look", look="withers").text, "nothing more is done with it"
    assert play.get(f"{play.at}/end").status_code == 303


def test_what_was_refused_while_another_tab_ended_it_shows_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    change = Sessions.change

    def ended_meanwhile(self: Sessions, uid: str, choice: Any) -> Any:
        monkeypatch.setattr(Sessions, "change", change)
        try:
            return change(self, uid, choice)
        finally:
            self.end(uid)

    monkeypatch.setattr(Sessions, "change", ended_meanwhile)
    answer = play.does("refer", degree="soon")
    assert answer.status_code == 200
    assert "of 100 points" in answer.text


def test_two_taps_begin_one_case_and_end_it_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = made(served_in(tmp_path))
    mine = TestClient(app, base_url=SELF, headers={"X-From-Page": "1"}, follow_redirects=False)
    monkeypatch.setattr(practise, "made_case", lambda *_: PLAIN)
    tap = re.search(r'name="tap" value="(\w+)"', mine.get("/practise").text)
    assert tap
    with ThreadPoolExecutor(4) as pool:
        begun = set(pool.map(lambda _: mine.post("/practise", data={"tap": tap[1]}).headers["location"], range(4)))
        assert len(begun) == 1
        at = begun.pop()
        looks = list(pool.map(lambda _: mine.post(f"{at}/look", data={"look": "girth_line"}).status_code, range(4)))
        assert looks == [303] * 4
        assert mine.get(at).text.count("<li>girth line:") == 1
        said = {"new_cause": "girth_presses", "new_side": "left", "new_sure": "60"}
        assert set(pool.map(lambda _: mine.post(f"{at}/think", data=said).status_code, range(3))) == {303}
        ends = list(pool.map(lambda _: mine.post(f"{at}/end").status_code, range(4)))
    assert ends == [303] * 4
    record = mine.get("/practise/record").text
    assert "1 case ended" in record
    assert record.count(at) == 1
    later = mine.post("/practise", data={"tap": tap[1]}).headers["location"]
    assert later != at, "the same old page begins another case once the first has ended"


def test_two_telephones_of_one_person_go_on_with_one_case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = made(served_in(tmp_path))
    one = Played(TestClient(app, base_url=SELF, headers={"X-From-Page": "1"}), monkeypatch, PLAIN)
    other = TestClient(app, base_url=SELF, headers={"X-From-Page": "1"})
    looks = one.looks()[:40:4]
    with ThreadPoolExecutor(4) as pool:
        done = pool.map(
            lambda each: (
                (other if each[0] % 2 else one.client).post(f"{one.at}/look", data={"look": each[1]}).status_code
            ),
            enumerate(looks),
        )
        assert set(done) == {200}
    assert not set(looks) & set(one.looks()), "no look was lost to another"
    assert f"({len(looks)})" in other.get(one.at).text


def test_going_back_and_loading_anew_send_nothing_twice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, PLAIN)
    for what, fields in (
        ("look", {"look": "girth_line"}),
        ("refer", {"degree": "none"}),
        ("step", {"step": "poles_in_hand"}),
    ):
        answer = play.post(f"{play.at}/{what}", **fields)
        assert answer.status_code == 303, "the way back is a page that is only read"
        assert play.get(play.at).headers["cache-control"] == "no-store", "going back asks anew"
    end = play.does("end").text
    # An old page of the open case, reached by going back: whatever is sent from it changes nothing and leads to the marks.
    for what, fields in (
        ("look", {"look": "withers"}), ("think", {"new_cause": "mouth_and_teeth", "new_sure": "50"}),
        ("refer", {"degree": "prompt"}), ("step", {"step": "girth_hole_by_hole"}), ("drop", {"step": "poles_in_hand/"}),
        ("put-away", {}), ("end", {}),
    ):  # fmt: skip
        assert play.post(f"{play.at}/{what}", **fields).status_code == 303
        assert play.get(play.at).text == end
    assert play.get(f"{play.at}/end").headers["location"] == play.at


def test_so_many_are_open_and_no_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = client(tmp_path)
    some = [Played(mine, monkeypatch, PLAIN) for _ in range(MOST_OPEN)]
    assert len({one.uid for one in some}) == MOST_OPEN
    page = mine.get("/practise").text
    assert 'name="tap"' not in page
    full = mine.post("/practise", data={"tap": "0" * 32}, follow_redirects=False)
    assert full.status_code == 422
    assert "open already" in _alert(full.text)
    some[0].post(f"{some[0].at}/put-away")
    assert 'name="tap"' in mine.get("/practise").text


def test_the_other_process_marks_alike(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    here = Played(client(tmp_path / "here"), monkeypatch, PLAIN)
    longer = Longer(None)
    try:
        app = made(replace(served_in(tmp_path / "there"), longer=longer))
        there = Played(TestClient(app, base_url=SELF, headers={"X-From-Page": "1"}), monkeypatch, PLAIN)
        for play in (here, there):
            play.does("look", look="girth_line")
            play.does("end")
        assert here.whole()[-1] == there.whole()[-1]
    finally:
        longer.close()


# -- from the records ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("chance", [0.0, 0.4, 0.6, 0.99])
def test_a_visit_of_the_records_without_its_names(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, chance: float
) -> None:
    """Whichever falls by chance, also one with a table beside it."""
    found = desk(tmp_path)
    monkeypatch.setattr(practise.CHANCE, "random", lambda: chance)
    mine = found.client()
    tap = re.search(r'name="tap" value="(\w+)"', mine.get("/practise").text)
    assert tap
    at = mine.post("/practise", data={"tap": tap[1], "origin": "kept"}, follow_redirects=False).headers["location"]
    pages = [mine.get(at).text, mine.post(f"{at}/look", data={"look": "withers"}).text, mine.post(f"{at}/end").text]
    assert "Practice case (from a visit)" in pages[0]
    assert "of 100 points" in pages[2]
    assert "It was made from this" not in pages[2]
    for name in ("Bramble", "Rook", "Hazel", "Larch", "Magpie", "Larkhope", "Wren", "Tam Orrin"):
        assert not [page for page in pages if name in page], name
    found.served.store.close()


def test_where_no_visit_is_kept_it_says_so(tmp_path: Path) -> None:
    answer = client(tmp_path).post("/practise", data={"tap": "0" * 32, "origin": "kept"})
    assert answer.status_code == 422
    assert "no visit is kept here that can be a case" in _alert(answer.text).casefold()


# -- who -------------------------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def larkhope(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    return yard(tmp_path_factory.mktemp("larkhope"))


def test_practitioner_and_apprentice_may_an_owner_may_not(larkhope: Yard) -> None:
    for name in ("", "Tam Orrin"):
        own = larkhope.let_in(name)
        assert own.get("/practise").status_code == 200
        assert '<a href="/learning">Learning</a>' in own.get("/").text
        assert 'href="/practise">Practise on a case</a>' in own.get("/learning").text
    ines = larkhope.let_in("Ines Tallow")
    for path in ("/learning", "/practise", "/practise/record", "/practise/" + "0" * 32):
        assert ines.get(path).status_code == 403
    assert "/learning" not in ines.get("/").text


def test_a_case_is_one_person_s_own(larkhope: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    larkhope.doors.people.add("Tam Orrin the younger", "apprentice", horse=None, password="")
    tam, other, wren = larkhope.let_in("Tam Orrin"), larkhope.let_in("Tam Orrin the younger"), larkhope.let_in()
    play = Played(tam, monkeypatch, PLAIN)
    play.does("look", look="girth_line")
    nobody = wren.get("/practise/" + "0" * 32)
    for somebody in (other, wren, larkhope.here()):
        for method, path in (("GET", ""), ("GET", "/end"), ("POST", "/end"), ("POST", "/put-away"), ("POST", "/look")):
            answer = somebody.request(method, play.at + path, data={"look": "withers"} if method == "POST" else None)
            assert (answer.status_code, answer.text) == (nobody.status_code, nobody.text), (method, path)
        assert play.uid not in somebody.get("/practise").text
    play.does("end")
    assert "1 case ended" in tam.get("/practise/record").text
    assert "No case has ended yet" in other.get("/practise/record").text
    assert play.uid not in wren.get("/practise/record").text


def test_whoever_is_let_in_anew_under_an_old_name_begins_anew(larkhope: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    larkhope.doors.people.add("Pip Lark", "apprentice", horse=None, password="")
    old = Played(larkhope.let_in("Pip Lark"), monkeypatch, PLAIN)
    larkhope.doors.people.close("Pip Lark")
    larkhope.doors.people.add("Pip Lark", "apprentice", horse=None, password="")
    new = larkhope.let_in("Pip Lark")
    assert old.uid not in new.get("/practise").text
    assert new.get(old.at).status_code == 404


def test_the_practitioner_s_telephone_and_desk_are_one_person(larkhope: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(larkhope.let_in(), monkeypatch, PLAIN)
    assert larkhope.here().get(play.at).status_code == 200
    assert play.at in larkhope.here().get("/practise").text


def test_the_record_of_the_page_reads_as_one_of_the_terminal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import sqlite3

    play = Played(client(tmp_path), monkeypatch, PLAIN)
    play.does("end")
    folder = folder_of(served_in(tmp_path).store.place)
    with sqlite3.connect(folder / "sessions.db") as db:
        [(text,)] = db.execute("SELECT file FROM record").fetchall()
        [(file,)] = db.execute("SELECT file FROM session").fetchall()
    db.close()
    record = record_from(text.encode(), "r.json")
    assert list(record.cards) == ["girth_presses"]
    assert json.loads(file)["case"]["cause"] == "girth_presses"
