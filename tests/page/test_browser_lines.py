"""A line spoken or typed on the page: shown back, asked back, entered only after a yes.

The reader of lines has its own tests; here its answers are written down, so that each kind of answer is tried.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, Route, expect

from reasoner.store.reading import text_of, versions_of, visits
from tests.page.browser import held_to_wcag, no_sideways_scroll, pictured, telephone
from tests.page.horse import (
    begun,
    finished,
    graded,
    opened,
    practice,
    ready_without_signal,
    to_station,
    to_the_round,
    told,
)

NOTHING: dict[str, Any] = {"finds": [], "not_examined": [], "asks": [], "kept": []}


def said(page: Page, line: str) -> None:
    page.get_by_role("button", name="Say it").click()
    page.get_by_label("A line, such as").fill(line)
    page.get_by_role("button", name="Read it", exact=True).click()


def yes(page: Page) -> None:
    page.get_by_role("button", name="Yes, enter it").click()
    told(page, "Entered.")


def test_what_was_understood_waits_for_a_yes(tmp_path: Path, browser: Browser) -> None:
    answers: list[dict[str, Any]] = [
        NOTHING
        | {
            "finds": [
                {"at": "loin", "side": "left", "reading": {"soreness": "6", "response": "flinches"}},
                {"at": "loin", "side": "right", "reading": "0"},
                {"at": "back_spines", "side": "middle", "reading": "2"},
            ],
            "kept": ["and so on"],
        },
        NOTHING | {"asks": [{"kind": "side", "about": ["withers"], "offers": ["left", "right"]}]},
        NOTHING | {"finds": [{"at": "withers", "side": "right", "reading": "3"}]},
        NOTHING | {"not_examined": [{"region": "limbs", "side": "both"}]},
        NOTHING
        | {
            "finds": [{"at": "croup", "side": "left", "reading": "1"}],
            "asks": [{"kind": "reading", "about": ["dipped"], "offers": ["flinches", "hollow"]}],
        },
    ]
    asked: list[dict[str, Any]] = []

    def answer(route: Route) -> None:
        sent: dict[str, Any] = json.loads(route.request.post_data or "{}")
        asked.append(sent)
        route.fulfill(json=answers[len(asked) - 1])

    with practice(tmp_path) as (base, _):
        context, seen = telephone(browser)
        context.route("**/api/line", answer)
        page = opened(context, base)
        begun(page)
        said(page, "loin left six flinched, right nothing, back spines two and so on")
        understood = page.get_by_role("region", name="what was understood")
        expect(understood).to_contain_text("loin · LEFT (near): 6, flinches")
        expect(understood).to_contain_text("loin · RIGHT (off): 0")
        expect(understood).to_contain_text("Kept as a note, not understood: “and so on”")
        held_to_wcag(page, "understood")
        no_sideways_scroll(page, "understood")
        pictured(page, "understood-360-light")
        to_station(page, "Loin")
        expect(page.get_by_role("button", name="loin, left (near): not looked at").first).to_be_visible()
        page.reload()
        page.get_by_role("button", name="Say it").click()
        expect(page.get_by_text("“loin left six flinched, right nothing, back spines two and so on”")).to_be_visible()
        to_station(page, "Loin")
        said(page, "trap three")
        expect(page.get_by_text("Which side: withers?")).to_be_visible()
        expect(page.get_by_role("button", name="Yes, enter it")).to_have_count(0)
        expect(page.get_by_role("button", name="Keep it as a note, as it is")).to_be_enabled()
        held_to_wcag(page, "asked back")
        pictured(page, "asked-back-360-light")
        page.get_by_role("group", name="Which side: withers?").get_by_role("button", name="RIGHT (off)").click()
        yes(page)
        said(page, "didn't do the legs")
        yes(page)
        said(page, "croup left one, dipped")
        page.get_by_role("button", name="Yes, enter it").click()
        expect(page.get_by_text("asked back and left open: dipped, in “croup left one, dipped”")).to_be_visible()
        to_station(page, "Limbs")
        expect(page.get_by_role("button", name="forearm, left (near): not examined: other")).to_be_visible()
        to_station(page, "Withers")
        page.get_by_role("button", name="RIGHT (off)", exact=True).first.click()
        expect(page.get_by_role("button", name="withers, right (off): 3")).to_be_visible()
        assert asked[2]["answers"] == [{"about": ["withers"], "kind": "side", "answer": "right"}]
        assert asked[3]["earlier"] == ["trap three"], "what was never said yes to is no earlier line"
        seen.quiet()
        context.close()


def test_the_reader_of_lines_itself_is_understood_by_the_page(tmp_path: Path, browser: Browser) -> None:
    """No answer is written down here: the route's own is what the script shows, asks and enters."""
    with practice(tmp_path) as (base, _):
        context, seen = telephone(browser)
        page = opened(context, base)
        begun(page)
        said(page, "trap three, loin left six flinched, stifle left would not let me touch")
        understood = page.get_by_role("region", name="what was understood")
        expect(understood).to_contain_text("loin · LEFT (near): 6, flinches")
        expect(understood).to_contain_text("stifle · LEFT (near): would not allow")
        page.get_by_role("group", name="Which side: withers (trap, trapezius)?").get_by_role(
            "button", name="RIGHT (off)"
        ).click()
        expect(understood).to_contain_text("withers (trap, trapezius) · RIGHT (off): 3")
        yes(page)
        said(page, "left that hock alone, the near one")
        yes(page)
        said(page, "didn't do the hind legs")
        expect(understood).to_contain_text("hind joints · LEFT (near): stays not examined")
        expect(understood).to_contain_text(
            "not examined · both sides: front edge of the thigh, front of the thigh, outer hamstring, "
        )
        understood.get_by_role("button", name="No, keep it as a note").click()
        to_station(page, "Limbs")
        expect(page.get_by_role("button", name="hind joints, left (near): not examined: other")).to_be_visible()
        page.get_by_role("button", name="RIGHT (off)", exact=True).first.click()
        expect(page.get_by_role("button", name="hind joints, right (off): not looked at").first).to_be_visible()
        seen.quiet()
        context.close()


