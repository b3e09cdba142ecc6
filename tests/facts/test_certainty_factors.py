"""The arithmetic of certainty against published worked examples, each with its source beside it.

In: conclusions of given certainty, and rules over them, run by the engine itself. Out: failures.
Not here: what the strengths of our own rules should be.

The model: Shortliffe and Buchanan 1975, Mathematical Biosciences 23:351-379; Buchanan and Shortliffe (eds) 1984, Rule-Based
Expert Systems, chapters 10 and 11. Worked numbers come from lecture notes of two universities, seen on the web, and were
calculated again. Where a place in a book is from memory, it says so.
"""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import pytest

from reasoner.inference.evaluate import run
from reasoner.inference.record import Record
from reasoner.rulebook.pages import Conclusion, Evidence
from tests.laws.judged import ready
from tests.random_rulebooks import SCALES, VOCABULARY, assembled

LECTURE = "lecture notes on uncertainty, University of New South Wales"
EXAM = "worked examination answer on the same subject, University of New South Wales"
NOVAK = "lecture notes of G. Novak, University of Texas"
SIGN = {"saddle_front": "high"}
FIVE = (0.8, -0.5, 0.3, 0.6, -0.7)


def page(key: str, rules: list[tuple[Any, float]]) -> Conclusion:
    """A conclusion with rules (premise, factor), each a voice of its own."""
    evidence = tuple(
        Evidence(rule=f"rule {n}", when=when, because="-", basis="own setting", points=str(f) if f > 0 else None,
                 against=str(-f) if f < 0 else None)
        for n, (when, f) in enumerate(rules)
    )  # fmt: skip
    return Conclusion(id=key, says="-", kind="cause", sides="none", status="sketch", evidence=evidence, can_mislead="-",
                      lesson="-", examples=())  # fmt: skip


def judged(pages: list[Conclusion]) -> Record:
    """These pages on a visit where the sign was seen."""
    factors = {float(word) for p in pages for e in p.evidence for word in (e.points, e.against) if word}
    scales = dataclasses.replace(SCALES, strengths={str(f): f for f in factors})
    made = ready(assembled(VOCABULARY, scales, {p.id: p for p in pages}, {}, {}, {}))
    code = float(1 << made.words["saddle_front"].index("high"))
    values = {"saddle_front||value": code}
    return Record(made.program, run(made.program, made.readings(values)))


def known(**certainties: float) -> list[Conclusion]:
    """Conclusions that stand at these certainties."""
    return [page(key, [(SIGN, c)]) for key, c in certainties.items()]


def joined(*factors: float) -> float:
    """The certainty of a conclusion for which one certain rule speaks with each of these factors."""
    return judged([page("c", [(SIGN, f) for f in factors])]).certainty("c", "")


def from_premise(premise: Any, factor: float, *more: float, **certainties: float) -> float:
    """The certainty of a conclusion from a premise over conclusions, and from further certain rules."""
    rules = [(premise, factor), *((SIGN, f) for f in more)]
    return judged([*known(**certainties), page("c", rules)]).certainty("c", "")


def close(value: float) -> Any:
    return pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize(
    ("premise", "degree"),
    [
        ({"all": [{"p": "yes"}, {"q": "yes"}]}, 0.5),  # AND: the least
        ({"any": [{"p": "yes"}, {"q": "yes"}]}, 0.8),  # OR: the greatest
        ({"not": {"r": "yes"}}, 0.6),  # NOT: turned round
    ],
)  # fmt: skip
def test_premises_take_the_least_the_greatest_and_the_opposite(premise: Any, degree: float) -> None:
    """CF02: AND is the minimum, OR the maximum, NOT the negative; the conclusion is premise times factor. Source: LECTURE."""
    assert from_premise(premise, 0.7, p=0.8, q=0.5, r=-0.6) == close(degree * 0.7)


@pytest.mark.parametrize(("a", "b"), list(itertools.product((-0.9, -0.4, -0.05, 0.05, 0.4, 0.95), repeat=2)))
def test_two_factors_join_by_van_melles_rule(a: float, b: float) -> None:
    """CF03: a + b(1 - a); a + b(1 + a); (a + b) / (1 - min(|a|, |b|)). Source: LECTURE (van Melle's form for mixed signs)."""
    if a > 0 and b > 0:
        expected = a + b * (1 - a)
    elif a < 0 and b < 0:
        expected = a + b * (1 + a)
    else:
        expected = (a + b) / (1 - min(abs(a), abs(b)))
    assert joined(a, b) == close(expected)


def test_the_order_of_five_factors_does_not_matter() -> None:
    """CF04: the five factors give 0.626667 in all 120 orders. Source: NOVAK (order does not matter); calculated again."""
    found = {joined(*order) for order in itertools.permutations(FIVE)}
    assert len(found) == 1
    assert found.pop() == pytest.approx(0.626667, abs=5e-7)


EXAM_PREMISE = {"any": [{"all": [{"p1": "yes"}, {"p2": "yes"}, {"p3": "yes"}]},
                        {"all": [{"p4": "yes"}, {"not": {"p5": "yes"}}]}]}  # fmt: skip
EXAM_FACTS = {"p1": 0.8, "p2": 0.7, "p3": 0.6, "p4": 0.9, "p5": -0.5}


def test_the_examination_example() -> None:
    """CF05: premise max(0.6, 0.5) = 0.6; conclusions 0.7 x 0.6 = 0.42 and -0.5 x 0.6 = -0.30. Source: EXAM."""
    assert from_premise(EXAM_PREMISE, 0.7, **EXAM_FACTS) == close(0.42)
    assert from_premise(EXAM_PREMISE, -0.5, **EXAM_FACTS) == close(-0.30)


