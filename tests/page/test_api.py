"""A visit from a telephone: what it needs before, the answer so far, and its hand-over, once.

In: an application over fresh records. Out: what it answers.
Not here: a browser, who may see what.
"""

from __future__ import annotations

import copy
import threading
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from reasoner.page.drafts import DraftIn
from reasoner.visit.reading import visit_from_bytes
from tests.page.drafts import DRAFT, FROM_PAGE, sore
from tests.page.serving import SELF, application, client, rules, served_in


def _post(page: TestClient, path: str, body: Any) -> Any:
    return page.post(path, json=body, headers=FROM_PAGE)


# -- the file ------------------------------------------------------------------------------------------------------------


def test_a_draft_reads_as_the_visit_that_was_touched_in() -> None:
    visit = DraftIn.model_validate(sore()).visit_of(rules().book.vocabulary)
    touched = {(one.place, one.side): one for one in visit.touches}
    assert visit.horse_name == "Bramble"
    assert touched["loin", "left"].soreness == 6
    assert touched["loin", "left"].responses == ("flinches",)
    assert touched["loin", "right"].soreness == 2
    assert touched["breastbone", None].soreness == 1
    assert touched["stifle", "left"].not_examined == "no_time"
    assert touched["jaw_muscle", "right"].soreness == 0
    assert ("upper_neck", "right") not in touched
    assert visit.noted_value("fore_step", "left") == "even"
    assert "#second line" in str(visit.noted_value("notes"))
    assert "it's said" in str(visit.noted_value("notes"))


def test_the_same_touches_make_the_same_file() -> None:
    words = rules().book.vocabulary
    one, other = DraftIn.model_validate(sore()), DraftIn.model_validate(copy.deepcopy(sore()))
    assert one.bytes_of(words) == other.bytes_of(words)


ODD = (
    "a: b", "- x", "{a: 1}", "[", "&anchor", "*", "!tag", "%x", "@", "`", "'", '"', "null", "yes", "~", "\\n", "a #b", "?",
    "|", ">", "…", "é", "x\ty", "\r\n", "\u2028", "\u2029", "\x85", "\x00", "\x7f", "\ufeff",
)  # fmt: skip


def _seen(text: str) -> str:
    return "".join(one for one in text if one.isprintable() and not one.isspace())


@pytest.mark.parametrize("said", ODD)
def test_no_text_of_a_person_becomes_yaml(said: str) -> None:
    words = rules().book.vocabulary
    draft = sore() | {"notes": [said]}
    draft["entries"] = {**draft["entries"], "name": f"x{said}x"}
    data = DraftIn.model_validate(draft).bytes_of(words)
    visit = visit_from_bytes(data, "visit", words, beside={})
    assert _seen(visit.horse_name) == _seen(f"x{said}x")
    assert {one.place for one in visit.touches} >= {"loin", "breastbone"}


# -- before going out --------------------------------------------------------------------------------------------------


def test_the_telephone_is_told_every_place_and_heading(tmp_path: Path) -> None:
    page = client(tmp_path)
    told = page.get("/api/examination")
    body = told.json()
    words = rules().book.vocabulary
    assert set(body["places"]) == set(words.places)
    assert {key for region in body["regions"] for key in region["round"]} <= set(words.round)
    assert body["first"] in {one["key"] for one in body["headings"]}
    assert page.get("/api/examination", headers={"if-none-match": told.headers["etag"]}).status_code == 304


# -- the answer so far -------------------------------------------------------------------------------------------------


def test_the_answer_so_far_is_that_of_the_visit_file(tmp_path: Path) -> None:
    from reasoner.consult import judge

    told = _post(client(tmp_path), "/api/answer", sore()).json()
    answer = judge(DraftIn.model_validate(sore()).visit_of(rules().book.vocabulary), rules())
    assert told["referral"]["level"] == answer.referral.level
    assert [(one["key"], one["side"] or "") for one in told["likely"]] == [
        (chain.key, chain.side) for chain in answer.explanation.account.starting_points
    ]
    assert rules().book.stamp in told["rests_on"]
    assert told["not_checked"]


