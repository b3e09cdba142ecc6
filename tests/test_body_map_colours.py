"""The body map's colours and drawing files.

In: the colour scale and the two drawings as packaged. Out: passes or fails.
Not here: places, marks and words; whether the horse is well drawn is looked at by eye.
"""

from __future__ import annotations

import re
from importlib.resources import files
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from reasoner.rendering.body_map import REFUSED_FILL
from reasoner.rendering.grade_colours import fill_for, ink_for

SVG = "{http://www.w3.org/2000/svg}"
GRADES = [step / 10 for step in range(101)]


def _relative_luminance(colour: str) -> float:
    """The published web formula, written out again: the code is not measured with its own ruler."""
    weighted = 0.0
    for weight, start in ((0.2126, 1), (0.7152, 3), (0.0722, 5)):
        channel = int(colour[start : start + 2], 16) / 255
        weighted += weight * (channel / 12.92 if channel <= 0.03928 else ((channel + 0.055) / 1.055) ** 2.4)
    return weighted


def _ratio(one: str, other: str) -> float:
    low, high = sorted((_relative_luminance(one), _relative_luminance(other)))
    return (high + 0.05) / (low + 0.05)


# --- colours ----------


@pytest.mark.parametrize("value", GRADES)
def test_the_number_stands_out_from_its_badge(value: float) -> None:
    fill = fill_for(value)
    assert re.fullmatch(r"#[0-9a-f]{6}", fill)
    assert _ratio(fill, ink_for(fill)) >= 4.5


def test_the_scale_only_ever_darkens_from_near_white_to_dark() -> None:
    lights = [_relative_luminance(fill_for(value)) for value in GRADES]
    assert all(one > other for one, other in pairwise(lights))
    assert lights[0] > 0.9
    assert lights[-1] < 0.05
    steps = [_lightness(_relative_luminance(fill_for(float(number)))) for number in range(11)]
    assert all(one - other > 4 for one, other in pairwise(steps))
    assert fill_for(-1.0) == fill_for(0.0)
    assert fill_for(12.0) == fill_for(10.0)


def _lightness(luminance: float) -> float:
    """Lightness as the eye steps it, 0 to 100: neighbouring whole numbers must differ on grey paper too."""
    return 116 * luminance ** (1 / 3) - 16 if luminance > 0.008856 else 903.3 * luminance


def test_the_refused_sign_stands_out() -> None:
    assert _ratio(REFUSED_FILL, "#000000") >= 4.5


# --- the drawing files ----------


@pytest.mark.parametrize(("name", "size"), [("horse_side", "800 560"), ("horse_above", "800 260")])
def test_drawings_hold_lines_and_nothing_else(name: str, size: str) -> None:
    text = files("reasoner.rendering").joinpath("drawing", f"{name}.svg").read_text(encoding="utf-8")
    root = ElementTree.fromstring(text)
    assert root.get("viewBox") == f"0 0 {size}"
    assert {element.tag.removeprefix(SVG) for element in root.iter()} == {"svg", "g", "path"}
    allowed = "viewBox class d fill stroke stroke-width stroke-opacity fill-opacity stroke-linecap stroke-linejoin"
    for element in root.iter():
        assert set(element.attrib) <= {*allowed.split(), "stroke-dasharray"}
        assert element.get("fill", "none") in ("none", "currentColor")
        assert element.get("stroke", "none") in ("none", "currentColor")
    ends = " ".join(path.get("d", "") for path in root.iter(f"{SVG}path"))
    numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", ends)]
    assert min(numbers) >= 0
    assert max(numbers) <= 800
