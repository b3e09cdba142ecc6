"""The lines held back while the parser was written: other people's ways of speaking, none of them said in the open lines.

In: `heldout_*.yaml`. Out: failures. Not here: the parser, and how its answers to these lines are counted.
"""

from __future__ import annotations

import hashlib

import pytest

from tests.lines.cases import Case, cases, entered, left_out, read_reading, vocabulary
from tests.lines.test_corpus import faults

HELD = cases("heldout_*.yaml")
LEAST = 160
#: The sum over all cases as they were written: not one is taken away or changed after the parser has been seen.
SUM = "60204c6b14d851f6e1db20477392906dba72e1988e82e1dde0f57c46aa0b56d4"


def summed(held: tuple[Case, ...]) -> str:
    """sha256 over the sha256 of every case."""
    return hashlib.sha256("\n".join(sorted(case.sha for case in held)).encode()).hexdigest()


@pytest.mark.parametrize("case", HELD, ids=lambda case: f"{case.file}:{case.at_line}")
def test_a_case_says_only_what_a_visit_can_hold(case: Case) -> None:
    words = vocabulary()
    assert not faults(case, words)
    for find in case.finds:
        assert read_reading(find, words) not in (None, ()), find.key
    spots = [(key, side) for key, side, _ in entered(case, words)]
    assert len(spots) == len(set(spots)), "one spot, two readings"
    assert not {*spots} & {(key, side) for key, side, _ in left_out(case, words)}, "examined and not examined"


def test_there_are_enough_and_none_stands_twice() -> None:
    said = [case.said for case in HELD]
    assert len(said) == len(set(said)) >= LEAST


def test_none_is_among_the_open_lines() -> None:
    assert not {case.said for case in HELD} & {case.said for case in cases()}


def test_they_are_as_they_were_written() -> None:
    assert summed(HELD) == SUM
    assert summed(HELD[1:]) != SUM
