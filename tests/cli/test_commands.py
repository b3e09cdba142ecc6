"""The command line as a tired, hurried person meets it: honest exit codes, whole files or none, errors in plain words.

In: commands. Out: what they print, write and return.
Not here: the wording of a whole page.
"""

from __future__ import annotations

import itertools
import json
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import COMMANDS, cli

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
BRAMBLE = str(EXAMPLES / "bramble.yaml")


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


@pytest.mark.parametrize("name", COMMANDS)
def test_help_has_an_example(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Example:" in result.output
    assert f"reasoner {name}" in result.output


@pytest.mark.parametrize("words", [["assess"], ["plan"], ["why", "withers"], ["firm", "--rows", "50"], ["overturn"]])
def test_json_is_json_and_words_are_words(words: list[str]) -> None:
    name, *rest = words
    plain, data = run(name, BRAMBLE, *rest), run(name, BRAMBLE, *rest, "--json")
    assert plain.exit_code == data.exit_code == 0
    told = json.loads(data.stdout)  # a command that takes longer than a second says on standard error what it is at
    assert told["schema_version"]
    assert told["rulebase"]
    assert not plain.stdout.lstrip().startswith("{")


def test_what_a_long_command_is_at_is_told_beside_its_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    seconds = itertools.count(step=2)
    monkeypatch.setattr("reasoner.cli.overturn.time", SimpleNamespace(monotonic=lambda: next(seconds)))
    slow = run("overturn", BRAMBLE, "--json")
    assert slow.stderr.startswith("still looking: ")
    assert json.loads(slow.stdout)["schema_version"]


def test_it_works_from_any_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("assess", BRAMBLE).exit_code == 0


@pytest.mark.parametrize("name", ["assess", "plan"])
def test_a_file_that_is_not_there(name: str, tmp_path: Path) -> None:
    for path, word in ((tmp_path / "nothing.yaml", "no such file"), (tmp_path, "folder")):
        result = run(name, str(path))
        assert result.exit_code == 2
        assert "YM01" in result.stderr
        assert word in result.stderr


def test_everything_wrong_at_once_also_as_json(tmp_path: Path) -> None:
    visit = tmp_path / "v.yaml"
    visit.write_text("visit: 2026-04-18\npalpation: {withrs: {left: 4}, loin: {left: 11}}\nriden: {}\n")
    result = run("assess", str(visit))
    assert result.exit_code == 2
    assert "withers" in result.stderr
    assert "11" in result.stderr
    assert "ridden" in result.stderr
    assert not result.stdout
    told = json.loads(run("assess", str(visit), "--json").stdout)
    assert len(told["problems"]) == 3
    assert {p["line"] for p in told["problems"]} == {2, 3}


def test_the_nearest_command_and_place_are_named() -> None:
    assert 'Near: "assess"' in run("asess", BRAMBLE).output
    assert "girth line" in run("why", BRAMBLE, "girth lien").stderr


def test_why_refuses_a_side_on_the_midline() -> None:
    result = run("why", BRAMBLE, "crest of the neck", "--side", "left")
    assert result.exit_code == 2
    assert "midline" in result.stderr


def test_why_reads_latin_near_and_off() -> None:
    near = run("why", BRAMBLE, "near withers")
    assert near.exit_code == 0
    assert near.output == run("why", BRAMBLE, "withers", "--side", "left").output


def test_why_reads_a_place_without_quotation_marks_and_a_side_behind_it() -> None:
    wanted = run("why", BRAMBLE, "withers", "--side", "left").output
    assert run("why", BRAMBLE, "withers", "left").output == wanted
    assert run("why", BRAMBLE, "behind", "the", "shoulder", "blade").exit_code == 0


def test_a_mistyped_file_is_answered_with_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "bramble.yaml").write_text("visit: 2026-04-18\n")
    result = run("assess", str(tmp_path / "bramle.yaml"))
    assert result.exit_code == 2
    assert 'Near: "bramble.yaml"' in result.stderr


def test_a_report_never_writes_over_another_file(tmp_path: Path) -> None:
    other = tmp_path / "letter.html"
    other.write_text("dear owner")
    result = run("report", BRAMBLE, "-o", str(other))
    assert result.exit_code == 2
    assert other.read_text() == "dear owner"
    visit = tmp_path / "visit.yaml"
    visit.write_text((EXAMPLES / "bramble.yaml").read_text())
    assert run("report", str(visit), "-o", str(visit)).exit_code == 2
    assert visit.read_text() == (EXAMPLES / "bramble.yaml").read_text()


