"""An owner's answer told after a visit was kept: the kept answer stays, and whoever shows it is told.

In: kept visits, answers told later. Out: what is said of it by show, progress, again and a report.
Not here: answers told in time (test_tried.py).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from reasoner.cli import cli
from reasoner.records.since_then import SinceThen, since_kept
from reasoner.rendering.schema_files import FOLDER
from reasoner.store.opening import Store
from reasoner.store.reading import answer_of, horse_called, visits
from tests.asking import shipped
from tests.records.horses import judged, keep, tell, visit
from tests.store.keeping import fresh

FIRST = visit("2026-04-04", "{left: 6, right: 1}")
SECOND = visit("2026-04-20", "{left: 5.5, right: 1}")
KEY = "girth_presses"


def late(store: Store, answer: str = "done", on: str = "2026-04-25") -> None:
    """Two visits kept; what was done of the first plan is told only afterwards."""
    saved = keep(store, FIRST)
    keep(store, SECOND)
    tell(store, saved, answer, on=on)


def since(store: Store, at: int = -1) -> SinceThen | None:
    with store.reading() as connection:
        known = visits(connection, horse=horse_called(connection, "Juniper").uid)[at]
        return since_kept(connection, store.place, known, shipped)


def run(store: Store, *words: str) -> str:
    done = CliRunner().invoke(cli, [*words, "--store", store.place.shown])
    assert done.exit_code == 0, done.output
    return done.stdout


def test_the_kept_answer_stays_byte_for_byte(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    second = keep(store, SECOND)
    with store.reading() as connection:
        before = answer_of(connection, second.version)
    tell(store, saved, "done", on="2026-04-25")
    with store.reading() as connection:
        assert answer_of(connection, second.version) == before


def test_what_the_answer_would_be_with_it_is_worked_out(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    late(store)
    found = since(store)
    assert found is not None
    assert [(one.planned.isoformat(), one.told.answer, one.before) for one in found.said] == [
        ("2026-04-04", "done", None)
    ]
    assert not found.other_rules
    told = {(change.kind, change.key, change.side): change for change in found.changes}
    # Told in time, it would have been this very answer.
    (tmp_path / "in time").mkdir()
    other = fresh(tmp_path / "in time")
    tell(other, keep(other, FIRST), "done", on="2026-04-14")
    in_time = judged(other, SECOND)
    change = told["conclusion", KEY, "left"]
    assert change.after.value == in_time.explanation.concluded[KEY, "left"].band
    assert change.before.value != change.after.value


def test_kept_late_counts_though_it_was_said_in_time(tmp_path: Path) -> None:
    """The owner said so on the 14th, and it was written down only after the second visit was kept."""
    store = fresh(tmp_path)
    late(store, on="2026-04-14")
    assert since(store) is not None


def test_told_in_time_or_of_this_very_plan_nothing_is_said(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    tell(store, keep(store, FIRST), "done", on="2026-04-14")
    tell(store, keep(store, SECOND), "done", on="2026-04-25")
    assert since(store) is None
    assert since(store, 0) is None
    assert "since then" not in run(store, "records", "show", "Juniper").casefold()


def test_an_answer_taken_back_is_told_with_the_one_before(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    tell(store, saved, "done", on="2026-04-14")
    keep(store, SECOND)
    tell(store, saved, "stopped", on="2026-04-25")
    found = since(store)
    assert found is not None
    (one,) = found.said
    assert (one.told.answer, one.before.answer if one.before else None) == ("stopped", "done")
    assert any(change.key == KEY for change in found.changes)


def test_not_done_changes_nothing_and_that_is_said(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    late(store, "not")
    found = since(store)
    assert found is not None
    assert found.changes == ()
    assert "With it the answer would be the same" in " ".join(run(store, "records", "show", "Juniper").split())


@pytest.mark.parametrize(
    "words", [("records", "show", "Juniper"), ("progress", "Juniper"), ("again", "Juniper", "--on", "2026-05-02")]
)
def test_whoever_shows_it_is_told_in_words_and_as_data(tmp_path: Path, words: tuple[str, ...]) -> None:
    store = fresh(tmp_path)
    late(store)
    page = " ".join(run(store, *words).replace("#", " ").split())
    for part in ("stands as it was given", "done (the owner, 25 April 2026)", "orked out now with it, by rulebase"):
        assert part in page
    data = json.loads(run(store, *words, "--json"))
    name = {"records": "records_show.json"}.get(words[0], f"{words[0]}.json")
    Draft202012Validator(json.loads((FOLDER / name).read_text())).validate(data)
    told = data["since_then"][0] if words[0] == "progress" else data["since_then"]
    assert told["told"][0]["answer"] == "done"
    assert any(one["key"] == KEY for one in told["differs"])


def test_an_older_version_and_visit_have_their_own(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    late(store)
    assert json.loads(run(store, "records", "show", "Juniper", "--on", "2026-04-04", "--json"))["since_then"] is None


@pytest.mark.parametrize("reader", ["owner", "vet", "saddle-fitter"])
def test_a_report_from_the_records_says_so(tmp_path: Path, reader: str) -> None:
    store = fresh(tmp_path)
    late(store)
    file, page = tmp_path / "second.yaml", tmp_path / "second.html"
    file.write_text(SECOND)
    for whom in ("the veterinarian", "the saddle fitter"):
        may = ("--what", "report may go to", "--given", "--who", whom)
        run(store, "records", "consent", "Juniper", *may)
    run(store, "report", str(file), "-o", str(page), "--for", reader)
    said = " ".join(page.read_text().split())
    assert "Told after 20 April 2026" in said
    assert "done (the owner, 25 April 2026)" in said
    if reader == "vet":
        assert "presses on the" not in said.partition("Told after")[2].partition("</")[0]


def test_another_rulebook_is_named(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    late(store)
    rules = tmp_path / "mine"
    rules.mkdir()
    (rules / "sources").mkdir()
    page = next((Path(__file__).parents[2] / "rules" / "sources").glob("*.yaml"))
    (rules / "sources" / page.name).write_text(page.read_text() + "# read again\n")
    data = json.loads(run(store, "records", "show", "Juniper", "--rules", "shipped", "--rules", str(rules), "--json"))
    assert data["since_then"]["other_rulebase"] is True


@pytest.mark.parametrize(("words", "schema"), [
    (("assess",), "answer.json"), (("plan",), "plan.json"), (("why", "girth line", "--side", "left"), "why.json"),
])  # fmt: skip
def test_questions_about_a_file_say_what_was_told_since(tmp_path: Path, words: tuple[str, ...], schema: str) -> None:
    store, file = fresh(tmp_path), tmp_path / "second.yaml"
    late(store)
    file.write_text(SECOND)
    command, *more = words
    page = " ".join(run(store, command, str(file), *more).split())
    assert "Since then was told" in page
    assert "done (the owner, 25 April 2026)" in page
    assert "Worked out now with it" in page
    data = json.loads(run(store, command, str(file), *more, "--json"))
    Draft202012Validator(json.loads((FOLDER / schema).read_text())).validate(data)
    (told,) = data["since_then"]["told"]
    assert (told["answer"], told["on"]) == ("done", "2026-04-25")
    assert data["since_then"]["differs"]
    alone = CliRunner().invoke(cli, [command, str(file), *more])
    assert alone.exit_code == 0
    assert "Since then was told" not in alone.stdout
