"""Footfalls: the diagonal pairs of the trot, and which hind leg starts each canter.

In: rules/vocabulary/gaits.yaml. Out: the order in which feet land.
Not here: what a preferred lead means. Sources: CA01-CA04, teaching pages of two sites agreeing on the canter (high).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import pytest

from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]
GAITS = cast("dict[str, list[list[str]]]", shipped().book.vocabulary.facts["gaits"])
OTHER = {"left": "right", "right": "left"}


def test_walk_has_four_beats_and_trot_two() -> None:
    """CA01: walk left hind, left fore, right hind, right fore; trot in diagonal pairs."""
    assert GAITS["walk"] == [["left hind"], ["left fore"], ["right hind"], ["right fore"]]
    assert {frozenset(pair) for pair in GAITS["trot"]} == {
        frozenset({"left fore", "right hind"}),
        frozenset({"right fore", "left hind"}),
    }


@pytest.mark.parametrize("lead", ["left", "right"])
def test_each_canter_begins_with_the_hind_opposite_its_lead(lead: str) -> None:
    """CA02, CA03, CA04: left lead right hind first, then left hind with right fore, then left fore; and mirrored."""
    first, second, third = GAITS[f"canter_{lead}_lead"]
    other = OTHER[lead]
    assert first == [f"{other} hind"]
    assert set(second) == {f"{lead} hind", f"{other} fore"}
    assert third == [f"{lead} fore"]


@pytest.mark.parametrize("gait", ["walk", "trot", "canter_left_lead", "canter_right_lead"])
def test_every_foot_lands_once_a_stride(gait: str) -> None:
    """CA01-CA03: four feet, each once."""
    feet = [foot for beat in GAITS[gait] for foot in beat]
    assert sorted(feet) == ["left fore", "left hind", "right fore", "right hind"]


def test_the_two_canters_mirror_each_other() -> None:
    """CA02, CA03: neither side is the model for the other."""
    turned = [
        sorted(f"{OTHER[side]} {limb}" for side, limb in (foot.split() for foot in beat))
        for beat in GAITS["canter_left_lead"]
    ]
    assert turned == [sorted(beat) for beat in GAITS["canter_right_lead"]]


def test_the_question_says_which_hind_starts() -> None:
    """CA04: whoever writes down the lead reads the right hind for the left lead, the left hind for the right."""
    how = shipped().book.vocabulary.observations["lead_preferred_ridden"].how
    assert "left-lead canter the right hind starts" in how
    assert "right-lead canter the left hind" in how


def test_the_spared_hind_is_on_the_side_of_the_lead(ask: Ask) -> None:
    """CA04 beside fact 5 of the trade: the starting hind is opposite the lead, so the other one is the spared one."""
    answer = ask("ridden: {lead preferred: left}")
    assert "it prefers the lead on this side" in answer.spoke("hind_pushes_off_less", "left")
    assert "it prefers the other lead" in answer.spoke("hind_pushes_off_less", "right")


def test_no_side_is_the_usual_one(ask: Ask) -> None:
    """L01-L03 conflict (McGreevy and Rogers 2005, Cully 2018, Williams and Norris 2007): never a default side."""
    answer = ask("horse: {name: Rook, sex: mare}\npalpation: {loin: {both: 3}, withers: {both: 3}}")
    for key, side in answer.answer.record.conclusions:
        if side == "left":
            assert answer.certainty(key, "left") == answer.certainty(key, "right")
