"""What the tests of the page in a real browser share.

In: nothing. Out: the fixture `browser`.
Not here: tests; servers and telephones (browser).
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.page.browser import started


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for a file of tests."""
    with started() as found:
        yield found
