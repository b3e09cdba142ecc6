"""Practice in a real browser, at the size of a telephone: a case from its beginning to its marks, in light and in dark.

In: filled records, Chromium. Out: a failure where a screen breaks WCAG 2.2 AA, scrolls sideways, asks a stranger, or the road
stops.
Not here: what may not leak (test_practise_leaks), what each form refuses (test_practise).
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from reasoner.page.app import made
from reasoner.page.routes import practise
from tests.page.browser import looked_over, running, telephone
from tests.page.desk_store import desk

SLOW = 90_000


@pytest.fixture
def base(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The address of a page over filled records, where chance is known."""
    monkeypatch.setattr(practise, "CHANCE", random.Random(8))
    found = desk(tmp_path_factory.mktemp("practise"))
    with running(made(found.served)) as address:
        yield address
    found.served.store.close()


def small_targets(page: Page) -> list[str]:
    """Buttons, fields and links of their own line that are lower than 44 px."""
    page.wait_for_load_state("load")  # a heading may be there before the page's style is
    return list(
        page.evaluate(
            "[...document.querySelectorAll('main button, main select, main input:not([type=hidden]):not([type=radio]), "
            "main summary, main a.big, main a.name, main nav a, main label:has(input[type=radio])')]"
            ".filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 43.5)"
            ".map((one) => one.outerHTML.slice(0, 80))"
        )
    )


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (360, "dark"), (768, "light"), (1280, "dark")])
def test_a_case_from_its_beginning_to_its_marks(
    browser: Browser, base: str, width: int, scheme: Literal["light", "dark"]
) -> None:
    context, seen = telephone(browser, width, scheme)
    page = context.new_page()
    page.goto(base + "/")
    page.get_by_role("navigation", name="main").get_by_role("link", name="Learning").click()
    page.wait_for_url("**/learning")
    assert page.locator("main a.name").count() == 5
    assert small_targets(page) == []
    looked_over(page, f"learning-{width}-{scheme}")
    page.get_by_role("link", name="Practise on a case").click()
    looked_over(page, f"start-{width}-{scheme}")
    page.get_by_label("How clear a made case is").select_option("usual")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Practice case (usual)")).to_be_visible()
    assert small_targets(page) == []
    looked_over(page, f"begun-{width}-{scheme}")
    page.get_by_label("Find a look").fill("girth")
    expect(page.locator("#found")).to_contain_text("of 1")
    page.get_by_role("button", name="girth line", exact=True).click()
    expect(page.locator("#seen")).to_contain_text("girth line:")
    expect(page.locator("#seen")).to_be_focused()
    expect(page.get_by_label("Find a look")).to_have_value("girth")
    page.get_by_label("Find a look").fill(
        "withers"
    )  # something else is found though the page came with what was sought
    page.get_by_role("button", name="withers", exact=True).click()
    expect(page.locator("#seen")).to_contain_text("withers:")
    page.get_by_label("Find a look").fill("")
    expect(page.locator("#found")).to_contain_text(re.compile(r"^\d{2,} looks may be made"))
    expect(page.locator("details.group[open]")).to_have_count(1)
    looked_over(page, f"seen-{width}-{scheme}")
    think = page.locator("#think")
    think.get_by_label("A cause").select_option("girth_presses")
    think.get_by_label("left (near)").check()
    think.get_by_label("How sure, in percent").fill("lots")
    think.get_by_role("button", name="Keep what I think").click()
    expect(page.get_by_role("alert")).to_contain_text("how sure in percent was expected")
    expect(think.get_by_label("left (near)")).to_be_checked()
    looked_over(page, f"refused-{width}-{scheme}")
    think.get_by_label("How sure, in percent").fill("40")
    think.get_by_role("button", name="Keep what I think").click()
    expect(think.get_by_label("girth presses, left")).to_have_value("40")
    think.get_by_label("Another cause").select_option("mouth_and_teeth")
    think.get_by_label("How sure, in percent").fill("20")
    think.get_by_role("button", name="Keep what I think").click()
    expect(think).to_contain_text("40% is left")
    page.get_by_label("routine: before the next session").check()
    page.get_by_role("button", name="Keep this answer").click()
    expect(page.locator("#refer")).to_contain_text("You said: routine.")
    page.locator("#plan").get_by_label("A step").select_option("bit_as_it_was")
    page.get_by_role("button", name="Add this step").click()
    expect(page.get_by_role("button", name="Take back bit as it was")).to_be_visible()
    assert small_targets(page) == []
    page.evaluate("document.querySelectorAll('#think details, #plan details').forEach((box) => { box.open = true; })")
    looked_over(page, f"said-{width}-{scheme}")
    page.get_by_role("link", name="To the end of the case").click()
    looked_over(page, f"end-{width}-{scheme}")
    page.get_by_role("button", name="End it and see the marks").click(timeout=SLOW)
    expect(page.get_by_role("heading", level=1)).to_contain_text("of 100 points", timeout=SLOW)
    expect(page.get_by_text("It was made from this")).to_be_visible()
    page.evaluate("document.querySelectorAll('details').forEach((box) => { box.open = true; })")
    looked_over(page, f"marks-{width}-{scheme}")
    page.get_by_role("link", name="Progress by skill").click()
    looked_over(page, f"record-{width}-{scheme}")
    seen.only_from(base)
    seen.quiet("422")  # the browser notes the refusal that was asked for
    context.close()


