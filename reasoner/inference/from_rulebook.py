"""The single door from the rulebook: ground every page for every side and place.

In: a `Rulebook` with its parsed conditions. Out: a `Network`.
Not here: the grammar (rulebook.conditions), filling in sides (grounding), the order of evaluation (strata).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from reasoner.frozen import frozen
from reasoner.inference.grounding import OPPOSITE, TRUE, Grounder, Here, side_readings
from reasoner.inference.network import Accounted, Discount, GroundAction, GroundConcern, GroundRule, Network
from reasoner.inference.slots import bit, slot, split
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulebook.vocabulary import Vocabulary, canonical

if TYPE_CHECKING:
    from reasoner.rulebook.conditions import Condition

SPACES = "spinous_spaces"
EVERYWHERE = "every_place"
_TOUCH_QUALITIES = ("soreness", "responses", "guarded")


@frozen
class Also:
    """One more condition to ground beside those of the pages, as if it stood on a page for this side and place."""

    condition: Condition
    side: str = ""
    place: str = ""
    lessened: bool = False


def ground(book: Rulebook) -> Network:
    """Every page of `book`, grounded. The book's references are already resolved."""
    return _Grounding(book).network()


def ground_also(book: Rulebook, also: Iterable[Also]) -> tuple[Network, tuple[int, ...]]:
    """The same network with the columns of more conditions in it, and the literal of each: asked in the same pass."""
    grounding = _Grounding(book)
    network = grounding.network()
    found = (
        grounding.grounder.ground(one.condition, Here(side=one.side, place=one.place, lessened=one.lessened))
        for one in also
    )
    return network, tuple(found)


def sides_of(sides: str) -> tuple[str, ...]:
    """The sides a page or place is grounded for."""
    return ("left", "right") if sides == "each" else ("",)


def spots_of(page: Conclusion | Concern | Action | Circumstance, words: Vocabulary) -> Iterator[tuple[str, str]]:
    """(place, side) of everything a page is read for; no place but on pages with `for_each`."""
    each = canonical(getattr(page, "for_each", ""))
    if not each:
        yield from (("", side) for side in sides_of(getattr(page, "sides", "none")))
        return
    group = SPACES if each == "spinous_space" else each
    for key in words.places if each == "place" else words.group(group):
        yield from ((key, side) for side in sides_of(words.places[key].sides))


