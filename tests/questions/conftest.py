"""The shipped rulebook, read once for the tests of the questions.

In: rules/. Out: the fixture `shipped`.
Not here: visits.
"""

from __future__ import annotations

import pytest

from reasoner.consult import load_rulebook
from reasoner.rules_cache import Ready


@pytest.fixture(scope="session")
def shipped() -> Ready:
    return load_rulebook()
