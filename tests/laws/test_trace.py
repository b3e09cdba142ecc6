"""Law 7, trace: shares add up to the weight, every leaf is a finding with its line or named as not checked, and every value
shown can be worked out again from what is shown beneath it.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: the wording of a trace. The re-evaluation below reads the record's leaves and nothing of the pass.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

from hypothesis import given

from reasoner.facts.table import Facts
from reasoner.inference.program import UNIT
from reasoner.inference.record import Applied, Record
from reasoner.inference.slots import split
from reasoner.visit.model import Visit
from tests.chance import pick
from tests.laws.judged import Ready, ready, shipped
from tests.random_visits import random_visit
from tests.references.plain import rounded
from tests.strategies import Case, cases, seeds

GRID = 1e-9


def traced(ready: Ready, visit: Visit) -> None:
    facts = ready.facts(visit)
    record = ready.record(facts.values)
    written = {rule for rule, _, _ in ready.book.rules()}
    for rule in record.applied:
        assert rule.id in written
        outcome_follows(record, rule)
        for literal in (rule.premise, rule.gate):
            value_follows(record, literal)
            for column in record.leaves(literal):
                leaf_is_told(record, column, facts, visit)
    shares_add_up(record)
    for _, _, _, _, seen in record.raised():
        assert seen
    for _, _, _, signs in ready.program.meta["concerns"]:
        for literal in signs:
            value_follows(record, literal)


def outcome_follows(record: Record, rule: Applied) -> None:
    """Threshold, gate and strength, applied to what the record shows of the premise."""
    above = record.program.fires_above
    assert (rule.support, rule.opposition) == record.pair(rule.premise)
    degree = min(rule.support if rule.support > above else 0.0, record.support(rule.gate))
    assert rule.degree == degree
    assert (rule.state == "fired") == (rule.support > above)
    contribution = abs(rule.strength) * degree
    assert abs(abs(rule.unit) - -math.log1p(-contribution) * UNIT) <= 1.0
    assert rule.unit == 0 or (rule.unit > 0) == (rule.strength > 0)


def shares_add_up(record: Record) -> None:
    for key, side in record.conclusions:
        rules = record.rules_of(key, side)
        weight = sum((rule.counted for rule in rules), Fraction(0))
        assert weight == record.weight(key, side)
        w = float(weight) / UNIT
        assert abs(record.certainty(key, side) - math.copysign(1.0, w) * (1.0 - math.exp(-abs(w)))) <= GRID
        voices: dict[tuple[bool, str], list[Applied]] = {}
        for rule in rules:
            voices.setdefault((rule.strength < 0, rule.group), []).append(rule)
        for together in voices.values():  # the strongest of a group counts, ties share it
            assert sum(rule.counted for rule in together) == max((rule.unit for rule in together), key=abs)
            counted = [rule for rule in together if rule.counted]
            assert len({rule.counted for rule in counted}) <= 1
            assert all(abs(rule.unit) == max(abs(r.unit) for r in together) for rule in counted)


def value_follows(record: Record, literal: int) -> None:
    assert again(record, literal) == record.pair(literal)


def again(record: Record, literal: int) -> tuple[float, float]:
    """The pair of a literal, worked out from the pairs of its leaves."""
    entry = record.entry(literal >> 1)
    if entry[0] in ("all", "any", "kth"):
        pairs = [again(record, part) for part in entry[2]]
        k = {"all": len(pairs), "any": 1}.get(entry[0], entry[1])
        support = sorted((s for s, _ in pairs), reverse=True)[k - 1]
        opposition = sorted((o for _, o in pairs), reverse=True)[len(pairs) - k]
    elif entry[0] == "lessened":
        support, opposition = again(record, entry[1] << 1)
        for lessens, value in (("soreness", support), ("quiet", opposition)):
            factor = 1.0
            for _, which, by, circumstance in entry[2]:
                factor *= 1.0 - by * again(record, circumstance)[0] if which == lessens else 1.0
            left = rounded(value * factor)
            support, opposition = (left, opposition) if lessens == "soreness" else (support, left)
    else:
        support, opposition = record.pair(literal & ~1)
    return (opposition, support) if literal & 1 else (support, opposition)


def leaf_is_told(record: Record, column: int, facts: Facts, visit: Visit) -> None:
    """A leaf is a reading of this visit with its line, an earlier conclusion as it stands, or unknown with a name."""
    entry, pair = record.entry(column), record.pair(column << 1)
    if entry[0] == "conclusion":
        c = record.certainty(entry[1], entry[2])
        assert pair == (max(c, 0.0), max(-c, 0.0))
    elif entry[0] == "certainty":
        c = record.certainty(entry[1], entry[2])
        assert pair == (float(c >= entry[3]), float(-c >= entry[3]))
    elif entry[0] != "true":
        names = dict.fromkeys(name for name in entry[1:3] if isinstance(name, str) and name)
        for name in names:
            assert split(name)[0]  # so that it can be named, checked or not
            if name in facts.values:
                assert facts.origins[name].file == visit.file
                assert facts.origins[name].line in {*(t.line for t in visit.touches), *(n.line for n in visit.noted)}
        known = all(name in facts.values for name in names)
        assert pair == (reading(entry, facts) if known else (0.0, 0.0))


def reading(entry: list[Any], facts: Facts) -> tuple[float, float]:
    """The pair of a recorded leaf from its values."""
    kind = entry[0]
    if kind == "member":
        met = bool(int(facts.values[entry[1]]) & entry[2])
        return float(met), float(not met)
    if kind == "limit":
        a, b, operator, at = facts.values[entry[1]], facts.values[entry[2]], entry[3], entry[4]
        meets = [lambda x: x >= at, lambda x: x > at, lambda x: x <= at, lambda x: x < at][operator]
        return float(meets(a)), float(not meets(b))
    x = facts.values[entry[1]] - (facts.values[entry[2]] if entry[2] else 0.0)
    degree = rounded(min(max((x - entry[3]) / (entry[4] - entry[3]), 0.0), 1.0))
    return degree, rounded(1.0 - degree)


@given(cases())
def test_random_rulebases(case: Case) -> None:
    book, visits, _ = case
    traced(ready(book), visits[0])


@given(seeds())
def test_the_shipped_rulebase(chooser: Any) -> None:
    traced(shipped(), random_visit(chooser, shipped().book, filled=pick(chooser, [2, 15, 50])))
