"""An examination by the clock, beside the best there is.

In: small random rulebases, the shipped one. Out: failures.
Not here: what a single check tells.
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from reasoner.consult import consult
from reasoner.questions.checks import checks_of
from reasoner.questions.minutes import Cost, Worth, cost_of, greedy, planned_for, worth_of
from reasoner.questions.next_check import first_heading
from reasoner.rules_cache import Ready
from tests.questions.small import small_answer

EXAMPLES = Path(__file__).parents[2] / "examples"
MOST_CHECKS = 7


def best(count: int, cost: Cost, worth: Worth, minutes: float) -> float:
    """The exact optimum, every set tried."""
    sets = [some for size in range(count + 1) for some in combinations(range(count), size) if cost(some) <= minutes]
    return max(worth(sets))


def test_greedy_beside_the_exact_optimum() -> None:
    """Never better than the best, which would be an error of counting; and most of it in the mean of 20 small rulebases."""
    shares = []
    for seed in range(40):
        answer = small_answer(seed, filled=20)
        checks = checks_of(answer)[:MOST_CHECKS]
        cost, worth = cost_of(answer, checks), worth_of(answer, checks, seed)
        for minutes in (2.0, 4.0):
            chosen = greedy(len(checks), cost, worth, minutes)
            assert cost(chosen) <= minutes
            most = best(len(checks), cost, worth, minutes)
            got = worth([tuple(chosen)])[0]
            assert got <= most + 1e-9
            if most > 0.0:
                shares.append(got / most)
    assert len(shares) >= 20, "else nothing was compared"
    assert sum(shares) / len(shares) > 0.9, sum(shares) / len(shares)


def test_it_fits_and_is_the_same_for_the_same_seed(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    plan, again = planned_for(answer, 6, seed=4), planned_for(answer, 6, seed=4)
    assert plan == again
    assert 0 < plan.minutes <= 6
    assert 0 < plan.narrows <= plan.of


@pytest.mark.parametrize("minutes", [1, 5, 15])
def test_more_minutes_never_narrow_less_than_none(minutes: float, shipped: Ready) -> None:
    answer = consult(EXAMPLES / "sorrel.yaml", shipped)
    plan = planned_for(answer, minutes)
    early = [step.check.minutes for step in plan.steps if step.check.heading == first_heading(answer)]
    assert early, "the first looks come whatever the clock says"
    assert max(early) <= plan.minutes <= max(minutes, *early), "and take as long as the longest of them"
    later = [step for step in plan.steps if step.check.heading != first_heading(answer)]
    assert (plan.narrows > 0.0) is bool(later), "a look is chosen only for what it narrows"


def test_at_an_emergency_nothing_is_planned(shipped: Ready) -> None:
    plan = planned_for(consult(EXAMPLES / "otter.yaml", shipped), 20)
    assert plan.stop
    assert not plan.steps
