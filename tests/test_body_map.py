"""The body map: places on the horse, left and right, numbers, words, crowding.

In: rules/vocabulary/map.yaml and made-up marks. Out: passes or fails.
Not here: whether the horse is well drawn; that is looked at by eye.
"""

from __future__ import annotations

import math
import os
import re
import subprocess
import sys
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
import yaml

from reasoner.rendering.badge_room import Spot, make_room
from reasoner.rendering.body_map import MapPoint, Mark, Side, draw_body_map, mirrored_x

ROOT = Path(__file__).resolve().parents[1]
SVG = "{http://www.w3.org/2000/svg}"


def _yaml(path: Path) -> dict[str, Any]:
    loaded = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    assert isinstance(loaded, dict)
    return loaded


def _points() -> list[MapPoint]:
    return [
        MapPoint(key, key.replace("_", " "), entry["view"], float(entry["at"][0]), float(entry["at"][1]))
        for key, entry in _yaml(ROOT / "rules/vocabulary/map.yaml")["places"].items()
    ]


def _tree(fragment: str) -> ElementTree.Element:
    return ElementTree.fromstring(fragment)  # fails if anything is left open or unescaped


def _views(fragment: str) -> list[ElementTree.Element]:
    return [svg for svg in _tree(fragment).iter(f"{SVG}svg") if svg.get("role") == "img"]


def _badges(view: ElementTree.Element, kind: str) -> list[tuple[float, float, float]]:
    """(x, y, radius) of the round badges of one kind."""
    found = []
    for group in view.iter(f"{SVG}g"):
        if group.get("class") == f"bm-mark bm-{kind}":
            circle = group.find(f"{SVG}circle")
            assert circle is not None
            found.append((float(circle.get("cx", "")), float(circle.get("cy", "")), float(circle.get("r", ""))))
    return found


def _texts(view: ElementTree.Element) -> list[tuple[str, float]]:
    return [("".join(t.itertext()), float(t.get("y", "0"))) for t in view.iter(f"{SVG}text")]


# --- the places ----------


def _vocabulary() -> dict[str, Any]:
    known: dict[str, Any] = {}
    for page in sorted((ROOT / "rules/vocabulary").glob("places_*.yaml")):
        known |= _yaml(page)["places"]
    assert known
    return known


def test_every_place_has_a_point_and_every_point_a_place() -> None:
    assert {point.key for point in _points()} == set(_vocabulary())


def test_points_lie_on_their_picture() -> None:
    views = _yaml(ROOT / "rules/vocabulary/map.yaml")["map"]
    sizes = {name: tuple(map(float, view["size"])) for name, view in views.items()}
    for point in _points():
        width, height = sizes[point.view]
        assert 0 < point.x < width, point
        assert 0 < point.y < height, point
        if point.view == "side":  # the side views show x from 85 to 715 only, with room for a badge
            assert 100 < point.x < 700, point
        else:
            assert point.y == 130, point


def test_paired_places_lie_on_the_side_views() -> None:
    views = {point.key: point.view for point in _points()}
    for key, entry in _vocabulary().items():
        wanted = "side" if entry["sides"] == "each" or key == "breastbone" else "above"
        assert views[key] == wanted, key


def test_points_leave_room_for_a_number() -> None:
    runs = {"top_of_the_withers", "back_spines", "loin_spines"}  # these share the middle line with the spaces
    for one, other in combinations(_points(), 2):
        if one.view == other.view and not runs & {one.key, other.key}:
            assert math.dist((one.x, one.y), (other.x, other.y)) >= 17, (one.key, other.key)


def test_spaces_run_from_head_to_tail() -> None:
    spaces = [point for point in _points() if point.key.startswith("space_")]
    names = [f"t{n}" for n in range(3, 19)] + [f"l{n}" for n in range(1, 7)]
    assert [p.key for p in spaces] == [f"space_{a}_{b}" for a, b in pairwise(names)]
    assert all(one.x < other.x for one, other in pairwise(spaces))


# --- left and right ----------


def test_right_view_is_the_mirror_of_the_left() -> None:
    points = [point for point in _points() if point.view == "side"]
    for point in points[::7]:
        marks = [Mark(point.key, "left", 3.0, "", "graded"), Mark(point.key, "right", 3.0, "", "graded")]
        left, right, above = _views(draw_body_map(points, marks, title="T"))
        assert [b[:2] for b in _badges(left, "graded")] == [(point.x, point.y)]
        assert [b[:2] for b in _badges(right, "graded")] == [(800 - point.x, point.y)]
        assert mirrored_x(point.x) == 800 - point.x
        assert _badges(above, "graded") == []


def test_a_mark_shows_on_its_own_side_only() -> None:
    marks = [Mark("girth_line", "left", 7.0, "", "graded")]
    left, right, _ = _views(draw_body_map(_points(), marks, title="T"))
    assert len(_badges(left, "graded")) == 1
    assert _badges(right, "graded") == []
    assert [words for words, _ in _texts(left)] == ["LEFT (near)", "7"]
    assert [words for words, _ in _texts(right)] == ["RIGHT (off)"]


