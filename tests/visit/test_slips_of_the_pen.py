"""Slips of a hurried pen: each is told on its own line, in plain words, with the repair.

In: short visit files with one slip each. Out: passes or fails.
Not here: hostile files (test_hostile.py).
"""

from __future__ import annotations

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook import strict_yaml

SLIPS = [
    ("horse: {name: B}\nvisit 2026-04-18\npalpation:\n  loin: {left: 4}\n", 2, "a colon is missing"),
    ("visit: 2026-04-18\npalpation\n  loin: {left: 4}\n", 2, "a colon is missing"),
    ("visit:2026-04-18\npalpation:\n  loin: {left: 4}\n", 1, "a blank is missing after the colon"),
    ("visit: 2026-04-18\npalpation:\n  loin: left: 4 right: 3\n", 3, "several entries stand on one line"),
    ("visit: 2026-04-18\npalpation:\n  loin: {left: 4 right: 3}\n", 3, "a comma is missing"),
    ("visit: 2026-04-18\npalpation: {loin: {left: 4}\nquiet: {neck: both}\n", 2, 'the bracket "{" is opened'),
    ('visit: 2026-04-18\nnotes: "good girl\npalpation: {loin: {left: 4}}\n', 2, "is opened and not closed"),
    ("visit: 2026-04-18\nnotes: 'it's fine'\n", 2, "an apostrophe"),
    ("visit: 2026-04-18\npalpation:\n  loin: {left: 4}\n   croup: {left: 3}\n", 4, "begins after 3 blanks"),
]


@pytest.mark.parametrize(("text", "line", "words"), SLIPS, ids=[words for _, _, words in SLIPS])
def test_a_slip_is_told_where_it_stands(text: str, line: int, words: str) -> None:
    with pytest.raises(BadInput) as bad:
        strict_yaml.parse(text.encode(), "visit.yaml")
    (problem,) = bad.value.problems
    assert (problem.code, problem.line) == ("YM04", line)
    assert words in problem.sentence


def test_curly_marks_round_a_value_are_no_part_of_it() -> None:
    root = strict_yaml.parse("visit: “2026-04-18”\nnotes: a “tight” back\n".encode(), "visit.yaml")
    assert [node.text for _, _, node in root.items()] == ["2026-04-18", "a “tight” back"]


def test_a_word_processors_file_is_read_with_a_note() -> None:
    notes: list[object] = []
    root = strict_yaml.parse("notes: it’s “tight”\n".encode("cp1252"), "visit.yaml", notes)  # type: ignore[arg-type]
    assert [node.text for _, _, node in root.items()] == ["it’s “tight”"]
    assert len(notes) == 1
