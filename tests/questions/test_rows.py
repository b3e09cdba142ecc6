"""Rows of what-ifs are the columns of edited visits, number for number."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from reasoner.consult import consult
from reasoner.facts.from_measures import measured_facts
from reasoner.facts.table import column
from reasoner.problems import BadInput
from reasoner.questions.changes import Change, changed
from reasoner.questions.outcomes import bands_of
from reasoner.questions.rows import Rows
from reasoner.questions.written import change_from
from reasoner.rules_cache import Ready

EXAMPLES = Path(__file__).parents[2] / "examples"
LINES = (
    ("loin, left = 0",),
    ("withers, both = 6", "left loin = would not allow touch"),
    ("settled under the hand = not seen",),
    ("loin, right = not examined", "behind the poll, left = {soreness: 5, response: flinches}"),
    ("trot in hand = uneven", "left hind = slight"),
    ("T14-T15 = {soreness: 4, touch: light}", "painkillers = none", "temperature = 39.4 °C"),
    ("shod = 2026-01-04", "loin, left = 9", "loin, left = 2"),
    ("stirrups, left = 70 cm", "stirrups, right = 74 cm"),
    ("tacked up: off the middle, right = 12 mm", "after work: saddle roll, left = 3 °"),
)


@pytest.mark.parametrize("lines", LINES, ids=lambda lines: "; ".join(lines))
@pytest.mark.parametrize("name", ["bramble", "clover", "sorrel"])
def test_a_row_is_the_column_of_the_edited_visit(name: str, lines: tuple[str, ...], shipped: Ready) -> None:
    """Only the slots a change reaches are worked out anew, and that is enough."""
    answer = consult(EXAMPLES / f"{name}.yaml", shipped)
    change = sum((change_from([line], answer.visit, shipped.book.vocabulary) for line in lines), Change())
    edited = measured_facts(changed(answer.visit, change), shipped.program.meta["words"], shipped.book)
    np.testing.assert_array_equal(Rows(answer).table([change])[:, 0], column(shipped.program.slots, edited)[:, 0])


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("lion, left = 0", "loin"),
        ("loin = 3", "two sides"),
        ("loin, left = 11", "from 0 to 10"),
        ("poll", "expected"),
        ("gums, left = pink", "no sides"),
        ("loin, left = {soreness: 3, response: flinchs}", "flinches"),
        ("right-handed = yes", "opposite"),
    ],
)
def test_a_slip_is_told_in_the_words_of_the_reader(line: str, expected: str, shipped: Ready) -> None:
    """What a hurried person types wrong is named, with the nearest valid word."""
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    with pytest.raises(BadInput) as told:
        change_from([line], answer.visit, shipped.book.vocabulary)
    assert expected in "\n".join(map(str, told.value.problems))


def test_bands_as_numbers_are_the_bands_of_the_scale(shipped: Ready) -> None:
    """The one rule of where a band begins, asked number by number, and on either side of each."""
    scales = shipped.book.scales
    edges = [edge * sign + step for edge in scales.bands.values() for sign in (1, -1) for step in (-1e-9, 0.0, 1e-9)]
    certainty = np.array([[*edges, 0.0, 0.95, -0.95]])
    names = ["against", "none", *sorted(scales.bands, key=scales.bands.__getitem__)]
    assert [names[band + 1] for band in bands_of(certainty, shipped.book)[0]] == [scales.band(c) for c in certainty[0]]
