"""`reasoner note`: shown, asked, written into a visit file whole, or refused.

In: the command through click's own runner. Out: failures.
Not here: what a line means (tests/lines).
"""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli.note import command
from reasoner.rendering.schema_files import FOLDER
from reasoner.rules_cache import ready_rulebook
from reasoner.visit.reading import read_visit

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
VISIT = """\
# the whole file stays as it is
visit: 2026-04-18   # the day
palpation:
  # what the hand found
  loin: {left: 4, right: 2}   # as last time
quiet: {neck: both}
tacked up: {saddle: {lies: on the blade}}
notes: calm today   # and more
worked on:
  - {place: loin, side: left, how: held, minutes: 4, after: 3}
"""


def run(*words: str, said: str | None = None) -> Result:
    return CliRunner().invoke(command, [*words], input=said)


@pytest.fixture
def visit(tmp_path: Path) -> Path:
    path = tmp_path / "visit.yaml"
    path.write_text(VISIT)
    return path


def test_what_was_understood_is_shown_with_its_sides_large() -> None:
    told = run("right trap three, left four, bit tight")
    assert told.exit_code == 0
    assert "RIGHT withers (trap, trapezius): 3" in told.output
    assert "LEFT withers (trap, trapezius): 4, felt hard" in told.output


def test_what_a_line_replaces_is_said_before_the_yes(visit: Path) -> None:
    quiet = run("upper neck left seven, stifle left two", "--to", str(visit))
    assert "LEFT upper neck: was quiet, becomes 7" in quiet.output
    assert "LEFT stifle: 2" in quiet.output
    assert "was 2, becomes 7" in run("-", said="stifle left two\nno, seven\n").output
    held = run("loin left seven, loin right two", "--to", str(visit), "--yes")
    assert "the file says 4, and a line does not change that" in held.output
    assert "the file says 2" not in held.output, "it says the same"
    assert "left loin is 4 in the file already" in held.output


def test_what_was_left_out_says_how_much_of_the_horse_that_is() -> None:
    told = run("I've left the poll").output
    assert "top of the poll, both sides: not examined" in told
    assert "still open: behind the poll and behind the atlas wing" in told
    assert "still open" not in run("didn't do the stifles").output


def test_an_open_question_without_a_terminal_writes_nothing(visit: Path) -> None:
    told = run("loin four, stifle left two", "--to", str(visit), "--yes")
    assert told.exit_code == 2
    assert "which side? left, right or both" in told.output
    assert "nothing was written" in told.output
    assert visit.read_text() == VISIT


def test_nobody_said_yes(visit: Path) -> None:
    told = run("stifle left two", "--to", str(visit))
    assert told.exit_code == 2
    assert "LN08" in told.output
    assert visit.read_text() == VISIT


def test_a_line_goes_into_the_file_and_all_else_stays(visit: Path) -> None:
    told = run("stifle left two flinched, T13 T14 one, gums pink, pommel low, didn't do the tail head, he stood on my foot",
               "--to", str(visit), "--yes")  # fmt: skip
    assert told.exit_code == 0, told.output
    text = visit.read_text()
    for line in VISIT.splitlines():
        if not line.startswith(("notes", "tacked")):
            assert line in text.splitlines(), line
    assert "# and more" in text
    read = read_visit(visit, ready_rulebook().book.vocabulary)
    touches = {(t.place, t.side): t for t in read.touches if not t.quiet_list and t.when == "first"}
    assert str(touches["stifle", "left"].soreness) == "2"
    assert touches["stifle", "left"].responses == ("flinches",)
    assert str(touches["space_t13_t14", None].soreness) == "1"
    assert touches["tail_head", None].not_examined == "other"
    assert str(touches["loin", "left"].soreness) == "4"
    assert read.noted_value("gums") == "pink"
    assert read.noted_value("saddle_front") == "low"
    assert read.noted_value("saddle_lies") == "on_the_blade"
    assert read.noted_value("notes") == "calm today; he stood on my foot"


