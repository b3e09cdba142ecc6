"""A hand on a floor scale: figures beside a worked example and second libraries, laws, logs, the caution beside the figure.

In: pushes. Out: failures.
Not here: the command's faults (test_press_command.py).
"""

from __future__ import annotations

import math
from typing import cast

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from scipy import stats

from reasoner.problems import BadInput
from reasoner.rendering.book_links import Links
from reasoner.rendering.book_measures import measures
from reasoner.rendering.press_json import press_json
from reasoner.rendering.press_picture import press_picture
from reasoner.rendering.press_text import press_lines
from reasoner.rendering.text_page import plain_text
from reasoner.rulebook.measures.press import PressTable
from reasoner.teaching.press import Hand, Push, practice_of, series_of
from reasoner.teaching.press_log import as_csv, from_csv, typed, unit_of
from tests.teaching.hands import BOOK

TABLE = cast(PressTable, BOOK.measures["press"])
series = some.lists(some.integers(10, 800), min_size=8, max_size=30).map(lambda x: [v / 10 for v in x])


def pushes(hand: Hand, kg: list[float]) -> list[Push]:
    return [Push(kg=one, hand=hand) for one in kg]


def test_a_line_of_anscombe() -> None:
    """A slope known exactly, y = 3 + 0.5 n, leaves no error. Anscombe 1973, American Statistician 27:17-21, data set I in the
    order of x = 4 to 14: slope 0.500, its standard error 0.118, mean 7.50, standard deviation 2.03."""
    exact = series_of([3 + 0.5 * n for n in range(8)], 5, TABLE)
    assert exact.drift_kg is not None
    assert exact.drift_kg.value == pytest.approx(0.5)
    assert exact.drift_kg.low == pytest.approx(0.5)
    anscombe = [4.26, 5.68, 7.24, 4.82, 6.95, 8.81, 8.04, 8.33, 10.84, 7.58, 9.96]
    found = series_of(anscombe, 7, TABLE)
    assert found.drift_kg is not None
    assert found.drift_kg.high is not None
    assert found.deviation_kg is not None
    assert found.drift_kg.value == pytest.approx(0.500, abs=5e-4)
    assert (found.drift_kg.high - found.drift_kg.value) / stats.t.ppf(0.975, 9) == pytest.approx(0.118, abs=5e-4)
    assert found.mean_kg.value == pytest.approx(7.50, abs=5e-3)
    assert found.deviation_kg.value == pytest.approx(2.03, abs=5e-3)


@given(series)
@settings(max_examples=50, deadline=None)
def test_the_slope_is_that_of_statsmodels(kg: list[float]) -> None:
    """Ordinary least squares of statsmodels, and its interval, as the second road to drift and mean."""
    import statsmodels.api as models

    found = series_of(kg, 20, TABLE)
    assert found.drift_kg is not None
    fit = models.OLS(np.asarray(kg), models.add_constant(np.arange(len(kg), dtype=float))).fit()
    assert found.drift_kg.value == pytest.approx(float(fit.params[1]), abs=1e-9)
    low, high = fit.conf_int(0.05)[1]
    assert found.drift_kg.low == pytest.approx(float(low), abs=1e-7)
    assert found.drift_kg.high == pytest.approx(float(high), abs=1e-7)
    alone = models.OLS(np.asarray(kg), np.ones(len(kg))).fit()
    assert found.mean_kg.low == pytest.approx(float(alone.conf_int(0.05)[0][0]), abs=1e-7)


@given(series, some.integers(2, 5))
@settings(max_examples=40, deadline=None)
def test_laws_of_a_series(kg: list[float], times: int) -> None:
    here = series_of(kg, 20, TABLE)
    back = series_of(kg[::-1], 20, TABLE)
    larger = series_of([one * times for one in kg], 20 * times, TABLE)
    assert here.drift_kg is not None
    assert back.drift_kg is not None
    assert here.deviation_kg is not None
    assert larger.deviation_kg is not None
    assert back.drift_kg.value == pytest.approx(-here.drift_kg.value, abs=1e-9)
    assert back.deviation_kg == here.deviation_kg or back.deviation_kg is not None
    assert larger.deviation_kg.value == pytest.approx(times * here.deviation_kg.value, abs=1e-9)
    assert larger.variation_percent == pytest.approx(here.variation_percent, abs=1e-9)
    assert larger.off_kg.value == pytest.approx(times * here.off_kg.value, abs=1e-9)


def test_a_slow_drift_is_not_unsteadiness_from_push_to_push() -> None:
    drifting = series_of([10 + n for n in range(12)], 15, TABLE)
    assert drifting.steps_kg == pytest.approx(1 / math.sqrt(2))
    assert drifting.deviation_kg is not None
    assert drifting.deviation_kg.value > 3


