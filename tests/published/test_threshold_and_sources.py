"""The threshold a rule must pass, which published scales are left out, and that every source has a page and a use.

In: rules/ as text and as a rulebook. Out: what is cited, and what a premise at the threshold does.
Not here: how certainties are combined (tests of the engine).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest

from reasoner.quantities import dimension_of
from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.pages import Source
from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]
BOOK = shipped().book


@pytest.mark.parametrize(("soreness", "state"), [("2", "below"), ("2.5", "fired")])
def test_a_premise_must_be_above_0_2(ask: Ask, soreness: str, state: str) -> None:
    """CF13, Buchanan and Shortliffe 1984 (high): strictly above 0.2; soreness 2 is exactly 0.2 on our ramp."""
    rule = ask(f"palpation: {{withers: {{both: {soreness}}}}}").rules("withers_pinch", "left")["sore on this side"]
    assert rule.state == state
    assert (rule.support > 0.2) is (state == "fired")
    assert BOOK.scales.fires_above == 0.2


def test_weak_supports_do_not_add_up_below_the_threshold(ask: Ask) -> None:
    """CF13, its known weakness: three places at exactly the threshold make no rule speak."""
    answer = ask(
        "palpation: {withers: {both: 2}, beside the withers: {both: 2}, withers rhomboid: {both: 2}, long back: {both: 2}}"
    )
    assert not any(rule.state == "fired" and rule.strength > 0 for rule in answer.answer.record.applied)


def rule_text() -> Iterator[tuple[str, str]]:
    """(name, text) of every file under rules/ that a rulebook is made from."""
    for path in sorted(shipped_rules().rglob("*.yaml")):
        yield path.relative_to(shipped_rules()).as_posix(), path.read_text("utf-8")


@pytest.mark.parametrize("word", ["ethogram", "grimace", "obel", "henneke", "of 24", "fibromyalgia"])
def test_published_scales_that_are_not_ours_to_score_are_not_used(word: str) -> None:
    """PA01-PA02, PA07, DX05, WT10: the ridden pain ethogram and other clinical scales are not scored by this tool."""
    scored = {
        name
        for name, text in rule_text()
        # the range of a total that somebody else scored is a figure of rules/measures/, and no rule reads it
        if re.search(rf"\b{word}", text, re.IGNORECASE) and not name.startswith(("sources/", "measures/"))
    }
    assert scored == set()


def test_no_limit_of_a_sensor_or_of_a_gauge_is_hard_coded() -> None:
    """CO03 (from memory, not safe as an exact test) and A05: no condition of a page holds millimetres of a gait system, a
    pressure or a force against a number."""
    observations = BOOK.vocabulary.observations
    gauged = {
        key
        for key, seen in observations.items()
        if seen.unit and (dimension_of(seen.unit) in ("pressure", "force") or seen.measure == "feet_and_gait")
    }
    assert {"pelvis_min_mm", "head_max_mm", "withers_mean_walk"} <= gauged, "the vocabulary still holds such entries"
    limits = {leaf.subject for parsed in BOOK.parsed.values() for leaf in leaves(parsed) if leaf.value is not None}
    assert limits & gauged == set()


def cited() -> dict[str, set[str]]:
    """Every id of a source that a page or the vocabulary names, and where."""
    out: dict[str, set[str]] = {}
    for name, text in rule_text():
        if not name.startswith("sources/"):
            for source in BOOK.sources:
                if re.search(rf"\b{source}\b", text):
                    out.setdefault(source, set()).add(name)
    return out


def test_every_source_is_used() -> None:
    """A source nobody cites belongs to no check; it is taken out or used."""
    assert set(BOOK.sources) - set(cited()) == set()


def test_every_basis_in_the_vocabulary_and_the_scales_has_its_page() -> None:
    """Conditions and pages are checked when they are loaded; the words and the scales are checked here."""
    declared = {"common practice", "own setting"}
    named: set[str] = set()
    for name, text in rule_text():
        if name.startswith(("vocabulary/", "scales/")):
            for found in re.findall(r"^\s*(?:anatomy_basis|basis|fires_above_basis): (.+)$", text, re.MULTILINE):
                named |= {part.strip() for part in found.strip("[]").split(",")}
    assert named - set(BOOK.sources) - declared == set()
    assert named & set(BOOK.sources)


@pytest.mark.parametrize("source", BOOK.sources.values(), ids=lambda page: page.id)
def test_what_is_only_remembered_is_not_trusted_fully(source: Source) -> None:
    """A source that nobody has read for this rulebook is never of high trust."""
    assert source.why
    assert source.used_for
    if source.seen.startswith("from memory"):
        assert source.trust != "high"
