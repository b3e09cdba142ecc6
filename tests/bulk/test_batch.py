"""Whole runs: folders and tables, parts and processes, stopping and going on, what is set aside, honest exit codes.

In: small folders and tables. Out: passes or fails.
Not here: whether a visit is judged rightly (test_same_judgement).
"""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path
from typing import Any

import jsonschema
import pyarrow as pa
import pyarrow.csv as pacsv
import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner, Result

from reasoner.bulk import Judge, cutting, judged_table, sources
from reasoner.bulk import batch as batching
from reasoner.bulk.work import Done, Job, do, marks_of
from reasoner.cli import cli
from reasoner.consult import judge as judge_one
from reasoner.rendering.schema_files import FOLDER
from reasoner.rules_cache import Ready
from reasoner.visit.model import Visit
from reasoner.visit.reading import read_visit
from tests.bulk.as_rows import table_from, table_of
from tests.bulk.comparing import by_itself, by_table, of_visit
from tests.bulk.conftest import EXAMPLES

HOME = EXAMPLES.parent


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(cli, ["batch", *map(str, words)], catch_exceptions=False)


def plain(path: Path) -> Any:
    """A table as everyone else reads it."""
    return pq.read_table(path) if path.suffix == ".parquet" else pacsv.read_csv(path)


@pytest.fixture(scope="module")
def many(visits: dict[str, Visit], shipped: Ready) -> Any:
    """Some tens of visits as one table, and two that are wrong."""
    good = table_of(
        [(f"{name} {n}", visit) for n in range(3) for name, visit in visits.items()], shipped.book.vocabulary
    )
    wrong = table_from([
        {"visit": "slips", "date": "2026-04-18", "finding": "lion", "side": "left", "value": "4"},
        {"visit": "slips", "date": "2026-04-18", "finding": "loin", "side": "left", "value": "14"},
        {"visit": "slips", "date": "2026-04-18", "finding": "gums", "value": "pnk"},
        {"visit": "no day", "finding": "loin", "side": "left", "value": "4"},
    ])  # fmt: skip
    return pa.concat_tables([wrong, good])


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts so small that a table of a few thousand rows has many."""
    monkeypatch.setattr(cutting, "BYTES", 30_000)
    monkeypatch.setattr(cutting, "ROWS", 700)


@pytest.fixture
def narrow(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows read in such small bites that most visits reach over several (in this process: others know nothing of it)."""
    monkeypatch.setattr(sources, "BATCH", 50)


def test_a_folder_is_judged_as_each_file_alone(tmp_path: Path, shipped: Ready) -> None:
    """A veterinarian's word among them; one file is set aside with its line and the nearest word."""
    folder = tmp_path / "visits" / "spring"
    folder.mkdir(parents=True)
    for path in (*EXAMPLES.glob("*.yaml"), *EXAMPLES.glob("*.csv")):  # a visit file may name a table beside it
        shutil.copy(path, folder)
    text = (folder / "otter.yaml").read_text()
    assert "palpation:" in text
    (folder / "bad.yaml").write_text(text.replace("palpation:", "palpatoin:"))
    out = tmp_path / "judged.parquet"
    result = run(tmp_path / "visits", "-o", out, "--workers", "1")
    assert result.exit_code == 3, result.output
    table = plain(out)
    for path in folder.glob("*.yaml"):
        rows = of_visit(table, f"spring/{path.name}")
        if path.name == "bad.yaml":
            assert [row["kind"] for row in rows] == ["set aside"]
        else:
            assert by_table(rows) == by_itself(judge_one(read_visit(path, shipped.book.vocabulary), shipped)), path
    aside = plain(tmp_path / "judged.aside.parquet").to_pylist()
    assert {row["visit"] for row in aside} == {"spring/bad.yaml"}
    assert "palpation" in aside[0]["near"]
    assert aside[0]["row"] > 1


def test_visits_that_reach_over_row_groups_and_bites(
    many: Any, small: None, narrow: None, judge: Judge, tmp_path: Path
) -> None:  # fmt: skip
    """However small the row groups and the bites, each visit is judged once and whole."""
    source, out = tmp_path / "in.parquet", tmp_path / "out.parquet"
    many = many.slice(0, 1200)
    for size in (7, 90, 701):
        pq.write_table(many, source, row_group_size=size)
        assert run(source, "-o", out, "--workers", "1").exit_code == 3
        expected = judged_table(many, judge)
        order = [("visit", "ascending")]
        found = plain(out)
        assert found.sort_by(order).select(expected.column_names).equals(expected.sort_by(order))
        out.unlink()
        batching.aside_name(out).unlink()


