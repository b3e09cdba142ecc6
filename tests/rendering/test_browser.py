"""The reports in a real browser: no sideways scrolling on a phone, one or two printed pages.

In: every example; Chromium, headless. Out: passes or fails; without a browser a skip, but in CI a failure.
Not here: how it looks; that is looked at by eye.
"""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest

from tests.rendering.answers import NAMES, READERS, report, words_of
from tests.rendering.paper import letters

__all__ = ["letters"]

QUIET = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage",
)  # fmt: skip
PHONE = 360


@pytest.fixture(scope="module")
def browser() -> str:
    """The browser's command."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if found := shutil.which(name):
            return found
    if os.environ.get("CI"):
        pytest.fail("CI must have chromium: .ci/run installs it")
    pytest.skip("no chromium on this machine: apt-get install chromium")


def _run(browser: str, *more: str) -> bytes:
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        done = subprocess.run(
            [browser, *QUIET, f"--user-data-dir={profile}", *more], check=True, capture_output=True, timeout=120
        )
    return done.stdout


def test_nothing_scrolls_sideways_on_a_phone(browser: str, tmp_path: Path) -> None:
    pages = {f"{name} {reader}": report(name, reader) for name in NAMES for reader in READERS}
    style = f"border:0;width:{PHONE}px;height:900px"
    frames = "".join(
        f'<iframe id="{html.escape(key)}" style="{style}" srcdoc="{html.escape(page)}"></iframe>'
        for key, page in pages.items()
    )
    measure = (
        "<script>addEventListener('load',()=>{const out={};for(const f of document.querySelectorAll('iframe'))"
        "out[f.id]=f.contentDocument.documentElement.scrollWidth;"
        "document.body.innerHTML='<pre>'+JSON.stringify(out)+'</pre>'})</script>"
    )
    wrapper = tmp_path / "phones.html"
    wrapper.write_text(f"<!doctype html><meta charset=utf-8><body>{frames}{measure}", encoding="utf-8")
    dumped = _run(browser, "--dump-dom", wrapper.as_uri()).decode()
    found = re.search(r"<pre>(.*)</pre>", dumped, re.DOTALL)
    assert found, "the browser measured nothing"
    widths = json.loads(html.unescape(found[1]))
    assert set(widths) == set(pages)
    assert {key: width for key, width in widths.items() if width > PHONE} == {}


def _longest(reader: str, count: int) -> list[str]:
    return sorted(NAMES, key=lambda name: -len(words_of(report(name, reader))))[:count]


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("paper", ["letter", "A4"])
@pytest.mark.usefixtures("letters")
def test_the_longest_reports_print_on_one_or_two_pages(browser: str, tmp_path: Path, reader: str, paper: str) -> None:
    for name in _longest(reader, 3 if paper == "letter" else 1):
        page = report(name, reader).replace("@page{margin", f"@page{{size:{paper};margin", 1)
        source, target = tmp_path / f"{name}.html", tmp_path / f"{name}.pdf"
        source.write_text(page, encoding="utf-8")
        _run(browser, "--no-pdf-header-footer", f"--print-to-pdf={target}", source.as_uri())
        pages = len(re.findall(rb"/Type\s*/Page\b", target.read_bytes()))
        assert 1 <= pages <= 2, f"{name} for the {reader} prints on {pages} pages of {paper}"
