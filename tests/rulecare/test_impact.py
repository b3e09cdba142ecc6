"""What would change between two rulebooks: every kind of difference is told, and nothing is told where nothing differs.

In: an example and rulebooks that differ in one known thing. Out: failures where the difference is missed or invented.
Not here: the command (tests/cli).
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from reasoner.consult import Answer, consult, load_rulebook
from reasoner.differences import KINDS, Change, changes_between
from reasoner.rulebook.layers import shipped_rules
from tests.asking import shipped

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
ALL = sorted(path.stem for path in EXAMPLES.glob("*.yaml"))


def under(name: str, *layers: Path) -> Answer:
    rules = load_rulebook([shipped_rules(), *layers]) if layers else shipped()
    return consult(EXAMPLES / f"{name}.yaml", rules)


def changed(tmp_path: Path, page: str, *replacing: tuple[str, str]) -> Path:
    """A layer with one shipped page, altered."""
    text = (shipped_rules() / page).read_text()
    for old, new in replacing:
        assert old in text, old
        text = text.replace(old, new)
    target = tmp_path / page
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(text)
    return tmp_path


def of_kind(changes: tuple[Change, ...], kind: str) -> list[Change]:
    return [change for change in changes if change.kind == kind]


@pytest.mark.parametrize("name", ALL)
def test_nothing_changes_under_the_same_rules(name: str) -> None:
    assert changes_between(under(name), under(name)) == ()


def test_a_weaker_rule_moves_a_band(tmp_path: Path) -> None:
    (tmp_path / "changes.yaml").write_text(
        "- {rule: withers_pinch/sore_on_this_side, points: slight, because: a test}\n"
    )
    found = changes_between(under("juno"), under("juno", tmp_path))
    bands = {(c.key, c.side): (c.before.value, c.after.value) for c in of_kind(found, "conclusion")}
    assert bands["withers_pinch", "left"] == ("strong", "fair")


def test_the_other_way_round_is_the_mirror_of_it(tmp_path: Path) -> None:
    (tmp_path / "changes.yaml").write_text(
        "- {rule: saddle_to_one_side/seen_to_this_side, switched: off, because: a test}\n"
    )
    for name in ALL:
        there = changes_between(under(name), under(name, tmp_path))
        back = changes_between(under(name, tmp_path), under(name))
        assert {(c.kind, c.key, c.side, c.before, c.after) for c in there} == {
            (c.kind, c.key, c.side, c.after, c.before) for c in back
        }


def test_a_concern_that_calls_sooner_changes_level_riding_and_plan(tmp_path: Path) -> None:
    page = "concerns/saddle_comes_over_look_at_the_legs.yaml"
    layer = changed(tmp_path, page, ("call: routine", "call: prompt"))
    found = changes_between(under("bramble"), under("bramble", layer))
    (level,) = of_kind(found, "level")
    assert (level.before.value, level.after.value) == ("routine", "prompt")
    (concern,) = of_kind(found, "concern")
    assert concern.key == "saddle_comes_over_look_at_the_legs"
    assert of_kind(found, "riding")
    assert of_kind(found, "step")
    assert [c.kind for c in found] == sorted((c.kind for c in found), key=KINDS.index)


def test_another_dose_is_a_change_of_the_step(tmp_path: Path) -> None:
    plain = under("bramble")
    key = next(s.key for s in plain.plan.steps if s.dose)
    page = f"actions/{key}.yaml"
    folded = "\ndose: >-\n  "
    old = folded if folded in (shipped_rules() / page).read_text() else "\ndose: "
    found = of_kind(
        changes_between(plain, under("bramble", changed(tmp_path, page, (old, f"{old}Half of it. ")))), "step"
    )
    assert {change.key for change in found} == {key}
    assert all("Half of it." in c.after.words and "Half of it." not in c.before.words for c in found)


def test_an_order_is_a_change_of_its_own(tmp_path: Path) -> None:
    name, last = next(
        (name, two.key)
        for name in ALL
        for one, two in pairwise(under(name).plan.steps)
        if one.kind == two.kind and one.key != two.key
    )
    plain = under(name)
    page = shipped_rules() / "actions" / f"{last}.yaml"
    rank = next(line for line in page.read_text().splitlines() if line.startswith("rank:"))
    layer = changed(tmp_path, f"actions/{last}.yaml", (rank, "rank: 1"))
    found = changes_between(plain, under(name, layer))
    assert {c.kind for c in found} == {"order"}


def test_a_page_that_only_one_of_them_has_is_told_where_it_spoke(tmp_path: Path) -> None:
    """A page of one's own that is silent in a visit changes nothing there; where it speaks it is told as new."""
    page = (shipped_rules() / "patterns" / "loin_answers.yaml").read_text()
    (tmp_path / "patterns").mkdir()
    (tmp_path / "patterns" / "our_own.yaml").write_text(page.replace("id: loin_answers", "id: our_own"))
    seen = set()
    for name in ALL:
        told = {
            (c.side, c.before.value) for c in of_kind(changes_between(under(name), under(name, tmp_path)), "conclusion")
        }
        spoke = {s for s in ("left", "right") if under(name).explanation.concluded["loin_answers", s].band != "none"}
        assert told == {(side, "") for side in spoke}
        seen.add(bool(spoke))
    assert seen == {True, False}