def test_all_of_what_was_understood_is_in_sight_before_the_yes(tmp_path: Path, browser: Browser) -> None:
    """The field stands low on a page that has grown: what was read is shown from its first words on, and not under the thumb."""
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        said(page, "trap three")  # asked back, and left open: its card and the list of lines make the page long
        expect(page.get_by_role("group", name="Which side: withers (trap, trapezius)?")).to_be_visible()
        page.get_by_label("A line, such as").fill(
            "loin left four, right two, croup left three, right one, girth left five"
        )
        page.get_by_role("button", name="Read it", exact=True).scroll_into_view_if_needed()
        page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
        assert page.evaluate("scrollY") > 0
        page.get_by_role("button", name="Read it", exact=True).click()
        expect(page.get_by_role("button", name="Yes, enter it")).to_be_visible()
        page.wait_for_function("scrollY === 0")
        under = page.locator(".answer").bounding_box()
        heading = page.get_by_role("heading", name="Understood of").bounding_box()
        assert under is not None
        assert heading is not None
        assert heading["y"] >= under["y"] + under["height"]
        context.close()


def test_a_line_says_what_it_replaces_before_the_yes(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, seen = telephone(browser)
        page = opened(context, base)
        begun(page)
        graded(page, "Loin", "loin", "left (near)", "2")
        page.get_by_role("button", name="loin quiet, RIGHT (off)").click()
        graded(page, "Poll", "top of the poll", "left (near)", "4")
        said(page, "loin left seven, right three, gums pink")
        understood = page.get_by_role("region", name="what was understood")
        expect(understood).to_contain_text("loin · LEFT (near): was 2, becomes 7")
        expect(understood).to_contain_text("loin · RIGHT (off): was quiet, becomes 3")
        expect(understood).to_contain_text("gums: pink")
        pictured(page, "replaces-360-light", whole=True)
        yes(page)
        said(page, "gums pale, loin left seven, I've left the poll")
        expect(understood).to_contain_text("gums: was pink, becomes pale")
        expect(understood).to_contain_text("loin · LEFT (near): 7, as it is written already")
        expect(understood).to_contain_text("top of the poll · LEFT (near): stays 4")
        expect(understood).to_contain_text("top of the poll · RIGHT (off): not examined")
        expect(understood).not_to_contain_text("behind the poll · both sides")
        understood.get_by_role("button", name="left out as well: behind the poll, behind the atlas wing").click()
        expect(understood).to_contain_text("behind the poll · both sides: not examined")
        held_to_wcag(page, "replaces")
        pictured(page, "left-out-360-light", whole=True)
        yes(page)
        to_station(page, "Poll")
        expect(page.get_by_role("button", name="top of the poll, left (near): 4")).to_be_visible()
        expect(page.get_by_role("button", name="behind the poll, left (near): not examined: other")).to_be_visible()
        seen.quiet()
        context.close()


def test_a_line_without_a_signal_is_offered_once_there_is_one(tmp_path: Path, browser: Browser) -> None:
    """Read in one of two tabs it is entered once, and neither offers it again; what was said of the open place is still of it."""
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser)
        page = opened(context, base)
        ready_without_signal(page)
        begun(page)
        to_station(page, "Loin")
        page.get_by_role("button", name="loin, left (near): not looked at").first.click()
        other = context.new_page()
        other.goto(page.url)
        context.set_offline(True)
        said(page, "left six flinched")
        told(page, "No signal: the line is kept as it is, to be read later.")
        said(page, "no, seven")
        to_station(page, "Croup")
        expect(page.get_by_text("to be read", exact=False)).to_have_count(0)
        context.set_offline(False)
        offers = [one.get_by_role("region", name="lines to be read") for one in (page, other)]
        for offer in offers:
            expect(offer).to_contain_text("2 lines wait to be read: “left six flinched”")
        held_to_wcag(page, "offered")
        for one, offer in zip((page, other), offers, strict=True):
            offer.get_by_role("button", name="Read it now").click()
            expect(one.get_by_role("region", name="what was understood")).to_contain_text(
                "loin · LEFT (near): 6, flinches"
            )
        for one in (page, other):
            one.get_by_role("button", name="Yes, enter it").click()
            expect(one.get_by_role("region", name="what was understood")).to_have_count(0)
        for one, offer in zip((page, other), offers, strict=True):
            to_the_round(one)
            expect(offer).to_contain_text("A line waits to be read: “no, seven”")
        offers[0].get_by_role("button", name="Read it now").click()
        page.get_by_role("group", name="Which side: loin?").get_by_role("button", name="LEFT (near)").click()
        expect(page.get_by_role("region", name="what was understood")).to_contain_text(
            "loin · LEFT (near): was 6, flinches; becomes 7, flinches"
        )
        page.get_by_role("button", name="Yes, enter it").click()
        to_the_round(page)
        for offer in offers:
            expect(offer).to_have_count(0)
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        with store.reading() as connection:
            (kept,) = visits(connection)
            text = text_of(connection, kept.version).decode()
        assert "soreness: 7" in text
        assert "to be read later" not in text
        context.close()


