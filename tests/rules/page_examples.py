"""The examples that stand in the pages, judged: does the page answer as it says, and for the reason it names?

In: the shipped rulebook. Out: `cases()`, one for each example and one for its mirror, and `complaints(case)`.
Not here: coverage over all examples (test_page_coverage), longer cases (tests/trade).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from reasoner.consult import Answer, judge
from reasoner.inference.record import Record
from reasoner.inference.slots import split
from reasoner.rulebook.filling import node_of
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Example
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.model import mirrored
from reasoner.visit.reading import visit_from_node
from tests.asking import DAY, OTHER, shipped

Page = Conclusion | Concern | Action | Circumstance
Sided = dict[str, str]
TOO_LITTLE = "too little to say"
BANDS = ("strong", "fair", "slight", "none", "against", TOO_LITTLE)


@dataclass(frozen=True)
class Case:
    """One example of one page, as written or in the mirror."""

    page: Page
    example: Example
    mirror: bool

    @property
    def name(self) -> str:
        """The page and the sentence of the example."""
        return f"{self.page.id}: {self.example.name}{' (in the mirror)' if self.mirror else ''}"

    def side(self, side: str) -> str:
        """A side as the example writes it, to the side judged."""
        return OTHER[side] if self.mirror else side

    def sides(self) -> tuple[str, ...]:
        """The sides the page is read for."""
        return ("left", "right") if getattr(self.page, "sides", "none") == "each" else ("",)


def pages(book: Rulebook) -> Iterator[Page]:
    """Every page that carries examples."""
    yield from book.conclusions.values()
    yield from book.concerns.values()
    yield from book.actions.values()
    yield from book.circumstances.values()


@cache
def cases() -> tuple[Case, ...]:
    """Every example twice: as written, and in the mirror."""
    return tuple(
        Case(page, example, mirror)
        for page in pages(shipped().book)
        for example in page.examples
        for mirror in (False, True)
    )


def answer_of(case: Case) -> Answer:
    """The whole answer to what an example records."""
    node = node_of(case.example.recorded, case.example.line)
    visit = visit_from_node(node, case.page.file, shipped().book.vocabulary, default_day=DAY)
    return judge(mirrored(visit) if case.mirror else visit, shipped())


def complaints(case: Case) -> list[str]:
    """What is wrong with an example; empty where the page answers as it says and for the reason it names."""
    example = case.example
    if not (example.thanks_to or example.stopped_by or example.waiting_on):
        return ["it names no reason: thanks_to, stopped_by or waiting_on"]
    checker = {Conclusion: _OfConclusion, Concern: _OfConcern, Action: _OfAction, Circumstance: _OfCircumstance}
    return list(checker[type(case.page)](case, answer_of(case)).complaints())


# -- what the checks share -------------------------------------------------------------------------------------------


@cache
def _names() -> Mapping[str, str]:
    """Every key and name of a place or observation, canonical, to its key; a key wins over a name."""
    vocabulary = shipped().book.vocabulary
    out = {canonical(o.name): o.key for o in vocabulary.observations.values()}
    out |= {canonical(p.name): p.key for p in vocabulary.places.values()}
    return out | {key: key for key in (*vocabulary.observations, *vocabulary.places)}


def key_of(written: str) -> str:
    """The vocabulary key of a word under waiting_on, or an empty string."""
    return _names().get(canonical(written), "")


class _Check:
    """What each kind of page asks of one answer."""

    def __init__(self, case: Case, answer: Answer) -> None:
        self.case = case
        self.example = case.example
        self.record: Record = answer.record
        self.answer = answer
        self.meta = answer.record.program.meta

    def complaints(self) -> Iterator[str]:
        """Everything wrong."""
        raise NotImplementedError

    def expected(self, words: tuple[str, ...]) -> Sided | str:
        """side -> word, the sides already turned for the mirror; or a sentence saying what cannot be read."""
        expect = self.example.expect
        written = {k: v for k, v in expect.items() if k != "line"} if isinstance(expect, Mapping) else None
        if written is None:
            written = dict.fromkeys(self.case.sides(), str(expect))
        if not written or not set(written) <= set(self.case.sides()):
            return f"expect names {sorted(written)}; this page has the sides {list(self.case.sides())}"
        strange = sorted(set(written.values()) - set(words))
        if strange:
            return f"expect reads {strange}; known: {', '.join(words)}"
        return {self.case.side(side): word for side, word in written.items()}

    def known(self, literal: int) -> bool:
        """Whether something below the literal was recorded or concluded."""
        return any(self.record.pair(column << 1) != (0.0, 0.0) for column in self.record.leaves(literal))

    def holds(self, literal: int) -> bool:
        """Whether the literal is supported above the threshold."""
        return self.record.support(literal) > self.record.program.fires_above

    def refuted(self, literal: int) -> bool:
        """Known, and nothing that was left out could still lift it above the threshold."""
        return self.known(literal) and not self.holds(literal) and not self.record.could_rise(literal)

    def listens(self, literal: int, key: str) -> bool:
        """Whether the literal does not hold, still could, and for that waits for this key."""
        return not self.holds(literal) and self.record.could_rise(literal) and key in self.unknown(literal)

    def unknown(self, literal: int) -> set[str]:
        """The keys of the vocabulary below the literal of which nothing is recorded."""
        return {
            split(name)[0]
            for column in self.record.unknown_leaves(literal)
            for name in self.record.entry(column)[1:3]
            if isinstance(name, str) and "|" in name and name not in self.answer.facts.values
        }

    def leaf_keys(self, literal: int) -> set[str]:
        """The places, observations and conclusions a literal reads."""
        out: set[str] = set()
        for column in self.record.leaves(literal):
            entry = self.record.entry(column)
            if entry[0] in ("conclusion", "certainty"):
                out.add(entry[1])
            else:
                out |= {split(name)[0] for name in entry[1:3] if isinstance(name, str) and "|" in name}
        return out


# -- conclusions -----------------------------------------------------------------------------------------------------


class _OfConclusion(_Check):
    def complaints(self) -> Iterator[str]:
        page = self.case.page
        assert isinstance(page, Conclusion)
        expected = self.expected(BANDS)
        if isinstance(expected, str):
            yield expected
            return
        rules = {
            side: {page.evidence[r.number].rule: r for r in self.record.rules_of(page.id, side)} for side in expected
        }
        for side, word in expected.items():
            found = self.answer.explanation.concluded[page.id, side]
            told = word
            if word == TOO_LITTLE:
                told = "none"
                if found.upper_band in ("none", "against"):
                    yield f"{side}: nothing that was left out could raise it (at most {found.upper:.3f})"
            if found.band != told:
                yield f"{side}: expected {word}, came out {found.band} ({found.certainty:.3f})"
            for name in self.example.thanks_to:
                rule = rules[side].get(name)
                if rule is None:
                    yield f'"{name}" is no rule of this page'
                elif rule.state != "fired" or not rule.counted:
                    yield f'{side}: "{name}" did not speak ({rule.state}, counted {float(rule.counted):.0f})'
            for name in self.example.stopped_by:
                rule = rules[side].get(name)
                if rule is None:
                    yield f'"{name}" is no rule of this page'
                elif rule.state != "below" or not self.known(rule.premise):
                    yield f'{side}: "{name}" is not known and quiet ({rule.state})'
            for written in self.example.waiting_on:
                key = key_of(written)
                if not key:
                    yield f'"{written}" is no word of the vocabulary'
                elif not any(self.listens(rule.premise, key) for rule in rules[side].values()):
                    yield f'{side}: no rule waits for "{written}"'
            if not any(self._touched(rule.premise) for rule in rules[side].values()):
                yield f"{side}: it touches no rule of this page"

    def _touched(self, premise: int) -> bool:
        return self.known(premise) or any(self.listens(premise, key_of(w)) for w in self.example.waiting_on)


# -- concerns --------------------------------------------------------------------------------------------------------

RAISED, NOT_RAISED = "raised", "not raised"


class _OfConcern(_Check):
    def complaints(self) -> Iterator[str]:
        page = self.case.page
        assert isinstance(page, Concern)
        grounds = [
            (side, place, signs, bool(self.record.result.concern[number, 0]))
            for number, (key, side, place, signs) in enumerate(self.meta["concerns"])
            if key == page.id
        ]
        raised = {(side, place) for side, place, _, up in grounds if up}
        yield from self._level(raised, page)
        numbers = {sign.sign: n for n, sign in enumerate(page.signs)}
        for name in (*self.example.thanks_to, *self.example.stopped_by):
            if name not in numbers:
                yield f'"{name}" is no sign of this page'
        for name in self.example.thanks_to:
            if name in numbers and not any(up and self.holds(signs[numbers[name]]) for _, _, signs, up in grounds):
                yield f'"{name}" was not seen'
        for name in self.example.stopped_by:
            spots = [g for g in grounds if not g[3] and self._touched(g[1], g[0])]
            if name in numbers and not any(self.refuted(signs[numbers[name]]) for _, _, signs, _ in spots):
                yield f'"{name}" is not known to be absent'
        for written in self.example.waiting_on:
            key = key_of(written)
            spots = [g for g in grounds if not g[3] and (self._touched(g[1], g[0]) or key == g[1])]
            if not key:
                yield f'"{written}" is no word of the vocabulary'
            elif not any(self.listens(sign, key) for _, _, signs, _ in spots for sign in signs):
                yield f'no sign waits for "{written}"'
        if raised and not self.example.thanks_to:
            yield "it is raised, and the example does not say by which sign"
        if not raised and self.example.thanks_to:
            yield "it is not raised, and the example names a sign"

    def _touched(self, place: str, side: str) -> bool:
        """Whether the place of a page with for_each was touched at all; other pages have no place."""
        return not place or any(name.startswith(f"{place}|{side}|") for name in self.answer.facts.values)

    def _level(self, raised: set[tuple[str, str]], page: Concern) -> Iterator[str]:
        if not page.for_each:
            expected = self.expected((RAISED, NOT_RAISED))
            if isinstance(expected, str):
                yield expected
                return
            for side, word in expected.items():
                if ((side, "") in raised) != (word == RAISED):
                    yield f"{side or 'it'}: expected {word}, and it is {RAISED if (side, '') in raised else NOT_RAISED}"
            return
        wanted = _spots(self.example.expect, self.case)
        if wanted is None:
            yield f"expect reads {self.example.expect!r}; known: {{places: [...]}}, {NOT_RAISED}"
        elif wanted != raised:
            yield f"expected {sorted(wanted)}, raised {sorted(raised)}"


def _spots(expect: object, case: Case) -> set[tuple[str, str]] | None:
    """(side, place) of each place under `places:`, none for the word `not raised`; None if it does not read."""
    if expect == NOT_RAISED:
        return set()
    if not isinstance(expect, Mapping) or set(expect) - {"line"} != {"places"} or not expect["places"]:
        return None
    out = set()
    for written in expect["places"]:
        side, _, rest = str(written).partition(" ")
        side, rest = (side, rest) if side in ("left", "right") else ("", str(written))
        key = key_of(rest)
        place = shipped().book.vocabulary.places.get(key)
        if place is None or (place.sides == "each") != bool(side):
            return None
        out.add((case.side(side), key))
    return out


# -- actions ---------------------------------------------------------------------------------------------------------

TAKEN, WITHHELD, NOT_WANTED = "taken", "withheld", "not wanted"


class _OfAction(_Check):
    def complaints(self) -> Iterator[str]:
        page = self.case.page
        assert isinstance(page, Action)
        expected = self.expected((TAKEN, WITHHELD, NOT_WANTED))
        if isinstance(expected, str):
            yield expected
            return
        plan = self.answer.plan
        steps = {(s.key, s.side) for s in plan.steps}
        held = {(w.key, w.side): w.because for w in plan.withheld}
        wanted = {side: literals for key, side, literals, *_ in self.meta["actions"] if key == page.id}
        reasons = dict.fromkeys(self.example.thanks_to, False)
        for side, word in expected.items():
            here = (page.id, side)
            found = TAKEN if here in steps else WITHHELD if here in held else NOT_WANTED
            if found != word:
                yield f"{side or 'it'}: expected {word}, and it is {found} {' '.join(held.get(here, ()))}".rstrip()
            for reason in reasons:
                if found == WITHHELD:
                    reasons[reason] |= self._own_sentence(page, reason) and reason in held[here]
                elif found == TAKEN:
                    reasons[reason] |= any(self.holds(x) and reason in self._speaking(x) for x in wanted[side])
                else:
                    reasons[reason] |= self._unasked(wanted[side], reason)
        yield from (f'"{reason}" is not what decided it' for reason, seen in reasons.items() if not seen)
        if self.example.stopped_by:
            yield "an action is explained by thanks_to or waiting_on, not by stopped_by"
        for written in self.example.waiting_on:
            needs = [x for key, side, _, needs, *_ in self.meta["actions"] if key == page.id and side in expected
                     for x in needs]  # fmt: skip
            if not any(self.listens(x, key_of(written)) for x in (*needs, *(x for xs in wanted.values() for x in xs))):
                yield f'nothing waits for "{written}"'

    def _own_sentence(self, page: Action, sentence: str) -> bool:
        return sentence in {n.otherwise for n in page.only_after} | {f.because for f in page.forbidden_by}

    def _speaking(self, literal: int) -> set[str]:
        """The keys of the leaves that carry a wish."""
        entry = self.record.entry(literal >> 1)
        if entry[0] in ("all", "any", "kth"):
            held = [part ^ (literal & 1) for part in entry[2] if self.record.support(part ^ (literal & 1)) > 0.0]
            return {key for part in held for key in self._speaking(part)}
        return self.leaf_keys(literal)

    def _unasked(self, wanted: tuple[int, ...], reason: str) -> bool:
        """Whether every wish that reads this key is known not to hold, and at least one does read it."""
        reading = [x for x in wanted if reason in self.leaf_keys(x)]
        return bool(reading) and all(not self.holds(x) and self._looked_at(x) for x in reading)

    def _looked_at(self, literal: int) -> bool:
        """Known; a conclusion is known as soon as something any of its rules listens to was recorded."""
        for column in self.record.leaves(literal):
            entry = self.record.entry(column)
            if self.record.pair(column << 1) != (0.0, 0.0):
                return True
            if entry[0] in ("conclusion", "certainty"):
                rules = self.record.rules_of(entry[1], entry[2])
                if any(self.known(rule.premise) for rule in rules):
                    return True
        return False


# -- circumstances ---------------------------------------------------------------------------------------------------

LESSENED, NOT_LESSENED = "lessened", "not lessened"


class _OfCircumstance(_Check):
    def complaints(self) -> Iterator[str]:
        page = self.case.page
        assert isinstance(page, Circumstance)
        atoms = list(self._atoms(page))
        if not atoms:
            yield "nothing recorded here is read by a rule that this circumstance could lessen"
            return
        working = {spot for spot, literal, *_ in atoms if self.record.support(literal) > 0.0}
        touched = {spot for spot, *_ in atoms}
        expect = self.example.expect
        wanted = touched if expect == LESSENED else set() if expect == NOT_LESSENED else _spots(expect, self.case)
        if wanted is None:
            yield f"expect reads {expect!r}; known: {LESSENED}, {NOT_LESSENED}, {{places: [...]}}"
            return
        if wanted != working:
            yield f"expected {sorted(wanted)} lessened, and it is {sorted(working)}"
        for spot, literal, raw, after in atoms:
            kept = 1.0 - page.by * self.record.support(literal)
            if after > round(raw * kept, 9):  # another circumstance may take more, never give back
                yield f"{spot}: {raw} is read as {after}; at most {raw * kept:.3f} was to be left"
        for written, say in ((w, "thanks_to") for w in self.example.thanks_to):
            if not any(self.holds(x) and key_of(written) in self._speaking(x) for _, x, *_ in atoms):
                yield f'{say}: "{written}" did not bring it about'
        for written in self.example.stopped_by:
            if not any(self.refuted(x) and key_of(written) in self.leaf_keys(x) | {s[1] for s in touched}
                       for _, x, *_ in atoms):  # fmt: skip
                yield f'stopped_by: "{written}" is not known to be otherwise'
        for written in self.example.waiting_on:
            if not any(self.listens(x, key_of(written)) for _, x, *_ in atoms):
                yield f'waiting_on: it does not wait for "{written}"'

    def _atoms(self, page: Circumstance) -> Iterator[tuple[tuple[str, str], int, float, float]]:
        """((side, place), the circumstance's literal, before, after) of each recorded atom of one place it reaches."""
        turned = page.lessens == "quiet"
        for number, entry in enumerate(self.meta["columns"]):
            if entry[0] != "lessened" or self.record.pair(entry[1] << 1) == (0.0, 0.0):
                continue
            inner = self.record.entry(entry[1])
            names = {name for name in inner[1:3] if isinstance(name, str) and name}
            if len(names) != 1:  # a difference has two places, and its own cases in tests/trade
                continue
            place, side, _ = split(names.pop())
            for name, _, _, literal in entry[2]:
                if name == page.id:
                    raw = self.record.pair(entry[1] << 1)[turned]
                    yield (side, place), literal, raw, self.record.pair(number << 1)[turned]

    def _speaking(self, literal: int) -> set[str]:
        told = {key for column in self.record.leaves(literal) if self.record.support(column << 1) > 0.0
                for key in self.leaf_keys(column << 1)}  # fmt: skip
        # "settled under the hand" is written once for the visit and read place by place
        return told | ({"settled_under_the_hand"} if self._unsettled(literal) else set())

    def _unsettled(self, literal: int) -> bool:
        return any(str(self.record.entry(c)[1]).endswith("|unsettled") for c in self.record.leaves(literal))
