"""The teacher's desk in a real browser: from writing a case to the class, start to finish, at phone and desk size.

In: fresh records, Chromium, answers made on the command line. Out: a failure where a screen breaks WCAG 2.2 AA, scrolls sideways,
asks a stranger, or stops the road.
Not here: what each route refuses (test_class).
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from playwright.sync_api import Browser, Page, expect

from reasoner.page.app import made
from tests.page.browser import SCHEMES, WIDTHS, looked_over, running, telephone
from tests.page.serving import served_in
from tests.page.test_class import FORM, answered

SLOW = 90_000
"""Milliseconds: answers are weighed look by look when they are taken in."""


def opened_and_looked_over(page: Page, name: str) -> None:
    """What every screen is held to, with everything opened that opens."""
    page.wait_for_load_state()
    page.evaluate("document.querySelectorAll('details').forEach((box) => { box.open = true; })")
    looked_over(page, name)
    page.evaluate("document.querySelectorAll('details').forEach((box) => { box.open = false; })")


def test_the_whole_road(browser: Browser, tmp_path: Path) -> None:
    """On a telephone: choose, mend, check, hand out, download, take in, see, give back; then every screen at every width."""
    served = served_in(tmp_path)
    with running(made(served)) as base:
        context, seen = telephone(browser, 360, "light")
        page = context.new_page()
        page.set_default_timeout(SLOW)
        page.goto(f"{base}/class")
        page.get_by_role("link", name="Write a case and hand it out").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Choose a case")
        opened_and_looked_over(page, "class-choose-360-light")
        page.get_by_label("Cause", exact=True).select_option("girth_presses")
        page.get_by_label("How clear it is").select_option("plain")
        page.get_by_role("button", name="Make this case").click()
        page.get_by_label("Title:").fill("Case 3")
        page.get_by_label("Causes, one on a line").fill("grith presses, left")
        page.get_by_label("What you want them to see").fill(FORM["words"])
        page.get_by_role("button", name="Lock it and hand the case out").click()
        expect(page.get_by_role("alert")).to_contain_text("girth presses")
        opened_and_looked_over(page, "class-mend-360-light")
        page.get_by_label("Causes, one on a line").fill("girth presses, left")
        page.get_by_label("How soon is the veterinarian called").select_option("routine")
        page.get_by_role("button", name="Set it beside the rules").click()
        expect(page.get_by_role("status")).to_contain_text("Where they differ")
        opened_and_looked_over(page, "class-check-360-light")
        page.get_by_role("button", name="Lock it and hand the case out").click()
        with page.expect_download() as taken:
            page.get_by_role("link", name="Download the file to give away").click()
        away = tmp_path / "away"
        away.mkdir()
        taken.value.save_as(away / "case-3.json")
        page.get_by_label("Files that apprentices sent").set_input_files(answered(away))
        page.get_by_role("button", name="Take them in").click()
        expect(page.get_by_role("status")).to_contain_text("3 answers taken; 0 set aside.")
        page.get_by_role("cell").get_by_text("girth").first.wait_for()
        page.get_by_text("Taken for:").click()
        page.get_by_role("link", name="Ida Fenn", exact=True).first.click()
        page.get_by_role("link", name="Choice by choice, to give back to Ida Fenn").click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Ida Fenn")
        opened_and_looked_over(page, "class-given-back-360-light")
        seen.only_from(base)
        context.close()
        for width in WIDTHS:
            for scheme in SCHEMES:
                every_screen(browser, base, width, scheme)
    served.store.close()


def every_screen(browser: Browser, base: str, width: int, scheme: Literal["light", "dark"]) -> None:
    """Every screen of the desk, at one width in one light."""
    context, seen = telephone(browser, width, scheme)
    page = context.new_page()
    page.set_default_timeout(SLOW)
    query = "?cause=girth_presses&side=left&difficulty=plain&seed=4"
    for name, path in {"class": "/class", "class-choose": "/class/case", "class-case": f"/class/case{query}",
                       "class-shown": "/class/shown.html"}.items():  # fmt: skip
        page.goto(base + path)
        opened_and_looked_over(page, f"{name}-{width}-{scheme}")
    seen.only_from(base)
    seen.quiet()
    context.close()
