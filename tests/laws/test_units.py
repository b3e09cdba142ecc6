"""Law 9, units: the same horse in inches, hands, pounds and degrees Fahrenheit, or in millimetres, kilograms and Celsius,
gives the same answers.

In: quantities written both ways, each exactly the other. Out: failures.
Not here: which units are read (tests of quantities).
"""

from __future__ import annotations

import functools
from decimal import Decimal
from typing import Any

from hypothesis import given

from reasoner.facts.from_measures import worked_out
from reasoner.rulebook.pages import Conclusion, Evidence
from reasoner.rulebook.strict_yaml import parse
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_node
from tests.chance import Chooser, Seeded, pick
from tests.laws.judged import Ready, differences, ready, shipped
from tests.random_rulebooks import assembled
from tests.strategies import seeds

Pair = tuple[str, str]
_INCH, _POUND = Decimal("25.4"), Decimal("0.45359237")


def length(chooser: Chooser, low: int, high: int) -> Pair:
    """An even or odd number of eighths of an inch, in inches and in millimetres."""
    eighths = chooser.integer(low * 8, high * 8)
    whole, part = divmod(eighths, 8)
    inches = f"{whole} {part}/8 in" if part else f"{whole} in"
    return inches, f"{Decimal(eighths) * _INCH / 8:f} mm"


def height(chooser: Chooser) -> Pair:
    inches = chooser.integer(40, 75)
    hands = f"{inches // 4}.{inches % 4} hh"
    return hands, f"{inches * _INCH / 10:f} cm"


def weight(chooser: Chooser) -> Pair:
    pounds = chooser.integer(400, 1700)
    written = pick(chooser, [f"{pounds} lb", f"{pounds // 14} st {pounds % 14} lb"])
    return written, f"{pounds * _POUND:f} kg"


def temperature(chooser: Chooser) -> Pair:
    tenths = chooser.integer(355, 420)
    return f"{Decimal(tenths) / 10 * 9 / 5 + 32:f} °F", f"{Decimal(tenths) / 10:f} °C"


def line(chooser: Chooser) -> Pair:
    """One side of a tracing in tenths of an inch, written in inches and in millimetres."""
    out = down = 0
    inches, mm = ["0/0"], ["0/0"]
    for _ in range(chooser.integer(3, 8)):
        out, down = out + chooser.integer(2, 20), down + chooser.integer(1, 20)
        inches.append(f"{Decimal(out) / 10:f}/{Decimal(down) / 10:f}")
        mm.append(f"{out * _INCH / 10:f}/{down * _INCH / 10:f}")
    return " ".join(inches), " ".join(mm)


def written(one: dict[str, str]) -> Visit:
    text = f"""
visit: 2026-04-18
horse: {{name: Bramble, height: {one["height"]}, weight: {one["weight"]}}}
vital signs: {{temperature: {one["temperature"]}, gum refill: {one["gum refill"]}}}
ridden: {{stirrups: {{left: {one["left"]}, right: {one["right"]}}}}}
palpation: {{withers: {{left: 4, right: 2}}}}
back tracings: {{units: {one["units"]}, T13: {{left: {one["left line"]}, right: {one["right line"]}}}}}
"""
    return visit_from_node(parse(text.encode(), "made_up.yaml"), "made_up.yaml", shipped().book.vocabulary)


def both_ways(chooser: Chooser) -> tuple[Visit, Visit]:
    stirrup = length(chooser, 25, 35)
    other = pick(chooser, [stirrup, length(chooser, 25, 35)])
    pairs = {"height": height(chooser), "weight": weight(chooser), "temperature": temperature(chooser), "left": stirrup,
             "right": other, "gum refill": ("6 s", "0.1 min"), "units": ("in", "mm"), "left line": line(chooser),
             "right line": line(chooser)}  # fmt: skip
    return written({k: p[0] for k, p in pairs.items()}), written({k: p[1] for k, p in pairs.items()})


@functools.cache
def measured() -> Ready:
    """Rules over the shipped words that set limits in mixed units; each stands twice, once in each unit."""
    limits: list[tuple[dict[str, Any], dict[str, Any]]] = [
        ({"height": {"at_least": "15.2 hh"}}, {"height": {"at_least": "1574.8 mm"}}),
        ({"height": {"above": "62 in"}}, {"height": {"above": "157.48 cm"}}),
        ({"weight": {"at_most": "1000 lb"}}, {"weight": {"at_most": "453.59237 kg"}}),
        ({"temperature": {"above": "101.3 °F"}}, {"temperature": {"above": "38.5 °C"}}),
        ({"temperature": {"below": "102.2 F"}}, {"temperature": {"below": "39 °C"}}),
        ({"stirrups": {"side": "this", "at_least": "30 in"}}, {"stirrups": {"side": "this", "at_least": "762 mm"}}),
        ({"stirrups": {"side": "other", "below": '29 1/2"'}}, {"stirrups": {"side": "other", "below": "74.93 cm"}}),
    ]
    pages = {}
    for number in (0, 1):
        rules = tuple(
            Evidence(rule=f"limit {n}", when=both[number], because="-", basis="own setting", points="fair", line=n)
            for n, both in enumerate(limits)
        )
        key = f"measured_{number}"
        pages[key] = Conclusion(id=key, says="-", kind="cause", sides="each", status="sketch", evidence=rules, can_mislead="-",
                                lesson="-", examples=())  # fmt: skip
    book = shipped().book
    return ready(assembled(book.vocabulary, book.scales, pages, {}, {}, {}))


@given(seeds())
def test_a_visit_written_in_other_units(chooser: Chooser) -> None:
    imperial, metric = both_ways(chooser)
    assert dict(shipped().facts(imperial).values) == dict(shipped().facts(metric).values)
    assert imperial.outlines == metric.outlines
    assert worked_out(imperial, shipped().book) == worked_out(metric, shipped().book)
    for made in (shipped(), measured()):
        found = differences(made.judge(imperial), made.judge(metric))
        assert not found, "\n".join(found)


@given(seeds())
def test_a_rule_written_in_other_units(chooser: Chooser) -> None:
    visit, _ = both_ways(chooser)
    record = measured().record(measured().facts(visit).values)
    for side in ("left", "right"):
        assert record.weight("measured_0", side) == record.weight("measured_1", side)
        one, two = record.rules_of("measured_0", side), record.rules_of("measured_1", side)
        assert [rule.state for rule in one] == [rule.state for rule in two]


def test_the_limits_are_met_by_some_horses_and_not_by_others() -> None:
    """Else the law above would hold for rules that never speak."""
    states: dict[str, set[str]] = {}
    for seed in range(60):
        visit, _ = both_ways(Seeded(seed))
        for rule in measured().record(measured().facts(visit).values).rules_of("measured_0", "left"):
            states.setdefault(rule.id, set()).add(rule.state)
    assert all(found == {"fired", "below"} for found in states.values()), states
