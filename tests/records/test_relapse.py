"""Better after its remedy, and worse again: an entry of its own, told in words, and a reason to ask a veterinarian when it
repeats.

In: horses of three and more visits with the owner's answers. Out: entries, certainties, the plan, the page.
Not here: what changed nothing (test_tried.py).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from reasoner.consult import Answer, judge
from reasoner.records.relapse import RELAPSES
from reasoner.records.tried import BETTER, RELAPSED
from reasoner.rendering.progress_text import progress_lines
from reasoner.rendering.text_page import plain_text
from reasoner.store.opening import Store
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.records.horses import judged, keep, progress, tell, turned, visit
from tests.store.keeping import fresh

KEY, STEP = "girth_presses", "girth_back_in_its_groove"
FIRST = visit("2026-04-04", "{left: 6, right: 1}")


def helped(store: Store, *, now: float = 2, day: str = "2026-04-20") -> None:
    """A first visit whose remedy was done, and a second that found the place better."""
    tell(store, keep(store, FIRST), "done")
    keep(store, visit(day, f"{{left: {now}, right: 1}}"))


def said(answer: Answer) -> dict[tuple[str, str], str]:
    return {(n.key, n.side or ""): str(n.value) for n in answer.visit.history if n.key in (BETTER, RELAPSED, RELAPSES)}


def test_worse_again_beyond_the_hand_is_said_with_its_trace(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    helped(store)
    answer = judged(store, visit("2026-06-01", "{left: 6, right: 1}"))
    assert said(answer) == {(RELAPSED, "left"): KEY, (RELAPSES, ""): "1"}
    (rule,) = (
        i for i in answer.explanation.concluded[KEY, "left"].supporting if i.name == "worse again and it is there again"
    )
    written = " ".join(finding.value for finding in rule.findings)
    for part in (
        "girth line left 6, then 2 on 2026-04-20",
        "worse again: girth line left 2, then 6 on 2026-06-01",
        "told by the owner",
    ):
        assert part in written
    assert "ask_what_brought_it_back" in {step.key for step in answer.plan.steps}


@pytest.mark.parametrize(("now", "again"), [(2, False), (3, False), (4, False), (4.5, True), (6, True)])
def test_only_beyond_the_hands_own_error(tmp_path: Path, now: float, again: bool) -> None:
    """2 points and then 4 differ by less than 1.96 times 1.22 points; 4.5 by more."""
    store = fresh(tmp_path)
    helped(store)
    answer = judged(store, visit("2026-06-01", f"{{left: {now}, right: 1}}"))
    assert ((RELAPSED, "left") in said(answer), (BETTER, "left") in said(answer)) == (again, not again)


def test_down_by_steps_and_up_at_once_is_worse_again_too(tmp_path: Path) -> None:
    """3 when it was judged, 0 at the next visit, 3 again: no more than when judged, and more than the hand since the last
    visit."""
    store = fresh(tmp_path)
    helped(store, now=3)
    keep(store, visit("2026-05-04", "{left: 0, right: 1}"))
    assert (RELAPSED, "left") in said(judged(store, visit("2026-06-01", "{left: 3, right: 1}")))


def test_better_again_since_is_no_longer_worse_again(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    helped(store)
    keep(store, visit("2026-05-04", "{left: 6, right: 1}"))
    assert said(judged(store, visit("2026-06-01", "{left: 2, right: 1}"))) == {
        (BETTER, "left"): KEY,
        (RELAPSES, ""): "1",
    }


def test_nothing_is_said_of_a_visit_unlike_the_others(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    helped(store)
    text = visit("2026-06-01", "{left: 6, right: 1}", settled="not seen")
    assert said(judged(store, text)) == {(BETTER, "left"): KEY, (RELAPSES, ""): "0"}


def test_back_without_the_cause_speaks_against_it(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    helped(store)
    text = visit("2026-06-01", "{left: 6, right: 1}").replace(
        "girth sits: against the elbow, girth tightness: very tight",
        "girth sits: in its groove, girth tightness: flat hand passes",
    )
    answer = judged(store, text)
    alone = judge(visit_from_bytes(text.encode(), "today.yaml", shipped().book.vocabulary), shipped())
    assert (RELAPSED, "left") in said(answer)
    assert answer.explanation.concluded[KEY, "left"].certainty < alone.explanation.concluded[KEY, "left"].certainty


def test_the_second_time_asks_a_veterinarian(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done")
    keep(store, visit("2026-04-20", "{left: 2, right: 1}"))
    third = visit("2026-05-20", "{left: 6, right: 1}")
    assert "worse_again_after_help" not in {c.key for c in judged(store, third).referral.concerns}
    tell(store, keep(store, third), "done", on="2026-05-21")
    keep(store, visit("2026-06-05", "{left: 2, right: 1}"))
    fifth = visit("2026-07-05", "{left: 6, right: 1}")
    answer = judged(store, fifth)
    assert said(answer)[RELAPSES, ""] == "2"
    (concern,) = (c for c in answer.referral.concerns if c.key == "worse_again_after_help")
    assert "worse again on 2026-05-20" in concern.findings[0].value
    assert "worse again on 2026-07-05" in concern.findings[0].value
    assert concern.call == "routine"


def test_one_time_ends_before_the_next_begins(tmp_path: Path) -> None:
    """Two remedies of one plan that brought the place down are one time, and so is a plan made before it was worse again."""
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    tell(store, saved, "done")
    tell(store, keep(store, visit("2026-04-10", "{left: 5.5, right: 1}")), "done", on="2026-04-11")
    keep(store, visit("2026-04-25", "{left: 2, right: 1}"))
    assert said(judged(store, visit("2026-05-20", "{left: 6, right: 1}")))[RELAPSES, ""] == "1"


def test_after_a_year_it_is_no_longer_counted(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    helped(store)
    keep(store, visit("2026-05-20", "{left: 6, right: 1}"))
    assert said(judged(store, visit("2027-05-19", "{left: 6, right: 1}")))[RELAPSES, ""] == "1"
    assert said(judged(store, visit("2027-05-22", "{left: 6, right: 1}")))[RELAPSES, ""] == "0"


def test_a_mirrored_horse_has_mirrored_relapses(tmp_path: Path) -> None:
    stores = []
    for name, turn in (("one", str), ("two", turned)):
        (tmp_path / name).mkdir()
        store = fresh(tmp_path / name)
        tell(store, keep(store, turn(FIRST)), "done")
        keep(store, turn(visit("2026-04-20", "{left: 2, right: 1}")))
        stores.append(judged(store, turn(visit("2026-06-01", "{left: 6, right: 1}"))))
    side = {"left": "right", "right": "left", "": ""}
    assert {(k, side[s]): v for (k, s), v in said(stores[0]).items()} == said(stores[1])


def test_progress_asks_and_blames_nobody(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    helped(store)
    keep(store, visit("2026-06-01", "{left: 6, right: 1}"))
    page = " ".join(plain_text(progress_lines(progress(store), shipped().book)).split())
    assert (
        "better after its remedy, and worse again. Is what helped still carried out? Has the fit changed again?" in page
    )
    assert "Times the same place was better after a remedy and worse again: 1, girth line left" in page


def test_what_was_told_as_stopped_teaches_nothing(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "stopped")
    keep(store, visit("2026-04-20", "{left: 2, right: 1}"))
    assert said(judged(store, visit("2026-06-01", "{left: 6, right: 1}"))) == {}


def test_written_by_hand_it_counts_alike() -> None:
    text = FIRST.replace(
        "sedation: none", "sedation: none, times worse again: 2, worse again after: {left: girth presses}"
    )
    answer = judge(visit_from_bytes(text.encode(), "today.yaml", shipped().book.vocabulary), shipped())
    assert "worse_again_after_help" in {c.key for c in answer.referral.concerns}
    bare = judge(replace(answer.visit, noted=tuple(n for n in answer.visit.noted if n.key != RELAPSED)), shipped())
    assert answer.explanation.concluded[KEY, "left"].certainty > bare.explanation.concluded[KEY, "left"].certainty
