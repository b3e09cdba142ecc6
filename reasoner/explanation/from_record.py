"""The single door from the record: every conclusion with what speaks for it, against it, and what was not checked.

In: the record of one run, its bounds, the facts and the rulebook. Out: an `Explanation`.
Not here: choosing the account (account.py), sentences.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from reasoner.explanation.account import Weighed, account_of
from reasoner.explanation.leaves import Leaves, merged
from reasoner.explanation.model import Account, Concluded, Explanation, Finding, Item, Key, Silent, Unchecked
from reasoner.facts.table import Facts
from reasoner.inference.evaluate import Result
from reasoner.inference.record import Applied, Record
from reasoner.inference.slots import mask, slot, split
from reasoner.rulebook.pages import Conclusion, bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import EXERCISES, HANDS_ON, RIDING
from reasoner.rulebook.vocabulary import canonical

#: Where there is too little to say, the few looks that tell most rules something are named, not every one.
MOST_LOOKS = 12
CALLING_LOOKS = 4  # of them at least these that a reason to call the veterinarian listens to
NEAR_LOOKS = 4
ROUTINE = "routine"
OTHER = {"left": "right", "right": "left", "": ""}


def explain(record: Record, bounds: Result, facts: Facts, book: Rulebook) -> Explanation:
    """The explanation of one run. `bounds` is the result of the same row run with `bounds=True`."""
    return _Explainer(record, bounds, facts, book)


def filled(text: str, side: str, place: str = "") -> str:
    """A page's sentence with {side}, {other} and {place} filled in.

    >>> filled("It comes to the {side}.", "left")
    'It comes to the left.'
    """
    return text.replace("{side}", side).replace("{other}", OTHER[side]).replace("{place}", place)


def _whole_places(wanted: Iterable[Unchecked], most: int) -> list[Unchecked]:
    """About the first `most` looks: whole places, each with the sides asked for, so that no cut falls between left and right."""
    found: dict[str, dict[str, Unchecked]] = {}
    for one in wanted:
        found.setdefault(one.where, {}).setdefault(one.side, one)
    kept: list[Unchecked] = []
    for sides in found.values():
        if len(kept) >= most:
            break
        kept += sides.values()
    return kept


class _Concluded(Mapping[Key, Concluded]):
    """The conclusions by key, each laid out when it is first asked for."""

    def __init__(self, keys: tuple[Key, ...], make: Callable[[int, Key], Concluded]) -> None:
        self._number = {key: number for number, key in enumerate(keys)}
        self._make = make
        self._made: dict[Key, Concluded] = {}

    def __getitem__(self, key: Key) -> Concluded:
        if key not in self._made:
            self._made[key] = self._make(self._number[key], key)
        return self._made[key]

    def __iter__(self) -> Iterator[Key]:
        return iter(self._number)

    def __len__(self) -> int:
        return len(self._number)


class _Explainer:
    def __init__(self, record: Record, bounds: Result, facts: Facts, book: Rulebook) -> None:
        self.record = record
        self.bounds = bounds
        self.facts = facts
        self.book = book
        self.leaves = Leaves(record, facts, book)
        meta = record.program.meta
        self.accounts = {(k, s): entries for k, s, entries in meta["accounts"]}
        self.leads = {(k, s): tuple((t[0], t[1]) for t in targets) for k, s, targets in meta["leads"]}
        self.concluded: Mapping[Key, Concluded] = _Concluded(record.conclusions, self._concluded)

    def supported(self) -> tuple[Concluded, ...]:
        found = [self.concluded[key] for key in self._supported]
        return tuple(sorted(found, key=lambda c: (-c.weight, c.key, c.side)))

    @cached_property
    def _supported(self) -> tuple[Key, ...]:
        band = self.book.scales.band
        return tuple(k for k in self.record.conclusions if band(self.record.certainty(*k)) not in ("none", "against"))

    @cached_property
    def _causes(self) -> tuple[Key, ...]:
        return tuple(key for key in self.record.conclusions if self.book.conclusions[key[0]].kind == "cause")

    @cached_property
    def leading(self) -> tuple[Key, ...]:
        weights = {key: self.record.weight(*key) for key in self._causes if key in self._supported}
        most = max(weights.values(), default=0)
        return tuple(sorted(key for key, weight in weights.items() if weight == most))

    @cached_property
    def started(self) -> Account:
        record = self.record
        supported = {  # without laying out every rule of each
            key: Weighed(record.certainty(*key), record.weight(*key), self.leads.get(key, ()))
            for key in self._supported
        }
        return account_of(supported, self._covered, self.notable, self.book.scales.covering_k, ())

    @cached_property
    def _covered(self) -> Mapping[Key, frozenset[int]]:
        return {key: self._covers(key, self.notable) for key in self._supported}

    @cached_property
    def account(self) -> Account:
        examined = any(name.endswith("|soreness") for name in self.facts.values)
        left = frozenset(range(len(self.notable))).difference(*self._covered.values())
        sore = any(f.where in self.book.vocabulary.places for f in self.notable)
        # Where hands were on it, nothing answered and nothing seen is left unexplained, there is nothing to look for first.
        look_at = () if examined and not sore and not left else self._look_at()
        account = replace(self.started, look_at=look_at, too_little=bool(look_at))
        if account.look_at and self._hands_off():
            return replace(account, look_at=())
        if account.look_at and self._stands_still():
            return replace(account, look_at=tuple(u for u in account.look_at if not self._trotted_for(u.where)))
        return account

    @cached_property
    def wide_open(self) -> bool:
        bands = self.book.scales.bands
        fair = sorted(bands, key=bands.__getitem__)[1:]
        reach = ((self.book.scales.band(float(low)), self.book.scales.band(float(up))) for low, up in self._reach())
        return not any(key in self._supported for key in self._causes) and any(
            low != up and up in fair for low, up in reach
        )

    def _reach(self) -> Iterator[Sequence[float]]:
        """How low and how high each cause can still come."""
        return (self.bounds.certainty[n] for n, key in enumerate(self.record.conclusions) if key in set(self._causes))

    @cached_property
    def not_checked(self) -> tuple[Unchecked, ...]:
        open_causes = [c for c in map(self.concluded.__getitem__, self._causes) if c.open]
        return merged(u for c in (*self.supported(), *open_causes) for u in c.not_checked)

    # -- one conclusion ----------------------------------------------------------------------------------------------

    def _concluded(self, number: int, at: Key) -> Concluded:
        key, side = at
        page, scales = self.book.conclusions[key], self.book.scales
        certainty = float(self.record.result.certainty[number, 0])
        lower, upper = (float(x) for x in self.bounds.certainty[number])
        rules = self.record.rules_of(key, side)
        items = [self._item(page, rule) for rule in rules if rule.state == "fired"]
        silent = [self._silent(page, rule) for rule in rules if rule.state != "fired"]
        supporting = sorted((i for i in items if i.strength > 0), key=lambda i: (-i.share, i.rule))
        opposing = sorted((i for i in items if i.strength < 0), key=lambda i: (i.share, i.rule))
        return Concluded(
            key=key, kind=page.kind, side=side, certainty=certainty, lower=lower, upper=upper,
            band=scales.band(certainty), words=filled(page.says, side), plain=filled(page.plain or page.says, side),
            weight=int(self.record.result.weight[number, 0]),
            supporting=tuple(supporting), opposing=tuple(opposing), silent=tuple(silent),
            not_checked=merged(self._not_checked(page, rules)),
            accounts_for=tuple(self._accounted(key, side)), leads_to=self.leads.get((key, side), ()),
            basis=tuple(dict.fromkeys(b for i in items for b in i.basis)),
            can_mislead=page.can_mislead, lesson=page.lesson, file=page.file,
            lower_band=scales.band(lower), upper_band=scales.band(upper),
        )  # fmt: skip

    def _item(self, page: Conclusion, rule: Applied) -> Item:
        evidence = page.evidence[rule.number]
        speaking = list(self.leaves.speaking(rule.premise))
        if rule.gate:
            speaking += list(self.leaves.speaking(rule.gate))
        at_work, _ = self.leaves.circumstances(rule.premise)
        return Item(
            rule=rule.id, name=evidence.rule, strength=rule.strength, degree=rule.degree,
            contribution=rule.contribution, share=rule.share, because=evidence.because, basis=bases(evidence.basis),
            sure=evidence.sure, file=page.file, line=evidence.line, findings=self.leaves.findings(speaking),
            via=self.leaves.via(speaking), lessened_by=tuple(sorted(at_work)),
            gated=rule.degree < rule.support,
        )  # fmt: skip

    def _silent(self, page: Conclusion, rule: Applied) -> Silent:
        evidence = page.evidence[rule.number]
        known = [column << 1 for column in self.record.leaves(rule.premise)]
        return Silent(
            rule=rule.id, name=evidence.rule, strength=rule.strength, state=rule.state, support=rule.support,
            findings=self.leaves.findings(known),
            waiting_on=merged(self.leaves.unchecked(rule.premise, (rule.id,))) if rule.state == "waits" else (),
        )  # fmt: skip

    def _not_checked(self, page: Conclusion, rules: tuple[Applied, ...]) -> Iterator[Unchecked]:
        for rule in rules:
            if rule.state == "waits":
                yield from self.leaves.unchecked(rule.premise, (rule.id,))
            if rule.state == "fired":
                yield from self.leaves.unchecked(rule.gate, (rule.id,))
                _, unknown = self.leaves.circumstances(rule.premise)
                for literal in sorted(unknown):
                    yield from self.leaves.unchecked(literal, (rule.id,))

    # -- what it explains --------------------------------------------------------------------------------------------

    def _accounted(self, key: str, side: str) -> Iterator[Finding]:
        words = self.record.program.meta["words"]
        for where, at, depth, readings, paired in self.accounts.get((key, side), ()):
            if paired and self._quiet(where, OTHER[at]):
                continue  # what is said of both sides does not explain the one that answers alone
            if readings:
                name = slot(where, at, "value")
                coded = words.get(where, ())
                wanted = sum(1 << coded.index(r) for r in readings if r in coded)
                if name in self.facts.values and int(self.facts.values[name]) & wanted:
                    yield self.leaves.finding(name, 1.0)
                continue
            guarded, sore = slot(where, at, "guarded"), slot(where, at, "soreness")
            told = sore if self.facts.values.get(sore, 0.0) > 0.0 else guarded
            if self.facts.values.get(told, 0.0) > 0.0 and self._fits(where, at, depth):
                yield self.leaves.finding(told, 1.0)

    def _quiet(self, place: str, side: str) -> bool:
        """Whether a place was examined and answered too little to speak."""
        soreness = self.facts.values.get(slot(place, side, "soreness"))
        guarded = self.facts.values.get(slot(place, side, "guarded"), 0.0) > 0.0
        return soreness is not None and not guarded and self._raw_degree(soreness) <= self.record.program.fires_above

    def _raw_degree(self, soreness: float) -> float:
        """How far a soreness asks for an explanation, as it was recorded: what is discounted has still answered."""
        ramp = self.book.scales.ramps[self.book.scales.notable_ramp]
        return (soreness - ramp.none_at) / (ramp.full_at - ramp.none_at)

    def _fits(self, place: str, side: str, depth: str) -> bool:
        """Whether a place's recorded depth (if any) is the depth a page accounts for (if it says one)."""
        recorded = self.facts.values.get(slot(place, side, "depth"))
        words = self.record.program.meta["words"]["*depth"]
        return not depth or recorded is None or bool(int(recorded) & (1 << words.index(depth)))

    def _covers(self, key: Key, notable: tuple[Finding, ...]) -> frozenset[int]:
        mine = {(f.where, f.side) for f in self._accounted(*key)}
        return frozenset(n for n, f in enumerate(notable) if (f.where, f.side) in mine)

    @cached_property
    def notable(self) -> tuple[Finding, ...]:
        meta, scales = self.record.program.meta, self.book.scales
        found: dict[tuple[str, str], Finding] = {}
        for column, place, side in meta["notable"]:
            degree = self.record.support(column << 1)
            if degree >= scales.notable_degree:
                found[place, side] = self.leaves.finding(slot(place, side, "soreness"), degree)
        for column, place, side in meta["guarded"]:
            if self.record.support(column << 1) > 0.0:
                found.setdefault((place, side), self.leaves.finding(slot(place, side, "guarded"), 1.0))
        for column, key, side, _ in meta["spoken"]:
            if self.record.support(column << 1) > 0.0:
                found[key, side] = self.leaves.finding(slot(key, side, "value"), 1.0)
        return tuple(sorted(found.values(), key=lambda f: (f.line, f.where, f.side)))

    @cached_property
    def mild(self) -> tuple[Finding, ...]:
        above = self.record.program.fires_above
        known = {(f.where, f.side) for f in self.notable}
        found = []
        for _, place, side in self.record.program.meta["notable"]:
            name = slot(place, side, "soreness")
            degree = self._raw_degree(self.facts.values.get(name, 0.0))
            if degree > above and (place, side) not in known:
                found.append(self.leaves.finding(name, min(degree, 1.0)))
        return tuple(sorted(found, key=lambda f: (f.line, f.where, f.side)))

    def _hands_off(self) -> bool:
        """Whether a reason to call stands at which nobody trots it up or presses it to find out more."""
        stops = [stop for stop in self.book.scales.stops if stop.key == HANDS_ON]
        hands = {canonical(word) for stop in stops for word in (stop.key, *stop.also)}
        raised = [self.book.concerns[page] for _, page, *_ in self.record.raised()]
        return any(c.call != ROUTINE or hands & set(map(canonical, c.stops)) for c in raised)

    def _stands_still(self) -> bool:
        """Whether something was seen after which nobody trots or rides it to find out more, or a reason to call stops that."""
        checking, words = self.book.scales.checking, self.record.program.meta["words"]
        for key, readings in checking.no_trot_after.items() if checking else ():
            coded = mask(words.get(key, ()), (r for r in readings if r in words.get(key, ())))
            if any(int(self.facts.values.get(slot(key, side, "value"), 0.0)) & coded for side in OTHER):
                return True
        stopped = {canonical(stop) for _, page, *_ in self.record.raised() for stop in self.book.concerns[page].stops}
        return bool(stopped & {RIDING, EXERCISES})

    def _trotted_for(self, where: str) -> bool:
        """Whether a look asks the horse to be trotted or ridden."""
        checking, seen = self.book.scales.checking, self.book.vocabulary.observations.get(where)
        if checking is None or seen is None:
            return False
        return bool({RIDING, EXERCISES} & set(checking.asks.get(seen.section.partition("/")[0], ())))

    def _look_at(self) -> tuple[Unchecked, ...]:
        """What to look at first where there is too little to say; empty otherwise.

        First what would tell about the findings themselves (the other end of a sore muscle), then what most open causes
        listen to.
        """
        if any(key in self._supported for key in self._causes):
            return ()
        causes = [self.concluded[key] for key in self._causes]
        fair = sorted(self.book.scales.bands, key=self.book.scales.bands.__getitem__)[1:]
        open_causes = [c for c in causes if c.open and c.upper_band in fair]
        if not open_causes:
            return ()
        found = {(f.where, f.side) for f in self.notable}
        near = [c for c in self.concluded.values() if c.band == "none" and c.upper_band in fair
                and found & {(f.where, f.side) for f in c.accounts_for}]  # fmt: skip
        waiting = [(s, u) for c in near for s in c.silent if s.strength > 0 for u in s.waiting_on]
        waiting.sort(key=lambda pair: (-pair[0].strength, pair[0].rule, pair[1].walk, pair[1].where))
        first = _whole_places((u for _, u in waiting if (u.where, u.side) not in found), NEAR_LOOKS)
        telling = sorted(merged(u for c in open_causes for u in c.not_checked), key=lambda u: (-len(u.tells), u.walk))
        heard = self._heard_by_concerns()
        calling = _whole_places((u for u in telling if u.where in heard), CALLING_LOOKS)
        return merged(_whole_places([*first, *calling, *telling], MOST_LOOKS))

    def _heard_by_concerns(self) -> frozenset[str]:
        """What can be seen or asked that reasons to call listen to: it comes before more pressing of places."""
        signs = {sign for _, _, place, some in self.record.program.meta["concerns"] if not place for sign in some}
        names = (name for sign in signs for c in self.record.leaves(sign) for name in self.leaves.slots(c))
        return frozenset(key for name in names if (key := split(name)[0]) in self.book.vocabulary.observations)

    @cached_property
    def circumstances(self) -> tuple[Finding, ...]:
        return self._recorded(self.book.circumstances)

    @cached_property
    def doubtful_quiet(self) -> tuple[Finding, ...]:
        return self._recorded(
            k for k, page in self.book.circumstances.items() if page.lessens == "quiet" and page.by == 1
        )

    def _recorded(self, circumstances: Iterable[str]) -> tuple[Finding, ...]:
        """What was recorded for those of these circumstances that are at work."""
        named = self.record.program.meta["circumstances"]
        found = [named[key] for key in circumstances if key in named]
        literals = sorted({x for literals in found for x in literals if self.record.support(x) > 0.0})
        return self.leaves.findings(leaf for literal in literals for leaf in self.leaves.speaking(literal))