def test_an_emergency_sign_stands_first_and_stops_the_looking(tmp_path: Path) -> None:
    draft = sore()
    draft["entries"]["bleeding"] = "heavy"
    page = client(tmp_path)
    told = _post(page, "/api/answer", draft).json()
    assert told["referral"]["level"] == "emergency"
    assert told["referral"]["reasons"][0]["call"] == "emergency"
    assert _post(page, "/api/next", draft).json()["stop"] is True


def test_what_to_look_at_next_is_what_the_command_line_proposes(tmp_path: Path) -> None:
    from reasoner.consult import judge
    from reasoner.questions.next_check import next_of

    told = _post(client(tmp_path), "/api/next", sore()).json()
    answer = judge(DraftIn.model_validate(sore()).visit_of(rules().book.vocabulary), rules())
    assert [one["key"] for one in told["then"]] == [one.check.key for one in next_of(answer, 5).proposed]


def test_what_does_not_read_is_told_in_words(tmp_path: Path) -> None:
    draft = sore()
    draft["entries"]["gums"] = "pinkish blue"
    draft["palpation"]["lion"] = {"left": {"soreness": "3"}}
    told = _post(client(tmp_path), "/api/answer", draft)
    assert told.status_code == 422
    said = " ".join(one["sentence"] + one["hint"] for one in told.json()["problems"])
    assert "pinkish blue" in said
    assert "loin" in said


@pytest.mark.parametrize("wrong", [{}, [], "x", {"draft": "no", "visit": "2026-11-28"}, sore() | {"visit": "soon"},
                                   sore() | {"extra": 1}, sore() | {"quiet": {"head": "up"}},
                                   sore() | {"notes": ["x" * 5000]}])  # fmt: skip
def test_what_is_no_draft_is_refused(tmp_path: Path, wrong: Any) -> None:
    assert _post(client(tmp_path), "/api/answer", wrong).status_code == 422


# -- the hand-over -----------------------------------------------------------------------------------------------------


def test_a_visit_is_kept_once_however_often_it_arrives(tmp_path: Path) -> None:
    page = client(tmp_path)
    first, again = (_post(page, "/api/hand-over", {"draft": sore()}) for _ in range(2))
    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json()["version"] == again.json()["version"]
    assert first.json()["at"] == again.json()["at"]
    assert [one["name"] for one in page.get("/api/horses").json()] == ["Bramble"]


