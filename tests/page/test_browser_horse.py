"""At the horse, from empty records to a kept visit: at three widths, light and dark, and by the keyboard alone."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect

from reasoner.store.opening import Store
from reasoner.store.reading import text_of, visits
from tests.page.browser import SCHEMES, WIDTHS, held_to_wcag, no_sideways_scroll, pictured, telephone
from tests.page.horse import GUARD, answered, begun, finished, graded, opened, practice, to_station, to_the_round, told


def kept_texts(store: Store) -> list[str]:
    """The visit files that the records hold."""
    with store.reading() as connection:
        return [text_of(connection, one.version).decode() for one in visits(connection)]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("scheme", SCHEMES)
def test_from_empty_records_to_a_kept_visit(
    tmp_path: Path, browser: Browser, width: int, scheme: Literal["light", "dark"]
) -> None:
    with practice(tmp_path) as (base, store):
        context, seen = telephone(browser, width, scheme)

        def looked_at(state: str) -> None:
            page.wait_for_timeout(150)
            held_to_wcag(page, state)
            no_sideways_scroll(page, state)
            pictured(page, f"{state}-{width}-{scheme}")

        page = opened(context, base)
        looked_at("start")
        begun(page)
        looked_at("first-sixty")
        answered(
            page.get_by_role("group", name="Is it bright, dull or trembling?").get_by_role("button", name="bright")
        )
        page.get_by_role("group", name="How is it breathing at rest?").get_by_role("button", name="how?").click()
        looked_at("first-sixty-begun")
        to_the_round(page)
        looked_at("round")
        page.get_by_role("button", name="By hand, region by region").click()
        page.get_by_role("button", name="neck quiet, both sides").click()
        page.get_by_role("button", name="poll quiet, LEFT (near)").click()
        looked_at("hands")
        graded(page, "Withers", "withers", "left (near)", "6")
        looked_at("graded")
        page.get_by_role("button", name="More: answer").click()
        page.get_by_role("button", name="flinches, withers, left (near)").click()
        looked_at("graded-more")
        page.get_by_role("button", name="Less", exact=True).click()
        page.get_by_role("button", name="MIDDLE", exact=True).click()
        looked_at("middle")
        page.get_by_role("button", name="LEFT (near)", exact=True).first.click()
        page.get_by_role("button", name="large type").click()
        looked_at("large")
        page.get_by_role("button", name="large type").click()
        expect(page.locator(".answer.routine, .answer.none, .answer.prompt, .answer.emergency")).to_be_visible()
        if width < 1000:
            page.locator("button.referral").click()
        expect(page.get_by_text("What to check next")).to_be_visible()
        looked_at("answer")
        if width < 1000:
            page.locator("button.referral").click()
        to_station(page, "Tacked up")
        page.wait_for_timeout(100)
        looked_at("tacked-up")
        page.get_by_role("button", name="Say it").click()
        looked_at("say-it")
        page.get_by_label("A line, such as").fill("it was windy")
        page.get_by_role("button", name="Keep it as a note").click()
        told(page, "Kept as a note.")
        looked_at("note")
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        looked_at("finished")
        page.get_by_role("button", name="To the next horse").click()
        looked_at("start-again")
        seen.only_from(base)
        seen.quiet()
        (text,) = kept_texts(store)
        assert "Bramble" in text
        assert "flinches" in text
        assert "neck: both" in text
        assert "poll: left" in text
        assert "it was windy" in text
        context.close()


def pressed(page: Page, key: str, times: int = 1) -> None:
    for _ in range(times):
        page.keyboard.press(key)


def to(page: Page, name: str, limit: int = 120) -> None:
    """Tab until the element in focus has this accessible name (its beginning), and press Enter."""
    for _ in range(limit):
        page.keyboard.press("Tab")
        now = page.evaluate(
            "(document.activeElement.getAttribute('aria-label') || document.activeElement.innerText || '').trim()"
        )
        if now.replace("\n", " ").lstrip("✓○◐ ").startswith(name):
            outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
            assert outline != "none", f"{name}: the focus cannot be seen"
            page.keyboard.press("Enter")
            return
    raise AssertionError(f"not reached by the keyboard: {name}")


def test_by_the_keyboard_alone(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser, 1280)
        page = opened(context, base)
        page.get_by_label("Examined by").focus()
        page.keyboard.type("Wren Aldous")
        pressed(page, "Tab")  # past "graded blind beside somebody", which stays closed
        for words in ("Hazel", "Larkhope"):
            pressed(page, "Tab")
            page.keyboard.type(words)
        pressed(page, "Enter")
        expect(page.get_by_role("heading", level=1, name="The first sixty seconds")).to_be_focused()
        to(page, "bright")
        told(page, "attitude: bright")
        to(page, "easy")
        told(page, "breathing: easy")
        to(page, "Round")
        expect(page.get_by_role("heading", level=1, name="The round")).to_be_focused()
        to(page, "Loin")
        expect(page.get_by_role("heading", level=1, name="Loin")).to_be_focused()
        to(page, "RIGHT (off)")
        to(page, "loin, right (off)")
        to(page, "6, loin, right (off)")
        told(page, "loin, right (off): 6")
        to(page, "a half more")
        told(page, "loin, right (off): 6.5")
        to(page, "Wrong side: to LEFT")
        told(page, "loin: moved to left (near)")
        to(page, "Round")
        expect(page.get_by_role("heading", level=1, name="The round")).to_be_focused()
        to(page, "Finish the visit")
        expect(page.get_by_role("heading", level=1, name="finish the visit")).to_be_focused()
        to(page, "Finish and hand over")
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Hazel at")
        (text,) = kept_texts(store)
        assert "left: 6.5" in text
        assert "right" not in text.split("palpation", 1)[1]
        context.close()


def test_an_emergency_opens_by_itself_and_is_said_aloud(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, seen = telephone(browser)
        page = opened(context, base)
        begun(page)
        page.get_by_role("button", name="leg not loaded").click()
        expect(page.get_by_role("heading", name="While you wait")).to_be_visible()
        expect(page.get_by_role("alert")).to_contain_text("EMERGENCY: ring the veterinarian now")
        expect(page.locator("button.referral")).to_contain_text("EMERGENCY: ring the veterinarian now")
        held_to_wcag(page, "emergency")
        no_sideways_scroll(page, "emergency")
        pictured(page, "emergency-360-light")
        page.locator("button.referral").click()
        expect(page.get_by_role("heading", name="While you wait")).to_be_hidden()
        to_station(page, "Before the visit")
        expect(page.locator("button.referral")).to_contain_text("EMERGENCY")
        no_sideways_scroll(page, "before the visit")
        held_to_wcag(page, "before the visit")
        seen.quiet()
        context.close()


def test_two_open_tabs_add_to_one_visit(tmp_path: Path, browser: Browser) -> None:
    """Both tabs show what either was told, and neither writes over the other."""
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser, 768)
        one = opened(context, base)
        begun(one)
        other = context.new_page()
        other.goto(one.url)
        graded(one, "Loin", "loin", "left (near)", "4")
        graded(other, "Croup", "croup", "right (off)", "5")
        graded(one, "Withers", "withers", "left (near)", "6")
        for page in (one, other):
            to_station(page, "Croup")
            page.get_by_role("button", name="RIGHT (off)", exact=True).first.click()
            expect(page.get_by_role("button", name="croup, right (off): 5")).to_be_visible()
            to_station(page, "Withers")
            page.get_by_role("button", name="LEFT (near)", exact=True).first.click()
            expect(page.get_by_role("button", name="withers, left (near): 6")).to_be_visible()
        context.close()


#: Two taps as a finger makes them, the second so many ms after the page moved, wherever it has moved to. The page's own clock
#: stands still for it: by the machine's, those ms might be seconds.
TWO_TAPS = """async ([one, two, ms]) => {
  const named = (name) => [...document.querySelectorAll("button.choice")].find(
    (button) => button.getAttribute("aria-label") === name || button.textContent.replace("✓", "").trim() === name);
  const tap = (name) => named(name).dispatchEvent(new MouseEvent("click", {bubbles: true, detail: 1}));
  const drawn = () => new Promise((done) => requestAnimationFrame(done));
  while (!named(one)) await drawn();  // before a thumb finds it
  let at = performance.now();
  performance.now = () => at;
  tap(one);
  while (named(one).getAttribute("aria-pressed") !== "true") await drawn();  // kept, and in the same breath the page moves
  at += ms;
  tap(two);
  delete performance.now;
}"""


def test_a_double_tap_answers_once(tmp_path: Path, browser: Browser) -> None:
    """The page moves the next question under the thumb; a second tap of the same touch must not answer it."""
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        for second, wait, done in (("bright", 150, 1), ("easy", 150, 1), ("easy", 700, 2)):
            page.evaluate(TWO_TAPS, ["bright", second, wait])
            page.wait_for_timeout(GUARD)
            expect(page.get_by_text(f"{done} of 17 done")).to_be_visible()
            if done == 1:
                page.get_by_role("button", name="Take back").click()
                expect(page.get_by_text("17 to look at")).to_be_visible()
                page.wait_for_timeout(GUARD)
        to_station(page, "By hand, region by region")
        head = "head quiet, both sides"
        page.evaluate(TWO_TAPS, [head, head, 100])
        page.wait_for_timeout(GUARD)
        expect(page.get_by_role("button", name=head)).to_have_attribute("aria-pressed", "true")
        page.get_by_role("button", name=head).click()
        expect(page.get_by_role("button", name=head)).to_have_attribute("aria-pressed", "false")
        context.close()


@pytest.mark.parametrize("large", [False, True])
def test_nothing_of_the_sheet_lies_under_the_bar(tmp_path: Path, browser: Browser, large: bool) -> None:
    """The name of what comes next may take three lines: the bar grows with it, and the sheet stays clear of it."""
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page, large=large)
        graded(page, "Loin", "loin", "left (near)", "6")
        last = page.get_by_role("button", name="More: answer, feel").bounding_box()
        bar = page.locator(".way-on").bounding_box()
        assert last is not None
        assert bar is not None
        assert last["y"] + last["height"] <= bar["y"]
        context.close()


def test_how_firm_a_starting_point_is_is_said_once(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser, 1280)
        page = opened(context, base)
        begun(page)
        graded(page, "Withers", "withers", "left (near)", "6")
        likely = page.get_by_role("group", name="the whole answer").get_by_role("listitem").first
        expect(likely).to_contain_text(" pointers, 0.")
        assert likely.inner_text().count("fair") == 1, likely.inner_text()
        context.close()
