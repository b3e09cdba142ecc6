"""Suppose, and which of the two: equal to assessing the edited file.

In: example visits and lines that edit them. Out: failures.
Not here: reading the lines (test_rows).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.consult import consult, judge
from reasoner.questions.changes import Change, changed
from reasoner.questions.checks import checks_of
from reasoner.questions.suppose import suppose
from reasoner.questions.which_of import LEAST, which_of
from reasoner.questions.written import change_from
from reasoner.rendering.answer_json import answer_json
from reasoner.rules_cache import Ready

EXAMPLES = Path(__file__).parents[2] / "examples"


def without_lines(data: object) -> object:
    """An answer without the numbers of lines and names of files; findings, told in the order of lines, are put in one order."""
    if isinstance(data, dict):
        return {k: without_lines(v) for k, v in data.items() if k not in ("line", "file")}
    if isinstance(data, list):
        plain = [without_lines(x) for x in data]
        return sorted(plain, key=repr) if plain and isinstance(plain[0], dict) and "degree" in plain[0] else plain
    return data


@pytest.mark.parametrize(
    ("name", "old", "new", "lines"),
    [
        ("clover", "  loin:    {left: {soreness: 1, response: skin twitch}, right: 1}", "  loin:    {left: 6, right: 1}",
         ["loin, left = 6"]),
        ("clover", "  gums: pink", "  gums: pale", ["gums = pale"]),
        ("clover", "settled under the hand: seen", "settled under the hand: not seen", ["settled under the hand = not seen"]),
        ("clover", "uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}",
         "uneven steps: {left fore: even, right fore: even, left hind: even, right hind: slight}", ["right hind = slight"]),
        ("clover", "  withers: {both: 1}", "  withers: {both: 0}", ["withers, both = 0"]),
        ("clover", "  shod: 2026-03-30", "  shod: 2026-01-30", ["shod = 2026-01-30"]),
    ],
)  # fmt: skip
def test_supposing_equals_assessing_the_edited_file(
    name: str, old: str, new: str, lines: list[str], shipped: Ready, tmp_path: Path
) -> None:
    text = (EXAMPLES / f"{name}.yaml").read_text()
    assert old in text
    edited = tmp_path / f"{name}.yaml"
    edited.write_text(text.replace(old, new))
    answer = consult(EXAMPLES / f"{name}.yaml", shipped)
    told = suppose(answer, change_from(lines, answer.visit, shipped.book.vocabulary))
    assert without_lines(answer_json(told.after)) == without_lines(answer_json(consult(edited, shipped)))


def test_supposing_nothing_changes_nothing(shipped: Ready) -> None:
    told = suppose(consult(EXAMPLES / "bramble.yaml", shipped), Change())
    assert (told.differences, told.started, told.stopped) == ((), (), ())


def test_the_rules_that_start_and_stop(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    told = suppose(answer, change_from(["tree width = looks narrow"], answer.visit, shipped.book.vocabulary))
    assert "tree_too_narrow" in {rule.page for rule in told.started if rule.strength > 0}
    assert any(rule.page == "tree_too_narrow" and rule.strength < 0 for rule in told.stopped)
    assert not {(r.id, r.side) for r in told.started} & {(r.id, r.side) for r in told.stopped}


def test_which_of_two(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    one, two = ("saddle_to_one_side", "right"), ("saddle_follows_the_hind_limb", "right")
    told = which_of(answer, one, two)
    spots = [{(f.where, f.side) for f in some} for some in (told.both, told.only_one, told.only_two)]
    assert spots[0]
    assert not spots[0] & spots[1]
    assert not spots[1] & spots[2]
    assert told.partings
    for parting in told.partings:
        gaps = {}
        for reading in parting.check.readings:
            after = judge(changed(answer.visit, reading.change), shipped)
            gaps[reading.words] = after.record.certainty(*one) - after.record.certainty(*two)
        now = answer.record.certainty(*one) - answer.record.certainty(*two)
        most, least = max(gaps.values()), min(gaps.values())
        assert most - least == pytest.approx(parting.parts, abs=1e-9)
        assert parting.parts > 0.0
        # A reading speaks for one of them where it moves the difference that way by what can be seen, and it moves it most.
        assert (parting.towards_one is not None) == (most - now >= LEAST)
        assert (parting.towards_two is not None) == (now - least >= LEAST)
        assert parting.towards_one is None or gaps[parting.towards_one.words] == pytest.approx(most)
        assert parting.towards_two is None or gaps[parting.towards_two.words] == pytest.approx(least)
    turned = which_of(answer, two, one)
    assert [p.check.key for p in turned.partings] == [p.check.key for p in told.partings]
    assert (turned.only_one, turned.only_two) == (told.only_two, told.only_one)


def test_what_only_lessens_other_readings_parts_no_two(shipped: Ready) -> None:
    """That a horse was calmed makes its quiet places count for less; it speaks for no saddle."""
    answer = consult(EXAMPLES / "tansy.yaml", shipped)
    one, two = ("withers_pinch", "left"), ("saddle_to_one_side", "left")
    told = which_of(answer, one, two, 1000)
    assert told.partings
    assert "sedation" not in {parting.check.key for parting in told.partings}
    assert "sedation" in {check.key for check in checks_of(answer)}
    # Fast work is read by the page itself, and stays.
    larch = consult(EXAMPLES / "larch.yaml", shipped)
    told = which_of(larch, ("saddle_bridges", ""), ("against_the_shoulder_blade", "right"), 1000)
    assert "speed_work" in {parting.check.key for parting in told.partings}
