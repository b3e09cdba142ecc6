"""Settings with which the engine would not mean what it says are refused, with the file and line they stand in.

In: the shipped rules with one setting spoilt. Out: the code and the place of the message.
Not here: what the settings ought to be.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from reasoner.problems import BadInput, Problem
from reasoner.rulebook.layers import read_layers, shipped_rules
from reasoner.rulebook.loading import load_rulebook

FAST = "circumstances/fast_work_lately.yaml"


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        ("scales/certainty.yaml", "strong: 0.8", "strong: 1.0", "at most 0.95"),
        ("scales/certainty.yaml", "strong: 0.8", "strong: nan", "at most 0.95"),
        ("scales/certainty.yaml", "slight: 0.2         # a hint", "slight: -0.2  # a hint", "above 0"),
        ("scales/certainty.yaml", "fires_above: 0.2", "fires_above: -1", "silence would speak"),
        ("scales/soreness.yaml", "none_at: 4, full_at: 7", "none_at: 7, full_at: 7", "it rises"),
        ("scales/soreness.yaml", "degree: 0.6", "degree: 0", "above 0"),
        ("scales/account.yaml", "k: 1.0", "k: -1", "above 0"),
        ("scales/reading_error.yaml", "noise: 0.7", "noise: -1", "0 to 10 points"),
        ("scales/reading_error.yaml", "shared: 0.5\n", "shared: nan\n", "0 to 10 points"),
        (
            "scales/reading_error.yaml",
            "examiners: {}",
            "examiners: {Wren Aldous: {shared: 1, noise: 11, basis: own setting}}",
            "wren aldous",
        ),
        ("scales/track.yaml", "interval: 0.95", "interval: 95", "between 0.5 and 1"),
        ("scales/track.yaml", "waver: 1.96", "waver: nan", "between 0 and 10"),
        ("scales/track.yaml", "false_alarms: 0.1", "false_alarms: 0", "between 0 and 1"),
        ("scales/track.yaml", "carried_out: [done]", "carried_out: [done, partially]", '"partially"'),
        ("scales/track.yaml", "carried_out: [done]", "carried_out: [done, partly]", "one of the two"),
        ("scales/track.yaml", "[0.2, 0.4,", "[0.4, 0.2,", "rise"),
        ("scales/track.yaml", "enough: {cases: 10", "enough: {cases: 0", "at least one case"),
        ("scales/track.yaml", "  horses: 3", "  horses: 1", "at least two"),
        ("scales/track.yaml", "share: 0.8", "share: 0.5", "above one half"),
        ("scales/track.yaml", "rare: 0.05", "rare: nan", "between 0 and 1"),
        (FAST, "by: 0.3", "by: 3", "at most 1"),
        (FAST, "by: 0.3", "by: nan", "at most 1"),
    ],
)
def test_an_impossible_setting_is_refused_where_it_stands(
    tmp_path: Path, file: str, old: str, new: str, says: str
) -> None:
    problem = spoilt(tmp_path, file, old, new)
    assert (problem.code, Path(problem.file).name) == ("RB32", Path(file).name)
    assert problem.line > 0
    assert says in problem.sentence


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("ridden: [riding,", "ridden: [ridding,", '"ridding" is no stop. Near: "riding"'),
        ("palpation: [hands-on work]", "palpation: [massage]", '"massage" is no stop'),
        ("asked_again: [no time", "asked_again: [no tine", "no_time"),
        ("in hand: [exercises", "in hnad: [exercises", '"in hnad" is no heading'),
        ("stiff_after_work: [yes]", "stiff_after_wrok: [yes]", "stiff_after_work"),
        ("standing: [leg not loaded", "standing: [leg not loadid", "leg_not_loaded"),
        ("back: [withers", "back: [whithers", '"whithers" is no region'),
        ("    - attitude", "    - atitude", "attitude"),
        ("ridden_for: [ridden", "ridden_for: [riden", "ridden"),
        ("[easy while a place", "[easy whilst a place", "easy_while_a_place_is_very_sore"),
        ("walked_for: [ten steps", "walked_for: [tne steps", "ten_steps_of_walk"),
        ("in foal: {sex", "in faol: {sex", "in_foal"),
        ("{sex: [gelding", "{sex: [geldign", "gelding"),
        ("scores_tried: [0, 3, 6, 9]", "scores_tried: [0, 3, 6, 11]", "from 0 to 10"),
        ("minutes_a_side: 0.5", "minutes_a_side: 0", "above 0"),
    ],
)
def test_a_word_of_the_table_of_checks_that_names_nothing_is_refused(
    tmp_path: Path, old: str, new: str, says: str
) -> None:
    """A misspelt stop would let a look be proposed that it was meant to take away."""
    problem = spoilt(tmp_path, "scales/checking.yaml", old, new)
    assert (problem.code, Path(problem.file).name) == ("RB62", "checking.yaml")
    assert problem.line > 0
    assert says in f"{problem.sentence} {problem.hint}"


@pytest.mark.parametrize("how_many", ["0", "-1", "1.5", "99", "many"])
def test_more_places_than_there_are_or_none_is_refused(tmp_path: Path, how_many: str) -> None:
    """With no way to be met, or always met, such a rule would speak of nothing that was found."""
    rule = (
        "  - rule: made up\n"
        f"    when: {{places: {{group: neck, side: this, at_least: sore, how_many: {how_many}}}}}\n"
        "    points: fair\n    because: made up\n    basis: common practice\n"
    )
    problem = spoilt(tmp_path, "causes/withers_pinch.yaml", "evidence:\n", f"evidence:\n{rule}")
    assert problem.code == "RB10"
    assert "how_many" in problem.sentence


def test_a_folder_that_cannot_be_listed_is_not_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the folder of concerns no veterinarian would ever be called."""
    real = os.scandir

    def barred(path: str) -> object:
        if str(path).endswith("concerns"):
            raise PermissionError(13, "Permission denied", str(path))
        return real(path)

    monkeypatch.setattr(os, "scandir", barred)
    with pytest.raises(BadInput, match="concerns"):
        read_layers([shipped_rules()])


def spoilt(tmp_path: Path, file: str, old: str, new: str) -> Problem:
    """The first problem of the shipped rules with one thing replaced."""
    folder = tmp_path / "rules"
    shutil.copytree(shipped_rules(), folder)
    text = (folder / file).read_text()
    assert text.count(old) == 1
    (folder / file).write_text(text.replace(old, new))
    with pytest.raises(BadInput) as told:
        load_rulebook([folder])
    return told.value.problems[0]