def test_the_examination_example_goes_on() -> None:
    """CF06: 0.42 with 0.7 gives 0.826; -0.3 with -0.4 gives -0.58. Source: EXAM."""
    assert from_premise(EXAM_PREMISE, 0.7, 0.7, **EXAM_FACTS) == close(0.826)
    assert from_premise(EXAM_PREMISE, -0.5, -0.4, **EXAM_FACTS) == close(-0.58)


def test_three_premises_and_two_factors() -> None:
    """CF07: min(0.6, 0.3, 0.4) x 0.7 = 0.21; 0.5 with 0.6 gives 0.8. Source: NOVAK."""
    premise = {"all": [{"p": "yes"}, {"q": "yes"}, {"r": "yes"}]}
    assert from_premise(premise, 0.7, p=0.6, q=0.3, r=0.4) == close(0.21)
    assert joined(0.5, 0.6) == close(0.8)


@pytest.mark.parametrize(("factor", "expected"), [(0.7, 0.28), (0.3, 0.12)])
def test_and_inside_or(factor: float, expected: float) -> None:
    """CF08: (0.6 AND 0.4) OR 0.2 = 0.4; times 0.7 is 0.28, times 0.3 is 0.12. Source: LECTURE."""
    premise = {"any": [{"all": [{"p": "yes"}, {"q": "yes"}]}, {"r": "yes"}]}
    assert from_premise(premise, factor, p=0.6, q=0.4, r=0.2) == close(expected)


def test_seventy_and_sixty_percent() -> None:
    """CF09: 0.7 then 0.6 gives 0.88, and so the other way round. Source: a tutorial page; calculated: 0.7 + 0.6 x 0.3."""
    assert joined(0.7, 0.6) == joined(0.6, 0.7) == close(0.88)


@pytest.mark.parametrize(("a", "b", "expected"), [(0.8, 0.6, 0.92), (0.8, -0.6, 0.5), (-0.8, -0.6, -0.92)])
def test_the_textbook_triple(a: float, b: float, expected: float) -> None:
    """CF10. Source: Negnevitsky, Artificial Intelligence, chapter 3 (from memory; calculated again, exact)."""
    assert joined(a, b) == close(expected)


def test_one_voice_against_does_not_undo_many() -> None:
    """CF11: confirming rules that reach 0.999 and one of 0.8 against give 0.995, where plain subtraction gave 0.199.

    Source: Buchanan and Shortliffe 1984, chapter 10 (place from memory; calculated again).
    """
    assert joined(0.9, 0.9, 0.9) == close(0.999)
    assert joined(0.9, 0.9, 0.9, -0.8) == close(0.995)
    assert joined(0.9, 0.9, 0.9, -0.8) != pytest.approx(0.199, abs=0.1)


def test_the_older_form_gives_another_value() -> None:
    """CF12: for the five factors belief is 0.944 and disbelief 0.85: 0.6267 here, 0.094 by plain subtraction. Calculated."""
    belief, disbelief = joined(0.8, 0.3, 0.6), -joined(-0.5, -0.7)
    assert (belief, disbelief) == (close(0.944), close(0.85))
    assert joined(*FIVE) == close((belief - disbelief) / (1 - min(belief, disbelief)))
    assert abs(joined(*FIVE) - (belief - disbelief)) > 0.5


@pytest.mark.parametrize(("least", "fires"), [(0.2, False), (0.19, False), (0.21, True)])
def test_every_part_of_a_premise_must_pass_the_threshold(least: float, fires: bool) -> None:
    """CF13: a part of an AND must be above 0.2 or the rule does not fire; exactly 0.2 is not above. Source: NOVAK."""
    premise = {"all": [{"p": "yes"}, {"q": "yes"}]}
    assert (from_premise(premise, 0.8, p=0.9, q=least) > 0) is fires


def test_an_or_passes_by_its_greatest_part() -> None:
    """CF13: OR takes the greatest; the other may be weak. Source: NOVAK."""
    premise = {"any": [{"p": "yes"}, {"q": "yes"}]}
    assert from_premise(premise, 0.5, p=0.05, q=0.9) == close(0.45)


def test_several_weak_supports_do_not_add_up() -> None:
    """CF13, its known weakness: three premises at 0.2 say nothing, though rules of 0.2 would reach 0.488. Source: NOVAK."""
    weak = known(p=0.2, q=0.2, r=0.2)
    rules = [({key: "yes"}, 0.9) for key in ("p", "q", "r")]
    assert judged([*weak, page("c", rules)]).certainty("c", "") == 0.0
    assert joined(0.2, 0.2, 0.2) == close(0.488)


@pytest.mark.parametrize(("soreness", "fires"), [(2.0, False), (2.5, True)])
def test_a_reading_at_the_threshold(soreness: float, fires: bool) -> None:
    """CF13 on a reading: soreness 2 gives a degree of exactly 0.2 on our own ramp, and does not fire."""
    scales = dataclasses.replace(SCALES, strengths={"0.8": 0.8})
    sore = page("c", [({"breastbone": {"at_least": "sore"}}, 0.8)])
    made = ready(assembled(VOCABULARY, scales, {"c": sore}, {}, {}, {}))
    record = made.record({"breastbone||soreness": soreness})
    assert (record.certainty("c", "") > 0) is fires
    assert record.applied[0].support == close((soreness - 1) / 5)


def test_certainty_stays_inside_its_range() -> None:
    """CF01: between -1 and +1, 0 for nothing or for balance. Source: Shortliffe and Buchanan 1975."""
    assert joined(0.6, -0.6) == 0.0
    assert math.isclose(joined(*[0.95] * 12), 1.0)
    assert -1.0 <= joined(*[-0.95] * 12) <= 1.0
