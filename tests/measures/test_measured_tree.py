"""A tree against a back as entries, as words, as JSON, as a picture, and as a command."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from reasoner.cli import cli
from reasoner.consult import consult, load_rulebook
from reasoner.facts.measured_tree import worked_out
from reasoner.rendering.measured import measured
from reasoner.rendering.measured_tree import told_of
from reasoner.rendering.schema_files import FOLDER
from reasoner.visit.model import Noted, Outline, Visit, mirrored
from reasoner.visit.outline_csv import outlines_csv
from tests.measures.shapes import Side, fall, hollow

BOOK = load_rulebook(None).book
EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "larch.csv"
DAY = date(2026, 4, 18)


def exact(side: Side) -> tuple[tuple[Decimal, Decimal], ...]:
    return tuple((Decimal(str(round(x, 3))), Decimal(str(round(z, 3)))) for x, z in side)


def across(of: str, left: Side, right: Side, station: str = "withers") -> Outline:
    return Outline(of=of, plane="across", station=station, left=exact(left), right=exact(right), line=7)  # type: ignore[arg-type]


def along(of: str, left: Side, right: Side) -> Outline:
    return Outline(of=of, plane="along", left=exact(left), right=exact(right), line=9)  # type: ignore[arg-type]


BACK = across("back", fall(1.0, 160.0), fall(1.0, 160.0))
STRAIGHT: Side = tuple((50.0 * n, 0.0) for n in range(9))


def visit(*outlines: Outline, noted: tuple[Noted, ...] = ()) -> Visit:
    return Visit(file="visit.yaml", day=DAY, outlines=outlines, noted=noted)


def found(one: Visit) -> Mapping[tuple[str, str | None], str]:
    return {(n.key, n.side): str(n.value) for n in worked_out(one, BOOK)}


def tree(slope: float, other: float | None = None) -> Outline:
    return across("saddle", fall(slope, 120.0), fall(other or slope, 120.0))


def rib(key: str, mm: str) -> tuple[Noted, ...]:
    return (Noted(key=key, value=Decimal(mm), written=f"{mm} mm", line=3, kind="number"),)


# -- entries


@pytest.mark.parametrize(
    ("slope", "word"), [(1.3, "narrower"), (1.05, "follows"), (1.0, "follows"), (0.96, "follows"), (0.75, "wider")]
)
def test_the_angle_of_each_side_is_an_entry(slope: float, word: str) -> None:
    entries = found(visit(BACK, tree(slope)))
    assert entries["tree_angle_by_tracing", "left"] == entries["tree_angle_by_tracing", "right"] == word
    assert (("clearance", None) in entries) == (word == "wider")


def test_an_entry_names_its_line_and_its_numbers() -> None:
    for noted in worked_out(visit(BACK, tree(1.3)), BOOK):
        assert noted.line == 7
        assert re.search(r"7\.4 degrees steeper than the back, give or take \d\.\d", noted.written)


def test_what_is_seen_at_another_station_says_nothing_of_the_front() -> None:
    back, saddle = (replace(one, station="t18") for one in (BACK, tree(1.3)))
    assert found(visit(back, saddle)) == {}


@pytest.mark.parametrize(
    ("back", "panel", "word"),
    [(hollow(17.0, 400.0, 16), STRAIGHT, "bridges"), (STRAIGHT, hollow(17.0, 400.0, 16), "rocks"),
     (hollow(4.0, 400.0, 16), STRAIGHT, "even")],
)  # fmt: skip
def test_the_contact_along_is_the_entry_of_the_hand(back: Side, panel: Side, word: str) -> None:
    one = visit(along("back", back, back), along("saddle", panel, panel))
    assert found(one) == {("panel_contact", None): word}


def test_sides_that_say_different_things_give_no_entry() -> None:
    one = visit(along("back", hollow(17.0, 400.0, 16), STRAIGHT), along("saddle", STRAIGHT, hollow(17.0, 400.0, 16)))
    assert found(one) == {}


@pytest.mark.parametrize(
    ("key", "mm", "word"),
    [("ends_behind_the_last_rib", "45", "behind_the_last_rib"), ("ends_behind_the_last_rib", "15", "at_the_last_rib"),
     ("ends_before_the_last_rib", "45", "before_the_last_rib"), ("ends_before_the_last_rib", "0", "at_the_last_rib")],
)  # fmt: skip
def test_the_length_follows_from_the_distance(key: str, mm: str, word: str) -> None:
    assert found(visit(noted=rib(key, mm))) == {("saddle_length", None): word}


def test_both_ways_round_say_nothing() -> None:
    both = rib("ends_behind_the_last_rib", "45") + rib("ends_before_the_last_rib", "45")
    assert found(visit(noted=both)) == {}


def test_what_cannot_be_laid_down_is_no_entry_and_is_told() -> None:
    short = across("saddle", fall(1.0, 190.0), fall(1.0, 190.0))
    one = visit(BACK, short)
    assert found(one) == {}
    told = [told for told in measured(one, BOOK) if told.key == "tree"]
    assert "the back was traced to 160 mm" in " ".join(told[0].not_measured)


def test_mirror() -> None:
    one = visit(BACK, tree(1.3, 1.0))
    there = {(key, {"left": "right", "right": "left"}.get(side or "", side)): value
             for (key, side), value in found(one).items()}  # fmt: skip
    assert there == found(mirrored(one))


def test_a_narrow_tree_speaks_on_its_page(tmp_path: Path) -> None:
    """From a visit file to the answer: traced steep on both sides and high in front."""
    lines = [
        "visit: 2026-04-18",
        "tacked up: {saddle: {front: high}}",
        "back tracings:",
        "  withers: {both: 0/0 60/60 160/160}",
    ]
    lines += ["saddle tracings:", "  withers: {both: 0/0 60/78 120/156}"]
    path = tmp_path / "visit.yaml"
    path.write_text("\n".join(lines) + "\n")
    answer = consult(path, load_rulebook(None))
    bands = {key[0]: one.band for key, one in answer.explanation.concluded.items()}
    assert bands["tree_too_narrow"] == "fair"


# -- words


def test_every_number_is_told_with_its_range_and_its_assumption() -> None:
    told = next(told_of((BACK, tree(1.3)), 80.0, BOOK.measures["tree"]))
    text = " ".join(told.lines)
    assert "7.4° steeper" in text
    assert "own setting" in told.rests_on
    assert re.search(r"sinks \d+ mm \(\d+ to \d+\)", text)
    assert any("Pressure is not pain" in one for one in told.cautions)
    left, right = map(int, re.findall(r"bears (\d+) N and the right (\d+) N", text)[0])
    assert left + right == pytest.approx(80 * 9.80665, abs=1.0)


def test_an_assumed_load_is_said() -> None:
    told = next(iter(one for one in measured(visit(BACK, tree(1.0)), BOOK) if one.key == "tree"))
    assert any("is assumed" in one for one in told.not_measured)


# -- picture


def test_the_picture_is_whole_and_says_left_at_the_left() -> None:
    told = next(told_of((BACK, tree(1.3)), 80.0, BOOK.measures["tree"]))
    root = ElementTree.fromstring(told.picture)
    space = "{http://www.w3.org/2000/svg}"
    assert root.find(f"{space}title") is not None
    assert "own left at the left" in (root.findtext(f"{space}desc") or "")
    at = {text.text: float(text.attrib["x"]) for text in root.iter(f"{space}text")}
    assert at["LEFT"] < at["seen from behind"] < at["RIGHT"]
    words = [text.text or "" for text in root.iter(f"{space}text")]
    assert words.count("touches") == 2
    assert sum(bool(re.fullmatch(r"clear \d+ mm", word)) for word in words) == 2
    assert min(map(float, re.findall(r"font(?:-size)?:(\d+)px", told.picture))) >= 12


def test_the_mirrored_picture_has_its_words_on_the_other_side() -> None:
    crooked = across("saddle", fall(1.35, 120.0, first=45.0), fall(1.0, 120.0, first=45.0))
    one = visit(BACK, crooked)

    def where(of: Visit) -> dict[str, list[float]]:
        told = next(told_of(of.outlines, 80.0, BOOK.measures["tree"]))
        texts = ElementTree.fromstring(told.picture).iter("{http://www.w3.org/2000/svg}text")
        out: dict[str, list[float]] = {}
        for text in texts:
            if (text.text or "").startswith(("clear", "presses most")) and float(text.attrib["y"]) < 200:
                out.setdefault(text.text or "", []).append(float(text.attrib["x"]))
        return out

    here, there = where(one), where(mirrored(one))
    assert here
    assert {word: [390 - x for x in places] for word, places in here.items()} == there


# -- the command


def run(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(cli, ["measure", "tree", *words])
    return result.exit_code, result.stdout, result.stderr


def test_the_example_is_told_and_drawn(tmp_path: Path) -> None:
    picture = tmp_path / "larch.svg"
    code, out, _ = run(str(EXAMPLE), "--load", "85 kg", "--ends-behind", "30 mm", "--picture", str(picture))
    assert code == 0
    for words in ("narrower than the back", "bridges", "30 mm behind the last rib", "85 kg"):
        assert words in " ".join(out.split())
    ElementTree.fromstring(picture.read_text())
    drawn = picture.read_text()
    assert run(str(EXAMPLE), "--picture", str(picture))[0] == 2  # an older picture is kept like any other file
    assert picture.read_text() == drawn
    picture.write_text("mine")
    assert run(str(EXAMPLE), "--picture", str(picture))[0] == 2


def test_json_keeps_its_schemas() -> None:
    code, out, _ = run(str(EXAMPLE), "--ends-before", "2 in", "--json")
    assert code == 0
    data = json.loads(out)
    jsonschema.validate(data, json.loads((FOLDER / "measured.json").read_text()))
    numbers = json.loads((FOLDER / "measure_tree.json").read_text())
    for one in data["measured"]:
        jsonschema.validate(one["numbers"], numbers)
    assert data["measured"][-1]["numbers"]["end"]["behind_the_last_rib_mm"] == pytest.approx(-50.8)


def test_units_of_the_load() -> None:
    """80 kg and the same in stones and pounds carry alike."""
    first, second = (json.loads(run(str(EXAMPLE), "--station", "withers", "--load", load, "--json")[1])
                     for load in ("80 kg", "176.369809747 lb"))  # fmt: skip
    one, other = (data["measured"][0]["numbers"]["across"] for data in (first, second))
    assert one["loaded"][1]["sinks_mm"] == pytest.approx(other["loaded"][1]["sinks_mm"], abs=1e-6)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--load", "80"], "MS39 --load: the unit is missing"),
        (["--load", "0 kg"], "MS33.*more than 0 and up to 250 kg"),
        (["--load", "400 kg"], "MS33.*up to 250 kg"),
        (["--load", "-5 kg"], "MS39.*less than nothing"),
        (["--station", "Withers"], r"^$"),
        (["--station", "wither"], 'MS34.*Near: "withers"'),
        (["--station", "T18"], 'MS34.*"T18" was not traced on both back and saddle; traced on both: withers'),
        (["--ends-behind", "30 mm", "--ends-before", "10 mm"], "MS37.*both before and behind"),
        (["--ends-behind", "far"], "MS39 --ends-behind"),
    ],
)  # fmt: skip
def test_slips_are_told(words: list[str], says: str) -> None:
    code, _, err = run(str(EXAMPLE), *words)
    assert code == (0 if says == "^$" else 2)
    assert re.search(says, " ".join(err.split()))
    assert "Traceback" not in err


def test_a_table_without_a_saddle_is_told(tmp_path: Path) -> None:
    path = tmp_path / "back.csv"
    path.write_text(outlines_csv([BACK]))
    code, _, err = run(str(path))
    assert (code, "MS38" in err) == (2, True)
    path.write_text(outlines_csv([BACK, across("saddle", fall(1.0, 190.0), fall(1.0, 190.0))]))
    code, _, err = run(str(path))
    assert (code, "MS32" in err, "190 mm" in err) == (2, True, True)
