"""Tracings in a visit file and in a table beside it: every way to write them, and every way to get a table wrong.

In: texts, tables written into a folder of their own. Out: failures.
Not here: single mistakes of the visit file (test_faults.py), widths (tests/measures/).
"""

from __future__ import annotations

import dataclasses
import re
import tempfile
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given

from reasoner.problems import BadInput, Problem
from reasoner.rulebook.strict_yaml import parse
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit import read_visit
from reasoner.visit.blank import blank_visit
from reasoner.visit.model import Outline, Points
from reasoner.visit.outline_csv import COLUMNS, outlines_csv, outlines_in
from reasoner.visit.outline_shape import station_key
from reasoner.visit.reading import visit_from_node
from tests.chance import Chooser
from tests.random_visits import random_outlines
from tests.strategies import seeds

HEAD = ",".join(COLUMNS)
GOOD = [
    "back,across,T13,left,0,0", "back,across,T13,left,30,4", "back,across,T13,right,0,0", "back,across,T13,right,30,5",
]  # fmt: skip


def outlines(text: str, vocabulary: Vocabulary) -> tuple[Outline, ...]:
    node = parse(f"visit: 2026-04-18\n{text}".encode(), "made_up.yaml")
    return visit_from_node(node, "made_up.yaml", vocabulary).outlines


def points(*pairs: tuple[str, str]) -> Points:
    return tuple((Decimal(out), Decimal(down)) for out, down in pairs)


# -- the visit file ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "written",
    [
        "0/0 30/4.5 60/15",
        '"0/0 30/4.5 60/15"',
        '"0/0, 30/4.5, 60/15"',
        '"0 0, 30 4.5, 60 15"',
        '"0/0; 30 / 4.5; 60/15"',
        "[[0, 0], [30, 4.5], [60, 15]]",
        "[0/0, 30/4.5, 60/15]",
    ],
)
def test_every_way_to_write_points_reads_alike(written: str, shipped: Vocabulary) -> None:
    (outline,) = outlines(f"back tracings: {{T13: {{left: {written}, right: 0/0 30/5}}}}", shipped)
    assert outline.left == points(("0", "0"), ("30", "4.5"), ("60", "15"))
    assert (outline.of, outline.plane, outline.station) == ("back", "across", "t13")


@pytest.mark.parametrize(("unit", "one_mm"), [("mm", "1"), ("cm", "0.1"), ("millimetres", "1")])
def test_a_unit_stands_once_for_every_point(unit: str, one_mm: str, shipped: Vocabulary) -> None:
    size = Decimal(one_mm)
    text = f"back tracings: {{units: {unit}, T13: {{both: 0/0 {30 * size}/{4 * size}}}}}"
    (outline,) = outlines(text, shipped)
    assert outline.left == outline.right == points(("0", "0"), ("30", "4"))


def test_inches_are_exact(shipped: Vocabulary) -> None:
    (outline,) = outlines("back tracings: {T13: {both: 0/0 1.25/0.5}, units: in}", shipped)
    assert outline.left == points(("0", "0"), ("31.75", "12.7"))


def test_a_full_back_may_rise_beside_its_midline(shipped: Vocabulary) -> None:
    """Written from the midline it goes above 0; held down from the highest point, of both sides together."""
    (outline,) = outlines("back tracings: {T13: {left: 0/0 30/-4 60/15, right: 0/0 30/-6 60/15}}", shipped)
    assert outline.left == points(("0", "6"), ("30", "2"), ("60", "21"))
    assert outline.right == points(("0", "6"), ("30", "0"), ("60", "21"))


def test_a_line_along_keeps_what_rises(shipped: Vocabulary) -> None:
    (outline,) = outlines("back tracings: {along the back: {left: 0/0 100/5 300/-8, right: 0/0 300/2}}", shipped)
    assert (outline.plane, outline.station) == ("along", "")
    assert outline.left == points(("0", "0"), ("100", "5"), ("300", "-8"))


def test_a_saddle_begins_at_its_channel(shipped: Vocabulary) -> None:
    (outline,) = outlines(
        "saddle tracings: {T13: {left: 25/3 60/15, right: 25/1 60/17, note: the tree alone}}", shipped
    )
    assert outline.of == "saddle"
    assert outline.left[0] == (Decimal(25), Decimal(2))
    assert outline.note == "the tree alone"


