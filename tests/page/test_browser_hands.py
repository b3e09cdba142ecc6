"""Two hands and the floor scale in a real browser, at three widths, light and dark; two telephones grading one horse blind.

In: records with gradings, Chromium. Out: a failure where a screen breaks WCAG 2.2 AA, scrolls sideways, asks a stranger, or stops
the road. Not here: what every response holds (test_blind.py), what is refused (test_agreeing.py, test_pressing.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect

from reasoner.page.app import made
from reasoner.store.saving import save
from tests.page.browser import SCHEMES, WIDTHS, held_to_wcag, looked_over, pictured, running, telephone
from tests.page.desk_store import TAM, WREN, Desk, _kept, _lower, _text, desk
from tests.page.serving import application

#: Pushes that wander upwards, so that there is a drift to see.
PUSHES = {"left": "19 20.5 21 19.5 20 22 21 22.5", "right": "22 21 23 22.5 21", "both": "38 41 40"}


SLOW = 90_000
"""Milliseconds: every exchange of a reading judges a whole visit anew."""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Desk, str]]:
    """Records with horse-days graded twice: by two hands, by one hand twice, and one that waits."""
    found = desk(tmp_path_factory.mktemp("hands"))
    store = found.served.store
    for name, less, by in (("rook", 1, TAM), ("hazel", 2, TAM), ("rook", 2, WREN)):
        text = _lower(_text(name), less).replace("examined by: Wren Aldous", f"examined by: {by}")
        save(store, _kept(store, text), by=by, part=3 if by == WREN else 2)
    waits = _text("bramble").replace("visit: 2026-04-18", "visit: 2026-05-12")
    waits = waits.replace("examined by: Wren Aldous", f"examined by: {TAM}\ngraded blind beside: {WREN}")
    save(store, _kept(store, waits), by=TAM)
    with running(made(found.served)) as base:
        yield found, base
    store.close()


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("width", WIDTHS)
def test_every_screen(browser: Browser, kept: tuple[Desk, str], width: int, scheme: Literal["light", "dark"]) -> None:
    _, base = kept
    context, seen = telephone(browser, width, scheme)
    page = context.new_page()
    page.goto(f"{base}/agree")
    expect(page.get_by_text(f"graded blind by {TAM} beside {WREN}")).to_be_visible()
    looked_over(page, f"agree-{width}-{scheme}")
    page.get_by_role("link", name=re.compile(f"How well they agree ?: {WREN}, twice over")).click()
    expect(page.get_by_role("heading", name="What to do with it")).to_be_visible()
    looked_over(page, f"agree-twice-{width}-{scheme}")
    page.goto(f"{base}/agree")
    page.get_by_role("link", name="Hazel, ").first.click()
    expect(page.get_by_role("heading", name="Where they differ, and by how much")).to_be_visible()
    looked_over(page, f"agree-pair-{width}-{scheme}")
    if (width, scheme) == (360, "light"):
        context.set_default_timeout(SLOW)
        page.get_by_role("link", name="Which reading moved which of these").click()
        expect(page.get_by_text("this reading by itself", exact=False).first).to_be_visible(timeout=SLOW)
        looked_over(page, "agree-moved")
    page.goto(f"{base}/press")
    for hand, readings in PUSHES.items():
        page.get_by_label("Whose hand").fill(f"{TAM} {width} {scheme}")
        page.get_by_label("Aiming at, in kg").fill("20")
        page.get_by_label({"left": "left hand", "right": "right hand"}.get(hand, "both hands together")).check()
        page.get_by_label("The scale reads, in kg").fill(readings)
        page.get_by_role("button", name="Keep this push").click()
    expect(page.get_by_role("status")).to_contain_text("40 kg, both hands together")
    expect(page.get_by_text("never on the spine", exact=False).first).to_be_visible()
    looked_over(page, f"press-{width}-{scheme}")
    seen.only_from(base)
    seen.quiet()
    context.close()


def test_both_pages_work_without_script(browser: Browser, kept: tuple[Desk, str]) -> None:
    _, base = kept
    context, seen = telephone(browser, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{base}/")
    page.get_by_role("navigation", name="main").get_by_role("link", name="Learning").click()
    page.get_by_role("link", name="Two hands").click()
    page.get_by_role("link", name="Hazel, ").first.click()
    expect(page.get_by_role("heading", name="How well they agree")).to_be_visible()
    page.get_by_text("What this rests on").click()
    expect(page.get_by_text("Kappa with linear weights", exact=False).first).to_be_visible()
    page.get_by_role("navigation", name="main").get_by_role("link", name="Learning").click()
    page.get_by_role("link", name="Floor scale").click()
    page.get_by_label("Whose hand").fill("Isla Quenby")
    page.get_by_label("Aiming at, in kg").fill("20")
    page.get_by_label("The scale reads, in kg").fill("19,5")
    page.get_by_role("button", name="Keep this push").click()
    expect(page.get_by_role("status")).to_contain_text("19.5 kg")
    page.get_by_role("button", name="Take that one back").click()
    expect(page.get_by_text("No push of Isla Quenby is kept yet")).to_be_visible()
    seen.quiet()
    context.close()


def _graded(page: Page, hand: str, beside: str, number: str) -> None:
    """One telephone: begin blind, grade one place, hand over."""
    page.get_by_label("Examined by", exact=True).fill(hand)
    page.get_by_text("Graded blind beside somebody").click()
    page.get_by_label("Beside whom").fill(beside)
    pictured(page, f"blind-start-{hand.split()[0]}")
    page.get_by_label("Its name").fill("Larch")
    page.get_by_label("Yard").fill("Larkhope")
    page.get_by_role("button", name="Begin with Larch").click()
    expect(page.get_by_role("heading", level=1, name="The first sixty seconds")).to_be_visible()
    page.evaluate(
        """async (number) => {
            const { act } = await import("/static/horse/state.js");
            await act("touch", { place: "loin", side: "left", part: "soreness", value: number }, "");
            await act("finish", {}, "The visit is finished.");
            const { handOver } = await import("/static/horse/handing.js");
            await handOver();
        }""",
        number,
    )


def test_two_telephones_grade_one_horse_blind(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Each names the other at the start; both hand over without a question; then the pair stands there, and not before."""
    with running(application(tmp_path_factory.mktemp("blind"))) as base:
        one, _ = telephone(browser)
        two, _ = telephone(browser)
        wren, tam = one.new_page(), two.new_page()
        for page in (wren, tam):
            page.goto(f"{base}/at-the-horse")
            expect(page.get_by_role("heading", name="At the horse")).to_be_visible()
        held_to_wcag(wren, "start")
        _graded(wren, WREN, TAM, "6")
        wren.goto(f"{base}/agree")
        expect(wren.get_by_text("held back until", exact=False)).to_be_visible()
        expect(wren.get_by_text("No horse was graded twice", exact=False)).to_be_visible()
        _graded(tam, TAM, WREN, "4")
        tam.get_by_role("link", name="two hands").click()
        tam.get_by_role("link", name="Larch, ").click()
        expect(tam.get_by_text("loin, left: 4, then 6 (+2)")).to_be_visible()
        one.close()
        two.close()
