"""The generator's cases found again by the reasoner, for every cause, both sides, each difficulty; floors as they were measured.

In: the shipped rulebook, fixed seeds. Out: failures; the shares printed.
Not here: the table for people: `reasoner practise --recovered N`.

Floors stand some way below what was measured with other seeds (25 cases of each kind, seeds 100 to 124), so that a change of
a rule may cost a little and a break is seen. Causes that are not found are named here and not hidden."""

from __future__ import annotations

from collections import defaultdict
from functools import cache

import pytest

from reasoner.consult import judge, load_rulebook
from reasoner.teaching.making import Maker
from reasoner.teaching.recovery import Recovered, recovered, starting_points

COUNT, SEED = 6, 40
#: By difficulty: the least share of all cases that are found.
FLOORS = {"plain": 0.85, "usual": 0.72, "hard": 0.5}
#: Links lead to these from a limb that is spared, so that the account often, or always, begins there instead. The least
#: share found over all difficulties (measured: 9 and 56 of 100; six cases of one kind are too few for it), and the least
#: share found or led to where the case is clearest (measured: 100 and 100). The first is never a starting point of its own
#: in the clearest cases.
LED_TO = {"saddle_follows_the_hind_limb": (0.0, 0.8), "hind_pushes_off_less": (0.3, 0.8)}
ONE_CAUSE = 0.5


@cache
def _rows() -> tuple[Recovered, ...]:
    return tuple(recovered(load_rulebook(), COUNT, SEED))


def test_every_cause_side_and_difficulty_is_tried() -> None:
    maker = Maker(load_rulebook().book)
    kinds = {(row.cause, row.side, row.difficulty) for row in _rows()}
    assert len(kinds) == len(_rows())
    for cause in maker.causes:
        sides = {side for key, side, _ in kinds if key == cause}
        assert sides == ({"left", "right"} if load_rulebook().book.conclusions[cause].sides == "each" else {""})


@pytest.mark.parametrize("difficulty", list(FLOORS))
def test_cases_are_found_again(difficulty: str) -> None:
    rows = [row for row in _rows() if row.difficulty == difficulty]
    found, cases = sum(row.found for row in rows), sum(row.cases for row in rows)
    print(f"{difficulty}: {found / cases:.0%} of {cases}")
    assert found / cases >= FLOORS[difficulty]


def test_each_cause_is_found_where_the_case_is_clearest() -> None:
    for row in _rows():
        if row.difficulty != "plain":
            continue
        if row.cause in LED_TO:
            alone, with_what_leads_there = LED_TO[row.cause]
            every = [one for one in _rows() if one.cause == row.cause]
            assert sum(one.found for one in every) / sum(one.cases for one in every) >= alone, every
            assert (row.found + row.led) / row.cases >= with_what_leads_there, row
        else:
            assert row.found / row.cases >= ONE_CAUSE, row


def test_harder_cases_are_found_less_often() -> None:
    shares: dict[str, list[float]] = defaultdict(list)
    for row in _rows():
        shares[row.difficulty].append(row.found / row.cases)
    means = [sum(shares[d]) / len(shares[d]) for d in FLOORS]
    assert means == sorted(means, reverse=True)
    assert means[0] > means[-1]


def test_left_and_right_are_found_alike() -> None:
    """The same seeds make mirrored cases, so the numbers are the same."""
    by_kind = {(row.cause, row.side, row.difficulty): row for row in _rows()}
    for (cause, side, difficulty), row in by_kind.items():
        if side == "left":
            other = by_kind[cause, "right", difficulty]
            assert (row.found, row.first, row.calls, row.led) == (other.found, other.first, other.calls, other.led)


def test_a_horse_on_which_nothing_shows_is_not_given_a_cause() -> None:
    """What recovery measures against: the cause is not found in cases of other causes, but in few."""
    ready = load_rulebook()
    maker = Maker(ready.book)
    pairs = [
        ("girth_presses", "saddle_too_long"),
        ("mouth_and_teeth", "panels_uneven"),
        ("feet_overdue", "rider_trunk_leans"),
    ]
    wrong = total = 0
    for one, other in pairs:
        for made, asked in ((one, other), (other, one)):
            for seed in range(4):
                starts = starting_points(judge(maker.case(made, maker.sides(made)[0], "plain", seed).visit, ready))
                total += 1
                wrong += asked in {key for key, _ in starts}
    assert wrong / total <= 0.25