def test_two_hand_overs_of_one_visit_at_one_moment_keep_it_once(tmp_path: Path) -> None:
    app = application(tmp_path)
    answers: list[int] = []

    def send() -> None:
        answers.append(_post(TestClient(app, base_url=SELF), "/api/hand-over", {"draft": sore()}).status_code)

    threads = [threading.Thread(target=send) for _ in range(6)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(answers) == [200] * 5 + [201]


def test_another_telephones_visit_of_that_day_is_shown_and_neither_is_lost(tmp_path: Path) -> None:
    page = client(tmp_path)
    _post(page, "/api/hand-over", {"draft": sore(), "by": "Wren Aldous"})
    other = sore("11111111-2222-4333-8444-555555555555")
    other["palpation"]["loin"]["left"]["soreness"] = "4"
    clash = _post(page, "/api/hand-over", {"draft": other, "by": "Tam Orrin"})
    assert clash.status_code == 409
    told = clash.json()
    assert told["kind"] == "visit"
    assert told["kept"]["by"] == "Wren Aldous"
    assert told["kept"]["differs"] == ["loin, left: 6, flinches is kept, 4, flinches is here"]
    assert told["kept"]["beside"] == [{"what": "loin, left", "kept": "6, flinches", "here": "4, flinches"}]
    second = _post(page, "/api/hand-over", {"draft": other, "chosen": {"second_visit": True}})
    assert second.status_code == 201
    assert second.json()["visit"] != told["kept"]["visit"]
    assert _post(page, "/api/hand-over", {"draft": other, "chosen": {"second_visit": True}}).status_code == 200


def test_a_visit_changed_after_it_was_handed_over_becomes_a_correction_with_its_reason(tmp_path: Path) -> None:
    page = client(tmp_path)
    first = _post(page, "/api/hand-over", {"draft": sore()}).json()
    changed = sore()
    changed["palpation"]["loin"] = {"left": {"soreness": "2"}, "right": {"soreness": "6"}}
    clash = _post(page, "/api/hand-over", {"draft": changed}).json()
    assert (clash["kind"], clash["choices"]) == ("draft", ["correction"])
    mended = _post(page, "/api/hand-over", {"draft": changed, "chosen": {"correction": "the sides were swapped"}})
    assert mended.status_code == 201
    assert mended.json()["visit"] == first["visit"]
    assert mended.json()["version"] != first["version"]


def test_a_horse_much_like_a_kept_one_is_asked_about(tmp_path: Path) -> None:
    page = client(tmp_path)
    _post(page, "/api/hand-over", {"draft": sore()})
    slip = sore("11111111-2222-4333-8444-555555555555", name="Brambel")
    clash = _post(page, "/api/hand-over", {"draft": slip})
    assert (clash.status_code, clash.json()["kind"]) == (409, "horse")
    assert "Bramble" in clash.json()["says"]
    assert _post(page, "/api/hand-over", {"draft": slip, "chosen": {"new_horse": True}}).status_code == 201


def test_what_is_handed_over_is_judged_with_the_visits_before_it(tmp_path: Path) -> None:
    served = served_in(tmp_path)
    from reasoner.page.app import made

    page = TestClient(made(served), base_url=SELF)
    before = sore("11111111-2222-4333-8444-555555555555") | {"visit": "2026-10-01"}
    horse = _post(page, "/api/hand-over", {"draft": before}).json()
    _post(page, "/api/hand-over", {"draft": sore()})
    uid = page.get("/api/horses").json()[0]["horse"]
    again = page.get(f"/api/again/{uid}").json()
    assert horse["horse"] == "Bramble"
    assert again["last_visit"] == "2026-11-28"
    assert again["stays"]["name"] == "Bramble"
    assert "left 6, flinches" in again["last"]["loin"]
    assert DRAFT.startswith("7c")


def test_a_horse_that_moved_yards_is_the_same_horse_if_somebody_says_so(tmp_path: Path) -> None:
    page = client(tmp_path)
    first = sore("11111111-2222-4333-8444-555555555555") | {"visit": "2026-10-01"}
    _post(page, "/api/hand-over", {"draft": first})
    moved = sore()
    moved["entries"]["yard"] = "Netherfold"
    clash = _post(page, "/api/hand-over", {"draft": moved}).json()
    assert clash["choices"] == ["same_horse", "new_horse"]
    assert _post(page, "/api/hand-over", {"draft": moved, "chosen": {"same_horse": True}}).status_code == 201
    known = page.get("/api/horses").json()
    assert [(one["name"], one["yard"]) for one in known] == [("Bramble", "Netherfold")]


def test_as_usual_is_not_said_of_a_horse_whose_first_sixty_seconds_nobody_looked_at(tmp_path: Path) -> None:
    page = client(tmp_path)
    little = sore() | {"palpation": {}, "quiet": {}}
    little["entries"] = {"name": "Bramble"}
    said = _post(page, "/api/answer", little).json()["riding"]
    assert said == "Not said: nothing of the first sixty seconds was looked at."
    little["entries"] = {"name": "Bramble", "gums": "pink"}
    said = _post(page, "/api/answer", little).json()["riding"]
    assert "Not looked at in the first sixty seconds: " in said
    assert said.endswith(" more looks.")
    assert "gums" not in said
