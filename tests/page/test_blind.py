"""Two hands grade one horse blind on two telephones: until both are in, nothing that either asks for holds what the other found.

In: a yard with a practitioner and an apprentice, each on their own telephone. Out: what every page and answer gives them.
Not here: comparing the two (test_agreeing.py), a browser.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from fastapi.testclient import TestClient

from reasoner.page.routes.examination import Again
from reasoner.store.held_back import Reader, read_by
from reasoner.store.reading import visits
from tests.page.drafts import sore
from tests.page.neighbours import PASSWORD, Yard, yard
from tests.page.test_everybody import routes_of

WREN, TAM = "Wren Aldous", "Tam Orrin"
PDF = "a PDF"
_DRAWN = re.compile(r"<svg.*?</svg>", re.DOTALL)
#: Stand in one grading each and nowhere else.
WRENS, TAMS = ("7.5", "kestrel feather"), ("2.5", "otter track")


def grading(hand: str, beside: str = "", number: int = 1) -> dict[str, Any]:
    """Bramble as this hand found it."""
    draft = sore(str(UUID(int=number, version=4)))
    grade, word = WRENS if hand == WREN else TAMS
    draft["entries"] |= {"examined_by": hand, "graded_blind_beside": beside}
    if not beside:
        del draft["entries"]["graded_blind_beside"]
    if hand == TAM:
        draft["entries"]["checked_by"] = WREN
    draft["palpation"]["loin"]["left"]["soreness"] = grade
    draft["notes"] = [word]
    return draft


def hand_over(someone: TestClient, draft: dict[str, Any], **chosen: Any) -> Any:
    return someone.post("/api/hand-over", json={"draft": draft, "by": "", "chosen": chosen})


@pytest.fixture
def place(tmp_path: Path) -> Yard:
    found = yard(tmp_path)
    found.doors.people.add(WREN, "practitioner", horse=None, password=PASSWORD)
    return found


def everything(place: Yard, someone: TestClient) -> dict[str, str]:
    """All that this person can ask for: every route that is read, for every visit, horse and picture there is, and every address
    that stands in what came back."""
    with place.served.store.reading() as connection:
        every = visits(connection)
    fill = {
        "visit": [one.uid for one in every], "other": [one.uid for one in every], "horse": sorted({one.horse for one in every}),
        "photograph": list(place.photographs.values()), "number": ["0", "1", "2"], "reader": ["owner", "vet", "trade"],
        "conclusion": ["loin_answers"],
    }  # fmt: skip
    todo = set()
    for route in routes_of(place.near):
        if "GET" in route.methods:
            paths = [route.path]
            for name in re.findall(r"{(\w+)", route.path):
                paths = [re.sub(rf"{{{name}[^}}]*}}", value, path) for path in paths for value in fill.get(name, ["x"])]
            todo |= set(paths)
    told: dict[str, str] = {}
    while todo:
        path = todo.pop()
        if path.startswith("/handbook") or any(re.search(rf"{old.uid}/[^f]", path) for old in place.visits.values()):
            continue  # the rulebook; reports and reasons of the visits before, which are as they were
        answer = someone.get(path)
        pdf = answer.headers.get("content-type") == "application/pdf"
        told[path] = PDF if pdf else _DRAWN.sub("", answer.text) + str(answer.headers)
        for link in re.findall(r'(?:href|src)="(/[^"#]*)"', answer.text):
            if link.replace("&amp;", "&") not in told and "/static/" not in link:
                todo.add(link.replace("&amp;", "&"))
    return told


def leaks(told: dict[str, str], secret: tuple[str, str]) -> list[str]:
    """Where a grading shows: its number, its note, or a packed file that cannot be searched; not among points of drawings."""
    grade, note = secret
    number = re.compile(rf"(?<![\d.]){re.escape(grade)}(?![\d.])")
    drawings = ("/pictures.css", "/api/examination")
    return [
        path for path, text in told.items()
        if not path.startswith(drawings) and (text == PDF or note in text or number.search(text))
    ]  # fmt: skip


def test_neither_sees_the_other_before_both_are_in(place: Yard) -> None:
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    first = hand_over(wren, grading(WREN, TAM))
    assert first.status_code == 201
    assert first.json()["held_back"] == TAM
    assert leaks(everything(place, wren), WRENS), "the hand that wrote it sees it: the search finds what is there"
    for someone in (tam, place.here(), place.let_in("Ines Tallow")):
        assert not leaks(everything(place, someone), WRENS)
    second = hand_over(tam, grading(TAM, WREN, 2))
    assert second.status_code == 201, second.text
    assert second.json()["held_back"] == ""
    assert leaks(told := everything(place, tam), WRENS)
    assert leaks(told, TAMS)
    assert wren.get(f"/visits/{second.json()['visit']}").status_code == 200


def test_the_answer_while_grading_hears_nothing_of_the_other(place: Yard) -> None:
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    horse = place.visits["Bramble"].horse
    draft = grading(TAM, WREN, 2) | {"visit": "2026-11-29"}  # a day on, for which today's visit would be an earlier one
    before = tam.post("/api/answer", json=draft).json(), tam.get(f"/api/again/{horse}").text
    hand_over(wren, grading(WREN, TAM))
    assert (tam.post("/api/answer", json=draft).json(), tam.get(f"/api/again/{horse}").text) == before
    mine = Again.model_validate(wren.get(f"/api/again/{horse}").json())
    assert mine.last_visit.isoformat() == "2026-11-28", "and its writer begins from it"


def test_handing_over_tells_nothing_of_it_either(place: Yard) -> None:
    """The telephone asks what to do about another visit of the day, and used to name every line that differs."""
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    hand_over(wren, grading(WREN, TAM))
    plain = hand_over(tam, grading(TAM, number=2))
    assert plain.status_code == 409
    assert not leaks({"": plain.text}, WRENS)
    assert plain.json()["kept"]["differs"] == []
    assert plain.json()["choices"] == ["second_visit"]
    over = hand_over(tam, grading(TAM, number=2), correction="mine is right")
    assert over.status_code == 409, "what one may not see, one cannot correct"
    assert not leaks({"": over.text}, WRENS)


def test_an_open_visit_of_the_day_still_asks(place: Yard) -> None:
    """Without the entry everything stays as it was: the lines that differ, and both choices."""
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    hand_over(wren, grading(WREN))
    said = hand_over(tam, grading(TAM, number=2)).json()
    assert said["choices"] == ["second_visit", "correction"]
    assert any("7.5" in line for line in said["kept"]["differs"])


def test_nobody_writes_into_what_is_held_back(place: Yard) -> None:
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    uid = hand_over(wren, grading(WREN, TAM)).json()["visit"]
    for path, form in (
        ("judged", {"conclusion": "loin_answers/left", "agrees": "true", "because": "x", "by": TAM}),
        ("told", {"step": "x/", "answer": "done", "by": "Ines", "told_on": "2026-11-28"}),
        ("correct", {"text": "horse: {name: Bramble}\nvisit: 2026-11-28\n", "why": "x", "by": TAM}),
        ("edit", {}), ("countersigned", {"by": WREN}),
    ):  # fmt: skip
        answer = tam.post(f"/visits/{uid}/{path}", data=form)
        assert answer.status_code in (403, 404, 422), path
        assert not leaks({path: answer.text}, WRENS)


def test_what_waits_is_said_without_what_was_found(place: Yard) -> None:
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    hand_over(wren, grading(WREN, TAM))
    seen = tam.get(f"/horses/{place.visits['Bramble'].horse}").text
    assert "graded blind by Wren Aldous beside Tam Orrin" in seen
    assert "held back until Tam Orrin" in seen


def test_a_pressing_call_is_told_all_the_same(place: Yard) -> None:
    """The veterinarian comes before any comparison: the level is told, the grades are not."""
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    draft = grading(WREN, TAM)
    draft["entries"]["breathing"] = "laboured"
    assert hand_over(wren, draft).status_code == 201
    seen = tam.get(f"/horses/{place.visits['Bramble'].horse}").text
    assert "emergency reason to call the veterinarian. Ask Wren Aldous now" in seen
    assert not leaks(everything(place, tam), WRENS)


def test_it_opens_by_itself_and_its_writer_ends_it(place: Yard) -> None:
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    uid = hand_over(wren, grading(WREN, TAM)).json()["visit"]
    place.clock.on(hours=47)
    assert place.let_in(TAM).get(f"/visits/{uid}").status_code == 404
    place.clock.on(hours=2)
    assert place.let_in(TAM).get(f"/visits/{uid}").status_code == 200
    place.clock.on(hours=-49)
    assert tam.get(f"/visits/{uid}").status_code == 404
    without = grading(WREN)
    assert hand_over(wren, without, correction="Tam went home").status_code == 201
    assert tam.get(f"/visits/{uid}").status_code == 200


def test_another_hands_visit_opens_nothing(place: Yard) -> None:
    """Only the hand that was named ends the waiting, by whatever name somebody comes in."""
    wren, tam = place.let_in(WREN), place.let_in(TAM)
    uid = hand_over(wren, grading(WREN, "Isla Quenby")).json()["visit"]
    assert hand_over(tam, grading(TAM, WREN, 2)).status_code == 201
    assert tam.get(f"/visits/{uid}").status_code == 404


def test_whoever_has_no_name_of_their_own_sees_neither(place: Yard) -> None:
    """Two telephones that both came in by the practitioner's code are one name, and could be anybody's hands."""
    one, other = place.let_in(), place.let_in()
    uid = hand_over(one, grading(WREN, TAM)).json()["visit"]
    assert other.get(f"/visits/{uid}").status_code == 404
    assert one.get(f"/visits/{uid}").status_code == 404
    assert hand_over(other, grading(TAM, WREN, 2)).status_code == 201
    assert other.get(f"/visits/{uid}").status_code == 200


def test_commands_on_the_own_machine_read_as_nobody(place: Yard) -> None:
    hand_over(place.let_in(WREN), grading(WREN, TAM))
    store, reader = place.served.store, Reader(name=TAM, now=place.clock(), opens_after=place_hours(place))
    with store.reading() as connection:
        everyone = len(visits(connection))
    with read_by(reader), store.reading() as connection:
        assert len(visits(connection)) == everyone - 1
    with store.reading() as connection:
        assert len(visits(connection)) == everyone, "and nothing stays set behind"


def place_hours(place: Yard) -> Any:
    """What the table says, as the page takes it."""
    from reasoner.page.blind import reader_of
    from reasoner.page.who import Who

    found = reader_of(place.served, Who(name=TAM, role="apprentice"))
    assert found is not None
    return found.opens_after