def test_only_the_drawing_is_mirrored_never_the_words() -> None:
    left, right, _ = _views(draw_body_map(_points(), [Mark("croup", "right", 5.0, "", "graded")], title="T"))
    assert not [group for group in left.iter(f"{SVG}g") if group.get("transform")]
    mirrored = [group for group in right.iter(f"{SVG}g") if group.get("transform")]
    assert [group.get("transform") for group in mirrored] == ["translate(800 0) scale(-1 1)"]
    assert list(mirrored[0].iter(f"{SVG}path"))
    assert not list(mirrored[0].iter(f"{SVG}text"))


def test_from_above_the_left_side_is_below() -> None:
    marks = [Mark("tail_head", "left", 2.0, "", "graded"), Mark("tail_head", "right", 6.0, "", "graded")]
    above = _views(draw_body_map(_points(), marks, title="T"))[2]
    at = dict(_texts(above))
    assert at["left (near)"] > 130 > at["right (off)"]
    assert at["2"] > 130 > at["6"]


def test_the_breastbone_stands_on_both_side_views() -> None:
    marks = [Mark("breastbone", None, 4.0, "", "graded")]
    left, right, above = _views(draw_body_map(_points(), marks, title="T"))
    assert len(_badges(left, "graded")) == len(_badges(right, "graded")) == 1
    assert _badges(above, "graded") == []


# --- what is shown ----------


@pytest.mark.parametrize(("value", "shown"), [(0.0, "0"), (4.0, "4"), (4.5, "4.5"), (10.0, "10")])
def test_the_number_is_shown(value: float, shown: str) -> None:
    left = _views(draw_body_map(_points(), [Mark("withers", "left", value, "", "graded")], title="T"))[0]
    assert [words for words, _ in _texts(left)] == ["LEFT (near)", shown]


def test_each_kind_has_its_own_shape() -> None:
    marks = [
        Mark("withers", "left", 5.0, "", "graded"),
        Mark("girth_line", "left", None, "", "refused"),
        Mark("croup", "left", None, "knot", "spoken"),
        Mark("ribs", "left", 0.0, "", "quiet"),
    ]
    left = _views(draw_body_map(_points(), marks, title="T"))[0]
    shapes = {}
    for group in left.iter(f"{SVG}g"):
        kind = group.get("class", "")
        if kind.startswith("bm-mark"):
            shapes[kind.removeprefix("bm-mark bm-")] = [child.tag.removeprefix(SVG) for child in group]
    assert shapes == {
        "graded": ["title", "circle", "text"],
        "refused": ["title", "path", "text"],
        "spoken": ["title", "rect", "path"],
        "quiet": ["title", "circle"],
    }
    assert sorted(words for words, _ in _texts(left)) == ["!", "5", "LEFT (near)"]  # quiet is a dot, not a 0


def test_findings_are_told_in_words() -> None:
    marks = [
        Mark("withers", "left", 5.0, "flinches", "graded"),
        Mark("girth_line", "left", None, "", "refused"),
        Mark("ribs", "left", 0.0, "", "quiet"),
    ]
    views = _views(draw_body_map(_points(), marks, title="Bramble"))
    assert [view.findtext(f"{SVG}title") for view in views] == [
        "Bramble: the horse's own left side, near side",
        "Bramble: the horse's own right side, off side",
        "Bramble: from above, the middle line",
    ]
    assert views[0].findtext(f"{SVG}desc") == (
        "girth line, left: would not allow touch. withers, left: 5 of 10, flinches. Examined and quiet: ribs."
    )
    assert views[1].findtext(f"{SVG}desc") == "Nothing is marked on this view."
    every = []
    for view in views:
        ids = {element.get("id") for element in view.iter() if element.get("id")}
        assert {view.get("aria-labelledby"), view.get("aria-describedby")} == ids
        every += sorted(str(name) for name in ids)
    assert len(every) == len(set(every)) == 6


def test_a_place_without_a_point_is_said_not_dropped() -> None:
    fragment = draw_body_map(_points(), [Mark("left_eyebrow", "left", 6.0, "", "graded")], title="T")
    assert "Not on the picture: left eyebrow, left: 6 of 10." in "".join(_tree(fragment).itertext())


def test_the_three_views_wrap_by_themselves() -> None:
    fragment = draw_body_map(_points(), [], title="T")
    assert len(_views(fragment)) == 3
    assert re.search(r"\.bm-views\{[^}]*flex-wrap:wrap", fragment)
    boxes = [div for div in _tree(fragment).iter("div") if (div.get("class") or "").startswith("bm-view ")]
    boxes += [div for div in _tree(fragment).iter("div") if div.get("class") == "bm-view"]
    assert [len(list(box)) for box in boxes] == [1, 1, 1]


