"""`reasoner explain`: words, JSON by its schema, a sheet as HTML and PDF, and what it refuses.

In: the command line over the visits of examples/. Out: a failure where a form of the answer breaks.
Not here: what the lesson says (test_lesson).
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli.explain import command
from reasoner.rendering.pdf import is_ours
from reasoner.rendering.report import MARK

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = json.loads((ROOT / "reasoner" / "rendering" / "schemas" / "explain.json").read_text(encoding="utf-8"))


def run(*words: str, code: int = 0) -> Result:
    result = CliRunner().invoke(command, list(words))
    assert result.exit_code == code, result.output
    return result


def example(name: str) -> str:
    return str(ROOT / "examples" / f"{name}.yaml")


@pytest.mark.parametrize("name", ["rook", "otter"])
def test_json_conforms_to_its_schema(name: str) -> None:
    answer = json.loads(run(example(name), "--json", "--words", "technical").stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(answer)
    assert answer["words"] == "technical"
    assert answer["chapters"][0]["key"] == "first"


def test_plain_is_the_default_and_full_opens_every_step() -> None:
    short, full = run(example("bramble")).stdout, run(example("bramble"), "--full").stdout
    technical = run(example("bramble"), "--words", "technical").stdout
    assert short.index("ROUTINE: the veterinarian") < short.index("WHAT WAS FOUND")
    assert "where the hand goes" not in short
    for said in ("where the hand goes", "rules/causes/saddle_to_one_side.yaml:21", "Greve and Dyson 2013", "memory"):
        assert said in full, said
    assert "0.86" in technical
    assert "0.86" not in short
    assert len(full) > 2 * len(short)


def test_a_sheet_holds_each_note_once_and_every_reference_leads_somewhere(tmp_path: Path) -> None:
    for name, full in (("bramble", ()), ("rook", ("--full",)), ("otter", ()), ("sorrel", ())):
        file = tmp_path / f"{name}.html"
        assert f"written: {file}" in run(example(name), "-o", str(file), *full).stdout
        html = file.read_text(encoding="utf-8")
        assert MARK in html
        assert "<script" not in html
        ids = re.findall(r' id="((?:note|place)-\w+)"', html)
        assert len(ids) == len(set(ids))
        assert {*re.findall(r'href="#([^"]+)"', html)} == set(ids)
        assert html.index("First, the veterinarian") < html.index("1. What was found")
    run(
        example("bramble"), "-o", str(tmp_path / "bramble.html"), "--words", "technical"
    )  # an earlier sheet is replaced


def test_a_sheet_on_paper(tmp_path: Path) -> None:
    file = tmp_path / "lesson.pdf"
    answer = json.loads(run(example("clover"), "-o", str(file), "--paper", "Letter", "--json").stdout)
    assert is_ours(file.read_bytes())
    assert answer["written"] == [str(file)]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--words", "latin"), "'latin' is not one of 'plain', 'technical'"),
        (("-o", "lesson.txt"), '".txt" was read; the ending .html or .pdf was expected'),
        (("-o", "lesson.html", "--paper", "A4"), "only a PDF has one"),
        (("--part", "2"), "no records were named"),
    ],
)
def test_bad_input_is_told_in_words(more: tuple[str, ...], said: str) -> None:
    result = run(example("bramble"), *more, code=2)
    assert said in result.output
    assert "Traceback" not in result.output


def test_no_sheet_leaves_of_a_visit_that_waits_for_a_countersignature(tmp_path: Path) -> None:
    text = (ROOT / "examples" / "bramble.yaml").read_text(encoding="utf-8")
    visit = tmp_path / "tam.yaml"
    visit.write_text(
        text.replace("examined by: Wren Aldous", "examined by: Tam Orrin\nchecked by: Wren Aldous"), "utf-8"
    )
    refused = run(str(visit), "-o", str(tmp_path / "lesson.html"), code=2)
    assert "Wren Aldous has countersigned" in refused.output
    assert not (tmp_path / "lesson.html").exists()
    assert "Tam Orrin" in run(str(visit)).stdout, "on the screen it is told"