def test_what_the_file_says_otherwise_is_told_and_not_overwritten(visit: Path) -> None:
    told = run("loin left six", "--to", str(visit), "--yes")
    assert told.exit_code == 2
    assert "LN03" in told.output
    assert ":5:" in told.output
    assert visit.read_text() == VISIT
    assert (
        run("loin left four", "--to", str(visit), "--yes").exit_code == 0
    )  # it says the same: nothing is written twice
    assert visit.read_text() == VISIT


@pytest.mark.parametrize("name", sorted(path.name for path in EXAMPLES.glob("*.yaml")))
def test_every_example_takes_a_line(name: str, tmp_path: Path) -> None:
    book = ready_rulebook().book
    for file in filter(Path.is_file, EXAMPLES.iterdir()):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    before = read_visit(tmp_path / name, book.vocabulary)
    told = run("groin left two, ears were everywhere", "--to", str(tmp_path / name), "--yes")
    assert told.exit_code == 0, told.output
    after = read_visit(tmp_path / name, book.vocabulary)
    assert len(after.touches) == len(before.touches) + 1
    assert {(n.key, n.side, n.about) for n in before.noted} <= {(n.key, n.side, n.about) for n in after.noted}
    assert "ears were everywhere" in str(after.noted_value("notes"))


def test_refused_words_stand_as_a_comment(visit: Path) -> None:
    assert run("right handed rider", "--to", str(visit), "--yes").exit_code == 0
    assert visit.read_text() == VISIT + "# said, and not understood: right handed rider\n"


def test_many_lines_from_standard_input_and_corrections_between_them(visit: Path) -> None:
    told = run("-", "--to", str(visit), "--yes", said="stifle left two\nno, right\n\nright hock filled\n")
    assert told.exit_code == 2  # "right hock" opens a line: asked
    told = run("-", "--to", str(visit), "--yes", said="stifle left two\nno, right\n\nhock right filled\n")
    assert told.exit_code == 0, told.output
    assert "right stifle: 2" in visit.read_text()
    assert "left stifle" not in visit.read_text()
    assert "right hind joints: {felt: swollen}" in visit.read_text()


def test_what_was_left_out_stands_between_a_correction_and_the_finding_before_it() -> None:
    told = run("-", said="loin left six\ndidn't do the croup\nscratch that\n")
    assert "taken back" not in told.output
    assert '- "scratch that"' in told.output


def test_one_spot_said_twice_and_differently_is_asked() -> None:
    told = run("-", said="loin left two\nloin left four\n")
    assert told.exit_code == 2
    assert "2 or 4" in told.output


@pytest.mark.parametrize(
    "line",
    ["right trap three, left four, bit tight", "hamstring four, didn't do the legs", "left the loin, gums", "what a day",
     "loin left four once settled two"],
)  # fmt: skip
def test_json_follows_its_schema(line: str) -> None:
    told = run(line, "--json")
    schema = json.loads((FOLDER / "note.json").read_text())
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, schema)
    assert told.exit_code == (2 if answer["open_questions"] else 0)


def test_faults_are_told_in_words(visit: Path, tmp_path: Path) -> None:
    for words, code, word in (
        (("  ", ), "LN09", "no words"),
        (("loin left two", "--at", "loine"), "LN07", "loin"),
        (("loin left two", "--to", str(tmp_path / "none.yaml"), "--yes"), "YM01", "cannot be read"),
        (("loin left four " * 60,), "LN06", "several lines"),
    ):  # fmt: skip
        told = run(*words)
        assert told.exit_code == 2, told.output
        assert code in told.output
        assert word in told.output
    visit.write_text("visit: 2026-04-18\nnotes: [a, b]\n")
    told = run("what a day", "--to", str(visit), "--yes")
    assert told.exit_code == 2
    assert "Traceback" not in told.output


def test_a_place_that_is_open_takes_a_bare_line() -> None:
    told = run("left three right two", "--at", "stifle")
    assert "LEFT stifle: 3" in told.output
    assert "RIGHT stifle: 2" in told.output
