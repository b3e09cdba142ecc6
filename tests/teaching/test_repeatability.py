"""One hand twice over: its own error of reading is found again from visits drawn with a known one, and `firm` reads it.

In: pairs drawn with known deviations, by a hand of the tests and by the engine's own. Out: failures.
Not here: the command (test_agree_command.py).
"""

from __future__ import annotations

import math
import random
import warnings
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from reasoner.consult import load_rulebook
from reasoner.facts.table import column
from reasoner.problems import BadInput
from reasoner.questions.changes import changed
from reasoner.questions.firm import EXAMINER, hand_of
from reasoner.questions.rereading import Rereading
from reasoner.rendering.reading_error_layer import MARK, error_of, layer_text
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.scales import ReadingError
from reasoner.teaching.paired import Pair, paired
from reasoner.teaching.repeatability import components, wavering_of
from reasoner.teaching.statistics import Estimate
from tests.teaching.hands import BOOK, READY, TABLE, example, many, sore

USUAL = BOOK.scales.reading_error


@pytest.mark.parametrize(("shared", "noise"), [(0.5, 0.7), (0.0, 0.5), (0.9, 0.4)])
def test_a_known_error_is_found_again(shared: float, noise: float) -> None:
    """Away from the ends of the scale, from 80 pairs: the noise to a twentieth, what a visit shares to a fifth
    (some two and a half standard errors of it: 1 / sqrt(2 * 79) each)."""
    told = wavering_of(many(80, 1, shared, noise), TABLE, 1)
    assert told.noise is not None
    assert told.shared is not None
    # Grades fall on half points: that adds a twelfth of a step squared to the variance (Sheppard).
    assert told.noise.value == pytest.approx(math.sqrt(noise**2 + 0.5**2 / 12), rel=0.05)
    assert told.shared.value == pytest.approx(shared, abs=0.2 * shared or 0.12)
    assert told.shared.low is not None
    assert told.shared.high is not None
    assert told.shared.low <= told.shared.value <= told.shared.high


def engine_pairs(error: ReadingError, seed: int, *, everywhere: bool) -> list[Pair]:
    """Pairs read again by the reasoner's own wavering hand, on horses sore all over or as the examples are."""
    rnd, pairs = random.Random(seed), []
    for n, name in enumerate(("juno", "bramble", "rook", "tansy", "hazel", "clover")):
        visit = sore(example(name), rnd) if everywhere else example(name)
        rereading = Rereading(visit, BOOK, READY.program.meta["words"], error)
        rows = rereading.rows(np.full(len(READY.lean.slots), np.nan), READY.lean.slots, seed * 10 + n, 0, 2)
        one, two = (changed(visit, rows.change(k)) for k in (0, 1))
        pairs.append(paired(one, replace(two, file="again.yaml"), BOOK.vocabulary))
    return pairs


def test_the_engines_own_hand_is_found_again() -> None:
    error = ReadingError(shared=0.5, noise=0.7, basis="own setting")
    told = [wavering_of(engine_pairs(error, seed, everywhere=True), TABLE, 1) for seed in (1, 2, 3)]
    noises = [found.noise.value for found in told if found.noise is not None]
    assert len(noises) == 3
    assert np.mean(noises) == pytest.approx(math.sqrt(0.7**2 + 0.5**2 / 12), rel=0.06)


def test_on_quiet_horses_it_is_somewhat_too_small_and_no_more() -> None:
    """Most places near 0: what the scale hides there is left out, what is left errs by up to a seventh, as the module says."""
    error = ReadingError(shared=0.5, noise=0.7, basis="own setting")
    told = [wavering_of(engine_pairs(error, seed, everywhere=False), TABLE, 1) for seed in (1, 2, 3)]
    mean = np.mean([found.noise.value for found in told if found.noise is not None])
    assert 0.7 * 6 / 7 <= mean <= 0.75
    assert all(found.left_out > found.readings for found in told)


