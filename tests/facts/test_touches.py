"""What a touch becomes: which readings count for what, and which line of the visit they are told from.

In: visits of one or two touches, on the shipped rulebase and a small one. Out: failures.
Not here: the laws that hold for every visit (tests/laws).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from reasoner.facts.table import Facts
from reasoner.rulebook.pages import Concern, Conclusion, Evidence, Sign
from reasoner.visit.model import Touch, Visit, When
from tests.laws.judged import Ready, ready, shipped
from tests.random_rulebooks import SCALES, VOCABULARY, assembled
from tests.random_visits import DAY, WHEN

HOT = ("hot", "swollen", "draining")


def visit(*touches: Touch) -> Visit:
    return Visit(file="made_up.yaml", day=DAY, touches=touches)


def touch(when: When, soreness: int, line: int, **more: tuple[str, ...]) -> Touch:
    return Touch(place="withers", side="left", when=when, soreness=Decimal(soreness), line=line, **more)  # type: ignore[arg-type]


def raised(ready: Ready, facts: Facts) -> set[str]:
    return {key for _, key, _, place, _ in ready.record(facts.values).raised() if place in ("withers", "")}


@pytest.mark.parametrize("when", WHEN)
def test_heat_is_told_to_the_concerns_whenever_it_was_felt(when: When) -> None:
    """A place found hot and draining only after work must not pass for one that was not."""
    found = shipped().facts(visit(touch(when, 1, 7, felt=HOT)))
    assert "draining_or_hot_and_swollen_place" in raised(shipped(), found)
    assert found.origins["withers|left|felt_any"].line == 7


def test_causes_read_what_was_felt_before_work() -> None:
    found = shipped().facts(visit(touch("first", 1, 3, felt=("nothing",)), touch("after_work", 1, 4, felt=("knot",))))
    words = list(shipped().words["*felt"])
    assert found.values["withers|left|felt"] == 1 << words.index("nothing")
    assert found.values["withers|left|felt_any"] == 1 << words.index("knot")


def test_the_line_shown_is_one_where_something_was_felt_or_answered() -> None:
    first = touch("first", 4, 5, felt=("hot",), responses=("flinches",))
    settled = touch("settled", 0, 6, felt=("nothing",), responses=("none",))
    for order in ((first, settled), (settled, first)):
        found = shipped().facts(visit(*order))
        for name in ("felt", "felt_any", "responses_any", "soreness_worst"):
            assert found.origins[f"withers|left|{name}"].line == 5
        assert found.origins["withers|left|soreness"].line == 6  # once settled counts for the causes


def concern(when: dict[str, object]) -> Ready:
    page = Concern(id="c", says="-", kind="concern", call="prompt", stops=("riding",), status="sketch", while_you_wait=("-",),
                   signs=(Sign(sign="-", when=when, because="-", basis="own setting"),), can_mislead="-", lesson="-",
                   examples=())  # fmt: skip
    return ready(assembled(VOCABULARY, SCALES, {}, {"c": page}, {}, {}))


@pytest.mark.parametrize("word", ["none", "skin_twitch", "threatens", "would_not_allow"])
def test_a_word_no_rule_asks_for_is_not_taken_for_silence(word: str) -> None:
    """The only rule asks for `flinches`: any other answer is known, and is not that one."""
    made = concern({"not": {"breastbone": {"response": "flinches", "reading": "first"}}})
    code = float(1 << made.words["*responses"].index(word))
    assert bool(made.record({"breastbone||responses_first": code}).result.concern[0, 0])
    assert not made.record({}).result.concern[0, 0]


@pytest.mark.parametrize(("word", "band", "holds"), [
    ("slight", "slight", False),  # exactly 0.2, and the lowest band is entered above it
    ("middling", "slight", True),
    ("fair", "fair", True),  # the others are entered at their value
    ("middling", "fair", False),
])  # fmt: skip
def test_a_band_is_entered_where_the_scales_say(word: str, band: str, holds: bool) -> None:
    def page(key: str, when: dict[str, object], points: str) -> Conclusion:
        rule = Evidence(rule="r", when=when, because="-", basis="own setting", points=points)
        return Conclusion(id=key, says="-", kind="cause", sides="none", status="sketch", evidence=(rule,), can_mislead="-",
                          lesson="-", examples=())  # fmt: skip

    pages = {
        "one": page("one", {"painkillers": "given"}, word),
        "two": page("two", {"one": {"at_least": band}}, "clear"),
    }
    made = ready(assembled(VOCABULARY, SCALES, pages, {}, {}, {}))
    record = made.record({"painkillers||value": 2.0})
    assert (record.certainty("two", "") > 0.0) is holds
    assert (made.book.scales.band(record.certainty("one", "")) != "none") or not holds
