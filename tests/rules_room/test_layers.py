"""A practice's own pages over the shipped ones: replaced, switched off, re-weighted; and what is refused.

In: small rules folders written for the purpose. Out: what the loaded rulebook then holds.
Not here: the engine.
"""

from __future__ import annotations

import functools
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.pages import Conclusion

SHIPPED = shipped_rules()


@functools.cache
def a_rule() -> tuple[Conclusion, str]:
    """Some page of the shipped rules that has several rules, and the id of its first rule."""
    book = load_rulebook()
    page = book.conclusions["withers_pinch"]
    rule = next(name for name, owner, _ in book.rules() if owner is page)
    return page, rule


def refused(folders: list[Path]) -> str:
    with pytest.raises(BadInput) as bad:
        load_rulebook(folders)
    return str(bad.value)


def test_a_rule_is_switched_off(tmp_path: Path) -> None:
    page, rule = a_rule()
    (tmp_path / "changes.yaml").write_text(f"- {{rule: {rule}, switched: off, because: we see it otherwise}}\n")
    changed = load_rulebook([SHIPPED, tmp_path]).conclusions["withers_pinch"]
    assert len(changed.evidence) == len(page.evidence) - 1


def test_a_rule_is_weighted_anew_and_says_so(tmp_path: Path) -> None:
    _, rule = a_rule()
    (tmp_path / "changes.yaml").write_text(
        f"- {{rule: {rule}, points: slight, because: seen too often in cold horses}}\n"
    )
    book = load_rulebook([SHIPPED, tmp_path])
    new = next(evidence for name, _, evidence in book.rules() if name == rule)
    assert new.points == "slight"
    assert "seen too often in cold horses" in new.because


def test_a_change_needs_a_reason_and_a_rule_that_exists(tmp_path: Path) -> None:
    (tmp_path / "changes.yaml").write_text("- {rule: withers_pinch/no_such_rule, switched: off}\n")
    told = refused([SHIPPED, tmp_path])
    assert "RB07" in told
    assert "changes.yaml:1" in told


def test_a_page_of_the_same_id_replaces_the_earlier_one(tmp_path: Path) -> None:
    old = (SHIPPED / "traits" / "prefers_lead.yaml").read_text()
    (tmp_path / "traits").mkdir()
    (tmp_path / "traits" / "prefers_lead.yaml").write_text(old.replace("says:", "says: Our own words about", 1))
    book = load_rulebook([SHIPPED, tmp_path])
    assert book.conclusions["prefers_lead"].says.startswith("Our own words about")
    assert book.stamp != load_rulebook().stamp


def test_the_order_of_layers_counts(tmp_path: Path) -> None:
    for name, word in (("one", "slight"), ("two", "fair")):
        (tmp_path / name).mkdir()
        _, rule = a_rule()
        (tmp_path / name / "changes.yaml").write_text(f"- {{rule: {rule}, points: {word}, because: x}}\n")

    def points(*order: str) -> str | None:
        book = load_rulebook([SHIPPED, *(tmp_path / o for o in order)])
        return next(e.points for name, _, e in book.rules() if name == a_rule()[1])

    assert points("one", "two") == "fair"
    assert points("two", "one") == "slight"


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("causes/x.yaml", "id: y\nkind: causes\n", ["RB06", "causes/x.yaml:2", "cause"]),
        ("causes/x.yaml", "id: x\nid: y\n", ["YM05", "twice"]),
        ("horses/x.yaml", "id: x\n", ["RB08", "causes"]),
        ("causes/x.yaml", "id: x\nkind: cause\nlesson: y\nevidnce: []\n", ["RB01", "RB02", "evidence"]),
    ],
)
def test_a_wrong_page_is_told_with_its_place(tmp_path: Path, name: str, text: str, words: list[str]) -> None:
    path = tmp_path / name
    path.parent.mkdir(parents=True)
    path.write_text(text)
    told = refused([SHIPPED, tmp_path])
    for word in words:
        assert word in told