@pytest.mark.parametrize(
    ("word", "key"),
    [("T13", "t13"), ("t 13", "t13"), ("Th08", "t8"), ("L1", "l1"), ("withers", "withers"), ("side of the withers", "withers"),
     ("a hand behind the girth", "a_hand_behind_the_girth")],
)  # fmt: skip
def test_a_station_has_one_name(word: str, key: str, shipped: Vocabulary) -> None:
    assert station_key(shipped.place_of, word) == key


def test_both_headings_of_one_station_are_two_lines(shipped: Vocabulary) -> None:
    found = outlines("back tracings: {T13: {both: 0/0 30/4}}\nsaddle tracings: {T13: {both: 20/0 30/4}}", shipped)
    assert [one.of for one in found] == ["back", "saddle"]


# -- the table ---------------------------------------------------------------------------------------------------------


def table(folder: Path, *rows: str, head: str = HEAD, name: str = "tracing.csv") -> Path:
    path = folder / name
    path.write_text("\n".join([head, *rows]) + "\n", "utf-8")
    return path


def wrong(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as bad:
        outlines_in(path, {})
    return bad.value.problems


def test_a_table_beside_the_visit_file_is_read(
    tmp_path: Path, shipped: Vocabulary, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where the command is run from another folder, and from a folder of its own beside the visit."""
    home, other = tmp_path / "visits", tmp_path / "elsewhere"
    (home / "tables").mkdir(parents=True)
    other.mkdir()
    table(home / "tables", *GOOD, "saddle,across,T13,left,20,0", "saddle,across,T13,left,60,9",
          "saddle,across,T13,right,20,0", "saddle,across,T13,right,60,8", "back,along,,left,0,0", "back,along,,left,90,-3",
          "back,along,,right,0,0", "back,along,,right,90,2")  # fmt: skip
    (home / "visit.yaml").write_text("visit: 2026-04-18\nback tracings:\n  file: tables/tracing.csv\n")
    monkeypatch.chdir(other)
    visit = read_visit(Path("../visits/visit.yaml"), shipped)
    assert [(one.of, one.plane, one.station, one.line) for one in visit.outlines] == [
        ("back", "across", "t13", 3), ("saddle", "across", "t13", 3), ("back", "along", "", 3),
    ]  # fmt: skip
    assert visit.warnings == ()


def test_a_table_without_what_goes_without_saying(tmp_path: Path) -> None:
    """of and plane may be left out; semicolons, a mark of the file's beginning, empty rows and remarks are read over."""
    path = tmp_path / "tracing.csv"
    rows = [
        "# traced by Wren Aldous",
        "Station;Side;Out (mm);Down_mm",
        "T8;left;0;0",
        "",
        "T8;Left;30.5;4",
        "T8;R;0;0",
        "T8;R;31;4",
    ]
    path.write_bytes(b"\xef\xbb\xbf" + "\r\n".join(rows).encode())
    ((_, outline),) = outlines_in(path, {})
    assert (outline.of, outline.plane, outline.station) == ("back", "across", "t8")
    assert outline.left == points(("0", "0"), ("30.5", "4"))


@pytest.mark.parametrize(
    ("rows", "line", "code", "words"),
    [
        (["back,across,T13,left,thirty,4"], 6, "MS21", ["out_mm", '"thirty"']),
        (["back,across,T13,left,60,"], 6, "MS21", ["down_mm", "nothing was read"]),
        (["back,across,T13,left,60,15 mm"], 6, "MS21", ["bare number"]),
        (['back,across,T13,left,60,"15,5"'], 6, "MS21", ["with a dot"]),
        (["back,across,T13,middle,60,15"], 6, "MS21", ["side", '"middle"', "left or right"]),
        (["back,across,T13,lefft,60,15"], 6, "MS21", ['"lefft"', 'Near: "left"']),
        (["bak,across,T13,left,60,15"], 6, "MS21", ['"bak"', "back or saddle"]),
        (["back,acros,T13,left,60,15"], 6, "MS21", ['"acros"', "across"]),
        (["back,across,,left,60,15"], 6, "MS21", ["station"]),
        (["back,across,T13,left"], 6, "MS21", ["out_mm", "nothing was read"]),
        (["back,across,T13,left,25,15"], 6, "VF52", ["T13, left", "25/15", "30/4"]),
        (["back,across,T18,left,0,0"], 6, "VF53", ["T18, left", "one point"]),
        (["back,across,T18,left,9,0", "back,across,T18,left,20,3"], 6, "VF52", ["9 mm out"]),
        (["back,across,T13,left,4000,15"], 6, "VF57", ["4000"]),
    ],
)  # fmt: skip
def test_a_bad_row_is_told_with_its_line(
    rows: list[str], line: int, code: str, words: list[str], tmp_path: Path
) -> None:
    path = table(tmp_path, *GOOD, *rows)
    (problem,) = wrong(path)
    assert (problem.file, problem.line, problem.code) == (str(path), line, code)
    for word in words:
        assert word in str(problem)


def test_every_bad_row_is_told_at_once(tmp_path: Path) -> None:
    path = table(tmp_path, *GOOD, "back,across,T13,left,x,4", "back,across,T13,up,40,4")
    assert [problem.line for problem in wrong(path)] == [6, 7]


def test_a_table_of_nothing_but_mistakes_is_not_read_to_its_end(tmp_path: Path) -> None:
    problems = wrong(table(tmp_path, *["back,across,T13,left,x,4"] * 5000))
    assert len(problems) == 201
    assert [problem.code for problem in problems if problem.line == 0] == ["VF26"]


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("of,plane,station,side,out_mm", ["no column down_mm"]),
        ("of,plane,station,side,out_mm,down_mm,dwn_mm", ['"dwn_mm"', "down_mm"]),
        ("of,plane,station,side,out_mm,down_mm,side", ["side stands twice"]),
        ("T13,left,0,0", ['"T13,left,0,0"', "names the columns"]),
    ],
)
def test_columns_that_are_not_as_expected(head: str, words: list[str], tmp_path: Path) -> None:
    problems = wrong(table(tmp_path, *GOOD, head=head))
    assert {(problem.line, problem.code) for problem in problems} == {(1, "MS20")}
    for word in words:
        assert word in str(problems[0]) + str(problems[-1])