def test_everything_from_outside_is_escaped() -> None:
    nasty = "<script>alert('x')</script> & \"quotes\""
    points = [MapPoint("croup", nasty, "side", 586, 188), MapPoint("tail_head", nasty, "above", 722, 130)]
    marks = [Mark("croup", "left", 5.0, nasty, "graded"), Mark("tail_head", None, 5.0, nasty, "graded")]
    marks += [Mark(nasty, "left", 5.0, nasty, "graded")]
    fragment = draw_body_map(points, marks, title=nasty)
    assert "<script" not in fragment
    assert nasty in (_views(fragment)[0].findtext(f"{SVG}title") or "")
    assert nasty in "".join(_tree(fragment).itertext())


# --- crowding and sameness ----------


def _everything() -> tuple[list[MapPoint], list[Mark]]:
    points = _points()
    marks = []
    both: tuple[Side | None, ...] = ("left", "right")
    for number, point in enumerate(points):
        sides = both if point.view == "side" and point.key != "breastbone" else (None,)
        marks += [Mark(point.key, side, float(number % 11), "", "graded") for side in sides]
    return points, marks


def test_no_badge_covers_another_even_when_every_place_is_marked() -> None:
    points, marks = _everything()
    for view in _views(draw_body_map(points, marks, title="T")):
        badges = _badges(view, "graded")
        assert len(badges) > 20
        for one, other in combinations(badges, 2):
            assert math.dist(one[:2], other[:2]) >= one[2] + other[2] - 0.2, (one, other)


def test_badges_stay_by_their_places() -> None:
    points, marks = _everything()
    left, _, above = _views(draw_body_map(points, marks, title="T"))
    at = {point.key.replace("_", " "): point for point in points}
    for group in left.iter(f"{SVG}g"):  # with every place marked, each badge still covers its own place
        if group.get("class") == "bm-mark bm-graded":
            point = at[(group.findtext(f"{SVG}title") or "").split(",")[0].split(":")[0]]
            circle = group.find(f"{SVG}circle")
            assert circle is not None
            x, y, radius = (float(circle.get(which, "")) for which in ("cx", "cy", "r"))
            assert math.dist((x, y), (point.x, point.y)) <= radius, point.key
    anchors = {
        (float(dot.get("cx", "")), float(dot.get("cy", "")))
        for dot in above.iter(f"{SVG}circle")
        if dot.get("class") == "bm-leader"
    }
    assert {(p.x, p.y) for p in points if p.key.startswith("space_")} <= anchors


def test_numbers_can_be_read_on_a_telephone() -> None:
    marks = [Mark("croup", "left", 5.0, "", "graded"), Mark("withers", "right", 3.5, "", "graded")]
    for view, number in zip(_views(draw_body_map(_points(), marks, title="T")), ("5", "3.5"), strict=False):
        (text,) = (t for t in view.iter(f"{SVG}text") if t.text == number)
        wide = float(view.get("viewBox", "").split()[2])
        assert float(text.get("font-size", "")) * 328 / wide >= 9  # a telephone 360 wide leaves the picture 328 pixels


def test_neighbouring_spaces_keep_their_names_and_their_lines() -> None:
    points = _points()
    keys = ("space_t13_t14", "space_t14_t15", "space_t15_t16")
    marks = [Mark(key, None, 4.0, "", "graded") for key in keys]
    above = _views(draw_body_map(points, marks, title="T"))[2]
    badges = _badges(above, "graded")
    for key in keys:
        x = next(point.x for point in points if point.key == key)
        assert [badge for badge in badges if badge[0] == x]  # straight off the line, never over the next space
        assert key.replace("_", " ") in [words for words, _ in _texts(above)]


def test_quiet_dots_never_move_and_are_not_covered() -> None:
    spots = [Spot(100, 100, 4.5, fixed=True), Spot(104, 100, 11.5), Spot(104, 100, 11.5)]
    centres = make_room(spots, width=800, height=560)
    assert math.dist(centres[0], (100.0, 100.0)) == 0
    for (a, one), (b, other) in combinations(list(zip(centres, spots, strict=True)), 2):
        assert math.dist(a, b) >= one.radius + other.radius - 0.2


def test_the_same_input_gives_the_same_text() -> None:
    points, marks = _everything()
    once = draw_body_map(points, marks, title="T")
    assert draw_body_map(points, marks, title="T") == once
    body = re.sub(r"bm-[0-9a-f]{10}", "", once)  # the order of the marks changes the ids and nothing else
    assert re.sub(r"bm-[0-9a-f]{10}", "", draw_body_map(points, marks[::-1], title="T")) == body


def test_nothing_depends_on_the_run() -> None:
    code = (
        "from reasoner.rendering.body_map import *\n"
        "p=[MapPoint(f'p{i}','n','side',300+4*i,200) for i in range(9)]\n"
        "m=[Mark(f'p{i}','left',float(i),'','graded') for i in range(9)]\n"
        "print(draw_body_map(p,m,title='T'))"
    )
    outputs = set()
    for seed in ("1", "2"):
        run = {**os.environ, "PYTHONHASHSEED": seed}
        done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=run, check=True, capture_output=True)
        outputs.add(done.stdout)
    assert len(outputs) == 1
