"""Every example of every page is one test, named by its sentence, and its mirror image another.

In: the pages of rules/. Out: nothing, or what the page answers instead.
Not here: how an example is judged (page_examples), longer cases (tests/trade).
"""

from __future__ import annotations

import pytest

from reasoner.rulecare.example_check import Case
from tests.rules.page_examples import cases, complaints


@pytest.mark.parametrize("case", cases(), ids=lambda case: case.name)
def test_example(case: Case) -> None:
    """The page answers as its example says, and for the reason it names."""
    wrong = complaints(case)
    assert not wrong, f"{case.page.file}:{case.example.line}: " + "; ".join(wrong)
