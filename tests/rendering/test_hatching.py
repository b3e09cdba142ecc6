"""The hatching of a gap lies in the gap, and fills it evenly.

In: random gaps between a tree and a back, and shapely. Out: whether every stroke lies inside, and how much there is of it.
Not here: what a gap is.
"""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from reasoner.rendering.laid_drawing import HATCH, Scale, gap

SCALE = Scale(x=195.0, y=40.0, per_mm=1.0)
heights = st.lists(st.floats(0, 60), min_size=5, max_size=5)


@given(heights, heights)
def test_strokes_lie_inside_the_gap_and_fill_it(low: list[float], room: list[float]) -> None:
    xs = (-120.0, -60.0, 0.0, 60.0, 120.0)
    back = list(zip(xs, low, strict=True))
    tree = [(x, z + 5.0 + more) for (x, z), more in zip(back, room, strict=True)]
    shape = Polygon([SCALE.at(point) for point in (*tree, *reversed(back))])
    found = [
        LineString([(float(a), float(b)), (float(c), float(d))])
        for a, b, c, d in re.findall(r"M(-?[\d.]+),(-?[\d.]+)L(-?[\d.]+),(-?[\d.]+)", gap(tree, back, SCALE))
    ]
    assert found
    assert all(shape.buffer(0.2).covers(one) for one in found)  # written to a tenth
    # A slanting stroke every HATCH along the edge: its length, over the distance between strokes, is the area.
    drawn = sum(one.length for one in found) * HATCH / 2**0.5
    assert abs(drawn - shape.area) < 0.25 * shape.area + 60


def test_nothing_is_referred_to() -> None:
    assert "url(" not in gap([(-10.0, 9.0), (10.0, 9.0)], [(-10.0, 0.0), (10.0, 0.0)], SCALE)