class _Grounding:
    def __init__(self, book: Rulebook) -> None:
        self.book = book
        self.grounder = Grounder(book.vocabulary, book.scales, frozenset(book.concerns))
        self.grounder.lessen = self._lessened
        self.columns = self.grounder.columns
        self.everywhere = [c for c in book.circumstances.values() if not c.for_each]
        self.circumstance_literal = {
            page.id: self.grounder.ground(book.parsed[page.id, "when"], Here()) for page in self.everywhere
        }

    def network(self) -> Network:
        book = self.book
        conclusions = [(k, side) for k, page in book.conclusions.items() for side in sides_of(page.sides)]
        for key, side in conclusions:
            self.columns.intern(("conclusion", key, side))
        rules = [rule for page in book.conclusions.values() for rule in self._rules(page)]
        concerns = [concern for page in book.concerns.values() for concern in self._concerns(page)]
        self.grounder.concern_literals = {(c.page, c.side): c.literal for c in concerns if not c.place}
        actions = [action for page in book.actions.values() for action in self._actions(page)]
        levels = {
            call: self._any([c.literal for c in concerns if book.concerns[c.page].call == call])
            for call in book.scales.calls
        }
        return Network(
            specs=self.columns.specs,
            conclusions=conclusions,
            rules=rules,
            concerns=concerns,
            actions=actions,
            accounts={(k, s): self._accounts(book.conclusions[k], s) for k, s in conclusions},
            leads={(k, s): self._leads(book.conclusions[k], s) for k, s in conclusions},
            notable=self._notable(),
            guarded=self._guarded(),
            spoken=self._spoken(),
            levels=levels,
            words=self._words(),
        )

    def _any(self, literals: list[int]) -> int:
        return self.grounder.any(literals) if literals else TRUE ^ 1

    def _rules(self, page: Conclusion) -> Iterator[GroundRule]:
        for side in sides_of(page.sides):
            for number, evidence in enumerate(page.evidence):
                here = Here(side=side, lessened=True)
                premise = self.grounder.ground(self.book.parsed[page.id, f"evidence {number} when"], here)
                gate = TRUE
                if evidence.only_if is not None:
                    condition = self.book.parsed[page.id, f"evidence {number} only_if"]
                    gate = self.grounder.ground(condition, Here(side=side))
                word = canonical(evidence.points or evidence.against or "")
                strength = self.book.scales.strengths[word] * (1 if evidence.points else -1)
                name = rule_id(page.id, evidence.rule)
                yield GroundRule(name, page.id, side, number, premise, gate, strength, evidence.group or name,
                                 evidence.line)  # fmt: skip

    def _concerns(self, page: Concern) -> Iterator[GroundConcern]:
        for place, side in spots_of(page, self.book.vocabulary):
            here = Here(side=side, place=place)
            signs = tuple(
                self.grounder.ground(self.book.parsed[page.id, f"sign {n}"], here) for n in range(len(page.signs))
            )
            yield GroundConcern(page.id, side, place, signs, self._any(list(signs)))

    def _actions(self, page: Action) -> Iterator[GroundAction]:
        for side in sides_of(page.sides):
            here = Here(side=side)

            def literals(what: str, count: int, here: Here = here) -> tuple[int, ...]:
                return tuple(self.grounder.ground(self.book.parsed[page.id, f"{what} {n}"], here) for n in range(count))

            wanted = literals("wanted", len(page.wanted_by))
            needs = literals("need", len(page.only_after))
            forbids = literals("forbid", len(page.forbidden_by))
            places = []
            for entry in page.works_on:
                for key, word in entry.items():
                    if key != "line":
                        places += self._ends(canonical(key), str(word), side)
            yield GroundAction(
                page.id, side, wanted, needs, forbids, self._any(list(wanted)), self.grounder.every(needs),
                self._any(list(forbids)), tuple(places),
            )  # fmt: skip

    def _ends(self, place: str, word: str, side: str) -> list[tuple[str, str]]:
        if self.book.vocabulary.places[place].sides == "midline":
            return [(place, "")]
        return [(place, s) for s in _meant(word, side)]

    # -- discounts ---------------------------------------------------------------------------------------------------

    def _lessened(self, column: int) -> int:
        """The discounted twin of an atom's column, or the column itself if no circumstance touches it."""
        spec = self.columns.specs[column]
        spots = [split(name)[:2] for name in spec[1:3] if isinstance(name, str) and name]
        qualities = [split(name)[2] for name in spec[1:3] if isinstance(name, str) and name]
        if not spots or not any(q.startswith(_TOUCH_QUALITIES) for q in qualities):
            return column
        if spots[0][0] not in self.book.vocabulary.places:
            return column
        discounts = []
        for page in self.book.circumstances.values():
            if self._reaches(page, spots[0][0]):
                literal = self.circumstance_literal.get(page.id)
                if literal is None:
                    condition = self.book.parsed[page.id, "when"]
                    literal = self._any([self.grounder.ground(condition, Here(side=s, place=p)) for p, s in set(spots)])
                discounts.append(Discount(page.id, page.lessens, page.by, literal))
        if not discounts:
            return column
        return self.columns.intern(("lessened", column, tuple(discounts)))

    def _reaches(self, page: Circumstance, place: str) -> bool:
        of = [page.of] if isinstance(page.of, str) else list(page.of)
        region = self.book.vocabulary.places[place].region
        return any(canonical(word) in (EVERYWHERE, place, canonical(region)) for word in of)

    # -- causal links ------------------------------------------------------------------------------------------------

    def _accounts(self, page: Conclusion, side: str) -> tuple[Accounted, ...]:
        out: list[Accounted] = []
        for entry in page.accounts_for:
            for key, body in entry.items():
                if key != "line":
                    out += self._accounted(canonical(key), body, side)
        return tuple(sorted(set(out), key=lambda a: (a.key, a.side, a.depth, a.readings, a.paired)))

    def _accounted(self, key: str, body: Any, side: str) -> list[Accounted]:
        vocabulary = self.book.vocabulary
        detail = {canonical(k): v for k, v in body.items() if k != "line"} if isinstance(body, Mapping) else {}
        if key in vocabulary.places:
            word = str(detail.get("side", body if isinstance(body, str) else "both"))
            depth = canonical(str(detail.get("depth", "")))
            ends = self._ends(key, word, side)
            return [Accounted(key, s, depth, paired=len(ends) > 1 and canonical(word) == "both") for _, s in ends]
        observation = vocabulary.observations[key]
        written = detail.get("is", body if not isinstance(body, Mapping) else "")
        words = [str(w) for w in written] if isinstance(written, (list, tuple)) else [str(written)]
        sides = _meant(str(detail.get("side", "both")), side) if observation.sides == "each" else ("",)
        readings: list[str] = []
        for word in words:
            plain = canonical(word)
            if observation.kind == "side" and plain in ("this", "other"):
                plain = side if plain == "this" else OPPOSITE[side]
            readings.append(observation.reading_of.get(plain, plain))
        return [Accounted(key, s, "", tuple(sorted(readings))) for s in sides]

    def _leads(self, page: Conclusion, side: str) -> tuple[tuple[str, str], ...]:
        out: list[tuple[str, str]] = []
        for entry in page.leads_to:
            for key, word in entry.items():
                if key != "line":
                    target = self.book.conclusions[canonical(key)]
                    ends = _meant(str(word), side) if target.sides == "each" else ("",)
                    out += [(target.id, s) for s in ends]
        return tuple(sorted(set(out)))

    # -- what asks for an explanation --------------------------------------------------------------------------------

    def _notable(self) -> list[tuple[int, str, str]]:
        out = []
        for place in self.book.vocabulary.places.values():
            for side in sides_of(place.sides):
                spec = self.grounder.ramp(place.key, side, self.book.scales.notable_ramp)
                out.append((self._lessened(self.columns.intern(spec)), place.key, side))
        return out

    def _guarded(self) -> list[tuple[int, str, str]]:
        out = []
        for place in self.book.vocabulary.places.values():
            for side in sides_of(place.sides):
                name = slot(place.key, side, "guarded")
                out.append((self.columns.intern(("limit", name, name, 0, 1.0)), place.key, side))
        return out

    def _spoken(self) -> list[tuple[int, str, str, str]]:
        out = []
        for observation in self.book.vocabulary.observations.values():
            readings = [w.key for w in observation.readings]
            coded = side_readings(readings) if observation.kind == "side" else readings
            for word in observation.readings:
                if word.notable:
                    for side in sides_of(observation.sides):
                        spec = ("member", slot(observation.key, side, "value"), bit(coded, word.key))
                        out.append((self.columns.intern(spec), observation.key, side, word.key))
        return out

    def _words(self) -> dict[str, tuple[str, ...]]:
        words: dict[str, tuple[str, ...]] = {}
        for observation in self.book.vocabulary.observations.values():
            readings = [w.key for w in observation.readings]
            if observation.kind in ("choice", "side"):
                coded = side_readings(readings) if observation.kind == "side" else readings
                words[observation.key] = tuple(coded)
        for quality, entries in self.book.vocabulary.qualities.items():
            words[f"*{quality}"] = tuple(w.key for w in entries)
        return words


def _meant(word: str, side: str) -> tuple[str, ...]:
    word = canonical(word)
    if word in ("left", "right"):
        return (word,)
    if word == "this" and side:
        return (side,)
    if word == "other" and side:
        return (OPPOSITE[side],)
    return ("left", "right")
