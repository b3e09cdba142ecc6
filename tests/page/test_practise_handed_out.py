"""A handed-out case at the page: begun, taken up, handed in once; files that are none; whose it is.

In: fresh records, a class beside them, people of a yard, chosen cases. Out: failures.
Not here: what leaks (test_practise_leaks), the browser (test_browser_handed_out), what an answer is (tests/teaching).
"""

from __future__ import annotations

import html
import json
import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from reasoner.page.app import made
from reasoner.page.practice.kept import folder_of
from reasoner.store.place import Place
from reasoner.teaching.class_folder import ClassFolder, class_in, class_of
from reasoner.teaching.handed_in import session_of, work_from
from reasoner.teaching.handing_out import HandedOut, case_of, file_text
from reasoner.teaching.marking import marked
from reasoner.teaching.session_key import NAME
from tests.page.neighbours import Yard, yard
from tests.page.practice import Played, as_file, given
from tests.page.practice import case_of as made_of
from tests.page.serving import SELF, client, rules, served_in
from tests.page.test_practise import _alert
from tests.rendering.forbidden import found_in
from tests.teaching.class_road import run

CASE = made_of("girth_presses", "left")
GIVEN = given(CASE)


@pytest.fixture(scope="module")
def larkhope(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    return yard(tmp_path_factory.mktemp("larkhope"))


def put_out(place: Place, **more: Any) -> tuple[ClassFolder, HandedOut]:
    """A case put out in the class of these records."""
    room = class_in(class_of(place), make=True)
    one = given(CASE, key=room.key, **more)
    room.hand_out(one)
    return room, one


def works(play: Played) -> None:
    """Some choices of every kind."""
    play.does("look", look="girth_line")
    play.does("look", look="withers")
    play.does("think", new_cause="girth_presses", new_side="left", new_sure="60")
    play.does("refer", degree="none")
    play.does("step", step="fitter_for_the_girth")
    play.does("step", step="leave_the_girth_off")
    play.does("drop", step="leave_the_girth_off/")


def plain(text: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


# -- from the file to the answer ------------------------------------------------------------------------------------------------


def test_the_answer_is_that_of_the_terminal(tmp_path: Path) -> None:
    """The same choices in the same order, in a file that reads whole and comes to the same session."""
    play = Played.handed(client(tmp_path), GIVEN)
    assert "<h1>Case 3</h1>" in play.get(play.at).text
    assert "your answer goes in as Tam Orrin" in play.get(play.at).text
    works(play)
    before = play.get(f"{play.at}/end").text
    assert "it goes to your teacher" in before
    assert "record" not in plain(before)
    assert "marks" not in plain(before)
    play.does("end")
    file = play.get(f"{play.at}/answer.json")
    assert 'filename="case-3.tam-orrin.answer.json"' in file.headers["content-disposition"]
    work = work_from(file.content, "a")
    (tmp_path / "case-3.json").write_text(file_text(GIVEN))
    (tmp_path / "lines").write_text(
        "look girth line\nlook withers\nthink girth presses, left = 60 %\nrefer none\nstep fitter for the girth\n"
        "step leave the girth off\ndrop leave the girth off\nend\n"
    )
    done = run("practise", str(tmp_path / "case-3.json"), "--name", "Tam Orrin", "--answers", str(tmp_path / "lines"))
    assert done.exit_code == 0, done.output
    other = work_from((tmp_path / "case-3.tam-orrin.answer.json").read_bytes(), "b")
    said = [[{k: v for k, v in one.items() if k not in ("at", "link")} for one in w.choices] for w in (work, other)]
    assert said[0] == said[1]
    assert (work.seal, work.by, work.title, work.stamp) == (other.seal, other.by, other.title, other.stamp)


def test_the_end_tells_that_it_is_handed_in_and_nothing_else(tmp_path: Path) -> None:
    play = Played.handed(client(tmp_path), GIVEN)
    works(play)
    end = play.does("end").text
    work = work_from(play.get(f"{play.at}/answer.json").content, "a")
    assert "Handed in: your teacher opens it." in end
    assert work.receipt in end
    assert "Give this file to your teacher: case-3.tam-orrin.answer.json" in end
    record = play.get("/practise/record").text
    for page in (end, record, play.get("/practise").text):
        assert "of 100 points" not in page
        assert "It was made from" not in page
        assert found_in(plain(page)) == []
    assert "handed in" in record
    assert "No case that counts here has ended yet" in record, "work for a teacher does not count in the own record"


def test_marks_are_shown_where_the_teacher_lets_them_be(tmp_path: Path) -> None:
    one = given(CASE, marks=True)
    play = Played.handed(client(tmp_path), one)
    works(play)
    end = play.does("end").text
    work = work_from(play.get(f"{play.at}/answer.json").content, "a")
    marks = marked(session_of(work, case_of(one, "c", rules().book), rules(), "a"), rules())
    assert f"{marks.points:.0f} of 100 points" in end
    assert "may say otherwise" in end
    assert work.receipt in end
    assert "of 100 points" in play.get("/practise/record").text
    assert "No case that counts here has ended yet" in play.get("/practise/record").text
    assert "zinnober" not in end
    assert found_in(plain(end)) == []


# -- put out on this machine ----------------------------------------------------------------------------------------------------


def test_an_apprentice_picks_it_works_on_it_and_the_teacher_takes_it_in(tmp_path: Path) -> None:
    home = yard(tmp_path)
    room, _ = put_out(home.served.store.place)
    tam, wren = home.let_in("Tam Orrin"), home.let_in()
    start = tam.get("/practise").text
    assert "Put out on this machine" in start
    assert 'name="name"' not in start, "an apprentice of the list works under the own name"
    begun = tam.post("/practise/handed-out", data={"given": "case-3.json", "name": "Ida Fenn"})
    at = begun.headers["location"]
    assert "goes in as Tam Orrin" in tam.get(at).text
    assert f'href="{at}">Yours' in tam.get("/practise").text
    assert tam.post("/practise/handed-out", data={"given": "case-3.json"}).headers["location"] == at
    tam.post(f"{at}/look", data={"look": "girth_line"})
    assert not (room.folder / "received").exists(), "nothing is left there before the end"
    for _ in range(3):
        tam.post(f"{at}/end")
        assert "It lies ready where your teacher takes answers in" in tam.get(at).text
    (file,) = (room.folder / "received").iterdir()
    assert file.read_bytes() == tam.get(f"{at}/answer.json").content
    assert tam.post("/practise/handed-out", data={"given": "case-3.json"}).headers["location"] == at
    assert "Take in 1 from the folder" in plain(wren.get("/class").text)
    assert "1 answer taken; 0 set aside." in plain(wren.post("/class/received").text)
    assert "from the folder" not in plain(wren.get("/class").text), "what was taken in does not wait any more"
    file.unlink()
    tam.get(at)
    tam.post(f"{at}/end")
    assert not list((room.folder / "received").iterdir()), "it was put there once"
    assert file.name in {path.name for path in (room.folder / "answers").iterdir()}


def test_an_uploaded_case_of_the_class_is_handed_in_there_and_another_s_is_not(tmp_path: Path) -> None:
    mine = client(tmp_path)
    room, one = put_out(served_in(tmp_path).store.place)
    for case, name in ((GIVEN, "Tam Orrin"), (one, "Tam Orrin"), (one, "Ida Fenn")):
        play = Played.handed(mine, case, name)
        put = "It lies ready" in play.does("end").text
        assert put is (case is one)
    assert len(list((room.folder / "received").iterdir())) == 2


def test_where_it_cannot_be_put_it_is_told_and_put_later(tmp_path: Path) -> None:
    mine = client(tmp_path)
    room, one = put_out(served_in(tmp_path).store.place)
    play = Played.handed(mine, one)
    (room.folder / "received").write_text("a file where the folder should be")
    end = play.does("end").text
    assert "could not be left with the class on this machine. The class cannot be kept here" in plain(end)
    assert "Give this file to your teacher" in end
    assert str(tmp_path) not in end
    assert play.get(f"{play.at}/answer.json").status_code == 200
    (room.folder / "received").unlink()
    assert "It lies ready" in play.get(play.at).text
    assert len(list((room.folder / "received").iterdir())) == 1


def test_a_file_of_the_class_that_was_changed_is_not_offered(tmp_path: Path) -> None:
    mine = client(tmp_path)
    room, _ = put_out(served_in(tmp_path).store.place)
    (path,) = (room.folder / "handed-out").iterdir()
    path.write_text(path.read_text().replace("Case 3", "Case 4"))
    assert "Put out on this machine" not in mine.get("/practise").text
    for name in (path.name, "../key", "key"):
        answer = mine.post("/practise/handed-out", data={"given": name, "name": "Tam Orrin"})
        assert answer.status_code == 422
        assert "no longer put out here" in _alert(answer.text)


# -- files that are none --------------------------------------------------------------------------------------------------------


def _sealed(**more: Any) -> bytes:
    """The file with something in it changed, sealed anew where that is still a case."""
    said = json.loads(file_text(GIVEN)) | more
    return json.dumps(said).encode()


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "no file was chosen"),
        (b"\xff\xd8\xff\xe0 a photograph", "no handed-out case, or only a part of one"),
        (file_text(GIVEN).encode()[:-200], "only a part of one"),
        (b" " * 1_000_001, "more than 1 MB"),
        (b"[" * 50_000, "no handed-out case"),
        (b'{"what": "reasoner practice session", "schema_version": "2"}', "this file is something else"),
        (b'{"what": "reasoner answer to a handed-out case", "schema_version": "1"}', "this is an answer to a case"),
        (b"horse: {name: Juniper}\nvisit: 2026-04-18\n", "no handed-out case"),
        (_sealed(schema_version="7"), "version 7 was read; version 1 was expected"),
        (_sealed(case="Case 4"), "its seal does not fit"),
        (_sealed(marks=True), "its seal does not fit"),
        (_sealed(more="x"), "was not written so"),
        (_sealed(case="half a letter \ud800"), "no handed-out case"),
    ],
)
def test_what_is_no_case_is_told_in_words_and_nothing_is_begun(tmp_path: Path, data: bytes, told: str) -> None:
    mine = client(tmp_path)
    answer = mine.post("/practise/handed-out", data={"name": "Tam Orrin"}, files=as_file(data))
    assert answer.status_code == 422
    assert told.casefold() in _alert(answer.text).casefold()
    assert 'value="Tam Orrin"' in answer.text, "what was written is there still"
    assert "Go on with a case" not in mine.get("/practise").text


