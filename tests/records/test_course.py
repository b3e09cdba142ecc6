"""The course of a place over visits, and what counts as a change.

In: visits of two and five days. Out: changes beyond the hand's own error, and none within it.
Not here: plans and causes.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from reasoner.records.course import Comparing, error_of_difference
from reasoner.rulebook.scales import ReadingError
from reasoner.visit.model import Visit, mirrored
from tests.asking import shipped, visit_of
from tests.records.horses import changes, kept_course, visit
from tests.store.keeping import fresh

LEFT, RIGHT = ("girth_line", "left"), ("girth_line", "right")
BACK = ("long_back", "left")
RULES = Path(__file__).resolve().parents[2] / "rules"


def compared(*texts: str) -> Comparing:
    return Comparing([visit_of(text) for text in texts], shipped().book)


def test_the_error_is_that_of_a_difference_of_two_visits() -> None:
    """sqrt(2 * (shared^2 + noise^2)): worked out by hand from the figures in the rules."""
    given_error = yaml.safe_load((RULES / "scales" / "reading_error.yaml").read_text())["reading_error"]
    by_hand = (2 * (given_error["shared"] ** 2 + given_error["noise"] ** 2)) ** 0.5
    found = compared(visit("2026-04-04", "{left: 5, right: 1}"), visit("2026-04-18", "{left: 5, right: 1}")).error(0, 1)
    assert found == pytest.approx(by_hand)
    assert error_of_difference(0.3, 0.4, 0.6, 0.8) == pytest.approx((0.25 + 1.0) ** 0.5)


@pytest.mark.parametrize(("now", "change"), [("3", "within_the_hand"), ("2.5", "better"), ("7", "within_the_hand"),
                                             ("7.5", "worse"), ("would not allow touch", "refused"),
                                             ("not examined - no time", "not_examined")])  # fmt: skip
def test_a_change_is_more_than_the_hand_s_own_error(now: str, change: str) -> None:
    """1.96 times 1.22 is 2.38 points: two points are none, two and a half are one."""
    comparing = compared(visit("2026-04-04", "{left: 5, right: 1}"), visit("2026-04-18", f"{{left: {now}, right: 1}}"))
    assert comparing.of(LEFT, 0, 1).change == change
    assert comparing.of(RIGHT, 0, 1).change == "within_the_hand"


def test_a_steadier_hand_sees_smaller_changes() -> None:
    comparing = compared(visit("2026-04-04", "{left: 5, right: 1}"), visit("2026-04-18", "{left: 3, right: 1}"))
    assert comparing.of(LEFT, 0, 1).change == "within_the_hand"
    comparing.hands = (ReadingError(shared=0.3, noise=0.4, basis="own setting"),) * 2
    assert comparing.of(LEFT, 0, 1).change == "better"
    comparing.hands = (None, None)
    assert comparing.of(LEFT, 0, 1).change == "not_measured"


def test_a_refusal_is_a_mark_of_its_own() -> None:
    comparing = compared(
        visit("2026-04-04", "{left: would not allow touch, right: 1}"), visit("2026-04-18", "{left: 3, right: 1}")
    )
    assert comparing.of(LEFT, 0, 1).change == "freed"
    assert comparing.of(LEFT, 0, 1).by is None


def test_settled_readings_are_laid_beside_settled_ones_and_work_stays_apart() -> None:
    comparing = compared(
        visit(
            "2026-04-04", "{left: 4, right: 1}", back="{left: {soreness: 7, once settled: 2, after work: 8}, right: 1}"
        ),
        visit("2026-04-18", "{left: 4, right: 1}", back="{left: 2, right: 1}"),
    )
    course = comparing.course_of[BACK]
    assert [seen and seen.score for seen in course.seen] == [2.0, 2.0]
    assert course.after_work == (8.0, None)
    assert comparing.of(BACK, 0, 1).change == "within_the_hand"


def test_a_place_felt_only_after_work_is_a_gap() -> None:
    comparing = compared(
        visit("2026-04-04", "{left: 4, right: 1}", back="{left: {after work: 8}, right: 1}"),
        visit("2026-04-18", "{left: 4, right: 1}", back="{left: 2, right: 1}"),
    )
    assert comparing.of(BACK, 0, 1).change == "not_examined"


@pytest.mark.parametrize(("more", "said"), [({"painkillers": "given"}, "something had been given for pain"),
                                            ({"settled": "not seen"}, "it had not settled under the hand")])  # fmt: skip
def test_unlike_visits_are_told(more: dict[str, str], said: str) -> None:
    comparing = compared(visit("2026-04-04", "{left: 5, right: 1}"), visit("2026-04-18", "{left: 1, right: 1}", **more))
    assert comparing.of(LEFT, 0, 1).unlike == (f"{said} on 2026-04-18",)


def test_two_hands_are_told() -> None:
    comparing = compared(
        visit("2026-04-04", "{left: 5, right: 1}"), visit("2026-04-18", "{left: 1, right: 1}", hands="Tam Orrin")
    )
    assert comparing.two_hands(0, 1) == ("Wren Aldous", "Tam Orrin")
    assert comparing.two_hands(0, 0) is None


def test_small_steps_add_up(tmp_path: Path) -> None:
    """No step of five visits is more than the hand's own error; the whole way is."""
    days = ("2026-04-04", "2026-04-20", "2026-05-06", "2026-05-25", "2026-06-20")
    texts = [visit(day, f"{{left: {score}, right: 1}}") for day, score in zip(days, (6, 5, 4, 3, 2), strict=True)]
    found = kept_course(fresh(tmp_path), texts)
    assert changes(found)[LEFT] == "within_the_hand"
    (site,) = (site for site in found.sites if (site.course.place, site.course.side) == LEFT)
    assert site.since_first is not None
    assert (site.since_first.change, site.since_first.by) == ("better", -4.0)