def test_left_and_right_are_welchs() -> None:
    """Exchanged hands give the negative, with the interval of scipy's Welch test; too few of one hand give nothing."""
    left, right = [20.0, 21, 19, 22, 20], [24.0, 23, 25, 27, 22, 24]
    here = practice_of(pushes("left", left) + pushes("right", right), 20, TABLE).apart_kg
    there = practice_of(pushes("left", right) + pushes("right", left), 20, TABLE).apart_kg
    assert here is not None
    assert there is not None
    assert here.value == pytest.approx(np.mean(right) - np.mean(left))
    assert (there.value, there.low, there.high) == pytest.approx((-here.value, -(here.high or 0), -(here.low or 0)))
    n, m, v, w = 6, 5, np.var(right, ddof=1), np.var(left, ddof=1)
    free = (v / n + w / m) ** 2 / ((v / n) ** 2 / (n - 1) + (w / m) ** 2 / (m - 1))  # Welch 1947
    assert here.high == pytest.approx(here.value + stats.t.ppf(0.975, free) * math.sqrt(v / n + w / m))
    assert practice_of(pushes("left", left[:4]) + pushes("right", right), 20, TABLE).apart_kg is None


def test_too_few_are_not_spread() -> None:
    few = series_of([20, 21, 22, 20], 20, TABLE)
    assert (few.deviation_kg, few.drift_kg, few.steps_kg, few.mean_kg.low) == (None, None, None, None)
    assert series_of([20, 21, 22, 20, 21], 20, TABLE).drift_kg is None


def test_the_figure_of_the_trade_stands_beside_its_caution_everywhere() -> None:
    practice = practice_of(pushes("both", [90.0, 95, 100, 99, 98]), 95, TABLE)
    caution, figure = TABLE.floor_scale.caution, f"{TABLE.floor_scale.about_kg:g} kg"
    page = " ".join(plain_text(press_lines(practice, BOOK, TABLE)).split())
    assert figure in page
    assert figure in TABLE.floor_scale.says
    handbook = [
        row.text
        for entry in measures(BOOK, Links(BOOK))
        if entry["file"] == "rules/measures/press.yaml"
        for row in entry["rows"]
    ]
    at = next(n for n, text in enumerate(handbook) if figure in text)
    assert caution in handbook[at : at + 3]
    assert f"{figure} on a floor scale. {caution} (common practice)" in page
    said = press_json(practice, BOOK, TABLE)["floor_scale"]
    assert (said["about_kg"], said["caution"], said["basis"]) == (100.0, caution, "common practice")
    for word in ("never a target on a horse", "never on the spine", "edge of the loin", "light fingertip touch"):
        assert word in caution
    svg = press_picture(practice, " ".join(TABLE.cautions.lines[:2]))
    assert figure not in svg
    assert "Never press to a weight on a horse" in " ".join(svg.replace("</text>", " ").split())
    assert "100 kg" not in " ".join(TABLE.cautions.lines)


def test_readings_stand_in_the_unit_of_the_aim() -> None:
    """Who aims at pounds reads pounds off the scale."""
    aim = "44 lb"
    assert unit_of(aim) == "lb"
    pounds = typed("left", "44 45 20 kg", "--left", "", unit_of(aim))
    assert [p.kg for p in pounds] == pytest.approx([19.958, 20.412, 20.0], abs=1e-3)


def test_a_comma_inside_a_number_is_asked_about() -> None:
    """19,5 is one reading in half of Europe, and the page takes it for one: it is never read as 19 and 5."""
    with pytest.raises(BadInput) as bad:
        typed("left", "19,5 20 21", "--left")
    problem = bad.value.problems[0]
    assert (problem.file, problem.code) == ("--left", "TE10")
    assert "19.5 or two readings" in problem.sentence


def test_a_sheet_that_parts_its_columns_otherwise_may_write_commas_in_numbers() -> None:
    for parts in (";", "\t"):
        table = "day;hand;kg\n2026-05-06;left;19,5\n;right;20,25 kg\n".replace(";", parts)
        assert [(p.session, p.hand, p.kg) for p in from_csv(table.encode(), "log.csv")] == [
            ("2026-05-06", "left", 19.5),
            ("", "right", 20.25),
        ]
    with pytest.raises(BadInput):
        from_csv(b'hand,kg\nleft,"19,5"\n', "log.csv")


def test_typed_and_from_a_table() -> None:
    assert [p.kg for p in typed("left", "19.5, 20;21 kg 44lb", "--left")] == pytest.approx(
        [19.5, 20, 21, 19.958], abs=1e-3
    )
    table = from_csv(b"\xef\xbb\xbfday;hand;kg\n2026-05-06;left;19.5\n\n;right hand;20 kg\n;;30\n", "log.csv")
    assert [(p.kg, p.hand, p.session) for p in table] == [
        (19.5, "left", "2026-05-06"),
        (20, "right", ""),
        (30, "both", ""),
    ]
    assert from_csv(as_csv(table).encode(), "again.csv") == table


@pytest.mark.parametrize(
    ("data", "line", "said"),
    [
        (b"hand,kg\nleft,heavy\n", 2, '"heavy" is no reading'),
        (b"hand,kg\nleft,0\n", 2, "above 0"),
        (b"hand,kg\nlft,20\n", 2, '"lft" is no hand'),
        (b"hand,pounds\nleft,20\n", 1, '"pounds" is not read here'),
        (b"hand\nleft\n", 1, "no column `kg`"),
        (b"", 0, "empty"),
        (b"\xff\xfe", 0, "UTF-8"),
    ],
)
def test_faults_of_a_table(data: bytes, line: int, said: str) -> None:
    with pytest.raises(BadInput) as bad:
        from_csv(data, "log.csv")
    problem = bad.value.problems[0]
    assert (problem.file, problem.line) == ("log.csv", line)
    assert any(said in one.sentence for one in bad.value.problems)
