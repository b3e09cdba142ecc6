"""The round at a glance, the warning before a visit is finished, and the side beside the drawing: on a telephone.

In: the page in Chromium, 360 px wide. Out: failures.
Not here: what a touch is kept as (test_browser_horse.py).
"""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.page.browser import held_to_wcag, no_sideways_scroll, pictured, telephone
from tests.page.horse import answered, begun, finished, graded, opened, practice, to_station, to_the_round, told
from tests.page.serving import goes_on

#: The boxes of the words that tell the side, and of every mark and every letter of the same drawing, that have a point in common.
COVERED = """() => [...document.querySelectorAll(".map")].flatMap((map) => {
  const labels = [...map.querySelectorAll(".map-side")].map((one) => one.getBoundingClientRect());
  const marks = [...map.querySelectorAll(".point")];
  if (!labels.length || !marks.length) return [["a drawing without a side or without marks", map.outerHTML.slice(0, 80)]];
  return marks.filter((mark) => {
    const box = mark.getBoundingClientRect();
    return labels.some((label) => box.left < label.right && label.left < box.right
      && box.top < label.bottom && label.top < box.bottom);
  }).map((mark) => ["covered", mark.outerHTML.slice(0, 120)]);
})"""
MARKS = "document.querySelectorAll('.map .point').length"


def uncovered(page: Page, state: str) -> int:
    """How many marks there are; none of them lies under the words of a side."""
    found: list[Any] = page.evaluate(COVERED)
    assert not found, (state, found)
    return int(page.evaluate(MARKS))


@pytest.mark.parametrize("large", [False, True])
def test_no_mark_lies_under_the_side(tmp_path: Path, browser: Browser, large: bool) -> None:
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page, large=large)
        to_station(page, "By hand, region by region")
        assert uncovered(page, "both sides and from above") > 100
        several = page.locator(".regions .open").count()
        assert several > 8
        for number in range(several):
            to_station(page, "By hand, region by region")
            page.locator(".regions .open").nth(number).click()
            name = page.get_by_role("heading", level=1).inner_text()
            for side in ("LEFT (near)", "MIDDLE", "RIGHT (off)"):
                tab = page.get_by_role("group", name="the side of the horse").get_by_role("button", name=side)
                if not tab.count():
                    continue
                tab.click()
                if page.locator(".map").count():
                    assert uncovered(page, f"{name}, {side}") > 0
        context.close()


