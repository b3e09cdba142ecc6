"""A thumb on the page: it taps, swipes and types as a person does, and every one of these is counted.

In: a page. Out: taps that the page itself saw, swipes, letters, and the seconds they come to by a stated model.
Not here: what is examined.
"""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

from tests.page.horse import GUARD, kept

#: The keystroke-level model of Card, Moran and Newell (1980), its operators from memory: to point, to press, to make up one's
#: mind. A mind is made up before every single tap, which is more than the model asks for. The hands' own work on the horse
#: (feeling a place, watching ten steps) is NOT in these seconds: it takes as long with any page, and with none.
POINT, PRESS, MIND = 1.1, 0.2, 1.35
TAP = MIND + POINT + PRESS
SWIPE = POINT + PRESS  # own setting: as long as pointing and pressing once
LETTER = 0.28

#: Counts what the browser itself trusts to be a person's click, before any script of the page sees it.
COUNTER = """
window.__clicks = 0;
addEventListener("click", (event) => { if (event.isTrusted && event.detail > 0) window.__clicks += 1; }, true);
"""
#: Whether the middle of an element can be seen and touched, or how far the page has to be moved for it.
REACH = """(element) => {
  const at = element.getBoundingClientRect();
  const x = at.left + at.width / 2;
  const y = at.top + at.height / 2;
  const top = document.elementFromPoint(x, y);
  return {y, free: Boolean(top) && (element === top || element.contains(top))};
}"""


class Thumb:
    """One thumb. `taps` counts what it did, `clicks()` what the page saw."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = self.swipes = self.letters = 0

    def tap(self, target: Locator) -> None:
        """Tap something, after swiping to it where it is out of sight or covered. A person's taps are further apart than the
        page's guard against a tap that was on its way, and find the page at rest."""
        expect(target).to_be_enabled()
        expect(self.page.locator(".answer.old")).to_have_count(0)  # the answer so far is on its way, and may be longer
        self._reach(target)
        self.taps += 1
        box = target.bounding_box()
        assert box is not None
        self.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        self.page.wait_for_timeout(GUARD)

    def button(self, name: str, *, exact: bool = True, nth: int = 0) -> None:
        """Tap the button of this name."""
        self.tap(self.page.get_by_role("button", name=name, exact=exact).nth(nth))

    def answer(self, asked: str, word: str) -> None:
        """Answer a question of a heading by one tap."""
        target = self.page.get_by_role("group", name=asked, exact=True).get_by_role("button", name=word, exact=True)
        self.tap(target)
        kept(target)

    def type(self, target: Locator, words: str) -> None:
        """Tap a field and type."""
        self.tap(target)
        self.letters += len(words)
        self.page.keyboard.type(words)

    def _reach(self, target: Locator) -> None:
        height = self.page.evaluate("innerHeight")
        for _ in range(12):
            found = target.evaluate(REACH)
            if found["free"]:
                return
            self.swipes += 1
            far = found["y"] - height * 0.45
            most = height * 0.6
            self.page.mouse.wheel(0, max(-most, min(most, far)))
            self.page.wait_for_timeout(120)
        raise AssertionError(f"out of reach: {target}")

    def clicks(self) -> int:
        """How many clicks the page has seen since it was opened."""
        return int(self.page.evaluate("window.__clicks"))

    def seconds(self) -> float:
        """What it took by the model, without the hands' own work."""
        return self.taps * TAP + self.swipes * SWIPE + self.letters * LETTER

    def told(self) -> str:
        """The figures, in words."""
        return f"{self.taps} taps, {self.swipes} swipes, {self.letters} letters: {self.seconds():.0f} s"