def test_no_folder_and_an_empty_folder(tmp_path: Path) -> None:
    assert "RB08" in refused([tmp_path / "nowhere"])
    assert "RB08" in refused([tmp_path])


def test_a_circle_is_refused_and_named(tmp_path: Path) -> None:
    """Two conclusions that read each other: the loop is named rule by rule."""
    from reasoner.rules_cache import compiled

    page = """
id: {id}
says: x
kind: pattern
sides: each
status: sketch
evidence:
  - {{rule: leans, when: {{{reads}: this}}, points: fair, because: x, basis: common practice}}
can_mislead: x
lesson: x
examples: []
"""
    (tmp_path / "patterns").mkdir()
    (tmp_path / "patterns" / "round_one.yaml").write_text(page.format(id="round_one", reads="round_two"))
    (tmp_path / "patterns" / "round_two.yaml").write_text(page.format(id="round_two", reads="round_one"))
    with pytest.raises(BadInput) as bad:
        compiled(load_rulebook([SHIPPED, tmp_path]))
    assert "round_one/leans" in str(bad.value)
    assert "round_two/leans" in str(bad.value)


TWICE = """
id: told_twice
says: x
kind: pattern
sides: each
status: sketch
evidence:
  - {{rule: sore, when: {{loin: {{side: this, at_least: sore}}}}, points: fair, because: x, basis: common practice}}
  - {{rule: sorer, when: {second}, points: slight, because: x, basis: common practice{more}}}
can_mislead: x
lesson: x
examples: []
"""
DIRECT = "{loin: {side: this, more_than_other: more}}"
THROUGH = "{loin_answers: this}"


@pytest.mark.parametrize("second", [DIRECT, THROUGH])
def test_one_finding_is_not_two_witnesses(tmp_path: Path, second: str) -> None:
    """Two rules that rest on the same finding, also through another conclusion, need a group or a reason."""
    from reasoner.rules_cache import compiled

    (tmp_path / "patterns").mkdir()
    page = tmp_path / "patterns" / "told_twice.yaml"
    page.write_text(TWICE.format(second=second, more=""))
    with pytest.raises(BadInput) as bad:
        compiled(load_rulebook([SHIPPED, tmp_path]))
    assert {p.code for p in bad.value.problems} == {"RB31"}
    assert "loin" in str(bad.value)
    page.write_text(TWICE.format(second=second, more=", waiver: a different hand on another day"))
    compiled(load_rulebook([SHIPPED, tmp_path]))
    page.write_text(TWICE.format(second=second, more="").replace("points:", "group: loin, points:"))
    compiled(load_rulebook([SHIPPED, tmp_path]))


def test_a_change_does_not_reach_a_page_that_a_later_layer_lays_over_it(tmp_path: Path) -> None:
    """A layer changes what lies below it; the practice's own page stands as the practice wrote it."""
    page, rule = a_rule()
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / "changes.yaml").write_text(f"- {{rule: {rule}, switched: off, because: x}}\n")
    (tmp_path / "two" / "causes").mkdir(parents=True)
    own = (SHIPPED / "causes" / "withers_pinch.yaml").read_text()
    (tmp_path / "two" / "causes" / "withers_pinch.yaml").write_text(own)
    above = load_rulebook([SHIPPED, tmp_path / "one", tmp_path / "two"]).conclusions["withers_pinch"]
    below = load_rulebook([SHIPPED, tmp_path / "two", tmp_path / "one"]).conclusions["withers_pinch"]
    assert (len(above.evidence), len(below.evidence)) == (len(page.evidence), len(page.evidence) - 1)


def test_a_unit_that_is_not_read_is_told_where_it_stands(tmp_path: Path) -> None:
    (tmp_path / "vocabulary").mkdir()
    (tmp_path / "vocabulary" / "own.yaml").write_text(
        "observations:\n  girth_play:\n    name: girth play\n    section: tacked up\n    kind: number\n    unit: cmm\n"
    )
    told = refused([SHIPPED, tmp_path])
    assert "RB70" in told
    assert "own.yaml:6" in told
    assert 'Near: "cm"' in told
