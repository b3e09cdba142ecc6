"""Why was a conclusion not drawn? Each rule that could have spoken for it, and what kept it silent.

In: an `Answer`, a conclusion and a side. Out: `WhyNot`.
Not here: sentences, what a reading would do elsewhere (suppose).

INVARIANT: what is listed for a rule would make it speak if it held, and nothing less of it would. Premises only ever gain by
what holds more, so that it is enough to see that no single part can be left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from reasoner.explanation.leaves import Leaves
from reasoner.explanation.model import Finding, Item, Key, Unchecked
from reasoner.frozen import frozen
from reasoner.inference.adding_up import Voice, added_up
from reasoner.inference.record import Applied, Record
from reasoner.rulebook.pages import bases

if TYPE_CHECKING:
    from reasoner.consult import Answer

NODES = ("all", "any", "kth")
NOT_EXAMINED, DISCOUNTED, TOO_WEAK, OTHERWISE, NOT_CONCLUDED = (
    "not examined", "discounted", "too weak", "otherwise", "not concluded",
)  # fmt: skip


@frozen
class Wanted:
    """What a leaf asks for. `kind`: "ramp" (a soreness above `at`), "more" (more than the other side, by more than `at`),
    "limit" (`operator` 0 at least, 1 above, 2 at most, 3 below; `at`), "words" (one of `words`), "conclusion" (key, side; a
    certainty above `at`). `turned`: that it is not so."""

    kind: str
    at: float = 0.0
    operator: int = 0
    words: tuple[str, ...] = ()
    quality: str = ""
    turned: bool = False


@frozen
class Missing:
    """One thing that would have to hold. `state` says how it stands: "not examined", "discounted", "too weak", "otherwise"
    (recorded, and quiet or something else) or "not concluded"; `support` is how far it holds, of more than `needs`; `short` how
    many points or units a recorded number falls short, None where nothing is counted."""

    state: str
    where: str
    name: str
    side: str
    wanted: Wanted
    support: float
    needs: float
    found: tuple[Finding, ...] = ()
    how: tuple[Unchecked, ...] = ()
    lessened_by: tuple[str, ...] = ()
    short: float | None = None


@frozen
class Silenced:
    """A rule that could have spoken for it. `missing` is the least that would make it speak; `then` the certainty the
    conclusion would have, in [-1, 1], and `band` its word."""

    rule: Applied
    name: str
    because: str
    basis: tuple[str, ...]
    file: str
    line: int
    missing: tuple[Missing, ...]
    then: float
    band: str


@frozen
class WhyNot:
    """A conclusion and its silent rules, the one that would bring it up most first; `against` is the strongest evidence
    against it, if any; `speaking` how many rules speak for it already."""

    key: Key
    silenced: tuple[Silenced, ...]
    speaking: int
    against: Item | None


def why_not(answer: Answer, key: Key) -> WhyNot:
    """Why this conclusion was not drawn, or not more firmly."""
    looked = _Looked(answer)
    rules = answer.record.rules_of(*key)
    page = answer.ready.book.conclusions[key[0]]
    silent = [rule for rule in rules if rule.strength > 0.0 and rule.degree == 0.0]
    told = []
    for rule in silent:
        lifted = looked.least(rule)
        degree = min(looked.support(rule.premise, lifted), looked.support(rule.gate, lifted) if rule.gate else 1.0)
        voices = [Voice(r.strength, r.group, degree if r is rule else r.degree) for r in rules]
        then = added_up(voices).certainty
        evidence = page.evidence[rule.number]
        told.append(Silenced(
            rule, evidence.rule, evidence.because, bases(evidence.basis), page.file, evidence.line,
            tuple(map(looked.missing, sorted(lifted))), then, answer.ready.book.scales.band(then),
        ))  # fmt: skip
    told.sort(key=lambda one: (-one.then, len(one.missing), one.rule.number))
    opposing = answer.explanation.concluded[key].opposing
    against = max(opposing, key=lambda item: (-item.share, item.rule), default=None)
    return WhyNot(key, tuple(told), sum(r.strength > 0.0 and r.degree > 0.0 for r in rules), against)


class _Looked:
    """One record, with some literals taken as if they held."""

    def __init__(self, answer: Answer) -> None:
        self.record: Record = answer.record
        self.above = answer.record.program.fires_above
        self.leaves = Leaves(answer.record, answer.facts, answer.ready.book)
        self.book = answer.ready.book
        self.values = answer.facts.values

    def support(self, literal: int, lifted: frozenset[int] = frozenset()) -> float:
        """The support of a literal if the lifted leaves held wholly."""
        if literal in lifted:
            return 1.0
        kind, k, parts = self._node(literal)
        if not kind:
            return self.record.support(literal)
        degrees = sorted((self.support(part, lifted) for part in parts), reverse=True)
        return degrees[k - 1]

    def _node(self, literal: int) -> tuple[str, int, list[int]]:
        """(kind, k, literals) of a node, its support being the k-th largest; an empty kind for a leaf."""
        entry, turned = self.record.entry(literal >> 1), literal & 1
        if entry[0] not in NODES:
            return "", 0, []
        size = len(entry[2])
        k = {"all": size, "any": 1}.get(entry[0], entry[1])
        return entry[0], size - k + 1 if turned else k, [part ^ turned for part in entry[2]]

    def least(self, rule: Applied) -> frozenset[int]:
        """The least that would make a rule speak: its premise above the threshold, and what it depends on not at nothing."""
        whole = self._enough(rule.premise, self.above)
        if rule.gate:
            whole |= self._enough(rule.gate, 0.0)

        def speaks(lifted: frozenset[int]) -> bool:
            gate = self.support(rule.gate, lifted) > 0.0 if rule.gate else True
            return gate and self.support(rule.premise, lifted) > self.above

        for literal in sorted(whole, reverse=True):
            if speaks(whole - {literal}):
                whole -= {literal}
        return whole

    def _enough(self, literal: int, above: float) -> frozenset[int]:
        """A small set of leaves that brings a literal above a value: of an any-of the cheapest part."""
        if self.support(literal) > above:
            return frozenset()
        kind, k, parts = self._node(literal)
        if not kind:
            return frozenset((literal,))
        ways = sorted((self._enough(part, above) for part in parts), key=lambda way: (self._price(way), sorted(way)))
        return frozenset().union(*ways[:k])

    def _price(self, way: frozenset[int]) -> tuple[int, int]:
        """How many leaves, and how many of them stand written otherwise: what nobody looked at comes more easily."""
        return len(way), sum(self.record.pair(literal) != (0.0, 0.0) for literal in way)

    # -- what a leaf is ------------------------------------------------------------------------------------------------

    def missing(self, literal: int) -> Missing:
        """A leaf that would have to hold, and how it stands."""
        entry, raw, by = self.record.entry(literal >> 1), literal, ()
        if entry[0] == "lessened":
            raw = (entry[1] << 1) | (literal & 1)
            by = tuple(name for name, _, _, x in entry[2] if self.record.support(x) > 0.0)
            entry = self.record.entry(entry[1])
        support = self.record.support(literal)
        wanted = self._wanted(entry, bool(literal & 1))
        if entry[0] in ("conclusion", "certainty"):
            says = self.book.conclusions[entry[1]].says
            return Missing(NOT_CONCLUDED, entry[1], says, entry[2], wanted, support, self.above)
        slots = self.leaves.slots(raw >> 1)
        known = [name for name in slots if name in self.values]
        key, side = (slots[0].split("|")[:2]) if slots else ("", "")
        state = self._state(raw, support, bool(by), len(known) == len(slots))
        return Missing(
            state, key, self.leaves.name(key) if key else "", side, wanted, support, self.above,
            found=tuple(self.leaves.finding(name, support) for name in known[:1]),
            short=self._short(wanted, known),
            how=tuple(self.leaves.unchecked(raw)) if state == NOT_EXAMINED else (), lessened_by=by if state == DISCOUNTED else (),
        )  # fmt: skip

    def _short(self, wanted: Wanted, known: list[str]) -> float | None:
        """How much a number lacks: of a difference the other side's is taken off first."""
        rising = wanted.kind in ("ramp", "more") or (wanted.kind == "limit" and wanted.operator in (0, 1))
        if not known or not rising or wanted.turned:
            return None
        value = self.values[known[0]] - (self.values[known[1]] if wanted.kind == "more" else 0.0)
        return round(wanted.at - value, 9) if value <= wanted.at else None

    def _state(self, raw: int, support: float, lessened: bool, known: bool) -> str:
        if self.record.pair(raw) == (0.0, 0.0) or not known:
            return NOT_EXAMINED
        if lessened and self.record.support(raw) > self.above >= support:
            return DISCOUNTED
        return TOO_WEAK if self.record.support(raw) > 0.0 else OTHERWISE

    def _wanted(self, entry: list[Any], turned: bool) -> Wanted:
        kind = entry[0]
        if kind == "ramp":
            # Where the ramp passes the threshold, read off its straight line; turned round, where its opposition does.
            share = 1.0 - self.above if turned else self.above
            at = entry[3] + share * (entry[4] - entry[3])
            return Wanted("more" if entry[2] else "ramp", round(at, 9), turned=turned)
        if kind == "limit":
            return Wanted(
                "limit", float(entry[4]), int(entry[3]), quality=_quality(entry[1] or entry[2]), turned=turned
            )
        if kind == "member":
            return Wanted(
                "words", words=tuple(self._words(entry[1], entry[2])), quality=_quality(entry[1]), turned=turned
            )
        if kind == "certainty":
            return Wanted("conclusion", float(entry[3]), turned=turned)
        return Wanted("conclusion", self.above, turned=turned)

    def _words(self, name: str, wanted: int) -> Iterator[str]:
        key, _, quality = name.split("|")
        table = self.record.program.meta["words"]
        family = quality.partition("_")[0]
        words = table[key] if quality == "value" and key in table else table.get(f"*{family}", ())
        return (word for number, word in enumerate(words) if wanted >> number & 1)


def _quality(name: str) -> str:
    return name.split("|")[2]
