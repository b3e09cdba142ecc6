"""A line read for the telephone: what comes back is what the page's script reads, and what it then hands over reads as a visit.

In: an application over fresh records. Out: what it answers.
Not here: how lines are understood (tests/lines), the screen (test_browser_lines.py).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from reasoner.page.drafts import DraftIn
from tests.page.drafts import sore
from tests.page.serving import client, rules

NOTHING: dict[str, Any] = {"finds": [], "not_examined": [], "asks": [], "kept": [], "withdrawn": [], "called": {}}


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(tmp_path_factory.mktemp("lines"))


def said(page: TestClient, line: str, **more: Any) -> Any:
    answer = page.post("/api/line", json={"line": line, **more})
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_finds_stand_as_the_script_reads_them(page: TestClient) -> None:
    assert said(
        page, "loin left six flinched, right nothing, back spines two, gums pink, left hind slight"
    ) == NOTHING | {
        "finds": [
            {"at": "loin", "side": "left", "reading": {"soreness": "6", "response": "flinches"}},
            {"at": "loin", "side": "right", "reading": "0"},
            {"at": "back_spines", "side": "middle", "reading": "2"},
            {"entry": "gums", "reading": "pink"},
            {"entry": "hind_step", "side": "left", "reading": "slight"},
        ]
    }


def test_a_refusal_is_a_word_among_the_answers(page: TestClient) -> None:
    """The script looks for it there: as a bare reading it would be taken for a soreness."""
    assert said(page, "stifle left would not let me touch")["finds"] == [
        {"at": "stifle", "side": "left", "reading": {"response": "would not allow"}}
    ]


def test_what_was_left_out_has_its_side_and_its_reason(page: TestClient) -> None:
    assert said(page, "stifle right not examined, unsafe")["not_examined"] == [
        {"at": "stifle", "side": "right", "reason": "unsafe"}
    ]
    assert said(page, "neck not done, no time")["not_examined"] == [
        {"region": "neck", "side": "both", "reason": "no_time"}
    ]
    assert said(page, "left that hock alone, the near one")["not_examined"] == [
        {"at": "hind_joints", "side": "left", "reason": ""}
    ]


def test_an_answer_is_taken_in_when_the_line_is_sent_again(page: TestClient) -> None:
    asked = said(page, "trap three")
    trap = NOTHING | {"called": {"withers": "trap, trapezius"}}
    assert asked == trap | {"asks": [{"kind": "side", "about": ["withers"], "offers": ["left", "right", "both"]}]}
    answer = {"about": ["withers"], "kind": "side", "answer": "right"}
    assert said(page, "trap three", answers=[answer]) == trap | {
        "finds": [{"at": "withers", "side": "right", "reading": "3"}]
    }


def test_one_answer_may_bring_the_next_question(page: TestClient) -> None:
    place = {"about": ["hamstring"], "kind": "place", "answer": "outer_hamstring"}
    (side,) = said(page, "hamstring four", answers=[place])["asks"]
    assert side["kind"] == "side"
    both = {"about": side["about"], "kind": "side", "answer": "left"}
    assert said(page, "hamstring four", answers=[place, both])["finds"] == [
        {"at": "outer_hamstring", "side": "left", "reading": "4"}
    ]


def test_a_question_may_be_kept_as_a_note(page: TestClient) -> None:
    answer = {"about": ["withers"], "kind": "side", "answer": "keep as a note"}
    assert said(page, "trap three", answers=[answer]) == NOTHING | {
        "kept": ["trap three"], "called": {"withers": "trap, trapezius"},
    }  # fmt: skip


def test_a_muscle_is_named_as_it_was_said(page: TestClient) -> None:
    """Whoever says "trap" hears of the trapezius, and not of the withers alone; a place's own name is not repeated."""
    assert said(page, "left traps two")["called"] == {"withers": "traps, trapezius"}
    assert said(page, "left withers two, right stifles three")["called"] == {}
    assert said(page, "left strap two")["called"] == {"withers": "strap"}, "what dictation made of it is seen"


