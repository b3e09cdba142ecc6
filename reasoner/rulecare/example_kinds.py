"""What is expected of the example of a concern, an action, a circumstance.

In: an example and the answer to what it records. Out: complaints; none where the page is right, for its reason.
Not here: conclusions (of_conclusion), which examples there are (examples), the questions all kinds share (example_check).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from reasoner.explanation.from_record import filled
from reasoner.inference.slots import split
from reasoner.rulebook.pages import Action, Circumstance, Concern
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.rulecare.example_check import Case, Check, key_of

# -- concerns --------------------------------------------------------------------------------------------------------

RAISED, NOT_RAISED = "raised", "not raised"


class OfConcern(Check):
    """The example of a concern: where it is raised, and by which signs."""

    def complaints(self) -> Iterator[str]:
        """Everything wrong with it."""
        page = self.case.page
        assert isinstance(page, Concern)
        read = [
            (side, place, self.literals("sign", side, place, signs))
            for key, side, place, signs in self.meta["concerns"]
            if key == page.id
        ]
        grounds = [(side, place, signs, any(map(self.holds, signs))) for side, place, signs in read]
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
            key = key_of(written, self.words)
            spots = [g for g in grounds if not g[3] and (self._touched(g[1], g[0]) or key == g[1])]
            if not key:
                yield f'"{written}" is no word of the vocabulary'
            elif not any(self.listens(sign, key) for _, _, signs, _ in spots for sign in signs):
                yield f'no sign waits for "{written}"'
        named = [numbers[name] for name in self.example.thanks_to if name in numbers]
        for side, place, signs, up in grounds:
            if up and not any(self.holds(signs[n]) for n in named):
                yield f"{side} {place}: it is raised, and by no sign that the example names".strip()
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
        wanted = _spots(self.example.expect, self.case, self.words)
        if wanted is None:
            yield f"expect reads {self.example.expect!r}; known: {{places: [...]}}, {NOT_RAISED}"
        elif wanted != raised:
            yield f"expected {sorted(wanted)}, raised {sorted(raised)}"


def _spots(expect: object, case: Case, words: Vocabulary) -> set[tuple[str, str]] | None:
    """(side, place) of each place under `places:`, none for the word `not raised`; None if it does not read."""
    if expect == NOT_RAISED:
        return set()
    if not isinstance(expect, Mapping) or set(expect) - {"line"} != {"places"} or not expect["places"]:
        return None
    out = set()
    for written in expect["places"]:
        side, _, rest = str(written).partition(" ")
        side, rest = (side, rest) if side in ("left", "right") else ("", str(written))
        key = key_of(rest, words)
        place = words.places.get(key)
        if place is None or (place.sides == "each") != bool(side):
            return None
        out.add((case.side(side), key))
    return out


# -- actions ---------------------------------------------------------------------------------------------------------

TAKEN, WITHHELD, NOT_WANTED = "taken", "withheld", "not wanted"


class OfAction(Check):
    """The example of an action: taken, withheld or not wanted on each side, and why."""

    def complaints(self) -> Iterator[str]:
        """Everything wrong with it."""
        page = self.case.page
        assert isinstance(page, Action)
        expected = self.expected((TAKEN, WITHHELD, NOT_WANTED))
        if isinstance(expected, str):
            yield expected
            return
        wanted = {
            side: self.literals("wanted", side, "", literals)
            for key, side, literals, *_ in self.meta["actions"]
            if key == page.id
        }
        decided: set[str] = set()
        quiet = set(expected.values()) == {NOT_WANTED}
        for side, word in expected.items():
            found, held = self.outcome(page, side)
            if found != word:
                yield f"{side or 'it'}: expected {word}, and it is {found} {' '.join(held)}".rstrip()
            told = {
                reason
                for reason in self.example.thanks_to
                if (found == WITHHELD and self._own_sentence(page, reason) and reason in held)
                or (found == TAKEN and self._asked(page, wanted[side], reason, side))
                or (found == NOT_WANTED and quiet and self._unasked(wanted[side], reason))
            }
            if not told and (found != NOT_WANTED or quiet) and not self.example.waiting_on:
                yield f"{side or 'it'}: it is {found}, and for no reason that the example names"
            decided |= told
        yield from (f'"{reason}" is not what decided it' for reason in self.example.thanks_to if reason not in decided)
        if self.example.stopped_by:
            yield "an action is explained by thanks_to or waiting_on, not by stopped_by"
        for written in self.example.waiting_on:
            needs = [x for key, side, _, needs, *_ in self.meta["actions"] if key == page.id and side in expected
                     for x in needs]  # fmt: skip
            if not any(
                self.listens(x, key_of(written, self.words))
                for x in (*needs, *(x for xs in wanted.values() for x in xs))
            ):
                yield f'nothing waits for "{written}"'

    def outcome(self, page: Action, side: str) -> tuple[str, tuple[str, ...]]:
        """(taken, withheld or not wanted; what holds it back) of the action on one side."""
        held = next((w.because for w in self.answer.plan.withheld if (w.key, w.side) == (page.id, side)), ())
        taken = (page.id, side) in self.answer.plan.standing
        found = TAKEN if taken else WITHHELD if held else NOT_WANTED
        if not self.instead:
            return found, held
        own = next(entry[2:5] for entry in self.meta["actions"] if (entry[0], entry[1]) == (page.id, side))
        kinds = ("wanted", "need", "forbid")
        wanted, needs, forbids = (self.literals(what, side, "", some) for what, some in zip(kinds, own, strict=True))
        if not any(map(self.holds, wanted)):
            return NOT_WANTED, ()
        if found == NOT_WANTED and any(map(self.holds, own[0])):
            return found, ()  # asked for, and the veterinarian comes before it
        before, after = self._sentences(page, side, own[1], own[2]), self._sentences(page, side, needs, forbids)
        left = (*(because for because in held if because not in before), *after)
        return (WITHHELD if left else TAKEN), left

    def _sentences(self, page: Action, side: str, needs: Sequence[int], forbids: Sequence[int]) -> tuple[str, ...]:
        """What of its own holds an action back."""
        lacking = [n.otherwise for n, x in zip(page.only_after, needs, strict=True) if not self.holds(x)]
        forbidden = [f.because for f, x in zip(page.forbidden_by, forbids, strict=True) if self.holds(x)]
        return tuple(filled(sentence, side) for sentence in (*lacking, *forbidden))

    def _own_sentence(self, page: Action, sentence: str) -> bool:
        return sentence in {n.otherwise for n in page.only_after} | {f.because for f in page.forbidden_by}

    def _asked(self, page: Action, wanted: Sequence[int], reason: str, side: str) -> bool:
        """Whether a wish that holds rests on this conclusion, finding or concern."""
        if reason in self.book.concerns:
            raised = {(c.key, c.side) for c in self.answer.referral.concerns}
            return any(reason in wish for wish in page.wanted_by) and bool(raised & {(reason, side), (reason, "")})
        return any(self.holds(x) and reason in self.speaking(x) for x in wanted)

    def _unasked(self, wanted: Sequence[int], reason: str) -> bool:
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


class OfCircumstance(Check):
    """The example of a circumstance: which readings it lessens."""

    def complaints(self) -> Iterator[str]:
        """Everything wrong with it."""
        page = self.case.page
        assert isinstance(page, Circumstance)
        atoms = list(self.atoms())
        if not atoms:
            yield "nothing recorded here is read by a rule that this circumstance could lessen"
            return
        working = {spot for spot, literal, *_ in atoms if self.record.support(literal) > 0.0}
        touched = {spot for spot, *_ in atoms}
        expect = self.example.expect
        wanted = (
            touched
            if expect == LESSENED
            else set()
            if expect == NOT_LESSENED
            else _spots(expect, self.case, self.words)
        )
        if wanted is None:
            yield f"expect reads {expect!r}; known: {LESSENED}, {NOT_LESSENED}, {{places: [...]}}"
            return
        if wanted != working:
            yield f"expected {sorted(wanted)} lessened, and it is {sorted(working)}"
        for spot, literal, raw, after in atoms:
            kept = 1.0 - page.by * self.record.support(literal)
            if after > round(raw * kept, 9):  # another circumstance may take more, never give back
                yield f"{spot}: {raw} is read as {after}; at most {raw * kept:.3f} was to be left"
        for written in self.example.thanks_to:
            if not any(self.holds(x) and key_of(written, self.words) in self.speaking(x) for _, x, *_ in atoms):
                yield f'thanks_to: "{written}" did not bring it about'
        for written in self.example.stopped_by:
            if not any(self.refuted(x) and key_of(written, self.words) in self.leaf_keys(x) for _, x, *_ in atoms):
                yield f'stopped_by: "{written}" is not known to be otherwise'
        for written in self.example.waiting_on:
            if not any(self.listens(x, key_of(written, self.words)) for _, x, *_ in atoms):
                yield f'waiting_on: it does not wait for "{written}"'

    def atoms(self) -> Iterator[tuple[tuple[str, str], int, float, float]]:
        """((side, place), the circumstance's literal, before, after) of each recorded atom of one place it reaches."""
        page = self.case.page
        assert isinstance(page, Circumstance)
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
                    spot = ("when", side, place) if page.for_each else ("when", "", "")
                    read = self.instead.get(spot, literal)
                    after = self.record.pair(number << 1)[turned]
                    yield (side, place), read, raw, after if read == literal else 0.0
