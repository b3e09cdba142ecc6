"""The words nobody may use, of the rules the page runs with, read once.

In: the folders of the rules. Out: `Wording`.
Not here: the words (rules/scales/wording.yaml), refusing them (records.changing).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from reasoner.rulebook.wording import Wording
from reasoner.rulecare.check import wording_of


@cache
def wording(folders: tuple[Path, ...] | None) -> Wording:
    """The words nobody may use, of the rules this page runs with."""
    return wording_of(folders)
