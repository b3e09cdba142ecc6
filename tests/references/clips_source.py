"""From a rulebase to a CLIPS program: the text of its rules.

In: a `Rulebook` (its parsed conditions). Out: CLIPS source, and what the numbers it answers with stand for.
Not here: running it (clips_rules), and anything of the engine but the names of slots.

How the program reasons. Findings are facts `(reading (of <slot>) (value <value>))`, one for each word where words were
recorded; what was not recorded has no fact. A condition becomes the alternatives under which it holds, each a rule of
its
own that matches findings directly: the degree of an alternative is the least of its readings, and the greatest
alternative
counts, which is the same as taking the k-th largest. Circumstances run first and lower a factor. Then, layer by layer,
rules give their
contribution to a voice (a group of one sign), and a rule for each conclusion joins the voices by certainty factors.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from reasoner.inference.slots import FELT, RESPONSES, SORENESS, slot
from reasoner.rulebook.conditions import All, AtLeast, Condition, Leaf, Not, leaves
from reasoner.rulebook.pages import Circumstance, Concern
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulebook.vocabulary import canonical

OTHER = {"left": "right", "right": "left", "": ""}
MOST_ALTERNATIVES = 16  # a condition with more is cut into named parts
FUNCTIONS = """
(deftemplate reading (slot of) (slot value))
(defglobal ?*said* = (create$))
(deffunction to-nine (?x)
   (bind ?y (* ?x 1e9))
   (bind ?n (round ?y))
   (if (and (= (- ?n ?y) 0.5) (= (mod ?n 2) 1)) then (bind ?n (- ?n 1)))
   (/ ?n 1e9))
(deffunction ramp (?x ?none-at ?over)
   (bind ?y (/ (- ?x ?none-at) ?over))
   (if (>= ?y 1.0) then 1.0 else (if (<= ?y 0.0) then 0.0 else (to-nine ?y))))
(deffunction joined (?a ?b)
   (if (>= (* ?a ?b) 0.0)
    then (if (< (+ ?a ?b) 0.0) then (+ ?a ?b (* ?a ?b)) else (- (+ ?a ?b) (* ?a ?b)))
    else (/ (+ ?a ?b) (- 1.0 (min (abs ?a) (abs ?b))))))
(deffunction take ($?pairs)
   (bind ?n (length$ ?pairs))
   (loop-for-count (?i 1 (div ?n 2))
      (assert (reading (of (nth$ (- (* 2 ?i) 1) ?pairs)) (value (nth$ (* 2 ?i) ?pairs))))))
