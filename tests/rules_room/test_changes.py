"""Mistakes in a layer's changes.yaml are told where they were made, in the words of whoever wrote them.

In: a layer with one wrong change. Out: file, line, what was read, the nearest word.
Not here: what a right change does (test_layers).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook

RULE = "withers_pinch/sore_on_this_side"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("- foo\n", ("changes.yaml:1",)),
        (f"- {{rule: {RULE}, points: fairr, because: x}}\n", ("changes.yaml:1", "fairr", "fair")),
        (f"- {{rule: {RULE}, pionts: fair, because: x}}\n", ("changes.yaml:1", "pionts", "points")),
        (f"- {{rule: {RULE}, switched: of, because: x}}\n", ("changes.yaml:1", "of")),
        ("- {rule: withers_pinch/sore_on_this_sid, switched: off, because: x}\n", ("changes.yaml:1", RULE)),
    ],
)
def test_a_wrong_change_is_told_at_its_own_line(tmp_path: Path, change: str, words: tuple[str, ...]) -> None:
    """Never as a mistake of the page that it meant to change."""
    (tmp_path / "changes.yaml").write_text(change)
    with pytest.raises(BadInput) as told:
        load_rulebook([shipped_rules(), tmp_path])
    text = "\n".join(map(str, told.value.problems))
    assert all(word in text for word in words), text
    assert "rules/causes/withers_pinch.yaml" not in text
