"""A step that was done and changed nothing is not proposed again without a word.

In: horses with visits and the owner's answers. Out: entries, the plan and its order, the page.
Not here: what it says of a cause (test_tried.py).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.plan.done_before import STEP
from reasoner.questions.first_steps import FirstSteps, first_of
from reasoner.records.course import table_of
from reasoner.rendering.answer_json import answer_json
from reasoner.rendering.plan_text import plan_lines
from reasoner.rendering.text_page import plain_text
from tests.asking import shipped
from tests.records.horses import judged, keep, tell, visit
from tests.store.keeping import example, fresh

FIRST = visit("2026-04-04", "{left: 6, right: 1}")
SAME = visit("2026-04-20", "{left: 5.5, right: 1}")


def test_a_step_that_rests_a_place_stays_and_says_so(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    answer = judged(store, SAME)
    (step,) = (s for s in answer.plan.steps if s.key == "leave_the_girth_off")
    (said,) = step.done_before
    for part in (
        "agreed on 2026-04-04",
        "told by the owner on 2026-04-14",
        "girth line left 6, then 5.5 on 2026-04-20",
    ):
        assert part in said
    for full in (True, False):
        assert "Done before: agreed on 2026-04-04" in " ".join(plain_text(plan_lines(answer, full=full)).split())
    told = [s["done_before"] for s in answer_json(answer)["plan"]["steps"] if s["key"] == step.key]
    assert told == [[said]]


def test_a_correction_that_changed_nothing_is_held_back_with_day_and_places(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    text = example("bramble").text.decode()
    tell(store, keep(store, text), "done", step="shims_under_the_side", side="right", on="2026-05-01")
    later = text.replace("visit: 2026-04-18", "visit: 2026-05-30")
    answer = judged(store, later)
    held = {(one.key, one.side): one.because for one in answer.plan.withheld}
    because = held["shims_under_the_side", "right"]
    assert any("it was done and changed nothing" in one for one in because)
    assert any("agreed on 2026-04-18" in one and "behind the shoulder blade right" in one for one in because)


@pytest.mark.parametrize(("now", "answer"), [(2, "done"), (5.5, "not"), (5.5, "stopped"), (5.5, "")])
def test_what_helped_or_was_not_done_is_proposed_as_ever(tmp_path: Path, now: float, answer: str) -> None:
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    if answer:
        tell(store, saved, answer)
    found = judged(store, visit("2026-04-20", f"{{left: {now}, right: 1}}"))
    assert all(n.key != STEP for n in found.visit.history)
    said = [said for step in found.plan.steps for said in step.done_before]
    assert [one.partition(":")[0] for one in said] == (["Stopped before"] if answer == "stopped" else [])


def test_a_step_that_was_stopped_is_told_with_day_and_reason_and_moves_nothing(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    untold = judged(store, SAME)
    tell(store, saved, "stopped", because='it pinned its ears and looked "cross"')
    answer = judged(store, SAME)
    (step,) = (s for s in answer.plan.steps if s.key == "leave_the_girth_off")
    assert step.done_before == (
        "Stopped before: agreed on 2026-04-04 and stopped, told by the owner on 2026-04-14, "
        "in the owner's words: \"it pinned its ears and looked 'cross'\".",
    )
    for full in (True, False):
        assert "Stopped before: agreed on 2026-04-04" in " ".join(plain_text(plan_lines(answer, full=full)).split())
    assert [s["key"] for s in answer_json(answer)["plan"]["steps"]] == [
        s["key"] for s in answer_json(untold)["plan"]["steps"]
    ]
    assert answer_json(answer)["conclusions"] == answer_json(untold)["conclusions"]
    assert [one.key for one in answer.visit.history].count("step_stopped") == 1


@pytest.mark.parametrize("then", ["done", "not"])
def test_what_was_told_of_a_step_last_is_what_counts(tmp_path: Path, then: str) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "stopped")
    tell(store, keep(store, SAME), then, on="2026-04-22")
    answer = judged(store, visit("2026-05-10", "{left: 6, right: 1}"))
    assert not [s for one in answer.plan.steps for s in one.done_before if s.startswith("Stopped")]


def test_the_newest_time_that_can_be_judged_counts(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    tell(store, keep(store, SAME), "done", on="2026-04-22")
    assert STEP not in {n.key for n in judged(store, visit("2026-05-10", "{left: 1, right: 1}")).visit.history}


def test_bodywork_that_changed_nothing_stands_behind_the_others_of_its_kind(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    more = "  withers: {both: 1}\n  lower neck: {left: {soreness: 4, felt: [knot]}, right: 1}\n"
    first = visit("2026-04-04", "{left: 6, right: 1}", back="{left: 5, right: 1}", more=more).replace(
        "  lower neck: {both: 1}\n", ""
    )
    saved = keep(store, first)
    same = first.replace("visit: 2026-04-04", "visit: 2026-04-20")
    before = [s.key for s in judged(store, same).plan.steps if s.kind == "bodywork"]
    assert len(set(before)) > 1
    tell(store, saved, "done", step=before[0], side="left")
    answer = judged(store, same)
    after = [s.key for s in answer.plan.steps if s.kind == "bodywork"]
    assert (sorted(after), after[-1]) == (sorted(before), before[0])
    assert first_of(answer.plan, answer.referral) == FirstSteps(answer).first(
        FirstSteps(answer).of(answer.record.result)[0]
    )


def test_every_kind_that_stands_behind_is_a_kind_of_the_plan() -> None:
    book = shipped().book
    assert set(table_of(book).done_before.behind) <= set(book.scales.action_order)
    assert {word.key for word in book.vocabulary.observations[STEP].readings} <= set(book.actions)