(deffunction answers () ?*said*)
"""


@dataclass(frozen=True)
class Literal:
    """One ground question: the patterns that match where it holds above a threshold, and its degree there.

    In both, `@` stands for a number of its own in each rule. `degree` is empty where it can only be 1. `uncertain`: the
    degree may fall to the threshold or below once circumstances are counted, so that it must be looked at again.
    """

    patterns: tuple[str, ...]
    degree: str = ""
    uncertain: bool = False


Alternative = tuple[Literal, ...]


@dataclass(frozen=True)
class Where:
    """What "this side" and "this place" are, above which degree a reading counts, and who circumstances reach."""

    side: str = ""
    place: str = ""
    above: float = 0.2
    lessened: bool = False


class Source:
    """The program of one rulebase. `meaning` tells what each number among the answers stands for."""

    def __init__(self, book: Rulebook, *, report_rules: bool = False) -> None:
        self.book, self.report_rules = book, report_rules
        self.meaning: list[tuple[str, ...]] = []
        self.slots: set[str] = set()
        self._rules: list[str] = []
        self._globals: list[str] = []
        self._factors: dict[tuple[str, str, str], str] = {}
        self._parts = itertools.count()
        self._read = {leaf.subject for condition in book.parsed.values() for leaf in leaves(condition)
                      if leaf.of == "conclusion"}  # fmt: skip
        self._depths: dict[str, int] = {}
        for key in book.conclusions:
            self._conclusion(key)
        for concern in book.concerns.values():
            self._concern(concern)
        for key in book.actions:
            self._action(key)
        self.constructs = _constructs(FUNCTIONS) + self._globals + self._rules

    @property
    def text(self) -> str:
        """The whole program."""
        return "\n".join(self.constructs)

    # -- pages -------------------------------------------------------------------------------------------------------

    def _conclusion(self, key: str) -> None:
        page = self.book.conclusions[key]
        level = 7000 - 10 * self._depth(key)
        for side in _sides(page.sides):
            name = f"{key}.{side}"
            voices: dict[tuple[bool, str], str] = {}
            for number, evidence in enumerate(page.evidence):
                strength = self.book.scales.strengths[canonical(evidence.points or evidence.against or "")]
                rule = rule_id(key, evidence.rule)
                voice = (evidence.points is None, evidence.group or rule)
                if voice not in voices:
                    voices[voice] = self._global("0.0")
                where = Where(side, lessened=True, above=self.book.scales.fires_above)
                premise = self._alternatives(self.book.parsed[key, f"evidence {number} when"], where, level + 2)
                gate: list[Alternative] = [()]
                if evidence.only_if is not None:
                    condition = self.book.parsed[key, f"evidence {number} only_if"]
                    gate = self._alternatives(condition, Where(side, above=0.0), level + 2)
                said = self._said("rule", rule, side) if self.report_rules else ""
                for a, b in itertools.product(premise, gate):
                    self._contribution(f"{rule}.{side}", level + 1, name, a, b, strength, voices[voice], said)
            joined = ""
            for (against, _), voice_global in voices.items():
                part = f"(- 0.0 {voice_global})" if against else voice_global
                joined = f"(joined {joined} {part})" if joined else part
            tell = f"(assert (concluded {name} ?c))" if key in self._read else ""
            self._rule(f"conclude.{name}", level, [f"(evidence {name})"],
                       f"(bind ?c {joined}) (bind ?c (if (< ?c 0.0) then (- 0.0 (to-nine (- 0.0 ?c))) else (to-nine ?c)))"
                       f" {self._said('conclusion', key, side, value='?c')} {tell}")  # fmt: skip

    def _contribution(
        self, name: str, level: int, conclusion: str, premise: Alternative, gate: Alternative, strength: float,
        voice: str, said: str,
    ) -> None:  # fmt: skip
        patterns, degrees, uncertain = _written(premise)
        more, caps, _ = _written(gate, first=len(premise))
        voiced = f"(* {strength!r} ?d)" if degrees or caps else repr(strength)
        then = f"(bind {voice} (max {voice} {voiced})) {said} (assert (evidence {conclusion}))"
        if degrees or caps:
            cap = f"(bind ?d {_least(['?d', *caps])})" if caps else ""
            then = f"(if (> ?d {self.book.scales.fires_above!r}) then {cap} {then})" if uncertain else f"{cap} {then}"
            then = f"(bind ?d {_least(degrees) or '1.0'}) {then}"
        self._rule(name, level, patterns + more, then)

    def _concern(self, page: Concern) -> None:
        for place, side in self._spots(page):
            raised = f"(assert (raised {page.id}.{side}))" if not page.for_each else ""
            said = self._said("concern", page.id, side, place)
            for condition in (self.book.parsed[page.id, f"sign {n}"] for n in range(len(page.signs))):
                for alternative in self._alternatives(condition, Where(side, place), 8002):
                    self._rule(f"{page.id}.{place}.{side}", 8000, _written(alternative)[0], f"{said} {raised}")

    def _action(self, key: str) -> None:
        page = self.book.actions[key]
        for side in _sides(page.sides):
            name, where = f"{key}.{side}", Where(side, above=self.book.scales.fires_above)

            def rules(what: str, count: int, then: Callable[[int], str], first: str, name: str = name,
                      where: Where = where) -> None:  # fmt: skip
                for n in range(count):
                    for alternative in self._alternatives(self.book.parsed[key, f"{what} {n}"], where, 112):
                        patterns, _, uncertain = _written(alternative)
                        assert not uncertain
                        self._rule(f"{what}.{name}", 100, [*([first] if first else []), *patterns], then(n))

            wanted = f"(wanted {name})"
            rules("wanted", len(page.wanted_by), lambda n: f"(assert {wanted})", "")  # noqa: B023
            rules("need", len(page.only_after), lambda n: f"(assert (met {name} {n}))", wanted)  # noqa: B023
            forbidden = self._said("forbidden", key, side)
            rules("forbid", len(page.forbidden_by), lambda n: forbidden, wanted)  # noqa: B023
            self._rule(f"wanted.{name}", 90, [wanted], self._said("wanted", key, side))
            met = [f"(met {name} {n})" for n in range(len(page.only_after))]
            self._rule(f"ready.{name}", 90, [wanted, *met], self._said("ready", key, side))

    def _spots(self, page: Concern) -> Iterable[tuple[str, str]]:
        if not page.for_each:
            return [("", side) for side in _sides(page.sides)]
        places = self.book.vocabulary.places
        group = {"spinous_space": "spinous_spaces"}.get(page.for_each, page.for_each)
        keys = places if group == "place" else self.book.vocabulary.group(group)
        return [(key, side) for key in keys for side in _sides(places[key].sides)]

    def _depth(self, key: str) -> int:
        if key not in self._depths:
            rules = range(len(self.book.conclusions[key].evidence))
            below = {leaf.subject for n in rules for leaf in leaves(self.book.parsed[key, f"evidence {n} when"])
                     if leaf.of == "conclusion"}  # fmt: skip
            self._depths[key] = 1 + max((self._depth(k) for k in below), default=-1)
        return self._depths[key]

    # -- conditions to alternatives ----------------------------------------------------------------------------------

    def _alternatives(self, condition: Condition, where: Where, level: int, turned: bool = False) -> list[Alternative]:
        """The ways a condition (or, turned, its opposite) can hold, each a set of literals that must all hold."""
        if isinstance(condition, Not):
            return self._alternatives(condition.part, where, level, not turned)
        if isinstance(condition, All | AtLeast):
            k = len(condition.parts) if isinstance(condition, All) else condition.k
            parts = [self._alternatives(part, where, level, turned) for part in condition.parts]
        elif condition.of == "places":
            k, members = condition.how_many, self.book.vocabulary.group(condition.subject)
            parts = [self._leaf(condition, replace(where, place=m), level, turned) for m in members]
        else:
            subject = where.place if condition.subject == "this_place" else condition.subject
            return self._leaf(condition, replace(where, place=subject), level, turned)
        return self._at_least(len(parts) - k + 1 if turned else k, parts, where, level)

    def _at_least(self, k: int, parts: list[list[Alternative]], where: Where, level: int) -> list[Alternative]:
        count = sum(math.prod(len(p) for p in chosen) for chosen in itertools.combinations(parts, k))
        if count <= MOST_ALTERNATIVES or k == 1:
            whole = [
                _joined(choice) for chosen in itertools.combinations(parts, k) for choice in itertools.product(*chosen)
            ]
            return list(dict.fromkeys(whole))
        if k == len(parts):
            return [
                _joined([self._named([(0, part)], 1, where, level)[0] if len(part) > 1 else part[0] for part in parts])
            ]
        return self._named(list(enumerate(parts)), k, where, level)

    def _named(
        self, parts: Sequence[tuple[int, list[Alternative]]], k: int, where: Where, level: int
    ) -> list[Alternative]:
        """A condition cut out under a number: its parts are told one by one, and k different ones of them make it hold."""
        number = next(self._parts)
        best = [self._global("0.0") for _ in parts] if k > 1 else []
        for n, alternatives in parts:
            for alternative in alternatives:
                patterns, degrees, _ = _written(alternative)
                keep = f"(bind {best[n]} (max {best[n]} ?d))" if best else ""
                self._rule(f"part.{number}.{n}", level, patterns,
                           f"(bind ?d {_least(degrees) or '1.0'}) {keep} (assert (part {number} {n} ?d))")  # fmt: skip
        test = f"?d@&:(> ?d@ {where.above!r})"
        if k == 1:
            return [(Literal((f"(part {number} ? {test})",), "?d@"),)]
        # Counted anew after each part that is told: the last count has seen them all, and the greatest one counts.
        kth = f"(bind ?d (nth$ {k} (sort < {' '.join(best)})))"
        self._rule(f"whole.{number}", level, [f"(part {number} ? ?)"],
                   f"{kth} (if (> ?d {where.above!r}) then (assert (whole {number} ?d)))")  # fmt: skip
        return [(Literal((f"(whole {number} {test})",), "?d@"),)]

    def _leaf(self, leaf: Leaf, where: Where, level: int, turned: bool) -> list[Alternative]:
        subject = where.place if leaf.of in ("place", "places") else leaf.subject
        if leaf.of in ("place", "places") and self.book.vocabulary.places[subject].sides == "midline":
            return self._one(leaf, subject, "", where, level, turned)
        if leaf.side in ("both", "either"):
            pair = [self._one(leaf, subject, side, where, level, turned) for side in ("left", "right")]
            return self._at_least(2 if (leaf.side == "both") != turned else 1, pair, where, level)
        side = leaf.side or ("this" if leaf.subject == "this_place" else "")
        side = {"this": where.side, "other": OTHER[where.side]}.get(side, side)
        return self._one(leaf, subject, side, where, level, turned)

    def _one(self, leaf: Leaf, subject: str, side: str, where: Where, level: int, turned: bool) -> list[Alternative]:
        if leaf.of == "conclusion" and subject in self.book.concerns:
            if not turned:
                return [(Literal((f"(raised {subject}.{side})",)),)]
            signs = [self.book.parsed[subject, f"sign {n}"] for n in range(len(self.book.concerns[subject].signs))]
            return self._alternatives(AtLeast(1, tuple(signs)), replace(where, side=side), level, turned)
        if leaf.of == "conclusion":
            return [(self._concluded(leaf, f"{subject}.{side}", where, turned),)]
        literal = self._reading(leaf, subject, side, where, turned)
        factors = self._lessening(leaf, subject, side, turned) if where.lessened else []
        if factors:
            product = factors[0] if len(factors) == 1 else f"(* {' '.join(factors)})"
            degree = f"(to-nine (* {literal.degree} {product}))" if literal.degree else f"(to-nine {product})"
            literal = replace(literal, degree=degree, uncertain=True)
        return [(literal,)]

    def _concluded(self, leaf: Leaf, name: str, where: Where, turned: bool) -> Literal:
        if leaf.test == "held":
            test = f"(< ?d@ {-where.above!r})" if turned else f"(> ?d@ {where.above!r})"
            return Literal((f"(concluded {name} ?d@&:{test})",), "(- 0.0 ?d@)" if turned else "?d@")
        lowest = leaf.value == min(self.book.scales.bands.values())  # entered above its value
        at = leaf.value or 0.0
        test = f"({'<' if turned else '>'}{'' if lowest else '='} ?c@ {-at if turned else at!r})"
        return Literal((f"(concluded {name} ?c@&:{test})",))

    def _reading(self, leaf: Leaf, subject: str, side: str, where: Where, turned: bool) -> Literal:
        if leaf.test == "ramp":
            return self._ramp(leaf, subject, side, where.above, turned)
        if leaf.test in ("is", "response", "felt", "depth", "touch"):
            quality = {"is": "value", "response": RESPONSES[leaf.reading], "felt": FELT[leaf.reading]}.get(
                leaf.test, leaf.test
            )
            name = self._slot(subject, side, quality)
            words = sorted({{"this": where.side, "other": OTHER[where.side]}.get(w, w) for w in leaf.words})
            held = _fact(name, "|".join(words))
            if not turned:
                return Literal((held,))
            return Literal((_fact(name, "&".join("~" + w for w in words)), f"(not {held})"))
        limit = 1.0 if leaf.value is None else leaf.value
        if leaf.of == "date":
            quality = "days_most" if (leaf.test == "within") != turned else "days_least"
            test = "<=" if (leaf.test == "within") != turned else ">"
        else:
            touched = leaf.of in ("place", "places")
            quality = (
                leaf.test if leaf.test in ("guarded", "unsettled") else SORENESS[leaf.reading] if touched else "value"
            )
            test = {"above": ">", "at_most": "<=", "below": "<"}.get(leaf.test, ">=")
            test = {">": "<=", "<=": ">", "<": ">=", ">=": "<"}[test] if turned else test
        return Literal((_fact(self._slot(subject, side, quality), f"?v@&:({test} ?v@ {limit!r})"),))

    def _ramp(self, leaf: Leaf, subject: str, side: str, above: float, turned: bool) -> Literal:
        ramp = self.book.scales.ramps[leaf.words[0]]
        quality, over = SORENESS[leaf.reading], ramp.full_at - ramp.none_at
        mine, x = self._slot(subject, side, quality), "?v@"
        patterns: tuple[str, ...] = ()
        if ramp.of == "difference":
            patterns = (_fact(self._slot(subject, OTHER[side], quality), "?o@"),)
            x = "(- ?v@ ?o@)"

        def degree(value: float) -> float:
            up = round(min(max((value - ramp.none_at) / over, 0.0), 1.0) * 1e9) / 1e9
            return round((1 - up) * 1e9) / 1e9 if turned else up

        edge = _edge(lambda value: degree(value) > above, ramp.none_at, ramp.full_at, rising=not turned)
        test = f"?v@&:({'<=' if turned else '>='} {x} {edge!r})"
        up = f"(ramp {x} {ramp.none_at!r} {over!r})"
        return Literal((*patterns, _fact(mine, test)), f"(to-nine (- 1.0 {up}))" if turned else up)

    def _slot(self, subject: str, side: str, quality: str) -> str:
        name = slot(subject, side, quality)
        self.slots.add(name)
        return name.replace("|", ".")

    # -- circumstances -----------------------------------------------------------------------------------------------

    def _lessening(self, leaf: Leaf, subject: str, side: str, turned: bool) -> list[str]:
        """The factors that lower this reading, each the name of a global."""
        if leaf.of not in ("place", "places") or leaf.test not in ("ramp", "at_least", "response", "guarded"):
            return []
        differs = leaf.test == "ramp" and self.book.scales.ramps[leaf.words[0]].of == "difference"
        region = canonical(self.book.vocabulary.places[subject].region)
        out = []
        for page in self.book.circumstances.values():
            of = {canonical(word) for word in ([page.of] if isinstance(page.of, str) else page.of)}
            if (page.lessens == "quiet") == turned and of & {"every_place", subject, region}:
                sides = sorted({side, OTHER[side]}) if differs else [side]
                spots = [(subject, s) for s in sides] if page.for_each else [("", "")]
                out.append(_least([self._factor(page, *spot) for spot in spots]))
        return out

    def _factor(self, page: Circumstance, place: str, side: str) -> str:
        spot = (page.id, place, side)
        if spot not in self._factors:
            name = self._factors[spot] = self._global("1.0")
            for alternative in self._alternatives(self.book.parsed[page.id, "when"], Where(side, place, 0.0), 9002):
                patterns, degrees, _ = _written(alternative)
                left = f"(- 1.0 (* {page.by!r} {_least(degrees)}))" if degrees else repr(1.0 - page.by)
                self._rule(f"{page.id}.{place}.{side}", 9000, patterns, f"(bind {name} (min {name} {left}))")
        return self._factors[spot]

    # -- writing -----------------------------------------------------------------------------------------------------

    def _global(self, value: str) -> str:
        name = f"?*g{len(self._globals)}*"
        self._globals.append(f"(defglobal {name} = {value})")
        return name

    def _said(self, *what: str, value: str = "") -> str:
        self.meaning.append(what)
        return f"(bind ?*said* (create$ ?*said* {len(self.meaning) - 1} {value}))"

    def _rule(self, name: str, level: int, patterns: Sequence[str], then: str) -> None:
        head = f"(defrule {name}.{len(self._rules)} (declare (salience {level}))"
        self._rules.append(f"{head}\n   {' '.join(patterns)}\n  =>\n   {then})")


def _written(alternative: Alternative, first: int = 0) -> tuple[list[str], list[str], bool]:
    """(patterns, degrees, whether to look again) of an alternative, its variables numbered from `first`."""
    patterns = [p.replace("@", str(n)) for n, lit in enumerate(alternative, first) for p in lit.patterns]
    degrees = [lit.degree.replace("@", str(n)) for n, lit in enumerate(alternative, first) if lit.degree]
    # CLIPS wants something to match before a `not`, and joins fastest with the plain patterns first.
    patterns.sort(key=lambda p: p.startswith("(not"))
    return patterns, degrees, any(lit.uncertain for lit in alternative)


def _fact(name: str, value: str) -> str:
    return f"(reading (of {name}) (value {value}))"


def _joined(alternatives: Iterable[Alternative]) -> Alternative:
    return tuple(dict.fromkeys(literal for alternative in alternatives for literal in alternative))


def _least(degrees: Sequence[str]) -> str:
    return degrees[0] if len(degrees) == 1 else f"(min {' '.join(degrees)})" if degrees else ""


def _sides(sides: str) -> tuple[str, ...]:
    return ("left", "right") if sides == "each" else ("",)


def _edge(holds: Callable[[float], bool], low: float, high: float, *, rising: bool) -> float:
    """The outermost number for which `holds` is still true, where it changes once between `low` and `high`."""
    yes, no = (high, low) if rising else (low, high)
    while True:
        middle = (yes + no) / 2
        if middle in (yes, no):
            return yes
        yes, no = (middle, no) if holds(middle) else (yes, middle)


def _constructs(text: str) -> list[str]:
    return ["(" + part.strip() for part in ("\n" + text.strip()).split("\n(")[1:]]
