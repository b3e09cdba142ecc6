"""Narrow and wide have opposite remedies: no plan holds both, whatever mix of signs was written down.

In: visits with signs of one width, of both and of neither, and their mirrors. Out: steps taken and steps held back.
Not here: cases in which one width is plain (test_tack).
"""

from __future__ import annotations

import itertools
from collections.abc import Callable

import pytest

from tests.asking import Asked
from tests.cases.tack_words import ADDS, NARROW, TAKES, WIDE, keys, visit

Ask = Callable[[str], Asked]


def test_signs_of_both_widths_are_the_fitters_to_settle(ask: Ask) -> None:
    """Nettle: steep points, yet touching, hollow at T13, a thick pad. Nothing goes in and nothing comes out today."""
    answer = ask(
        visit(
            "palpation: {behind the shoulder blade: {both: {soreness: 2, felt: hollow}}, top of the withers: 6}",
            "standing square: {topline: fallen away}",
            "tacked up:",
            "  saddle: {type: panelled, tree width: looks narrow, panel contact: more in front, shims in place: none}",
            "  pad: thick",
            "  girthed: {saddling: new dislike}",
            "  rider up: {clearance rider up: touches}",
            "after work: {hollow at T13: {left: seen, right: seen}}",
        )
    )
    assert (answer.band(NARROW), answer.band(WIDE)) == ("fair", "fair")
    assert not keys(answer) & (ADDS | TAKES)
    assert {"take_the_pad_out", "ask_about_a_pad_for_a_time"} <= {key for key, _ in answer.withheld}
    assert "fitter_for_the_front" in keys(answer)


WIDTHS = ("looks narrow", "looks right", "looks wide", "")
FRONTS = ("high", "level", "low", "")
ENDS = (("T13",), ("T18",), ("T13", "T18"), ())


def mixed(width: str, front: str, hollows: tuple[str, ...], touches: str, felt: str) -> str:
    """A slipping saddle on a thick pad and a thin back, with any mix of the looks that tell the width."""
    saddle = ["type: with bars", "panels: even", "shims in place: none"]
    saddle += [f"tree width: {width}"] * bool(width) + [f"front: {front}"] * bool(front)
    after = ", ".join(f"hollow at {place}: {{left: seen, right: seen}}" for place in hollows)
    return visit(
        "palpation:",
        "  withers: {both: 3}",
        "  top of the withers: 5",
        f"  behind the shoulder blade: {{left: {{soreness: 2, felt: {felt}}}, right: {{soreness: 3, felt: {felt}}}}}",
        "standing square: {topline: fallen away}",
        "tacked up:",
        f"  saddle: {{{', '.join(saddle)}}}",
        "  pad: thick",
        "  rests: right",
        f"  rider up: {{clearance rider up: {touches}}}",
        "  girthed: {saddling: mild dislike}",
        "ridden: {saddle comes to: right, seen on: both reins, lead preferred: left}",
        f"after work: {{{after}}}" if after else "",
    )


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("felt", ["hollow", "nothing"])
def test_no_plan_both_adds_and_takes_away(ask: Ask, width: str, felt: str) -> None:
    """Narrow and wide have opposite remedies: over every mix of looks, one plan never holds both."""
    tallied: set[str] = set()
    for front, hollows, touches in itertools.product(FRONTS, ENDS, ("touches", "clear")):
        text = mixed(width, front, hollows, touches, felt)
        answer = ask(text)
        here = keys(answer)
        tallied |= here
        assert not (here & ADDS and here & TAKES), text
        if answer.band(NARROW) in ("fair", "strong"):
            assert not here & ADDS, text
        if answer.band(WIDE) in ("fair", "strong"):
            assert not here & TAKES, text
        assert {answer.band(NARROW), answer.band(WIDE)} != {"strong"}, text
    wanted = {"looks narrow": TAKES, "looks right": {"shims_under_the_side"}, "looks wide": ADDS}.get(width, set())
    assert wanted <= tallied  # the mixes do reach the remedies


@pytest.mark.parametrize(("width", "front"), [("looks narrow", "low"), ("looks wide", "high")])
def test_two_looks_that_contradict_each_other_are_the_fitters(ask: Ask, width: str, front: str) -> None:
    """Points that say one width under a front that says the other: neither is named, nothing is changed, a fitter looks."""
    answer = ask(
        visit("tacked up:", f"  saddle: {{type: panelled, tree width: {width}, front: {front}}}", "  pad: thick")
    )
    assert {answer.band(NARROW), answer.band(WIDE)} <= {"none", "against"}
    assert "fitter_for_the_front" in keys(answer)
    assert not keys(answer) & (ADDS | TAKES)