@pytest.mark.parametrize("ending", ["parquet", "csv"])
def test_parts_processes_and_forms_make_no_difference(
    ending: str, many: Any, small: None, judge: Judge, tmp_path: Path
) -> None:  # fmt: skip
    """Cut small or not at all, by one process or three, read as Parquet or CSV: the same rows."""
    source = tmp_path / f"in.{ending}"
    if ending == "csv":
        pacsv.write_csv(many, source)
    else:
        pq.write_table(many, source, row_group_size=233)
    outs = []
    for workers in ("1", "3"):
        out = tmp_path / f"out{workers}.{ending}"
        told = run(source, "-o", out, "--workers", workers, "--json")
        assert told.exit_code == 3, told.output
        assert json.loads(told.output)["parts"] > 4
        outs.append(out)
    assert outs[0].read_bytes() == outs[1].read_bytes()
    whole = judge.table(many)
    expected = judged_table(many, judge)
    found = plain(outs[0])
    names = found.column("visit").to_pylist()
    assert sorted(names) == sorted(expected.column("visit").to_pylist())
    for name in ("bramble 0", "teasel 2", "nettle 1", "slips"):
        mine, theirs = of_visit(found, name), of_visit(expected, name)
        for row in mine:  # an empty text of a CSV file is nothing
            row.update({key: value or None for key, value in row.items() if value == ""})
        assert mine == theirs
    aside = plain(outs[0].with_name(f"out1.aside.{ending}")).to_pylist()
    assert [(r["visit"], r["row"], r["code"]) for r in aside] == [
        (r["visit"], r["row"], r["code"]) for r in whole.aside.to_pylist()
    ]


def test_what_is_wrong_is_told_with_row_reason_and_nearest_word(
    many: Any, small: None, narrow: None, tmp_path: Path
) -> None:
    """Everything wrong in a visit at once, and rows counted from the top of the whole table, however it was cut."""
    late = pa.concat_tables([many.slice(4), many.slice(0, 4)])
    for source in (tmp_path / "in.csv", tmp_path / "in.parquet"):
        pacsv.write_csv(late, source) if source.suffix == ".csv" else pq.write_table(late, source, row_group_size=100)
        out = tmp_path / f"out{source.suffix}"
        assert run(source, "-o", out, "--workers", "1").exit_code == 3
        rows = plain(out.with_name(f"out.aside{source.suffix}")).to_pylist()
        first = late.num_rows - 3
        assert [(r["row"] - first, r["code"]) for r in rows] == [(0, "QU02"), (1, "VF11"), (2, "VF06"), (3, "VF01")]
        assert "loin" in rows[0]["near"]
        assert "pink" in rows[2]["near"]


