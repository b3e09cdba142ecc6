"""What is seen and not felt is looked for after a step, and limb causes learn from it as others do.

In: horses that push off less or step unevenly, with the owner's answers. Out: the plan, what is kept, outcomes, entries, pages.
Not here: soreness (test_tried.py).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from reasoner.consult import judge
from reasoner.records.before import held_of
from reasoner.records.cases import settings_of, steps_of
from reasoner.records.diary import diary_of
from reasoner.records.track import ACTION, track_of
from reasoner.records.tried import BETTER, COUNT, NO_CHANGE, RELAPSED
from reasoner.rendering.again import again_text
from reasoner.rendering.answer_json import answer_json
from reasoner.rendering.diary_text import awaited_words
from reasoner.rendering.plan_text import plan_text
from reasoner.rendering.progress_text import progress_lines
from reasoner.rendering.text_page import plain_text
from reasoner.store.checking import check
from reasoner.store.opening import Store
from reasoner.store.reading import horses
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.records.horses import HORSE, judged, keep, progress, tell, turned
from tests.store.keeping import fresh

_PUSH = """\
horse: {{name: Juniper, sex: mare, born: 2016, type: middling}}
visit: {day}
yard: Larkhope
examined by: Wren Aldous
before the visit: {{painkillers: {painkillers}, sedation: none}}
settled under the hand: seen
palpation: {{croup: {{both: 1}}, loin: {{both: 1}}}}
in hand: {{trot in hand: even, both reins: seen, hind push off: {push}}}
"""
_STEP = """\
horse: {{name: Juniper, sex: mare, born: 2016, type: middling}}
visit: {day}
yard: Larkhope
examined by: Wren Aldous
before the visit: {{painkillers: none, sedation: none}}
settled under the hand: seen
palpation: {{croup: {{both: 1}}}}
in hand: {{trot in hand: {trot}, both reins: seen}}
uneven steps: {{left hind: {step}}}
"""
CAUSE, FARRIER = "hind_pushes_off_less", "farrier_for_the_hind_feet"


def push(day: str, what: str, painkillers: str = "none") -> str:
    return _PUSH.format(day=day, push=what, painkillers=painkillers)


def step(day: str, what: str) -> str:
    return _STEP.format(day=day, step=what, trot="even" if what == "even" else "uneven")


def shod(store: Store, answer: str = "done") -> None:
    tell(store, keep(store, push("2026-04-04", "left")), answer, step=FARRIER, side="left", on="2026-04-20")


def entries(store: Store, text: str) -> dict[tuple[str, str], str]:
    wanted = (NO_CHANGE, BETTER, RELAPSED, COUNT)
    return {(n.key, n.side or ""): str(n.value) for n in judged(store, text).visit.history if n.key in wanted}


def alone(text: str, cause: str) -> float:
    found = judge(visit_from_bytes(text.encode(), "today.yaml", shipped().book.vocabulary), shipped())
    return found.explanation.concluded[cause, "left"].certainty


def test_the_plan_says_what_is_looked_at_again_and_when() -> None:
    text = push("2026-04-04", "left")
    answer = judge(visit_from_bytes(text.encode(), "today.yaml", shipped().book.vocabulary), shipped())
    (found,) = (s for s in answer_json(answer)["plan"]["steps"] if s["key"] == FARRIER)
    assert found["looks_for"] == [
        {
            "entry": "hind_push_off",
            "name": "weaker hind push-off",
            "side": "left",
            "was": "left",
            "to": ["even"],
            "by_days": 42,
        }
    ]
    page = " ".join(plan_text(answer).split())
    assert "weaker hind push-off, left: even (left today), within 42 days" in page
    assert "by 16 may 2026 (42 days) it is looked at again for" in page.casefold()


def test_nothing_is_looked_for_where_it_is_even_already_or_nobody_looked() -> None:
    for text in (push("2026-04-04", "even"), push("2026-04-04", "left").replace(", hind push off: left", "")):
        answer = judge(visit_from_bytes(text.encode(), "today.yaml", shipped().book.vocabulary), shipped())
        assert all(not one.looks_for for one in answer.plan.steps)


def test_it_is_kept_and_asked_for_again(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    shod(store)
    with store.reading() as connection:
        (horse,) = horses(connection)
        held = held_of(connection, horse)
        (due,) = diary_of(connection, shipped().book)
    said = "left weaker hind push-off: even by 16 May 2026 (left then)"
    assert said in again_text(held, shipped().book)
    words = [awaited_words(one, shipped().book.vocabulary) for one in due.awaited]
    assert "weaker hind push-off, left: even (it was left), by 16 May 2026" in words


@pytest.mark.parametrize(("now", "came", "entry"), [
    ("even", "came_true", {(BETTER, "left"): CAUSE, (COUNT, ""): "0"}),
    ("left", "not", {(NO_CHANGE, "left"): CAUSE, (COUNT, ""): "1"}),
    ("right", "not", {(NO_CHANGE, "left"): CAUSE, (COUNT, ""): "1"}),
])  # fmt: skip
def test_what_came_of_it_is_learnt_from(tmp_path: Path, now: str, came: str, entry: dict[tuple[str, str], str]) -> None:
    store = fresh(tmp_path)
    shod(store)
    later = push("2026-05-20", now)
    assert entries(store, later) == entry
    keep(store, later)
    found = progress(store)
    assert {o.came for o in found.outcomes if o.expected.place == "hind_push_off" and o.plan == 0} == {came}
    page = " ".join(plain_text(progress_lines(found, shipped().book)).split())
    assert f"({now} on 20 May 2026, 4 days after the day set)" in page


def test_a_push_that_stayed_takes_a_little_and_the_account_stands(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    shod(store)
    later = push("2026-05-20", "left")
    found = judged(store, later).explanation.concluded[CAUSE, "left"]
    assert found.certainty < alone(later, CAUSE)
    assert found.band == "fair"
    (rule,) = (item for item in found.opposing if item.name == "its remedy changed nothing")
    assert "weaker hind push-off left left, then left on 2026-05-20" in rule.findings[0].value


@pytest.mark.parametrize("answer", ["not", "stopped"])
def test_a_farrier_who_was_not_there_teaches_nothing(tmp_path: Path, answer: str) -> None:
    store = fresh(tmp_path)
    shod(store, answer)
    assert entries(store, push("2026-05-20", "left")) == {}


def test_a_trot_with_something_for_pain_teaches_nothing(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    shod(store)
    assert entries(store, push("2026-05-20", "left", painkillers="given")) == {}


def test_even_and_less_again_is_worse_again(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    shod(store)
    keep(store, push("2026-05-20", "even"))
    text = push("2026-07-01", "left")
    assert entries(store, text)[RELAPSED, "left"] == CAUSE
    assert judged(store, text).explanation.concluded[CAUSE, "left"].certainty > alone(text, CAUSE)


@pytest.mark.parametrize(("now", "key"), [("even", BETTER), ("slight", NO_CHANGE), ("marked", NO_CHANGE)])
def test_the_veterinarians_visit_is_followed_by_another_look(tmp_path: Path, now: str, key: str) -> None:
    store = fresh(tmp_path)
    saved = keep(store, step("2026-04-04", "slight"))
    tell(store, saved, "done", step="veterinarian_for_the_spared_hind", side="left", on="2026-04-10")
    assert entries(store, step("2026-05-20", now))[key, "left"] == "spares_a_hind_limb"


def test_what_a_veterinarian_saw_and_did_not_change_keeps_the_call(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    saved = keep(store, step("2026-04-04", "slight"))
    tell(store, saved, "done", step="veterinarian_for_the_spared_hind", side="left", on="2026-04-10")
    answer = judged(store, step("2026-05-20", "slight"))
    assert answer.explanation.concluded["spares_a_hind_limb", "left"].band == "fair"
    assert any(c.key == "uneven_behind_slightly" for c in answer.referral.concerns)
    assert any(s.key == "veterinarian_for_the_spared_hind" and s.done_before for s in answer.plan.steps)


def test_three_visits_without_change_ask_a_veterinarian_here_too(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    days = ("2026-01-04", "2026-02-20", "2026-04-06", "2026-05-22")
    for at, day in enumerate(days):
        answer = judged(store, push(day, "left"))
        raised = {concern.key for concern in answer.referral.concerns}
        assert ("no_better_after_agreed_visits" in raised) == (at == 3)
        tell(store, keep(store, push(day, "left")), "done", step=FARRIER, side="left", on=day)


def test_a_mirrored_horse_learns_the_mirrored_thing(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    one, other = fresh(tmp_path / "one"), fresh(tmp_path / "two")
    shod(one)
    tell(other, keep(other, turned(push("2026-04-04", "left"))), "done", step=FARRIER, side="right", on="2026-04-20")
    side = {"left": "right", "right": "left", "": ""}
    here, there = entries(one, push("2026-05-20", "left")), entries(other, turned(push("2026-05-20", "left")))
    assert {(k, side[s]): v for (k, s), v in here.items()} == there


@pytest.mark.parametrize("turn", [str, turned], ids=["left", "right"])
@pytest.mark.parametrize(
    ("now", "came"), [("even", "came true"), ("left", "not"), ("right", "not"), ("", "not examined")]
)
def test_the_track_record_counts_what_is_seen_as_progress_tells_it(
    tmp_path: Path, now: str, came: str, turn: Callable[[str], str]
) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, turn(push("2026-04-04", "left"))), "done", step=FARRIER, side=turn("left"), on="2026-04-20")
    keep(store, turn(push("2026-05-20", now or "even").replace("" if now else ", hind push off: even", "")))
    with store.reading() as connection:
        found = steps_of(connection, shipped().book)
    (one,) = (case for case in found.cases if case.step == FARRIER and case.told)
    assert (one.outcome, one.in_part) == (came, "")
    (looked,) = one.promises
    assert (looked.place, looked.words, looked.to, looked.was_word) == ("hind_push_off", ("even",), None, turn("left"))
    assert looked.days_late == (4 if now else 0)
    track = track_of(found, settings_of(shipped().book.scales))
    (tally,) = (tally for tally in track.views[ACTION] if tally.key == FARRIER)
    assert tally.examined == (1 if now else 0)
    told = {o.came.replace("_", " ") for o in progress(store).outcomes if o.step.key == FARRIER and o.plan == 0}
    assert told == {came}


def test_the_rows_follow_from_the_kept_answer(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    shod(store)
    assert progress(store).horse.name == HORSE
    assert check(store).wrong == ()
