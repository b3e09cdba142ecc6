"""The lesson in a real browser at a telephone's width: from the visit to a step that opens to its rule and its anatomy.

In: filled records, Chromium. Out: a failure where the road stops, or the screen breaks WCAG 2.2 AA or scrolls sideways.
Not here: what the route says and refuses (test_lesson.py).
"""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import expect

from reasoner.page.app import made
from tests.page.browser import held_to_wcag, no_sideways_scroll, pictured, running, started, telephone
from tests.page.desk_store import desk


def test_from_the_visit_to_a_lesson_that_opens(tmp_path: Path) -> None:
    found = desk(tmp_path)
    with started() as browser, running(made(found.served)) as base:
        context, seen = telephone(browser, 360)
        page = context.new_page()
        page.goto(base + found.at("first"))
        page.get_by_role("link", name="Tell this case as a lesson").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("A lesson: Bramble")
        expect(page.locator("#first")).to_contain_text("ROUTINE: the veterinarian, before the next session")
        assert page.locator("main section").first.get_attribute("id") == "first", "the veterinarian comes first"
        step = page.locator("#found-behind_the_shoulder_blade")
        hand = step.get_by_text("where the hand goes")
        expect(hand).to_be_hidden()
        step.locator("summary").click()
        expect(hand).to_be_visible()
        expect(step.get_by_role("link", name=re.compile("saddle_to_one_side.yaml")).first).to_be_visible()
        held_to_wcag(page, "lesson, a step opened")
        no_sideways_scroll(page, "lesson, a step opened")
        pictured(page, "lesson-360")
        page.get_by_role("link", name="In technical words").click()
        expect(page.get_by_text("Cause: strong pointers").first).to_be_visible()
        page.evaluate("document.querySelectorAll('details').forEach((box) => { box.open = true; })")
        no_sideways_scroll(page, "lesson in technical words, all opened")
        seen.only_from(base)
        seen.quiet()
        context.close()
    found.served.store.close()
