"""Colours for the soreness numbers on the body map.

In: a soreness from 0 to 10. Out: the fill of its badge and the ink of its number, as hex colours. One hue
from near-white to dark, so that the order reads on paper and without colour sight.
Not here: shapes, places, what a number means.
"""

from __future__ import annotations

import math

MOST = 10.0
BLACK = "#000000"
WHITE = "#ffffff"

# Own settings: a rust hue in a colour space of steps even to the eye (OKLab; its constants are from memory,
# and the tests check what is needed of them: every colour can be shown, and the scale only ever darkens).
_HUE = math.radians(38.0)
_LIGHTEST, _DARKEST = 0.985, 0.30
_CHROMA_LIGHT, _CHROMA_MIDDLE, _CHROMA_DARK = 0.012, 0.150, 0.085


def fill_for(value: float) -> str:
    """The badge colour of a soreness; values outside 0 to 10 take the colour of the nearer end."""
    share = min(max(value / MOST, 0.0), 1.0)
    lightness = _LIGHTEST + (_DARKEST - _LIGHTEST) * share
    if share < 0.6:
        chroma = _CHROMA_LIGHT + (_CHROMA_MIDDLE - _CHROMA_LIGHT) * share / 0.6
    else:
        chroma = _CHROMA_MIDDLE + (_CHROMA_DARK - _CHROMA_MIDDLE) * (share - 0.6) / 0.4
    while True:  # a colour the screen cannot show is made greyer, never lighter or darker
        channels = _linear(lightness, chroma)
        if chroma <= 0.0 or all(-1e-6 <= channel <= 1.0 + 1e-6 for channel in channels):
            return "#" + "".join(f"{round(255 * _gamma(min(max(c, 0.0), 1.0))):02x}" for c in channels)
        chroma = max(chroma - 0.002, 0.0)


def ink_for(fill: str) -> str:
    """Black or white, whichever stands out more on `fill`; one of the two always reaches 4.5 to 1."""
    return max((BLACK, WHITE), key=lambda ink: contrast(ink, fill))


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two hex colours by the web accessibility formula, from 1 to 21."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    """The relative luminance of a hex colour such as #a03c1e, from 0 to 1."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return 0.2126 * _ungamma(red) + 0.7152 * _ungamma(green) + 0.0722 * _ungamma(blue)


def _linear(lightness: float, chroma: float) -> tuple[float, float, float]:
    a, b = chroma * math.cos(_HUE), chroma * math.sin(_HUE)
    long = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3
    middle = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3
    short = (lightness - 0.0894841775 * a - 1.2914855480 * b) ** 3
    return (
        4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short,
        -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short,
        -0.0041960863 * long - 0.7034186147 * middle + 1.7076147010 * short,
    )


def _gamma(channel: float) -> float:
    return 12.92 * channel if channel <= 0.0031308 else float(1.055 * channel ** (1 / 2.4) - 0.055)


def _ungamma(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