def test_a_line_of_a_finished_visit_is_handed_over_as_it_is_and_still_offered(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser)
        page = opened(context, base)
        ready_without_signal(page)
        begun(page)
        context.set_offline(True)
        said(page, "loin left six")
        told(page, "No signal: the line is kept as it is, to be read later.")
        finished(page)
        context.set_offline(False)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        page.get_by_role("button", name="To the next horse").click()
        offer = page.get_by_role("region", name="lines to be read")
        expect(offer).to_contain_text("A line waits to be read (Bramble): “loin left six”")
        offer.get_by_role("button", name="Open the visit again and read it").click()
        expect(page.get_by_role("region", name="what was understood")).to_contain_text("loin · LEFT (near): 6")
        page.get_by_role("button", name="Yes, enter it").click()
        finished(page)
        page.get_by_role("button", name="Keep this one as a correction").click()
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        with store.reading() as connection:
            (kept,) = visits(connection)
            every = versions_of(connection, kept.uid)
            texts = [text_of(connection, one.uid).decode() for one in every]
        assert "to be read later: loin left six" in texts[0]
        assert "to be read later" not in texts[1]
        assert "loin: {left: 6}" in texts[1] or "left: 6" in texts[1]
        assert every[1].why == "a line said without a signal was read"
        context.close()
