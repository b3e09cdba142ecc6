"""The command line shows and honours what a practitioner changed at the desk.

In: `report`, `plan` and `records show` over records with a change in them. Out: what they print and write.
Not here: what may be changed (tests/records/test_editing.py).
"""

from __future__ import annotations

import json
from html import unescape
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import cli
from reasoner.store.edits import add_edit
from reasoner.store.opening import open_store
from reasoner.store.place import place_of
from reasoner.store.reading import horse_called, visits

HOME = Path(__file__).resolve().parents[2]
SCHEMAS = Path(reasoner.__file__).parent / "rendering" / "schemas"
LIGHT = "Light work only, until it is known why the saddle comes over."
MARKED = "Light work only, ten minutes a day (in the practitioner's words)."


def run(*words: str) -> Result:
    result = CliRunner().invoke(cli, list(words), catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a kept visit, one step of whose plan was said in other words, one sentence for the owner too."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bramble.yaml").write_text((HOME / "examples" / "bramble.yaml").read_text())
    run("records", "save", "bramble.yaml", "--by", "Wren Aldous", "--store", "practice.db")
    store = open_store(place_of("practice.db"))
    with store.reading() as connection:
        version = visits(connection, horse=horse_called(connection, "Bramble").uid)[0].version
    plain = json.loads(run("plan", "bramble.yaml", "--json").output)["plan"]["steps"][0]["plain"]
    for line, tool, words in (
        ("step", LIGHT, "Light work only, ten minutes a day."),
        ("owner", plain, "Ride ten minutes a day."),
    ):
        add_edit(store, version, line=line, deed="reword", key="light_work_while_it_comes_over", side="", tool_words=tool,  # type: ignore[arg-type]
                 words=words, by="Wren Aldous")  # fmt: skip
    add_edit(store, version, line="task", deed="reword", key="another_rider_watched", side="", tool_words="An older task.",
             words="Somebody rides it.", by="Wren Aldous")  # fmt: skip
    store.close()
    return tmp_path


def test_the_plan_says_it_in_the_practitioners_words_and_names_what_is_set_aside(yard: Path) -> None:
    with_records = " ".join(run("plan", "bramble.yaml", "--store", "practice.db").output.split())
    assert MARKED in with_records
    assert "were written by Wren Aldous in place of the tool's" in with_records
    assert "Not as Wren Aldous changed it on" in with_records
    assert "The tool says something else there now." in with_records
    assert LIGHT in " ".join(run("plan", "bramble.yaml").output.split())


def test_the_report_carries_the_words_marked_and_says_whose_they_are(yard: Path) -> None:
    told = run("report", "bramble.yaml", "-o", "bramble.html", "--store", "practice.db").output
    page = unescape((yard / "bramble.html").read_text())
    assert "Ride ten minutes a day (in the practitioner's words)." in page
    assert "were written by Wren Aldous in place of the tool's" in page
    assert "note: Not as Wren Aldous changed it" in told
    run("report", "bramble.yaml", "-o", "alone.html")
    assert "practitioner's words" not in unescape((yard / "alone.html").read_text())


def test_the_records_show_both_words_side_by_side(yard: Path) -> None:
    shown = " ".join(run("records", "show", "Bramble", "--store", "practice.db").output.split())
    assert "CHANGED BEFORE IT WENT OUT" in shown
    assert f"now Light work only, ten minutes a day. tool {LIGHT}" in shown
    data = json.loads(run("records", "show", "Bramble", "--store", "practice.db", "--json").output)
    jsonschema.validate(data, json.loads((SCHEMAS / "records_show.json").read_text()))
    assert [one["by"] for one in data["edited"]] == ["Wren Aldous"] * 3


def test_an_export_brings_the_changes_along(yard: Path) -> None:
    run("records", "export", "out", "--store", "practice.db")
    run("records", "import", "out", "--store", "other.db")
    assert MARKED in " ".join(run("plan", "bramble.yaml", "--store", "other.db").output.split())
