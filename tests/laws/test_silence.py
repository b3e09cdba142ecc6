"""Law 3, silence: not examined says nothing, whether it is written down or left out; a rule that knows nothing changes nothing.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: what is shown as not checked.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings

from reasoner.inference.record import Record
from reasoner.inference.slots import split
from reasoner.visit.model import Touch, Visit
from tests.chance import Chooser, happens, pick
from tests.laws.judged import Answers, Ready, answers, differences, ready, shipped
from tests.random_rulebooks import assembled, random_evidence
from tests.random_visits import WHEN, random_visit, spots
from tests.strategies import Case, cases, seeds


def passed_over(chooser: Chooser, ready: Ready, visit: Visit) -> Visit:
    """The same visit with a reason written at every place and time that was left out."""
    told = {(t.place, t.side, t.when) for t in visit.touches}
    reasons = [word.key for word in ready.book.vocabulary.qualities["not_examined_reasons"]]
    more = [Touch(place=place, side=side, when=when, not_examined=pick(chooser, reasons))
            for place, side in spots(ready.book.vocabulary) for when in WHEN
            if (place, side, when) not in told and happens(chooser, 80)]  # fmt: skip
    return dataclasses.replace(visit, touches=(*visit.touches, *more))


def silence_says_nothing(ready: Ready, visit: Visit, chooser: Chooser) -> None:
    written = passed_over(chooser, ready, visit)
    assert dict(ready.facts(written).values) == dict(ready.facts(visit).values)
    assert not differences(ready.judge(visit), ready.judge(written))


@given(cases())
def test_a_place_passed_over_equals_a_place_left_out(case: Case) -> None:
    book, visits, chooser = case
    silence_says_nothing(ready(book), visits[0], chooser)


@given(seeds())
def test_a_place_passed_over_on_the_shipped_rulebase(chooser: Chooser) -> None:
    silence_says_nothing(shipped(), random_visit(chooser, shipped().book), chooser)


def leaf_slots(record: Record, literal: int) -> Iterator[str]:
    """The slots below a literal."""
    for column in record.leaves(literal):
        for part in record.entry(column)[1:3]:
            if isinstance(part, str) and part.count("|") == 2:
                yield part


def a_rule_that_knows_nothing_is_idle(before: Ready, visit: Visit, chooser: Chooser) -> None:
    book = before.book
    page = pick(chooser, list(book.conclusions.values()))
    rule = dataclasses.replace(
        random_evidence(chooser, book.vocabulary, book.scales, sided=page.sides == "each"), rule="one more"
    )
    more = dataclasses.replace(page, evidence=(*page.evidence, rule))
    after = ready(assembled(book.vocabulary, book.scales, {**book.conclusions, page.id: more}, book.concerns, book.actions,
                            book.circumstances, book.sources))  # fmt: skip
    empty = after.record({})
    idle = [r for r in empty.applied if r.id == f"{page.id}/one_more"]
    read = {name for r in idle for name in leaf_slots(empty, r.premise)}
    values = {name: value for name, value in before.facts(visit).values.items() if name not in read}
    one, two = before.record(values), after.record(values)
    for applied in two.applied:
        if applied.id == f"{page.id}/one_more":
            assert (applied.state, applied.degree, applied.counted) == ("waits", 0.0, Fraction(0))
    found = differences(without_hope(one), without_hope(two), lambda key: "/one_more" not in key[0])
    assert not found, "\n".join(found)


def without_hope(record: Record) -> Answers:
    """The answers, but for one thing: a rule that reads the conclusion may now wait where nothing could have lifted it before."""
    out = answers(record)
    out["rule"] = {key: ("below" if told[0] == "waits" else told[0], *told[1:]) for key, told in out["rule"].items()}
    return out


@given(cases())
def test_a_rule_that_knows_nothing_changes_nothing(case: Case) -> None:
    book, visits, chooser = case
    a_rule_that_knows_nothing_is_idle(ready(book), visits[0], chooser)


@settings(max_examples=10)
@given(seeds())
def test_a_rule_that_knows_nothing_on_the_shipped_rulebase(chooser: Chooser) -> None:
    a_rule_that_knows_nothing_is_idle(shipped(), random_visit(chooser, shipped().book), chooser)


@given(seeds())
def test_refusal_zero_and_silence_are_three_things(chooser: Chooser) -> None:
    """Quiet, would not allow touch, and passed over leave different values behind."""
    where = shipped()
    place, side = pick(chooser, spots(where.book.vocabulary))
    base = random_visit(chooser, where.book, filled=0)
    quiet, refused, passed = (
        where.facts(dataclasses.replace(base, touches=(touch,))).values
        for touch in (
            Touch(place=place, side=side, soreness=Decimal(0)),
            Touch(place=place, side=side, refused=True),
            Touch(place=place, side=side, not_examined="no_time"),
        )
    )
    name = f"{place}|{side or ''}|"
    assert quiet[name + "soreness"] == 0.0
    assert quiet[name + "guarded"] == 0.0
    assert refused[name + "guarded"] == 1.0
    assert name + "soreness" not in refused
    assert not [slot for slot in passed if split(slot)[0] == place]