def test_a_name_of_a_place_and_of_a_region_says_what_else_it_may_mean(page: TestClient) -> None:
    (poll,) = said(page, "I've left the poll")["not_examined"]
    rest = ["behind_the_poll", "atlas_pad"]
    assert poll == {"at": "top_of_the_poll", "side": "both", "reason": "", "rest": rest}
    (top,) = said(page, "didn't do the top of the poll")["not_examined"]
    assert "rest" not in top


def test_the_place_that_is_open_is_the_one_meant(page: TestClient) -> None:
    assert said(page, "left four", looking_at="loin")["finds"] == [{"at": "loin", "side": "left", "reading": "4"}]


def test_a_line_that_left_something_out_was_the_last_thing_said(page: TestClient) -> None:
    """What an earlier line found is not what "scratch that" behind it means; the words are kept."""
    told = said(page, "scratch that", earlier=["loin left six", "didn't do the croup"])
    assert (told["withdrawn"], told["kept"]) == ([], ["scratch that"])


def test_a_correction_takes_back_what_an_earlier_line_entered(page: TestClient) -> None:
    told = said(page, "no, left", earlier=["loin right side four"])
    assert told["finds"] == [{"at": "loin", "side": "left", "reading": "4"}]
    assert told["withdrawn"] == [{"at": "loin", "side": "right", "reading": "4"}]


def test_a_correction_reaches_over_no_line_whose_answers_are_not_known(page: TestClient) -> None:
    """ "Trap three" was answered on the telephone: "no, left" means the trap, and never the loin before it."""
    told = said(page, "no, left", earlier=["loin right side four", "trap three"])
    assert (told["finds"], told["withdrawn"]) == ([], [])


@pytest.mark.parametrize(
    ("sent", "code"),
    [
        ({"line": "four", "looking_at": "elbow grease"}, "LN07"),
        ({"line": "trap three", "answers": [{"about": ["withers"], "kind": "side", "answer": "up"}]}, "LN02"),
        ({"line": "loin left three", "answers": [{"about": ["loin"], "kind": "side", "answer": "left"}]}, "LN10"),
    ],
)
def test_what_cannot_be_read_is_said_in_words(page: TestClient, sent: dict[str, Any], code: str) -> None:
    answer = page.post("/api/line", json=sent)
    assert answer.status_code == 422
    assert [one["code"] for one in answer.json()["problems"]] == [code]


@pytest.mark.parametrize(
    "sent",
    [
        {},
        {"line": ""},
        {"line": "x" * 601},
        {"line": 4},
        {"line": "loin", "earlier": ["loin"] * 6},
        {"line": "loin", "answers": [{"about": [], "kind": "side", "answer": "left"}]},
        {"line": "loin", "answers": [{"about": ["loin"], "kind": "grade", "answer": "left"}]},
        {"line": "loin", "enter": True},
    ],
)
def test_what_is_no_line_is_refused(page: TestClient, sent: dict[str, Any]) -> None:
    assert page.post("/api/line", json=sent).status_code == 422


def test_nothing_is_kept_and_the_header_is_needed(tmp_path: Path) -> None:
    at = client(tmp_path)
    before = at.get("/api/horses").json()
    said(at, "loin left four")
    assert at.get("/api/horses").json() == before
    del at.headers["X-From-Page"]
    assert at.post("/api/line", json={"line": "loin left four"}).status_code == 403


def test_every_part_of_a_reading_has_its_field_in_a_draft(page: TestClient) -> None:
    """What the telephone makes of a find goes into its draft, word by word: a part that no draft knows would be refused there."""
    (find,) = said(page, "loin left four flinched tight deep, light touch, after work two")["finds"]
    assert {"soreness", "response", "felt", "depth", "touch", "after work"} <= {*find["reading"]}
    touch = {
        part.replace(" ", "_"): [value] if part in ("response", "felt") else value
        for part, value in find["reading"].items()
    }
    draft = sore()
    draft["palpation"]["loin"] = {"left": touch}
    visit = DraftIn.model_validate(draft).visit_of(rules().book.vocabulary)
    found = next(one for one in visit.touches if (one.place, one.side, one.when) == ("loin", "left", "first"))
    assert found.soreness == 4
    assert (found.touch, found.depth) == ("light", "deep")
