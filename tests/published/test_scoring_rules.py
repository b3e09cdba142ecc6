"""The scoring rules of practice against their definitions, another library and published arithmetic.

In: forecasts. Out: failures.
Not here: what is forecast.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reasoner.teaching.scoring_rules import brier, logarithmic, spread

OUTCOMES = tuple("abcdef")
shares = st.lists(st.floats(0.01, 1.0), min_size=6, max_size=6).map(lambda raw: [r / sum(raw) for r in raw])


def _by_definition(whole: dict[str, float], came: str) -> float:
    """Brier (1950), Monthly Weather Review 78:1-3, formula 2 for one occasion: the sum over r classes of (f - E)^2."""
    return sum((share - (outcome == came)) ** 2 for outcome, share in whole.items())


def test_rain_at_seven_tenths() -> None:
    """With two classes and 0.7 for rain, rain gives 0.3^2 + 0.3^2 = 0.18 and no rain 0.7^2 + 0.7^2 = 0.98 (Brier 1950, by
    hand)."""
    assert brier({"rain": 0.7, "dry": 0.3}, 2, "rain") == pytest.approx(0.18)
    assert brier({"rain": 0.7}, 2, "dry") == pytest.approx(0.98)


def test_the_bounds() -> None:
    assert brier({"a": 1.0}, 6, "a") == 0.0
    assert brier({"a": 1.0}, 6, "b") == 2.0
    assert logarithmic({"a": 1.0}, 6, "a") == 0.0
    assert logarithmic({"a": 1.0}, 6, "b") == math.inf
    assert logarithmic({"a": 0.5, "b": 0.5}, 2, "b") == pytest.approx(
        math.log(2.0)
    )  # Good 1952: one bit, in natural units


@given(shares, st.sampled_from(OUTCOMES), st.integers(0, 5))
def test_what_is_not_named_shares_the_rest(raw: list[float], came: str, named: int) -> None:
    given_to = dict(zip(OUTCOMES[:named], raw, strict=False))
    rest = spread(given_to, len(OUTCOMES))
    whole = {outcome: given_to.get(outcome, rest) for outcome in OUTCOMES}
    assert sum(whole.values()) == pytest.approx(1.0)
    assert brier(given_to, len(OUTCOMES), came) == pytest.approx(_by_definition(whole, came), abs=1e-9)
    assert logarithmic(given_to, len(OUTCOMES), came) == pytest.approx(-math.log(whole[came]))


@given(shares, shares)
def test_nobody_does_better_than_by_saying_what_they_think(think: list[float], say: list[float]) -> None:
    """Properness: the expected score under what one thinks is least where one says it."""
    true, said = dict(zip(OUTCOMES, think, strict=True)), dict(zip(OUTCOMES, say, strict=True))
    for rule in (brier, logarithmic):
        honest = sum(true[o] * rule(true, len(OUTCOMES), o) for o in OUTCOMES)
        other = sum(true[o] * rule(said, len(OUTCOMES), o) for o in OUTCOMES)
        assert honest <= other + 1e-9


@given(shares, st.sampled_from(OUTCOMES))
def test_the_logarithmic_score_of_another_library(raw: list[float], came: str) -> None:
    """scipy's relative entropy of the certain outcome against the forecast is the same number."""
    from scipy.special import rel_entr

    certain = [float(outcome == came) for outcome in OUTCOMES]
    said = dict(zip(OUTCOMES, raw, strict=True))
    assert logarithmic(said, len(OUTCOMES), came) == pytest.approx(float(rel_entr(certain, raw).sum()))
