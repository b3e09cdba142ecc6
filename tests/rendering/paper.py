"""What the tests of paper need from the machine: Pango, which lays PDFs out, and the letters that a report names.

In: the machine. Out: fixtures that skip with their reason, and fail in CI, where `.ci/run` installs what they want.
Not here: what is on the paper.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess

import pytest

from reasoner.problems import BadInput
from reasoner.rendering.pdf import pdf_of
from tests.rendering.answers import report


@pytest.fixture(scope="module")
def pango() -> None:
    """PDFs can be made here."""
    try:
        pdf_of('<html lang="en"><head><title>a</title></head><body>a</body></html>')
    except BadInput as bad:
        if os.environ.get("CI"):
            pytest.fail(f"CI must be able to make PDFs: {bad.problems[0]}")
        pytest.skip(str(bad.problems[0]))


@pytest.fixture(scope="session")
def letters() -> None:
    """One of the families is here that a report names for paper: in a wider one it takes more sheets, which is nobody's fault."""
    named = re.findall(r"@media print.*?font-family:([^;]*?),sans-serif", report("otter", "owner"), re.DOTALL)
    assert named
    wanted = {name.strip('"') for name in named[0].split(",")}
    listed = ""
    if shutil.which("fc-list"):
        done = subprocess.run(["fc-list", ":", "family"], check=True, capture_output=True, text=True)
        listed = done.stdout
    if wanted & {name.strip() for line in listed.splitlines() for name in line.split(",")}:
        return
    why = f"none of {', '.join(sorted(wanted))} is here"
    if os.environ.get("CI"):
        pytest.fail(f"{why}, and .ci/run installs one")
    pytest.skip(f"{why}: apt-get install fonts-dejavu-extra")
