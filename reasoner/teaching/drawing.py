"""One story drawn by chance: what is so, what it brings about, and what of that shows.

In: a cause, how clear it is to be, the causal links and the table of what shows. Out: a `Story`, its sides still "this" and
"other". Not here: numbers under a hand that wavers, files (making); rules, which nothing here may look at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random
from typing import Final, cast

from reasoner.frozen import frozen
from reasoner.rulebook.measures.cases import Cases, Difficulty, Of, Sign, Way
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.causal import EITHER, Linked, Shown

THIS: Final = "this"
OTHER, BOTH = "other", "both"
OPPOSITE = {THIS: OTHER, OTHER: THIS, "": ""}
Where = tuple[str, str]
"""A place or an entry, and its side: "this", "other", or "" where it has none."""


@frozen
class Sore:
    """How sore a place is as a share of the worst, and how deep, if that is said."""

    share: float
    depth: str = ""


class Story:
    """What is so in one case. `active`: each conclusion with its side and how many links from the cause it stands; `sore` and
    `said` are what shows of it; what is not in them is quiet and everyday."""

    def __init__(
        self, cause: str, difficulty: Difficulty, links: Mapping[str, Linked], table: Cases, words: Vocabulary,
        chance: Random,
    ) -> None:  # fmt: skip
        self.difficulty, self.links, self.table, self.words, self.chance = difficulty, links, table, words, chance
        self.active: dict[Where, int] = {}
        self.sore: dict[Where, Sore] = {}
        self.said: dict[Where, str | tuple[int, int]] = {}
        self._follow((cause, THIS if links[cause].sided else ""))
        for (key, side), far in self.active.items():
            self._show(key, side, far)
        self._spread()
        self._beside()
        self._go_with()

    # -- what is so ----------------------------------------------------------------------------------------------------

    def _follow(self, cause: Where) -> None:
        """The cause and what it brings about, nearest first, each once."""
        self.active = {cause: 0}
        waiting = [cause]
        while waiting:
            key, side = waiting.pop(0)
            far = self.active[key, side]
            for target, to in self.links[key].leads_to:
                if target not in self.links or not self._happens(self.table.links.leads, far):
                    continue
                sides = self._sides(to, side) if self.links[target].sided else ("",)
                for one in sides:
                    if (target, one) not in self.active:
                        self.active[target, one] = far + 1
                        waiting.append((target, one))

    def _happens(self, seen: str, far: int) -> bool:
        """Whether what shows so often shows this time, so many links from the cause. Always drawn, so that draws keep step."""
        often = self.table.chances[seen]
        if often < 1.0:
            often *= self.difficulty.clear
        return self.chance.random() < often * self.table.links.fades**far

    def _sides(self, of: str, side: str) -> tuple[str, ...]:
        """The sides that `of` means from the side of a conclusion; where that has none, "this" falls on one by chance."""
        flip = THIS if self.chance.random() < 0.5 else OTHER  # drawn always, so that draws keep step
        if of == BOTH:
            return THIS, OTHER
        if of == EITHER:
            return (flip,)
        here = side or flip
        return (OPPOSITE[here],) if of == OTHER else (here,)

    # -- what shows ----------------------------------------------------------------------------------------------------

    def _show(self, key: str, side: str, far: int) -> None:
        ways = self.table.shows.get(key, (Way(shows=()),))
        way = ways[int(self.chance.random() * len(ways))]
        for sign in way.shows:
            if self._happens(sign.seen, far):
                self._sign(sign, side, far)
        told = {sign.place or sign.entry for sign in way.shows}
        for shown in self.links[key].accounts_for if way.links else ():
            if shown.subject not in told and self._happens(self.table.links.seen, far):
                self._sign(self._from_link(shown), side, far)

    def _from_link(self, shown: Shown) -> Sign:
        side = cast(Of, shown.side if shown.side in (THIS, OTHER, BOTH, EITHER) else "")
        if shown.subject in self.words.places:
            return Sign(place=shown.subject, side=side, sore=self.table.links.sore, depth=shown.depth)
        # The milder words stand first on the pages, and are the commoner; a coin at each.
        word = next((word for word in shown.words if self.chance.random() < 0.5), shown.words[0] if shown.words else "")
        return Sign(entry=shown.subject, side=side, word=word)

    def _sign(self, sign: Sign, side: str, far: int) -> None:
        """Write a sign into the story; what stands nearer to the cause was written before it and stays."""
        if sign.place:
            share = self.table.soreness[sign.sore] * self.table.links.fades**far
            sides = self._sides(sign.side, side) if self.words.places[sign.place].sides == "each" else ("",)
            for one in sides:
                before = self.sore.get((sign.place, one))
                if before is None or before.share < share:
                    self.sore[sign.place, one] = Sore(share, sign.depth or (before.depth if before else ""))
            return
        seen = self.words.observations[sign.entry]
        sides = self._sides(sign.side, side) if seen.sides == "each" else ("",)
        says = self._sides(sign.word, side)[0] if sign.word in (THIS, OTHER, EITHER) else sign.word
        for one in sides:
            self.said.setdefault((sign.entry, one), sign.days_ago or says)

    def _spread(self) -> None:
        """Places of a sore muscle's own line answer with it a little."""
        spreads = self.table.spreads
        for group in spreads.groups:
            members = [key for key, place in self.words.places.items() if group in place.groups]
            for (place, side), sore in list(self.sore.items()):
                for member in members if place in members else ():
                    where = (member, side if self.words.places[member].sides == "each" else "")
                    if where not in self.sore and self._happens(spreads.seen, 0):
                        self.sore[where] = Sore(sore.share * self.table.soreness[spreads.sore])

    def _beside(self) -> None:
        """What belongs to nothing: a sore place with no story, or a sign that every other horse shows."""
        for _ in range(self.difficulty.beside):
            which, side = self.chance.random(), self._sides(EITHER, "")[0]
            signs = [s for s in self.table.beside.shows if not any(key == s.entry for key, _ in self.said)]
            if which < 0.5 or not signs:
                free = [p for p in self.words.round if not any(key == p for key, _ in self.sore)]
                place = free[int(self.chance.random() * len(free))]
                self._sign(Sign(place=place, side=THIS, sore=self.table.beside.sore), side, 0)
            else:
                self._sign(signs[int(self.chance.random() * len(signs))], side, 0)

    def _go_with(self) -> None:
        for rule in self.table.goes_with:
            held = {value for (key, _), value in self.said.items() if key == rule.where and isinstance(value, str)}
            sided = {"left", "right"} & set(rule.has)
            there = held & (set(rule.has) | ({THIS, OTHER} if sided else set()))
            if there and self.said.get((rule.then, "")) not in rule.unless:
                self.said[rule.then, ""] = rule.word

    def everyday(self) -> Iterator[tuple[Where, str | tuple[int, int]]]:
        """What is written where nothing is amiss, of everything of which the story says nothing."""
        for sign in self.table.everyday.shows:
            for side in (THIS, OTHER) if sign.side == BOTH else ("",):
                if (sign.entry, side) not in self.said:
                    yield (sign.entry, side), sign.days_ago or sign.word
