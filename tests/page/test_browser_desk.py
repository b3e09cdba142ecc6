"""The desk in a real browser: from records with visits to a printed report, at three widths, in light and dark.

In: filled records, Chromium. Out: a failure where a screen breaks WCAG 2.2 AA, scrolls sideways, asks a stranger, or stops the
road.
Not here: what each route refuses (test_desk.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

import pytest
from playwright.sync_api import Browser, expect

from reasoner.page.app import made
from tests.page.browser import SCHEMES, WIDTHS, looked_over, pictured, running, telephone
from tests.page.desk_store import WREN, Desk, desk

SLOW = 90_000
"""Milliseconds: the handbook and a PDF are made when first asked for."""
#: What a telephone with sharing of its own has and Chromium on a desk has not; it notes what it was handed.
SHARES = """
navigator.canShare = (what) => Boolean(what.files && what.files.length);
navigator.share = async ({ title, files: [{ name, type, size }] }) => { window.handed = { title, name, type, size }; };
"""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Desk, str]]:
    """Filled records that are only read, and the address of the page over them."""
    found = desk(tmp_path_factory.mktemp("desk"))
    with running(made(found.served)) as base:
        yield found, base
    found.served.store.close()


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("width", WIDTHS)
def test_every_screen_of_the_desk(
    browser: Browser, kept: tuple[Desk, str], width: int, scheme: Literal["light", "dark"]
) -> None:
    found, base = kept
    context, seen = telephone(browser, width, scheme)
    page = context.new_page()
    screens = {
        "horses": "/horses", "horse": f"/horses/{found.bramble}", "visit": found.at("first"),
        "apprentice": found.at("apprentice"), "measured": found.at("larch"),
        "why": found.at("first", "/why/saddle_to_one_side?side=right"),
        "why-here": found.at("first", "/why-here?place=withers&side=left"),
        "why-not": found.at("first", "/why-not?conclusion=tree_too_narrow/"), "edit": found.at("first", "/edit"),
        "send": found.at("first", "/send"), "version": found.at("second", "/versions/2"), "file": found.at("first", "/file"),
        "correct": found.at("first", "/correct"), "diary": "/diary", "day-sheet": "/day-sheet?on=2026-05-13", "yard": "/yard",
        "track": "/track",
    }  # fmt: skip
    for name, path in screens.items():
        page.goto(base + path)
        page.evaluate("document.querySelectorAll('details').forEach((box) => { box.open = true; })")
        looked_over(page, f"{name}-{width}-{scheme}")
    seen.only_from(base)
    seen.quiet()
    context.close()


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("width", WIDTHS)
def test_the_road_from_the_records_to_a_printed_report(
    browser: Browser, tmp_path_factory: pytest.TempPathFactory, width: int, scheme: Literal["light", "dark"]
) -> None:
    found = desk(tmp_path_factory.mktemp("road"))
    with running(made(found.served)) as base:
        context, seen = telephone(browser, width, scheme)
        context.add_init_script(SHARES)
        context.set_default_timeout(SLOW)
        page = context.new_page()
        page.goto(base + "/horses")
        page.get_by_label("Name, yard or year").fill("bramble")
        page.get_by_role("button", name="Search").click()
        page.get_by_role("link", name="Bramble").click()
        page.get_by_role("link", name="18 April 2026").click()
        expect(page.get_by_role("heading", name="Reasons to call the veterinarian")).to_be_visible()
        page.get_by_role("link", name="Change words").click()
        line = page.locator("#owner-light_work_while_it_comes_over-")
        line.locator("summary").click()
        line.get_by_label("Your words").fill("It is lame, so ride lightly.")
        line.get_by_label("Your name").fill(WREN)
        line.get_by_role("button", name="Keep these words").click()
        refused = page.get_by_role("alert")
        expect(refused).to_contain_text("its steps are uneven")
        expect(line.get_by_label("Your words")).to_have_value("It is lame, so ride lightly.")
        looked_over(page, f"refused-{width}-{scheme}")
        line.get_by_label("Your words").fill("Please ride lightly until we know why the saddle comes over.")
        line.get_by_role("button", name="Keep these words").click()
        expect(line).to_contain_text("in the words of Wren Aldous")
        looked_over(page, f"edited-{width}-{scheme}")
        page.get_by_role("link", name="To the reports").click()
        owner = page.locator("#owner")
        owner.get_by_label("I have read it: my name").fill(WREN)
        owner.get_by_role("button", name="Approve the page for the owner").click()
        expect(owner).to_contain_text("Approved by Wren Aldous")
        looked_over(page, f"approved-{width}-{scheme}")
        send = owner.get_by_role("button", name="Send the page for the owner")
        expect(send).to_be_visible(timeout=SLOW)
        send.click()
        expect(owner.get_by_role("status")).to_have_text("Handed to the phone.")
        handed = page.evaluate("window.handed")
        assert (handed["name"], handed["type"]) == ("bramble-2026-04-18-owner.pdf", "application/pdf")
        assert handed["size"] > 10_000
        pdf = context.request.get(base + found.at("first", "/report/owner.pdf"), timeout=SLOW)
        assert pdf.body().startswith(b"%PDF-")
        owner.get_by_role("link", name="Read it").click()
        mine = "Please ride lightly until we know why the saddle comes over (in the practitioner's words)."
        expect(page.get_by_text(mine).first).to_be_attached()
        expect(page.get_by_text("Approved by Wren Aldous, for the visit of 18 April 2026.")).to_be_visible()
        looked_over(page, f"report-{width}-{scheme}")
        page.emulate_media(media="print")
        pictured(page, f"printed-{width}-{scheme}", whole=True)
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
        seen.only_from(base)
        seen.quiet("422")  # the browser notes the refusal that was asked for
        context.close()
    found.served.store.close()


def test_where_the_browser_has_no_sharing_there_is_a_download_and_a_print(
    browser: Browser, kept: tuple[Desk, str]
) -> None:
    found, base = kept
    context, seen = telephone(browser, 1280)
    context.set_default_timeout(SLOW)  # the click waits for the PDF, which is laid out first
    page = context.new_page()
    page.goto(base + found.at("first", "/send"))
    owner = page.locator("#owner")
    expect(owner.get_by_role("button", name="Send the page for the owner")).to_have_count(0)
    expect(owner.get_by_role("link", name="PDF, to print")).to_be_visible()
    with page.expect_download(timeout=SLOW) as download:
        owner.get_by_role("link", name="Download").click()
    assert download.value.suggested_filename == "bramble-2026-04-18-owner-draft.pdf"
    seen.only_from(base)
    context.close()


def test_why_opens_step_by_step_from_the_keyboard(browser: Browser, kept: tuple[Desk, str]) -> None:
    found, base = kept
    context, _ = telephone(browser, 1280)
    page = context.new_page()
    page.goto(base + found.at("first", "/why/saddle_to_one_side?side=right"))
    opened: list[str] = []
    for _ in range(60):
        page.keyboard.press("Tab")
        on = page.evaluate(
            "() => { const at = document.activeElement; if (at.tagName !== 'SUMMARY') return '';"
            " let deep = 0; for (let up = at; up; up = up.parentElement) deep += up.tagName === 'DETAILS';"
            " return deep + ':' + at.textContent.trim(); }"
        )
        if on and on not in opened:
            page.keyboard.press("Enter")
            assert page.evaluate("document.activeElement.parentElement.open"), on
            opened.append(on)
    assert max(int(one.split(":")[0]) for one in opened) >= 4
    assert any("It prefers the left lead." in one for one in opened)
    assert page.get_by_text("Found at this visit").first.is_visible()
    context.close()


def test_the_handbook_is_searched_within_the_policy(browser: Browser, kept: tuple[Desk, str]) -> None:
    _, base = kept
    context, seen = telephone(browser, 768, "dark")
    page = context.new_page()
    page.goto(base + "/handbook", timeout=SLOW)
    page.get_by_label("Search").fill("saddle to one side")
    expect(page.locator("#found")).to_have_text(re.compile(r"^\d+ of \d+ entries$"))
    assert page.locator("details.entry:visible").count() < page.locator("details.entry").count()
    page.goto(base + "/handbook#rule-saddle_to_one_side--seen_to_this_side", timeout=SLOW)
    expect(page.locator("#rule-saddle_to_one_side--seen_to_this_side")).to_be_visible()
    page.get_by_role("link", name="Back to the records").click()
    seen.only_from(base)
    seen.quiet()
    context.close()


def test_the_desk_works_without_script(browser: Browser, kept: tuple[Desk, str]) -> None:
    found, base = kept
    context, _ = telephone(browser, 360, java_script_enabled=False)
    page = context.new_page()
    page.goto(base + "/horses")
    page.get_by_role("link", name="Bramble").click()
    page.get_by_role("link", name="18 April 2026").click()
    page.get_by_role("link", name="The saddle comes to the right and rests there.").first.click()
    page.get_by_text("seen to this side").click()
    expect(page.get_by_text("It has been seen: the saddle rests to this side")).to_be_visible()
    page.goto(base + found.at("first", "/send"))
    expect(page.locator("#owner").get_by_role("link", name="Download")).to_be_visible()
    context.close()


@pytest.mark.parametrize("path", ["/yard", "/track"])
def test_a_label_stands_with_its_field(browser: Browser, kept: tuple[Desk, str], path: str) -> None:
    """Where two fields do not fit on one line, the second goes on to the next with its label."""
    context, _ = telephone(browser, 768)
    page = context.new_page()
    page.goto(kept[1] + path)
    label = page.get_by_text("Since", exact=True).bounding_box()
    field = page.get_by_label("Since").bounding_box()
    assert label is not None
    assert field is not None
    assert field["y"] <= label["y"] < field["y"] + field["height"]
    context.close()