def test_a_case_these_rules_cannot_read_is_told_with_both_rulebooks(tmp_path: Path) -> None:
    strange = replace(given(replace(CASE, text=CASE.text + "a word of other rules: yes\n")), stamp="of another day")
    answer = client(tmp_path).post("/practise/handed-out", data={"name": "Tam Orrin"}, files=as_file(strange))
    assert answer.status_code == 422
    told = _alert(answer.text)
    assert "cannot be read by these rules" in told.casefold()
    assert "of another day" in told
    assert rules().book.stamp in told
    assert "a word of other rules" not in answer.text


def test_a_case_far_too_large_is_refused_in_words(tmp_path: Path) -> None:
    answer = client(tmp_path).post(
        "/practise/handed-out", files=as_file(b" " * 3_000_000), headers={"Accept": "text/html"}
    )
    assert answer.status_code == 413
    assert "too large; nothing was kept" in answer.text


@pytest.mark.parametrize("name", ["", "   ", "x" * 81, "Tam\u200bOrrin"])
def test_a_name_is_asked_for_in_words_of_the_page(tmp_path: Path, name: str) -> None:
    answer = client(tmp_path).post("/practise/handed-out", data={"name": name}, files=as_file(GIVEN))
    assert answer.status_code == 422
    told = _alert(answer.text)
    assert "was read as your name" in told
    assert "--name" not in told


