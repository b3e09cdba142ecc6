"""Two visits side by side: which places are compared, the figures over them, bands, thresholds, laws of exchange.

In: made visits. Out: failures.
Not here: the statistics by themselves (test_statistics.py), what moves the conclusions (test_moved.py), the
command (test_agree_command.py).
"""

from __future__ import annotations

import random
import re
from dataclasses import replace

import pytest

from reasoner.problems import BadInput
from reasoner.rendering.agreement_text import agreement_lines
from reasoner.rendering.agreement_words import called
from reasoner.rendering.limits_picture import limits_picture
from reasoner.rendering.text_page import plain_text
from reasoner.teaching.agreement import Agreement, Figures, agreement_of
from reasoner.teaching.compared import compared
from reasoner.teaching.paired import Pair, paired, turned
from reasoner.teaching.pairing import across, gathered
from reasoner.teaching.statistics import Estimate
from reasoner.visit.model import Visit, mirrored
from tests.teaching.hands import BOOK, READY, TABLE, example, graded, many, sore, wavered, written

WREN = """
horse: {name: Clove}
visit: 2026-05-06
yard: Larkhope
examined by: Wren Aldous
settled under the hand: seen
palpation:
  loin: {left: 4, right: {soreness: 2, responses: flinches}}
  croup: {left: 5, right: not examined - no time}
  withers: {both: 0}
  girth line: {left: {responses: flinches}, right: 1}
quiet: {poll: both}
"""
TAM = """
horse: {name: clove}
visit: 2026-05-06
yard: larkhope
examined by: Tam Orrin
palpation:
  loin: {left: {soreness: 6, once settled: 5}, right: 2}
  croup: {left: 3, right: 2}
  girth line: {left: 2, right: 1}
quiet: {poll: both, withers: both}
"""


def clove() -> Pair:
    return paired(written(WREN, "wren.yaml"), written(TAM, "tam.yaml"), BOOK.vocabulary)


def of(*pairs: Pair) -> Agreement:
    return agreement_of(pairs, BOOK, TABLE)


def test_every_place_falls_into_one_of_five() -> None:
    pair = clove()
    told = {(one.place, one.side): (one.one, one.two) for one in pair.readings if not one.listed}
    assert told == {
        ("loin", "left"): (4, 5), ("loin", "right"): (2, 2), ("croup", "left"): (5, 3), ("girth_line", "right"): (1, 1),
        ("withers", "left"): (0, 0), ("withers", "right"): (0, 0),
    }  # fmt: skip
    assert pair.without_number == (("girth_line", "left"),)
    assert pair.only_one == ()
    assert ("croup", "right") in pair.only_two
    assert all(one.one == one.two == 0 for one in pair.readings if one.listed)
    assert ("tail_head", "") in pair.neither
    spots = {
        (p.key, side)
        for p in BOOK.vocabulary.places.values()
        for side in (("left", "right") if p.sides == "each" else ("",))
    }
    compared = {(one.place, one.side) for one in pair.readings if not one.after_work}
    counted = [*compared, *pair.without_number, *pair.only_one, *pair.only_two, *pair.neither]
    assert sorted(counted) == sorted(spots)


def test_too_few_places_give_no_number_and_say_so() -> None:
    agreement = of(clove())
    few = agreement.answered
    assert few.readings == 6
    assert few.too_few
    assert (few.linear, few.icc, few.limits) == (None, None, None)
    assert (few.same, few.near, few.largest) == (4, 5, 2.0)
    page = plain_text(
        agreement_lines(compared([(agreement.pairs[0].one, agreement.pairs[0].two)], READY, TABLE), BOOK, TABLE)
    )
    assert "Too few for a number: fewer than 10 places" in page
    assert "croup, left: 5, then 3 (-2)" in page


def page_of(one: Visit, two: Visit) -> str:
    return plain_text(agreement_lines(compared([(one, two)], READY, TABLE, follow=False), BOOK, TABLE), 10_000)


def test_left_written_for_right_is_asked_about_and_judged_by_nobody() -> None:
    wren, tam = example("two_hands/wren"), example("two_hands/tam")
    assert "left for right" not in page_of(wren, tam)
    other = replace(tam, touches=mirrored(tam).touches)
    for pair in ((wren, other), (other, wren)):
        told = page_of(*pair)
        assert "Look whether one of the two wrote left for right" in told
    straight, across = paired(wren, tam, BOOK.vocabulary), paired(wren, other, BOOK.vocabulary)
    asked = turned(across, TABLE.sides)
    assert asked is not None
    sides = [sum(abs(one.difference) for one in each.readings if one.side) for each in (across, straight)]
    assert [asked.apart, asked.across] == sides
    assert turned(across, None) is None
    # What answers alike on both sides, or on the one side in one file alone, tells nothing of the other way round.
    assert turned(clove(), TABLE.sides) is None


