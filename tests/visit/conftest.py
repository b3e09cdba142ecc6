"""The words the tests of the visit room read with.

In: nothing. Out: the shipped vocabulary, read once.
Not here: expectations.
"""

from __future__ import annotations

import pytest

from reasoner.rulebook.loading import load_vocabulary
from reasoner.rulebook.vocabulary import Vocabulary


@pytest.fixture(scope="session")
def shipped() -> Vocabulary:
    """The vocabulary under rules/."""
    return load_vocabulary()