def test_mean_squares_are_restricted_likelihood_where_groups_are_even() -> None:
    """statsmodels' mixed model (REML) on even groups: the second reference for variance components."""
    import pandas
    import statsmodels.formula.api as formulas

    rng = np.random.default_rng(4)
    groups = [rng.normal(0, 0.8) + rng.normal(0, 0.6, 20) for _ in range(15)]
    within, between = components(groups)
    frame = pandas.DataFrame({"d": np.concatenate(groups), "g": np.repeat(np.arange(15), 20)})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = formulas.mixedlm("d ~ 1", frame, groups=frame["g"]).fit(reml=True)
    assert within == pytest.approx(float(fit.scale), rel=1e-3)
    assert between == pytest.approx(float(fit.cov_re.iloc[0, 0]), rel=5e-3)


def test_a_worked_example_of_one_way_analysis() -> None:
    """Two groups of three worked by hand: {1, 2, 3} and {5, 6, 7}: mean squares within 1 and between 24, so that the variance
    between groups is (24 - 1) / 3."""
    within, between = components([np.array([1.0, 2, 3]), np.array([5.0, 6, 7])])
    assert within == pytest.approx(1.0)
    assert between == pytest.approx(23 / 3)


def test_too_little_is_said_and_nothing_is_written() -> None:
    few = wavering_of(many(1, 2)[:1], TABLE, 1)
    assert few.shared is None
    assert few.noise is not None
    assert error_of(few, USUAL, TABLE, "x.yaml").shared == (USUAL.shared if USUAL else None)
    nothing = replace(few, noise=None, readings=12)
    with pytest.raises(BadInput) as bad:
        error_of(nothing, USUAL, TABLE, "x.yaml")
    assert bad.value.problems[0].code == "TE08"
    assert "12 places graded twice" in bad.value.problems[0].sentence


def test_the_layer_is_read_by_firm_and_keeps_the_others(tmp_path: Path) -> None:
    told = wavering_of(many(8, 3), TABLE, 1)
    first = layer_text(
        replace(told, examiner='Odd "Name": {x}'), ReadingError(shared=0.1, noise=0.2, basis="own setting"), None, "f"
    )
    text = layer_text(replace(told, examiner="Wren Aldous"), error_of(told, USUAL, TABLE, "f"), first.encode(), "f")
    again = layer_text(replace(told, examiner="wren aldous"), error_of(told, USUAL, TABLE, "f"), text.encode(), "f")
    assert again == text
    assert text.startswith(MARK)
    (tmp_path / "scales").mkdir()
    (tmp_path / "scales" / "reading_error.yaml").write_text(text)
    book = load_rulebook([shipped_rules(), tmp_path]).book
    assert len(book.scales.examiners) == 2
    assert book.scales.reading_error == USUAL
    hand = hand_of(example("juno"), book.scales)
    assert hand.whose == EXAMINER
    assert told.noise is not None
    assert hand.error.noise == round(told.noise.value, 2)
    with pytest.raises(BadInput) as bad:
        layer_text(told, hand.error, b"examiners: {}\n", "f")
    assert bad.value.problems[0].code == "TE09"


def test_the_shared_interval_is_seeded() -> None:
    pairs = many(8, 3)
    one, same, other = (wavering_of(pairs, TABLE, seed).shared for seed in (1, 1, 2))
    assert isinstance(one, Estimate)
    assert one == same != other


def test_the_column_of_the_engine_is_untouched_by_the_tests_own_base() -> None:
    """`engine_pairs` gives the re-reading an empty column; the scores it draws do not depend on it."""
    visit, error = example("juno"), ReadingError(shared=0.5, noise=0.7, basis="own setting")
    rereading = Rereading(visit, BOOK, READY.program.meta["words"], error)
    from reasoner.consult import judge

    base = column(READY.lean.slots, judge(visit, READY).facts)[:, 0]
    here = rereading.rows(base, READY.lean.slots, 1, 0, 2).scores
    there = rereading.rows(np.full(len(READY.lean.slots), np.nan), READY.lean.slots, 1, 0, 2).scores
    assert here.tolist() == there.tolist()
