"""Two hands at the desk: which horse-days stand there, for whom, what they say, and one hand twice over.

In: a yard with two gradings of one horse and day, and records with a course. Out: the pages.
Not here: what is held back before both are in (test_blind.py), the statistics (tests/teaching), a browser.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.page.two_hands import told_of_hands
from reasoner.store.saving import save
from reasoner.teaching.compared import compared
from reasoner.teaching.pairing import gathered, kept_twice
from tests.page.desk_store import WREN as DESK_WREN
from tests.page.desk_store import _kept, _lower, _text, desk
from tests.page.neighbours import PASSWORD, Yard, yard
from tests.page.serving import rules
from tests.page.test_blind import TAM, WREN, grading, hand_over
from tests.teaching.hands import TABLE


@pytest.fixture
def place(tmp_path: Path) -> Yard:
    found = yard(tmp_path)
    found.doors.people.add(WREN, "practitioner", horse=None, password=PASSWORD)
    found.doors.people.add("Isla Quenby", "apprentice", horse=None, password=PASSWORD)
    return found


def both_in(place: Yard) -> str:
    """Wren and Tam graded Bramble blind; the address of the pair."""
    uids = [hand_over(place.let_in(hand), grading(hand, beside, n)).json()["visit"]
            for n, (hand, beside) in enumerate(((WREN, TAM), (TAM, WREN)), 1)]  # fmt: skip
    return "/agree/{}/{}".format(*reversed(uids))


def test_a_pair_stands_there_once_both_are_in(place: Yard) -> None:
    wren = place.let_in(WREN)
    assert "No horse was graded twice" in wren.get("/agree").text
    hand_over(wren, grading(WREN, TAM))
    waiting = wren.get("/agree").text
    assert "Yours is in and nobody else sees it before Tam Orrin&#39;s is." in waiting
    assert "Bramble, 28 November 2026" in waiting
    assert "No horse was graded twice" in waiting
    hand_over(place.let_in(TAM), grading(TAM, WREN, 2))
    seen = wren.get("/agree").text
    assert "Tam Orrin and Wren Aldous" in seen
    assert "graded blind</span>" in seen
    assert "Yours is in" not in seen


def test_the_pair_says_where_they_differ_and_what_it_moved(place: Yard) -> None:
    at = both_in(place)
    for hand in (WREN, TAM):
        seen = place.let_in(hand).get(at)
        assert seen.status_code == 200, seen.text
        assert "Graded blind: on this page neither could see" in seen.text
        assert "loin, left: 2.5, then 7.5 (+5)" in seen.text
        assert "limits of agreement" in seen.text
        assert "ba-dot" in seen.text
        assert "What that makes of the conclusions" in seen.text
        assert "Judged as the records judge" in seen.text
        assert "reasoner assess" not in seen.text
        assert "--moved" not in seen.text
        assert "Which reading moved which of these" in seen.text
    moved = place.let_in(TAM).get(f"{at}?moved=true").text
    assert "this reading by itself: loin, left" in moved
    assert "Which reading moved" not in moved


def test_an_apprentice_sees_only_pairs_they_took_part_in(place: Yard) -> None:
    at = both_in(place)
    isla = place.let_in("Isla Quenby")
    assert "with you among the two" in isla.get("/agree").text
    assert "Bramble" not in isla.get("/agree").text
    assert isla.get(at).status_code == 404
    assert isla.get(f"/agree/hands?one={WREN}&two={TAM}").status_code == 404
    assert place.let_in(TAM).get(f"/agree/hands?one={WREN}&two={TAM}").status_code == 200
    assert place.let_in("Ines Tallow").get("/agree").status_code == 403


def test_what_waits_is_no_other_apprentices_business(place: Yard) -> None:
    hand_over(place.let_in(WREN), grading(WREN, TAM))
    assert "graded blind by" not in place.let_in("Isla Quenby").get("/agree").text
    assert "graded blind by Wren Aldous" in place.let_in(TAM).get("/agree").text


def test_a_correction_after_both_were_in_is_told(place: Yard) -> None:
    at, wren = both_in(place), place.let_in(WREN)
    place.clock.on(hours=1)
    changed = grading(WREN, TAM)
    changed["palpation"]["loin"]["left"]["soreness"] = "8"
    assert hand_over(wren, changed, correction="read off wrong").status_code == 201
    seen = wren.get(at).text
    assert "Wren Aldous&#39;s visit was corrected after both were in" in seen
    assert "loin, left: 2.5, then 8 (+5.5)" in seen


def test_a_grading_that_came_after_the_other_had_opened_is_not_blind(place: Yard) -> None:
    first = hand_over(place.let_in(WREN), grading(WREN, TAM)).json()["visit"]
    place.clock.on(hours=49)
    second = hand_over(place.let_in(TAM), grading(TAM, WREN, 2)).json()["visit"]
    seen = place.let_in(WREN).get(f"/agree/{first}/{second}").text
    assert "Not blind: Wren Aldous&#39;s visit had opened by itself" in seen
    assert "Graded blind:" not in seen
    assert "graded blind</span>" not in place.let_in(WREN).get("/agree").text, "nor is it called so in the list"


def test_kept_visits_are_judged_with_the_visits_before_that_day(tmp_path: Path) -> None:
    """The second visit to Bramble has an earlier one, with a step told as done: both hands are judged with it, neither with the
    other's of the day."""
    records = desk(tmp_path)
    text = _lower(_text("bramble").replace("visit: 2026-04-18", "visit: 2026-05-02"), 1)
    text = text.replace("examined by: Wren Aldous", "examined by: Tam Orrin")
    save(records.served.store, _kept(records.served.store, text), by="Tam Orrin", part=2)
    with records.served.store.reading() as connection:
        kept = kept_twice(connection, records.served.store.place, rules().book.vocabulary)
    (pairs,) = gathered(kept.visits, "x").pairs.values()
    found = compared(pairs, rules(), TABLE, earlier=kept.earlier)
    assert found.earlier == 1
    (trace,) = found.traces
    with_records = [trace.one.visit.history, trace.two.visit.history]
    assert all(with_records), "what came of the step done is heard by both"
    assert all("visits_without_change" in {one.key for one in some} for some in with_records)
    alone = compared(pairs, rules(), TABLE)
    assert alone.earlier is None
    assert not alone.traces[0].one.visit.history


