"""The page at the horse for its tests: records with and without a horse, and the first steps on the page.

In: a folder, a browser. Out: an address, the page with a visit begun.
Not here: what is tried.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fastapi import FastAPI
from playwright.sync_api import BrowserContext, Locator, Page, expect

from reasoner.page.app import made
from reasoner.page.served import Served
from reasoner.store.opening import Store, open_store
from reasoner.store.place import place_of
from tests.page.browser import running
from tests.page.serving import goes_on, rules

HANDS = "Wren Aldous"
#: Milliseconds; more than the page's guard, which takes no tap just after the page moved by itself.
GUARD = 500
#: Whether the page has said this since it was last asked, or says it now. What was said up to there is done with.
SAID = """([words, whole]) => {
  const is = (line) => (whole ? line === words : line.includes(words));
  const at = window.__news.findIndex(is);
  if (at >= 0) window.__news.splice(0, at + 1);
  return at >= 0 || is(document.querySelector("[role=status]")?.textContent.trim() || "");
}"""


def store_in(folder: Path) -> Store:
    """Fresh records."""
    return open_store(place_of(str(folder / "practice.db")), make=True)


def over(store: Store) -> FastAPI:
    """The page over these records, by a clock that goes on with the telephone's."""
    return made(Served(store=store, ready=rules(), folders=None, now=goes_on))


@contextmanager
def practice(folder: Path) -> Iterator[tuple[str, Store]]:
    """A running page over fresh records: its address, and the records."""
    store = store_in(folder)
    with running(over(store)) as base:
        yield base, store


def opened(context: BrowserContext, base: str) -> Page:
    """The page at the horse, ready."""
    page = context.new_page()
    page.goto(base + "/at-the-horse")
    expect(page.get_by_label("Examined by")).to_be_visible()
    return page


def begun(page: Page, horse: str = "Bramble", hands: str = HANDS, *, large: bool = False) -> None:
    """A visit to a new horse, begun; in large type on request."""
    page.get_by_label("Examined by").fill(hands)
    page.get_by_label("Its name").fill(horse)
    page.get_by_label("Yard").fill("Larkhope")
    page.get_by_role("button", name=f"Begin with {horse}").click()
    expect(page.get_by_role("heading", level=1, name="The first sixty seconds")).to_be_visible()
    if large:
        page.get_by_role("button", name="large type").click()


def told(page: Page, words: str, *, whole: bool = True) -> None:
    """The page says this in its line of news, however soon an answer takes its place there; or a part of what it says."""
    page.wait_for_function(SAID, arg=[words, whole], polling=50)


def answered(button: Locator) -> None:
    """An answer is tapped and kept, the page has moved on, and the next tap is one of its own again."""
    button.click()
    kept(button)


def kept(button: Locator) -> None:
    """A tapped answer is kept, and the page's guard against a tap that was already on its way is over.

    The page moves in the same breath in which it shows the answer as kept: the guard counts from there, and not from the tap.
    """
    expect(button).to_have_attribute("aria-pressed", "true")
    button.page.wait_for_timeout(GUARD)


def to_the_round(page: Page) -> None:
    """The round; what bears the same name on the screen before is gone."""
    page.get_by_role("button", name="Round", exact=True).click()
    expect(page.get_by_role("heading", level=1, name="The round")).to_be_visible()


def to_station(page: Page, name: str) -> None:
    """The station of this name, by way of the round."""
    to_the_round(page)
    page.get_by_role("button", name=name).first.click()


def graded(page: Page, region: str, place: str, side: str, grade: str) -> None:
    """A place graded, from the round."""
    to_station(page, region)
    tab = {"left (near)": "LEFT (near)", "right (off)": "RIGHT (off)", "middle line": "MIDDLE"}[side]
    page.get_by_role("group", name="the side of the horse").get_by_role("button", name=tab).click()
    page.get_by_role("button", name=f"{place}, {side}: ", exact=False).first.click()
    page.get_by_role("button", name=f"{grade}, {place}, {side}", exact=True).click()
    told(page, f"{place}, {side}: {grade}")


def finished(page: Page) -> None:
    """The visit is finished on the page."""
    to_the_round(page)
    page.get_by_role("button", name="Finish the visit").click()
    page.get_by_role("button", name="Finish and hand over").click()


def ready_without_signal(page: Page) -> None:
    """Wait until the telephone keeps the page itself."""
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function("async () => (await caches.keys()).some((name) => name.startsWith('at-the-horse '))")
