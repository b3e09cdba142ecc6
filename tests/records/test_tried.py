"""What came of the plans, and what that says of the causes: by entries of the visit that rules read.

In: horses of two and five visits with the owner's answers. Out: outcomes, entries, certainties, the reason to call.
Not here: the course of a place.
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from reasoner.consult import Answer, judge, load_rulebook
from reasoner.records.before import with_history
from reasoner.records.done_before import STEP
from reasoner.records.tried import BETTER, COUNT, NO_CHANGE
from reasoner.rendering.answer_json import answer_json
from reasoner.rendering.progress_text import progress_lines
from reasoner.rendering.text_page import plain_text
from reasoner.rulebook.layers import shipped_rules
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.records.horses import judged, keep, kept_course, progress, tell, turned, visit
from tests.store.keeping import example, fresh

FIRST = visit("2026-04-04", "{left: 6, right: 1}")
SAME, HELPED = visit("2026-04-20", "{left: 5.5, right: 1}"), visit("2026-04-20", "{left: 3, right: 1}")
GONE = visit("2026-04-20", "{left: 1, right: 1}")
KEY = "girth_presses"


def entries(answer: Answer) -> dict[tuple[str, str], str]:
    """What is said of causes; of steps and of places that are worse again: test_relapse.py, test_done_before.py."""
    return {
        (noted.key, noted.side or ""): str(noted.value)
        for noted in answer.visit.history if noted.key in (NO_CHANGE, BETTER, COUNT)
    }  # fmt: skip


def certainty(answer: Answer, side: str = "left") -> float:
    return answer.explanation.concluded[KEY, side].certainty


def alone(text: str) -> Answer:
    return judge(visit_from_bytes(text.encode(), "today.yaml", shipped().book.vocabulary), shipped())


def test_a_remedy_that_changed_nothing_takes_ground_from_its_cause(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    answer = judged(store, SAME)
    assert entries(answer) == {(NO_CHANGE, "left"): KEY, (COUNT, ""): "1"}
    assert certainty(answer) < certainty(alone(SAME))
    assert certainty(answer, "right") == certainty(alone(SAME), "right")
    (rule,) = (item for item in answer.explanation.concluded[KEY, "left"].opposing if "nothing" in item.name)
    (finding,) = rule.findings
    for said in ("2026-04-04", "done", "told by the owner on 2026-04-14", "girth line left 6, then 5.5 on 2026-04-20"):
        assert said in finding.value
    assert (finding.file, finding.line) == ("today.yaml", 9)


def test_a_remedy_that_helped_speaks_for_its_cause_while_it_is_there(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    answer = judged(store, HELPED)
    assert entries(answer) == {(BETTER, "left"): KEY, (COUNT, ""): "0"}
    assert certainty(answer) > certainty(alone(HELPED))
    # Once the place is quiet there is nothing left for the cause to explain.
    assert certainty(judged(store, GONE)) == certainty(alone(GONE))


@pytest.mark.parametrize("later", [SAME, HELPED])
def test_what_was_done_only_in_part_teaches_nothing_and_says_so(tmp_path: Path, later: str) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "partly")
    answer = judged(store, later)
    assert set(entries(answer)) == {(COUNT, "")}, "a veterinarian is asked sooner for it, and no cause hears of it"
    assert not [noted for noted in answer.visit.history if noted.key == STEP]
    assert certainty(answer) == certainty(alone(later))
    keep(store, later)
    found = progress(store)
    assert found.tried == ()
    assert {(one.cause, one.side) for one in found.in_part} == {(KEY, "left")}
    page = " ".join(plain_text(progress_lines(found, shipped().book)).split())
    assert page.count("it was done only in part, so nothing is learnt from it of the cause or of the step") == 2


def test_done_in_part_weighs_like_done_where_the_rules_say_so(tmp_path: Path) -> None:
    """The setting is data: with the word moved up, the same answers take ground from the cause."""
    text = (shipped_rules() / "measures" / "progress.yaml").read_text()
    text = text.replace("carried_out: [done]", "carried_out: [done, partly]").replace(
        "answers: [partly]", "answers: []"
    )
    (tmp_path / "own" / "measures").mkdir(parents=True)
    (tmp_path / "own" / "measures" / "progress.yaml").write_text(text)
    ready = load_rulebook([shipped_rules(), tmp_path / "own"])
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "partly")
    seen = visit_from_bytes(SAME.encode(), "today.yaml", ready.book.vocabulary)
    with store.reading() as connection:
        found = with_history(connection, seen, ready.book).history
    assert {(one.key, one.side or ""): str(one.value) for one in found if one.key == NO_CHANGE} == {
        (NO_CHANGE, "left"): KEY
    }


@pytest.mark.parametrize("answer", ["", "not", "not done", "stopped"])
def test_what_was_not_carried_out_is_never_counted_as_failed(tmp_path: Path, answer: str) -> None:
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    if answer:
        tell(store, saved, answer)
    after = judged(store, SAME)
    assert entries(after) == {}
    found = answer_json(after)
    for step in found["plan"]["steps"]:
        told = [said for said in step["done_before"] if answer == "stopped" and said.startswith("Stopped before: ")]
        assert step["done_before"] == told  # that it was stopped is told beside it, and changes nothing else
        step["done_before"] = []
    assert found == answer_json(alone(SAME))


def test_the_last_answer_counts_and_later_ones_were_not_known_yet(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    tell(store, saved, "not", on="2026-04-10")
    tell(store, saved, "done", on="2026-04-12")
    assert (NO_CHANGE, "left") in entries(judged(store, SAME))
    tell(store, saved, "stopped", on="2026-04-25")
    assert (NO_CHANGE, "left") not in entries(judged(store, SAME))


def test_before_its_day_nothing_has_failed(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done", on="2026-04-06")
    early = judged(store, visit("2026-04-08", "{left: 5.5, right: 1}"))
    assert (NO_CHANGE, "left") not in entries(early)


@pytest.mark.parametrize(("text", "why"), [
    (visit("2026-04-20", "{left: not examined - no time, right: 1}"), "the place was not examined"),
    (visit("2026-04-20", "{left: 5.5, right: 1}", painkillers="given"), "something was given for pain"),
    (visit("2026-04-20", "{left: 5.5, right: 1}", settled="not seen"), "it had not settled"),
])  # fmt: skip
def test_nothing_is_learnt_from_what_cannot_be_laid_beside(tmp_path: Path, text: str, why: str) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    assert entries(judged(store, text)) == {}, why


def test_a_reading_after_work_proves_nothing(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    answer = judged(store, visit("2026-04-20", "{left: {soreness: 5.5, after work: 1}, right: 1}"))
    assert entries(answer)[NO_CHANGE, "left"] == KEY


LOADED = """\
horse: {name: Heather}
visit: 2026-04-18
yard: Larkhope
examined by: Wren Aldous
settled under the hand: seen
before the visit: {painkillers: none, sedation: none, load: over 25 percent}
palpation: {long back: {both: 6}}
in hand: {trot in hand: even, both reins: seen}
"""
SEAT = """\
horse: {name: Sparrow}
visit: 2026-04-18
yard: Larkhope
examined by: Wren Aldous
settled under the hand: seen
before the visit: {painkillers: none, sedation: none}
palpation: {long back: {left: 4, right: 3}}
in hand: {trot in hand: even, both reins: seen}
ridden: {rider sits to: left, rider in another saddle: left, saddle with another rider: straight}
"""


@pytest.mark.parametrize(("text", "step", "side", "cause", "of", "entered"), [
    (example("bramble").text.decode(), "shims_under_the_side", "right", "saddle_to_one_side", "right", {"right"}),
    (LOADED, "lighter_rides_for_now", "", "too_much_load", "", {"left", "right"}),
    (SEAT, "lessons_for_the_seat", "", "rider_sits_to_one_side", "left", {"left"}),
])  # fmt: skip
def test_tack_rider_and_load_are_learnt_from_alike(
    tmp_path: Path, text: str, step: str, side: str, cause: str, of: str, entered: set[str]
) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, text), "done", step=step, side=side, on="2026-05-01")
    later = text.replace("visit: 2026-04-18", "visit: 2026-05-30")
    answer = judged(store, later)
    told = [n for n in answer.visit.history if n.key == NO_CHANGE and n.value == cause]
    assert {n.side for n in told} == entered
    assert answer.explanation.concluded[cause, of].certainty < alone(later).explanation.concluded[cause, of].certainty


def test_a_hand_on_a_sore_place_says_nothing_of_the_cause(tmp_path: Path) -> None:
    """Work by hand eases the place and leaves the cause where it is."""
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    tell(store, saved, "done", step="hold_along_the_girth", side="left")
    assert set(entries(judged(store, SAME))) == {(COUNT, "")}


def test_another_examiner_is_told_in_the_trace(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    answer = judged(store, visit("2026-04-20", "{left: 5.5, right: 1}", hands="Tam Orrin"))
    (noted,) = (n for n in answer.visit.history if n.key == NO_CHANGE)
    assert "graded by Wren Aldous and then by Tam Orrin" in noted.written


def test_a_mirrored_horse_has_mirrored_entries(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    one, other = fresh(tmp_path / "one"), fresh(tmp_path / "two")
    tell(one, keep(one, FIRST), "done")
    tell(other, keep(other, turned(FIRST)), "done")
    here, there = judged(one, SAME), judged(other, turned(SAME))
    side = {"left": "right", "right": "left", "": ""}
    assert {(k, side[s]): v for (k, s), v in entries(here).items()} == entries(there)
    assert certainty(here, "left") == certainty(there, "right")


def test_three_visits_without_change_raise_the_matter_with_a_veterinarian(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    days = ("2026-04-04", "2026-04-20", "2026-05-06", "2026-05-22")
    for at, day in enumerate(days):
        text = visit(day, f"{{left: {(6, 5.5, 6, 5.5)[at]}, right: 1}}")
        answer = judged(store, text)
        raised = {concern.key for concern in answer.referral.concerns}
        counted = next((n.value for n in answer.visit.history if n.key == COUNT), None)
        assert counted == (None if at == 0 else Decimal(at))
        assert ("no_better_after_agreed_visits" in raised) == (at == 3)
        saved = keep(store, text)
        if at < 3:
            tell(store, saved, "done", on=day)


def test_a_better_visit_ends_the_row_and_one_without_a_deed_does_not_count(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for day, score, told in (("2026-04-04", 6, "done"), ("2026-04-20", 5.5, ""), ("2026-05-06", 6, "done")):
        saved = keep(store, visit(day, f"{{left: {score}, right: 1}}"))
        if told:
            tell(store, saved, told, on=day)
    assert entries(judged(store, visit("2026-05-22", "{left: 5.5, right: 1}")))[COUNT, ""] == "2"
    assert entries(judged(store, visit("2026-05-22", "{left: 2.5, right: 1}")))[COUNT, ""] == "0"


def test_small_steps_that_add_up_are_no_visits_without_change(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for day, score in (("2026-04-04", 6), ("2026-04-20", 5), ("2026-05-06", 4)):
        tell(store, keep(store, visit(day, f"{{left: {score}, right: 1}}")), "done", on=day)
    assert entries(judged(store, visit("2026-05-22", "{left: 3, right: 1}")))[COUNT, ""] == "0"


def test_what_was_written_by_hand_stands(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    by_hand = SAME.replace("sedation: none", "sedation: none, visits without change: 3")
    answer = judged(store, by_hand)
    assert answer.facts.values[next(n for n in answer.facts.values if n.startswith(COUNT))] == 3.0
    assert not answer.visit.warnings


def test_half_a_year_later_it_is_no_longer_held_against_the_cause(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    keep(store, SAME)
    assert (NO_CHANGE, "left") in entries(judged(store, visit("2026-09-20", "{left: 5.5, right: 1}")))
    assert (NO_CHANGE, "left") not in entries(judged(store, visit("2026-12-20", "{left: 5.5, right: 1}")))


def test_outcomes_of_the_last_plan(tmp_path: Path) -> None:
    for number, (now, came, within) in enumerate(
        ((1, "came_true", False), (3, "partly", False), (5.5, "not", False)), 1
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        found = kept_course(fresh(folder), [FIRST, visit("2026-04-20", f"{{left: {now}, right: 1}}")], ["done"])
        told = {(o.came, o.within_the_hand) for o in found.outcomes if o.expected.place == "girth_line"}
        assert told == {(came, within)}


def test_there_but_by_no_more_than_the_hand_is_said(tmp_path: Path) -> None:
    found = kept_course(
        fresh(tmp_path), [visit("2026-04-04", "{left: 4, right: 1}"), visit("2026-04-20", "{left: 2, right: 1}")]
    )
    own = [o for o in found.outcomes if o.expected.place == "girth_line"]
    assert own
    assert {(o.came, o.within_the_hand) for o in own} == {("partly", True)}


def test_an_expectation_before_its_day(tmp_path: Path) -> None:
    found = kept_course(fresh(tmp_path), [FIRST, visit("2026-04-07", "{left: 5.5, right: 1}")])
    assert {o.came for o in found.outcomes} == {"not_yet"}
    missed = kept_course(fresh(tmp_path), [visit("2026-05-20", "{left: not examined - no time, right: 1}")])
    assert {o.came for o in missed.outcomes if o.plan == 1} == {"not_examined"}


def test_kept_in_another_order_the_course_and_the_outcomes_are_the_same(tmp_path: Path) -> None:
    texts = [FIRST, HELPED, visit("2026-05-06", "{left: 1, right: 1}", back="{left: 5, right: 1}")]
    found = []
    for name, order in (("forwards", texts), ("backwards", texts[::-1])):
        (tmp_path / name).mkdir()
        store = fresh(tmp_path / name)
        saved = {text: keep(store, text) for text in order}
        tell(store, saved[FIRST], "done")
        found.append(progress(store))
    one, other = found
    assert one.comparing.courses == other.comparing.courses
    assert [site.since_last for site in one.sites] == [site.since_last for site in other.sites]
    assert [(o.plan, o.judged, o.step.key, o.expected, o.came) for o in one.outcomes] == [
        (o.plan, o.judged, o.step.key, o.expected, o.came) for o in other.outcomes
    ]
    assert one.tried == other.tried
    assert (one.kept_late, other.kept_late) == ((), ("2026-04-04", "2026-04-20"))
