"""Backs and trees to lay on each other: plain ones with a known answer, and random ones.

In: a random generator or a few numbers. Out: lines in mm, x growing, z up. Not here: any test.
"""

from __future__ import annotations

import math

import numpy as np
from hypothesis import strategies as st

from reasoner.measures.contact_shapes import Line, continued

Side = tuple[tuple[float, float], ...]


def ridge(slope: float, wide: float, corners: int = 12) -> Line:
    """Two straight sides that fall from the origin, `slope` mm a mm."""
    return tuple((n * wide / corners, -slope * abs(n) * wide / corners) for n in range(-corners, corners + 1))


def fall(slope: float, wide: float, corners: int = 8, first: float = 0.0) -> Side:
    """One straight side as it is traced, (out, down), from `first` mm out."""
    outs = [first + (wide - first) * n / corners for n in range(corners + 1)]
    return tuple((out, slope * out) for out in outs)


def round_back(radius: float, half: float, corners: int = 200) -> Line:
    """An arc with its top at the origin."""
    outs = np.linspace(-half, half, 2 * corners + 1)
    return tuple((float(x), math.sqrt(radius**2 - x**2) - radius) for x in outs)


def hollow(depth: float, length: float, corners: int = 18) -> Side:
    """A line along that hangs through by `depth` in its middle, (behind, down), from 0/0 to its length/0."""
    return tuple((length * n / corners, 4 * depth * (n / corners) * (1 - n / corners)) for n in range(corners + 1))


def random_line(seed: int, half: float, slope: float, rough: float) -> Line:
    """A rounded ridge with corners at uneven places and a roughness of so many mm."""
    rng = np.random.default_rng(seed)
    even = np.linspace(-half, half, 23)
    outs = even + np.concatenate([[0.0], rng.uniform(-3.0, 3.0, 21), [0.0]])
    return tuple((float(x), float(-slope * abs(x) ** 1.15 / 2.0 + rng.normal(0.0, rough))) for x in outs)


def pairs() -> st.SearchStrategy[tuple[Line, Line]]:
    """A tree and a back under it, drawn on beyond its ends."""
    slopes = st.floats(0.6, 1.4)
    return st.builds(_pair, st.integers(0, 10_000), slopes, slopes, st.floats(0.0, 2.0))


def _pair(seed: int, of_tree: float, of_back: float, rough: float) -> tuple[Line, Line]:
    tree = random_line(seed, 110.0, of_tree, rough)
    return tree, continued(random_line(seed + 1, 160.0, of_back, rough), 200.0)


def mirrored(line: Line) -> Line:
    """Left and right exchanged."""
    return tuple((-x, z) for x, z in reversed(line))
