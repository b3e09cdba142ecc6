"""What a page of concerns, and the list of stops, may not leave out: each is refused at loading, with its place.

In: a small page, or a list of stops, laid over the shipped rules. Out: the code and the words of the refusal.
Not here: what the shipped pages say (tests/rules), the engine.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.scales import STOPS_READ

SHIPPED = shipped_rules()
PAGE = """
id: made_up_reason
says: Made up at the {{place}}.
kind: concern
call: {call}
stops: [riding]
{reads}
status: sketch
{more}
signs:
  - {{sign: made up, when: {when}, because: x, basis: common practice}}
while_you_wait: [x]
can_mislead: x
lesson: x
examples: []
"""
BLED = "{bleeding: heavy}"


def laid_over(
    folder: Path, when: str = BLED, *, reads: str = "sides: none", call: str = "routine", more: str = ""
) -> str:
    """What the loader says about one page more; nothing if it takes it."""
    (folder / "concerns").mkdir(exist_ok=True)
    page = PAGE.format(when=when, reads=reads, call=call, more=more)
    (folder / "concerns" / "made_up_reason.yaml").write_text(page)
    return refusal([SHIPPED, folder])


def refusal(folders: list[Path]) -> str:
    try:
        load_rulebook(folders)
    except BadInput as bad:
        return str(bad)
    return ""


# -- which reading ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "test", ["at_least: 5", "response: flinches", "felt: hot", "guarded: yes"], ids=lambda test: test.split(":")[0]
)
@pytest.mark.parametrize(
    ("subject", "reads"),
    [("loin: {side: this, ", "sides: each"), ("this_place: {", "for_each: place"),
     ("places: {group: under_the_saddle, side: this, how_many: 2, ", "sides: each")],
    ids=["a place", "this place", "places"],
)  # fmt: skip
def test_a_concern_says_which_reading_it_asks_for(tmp_path: Path, test: str, subject: str, reads: str) -> None:
    """Without one, the number of a second feel would stand for the first, and a reason to call would go away."""
    told = laid_over(tmp_path, f"{{{subject}{test}}}}}", reads=reads)
    assert "RB34" in told
    assert "made_up_reason.yaml" in told
    assert "reading: worst" in told
    assert laid_over(tmp_path, f"{{{subject}{test}, reading: worst}}}}", reads=reads) == ""


def test_it_is_found_however_deep_it_stands(tmp_path: Path) -> None:
    loin, unsaid = "{loin: {side: either, at_least: 5, reading: worst}}", "{withers: {side: both, felt: hot}}"
    assert "RB34" in laid_over(tmp_path, f"{{any: [{BLED}, {{all: [{loin}, {{not: {unsaid}}}]}}]}}")


def test_a_named_reading_is_one_too_and_a_rule_needs_none(tmp_path: Path) -> None:
    assert laid_over(tmp_path, "{loin: {side: either, at_least: 5, reading: settled}}") == ""
    assert "RB34" not in refusal([SHIPPED])


# -- yielding ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("yields", "reads", "call", "words"),
    [
        ("heavy_bleding", "sides: none", "routine", "no concern"),
        ("withers_pinch", "sides: none", "routine", "no concern"),
        ("dark_urine", "sides: none", "prompt", "no more pressing (prompt)"),
        ("something_given_for_pain", "sides: none", "prompt", "no more pressing (routine)"),
        ("hind_leg_not_bearing_weight", "sides: none", "routine", "other sides or places"),
        ("sudden_severe_soreness", "sides: none", "routine", "other sides or places"),
        ("answers_between_the_spines_twice", "for_each: place", "routine", "other sides or places"),
    ],
)
def test_it_may_not_yield_to(tmp_path: Path, yields: str, reads: str, call: str, words: str) -> None:
    """Equals could both fall silent, a milder one would lower the call, and other places would leave one unsaid."""
    told = laid_over(tmp_path, reads=reads, call=call, more=f"yields_to: [{yields}]")
    assert "RB29" in told
    assert words in told


def test_it_may_yield_to_a_more_pressing_one_of_the_same_sides(tmp_path: Path) -> None:
    assert laid_over(tmp_path, call="prompt", more="yields_to: [heavy bleeding, signs_of_belly_pain]") == ""
    assert laid_over(tmp_path, reads="for_each: place", more="yields_to: [sudden_severe_soreness]") == ""


# -- places -----------------------------------------------------------------------------------------------------------

SORE_HERE = "{this_place: {at_least: 5, reading: worst}}"


@pytest.mark.parametrize("each", ["place", "spinous_space", "groin_and_flank", "under_the_saddle", "croup"])
def test_it_may_be_read_for_a_group_or_region(tmp_path: Path, each: str) -> None:
    assert laid_over(tmp_path, SORE_HERE, reads=f"for_each: {each}") == ""


def test_a_group_that_is_not_there_is_refused(tmp_path: Path) -> None:
    told = laid_over(tmp_path, SORE_HERE, reads="for_each: groin_and_flanks")
    assert "RB35" in told
    assert 'Near: "groin_and_flank"' in told


# -- the list of stops ------------------------------------------------------------------------------------------------


def stops_without(folder: Path, old: str, new: str) -> str:
    """What the loader says where a layer writes the list of stops anew."""
    text = (SHIPPED / "scales" / "referral.yaml").read_text()
    assert old in text
    (folder / "scales").mkdir(exist_ok=True)
    (folder / "scales" / "referral.yaml").write_text(text.replace(old, new))
    return refusal([SHIPPED, folder])


@pytest.mark.parametrize("key", STOPS_READ)
def test_a_stop_that_the_plan_reads_may_not_be_left_out(tmp_path: Path, key: str) -> None:
    """As a synonym of another key it is left out too: the plan asks for the key."""
    word = key.replace("hands_on", "hands-on").replace("_", " ")
    told = stops_without(tmp_path, f"  {word}: {{also: [", f"  another word: {{also: [{word}, ")
    assert "RB33" in told
    assert f'"{key.replace("_", " ")}"' in told
    assert "referral.yaml" in told


def test_what_stops_a_kind_of_action_is_on_the_list(tmp_path: Path) -> None:
    told = stops_without(tmp_path, "tack: [this saddle]", "tack: [this sadle]")
    assert "RB33" in told
    assert "which stops tack" in told


def test_every_stop_the_code_names_is_checked() -> None:
    """A stop that the code names, and that the check does not know of, could be left out without a word."""
    code = Path(__file__).resolve().parents[2] / "reasoner"
    keys = {stop.key for stop in load_rulebook().scales.stops}
    assert set(STOPS_READ) <= keys
    for path in [
        *(code / "plan").glob("*.py"),
        code / "explanation" / "from_record.py",
        code / "rendering" / "shared_text.py",
    ]:
        text = path.read_text()
        assert [key for key in keys - set(STOPS_READ) if f'"{key}"' in text] == [], path.name