def test_where_nothing_was_graded_by_both_nothing_is_called_the_same() -> None:
    head = WREN.partition("palpation:")[0]
    left = written(head + "palpation: {loin: {left: 4}}\n", "wren.yaml")
    right = written(head.replace("Wren Aldous", "Tam Orrin") + "palpation: {loin: {right: 4}}\n", "tam.yaml")
    told = page_of(left, right)
    assert "There is no place that both graded" in told
    assert "same number." not in told


def test_one_place_is_not_called_places() -> None:
    one = WREN.partition("palpation:")[0] + "palpation: {loin: {left: 4}}\n"
    pair = paired(
        written(one, "wren.yaml"), written(one.replace("Wren Aldous", "Tam Orrin"), "tam.yaml"), BOOK.vocabulary
    )
    page = plain_text(agreement_lines(compared([(pair.one, pair.two)], READY, TABLE), BOOK, TABLE))
    assert "1 place graded by both: the same number at 1" in page


@pytest.mark.parametrize(
    ("change", "code"),
    [("name: Clover", "TE01"), ("visit: 2026-05-07", "TE02"), ("yard: Elsewhere", "TE01")],
)
def test_what_is_no_pair_is_refused(change: str, code: str) -> None:
    key = change.split(":")[0]
    text = "\n".join(line if not line.startswith(f"{key}:") else change for line in TAM.splitlines())
    text = text.replace("name: clove", change) if key == "name" else text
    with pytest.raises(BadInput) as bad:
        paired(written(WREN, "wren.yaml"), written(text, "tam.yaml"), BOOK.vocabulary)
    assert [p.code for p in bad.value.problems] == [code]


def test_identical_hands_agree_wholly() -> None:
    visit = sore(example("juno"), random.Random(3))
    agreement = of(paired(visit, replace(visit, file="again.yaml"), BOOK.vocabulary))
    told = agreement.whole
    assert told.same == told.near == told.readings
    for found in (told.linear, told.square, told.unweighted, told.icc):
        assert found is not None
        assert found.value == pytest.approx(1.0)
        assert found.low is None
    assert told.limits is not None
    assert told.limits.mean.value == told.limits.lower.value == 0


def _values(told: Figures) -> tuple[float | None, ...]:
    return tuple(
        None if f is None else round(f.value, 9) for f in (told.linear, told.square, told.unweighted, told.icc)
    )


def test_exchanged_hands_and_the_mirror() -> None:
    """Exchanging the hands turns the signs of differences; the mirror image of the horse exchanges the sides and nothing else."""
    rnd = random.Random(5)
    one = sore(example("bramble"), rnd)
    two = wavered(one, rnd, 0.5, 0.7, "two.yaml")
    here = of(paired(one, two, BOOK.vocabulary))
    there = of(paired(two, one, BOOK.vocabulary))
    mirror = of(paired(mirrored(one), mirrored(two), BOOK.vocabulary))
    assert _values(here.whole) == _values(there.whole) == _values(mirror.whole)
    assert here.whole.limits is not None
    assert there.whole.limits is not None
    assert here.whole.limits.mean.value == pytest.approx(-there.whole.limits.mean.value)
    assert _values(mirror.sides["left"]) == _values(here.sides["right"]) != _values(here.sides["left"])
    assert {r: _values(f) for r, f in mirror.regions.items()} == {r: _values(f) for r, f in here.regions.items()}


def test_the_order_of_pairs_bears_on_nothing() -> None:
    pairs = many(11, 6)
    assert of(*pairs) == of(*reversed(pairs))


def test_from_ten_pairs_on_whole_visits_are_drawn_again() -> None:
    pairs = many(11, 7)
    told, few = of(*pairs), of(*pairs[:9])
    assert told.whole.linear is not None
    assert few.whole.linear is not None
    assert told.whole.linear.by == "visits drawn again"
    assert few.whole.linear.by == "formula"
    assert agreement_of(pairs, BOOK, TABLE, 1) == told != agreement_of(pairs, BOOK, TABLE, 2)
    site = next(site for site, figures in told.places.items() if not figures.too_few)
    assert told.places[site].readings == 11
    assert all(figures.too_few for figures in few.places.values())


