"""The teacher's desk by its routes: a case written, handed out, answers taken in, the class seen; who may, and what leaks.

In: the application over fresh records, answers made on the command line. Out: failures.
Not here: the figures (tests/teaching/test_class_figures), how it looks (test_browser_class).
"""

from __future__ import annotations

import json
import pickle
import re
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from html import unescape
from pathlib import Path
from typing import Any, cast

import pytest
from fastapi.testclient import TestClient
from starlette.routing import Route

from reasoner.page.app import made
from reasoner.page.longer import Longer
from reasoner.page.who import Role, Who, who
from reasoner.store.place import Place
from reasoner.teaching.class_folder import class_of
from tests.page.serving import SELF, rules, served_in
from tests.teaching.class_road import LINES, run

WORDS = {"accept": "text/html"}
FORM = {
    "cause": "girth_presses", "side": "left", "difficulty": "plain", "seed": "4", "title": "Case 3",
    "causes": "girth presses, left\n", "referral": "routine", "wanted": "fitter for the girth\nleave the girth off",
    "wrong": "shims under the side, right", "words": "Feel how the left elbow meets the girth ring: zinnober.",
}  # fmt: skip


@pytest.fixture
def page(tmp_path: Path) -> Iterator[TestClient]:
    """The practitioner at the page over fresh records."""
    served = served_in(tmp_path)
    yield TestClient(made(served), base_url=SELF, headers={"X-From-Page": "1", **WORDS}, follow_redirects=False)
    served.store.close()


def plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def handed_out(page: TestClient, tmp_path: Path) -> Path:
    """The case handed out at the page, and downloaded for the apprentices."""
    done = page.post("/class/case", data={**FORM, "deed": "hand-out"})
    assert done.status_code == 303, plain(done.text)[:400]
    assert done.headers["location"] == "/class#given-case-3"
    file = page.get("/class/handed-out/case-3.json")
    assert 'filename="case-3.json"' in file.headers["content-disposition"]
    away = tmp_path / "away"
    away.mkdir()
    (away / "case-3.json").write_bytes(file.content)
    return away


def answered(away: Path) -> list[Path]:
    for name, lines in LINES.items():
        (away / "lines.txt").write_text("\n".join(lines) + "\n")
        assert (
            run("practise", str(away / "case-3.json"), "--name", name, "--answers", str(away / "lines.txt")).exit_code
            == 0
        )
    return sorted(away.glob("*.answer.json"))


def sent(files: list[Path]) -> list[tuple[str, tuple[str, bytes, str]]]:
    return [("answers", (path.name, path.read_bytes(), "application/json")) for path in files]


def test_the_whole_road_at_the_page(page: TestClient, tmp_path: Path) -> None:
    assert "Write a case" in plain(page.get("/class").text)
    choose = plain(page.get("/class/case").text)
    assert "girth presses" in choose
    form = page.get("/class/case", params={key: FORM[key] for key in ("cause", "side", "difficulty", "seed")})
    assert "girth presses, left</textarea>" in form.text
    checked = plain(page.post("/class/case", data={**FORM, "deed": "check"}).text)
    assert "You call routine; the rules call nobody." in checked
    assert not class_of(served_place(page)).exists(), "looking at both answers hands nothing out"
    files = answered(handed_out(page, tmp_path))
    told = plain(page.post("/class/collected", files=sent(files)).text)
    assert "3 answers taken; 0 set aside." in told
    twice = page.post("/class/case", data={**FORM, "deed": "hand-out"})
    assert "TE92" in twice.text
    assert "zinnober" in twice.text
    again = plain(page.post("/class/collected", files=sent(files)).text)
    assert "0 answers taken; 0 set aside." in again
    seen = plain(page.get("/class").text)
    assert "Called later than the teacher says (routine): 2 of 3" in seen
    assert re.search(r"Handed out \d+ [A-Z][a-z]+ \d{4}, \d\d:\d\d UTC\.", seen), "a day in words, as everywhere"
    assert not re.search(r"(?:out|Ended) \d{4}-\d\d", seen)
    assert "zinnober" in seen
    back = re.findall(r"/class/given-back/[0-9a-f]{16}\.html", page.get("/class").text)
    assert len(back) == 3
    one = page.get(back[0])
    assert "Ida Fenn" in one.text
    assert "zinnober" in one.text
    assert "1. looked at withers" in plain(one.text), "what was done is numbered as one writes it"
    assert "script-src" not in one.headers["content-security-policy"]
    shown = page.get("/class/shown.html")
    assert "Perdita Holme" in shown.text
    assert page.get("/class/shown.pdf").content.startswith(b"%PDF-")
    assert page.get(back[0].replace("html", "pdf")).content.startswith(b"%PDF-")


def served_place(page: TestClient) -> Place:
    found: Place = page.app.state.served.store.place  # type: ignore[attr-defined]
    return found