def test_without_script_with_going_back_loading_anew_and_two_taps(browser: Browser, base: str) -> None:
    context, seen = telephone(browser, 360, java_script_enabled=False)
    page = context.new_page()
    page.goto(base + "/practise")
    page.get_by_role("button", name="Begin").dblclick()
    expect(page.get_by_role("heading", level=1)).to_have_text("Practice case (plain)")
    case = page.url
    page.goto(base + "/practise")
    expect(page.get_by_role("link", name="Practice case (plain)")).to_have_count(1)
    page.goto(case)
    page.get_by_label("Find a look").fill("girth line")
    page.get_by_role("button", name="Find", exact=True).click()
    page.get_by_role("button", name="girth line", exact=True).click()
    expect(page.locator("#seen")).to_contain_text("girth line:")
    page.reload()
    expect(page.locator("#known li").filter(has_text="girth line:")).to_have_count(1)
    page.go_back()
    expect(page.locator("#known li").filter(has_text="girth line:")).to_have_count(1)
    page.goto(case + "/end")
    page.get_by_role("button", name="End it and see the marks").dblclick(timeout=SLOW)
    expect(page.get_by_role("heading", level=1)).to_contain_text("of 100 points", timeout=SLOW)
    marks = page.get_by_role("heading", level=1).inner_text()
    page.go_back()
    page.goto(case)
    assert page.get_by_role("heading", level=1).inner_text() == marks
    page.goto(base + "/practise/record")
    expect(page.get_by_text("1 case ended.")).to_be_visible()
    seen.only_from(base)
    context.close()


def test_what_was_typed_before_the_script_came_is_found_too(browser: Browser, base: str) -> None:
    context, seen = telephone(browser, 360)
    page = context.new_page()
    held: list[Route] = []
    page.route("**/practise.js", lambda route: held.append(route), times=1)
    page.goto(base + "/practise")
    page.get_by_role("button", name="Begin").click(no_wait_after=True)
    page.get_by_label("Find a look").fill("withers")
    while not held:
        page.wait_for_timeout(50)
    held[0].continue_()
    page.get_by_role("button", name="withers", exact=True).click()
    expect(page.locator("#seen")).to_contain_text("withers:")
    seen.quiet()
    context.close()


def test_nothing_is_left_in_the_browser(browser: Browser, base: str) -> None:
    """No cookie, nothing in its own storage, no address that says more than which case."""
    context, seen = telephone(browser, 360)
    page = context.new_page()
    page.goto(base + "/practise")
    page.get_by_role("button", name="Begin").click()
    page.get_by_label("Find a look").fill("withers")
    page.get_by_role("button", name="withers", exact=True).click()
    expect(page.locator("#seen")).to_contain_text("withers:")
    assert context.cookies() == []
    assert page.evaluate("[localStorage.length, sessionStorage.length]") == [0, 0]
    paths = {re.sub(r"[0-9a-f]{32}", "UID", url.removeprefix(base)) for url in seen.requests}
    assert {path for path in paths if path.startswith("/practise")} == {
        "/practise", "/practise/UID", "/practise/UID/look", "/practise/UID?find=withers",
    }  # fmt: skip
    seen.quiet()
    context.close()
