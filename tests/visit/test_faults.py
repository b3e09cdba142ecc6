"""Every mistake a visit file can hold has its own file, the words its message must hold, and a valid twin beside it.

In: tests/faults/visit/. Out: one test a file, and one that no problem code is without a file.
Not here: files that are no YAML or no text at all (test_hostile.py).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from reasoner.problems import CODES, BadInput, Problem
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit import read_visit
from reasoner.visit.dates import date_hint

FOLDER = Path(__file__).parent.parent / "faults" / "visit"
FAULTS = sorted(path for path in FOLDER.glob("*.yaml") if not path.name.endswith(".good.yaml"))
MANY = "VF26"


def expected(path: Path) -> tuple[str, list[str]]:
    """The code and the words of the leading comment; words in quotation marks stay together."""
    first = path.read_text("utf-8").splitlines()[0]
    found = re.fullmatch(r"# expect: ([A-Z]{2}[0-9]{2}) (.+)", first)
    assert found is not None, f"{path.name} does not say what to expect"
    return found[1], re.findall(r'"[^"]*"|\S+', found[2])


def problems_of(path: Path, vocabulary: Vocabulary) -> tuple[Problem, ...]:
    try:
        return read_visit(path, vocabulary).warnings
    except BadInput as bad:
        return bad.problems


@pytest.mark.parametrize("path", FAULTS, ids=lambda path: path.stem)
def test_the_message_names_the_mistake(path: Path, shipped: Vocabulary) -> None:
    code, words = expected(path)
    problems = problems_of(path, shipped)
    said = [p for p in problems if p.code == code]
    if code != MANY:
        assert len(problems) == 1, [str(p) for p in problems]
    assert len(said) == 1, [str(p) for p in problems][:3]
    missing = [word for word in words if word not in str(said[0])]
    assert not missing, f"{missing} not in: {said[0]}"
    assert said[0].file == str(path)
    assert said[0].line >= 1 or code == MANY


@pytest.mark.parametrize("path", FAULTS, ids=lambda path: path.stem)
def test_the_twin_beside_it_reads(path: Path, shipped: Vocabulary) -> None:
    visit = read_visit(path.with_suffix(".good.yaml"), shipped)
    assert visit.warnings == ()


def test_a_day_no_calendar_has_is_not_told_as_the_way_to_write_it(shipped: Vocabulary) -> None:
    (problem,) = problems_of(FOLDER / "day_impossible.yaml", shipped)
    assert "2026-02-30" not in str(problem)
    assert date_hint("2026/2/3") == "Write 2026-02-03."
    assert date_hint("2026/2/30") == ""


def test_every_code_of_a_visit_has_its_file() -> None:
    told = {expected(path)[0] for path in FAULTS}
    assert told == {code for code in CODES if code.startswith("VF")}


def test_every_good_twin_has_its_fault() -> None:
    twins = {path.name.removesuffix(".good.yaml") for path in FOLDER.glob("*.good.yaml")}
    assert twins == {path.stem for path in FAULTS}
