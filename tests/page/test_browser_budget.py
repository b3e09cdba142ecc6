"""The budget at the horse: a whole examination by one thumb, counted in the page and put into seconds by a stated model.

The seconds are those of the thumb and of making up one's mind before each tap (tests/page/thumb.py says how). The
hands' own work on the horse is not in them.
"""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from reasoner.store.opening import Store
from reasoner.store.reading import text_of, visits
from tests.page.browser import pictured, telephone
from tests.page.horse import begun, finished, graded, opened, practice, to_the_round
from tests.page.thumb import COUNTER, Thumb

MOST_TAPS = 60
QUIET_UNDER, SORE_UNDER = 180.0, 360.0  # seconds, from the issue
REGIONS = ("head", "poll", "neck", "shoulder", "chest", "limbs", "back", "croup", "hindquarter", "withers", "loin")
FIRST = (
    ("Is it bright, dull or trembling?", "bright"), ("How is it breathing at rest?", "easy"), ("How does it stand?", "square"),
    ("Does it look at its flank, paw or roll?", "none"), ("Is it sweating at rest?", "none"),
    ("Is it bleeding anywhere?", "none"),
    ("Is there a wound, and where?", "none"), ("Are both eyes open and bright?", "open and bright"),
    ("What colour are the gums?", "pink"), ("Is there anything at the nostrils?", "none"), ("Does it cough?", "none"),
    ("Are there lumps under the jaw?", "flat"), ("Does it swallow easily?", "easy"),
    ("Is the skin clear, or are there patches that spread?", "clear"),
    ("Are the feet cool and the pulses at the fetlock quiet?", "cool and quiet"),
    ("If anyone has seen it stale, what colour was it?", "usual"), ("How are its first ten steps of walk?", "even"),
)  # fmt: skip


def known_horse(page: Page) -> None:
    """A first visit, on another day than today, so that the horse is one of the records and its examiner is remembered."""
    begun(page, "Clover")
    graded(page, "Loin", "loin", "left (near)", "1")
    to_the_round(page)
    page.get_by_role("button", name="Visit, examined by").click()
    page.get_by_label("visit", exact=True).fill("2026-04-25")
    page.get_by_label("visit", exact=True).blur()
    finished(page)
    expect(page.locator(".where-line")).to_contain_text("kept in the records")
    page.get_by_role("button", name="To the next horse").click()


def last_text(store: Store) -> str:
    with store.reading() as connection:
        return text_of(connection, visits(connection)[-1].version).decode()


def thumb_on(browser: Browser, base: str) -> Thumb:
    context, _ = telephone(browser)
    context.add_init_script(COUNTER)
    page = opened(context, base)
    known_horse(page)
    page.evaluate("window.__clicks = 0")
    return Thumb(page)


def first_sixty(thumb: Thumb) -> None:
    thumb.tap(thumb.page.get_by_role("button", name="Clover Larkhope", exact=False).first)
    elsewhere(thumb)
    for asked, word in FIRST:
        thumb.answer(asked, word)


def elsewhere(thumb: Thumb) -> None:
    """The screen that a tap leads to is there, from its top on."""
    expect(thumb.page.get_by_role("heading", level=1)).to_be_focused()


def station(thumb: Thumb, name: str) -> None:
    thumb.button("Round")
    elsewhere(thumb)
    thumb.button(name, exact=False)
    elsewhere(thumb)


def site(thumb: Thumb, place: str, side: str, grade: str) -> None:
    """One site graded, with as few taps as the page needs: the side and the place stay as they were tapped last."""
    page = thumb.page
    tab = {"left (near)": "LEFT (near)", "right (off)": "RIGHT (off)"}[side]
    here = page.get_by_role("button", name=f"{place}, {side}: ", exact=False)
    if not here.count():
        thumb.tap(page.get_by_role("group", name="the side of the horse").get_by_role("button", name=tab))
    if not page.get_by_role("region", name=f"{place}, {side}", exact=True).count():
        thumb.tap(here.first)
    thumb.button(f"{grade}, {place}, {side}")


def handed_over(thumb: Thumb) -> None:
    thumb.button("Round")
    elsewhere(thumb)
    thumb.tap(thumb.page.locator(".way-on").get_by_role("button", name="Finish"))
    elsewhere(thumb)
    thumb.button("Finish and hand over")
    expect(thumb.page.locator(".where-line")).to_contain_text("kept in the records of Clover at")


def within(thumb: Thumb, what: str, most_s: float) -> None:
    print(f"\n{what}: {thumb.told()} (without the hands' own work)")
    assert thumb.clicks() == thumb.taps, "every tap counted here was a click that the page saw, and no other was"
    assert thumb.taps <= MOST_TAPS
    assert thumb.seconds() < most_s


def test_a_horse_with_nothing_found(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        thumb = thumb_on(browser, base)
        first_sixty(thumb)
        station(thumb, "By hand, region by region")
        for region in REGIONS:
            thumb.button(f"{region} quiet, both sides")
        station(thumb, "Settled under the hand")
        thumb.answer("Did the horse settle under the hand before the numbers were written?", "seen")
        thumb.answer("How firmly did the hand press today?", "moderate")
        station(thumb, "In hand")
        thumb.answer("Is the trot in hand even?", "even")
        thumb.answer("Was it seen on both reins?", "seen")
        thumb.answer("Does one hind leg push off less, and which?", "even")
        thumb.answer("Do the withers sink less as one foreleg lands, and which?", "even")
        thumb.answer("Does a hind toe drag, and which?", "none")
        thumb.answer("How does it carry its back in hand?", "level")
        station(thumb, "Uneven steps")
        for leg in ("LEFT (near) fore", "RIGHT (off) fore", "LEFT (near) hind", "RIGHT (off) hind"):
            thumb.answer(leg, "even")
        handed_over(thumb)
        within(thumb, "nothing found", QUIET_UNDER)
        text = last_text(store)
        assert all(f"{region}: both" in text for region in REGIONS)
        assert text.count("even") >= 6


def test_a_sore_horse(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        thumb = thumb_on(browser, base)
        first_sixty(thumb)
        station(thumb, "By hand, region by region")
        for region in REGIONS:  # what is graded afterwards stays as it is graded
            thumb.button(f"{region} quiet, both sides")
        station(thumb, "Back all looked at")
        site(thumb, "long back muscle", "left (near)", "4")
        site(thumb, "long back muscle", "right (off)", "2")
        station(thumb, "Withers all looked at")
        site(thumb, "withers", "left (near)", "6")
        site(thumb, "behind the shoulder blade", "left (near)", "5")
        site(thumb, "behind the shoulder blade", "right (off)", "1")
        pictured(thumb.page, "thumb-graded-360-light")
        site(thumb, "withers", "right (off)", "2")
        thumb.button("Loin", exact=False)
        elsewhere(thumb)
        site(thumb, "loin", "right (off)", "5")
        site(thumb, "loin", "left (near)", "3")
        station(thumb, "In hand")
        thumb.answer("Is the trot in hand even?", "even")
        handed_over(thumb)
        within(thumb, "a sore horse", SORE_UNDER)
        text = last_text(store)
        for place, left, right in (("withers", 6, 2), ("loin", 3, 5), ("behind the shoulder blade", 5, 1)):
            (line,) = [line for line in text.splitlines() if line.startswith(f"  {place}: {{")]
            assert f"left: {left}" in line, line
            assert f"right: {right}" in line, line