def test_answers_that_arrive_in_the_folder_are_taken_in_and_left_there(page: TestClient, tmp_path: Path) -> None:
    files = answered(handed_out(page, tmp_path))
    received = class_of(served_place(page)) / "received"
    received.mkdir()
    for path in files:
        (received / path.name).write_bytes(path.read_bytes())
    assert "Take in 3 from the folder" in plain(page.get("/class").text)
    assert "3 answers taken" in plain(page.post("/class/received").text)
    assert len(list(received.iterdir())) == 3


def test_what_cannot_be_read_keeps_no_other_answer_out(page: TestClient, tmp_path: Path) -> None:
    """Found in a folder, where nobody named it: it is told beside the others, here and at the terminal."""
    away = handed_out(page, tmp_path)
    (away / "lines.txt").write_text("\n".join(LINES["Ida Fenn"]) + "\n")
    assert (
        run("practise", str(away / "case-3.json"), "--name", "Ida Fenn", "--answers", str(away / "lines.txt")).exit_code
        == 0
    )
    folder = class_of(served_place(page))
    received = folder / "received"
    received.mkdir()
    (received / "an-answer.json").write_bytes((away / "case-3.ida-fenn.answer.json").read_bytes())
    (received / "a-film.json").write_bytes(b" " * 1_100_000)
    (received / "b-folder.json").mkdir()
    told = plain(page.post("/class/received").text)
    assert "1 answer taken; 2 set aside." in told
    assert "a-film.json" in told
    assert "the file has 1.1 MB; at most 1 MB is read." in told
    assert "this is a folder; a file was expected." in told
    same = run("teach", "collect", str(folder), str(received))
    assert same.exit_code == 3, same.output
    assert "0 answers taken; 2 set aside." in " ".join(same.output.split())


def test_every_file_that_was_sent_is_told_of(page: TestClient, tmp_path: Path) -> None:
    handed_out(page, tmp_path)
    files = [("answers", (f"{number}.json", b"[1]", "application/json")) for number in range(230)]
    assert "0 answers taken; 230 set aside." in plain(page.post("/class/collected", files=files).text)