@pytest.mark.parametrize("text", ["", "\n\n", HEAD + "\n"])
def test_a_table_without_points(text: str, tmp_path: Path) -> None:
    path = tmp_path / "tracing.csv"
    path.write_text(text)
    (problem,) = wrong(path)
    assert problem.code == "MS20"


def test_a_table_that_is_no_text(tmp_path: Path) -> None:
    path = tmp_path / "tracing.csv"
    path.write_bytes(b"of,plane\x00\x01")
    assert [problem.code for problem in wrong(path)] == ["YM03"]


def test_a_bad_table_keeps_the_visit_from_being_read_and_is_named(tmp_path: Path, shipped: Vocabulary) -> None:
    path = table(tmp_path, *GOOD, "back,across,T13,left,x,4")
    (tmp_path / "visit.yaml").write_text(
        "visit: 2026-04-18\nback tracings: {file: tracing.csv}\npalpation: {loin: 11}\n"
    )
    with pytest.raises(BadInput) as bad:
        read_visit(tmp_path / "visit.yaml", shipped)
    assert {(problem.file, problem.line) for problem in bad.value.problems} >= {(str(path), 6)}
    assert len(bad.value.problems) == 2  # the sore loin too: everything wrong is told at once


@given(seeds())
def test_a_table_written_and_read_is_the_same_tracing(chooser: Chooser) -> None:
    first = tuple(random_outlines(chooser))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tracing.csv"
        path.write_text(outlines_csv(first), "utf-8")
        again = tuple(dataclasses.replace(outline, line=1) for _, outline in outlines_in(path, {}))
    assert again == first


def test_the_example_in_the_blank_visit_file_reads(shipped: Vocabulary) -> None:
    rows = [
        row for row in blank_visit(shipped).splitlines() if "tracing" in row or re.match(r"#   (units|T13|along)", row)
    ]
    rows = [row.removeprefix("# ") for row in rows if "file:" not in row]
    found = outlines("\n".join(rows), shipped)
    assert [(one.of, one.plane, one.station) for one in found] == [
        ("back", "across", "t13"), ("back", "along", ""), ("saddle", "across", "t13"),
    ]  # fmt: skip
