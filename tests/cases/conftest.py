"""Every fact of the trade is asked twice: as written, and of the mirror image of the horse.

In: the request of a test. Out: `ask`, which judges a visit written as text.
Not here: expectations.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.asking import Asked
from tests.asking import ask as ask_text


@pytest.fixture(params=[False, True], ids=["as written", "in the mirror"])
def ask(request: pytest.FixtureRequest) -> Callable[[str], Asked]:
    """Judge a visit; in the mirror every side asked for is swapped, so the test reads the same."""
    return lambda text: ask_text(text, mirror=request.param)