scores = st.integers(0, 20).map(lambda half: half / 2)


@given(st.lists(st.tuples(scores, scores), min_size=2, max_size=5))
def test_a_mirrored_horse_has_a_mirrored_course(both: list[tuple[float, float]]) -> None:
    visits = [visit_of(visit(f"2026-04-{day:02}", f"{{left: {left}, right: {right}}}")) for day, (left, right) in
              enumerate(both, 1)]  # fmt: skip
    one, other = Comparing(visits, shipped().book), Comparing([mirrored(v) for v in visits], shipped().book)
    last = len(visits) - 1
    for here, there in ((LEFT, RIGHT), (RIGHT, LEFT)):
        assert one.of(here, 0, last).change == other.of(there, 0, last).change
        assert one.of(here, 0, last).by == other.of(there, 0, last).by


@given(st.lists(scores, min_size=2, max_size=6))
def test_nothing_is_called_a_change_within_the_error(found: list[float]) -> None:
    comparing = compared(*(visit(f"2026-04-{d:02}", f"{{left: {s}, right: 1}}") for d, s in enumerate(found, 1)))
    limit = comparing.table.better_or_worse.beyond * (comparing.error(0, 1) or 0.0)
    for at in range(1, len(found)):
        change = comparing.of(LEFT, at - 1, at).change
        assert (change == "within_the_hand") == (abs(found[at] - found[at - 1]) <= limit)


def test_a_wavering_hand_is_not_called_progress() -> None:
    """An unchanged horse, graded twice by a hand that wavers as the rules say: hardly more than one place in twenty is called
    changed (the half steps of the scale add a little), and without the margin it would be one in three."""
    error = shipped().book.scales.reading_error
    assert error is not None
    source = np.random.default_rng(7)
    places = [key for key, place in shipped().book.vocabulary.places.items() if place.sides == "each"][:6]
    called = beyond_one = count = 0
    for _ in range(400):  # what a visit shares moves all its places together, so many visits and few places
        texts = []
        for day in ("2026-04-04", "2026-04-18"):
            shared = source.normal(0, error.shared)
            lines = [f"  {shipped().book.vocabulary.places[key].name}: {{left: {one:g}, right: {other:g}}}" for key in places
                     for one, other in [np.rint((5 + shared + source.normal(0, error.noise, 2)) * 2) / 2]]  # fmt: skip
            texts.append(f"visit: {day}\nexamined by: Wren Aldous\npalpation:\n" + "\n".join(lines))
        comparing = compared(*texts)
        for course in comparing.courses:
            pair = comparing.of((course.place, course.side), 0, 1)
            assert pair.by is not None
            assert pair.error is not None
            count += 1
            called += pair.change != "within_the_hand"
            beyond_one += abs(pair.by) > pair.error
    assert called / count < 0.1
    assert beyond_one / count > 0.25


def test_without_visits_nothing_is_said() -> None:
    assert Comparing([Visit(file="", day=visit_of("notes: x").day)], shipped().book).courses == ()
