"""Why not: the listed set makes the rule speak, and no proper subset does; by brute force.

In: small random rulebases, the shipped one. Out: failures.
Not here: the wording of the page.
"""

from __future__ import annotations

from itertools import chain, combinations
from pathlib import Path

import pytest

from reasoner.consult import Answer, consult, judge
from reasoner.inference.record import Applied, Record
from reasoner.questions.changes import changed
from reasoner.questions.why_not import DISCOUNTED, NOT_EXAMINED, OTHERWISE, TOO_WEAK, _Looked, why_not
from reasoner.questions.written import change_from
from reasoner.rules_cache import Ready
from tests.questions.small import small_answer

EXAMPLES = Path(__file__).parents[2] / "examples"


def holds(record: Record, literal: int, lifted: frozenset[int]) -> float:
    """The support of a literal with some leaves lifted, worked out from the meaning of the columns and nothing else."""
    if literal in lifted:
        return 1.0
    entry, turned = record.entry(literal >> 1), literal & 1
    if entry[0] not in ("all", "any", "kth"):
        return record.support(literal)
    degrees = [holds(record, part ^ turned, lifted) for part in entry[2]]
    every = (entry[0] == "all") != bool(turned)
    if entry[0] != "kth":
        return min(degrees) if every else max(degrees)
    k: int = len(degrees) - entry[1] + 1 if turned else entry[1]
    return sorted(degrees, reverse=True)[k - 1]


def minimal_and_enough(answer: Answer) -> int:
    looked, above, seen = _Looked(answer), answer.record.program.fires_above, 0
    for key in answer.record.conclusions:
        for rule in answer.record.rules_of(*key):
            if rule.strength <= 0.0 or rule.degree > 0.0:
                continue
            lifted = looked.least(rule)

            def speaks(some: frozenset[int], rule: Applied = rule) -> bool:
                gate = holds(answer.record, rule.gate, some) > 0.0 if rule.gate else True
                return gate and holds(answer.record, rule.premise, some) > above

            assert speaks(lifted)
            subsets = chain.from_iterable(combinations(sorted(lifted), size) for size in range(len(lifted)))
            assert not any(speaks(frozenset(some)) for some in subsets)
            seen += 1
    return seen


def test_minimal_on_small_rulebases() -> None:
    assert sum(minimal_and_enough(small_answer(seed)) for seed in range(60)) > 100


@pytest.mark.parametrize("name", ["bramble", "sorrel", "tansy"])
def test_minimal_on_the_shipped_rulebase(name: str, shipped: Ready) -> None:
    assert minimal_and_enough(consult(EXAMPLES / f"{name}.yaml", shipped)) > 200


@pytest.mark.parametrize(
    ("conclusion", "rule", "line"),
    [
        ("tree_too_narrow", "the points stand steeper than the horse", "tree width = looks narrow"),
        ("tree_too_narrow", "it lies heavy behind", "panel contact = more behind"),
    ],
)
def test_what_is_missing_written_down_makes_it_speak(conclusion: str, rule: str, line: str, shipped: Ready) -> None:
    """The whole way round: the missing reading goes into the visit, the rule speaks, and the certainty is the one foretold."""
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    told = next(one for one in why_not(answer, (conclusion, "")).silenced if one.name == rule)
    assert len(told.missing) == 1
    after = judge(changed(answer.visit, change_from([line], answer.visit, shipped.book.vocabulary)), shipped)
    spoke = next(r for r in after.record.rules_of(conclusion, "") if r.id == told.rule.id)
    assert spoke.degree > 0.0
    others = [r for r in after.record.rules_of(conclusion, "") if r.id != told.rule.id]
    before = {r.id: r.degree for r in answer.record.rules_of(conclusion, "")}
    if all(r.degree == before[r.id] for r in others):
        assert after.record.certainty(conclusion, "") == pytest.approx(told.then)


def test_each_kind_of_silence_is_told_apart(shipped: Ready) -> None:
    """Not examined, quiet or otherwise, too weak, and discounted are four things (the house's own law)."""
    lines = ["settled under the hand = not seen", "loin, left = 2.5", "withers, both = 2"]
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    answer = judge(changed(answer.visit, change_from(lines, answer.visit, shipped.book.vocabulary)), shipped)
    states = {
        missing.state
        for key in answer.record.conclusions
        for one in why_not(answer, key).silenced
        for missing in one.missing
    }
    assert {NOT_EXAMINED, OTHERWISE, TOO_WEAK, DISCOUNTED} <= states


def test_the_strongest_evidence_against(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    against = why_not(answer, ("tree_too_narrow", "")).against
    assert against is not None
    opposing = answer.explanation.concluded["tree_too_narrow", ""].opposing
    assert abs(against.share) == max(abs(item.share) for item in opposing)


def test_how_far_a_number_falls_short(shipped: Ready) -> None:
    """In the points of the scale: what is asked for less what was read."""
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    shorts = [
        (missing, answer.facts.values[f"{missing.where}|{missing.side}|soreness"])
        for key in answer.record.conclusions
        for one in why_not(answer, key).silenced
        for missing in one.missing
        if missing.short is not None and missing.wanted.kind == "ramp"
    ]
    assert shorts
    assert all(missing.short == pytest.approx(missing.wanted.at - value) for missing, value in shorts)
