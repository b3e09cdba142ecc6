"""The table of cases as `reasoner rules check` reads it: every line that could not stand in a visit is told, with file and line.

In: the shipped rules with one table laid over them. Out: failures.
Not here: making cases.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from reasoner.problems import Problem
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulecare.check import check

TABLE = (shipped_rules() / "measures" / "cases.yaml").read_text()
#: What is changed in the table, and what is then told: the code and a word of the sentence.
FAULTS = (
    ("  saddle_bridges:", "  saddle_brdges:", "TE40", '"saddle_brdges" is no conclusion'),
    (
        "{place: croup, side: this, sore: plainly, seen: often, basis: common practice}",
        "{place: kroup, side: this, sore: plainly, seen: often, basis: common practice}",
        "TE40",
        '"kroup" is no place',
    ),
    ("{entry: channel, word: narrow,", "{entry: chanel, word: narrow,", "TE40", '"chanel" is no entry'),
    (
        "{entry: pad, word: thick, seen: always",
        "{entry: pad, word: thik, seen: always",
        "TE40",
        '"thik" is no reading of pad',
    ),
    (
        "{place: last_ribs, side: both, sore: plainly",
        "{place: last_ribs, side: this, sore: plainly",
        "TE40",
        "as the side of last_ribs",
    ),
    (
        "{place: back_spines, sore: mildly",
        "{place: back_spines, side: both, sore: mildly",
        "TE40",
        "no side was expected",
    ),
    (
        "{entry: feet_due, word: long, seen: always",
        "{entry: feet_due, word: long, seen: mostly",
        "TE40",
        '"mostly" was read under seen',
    ),
    (
        "{entry: panels, word: not_even, seen: always, basis: common practice}",
        "{entry: panels, word: not_even, seen: always}",
        "TE45",
        "not on what it rests",
    ),
    (
        "{entry: shod, days_ago: [60, 110], seen",
        "{entry: shod, days_ago: [110, 60], seen",
        "TE45",
        "two numbers of days",
    ),
    (
        "{entry: load, word: 20_to_25_percent, seen",
        "{entry: load, days_ago: [1, 2], seen",
        "TE40",
        "days_ago if it is a date",
    ),
    ("clear: 0.75", "clear: 7.5", "TE45", "a share from 0 to 1"),
    ("worst: [6.0, 8.0]", "worst: [6.0, 18.0]", "TE45", "worst are two numbers"),
    (
        "{where: fore_step, has: [slight",
        "{where: fore_step, has: [slihgt",
        "TE40",
        '"slihgt" is no reading of fore_step',
    ),
    ("groups: [brachiocephalicus_line,", "groups: [brachiocephalicus_lien,", "TE40", "no group of places"),
    (
        "{entry: hip_collapse, word: this, seen: always",
        "{entry: hip_collapse, word: this",
        "TE40",
        "not how often it shows",
    ),
    ("    height: 5 cm", "    heigth: 5 cm", "TE40", '"heigth" is no entry'),
    ("    heart_girth: 5 cm", "    sex: 5 cm", "TE40", "neither an amount nor a date"),
    ("    weight_by_tape: 25 kg", "    weight_by_tape: 25 cm", "TE45", "expected a number with a unit (kg"),
    ("    body_length: 5 cm", "    body_length: 0 cm", "TE45", "a step of more than nothing"),
)


@cache
def _faulted() -> str:
    text = TABLE
    for good, bad, _, _ in FAULTS:
        assert good in text, good
        text = text.replace(good, bad, 1)
    return text


@cache
def _told() -> tuple[Problem, ...]:
    """Every fault at once: all are told together."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        layer = Path(folder) / "measures"
        layer.mkdir()
        (layer / "cases.yaml").write_text(_faulted())
        return check([shipped_rules(), Path(folder)]).problems


@pytest.mark.parametrize(("good", "bad", "code", "words"), FAULTS, ids=[words for *_, words in FAULTS])
def test_a_line_that_could_not_stand_in_a_visit_is_told(good: str, bad: str, code: str, words: str) -> None:
    found = [p for p in _told() if p.code == code and words in p.sentence]
    assert found, [str(p) for p in _told()]
    if bad.startswith("{"):  # a line of its own; else the line told is that of the part that holds it
        assert bad in _faulted().splitlines()[found[0].line - 1]
    assert found[0].line > 0


def test_nothing_else_is_told() -> None:
    assert {p.code for p in _told()} == {"TE40", "TE45"}
    assert len(_told()) <= len(FAULTS) + 2


def test_the_shipped_table_is_clean() -> None:
    assert not [p for p in check().problems if p.code in ("TE40", "TE45")]