def test_the_check_sees_a_covered_mark(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        to_station(page, "Limbs")
        page.evaluate("document.querySelector('.map-side').style.position = 'absolute'")
        page.evaluate("document.querySelector('.map-side').style.height = '20rem'")
        assert page.evaluate(COVERED)
        context.close()


def test_the_round_tells_what_is_left_and_goes_to_the_next_open_part(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, seen = telephone(browser)
        page = opened(context, base)
        begun(page)
        to_the_round(page)
        expect(page.locator(".round-sum")).to_contain_text("0 of 25 parts done")
        tall = page.evaluate("document.querySelector('.stations').getBoundingClientRect().height")
        assert tall < 1300, "25 parts and the regions within two looks at the screen"
        small = page.evaluate(
            "[...document.querySelectorAll('.station')].filter((one) => one.offsetHeight < 44).length"
        )
        assert small == 0
        held_to_wcag(page, "round")
        way_on = page.get_by_role("navigation", name="the round").get_by_role("button").last
        expect(way_on).to_have_accessible_name("Next open")
        page.get_by_role("button", name="Next open: The first sixty seconds").click()
        expect(page.get_by_role("heading", level=1, name="The first sixty seconds")).to_be_visible()
        for group in page.locator(".lines > .line").all():
            for answers in group.locator(".answers").all():
                answered(answers.get_by_role("button").first)
        to_the_round(page)
        expect(page.locator(".round-sum")).to_contain_text("1 of 25 parts done")
        expect(page.get_by_role("button", name="The first sixty seconds all looked at")).to_be_visible()
        next_open = page.locator(".next-open")
        expect(next_open).not_to_contain_text("The first sixty seconds")
        name = next_open.inner_text().removeprefix("Next open: ").split("\n")[0]
        expect(way_on).to_have_accessible_name("Finish")
        next_open.click()
        expect(page.get_by_role("heading", level=1)).to_contain_text(name)
        seen.quiet()
        context.close()


def test_finishing_names_what_of_the_first_sixty_seconds_is_open(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, seen = telephone(browser)
        page = opened(context, base)
        begun(page)
        page.get_by_role("button", name="bright", exact=True).click()
        to_the_round(page)
        page.get_by_role("button", name="Finish the visit").click()
        warning = page.get_by_role("region", name="not looked at yet")
        expect(warning).to_contain_text("16 of 17")
        expect(warning).to_contain_text("breathing, standing")
        expect(warning).not_to_contain_text("attitude")
        held_to_wcag(page, "warned")
        no_sideways_scroll(page, "warned")
        pictured(page, "warned-360-light")
        warning.get_by_role("button", name="Look at them now").click()
        expect(page.get_by_role("heading", level=1, name="The first sixty seconds")).to_be_visible()
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        expect(page.get_by_text("Not looked at, of the first sixty seconds: breathing, standing")).to_be_visible()
        seen.quiet()
        context.close()


def test_the_day_is_today_until_somebody_says_otherwise(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser)
        page = opened(context, base)
        now = goes_on().date()
        expect(page.get_by_text(f"Day of the visit: today, {now.day} {now:%B} {now.year}")).to_be_visible()
        page.get_by_role("button", name="Another day").click()
        expect(page.get_by_label("Day of the visit")).to_have_value(now.isoformat())
        page.get_by_label("Day of the visit").fill("2099-01-20")
        told(page, "20 January 2099 has not come yet; the day stays as it was")
        expect(page.get_by_label("Day of the visit")).to_have_value(now.isoformat())
        expect(page.get_by_text("Day of the visit: today")).to_be_visible()
        then = now - timedelta(days=9)
        page.get_by_label("Day of the visit").fill(then.isoformat())
        expect(page.get_by_text(f"Day of the visit: {then.day} {then:%B} {then.year}")).to_be_visible()
        begun(page)
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        from reasoner.store.reading import visits

        with store.reading() as connection:
            (kept,) = visits(connection)
        assert kept.day == then
        context.close()


def test_no_way_on_reads_like_a_way_back(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        to_station(page, "Limbs")
        way = page.get_by_role("navigation", name="the round").get_by_role("button").last
        expect(way).to_have_accessible_name("Next region: back")
        way.click()
        expect(page.get_by_role("heading", level=1, name="Back")).to_be_visible()
        context.close()


@pytest.mark.parametrize("large", [False, True])
def test_the_answer_is_read_to_its_end_with_a_place_open(tmp_path: Path, browser: Browser, large: bool) -> None:
    """The place that is graded steps aside while the answer is open and comes back behind it; the next place opens."""
    with practice(tmp_path) as (base, _):
        context, seen = telephone(browser)
        page = opened(context, base)
        begun(page, large=large)
        graded(page, "Withers", "withers", "left (near)", "6")
        expect(page.get_by_text("The saddle presses on the withers")).to_be_attached()
        page.locator("button.referral").click()
        expect(page.get_by_role("heading", name="What to check next")).to_be_attached()
        ends = page.locator("#answer-more p").last
        ends.scroll_into_view_if_needed()
        bare = ends.evaluate(
            "(e) => { const r = e.getBoundingClientRect(); return e.contains(document.elementFromPoint(r.x + 9, r.bottom - 4)) }"
        )
        assert bare, "the last words of the answer lie behind something"
        page.locator("button.referral").click()
        expect(page.get_by_role("button", name="6, withers, left (near)")).to_be_visible()
        page.locator("button.referral").click()
        to_station(page, "Loin")
        page.get_by_role("button", name="loin, left (near): ", exact=False).first.click()
        page.get_by_role("button", name="4, loin, left (near)", exact=True).click()
        expect(page.get_by_role("button", name="loin, left (near): 4")).to_be_attached()
        seen.quiet()
        context.close()
