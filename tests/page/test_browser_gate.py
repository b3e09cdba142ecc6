"""The gate in a real browser: coming in over TLS by the picture's address, and what another site's page cannot do.

In: `reasoner serve --lan` as a process, Chromium, a stranger's site beside it. Out: who is in; that nothing was done.
Not here: how the screens look.
"""

from __future__ import annotations

import os
import re
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from reasoner.store.enclosing import enclosed_with
from reasoner.store.reading import visits
from reasoner.store.saving import save
from tests.page.browser import PATIENCE
from tests.page.test_nearby import HOST, Running
from tests.store.keeping import example, fresh, opened
from tests.store.pictures import picture


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium; without one the tests are skipped, but fail where CI is set."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("Chromium is missing, and these tests must not be left out here.")
        pytest.skip("Chromium is not installed here.")
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-gpu"])
        yield running
        running.close()


@pytest.fixture(scope="module")
def lan(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    folder = tmp_path_factory.mktemp("lan")
    store = fresh(folder)
    save(store, example("bramble"), by="Wren Aldous")
    store.close()
    running = Running(folder, "--lan", "--address", HOST)
    running.said("/telephones")
    yield running
    running.process.kill()
    running.process.wait()


def visit_and_photographs(lan: Running) -> tuple[str, int]:
    from reasoner.store.place import place_of

    place = place_of(str(lan.out.parent / "practice.db"))
    with opened(place) as store, store.reading() as connection:
        (visit,) = visits(connection)
        return visit.uid, len(enclosed_with(connection, place, visit.uid))


def test_a_telephone_comes_in_by_the_picture_and_sends_a_photograph(
    browser: Browser, lan: Running, tmp_path: Path
) -> None:
    code = re.findall(r"[0-9A-Z]{4}-[0-9A-Z]{4}", lan.out.read_text())[-1].replace("-", "")
    near, (visit, before) = f"https://{HOST}:{lan.port + 1}", visit_and_photographs(lan)
    context = browser.new_context(ignore_https_errors=True, viewport={"width": 360, "height": 740})
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda fault: wrong.append(str(fault)))
    page.on("console", lambda said: wrong.append(said.text) if "Content Security Policy" in said.text else None)
    page.goto(f"{near}/visits/{visit}/photographs")
    assert page.url == f"{near}/pair", "nobody passes without coming in"
    page.goto("about:blank")
    page.goto(f"{near}/pair#{code}")
    assert page.url == f"{near}/pair", "the code does not stay in the address"
    page.keyboard.press("Enter")
    page.wait_for_url(f"{near}/")
    (cookie,) = context.cookies()
    assert (cookie["httpOnly"], cookie["secure"], cookie["sameSite"]) == (True, True, "Strict")
    assert page.evaluate("document.cookie") == ""

    (tmp_path / "saddle.jpg").write_bytes(picture(size=(800, 600)))
    page.goto(f"{near}/visits/{visit}/photographs")
    page.set_input_files("#photograph", tmp_path / "saddle.jpg")
    page.select_option("#shows", "saddle from behind")
    page.fill("#caption", "<script>document.title='in'</script>")
    page.get_by_role("button", name="Keep it with the visit").click()
    page.wait_for_selector(".album img")
    assert visit_and_photographs(lan)[1] == before + 1
    assert page.evaluate("document.querySelector('.album img').naturalWidth || 1") >= 1
    assert page.title() == "Photographs"
    assert "<script>" in page.inner_text(".album")

    page.get_by_role("button", name="Leave").click()
    page.wait_for_url(f"{near}/pair")
    page.goto(f"{near}/")
    assert page.url == f"{near}/pair"
    assert wrong == []
    context.close()


EVIL = """<!doctype html><title>evil</title>
<iframe id="frame" src="{own}/telephones"></iframe>
<img id="img" src="{own}/static/page.css">
<form id="form" method="post" enctype="multipart/form-data" action="{own}/visits/{visit}/photographs" target="hidden">
<input name="shows" value="other"></form><iframe name="hidden"></iframe>
<script>
window.told = {{}};
const note = (name, promise) => promise.then((a) => {{ told[name] = a.type + a.status; }}, () => {{ told[name] = "refused"; }});
note("read", fetch("{own}/telephones"));
note("plain", fetch("{own}/sign-out", {{method: "POST", mode: "no-cors", body: "x"}}).then((a) => a));
note("header", fetch("{own}/telephones/end", {{method: "POST", headers: {{"X-From-Page": "1"}}}}));
const files = new DataTransfer(); files.items.add(new File([Uint8Array.from(atob("{jpeg}"), (c) => c.charCodeAt(0))], "x.jpg"));
const input = document.createElement("input"); input.type = "file"; input.name = "photograph"; input.files = files.files;
form.append(input); form.submit();
</script>"""


def test_another_site_open_in_the_same_browser_reads_and_does_nothing(browser: Browser, lan: Running) -> None:
    """On the own machine nobody is asked who they are: this is what guards it."""
    import base64

    own, (visit, before) = f"http://{HOST}:{lan.port}", visit_and_photographs(lan)
    body = EVIL.format(own=own, visit=visit, jpeg=base64.b64encode(picture(shade=222)).decode()).encode()

    class Site(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    site = ThreadingHTTPServer(("127.0.0.1", 0), Site)
    threading.Thread(target=site.serve_forever, daemon=True).start()
    try:
        page = browser.new_page()
        page.set_default_timeout(PATIENCE)
        answers: list[tuple[str, int]] = []
        page.on("response", lambda answer: answers.append((answer.url.removeprefix(own), answer.status)))
        page.goto(f"http://localhost:{site.server_port}/")  # another name, so another site as browsers see it
        page.wait_for_function("Object.keys(told).length === 3")
        told = page.evaluate("told")

        def come(sign: Callable[[], bool]) -> None:
            until = time.monotonic() + PATIENCE / 1000
            while not sign():
                assert time.monotonic() < until, [answers, [frame.url for frame in page.frames]]
                page.wait_for_timeout(50)

        come(lambda: any(path.endswith("/photographs") for path, _ in answers))
        come(lambda: any("telephones" in frame.url or "chrome-error" in frame.url for frame in page.frames))
        assert (told["read"], told["header"]) == ("refused", "refused")
        assert [status for path, status in answers if path.endswith("/photographs")] == [403]
        assert ("/sign-out", 403) in answers or told["plain"] == "refused"
        framed = next(frame for frame in page.frames if "telephones" in frame.url or "chrome-error" in frame.url)
        assert "Telephones and people" not in framed.content(), "it stands in nobody's frame"
        assert visit_and_photographs(lan)[1] == before
        page.close()
    finally:
        site.shutdown()
        site.server_close()
