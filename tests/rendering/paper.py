"""What the tests of PDFs need from the machine: Pango, which lays them out.

In: the machine. Out: a fixture that skips with its reason, and fails in CI, where `.ci/run` installs it.
Not here: what is on the paper.
"""

from __future__ import annotations

import os

import pytest

from reasoner.problems import BadInput
from reasoner.rendering.pdf import pdf_of


@pytest.fixture(scope="module")
def pango() -> None:
    """PDFs can be made here."""
    try:
        pdf_of('<html lang="en"><head><title>a</title></head><body>a</body></html>')
    except BadInput as bad:
        if os.environ.get("CI"):
            pytest.fail(f"CI must be able to make PDFs: {bad.problems[0]}")
        pytest.skip(str(bad.problems[0]))