def test_a_shared_shift_widens_what_is_drawn_again() -> None:
    """Hands that differ by a whole visit: by formula each place counts as its own witness, which it is not."""
    pairs = many(12, 8, shared=1.0, noise=0.3)
    whole = of(*pairs).whole
    assert whole.limits is not None
    mean = whole.limits.mean
    assert mean.low is not None
    assert mean.high is not None
    by_formula = 2 * 1.96 * whole.limits.deviation / whole.readings**0.5
    assert mean.high - mean.low > 2 * by_formula


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (-0.1, "poor"), (0.0, "slight"), (0.20, "slight"), (0.2105, "fair"), (0.40, "fair"), (0.41, "moderate"),
        (0.60, "moderate"),
        (0.61, "substantial"), (0.80, "substantial"), (0.81, "almost perfect"), (1.0, "almost perfect"),
    ],
)  # fmt: skip
def test_landis_and_koch(value: float, words: str) -> None:
    """KP10: Landis and Koch 1977, Biometrics 33:159-174; their bands leave gaps at two decimals, read as (.20, .40] and so on."""
    assert f"{words} (Landis and Koch 1977)" in list(called(Estimate(value=value), "kappa", TABLE, BOOK))


@pytest.mark.parametrize(
    ("value", "words"), [(0.49, "poor"), (0.5, "moderate"), (0.75, "good"), (0.90, "good"), (0.91, "excellent")]
)
def test_koo_and_li(value: float, words: str) -> None:
    """IC01: Koo and Li 2016, J Chiropr Med 15:155-163; excellent is printed as >0.90, so exactly 0.90 is good here."""
    assert f"{words} (Koo and Li 2016)" in list(called(Estimate(value=value), "icc", TABLE, BOOK))


def test_words_belong_to_the_whole_interval_and_sources_differ() -> None:
    """IC02, an example after Koo and Li 2016: 0.84 (0.72 to 0.91) is moderate to excellent, not good."""
    told = list(called(Estimate(value=0.84, low=0.72, high=0.91), "icc", TABLE, BOOK))
    assert told == ["moderate to excellent (Koo and Li 2016)", "good to excellent (Cicchetti 1994)"]
    three = list(called(Estimate(value=0.7), "kappa", TABLE, BOOK))
    assert three == ["substantial (Landis and Koch 1977)", "good (Altman 1991)", "fair to good (Fleiss 1981)"]


def test_pairs_are_found_by_horse_yard_and_day() -> None:
    wren, tam = written(WREN, "wren.yaml"), written(TAM, "tam.yaml")
    other = written(WREN.replace("Clove", "Sedge"), "sedge.yaml")
    third = written(TAM.replace("Tam Orrin", "Wren Aldous"), "again.yaml")
    found = gathered([wren, other, tam], "here")
    assert found.alone == (other,)
    assert {hands: [(a.file, b.file) for a, b in pairs] for hands, pairs in found.pairs.items()} == {
        ("tam orrin", "wren aldous"): [("tam.yaml", "wren.yaml")]
    }
    three = gathered([wren, tam, third], "here")
    assert {hands: len(pairs) for hands, pairs in three.pairs.items()} == {
        ("tam orrin", "wren aldous"): 2, ("wren aldous", "wren aldous"): 1,
    }  # fmt: skip
    assert across([wren, other], [tam], "here").alone == (other,)
    with pytest.raises(BadInput) as bad:
        gathered([wren, other], "here")
    assert bad.value.problems[0].code == "TE04"


def test_the_picture_holds_what_the_figures_say() -> None:
    rnd = random.Random(9)
    one = sore(example("juno"), rnd)
    agreement = of(
        paired(one, graded(one, {("loin", "left"): 10, ("croup", "left"): 0}, "two.yaml", "Tam Orrin"), BOOK.vocabulary)
    )
    svg = limits_picture(agreement)
    assert svg == limits_picture(agreement)
    assert svg.count("<circle") == len({((r.one + r.two) / 2, r.difference) for r in agreement.pairs[0].readings})
    assert "Tam Orrin" in svg
    assert "prefers-color-scheme:dark" in svg
    too_long = graded(
        one,
        {("loin", "left"): 10},
        "two.yaml",
        "Tam Orrin of the far Larkhope yard beyond the second hill and the brook",
    )
    for drawn in (svg, limits_picture(of(paired(one, too_long, BOOK.vocabulary)))):
        rows = re.findall(r'<text class="([^"]*)"[^>]*>([^<]*)<', drawn)
        assert all(
            len(words) <= (38 if "ba-h" in look else 51) for look, words in rows
        )  # what 390 units hold at that size
    assert limits_picture(of(clove())) != ""  # with the places both listed as quiet there are enough