def test_a_stopped_run_goes_on(many: Any, small: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was done is not done again, nothing stands in place meanwhile, and the results are the same bytes."""
    source, out = tmp_path / "in.parquet", tmp_path / "out.parquet"
    pq.write_table(many, source, row_group_size=300)
    assert run(source, "-o", tmp_path / "unstopped.parquet", "--workers", "1").exit_code == 3
    done: list[int] = []

    def stops(part: cutting.Part, number: int, job: Job) -> Done:
        if len(done) == 2:
            raise KeyboardInterrupt
        done.append(number)
        return do(part, number, job)

    monkeypatch.setattr(batching, "do", stops)
    stopped = run(source, "-o", out, "--workers", "1")
    assert stopped.exit_code == 130
    assert "goes on" in stopped.stderr
    assert not out.exists()
    assert not batching.aside_name(out).exists()
    monkeypatch.setattr(batching, "do", do)
    told = run(source, "-o", out, "--workers", "1", "--json")
    assert json.loads(told.output)["again"] == 2
    assert out.read_bytes() == (tmp_path / "unstopped.parquet").read_bytes()
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "in.parquet", "out.aside.parquet", "out.parquet", "unstopped.aside.parquet", "unstopped.parquet",
    ]  # fmt: skip


def test_a_run_with_other_options_begins_anew(many: Any, small: None, tmp_path: Path) -> None:
    source, out = tmp_path / "in.parquet", tmp_path / "out.parquet"
    pq.write_table(many, source, row_group_size=300)
    folder = batching.work_folder(out)
    folder.mkdir()
    (folder / batching.JOB).write_text("[]")
    done = {"visits": 9, "set_aside": 0, "rows": 1, "written": 1, "levels": {}}
    (folder / "000000.done").write_text(json.dumps(done))
    assert json.loads(run(source, "-o", out, "--json", "--workers", "1").output)["again"] == 0
    folder.mkdir()
    (folder / "mine.txt").write_text("x")
    stood = run(source, "-o", tmp_path / "out.parquet", "--workers", "1")
    assert stood.exit_code == 2
    assert (folder / "mine.txt").exists()


def test_visits_whose_rows_do_not_stand_together_are_refused(many: Any, small: None, tmp_path: Path) -> None:
    source = tmp_path / "in.csv"
    pacsv.write_csv(pa.concat_tables([many, many.slice(20, 3)]), source)
    result = run(source, "-o", tmp_path / "out.csv", "--workers", "1")
    assert result.exit_code == 2
    assert "BT09" in result.stderr
    assert "Sort the table" in result.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["in.csv"]


def test_texts_over_several_lines_and_quoted_marks(small: None, tmp_path: Path) -> None:
    """A note of several lines does not cut a part in two, and an empty line is no row."""
    source = tmp_path / "in.csv"
    with source.open("w", newline="") as handle:
        writer = csv.writer(handle)
        writer.writerow(["visit", "date", "finding", "side", "value"])
        for n in range(2000):
            writer.writerow([f"v{n}", "2026-04-18", "owner", "", f'Said "no"\nand then, "yes" {n}'])
            writer.writerow([f"v{n}", "2026-04-18", "left loin", "", "4"])
    told = run(source, "-o", tmp_path / "out.csv", "--workers", "1", "--json")
    summary = json.loads(told.output)
    assert summary["visits"] == 2000
    assert summary["rows_read"] == 4000
    assert summary["parts"] > 3
    codes = {row["code"] for row in plain(tmp_path / "out.aside.csv").to_pylist()}
    assert codes <= {"VF25"}  # a line break inside a text is what a visit file refuses too


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (lambda p: "nothing.parquet", "BT08"),
        (lambda p: (p / "t.csv").write_text("visit,date,finding\n") and "t.csv", "BT06"),
        (lambda p: (p / "t.parquet").write_text("no table") and "t.parquet", "BT08"),
        (lambda p: (p / "t.txt").write_text("visit") and "t.txt", "BT08"),
        (lambda p: (p / "empty").mkdir() or "empty", "BT08"),
        (lambda p: (p / "t.csv").write_text("visit,date,finding,value\n1,2,3,4,5,6\n") and "t.csv", "BT08"),
    ],
)
def test_bad_input_is_refused_and_nothing_is_written(make: Any, code: str, tmp_path: Path) -> None:
    name = make(tmp_path)
    before = sorted(p.name for p in tmp_path.iterdir())
    result = run(tmp_path / name, "-o", tmp_path / "out.parquet", "--workers", "1")
    assert result.exit_code == 2
    assert code in result.stderr
    assert sorted(p.name for p in tmp_path.iterdir() if not p.name.endswith(".unfinished")) == before


def test_results_are_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "out.csv").write_text("mine")
    assert run(EXAMPLES, "-o", tmp_path / "out.csv").exit_code == 2
    assert (tmp_path / "out.csv").read_text() == "mine"
    assert run(EXAMPLES, "-o", tmp_path / "out.txt").exit_code == 2
    assert run(EXAMPLES, "-o", tmp_path / "no" / "out.csv").exit_code == 2


def test_the_summary_keeps_to_its_schema_and_the_exit_code_is_honest(tmp_path: Path) -> None:
    result = run(EXAMPLES, "-o", tmp_path / "out.csv", "--json", "--workers", "1")
    assert result.exit_code == 0
    summary = json.loads(result.output)
    schema = json.loads((FOLDER / "batch.json").read_text())
    jsonschema.Draft202012Validator(schema).validate(summary)
    assert summary["judged"] == summary["visits"] == len(list(EXAMPLES.rglob("*.yaml")))
    assert sum(summary["levels"].values()) == summary["judged"]
    words = run(EXAMPLES, "-o", tmp_path / "again.csv", "--workers", "1").output
    assert f"{summary['judged']} of {summary['visits']} visits judged" in words


def test_marks_tell_names_apart() -> None:
    names = [f"visit {n:07d}" for n in range(20_000)] + [str(n) for n in range(20_000)] + ["", "a", "aa", "b" * 40]
    marks = marks_of(pa.array(names))
    assert len(set(marks.tolist())) == len(names)
    assert marks_of(pa.array(["aa"]))[0] == marks_of(pa.array(["aa", "x" * 50]))[0]


def test_every_process_goes_by_the_rules_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A layer that moves the edge of a band: the words of the results move with it, in every process."""
    monkeypatch.setattr(cutting, "FILES", 5)
    scales = next(path for path in (HOME / "rules" / "scales").glob("*.yaml") if "  strong: 0.7" in path.read_text())
    layer = tmp_path / "layer" / "scales"
    layer.mkdir(parents=True)
    (layer / scales.name).write_text(scales.read_text().replace("  strong: 0.7", "  strong: 0.5"))
    stamps = set()
    for name, more, edge in (("a", (), 0.7), ("b", ("--rules", "shipped", "--rules", layer.parent), 0.5)):
        told = run(EXAMPLES, "-o", tmp_path / f"{name}.parquet", "--workers", "2", "--json", *more)
        assert told.exit_code == 0, told.output
        stamps.add(json.loads(told.output)["rulebase"])
        rows = [row for row in plain(tmp_path / f"{name}.parquet").to_pylist() if row["kind"] == "conclusion"]
        assert any(0.5 <= row["certainty"] < 0.7 for row in rows)
        assert all((row["band"] == "strong") is (row["certainty"] >= edge) for row in rows)
    assert len(stamps) == 2