def test_a_report_replaces_its_own_earlier_self(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    assert run("report", BRAMBLE, "-o", str(page)).exit_code == 0
    draft = page.read_text()
    assert run("report", BRAMBLE, "-o", str(page), "--approved-by", "Wren Aldous").exit_code == 0
    assert page.read_text() != draft
    assert "Wren Aldous" in page.read_text()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["page.html"]


def test_nothing_is_half_written(tmp_path: Path) -> None:
    result = run("report", BRAMBLE, "-o", str(tmp_path / "nowhere" / "page.html"))
    assert result.exit_code == 2
    assert "CL04" in result.stderr
    assert not list(tmp_path.iterdir())


def test_a_blank_name_is_no_approval(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    assert "draft" in run("report", BRAMBLE, "-o", str(page), "--approved-by", "  ").output


def test_new_never_writes_over_a_visit(tmp_path: Path) -> None:
    visit = tmp_path / "visit.yaml"
    assert run("new", str(visit)).exit_code == 0
    first = visit.read_text()
    assert run("new", str(visit)).exit_code == 2
    assert visit.read_text() == first


def test_a_blank_visit_once_dated_is_answered(tmp_path: Path) -> None:
    visit = tmp_path / "visit.yaml"
    run("new", str(visit))
    assert run("assess", str(visit)).exit_code == 2
    visit.write_text(visit.read_text().replace("visit:  ", "visit: 2026-04-18  ", 1))
    assert run("assess", str(visit)).exit_code == 0


def test_a_practice_layer_over_the_shipped_rules(tmp_path: Path) -> None:
    before = json.loads(run("assess", BRAMBLE, "--json").output)
    rule = before["conclusions"][0]["supporting"][0]["rule"]
    (tmp_path / "changes.yaml").write_text(f"- {{rule: {rule}, switched: off, because: a trial}}\n")
    after = json.loads(run("assess", BRAMBLE, "--json", "--rules", "shipped", "--rules", str(tmp_path)).output)
    assert after["rulebase"] != before["rulebase"]
    assert rule not in json.dumps(after["conclusions"])


def test_a_reader_that_goes_away_is_no_error() -> None:
    script = f"{sys.executable} -m reasoner assess {BRAMBLE} | head -1"
    done = subprocess.run(["bash", "-o", "pipefail", "-c", script], capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr
    assert "Bramble" in done.stdout


@pytest.mark.parametrize("name", ["assess", "plan"])
def test_the_short_page_counts_what_it_folds_away(name: str) -> None:
    """A folded step is counted, never hidden, and --full brings it back."""
    short, full = run(name, BRAMBLE), run(name, BRAMBLE, "--full")
    assert short.exit_code == full.exit_code == 0
    assert len(short.output.splitlines()) < len(full.output.splitlines())
    assert "--full" in short.output
    assert "--full" not in full.output
    assert json.loads(run(name, BRAMBLE, "--full", "--json").output) == json.loads(run(name, BRAMBLE, "--json").output)


def schema(name: str) -> dict[str, Any]:
    """A schema of the package."""
    found: dict[str, Any] = json.loads((Path(reasoner.__file__).parent / "rendering" / "schemas" / name).read_text())
    return found


def test_what_is_written_and_what_is_wrong_have_schemas_too(tmp_path: Path) -> None:
    """`new`, `report` and every refusal print JSON of a documented shape."""
    page, visit = str(tmp_path / "page.html"), str(tmp_path / "visit.yaml")
    for words in (["new", visit], ["report", BRAMBLE, "-o", page], ["report", BRAMBLE, "-o", page, "--for", "vet"]):
        jsonschema.validate(json.loads(run(*words, "--json").output), schema("written.json"))
    for words in (["assess", str(tmp_path)], ["why", BRAMBLE, "girth lien"], ["new", visit]):
        result = run(*words, "--json")
        assert result.exit_code == 2
        jsonschema.validate(json.loads(result.output), schema("problems.json"))


def test_new_writes_both_files_or_neither(tmp_path: Path) -> None:
    """A sheet that cannot be written leaves no visit file behind, and both names are judged at once."""
    visit, taken = tmp_path / "visit.yaml", tmp_path / "taken.html"
    taken.write_text("mine")
    for sheet, code in ((tmp_path / "nowhere" / "s.html", "CL04"), (taken, "CL03"), (visit, "CL03")):
        result = run("new", str(visit), "--sheet", str(sheet))
        assert (result.exit_code, code in result.stderr) == (2, True), result.stderr
        assert not visit.exists()
    both = run("new", str(taken), "--sheet", str(tmp_path / "nowhere" / "s.html"))
    assert both.stderr.count("CL0") == 2
    assert taken.read_text() == "mine"
