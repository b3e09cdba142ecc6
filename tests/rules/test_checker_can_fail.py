"""The checker of page examples says no: to a wrong word, a wrong reason, no reason, and a case that touches no rule.

In: examples of shipped pages, spoiled one way each. Out: the complaint that each must bring.
Not here: the examples as they stand (test_page_examples).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from reasoner.rulecare.example_check import Case
from tests.rules.page_examples import cases, complaints


def spoiled(page: str, name: str, **changes: Any) -> Case:
    """A shipped example with something changed."""
    case = next(c for c in cases() if (c.page.id, c.example.name, c.mirror) == (page, name, False))
    assert complaints(case) == []
    return replace(case, example=replace(case.example, **changes))


PINCH = ("withers_pinch", "Five of ten on both sides under a saddle low in front")
QUIET = ("withers_pinch", "One of ten on both sides")
UNFELT = ("withers_pinch", "Nobody had a hand on the withers")
NINE = ("very_sore_or_threatens", "Nine at the loin")
NEARLY = ("very_sore_or_threatens", "Eight and a half at the loin")
GUARDED = ("very_sore_or_threatens", "Would not have it touched, which is guarding and a finding of its own")
FORE = ("uneven_in_front_markedly", "Marked on the right fore")
SHIM = ("shims_under_the_side", "Bars, legs level, both reins, quiet enough underneath")
NO_SHIM = ("shims_under_the_side", "The place behind the shoulder blade answers at 6")
STRAIGHT = ("shims_under_the_side", "The saddle stays in the middle")
HIDDEN = ("painkiller_hides_quiet", "A quiet loin on a painkiller is unknown")
NOTHING: dict[str, Any] = {"thanks_to": (), "stopped_by": (), "waiting_on": ()}


@pytest.mark.parametrize(
    ("example", "changes", "complaint"),
    [
        (PINCH, NOTHING, "names no reason"),
        (PINCH, {"expect": {"left": "strong", "right": "strong"}}, "left: expected strong, came out fair"),
        (PINCH, {"expect": {"left": "fair", "right": "none"}}, "right: expected none, came out fair"),
        (PINCH, {"expect": {"left": "too little to say"}}, "left: expected too little to say, came out fair"),
        (PINCH, {"expect": {"left": "fairly"}}, "expect reads ['fairly']"),
        (PINCH, {"expect": {"middle": "fair"}}, "expect names ['middle']"),
        (PINCH, {"thanks_to": ("it touches the withers",)}, '"it touches the withers" did not speak (waits'),
        (PINCH, {"thanks_to": ("sore on that side",)}, '"sore on that side" is no rule'),
        (PINCH, {"stopped_by": ("sore on this side",)}, '"sore on this side" is not known and quiet (fired)'),
        (PINCH, {"waiting_on": ("saddle_front",)}, 'no rule waits for "saddle_front"'),
        (PINCH, {"waiting_on": ("wither",)}, '"wither" is no word'),
        (PINCH, {"waiting_on": ("loin",)}, 'no rule waits for "loin"'),
        (QUIET, {"stopped_by": ("it touches the withers",)}, "is not known and quiet (waits)"),
        (QUIET, {"recorded": {"horse": {"name": "Rook"}}}, "it touches no rule of this page"),
        (UNFELT, {"waiting_on": ("saddle_front",)}, 'no rule waits for "saddle_front"'),
        (NINE, {"expect": {"places": ["right loin"]}}, "raised [('left', 'loin')]"),
        (NINE, {"expect": {"places": ["loin"]}}, "expect reads"),
        (NINE, {"expect": "not raised"}, "expected [], raised [('left', 'loin')]"),
        (NINE, {"expect": "raised"}, "expect reads"),
        (NINE, {"thanks_to": ("threatens to bite or kick",)}, "was not seen"),
        (NINE, {"thanks_to": (), "stopped_by": ("threatens to bite or kick",)}, "by no sign that the example names"),
        (NEARLY, {"stopped_by": ("threatens to bite or kick",)}, "is not known to be absent"),
        (NEARLY, {"stopped_by": ("8 or 9",)}, '"8 or 9" is no sign'),
        (NEARLY, {"waiting_on": ("temperature",)}, 'no sign waits for "temperature"'),
        (GUARDED, {"waiting_on": ("withers",), "recorded": {"palpation": {"withers": {"both": "0"}}}}, "no sign waits"),
        (FORE, {"expect": {"left": "raised", "right": "raised"}}, "left: expected raised, and it is not raised"),
        (FORE, {"expect": "not raised"}, "right: expected not raised, and it is raised"),
        (SHIM, {"expect": {"right": "withheld"}}, "right: expected withheld, and it is taken"),
        (SHIM, {"expect": {"left": "taken"}}, "left: expected taken, and it is not wanted"),
        (SHIM, {"thanks_to": ("withers_pinch",)}, '"withers_pinch" is not what decided it'),
        (NO_SHIM, {"expect": {"right": "taken"}}, "right: expected taken, and it is withheld Not today"),
        (NO_SHIM, {"thanks_to": ("Not today, because it is raining.",)}, "is not what decided it"),
        (NO_SHIM, {"thanks_to": ("Not today",)}, "for no reason that the example names"),
        (STRAIGHT, {"thanks_to": ("withers",)}, '"withers" is not what decided it'),
        (HIDDEN, {"expect": "not lessened"}, "expected [] lessened"),
        (HIDDEN, {"expect": {"places": ["left loin"]}}, "and it is [('left', 'loin'), ('right', 'loin')]"),
        (HIDDEN, {"thanks_to": ("sedation",)}, '"sedation" did not bring it about'),
        (HIDDEN, {"stopped_by": ("painkillers",)}, '"painkillers" is not known to be otherwise'),
        (HIDDEN, {"waiting_on": ("painkillers",)}, 'does not wait for "painkillers"'),
        (HIDDEN, {"recorded": {"before_the_visit": {"painkillers": "given"}}}, "nothing recorded here"),
    ],
)
def test_a_spoiled_example_brings_its_complaint(
    example: tuple[str, str], changes: dict[str, Any], complaint: str
) -> None:
    """Whatever is spoiled, the complaint names it."""
    told = complaints(spoiled(*example, **changes))
    assert any(complaint in line for line in told), told


def test_the_mirror_swaps_the_sides_expected() -> None:
    """In the mirror an example that holds on one side only must hold on the other, and there alone."""
    written = spoiled(*FORE)
    assert complaints(replace(written, mirror=True)) == []
    wrong = replace(written.example, expect={"left": "raised", "right": "not raised"})
    assert complaints(replace(written, example=wrong)) != []
    assert complaints(replace(written, example=wrong, mirror=True)) != []
