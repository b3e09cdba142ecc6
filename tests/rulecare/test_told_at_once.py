"""One mistake does not hide another: on one page, on pages that have nothing to do with it, in one condition.

In: a copy of the shipped rules in which several things are wrong. Out: all of them, from one run of the check.
Not here: each single mistake (test_faults); exit codes and JSON (test_check).
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from reasoner.rulebook.layers import shipped_rules
from reasoner.rulecare.check import check

LEFT_OUT = ("can_mislead: >-", "# can_mislead: >-\nx_mislead: >-")
NEVER = """evidence:
  - rule: it never can
    when: {all: [{panel_contact: bridges}, {panel_contact: even}]}
    points: slight
    group: what_the_hand_finds
    because: The panels were found to bridge and to lie evenly at the same time.
    basis: common practice
"""
LEFT_ONLY = """evidence:
  - rule: left only
    when: {rests: left}
    points: slight
    because: The saddle was seen to rest to the left, and the right was forgotten.
    basis: common practice
"""


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """A copy, so that a page that does not read is missing, and no shipped one shows from under it."""
    return shutil.copytree(shipped_rules(), tmp_path / "rules", ignore=shutil.ignore_patterns("fences", "schema"))


def spoil(rules: Path, page: str, *changes: tuple[str, str]) -> None:
    """Change a page of the copy."""
    text = (rules / page).read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    (rules / page).write_text(text, "utf-8")


def told(rules: Path) -> set[tuple[str, str]]:
    """(code, page) of everything the check finds."""
    report = check([rules])
    assert not report.complete
    return {(p.code, Path(p.file).stem) for p in report.problems}


#: Mistakes each of which keeps its own page, and nothing else, from being judged as part of the whole.
HIDES = {
    "a page that is no YAML": ("causes/saddle_too_long.yaml", "says:", "says: : :"),
    "a page without its examples": ("causes/saddle_too_long.yaml", "examples:", "x_examples:"),
    "a page that a rule elsewhere reads": (
        "mechanisms/saddle_follows_the_rider.yaml",
        "kind: mechanism",
        "kind: mechanics",
    ),
    "an unknown word": ("causes/saddle_too_long.yaml", "saddle_length:", "saddle_lenght:"),
    "a sentence left out": ("causes/saddle_too_long.yaml", *LEFT_OUT),
}


@pytest.mark.parametrize("what", HIDES)
def test_a_mistake_on_one_page_hides_none_on_another(what: str, rules: Path) -> None:
    page, old, new = HIDES[what]
    spoil(rules, page, (old, new))
    alone = told(rules)
    assert {stem for _, stem in alone} == {Path(page).stem}  # and none follows from it on any other page
    spoil(rules, "causes/saddle_bridges.yaml", ("evidence:\n", NEVER))
    spoil(rules, "causes/panels_uneven.yaml", ("evidence:\n", LEFT_ONLY), ("greve_dyson_2013", "grave_dyson_2013"))
    spoil(rules, "patterns/croup_sore.yaml", ("lesson: >-\n", "lesson: >-\n  A kissing spine. "))
    spoil(rules, "concerns/drops_feed.yaml", ("when: {", "when: {mouth_and_teeth: yes, x: {"), ("}\n", "}}\n"))
    more = told(rules) - alone
    assert more >= {
        ("RB40", "saddle_bridges"),
        ("RB47", "panels_uneven"),
        ("RB22", "panels_uneven"),
        ("RB52", "croup_sore"),
        ("RB10", "drops_feed"),
    }


def test_everything_wrong_with_one_page_is_told_at_once(rules: Path) -> None:
    spoil(
        rules,
        "causes/panels_uneven.yaml",
        ("evidence:\n", LEFT_ONLY),
        ("greve_dyson_2013", "grave_dyson_2013"),
        ("fuller_panel:", "fuler_panel:"),
        ("lesson: >-", "lessons: >-"),
        ("can_mislead: >-\n", "can_mislead: >-\n  It is the saddler's fault. "),
    )
    assert told(rules) >= {(code, "panels_uneven") for code in ("RB01", "RB02", "RB22", "RB25", "RB47", "RB52")}


def test_a_sentence_left_out_is_told_once(rules: Path) -> None:
    """It is missing; that it is therefore blank, and says nothing, need not be said again."""
    spoil(rules, "causes/saddle_too_long.yaml", ("can_mislead: >-", "lesson_two: >-"))
    report = check([rules])
    assert sorted(p.code for p in report.problems) == ["RB01", "RB02"]


def test_two_unknown_words_of_one_condition_are_both_told(rules: Path) -> None:
    both = (
        "evidence:\n  - rule: two words\n    when: {all: [{withres: {side: both, at_least: 3}}, {any: [{loyn: 3}]}]}\n"
    )
    spoil(
        rules,
        "causes/saddle_rocks.yaml",
        ("evidence:\n", both + "    points: slight\n    because: Two words here are spelt as nobody spells them.\n"
         "    basis: common practice\n"),
    )  # fmt: skip
    said = [p.sentence for p in check([rules]).problems if p.code == "RB11"]
    assert len(said) == 2
    assert "withres" in "".join(said)
    assert "loyn" in "".join(said)


def test_a_loop_does_not_hide_a_rule_that_can_never_fire(rules: Path) -> None:
    for one, other in (("rider", "saddle"), ("saddle", "rider")):
        reads = f"{other}_follows_the_{one}"
        loop = (
            f"evidence:\n  - rule: round\n    when: {{{reads}: this}}\n    points: slight\n"
            f"    because: The {one} was seen to go wherever the {other} goes.\n    basis: own setting\n"
        )
        spoil(rules, f"mechanisms/{one}_follows_the_{other}.yaml", ("evidence:\n", loop))
    spoil(rules, "causes/saddle_bridges.yaml", ("evidence:\n", NEVER))
    codes = {p.code for p in check([rules]).problems}
    assert {"RB30", "RB40"} <= codes


def test_a_cause_is_not_called_idle_while_its_action_does_not_read(rules: Path) -> None:
    """What a page that does not read may ask for is not held against the page that it asks for."""
    spoil(rules, "actions/mounting_block.yaml", ("kind: rider", "kind: ridre"))
    assert {stem for _, stem in told(rules)} == {"mounting_block"}
    (rules / "actions" / "mounting_block.yaml").write_text("says: : :\n", "utf-8")
    assert {stem for _, stem in told(rules)} == {"mounting_block"}