def test_rules_other_than_those_it_was_handed_out_with_are_told(tmp_path: Path) -> None:
    play = Played.handed(client(tmp_path), replace(GIVEN, stamp="of another day"))
    assert "handed out with rulebook of another day" in play.get(play.at).text


# -- kept -----------------------------------------------------------------------------------------------------------------------


def test_it_outlasts_a_restart_and_the_same_file_takes_it_up(tmp_path: Path) -> None:
    play = Played.handed(client(tmp_path), GIVEN)
    play.does("look", look="girth_line")
    anew = client(tmp_path)
    again = Played.handed(anew, GIVEN, " tam  ORRIN ")
    assert again.at == play.at
    assert "girth line:" in again.get(play.at).text
    again.does("look", look="withers")
    again.does("end")
    work = work_from(again.get(f"{play.at}/answer.json").content, "a")
    assert [one.get("look") for one in work.choices] == ["girth_line", "withers", None]
    assert Played.handed(client(tmp_path), GIVEN).at == play.at, "after the end it leads to the end"
    assert Played.handed(client(tmp_path), GIVEN, "Ida Fenn").at != play.at


def test_taps_at_once_begin_choose_and_hand_in_once(tmp_path: Path) -> None:
    served = served_in(tmp_path)
    room, _ = put_out(served.store.place)
    mine = TestClient(made(served), base_url=SELF, headers={"X-From-Page": "1"}, follow_redirects=False)
    fields = {"given": "case-3.json", "name": "Tam Orrin"}
    with ThreadPoolExecutor(4) as pool:
        begun = set(pool.map(lambda _: mine.post("/practise/handed-out", data=fields).headers["location"], range(4)))
        assert len(begun) == 1
        at = begun.pop()
        for what, said in (("look", {"look": "girth_line"}), ("refer", {"degree": "none"}), ("end", {})):
            assert set(pool.map(lambda _, w=what, s=said: mine.post(f"{at}/{w}", data=s).status_code, range(4))) == {
                303
            }
    assert len(list((room.folder / "received").iterdir())) == 1
    work = work_from(mine.get(f"{at}/answer.json").content, "a")
    assert [sorted(set(one) - {"at", "link"}) for one in work.choices] == [["look"], ["refer"], ["end"]]


