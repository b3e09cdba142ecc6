"""The blank visit file and the printable sheet hold every word of the vocabulary, in walking order.

In: the shipped vocabulary. Out: what a practitioner finds on the two.
Not here: how the lines are read once filled in (test_reading.py).
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

from reasoner.quantities import BASE_UNIT, dimension_of
from reasoner.rendering.sheet import printable_sheet
from reasoner.rulebook.strict_yaml import parse
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit import Visit, read_visit, visit_from_node
from reasoner.visit.blank import blank_visit
from reasoner.visit.walk import Line, walk_round


def answer(line: Line, vocabulary: Vocabulary) -> str:
    """Something the line may hold: the last reading it offers, or the middle of the possible numbers."""
    if line.kind == "touch":
        return "4"
    if line.kind in ("word", "leg"):
        return line.words[-1]
    if line.kind == "date":
        return "2026-04-10"
    if line.kind != "number":
        return "3"
    ranges = {o.range for o in vocabulary.observations.values() if (o.name, o.unit) == (line.name, line.unit)}
    low, high = next(iter(ranges)) or (1.0, 1.0)
    return f"{(low + high) / 2:g} {BASE_UNIT[dimension_of(line.unit)]}"


def filled(vocabulary: Vocabulary) -> str:
    """The blank file with every line filled in, section by section."""
    lines = {
        (part.name, line.name): line
        for heading in walk_round(vocabulary)
        for part in (heading, *heading.inner)
        for line in part.lines
    }
    rows, here = [], "the visit"
    for row in blank_visit(vocabulary).splitlines():
        if row and row[0] not in "# ":
            here = row.partition(":")[0]
        elif row.startswith("  ") and row[2] not in "# ":
            here = row.strip().partition(":")[0]
        elif row.startswith("# "):
            here = "the visit"
        found = re.fullmatch(r"( *)# ([^:{}|]+):( \{left: , right: \})? *(#.*)?", row)
        if found and (here, found[2]) in lines:
            value = answer(lines[here, found[2]], vocabulary)
            row = f"{found[1]}{found[2]}: " + (f"{{left: {value}, right: {value}}}" if found[3] else value)
        rows.append(row)
    return "\n".join(rows).replace("visit:", "visit: 2026-04-18", 1)


def test_reads_once_the_day_is_filled_in(tmp_path: Path, shipped: Vocabulary) -> None:
    path = tmp_path / "blank.yaml"
    path.write_text(blank_visit(shipped).replace("visit:", "visit: 2026-04-18", 1), "utf-8")
    visit = read_visit(path, shipped)
    assert visit.day == date(2026, 4, 18)
    assert visit.touches == ()
    assert [n.key for n in visit.noted] == ["visit"]
    assert visit.warnings == ()


def read(text: str, vocabulary: Vocabulary) -> Visit:
    return visit_from_node(parse(text.encode(), "blank"), "blank", vocabulary)


def test_every_line_reads_once_filled_in(shipped: Vocabulary) -> None:
    visit = read(filled(shipped), shipped)
    assert {t.place for t in visit.touches} == set(shipped.places)
    assert {n.key for n in visit.noted} == set(shipped.observations)
    assert {(n.key, n.side) for n in visit.noted if n.key in ("fore_step", "hind_step")} == {
        (limb, side) for limb in ("fore_step", "hind_step") for side in ("left", "right")
    }


def test_places_stand_in_walking_order_back_late(shipped: Vocabulary) -> None:
    order = [t.place for t in read(filled(shipped), shipped).touches]
    walked = sorted(shipped.places.values(), key=lambda p: (p.walk, p.key))
    assert list(dict.fromkeys(order)) == [p.key for p in walked]
    assert order.index("jaw_muscle") < order.index("girth_line") < order.index("loin") < order.index("space_t14_t15")


def test_every_region_of_the_round_can_be_marked_quiet(shipped: Vocabulary) -> None:
    text = blank_visit(shipped).replace("visit:", "visit: 2026-04-18", 1)
    before, quiet = text.split("\nquiet:\n", 1)
    regions, after = quiet.split("\n\n", 1)
    regions = regions.replace("  # ", "  ").replace(":", ": both")
    visit = read(f"{before}\nquiet:\n{regions}\n\n{after}", shipped)
    assert {t.place for t in visit.touches} == set(shipped.round)


class Page(HTMLParser):
    """The text of a page, and the tags left open."""

    def __init__(self) -> None:
        super().__init__()
        self.text: list[str] = []
        self.open: list[str] = []
        self.outside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ("meta", "br"):
            self.open.append(tag)
        self.outside += [value or "" for name, value in attrs if name in ("src", "href")]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(" ".join(data.split()))


def test_the_sheet_holds_every_line_and_reading(shipped: Vocabulary) -> None:
    page = Page()
    page.feed(printable_sheet(shipped))
    assert page.open == []
    assert page.outside == []  # self-contained
    for place in shipped.places.values():
        assert place.name in page.text
    for observation in shipped.observations.values():
        if observation.from_records:
            assert observation.name not in page.text  # nobody looks for it, so nobody is given a line for it
            continue
        if observation.section != "uneven_steps" or observation.sides == "none":
            assert observation.name in page.text
        if observation.kind == "choice":
            assert {w.key.replace("_", " ") for w in observation.readings} <= set(page.text)


def test_the_sheet_begins_with_the_first_sixty_seconds_and_sets_left_beside_right(shipped: Vocabulary) -> None:
    page = Page()
    page.feed(printable_sheet(shipped))
    assert page.text.index("at first sight") < page.text.index("before the visit") < page.text.index("LEFT (near)")
    assert page.text.index("LEFT (near)") + 1 <= page.text.index("RIGHT (off)")
    walked = [p.name for p in sorted(shipped.places.values(), key=lambda p: p.walk) if p.sides == "each"]
    start = page.text.index("LEFT (near)")
    found = [page.text.index(name, start) for name in walked if name not in {p.region for p in shipped.places.values()}]
    assert found == sorted(found)


def test_words_of_a_practice_are_escaped_on_the_sheet(shipped: Vocabulary) -> None:
    places = dict(shipped.places) | {"withers": replace(shipped.places["withers"], name="<script>alert(1)</script>")}
    assert "<script>" not in printable_sheet(replace(shipped, places=places))
