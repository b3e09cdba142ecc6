"""An apprentice's visit before it is countersigned: every road by which a page could leave, and what the data say.

In: such a visit, kept or not, and every command that tells of it. Out: nothing.
Not here: the countersignature itself (test_told_commands).
"""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.consult import judge
from reasoner.problems import BadInput
from reasoner.rendering.report import report_html
from reasoner.rendering.schema_files import FOLDER
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.track.test_told_commands import APPRENTICE

ASKED = (
    ("assess", (), "answer"), ("plan", (), "plan"), ("why", ("girth line", "--side", "left"), "why"), ("next", (), "next"),
    ("why-not", ("girth presses, left",), "why_not"), ("which-of", ("girth presses, left", "withers pinch, left"), "which_of"),
    ("suppose", ("--set", "girth line, left = 2"), "suppose"), ("overturn", (), "overturn"), ("firm", ("--rows", "20"), "firm"),
    ("explain", (), "explain"),
)  # fmt: skip
LATER = APPRENTICE.replace("2026-04-18", "2026-05-02").replace("Tam Orrin", "Wren Aldous")


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REASONER_STORE", "p.db")
    (tmp_path / "juniper.yaml").write_text(APPRENTICE)
    (tmp_path / "later.yaml").write_text(LATER)
    assert run("records", "save", "juniper.yaml").exit_code == 0
    return tmp_path


def signed() -> None:
    assert run("records", "countersign", "Juniper", "--on", "2026-04-18", "--by", "Wren Aldous").exit_code == 0


def refused(result: Result, *words: str) -> None:
    assert result.exit_code == 2, result.output
    for one in ("RE25", *words):
        assert one in result.output


@pytest.mark.parametrize(("command", "more", "schema"), ASKED, ids=[command for command, _, _ in ASKED])
def test_every_json_answer_says_whether_it_is_countersigned(
    here: Path, command: str, more: tuple[str, ...], schema: str
) -> None:
    def told(file: str) -> dict[str, object]:
        data = json.loads(run(command, file, *more, "--json").stdout)
        jsonschema.validate(data, json.loads((FOLDER / f"{schema}.json").read_text()))
        found: dict[str, object] = data["signing"]
        return found

    before = told("juniper.yaml")
    assert (before["examined_by"], before["checked_by"], before["countersigned"]) == ("Tam Orrin", "Wren Aldous", False)
    assert str(before["says"]).startswith("Not countersigned: examined by Tam Orrin")
    assert told("later.yaml") is None, "who examined answers for it"
    signed()
    after = told("juniper.yaml")
    assert (after["countersigned"], str(after["says"])[:13]) == (True, "Countersigned")
    assert after["countersigned_at"]


def test_no_road_is_open_before(here: Path) -> None:
    (here / "out").mkdir()
    roads = (
        ("report", "juniper.yaml", "-o", "a.html"), ("report", "juniper.yaml", "-o", "a.pdf"),
        ("report", "juniper.yaml", "--all", "out"), ("report", "juniper.yaml", "--all", "out", "--pdf"),
        ("report", "juniper.yaml", "-o", "a.html", "--json"), ("report", "juniper.yaml", "-o", "a.html", "--own-eyes"),
        ("report", "juniper.yaml", "-o", "a.html", "--approved-by", "Tam Orrin"),
        ("report", "juniper.yaml", "-o", "a.html", "--store", "p.db", "--part", "2"),
        ("progress", "Juniper", "-o", "a.html"), ("progress", "Juniper", "-o", "a.pdf"),
        ("progress", "Juniper", "--picture", "a.svg"), ("progress", "Juniper", "-o", "a.html", "--json"),
    )  # fmt: skip
    for road in roads:
        refused(run(*road), "Wren Aldous")
    assert sorted(path.name for path in here.iterdir() if not path.name.startswith("p.db")) == [
        "juniper.yaml",
        "later.yaml",
        "out",
    ]
    assert not list((here / "out").iterdir())
    assert "Not countersigned: 18 April 2026" in run("progress", "Juniper").output
    assert json.loads(run("progress", "Juniper", "--json").stdout)["not_countersigned"] == ["2026-04-18"]
    signed()
    assert run("progress", "Juniper", "-o", "a.html").exit_code == 0
    assert run("report", "juniper.yaml", "-o", "b.html").exit_code == 0


@pytest.mark.parametrize(
    ("was", "now"),
    [("checked by: Wren Aldous\n", ""), ("Wren Aldous", "Tam Orrin"), ("Tam Orrin", "Wren Aldous")],
)
def test_another_name_in_the_file_opens_no_road(here: Path, was: str, now: str) -> None:
    (here / "copy.yaml").write_text(APPRENTICE.replace(was, now))
    refused(run("report", "copy.yaml", "-o", "a.html"), "this file no longer says so", "records correct")
    corrected = run("records", "correct", "copy.yaml", "--by", "Wren Aldous", "--why", "I was there")
    assert corrected.exit_code == 0, corrected.output
    assert run("report", "copy.yaml", "-o", "a.html").exit_code == 0


def test_ones_own_second_visit_of_that_day_leaves_once_it_is_kept(here: Path) -> None:
    (here / "own.yaml").write_text(APPRENTICE.replace("Tam Orrin", "Wren Aldous").replace("right: 5", "right: 4"))
    refused(run("report", "own.yaml", "-o", "a.html"), "save --part")
    assert run("records", "save", "own.yaml", "--part", "2").exit_code == 0
    assert run("report", "own.yaml", "-o", "a.html").exit_code == 0


def test_what_is_compared_with_an_unsigned_visit_says_so(here: Path) -> None:
    report = ("report", "later.yaml", "-o", "a.html", "--store", "p.db")
    assert run(*report).exit_code == 0
    assert "The visit of 18 April 2026 is not countersigned yet" in (here / "a.html").read_text()
    signed()
    assert run(*report).exit_code == 0
    assert "countersigned yet" not in (here / "a.html").read_text()


def test_the_page_itself_refuses() -> None:
    seen = visit_from_bytes(APPRENTICE.encode(), "juniper.yaml", shipped().book.vocabulary)
    for reader in shipped().book.scales.readers:
        with pytest.raises(BadInput, match="RE64"):
            report_html(judge(seen, shipped()), reader, "Tam Orrin")


def test_an_emergency_is_told_to_ring_and_not_to_wait_for_a_page(here: Path) -> None:
    (here / "down.yaml").write_text(APPRENTICE.replace("Juniper", "Sedge") + "at first sight: {standing: down}\n")
    refused(run("report", "down.yaml", "--for", "vet", "-o", "a.html"), "ring the veterinarian now")


def test_the_kept_answer_leaves_what_may_change_to_the_records(here: Path) -> None:
    kept = json.loads(run("records", "show", "Juniper", "--json").stdout)
    assert "signing" not in json.dumps(kept)


def test_the_kept_visit_says_so_on_the_screen(here: Path) -> None:
    assert "Not countersigned: 18 April 2026" in run("records", "show", "Juniper").output
    signed()
    assert "Not countersigned" not in run("records", "show", "Juniper").output