class Beside:
    """Stands for the process beside the page: what goes there and comes back does so as bytes."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def ask(self, work: Callable[..., Any], *args: Any, **words: Any) -> Future[Any]:
        self.asked.append(work.__name__)
        work, args, words = pickle.loads(pickle.dumps((work, args, words)))
        done: Future[Any] = Future()
        done.set_result(pickle.loads(pickle.dumps(work(rules(), *args, **words))))
        return done


def test_answers_are_weighed_beside_the_page_one_by_one(tmp_path: Path) -> None:
    """Each takes a second or two, which touches at a horse would feel."""
    beside = Beside()
    served = replace(served_in(tmp_path), longer=cast(Longer, beside))
    page = TestClient(made(served), base_url=SELF, headers={"X-From-Page": "1", **WORDS}, follow_redirects=False)
    files = answered(handed_out(page, tmp_path))
    assert "3 answers taken; 0 set aside." in plain(page.post("/class/collected", files=sent(files)).text)
    assert beside.asked == ["_taken_in"] * 3
    (first, *_) = re.findall(r"/class/given-back/[0-9a-f]{16}\.html", page.get("/class").text)
    assert "zinnober" in page.get(first).text
    assert beside.asked[3:] == ["_marks"]
    # After the rules were changed no marks by them are kept: so it is where somebody took them away.
    kept = sorted((class_of(served.store.place) / "marks").glob("*.json"))
    for path in kept:
        path.unlink()
    shown = page.get("/class").text
    assert beside.asked[4:] == ["_weighed"] * 3
    assert page.get("/class").text == shown
    assert len(beside.asked) == 7
    assert sorted((class_of(served.store.place) / "marks").glob("*.json")) == kept
    served.store.close()


def test_what_is_wrong_in_the_form_is_told_and_what_was_written_stays(page: TestClient) -> None:
    wrong = {**FORM, "causes": "girth presses, left\ngrith presses", "wanted": "look agian", "deed": "hand-out"}
    answer = page.post("/class/case", data=wrong)
    assert answer.status_code == 422
    told = plain(answer.text)
    assert "Not handed out yet" in told
    assert 'Near: "girth presses".' in told
    assert 'Near: "look again".' in told
    assert "line 2 of its field" in told
    assert "zinnober" in answer.text
    assert not class_of(served_place(page)).exists()
    for title, code in (("", "TE81"), ("The girth presses", "TE82")):
        assert code in plain(page.post("/class/case", data={**FORM, "title": title, "deed": "hand-out"}).text)


def test_wrong_files_are_told_apart_and_nothing_falls_over(page: TestClient, tmp_path: Path) -> None:
    away = handed_out(page, tmp_path)
    files = [("answers", (name, data, "application/json")) for name, data in (
        ("photograph.jpg", b"\xff\xd8\xff"), ("empty.json", b""), ("case-3.json", (away / "case-3.json").read_bytes()),
        ("deep.json", b"[" * 100_000), ("list.json", b"[1]"),
    )]  # fmt: skip
    told = plain(page.post("/class/collected", files=files).text)
    assert "0 answers taken; 4 set aside." in told
    assert page.get("/class/handed-out/..%2Fkey").status_code == 404
    assert page.get("/class/handed-out/key").status_code == 404
    assert page.get("/class/given-back/0000.html").status_code == 404


def test_before_anything_is_handed_out_there_is_nothing_to_see(page: TestClient) -> None:
    assert page.get("/class").status_code == 200
    for path in ("/class/shown.html", "/class/shown.pdf", "/class/handed-out/x"):
        assert page.get(path).status_code == 404


@pytest.mark.parametrize("role", ["apprentice", "owner"])
def test_only_a_practitioner_sees_any_of_it(tmp_path: Path, role: Role) -> None:
    served = served_in(tmp_path)
    app = made(served)
    practitioner = TestClient(app, base_url=SELF, headers={"X-From-Page": "1", **WORDS}, follow_redirects=False)
    handed_out(practitioner, tmp_path)
    app.dependency_overrides[who] = lambda: Who(
        name="Tam Orrin", role=role, horse="0" * 32 if role == "owner" else None
    )
    paths = [str(one.path) for one in app.routes if isinstance(one, Route) and one.path.startswith("/class")]
    found = set(paths) | {
        "/class",
        "/class/case",
        "/class/shown.html",
        "/class/shown.pdf",
        "/class/handed-out/case-3.json",
    }
    for path in found:
        answer = practitioner.get(path)
        assert answer.status_code in (403, 405), path
        assert "zinnober" not in answer.text
    for path in ("/class/case", "/class/collected", "/class/received"):
        assert practitioner.post(path, data={**FORM, "deed": "check"}).status_code in (403, 422)
    served.store.close()


def test_a_kept_visit_is_handed_out_without_its_names(page: TestClient, tmp_path: Path) -> None:
    visit = Path(__file__).parents[2] / "examples" / "bramble.yaml"
    place = served_place(page)
    assert run("records", "save", str(visit), "--store", str(place.file), "--new-horse").exit_code == 0
    choose = page.get("/class/case").text
    uid = re.findall(r'<option value="([0-9a-f]{32})">Bramble', choose)[0]
    assert f"/class/case?visit={uid}" in page.get(f"/visits/{uid}").text
    form = {**FORM, "visit": uid, "title": "Case 9", "causes": "none"}
    assert page.post("/class/case", data={**form, "deed": "hand-out"}).status_code == 303
    file = tmp_path / "case-9.json"
    file.write_bytes(page.get("/class/handed-out/case-9.json").content)
    (tmp_path / "lines.txt").write_text("look withers\nseen\nend\n")
    told = run("practise", str(file), "--name", "Tam Orrin", "--answers", str(tmp_path / "lines.txt")).output
    assert "withers: left 3" in told
    assert "Bramble" not in told + file.read_text()


def test_when_a_case_was_handed_out_is_told_in_words_and_in_utc(tmp_path: Path) -> None:
    """In the words in which every page writes a day, and rightly where the machine's zone is another."""
    there = datetime(2026, 11, 28, 1, 30, tzinfo=timezone(timedelta(hours=2)))
    served = replace(served_in(tmp_path), now=lambda: there)
    desk = TestClient(made(served), base_url=SELF, headers={"X-From-Page": "1", **WORDS}, follow_redirects=False)
    away = handed_out(desk, tmp_path)
    assert "Handed out 27 November 2026, 23:30 UTC." in plain(desk.get("/class").text)
    assert "Handed out 27 November 2026, 23:30 UTC." in plain(desk.get("/class/shown.html").text)
    assert json.loads((away / "case-3.json").read_text())["handed_out"] == "2026-11-27T23:30:00+00:00"
    served.store.close()


def test_no_two_things_of_the_page_bear_one_name(page: TestClient) -> None:
    """Titles of one's own and the page's own numbers: after handing out one is led to that case and no other."""
    for title in ("Case 2", "Case 1"):
        done = page.post("/class/case", data={**FORM, "title": title, "deed": "hand-out"})
    names = re.findall(r' id="([^"]+)"', page.get("/class").text)
    assert len(names) == len(set(names)), names
    at = done.headers["location"].partition("#")[2]
    section = page.get("/class").text.partition(f'<section class="part" id="{at}">')[2]
    assert plain(section).startswith("Case 1")


def test_nothing_inline_stands_in_the_pages(page: TestClient, tmp_path: Path) -> None:
    page.post("/class/collected", files=sent(answered(handed_out(page, tmp_path))[:1]))
    inline = re.compile(r"<style|\sstyle=|\son[a-z]+=|<script(?![^>]*\ssrc=)", re.IGNORECASE)
    query = "?cause=girth_presses&side=left&difficulty=plain&seed=4"
    for path in ("/class", "/class/case", f"/class/case{query}"):
        assert not inline.search(page.get(path).text), path
    assert json.loads((tmp_path / "away" / "case-3.json").read_text())["case"] == "Case 3"
