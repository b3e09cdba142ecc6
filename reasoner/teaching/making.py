"""A practice case made from a cause: the text of a visit file, read by the reader of visit files.

In: a rulebook, a cause and its side, how clear, a seed. Out: a `Case`.
Not here: what shows (drawing, and the table of cases), whether the reasoner finds it again (recovery). No rule's premise is
looked at. The case of the right side is the mirror image of that of the left with the same seed.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import cached_property
from random import Random
from statistics import NormalDist
from typing import cast

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.measures.cases import Cases, Difficulty
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.causal import Linked, linked
from reasoner.teaching.drawing import OTHER, THIS, Sore, Story, Where
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes
from reasoner.visit.touches import is_space
from reasoner.visit.written_out import Draft, Pressed, written_out

register({
    "TE41": "a cause that no page describes",
    "TE42": "a side that a cause does not have",
    "TE43": "a difficulty that is not on the list",
    "TE44": "rules that hold nothing to make cases from",
})  # fmt: skip

TABLE = "cases"
DAY = date(2026, 4, 18)
FILE = "a practice case"
MOST = 10.0
SIDES = ("left", "right")


@frozen
class Case:
    """A case to practise on. `cause` and `side` are what it was made from; both are empty where it came from a real visit.

    Beside `text` run `visit`, the same as it was read, `difficulty`, `seed`, and `origin`: "made", "example" or "visit".
    """

    text: str
    visit: Visit
    cause: str = ""
    side: str = ""
    difficulty: str = ""
    seed: int = 0
    origin: str = "made"


def table_of(book: Rulebook) -> Cases:
    """The table of cases. Raises BadInput (TE44) where the rules in use hold none."""
    if TABLE not in book.measures:
        raise BadInput([Problem("--rules", 0, "TE44", "these rules hold no measures/cases.yaml, so no case can be made "
                                                      "from a cause.",
                                "Lay them over the shipped ones: --rules shipped --rules DIR.")])  # fmt: skip
    return cast(Cases, book.measures[TABLE])


class Maker:
    """Makes cases by one rulebook."""

    def __init__(self, book: Rulebook) -> None:
        self.book, self.table = book, table_of(book)

    @cached_property
    def links(self) -> dict[str, Linked]:
        """The causal links of every conclusion."""
        return dict(linked(self.book))

    @cached_property
    def causes(self) -> tuple[str, ...]:
        """Every cause from which a case can be made."""
        return tuple(
            k for k, page in self.book.conclusions.items() if page.kind == "cause" and page.status != "retired"
        )

    def sides(self, cause: str) -> tuple[str, ...]:
        """The sides a cause has."""
        return SIDES if self.links[cause].sided else ("",)

    def difficulty(self, name: str) -> Difficulty:
        """The difficulty of this name. Raises BadInput (TE43)."""
        names = [one.name for one in self.table.difficulties]
        if name not in names:
            raise BadInput([Problem("--difficulty", 0, "TE43", f'"{name}" is no difficulty; one of {", ".join(names)} was '
                                    "expected.", near_hint(name, names))])  # fmt: skip
        return self.table.difficulties[names.index(name)]

    def case(self, cause: str, side: str, difficulty: str, seed: int, day: date = DAY) -> Case:
        """The case of this cause and side. `side` is "left" or "right"; for a cause without sides it is "" (as "left") or says
        on which side falls what falls on one by chance. Raises BadInput (TE41 to TE44)."""
        if cause not in self.causes:
            raise BadInput([Problem("practise", 0, "TE41", f'"{cause}" is no cause of these rules.',
                                    near_hint(cause, self.causes))])  # fmt: skip
        if side not in ("", *SIDES) or (self.links[cause].sided and not side):
            raise BadInput([Problem("practise", 0, "TE42", f'"{side}" was read as the side of {cause}; left or right was '
                                    "expected.")])  # fmt: skip
        wanted = self.difficulty(difficulty)
        chance = Random(f"{seed}/{cause}/{difficulty}")
        story = Story(cause, wanted, self.links, self.table, self.book.vocabulary, chance)
        here = {THIS: side or "left", OTHER: SIDES[(side or "left") == "left"], "": ""}
        draft = Draft(
            day=day, entries=self._entries(story, wanted, here, day, chance),
            palpation=self._palpation(story, wanted, here, chance), quiet={},
        )  # fmt: skip
        text = written_out(draft, self.book.vocabulary)
        visit = visit_from_bytes(text.encode(), FILE, self.book.vocabulary)
        return Case(text, visit, cause, side if self.links[cause].sided else "", difficulty, seed)

    def _entries(
        self, story: Story, wanted: Difficulty, here: dict[str, str], day: date, chance: Random
    ) -> dict[str, str | dict[str, str]]:
        found: dict[str, str | dict[str, str]] = {}
        left_out: dict[str, bool] = {}
        whole: list[tuple[Where, str | tuple[int, int]]] = [*story.said.items(), *story.everyday()]
        for (key, side), value in whole:
            draw, ago = chance.random(), chance.random()
            if left_out.setdefault(key, draw < wanted.left_out):
                continue
            if isinstance(value, tuple):
                days = value[0] + int(ago * (value[1] - value[0] + 1))
                value = (day - timedelta(days=days)).isoformat()
            word = here.get(value, value).replace("_", " ") if value else value
            if self.book.vocabulary.observations[key].sides == "each":
                cast(dict[str, str], found.setdefault(key, {}))[here[side]] = word
            else:
                found[key] = word
        return {key: dict(sorted(v.items())) if isinstance(v, dict) else v for key, v in found.items()}

    def _palpation(
        self, story: Story, wanted: Difficulty, here: dict[str, str], chance: Random
    ) -> dict[str, dict[str, Pressed]]:
        step, wavers = self.book.scales.step, self.book.scales.reading_error
        noise = wavers.noise if wavers is not None else 0.0  # rules that say nothing of a hand get a steady one
        low, high = wanted.worst
        worst = low + chance.random() * (high - low)
        shared = (wavers.shared if wavers is not None else 0.0) * _normal(chance)
        quiet = self.table.quiet.middle
        places = self.book.vocabulary.places
        found: dict[str, dict[str, Pressed]] = {}
        touched = dict.fromkeys((*self.book.vocabulary.round, *(place for place, _ in story.sore)))
        # The spaces between the spines are one light stroke, and a quiet one is written as nothing.
        spaces = [key for key, place in places.items() if is_space(place)]
        if chance.random() >= wanted.left_out:
            found |= {place: {"middle": "0"} for place in spaces if (place, "") not in story.sore}
        for place in sorted(touched, key=lambda key: (places[key].walk, key)):
            out = chance.random() < wanted.left_out
            for side in (THIS, OTHER) if places[place].sides == "each" else ("",):
                sore = story.sore.get((place, side), Sore(quiet / worst))
                score = worst * sore.share + shared + noise * _normal(chance)
                score = min(max(round(score / step) * step, 0.0), MOST)
                if not out:
                    said: dict[str, str] = {"soreness": f"{score:g}"}
                    if sore.depth and score > 0:
                        said["depth"] = sore.depth
                    one: Pressed = said if len(said) > 1 else said["soreness"]
                    found.setdefault(place, {})[here[side] or "middle"] = one
        return {place: dict(sorted(sides.items())) for place, sides in found.items()}


def _normal(chance: Random) -> float:
    """A normal number from one draw; kept within what the inverse takes."""
    return NormalDist().inv_cdf(min(max(chance.random(), 1e-12), 1 - 1e-12))


def every_kind(maker: Maker) -> Iterator[tuple[str, str, str]]:
    """(cause, side, difficulty) of every kind of case that can be made."""
    for cause in maker.causes:
        for side in maker.sides(cause):
            for difficulty in maker.table.difficulties:
                yield cause, side, difficulty.name