def test_kept_visits_keep_their_tracings(tmp_path: Path) -> None:
    """Judged from rows alone, a visit with tracings would lose them."""
    records = desk(tmp_path)
    larch = records.visits["larch"]
    with records.served.store.reading() as connection:
        from reasoner.store.reading import beside_of, text_of, visit_of

        known = visit_of(connection, larch)
        text = text_of(connection, known.version).decode()
        beside = beside_of(connection, records.served.store.place, known.version)
    assert beside
    from tests.store.keeping import EXAMPLES

    again = text.replace("examined by: Wren Aldous", "examined by: Tam Orrin")
    assert again != text
    save(records.served.store, _kept(records.served.store, again, str(EXAMPLES / "larch.yaml")), by="Tam Orrin", part=2)
    with records.served.store.reading() as connection:
        kept = kept_twice(connection, records.served.store.place, rules().book.vocabulary)
    assert all(visit.outlines or visit.beside for visit in kept.visits)


def test_one_hand_twice_over_is_told_what_to_do_with_it(place: Yard) -> None:
    """Three horses graded twice: the hand's own error and a file of rules with it; with one there is too little, and it says."""
    wren = place.let_in(WREN)
    names = ("Bramble", "Juniper", "Teasel")
    for number, name in enumerate(names):
        for again in (0, 1):
            draft = grading(WREN, number=10 + 2 * number + again)
            draft["entries"]["name"] = name
            draft["notes"] = []
            draft["palpation"] = {
                key: {
                    "left": {"soreness": str(3 + (k + again * (k % 3)) % 5)},
                    "right": {"soreness": str(4 + (k * again) % 3)},
                }
                for k, key in enumerate(_sided())
            }
            kept = hand_over(
                wren, draft, **({"second_visit": True} if again else {}), **({} if again else {"new_horse": True})
            )
            assert kept.status_code == 201, kept.text
        seen = wren.get(f"/agree/hands?one={WREN}&two={WREN}").text
        assert "This hand&#39;s own error" in seen
        if number == 0:
            assert "Too few for an error of one&#39;s own" in seen
    assert "Wren Aldous, twice over" in wren.get("/agree").text
    assert "as a file of rules" in seen
    layer = wren.get(f"/agree/hands/reading_error.yaml?one={WREN}&two={WREN}")
    assert layer.headers["content-type"].startswith("application/yaml")
    assert '"Wren Aldous": {shared:' in layer.text
    assert wren.get(f"/agree/hands/reading_error.yaml?one={WREN}&two={TAM}").status_code == 404


def _sided() -> list[str]:
    places = rules().book.vocabulary.places
    return sorted(key for key, place in places.items() if place.sides == "each")[:9]


def test_the_page_says_what_the_command_says(tmp_path: Path) -> None:
    """One working out: the lines come whole from the command's own, but for hints at the command line."""
    records = desk(tmp_path)
    text = _text("rook").replace("examined by: Wren Aldous", "examined by: Tam Orrin")
    save(records.served.store, _kept(records.served.store, text), by=DESK_WREN, part=2)
    with records.served.store.reading() as connection:
        kept = kept_twice(connection, records.served.store.place, rules().book.vocabulary)
    (pairs,) = gathered(kept.visits, "x").pairs.values()
    told = told_of_hands(rules(), pairs, kept.earlier, follow=False)
    seen = records.client().get("/agree/hands?one=Wren Aldous&two=Tam Orrin").text
    strong = [line.text for line in told.lines if line.role == "strong"]
    assert strong
    for text in strong:
        assert text.replace("'", "&#39;") in seen, text


def test_the_waiting_is_counted_in_hours_of_the_table(place: Yard) -> None:
    assert "after 48 hours" in place.let_in(WREN).get("/agree").text