def test_old_pages_reached_by_going_back_change_nothing(tmp_path: Path) -> None:
    play = Played.handed(client(tmp_path), GIVEN)
    works(play)
    end = play.does("end").text
    answer = play.get(f"{play.at}/answer.json").content
    for what, fields in (
        ("look", {"look": "hind_step"}), ("think", {"new_cause": "mouth_and_teeth", "new_sure": "50"}),
        ("refer", {"degree": "prompt"}), ("drop", {"step": "fitter_for_the_girth/"}), ("put-away", {}), ("end", {}),
    ):  # fmt: skip
        assert play.post(f"{play.at}/{what}", **fields).status_code == 303
        assert play.get(play.at).text == end
        assert play.get(f"{play.at}/answer.json").content == answer


def test_what_is_put_away_is_gone_and_can_be_begun_anew(tmp_path: Path) -> None:
    play = Played.handed(client(tmp_path), GIVEN)
    play.does("look", look="girth_line")
    play.post(f"{play.at}/put-away")
    assert play.get(f"{play.at}/answer.json").status_code == 404
    again = Played.handed(play.client, GIVEN)
    assert again.at != play.at
    assert "Nothing was looked at yet" in again.get(again.at).text


def test_a_lost_key_is_told_and_the_case_is_begun_anew(tmp_path: Path) -> None:
    play = Played.handed(client(tmp_path), GIVEN)
    (folder_of(served_in(tmp_path).store.place) / NAME).unlink()
    assert play.client.get(play.at, headers={"Accept": "text/html"}).status_code == 422
    assert "Cannot be taken up" in play.get("/practise").text
    assert play.post(f"{play.at}/put-away").status_code == 303
    assert Played.handed(play.client, GIVEN).does("look", look="girth_line").status_code == 200


# -- whose ----------------------------------------------------------------------------------------------------------------------


def test_the_answer_is_one_person_s_own_and_there_is_none_before_the_end(larkhope: Yard) -> None:
    larkhope.doors.people.add("Ida Fenn", "apprentice", horse=None, password="")
    tam, ida, ines = (larkhope.let_in(name) for name in ("Tam Orrin", "Ida Fenn", "Ines Tallow"))
    play = Played.handed(tam, GIVEN)
    assert tam.get(f"{play.at}/answer.json").status_code == 404
    play.does("end")
    assert tam.get(f"{play.at}/answer.json").status_code == 200
    nobody = ida.get("/practise/" + "0" * 32)
    for somebody in (ida, larkhope.let_in(), larkhope.here()):
        for path in (play.at, f"{play.at}/answer.json"):
            assert (somebody.get(path).status_code, somebody.get(path).text) == (404, nobody.text)
    assert Played.handed(ida, GIVEN).at != play.at, "each works on the own"
    assert ines.get(f"{play.at}/answer.json").status_code == 403
    assert ines.post("/practise/handed-out", data={"name": "Ines"}, files=as_file(GIVEN)).status_code == 403


def test_a_made_case_has_no_answer_to_give_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    play = Played(client(tmp_path), monkeypatch, CASE)
    play.does("end")
    assert play.get(f"{play.at}/answer.json").status_code == 404
