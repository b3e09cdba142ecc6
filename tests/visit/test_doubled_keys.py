"""A key that stands twice does not hide the other mistakes of the file.

In: a visit file with a doubled line. Out: everything wrong, at once.
Not here: the wording of single mistakes (test_faults).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.visit.reading import read_visit
from tests.asking import shipped

TEXT = """horse: {name: Tansy}
visit: 2026-05-04
palpation:
  withers: {left: 5, right: 14}
  withers: {left: 5}
  lion: {left: 2}
"""


def test_what_stands_beside_a_doubled_line_is_told_too(tmp_path: Path) -> None:
    """The doubled place, the number off the scale and the misspelt place each have their line."""
    path = tmp_path / "visit.yaml"
    path.write_text(TEXT)
    with pytest.raises(BadInput) as told:
        read_visit(path, shipped().book.vocabulary)
    lines = {problem.line: problem for problem in told.value.problems}
    assert set(lines) == {4, 5, 6}
    assert lines[5].code == "YM05"
    assert "loin" in lines[6].hint


def test_without_the_doubled_line_the_others_still_stand(tmp_path: Path) -> None:
    """The twin: the doubled line taken out, two mistakes are left."""
    path = tmp_path / "visit.yaml"
    path.write_text(TEXT.replace("  withers: {left: 5}\n", ""))
    with pytest.raises(BadInput) as told:
        read_visit(path, shipped().book.vocabulary)
    assert [problem.line for problem in told.value.problems] == [4, 5]
