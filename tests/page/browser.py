"""The page in a real browser: a server on a free port, Chromium, and what every screen is held to.

In: an application. Out: its address while it runs; pages of a chosen width and light that note every request and every complaint.
Not here: what is tried on a page.
"""

from __future__ import annotations

import os
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any, Literal

import pytest
import uvicorn
from axe_playwright_python.sync_playwright import Axe
from fastapi import FastAPI
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from reasoner.frozen import frozen
from tests.page.serving import BEHIND

WIDTHS = (360, 768, 1280)
HEIGHTS = {360: 740, 768: 1024, 1280: 800}
SCHEMES: tuple[Literal["light"], Literal["dark"]] = ("light", "dark")
PATIENCE = 90_000
"""Milliseconds: how long a test waits for what it names. It ends long before where all is well; a machine that others use as
well may need it, and what never comes still fails."""
expect.set_options(timeout=PATIENCE)  # what is expected is waited for as long as a click is
#: Every sentence of the page's line of news, in turn: the next one takes its place, maybe before anybody has looked.
NEWS = """
(() => {
  window.__news = [];
  let stands = "";
  new MutationObserver(() => {
    const line = document.querySelector("[role=status]")?.textContent.trim() || "";
    if (line && line !== stands) window.__news.push(line);
    stands = line;
  }).observe(document, { subtree: true, childList: true, characterData: true });
})();
"""
#: Telephones go by the clock of the tests (serving.py): a visit of a day that has not come yet by the records' is refused.
CLOCK = """
Date = new Proxy(Date, {
  construct: (real, given, self) => Reflect.construct(real, given.length ? given : [real.now() + BEHIND], self),
  apply: (real) => new real(real.now() + BEHIND).toString(),
  get: (real, name) => (name === "now" ? () => real.now() + BEHIND : real[name]),
});
""".replace("BEHIND", str(BEHIND // timedelta(milliseconds=1)))
#: The rules of WCAG 2.2, levels A and AA.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]


def chromium() -> str:
    """Where Chromium lies. Without one the test is skipped, but fails where CI is set: there it has to be."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found:
        return found
    if os.environ.get("CI"):
        pytest.fail("Chromium is missing, and these tests must not be left out here.")
    pytest.skip("Chromium is not installed here.")


@contextmanager
def running(app: FastAPI) -> Iterator[str]:
    """The application on a free port of this machine, in a thread; its address, without a slash at the end."""
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", lifespan="off", ws="none", access_log=False))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    until = time.monotonic() + 60
    while not server.started:
        if time.monotonic() > until or not thread.is_alive():
            raise RuntimeError("the server did not start")
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.should_exit = True
        thread.join(timeout=60)
        listening.close()


@contextmanager
def started() -> Iterator[Browser]:
    """One Chromium, without a window."""
    where = chromium()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=where, args=["--no-sandbox", "--disable-gpu"])
        try:
            yield browser
        finally:
            browser.close()


@frozen
class Seen:
    """What a browser context asked for and complained of, while it was open."""

    requests: list[str]
    complaints: list[str]

    def only_from(self, base: str) -> None:
        """Every request went to this address, or never left the browser."""
        strange = [url for url in self.requests if not url.startswith((base + "/", "data:", "blob:"))]
        assert not strange, strange

    def quiet(self, *allowed: str) -> None:
        """Nothing was complained of, but for what contains one of these words."""
        loud = [line for line in self.complaints if not any(word in line for word in allowed)]
        assert not loud, loud


def telephone(
    browser: Browser, width: int = 360, scheme: Literal["light", "dark"] = "light", **more: Any
) -> tuple[BrowserContext, Seen]:
    """A browser of its own, with nothing kept in it: touched below 1000 px, clicked above; and what it is seen to do."""
    touch = width < 1000
    context = browser.new_context(
        viewport={"width": width, "height": HEIGHTS[width]}, color_scheme=scheme, has_touch=touch, is_mobile=touch,
        device_scale_factor=2 if touch else 1, locale="en-GB", **more,
    )  # fmt: skip
    context.set_default_timeout(PATIENCE)
    context.add_init_script(CLOCK)
    context.add_init_script(NEWS)
    seen = Seen([], [])
    context.on("request", lambda request: seen.requests.append(request.url))
    context.on("weberror", lambda error: seen.complaints.append(str(error.error)))
    context.on("console", lambda line: seen.complaints.append(line.text) if line.type == "error" else None)
    return context, seen


def held_to_wcag(page: Page, state: str) -> None:
    """axe finds nothing against WCAG 2.2 AA in the state the page is in.

    It looks at a window as tall as the page: what a bar merely stands in front of until the page is scrolled is no fault.
    """
    before = page.viewport_size
    tall = page.evaluate("document.documentElement.scrollHeight")
    if before and tall > before["height"]:
        page.set_viewport_size({"width": before["width"], "height": tall + 400})
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": TAGS}}).response["violations"]
    if before:
        page.set_viewport_size(before)
    told = [(v["id"], node["target"], node["failureSummary"]) for v in found for node in v["nodes"]]
    assert not told, (state, told)


def no_sideways_scroll(page: Page, state: str) -> None:
    """Nothing is wider than the screen."""
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert wide <= 0, (state, wide)


def pictured(page: Page, name: str, *, whole: bool = False) -> None:
    """A screenshot under the folder that SCREENS names, for the eye; without it nothing is written."""
    folder = os.environ.get("SCREENS")
    if folder:
        Path(folder).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=whole, caret="initial")


def looked_over(page: Page, name: str) -> None:
    """What every screen is held to, once its style is there; and its picture."""
    page.wait_for_load_state()
    held_to_wcag(page, name)
    no_sideways_scroll(page, name)
    pictured(page, name, whole=True)
