"""What is published about tree width, padding, length and uneven filling, against what the pages make of it.

In: visits in which the saddle was looked at. Out: direction, limit and side of each fact, as the reasoner answers.
Not here: whether pressure hurts (test_palpation_and_pressure), the limb and saddle slip as such (test_saddle_slip).
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.asking import Asked, shipped

Ask = Callable[[str], Asked]
BOOK = shipped().book
NARROW, WIDE = "tree_too_narrow", "tree_too_wide"


def looks(*saddle: str, more: str = "") -> str:
    """A saddle looked at on the bare back."""
    return f"tacked up: {{saddle: {{{', '.join(saddle)}}}}}\n{more}"


def after(place: str) -> str:
    """A fresh hollow on both sides at one place, and none at the other."""
    other = {"T13": "T18", "T18": "T13"}[place]
    return f"after work: {{hollow at {place}: {{left: seen, right: seen}}, hollow at {other}: {{left: none, right: none}}}}\n"


def basis(page: str, rule: str) -> set[str]:
    """The sources a rule names."""
    written = next(e.basis for e in BOOK.conclusions[page].evidence if e.rule == rule)
    return {written} if isinstance(written, str) else set(written)


@pytest.mark.parametrize(("place", "gains", "loses"), [("T18", NARROW, WIDE), ("T13", WIDE, NARROW)])
@pytest.mark.parametrize("width", ["looks narrow", "looks wide", "looks right"])
def test_the_fresh_hollow_tells_the_width(ask: Ask, place: str, gains: str, loses: str, width: str) -> None:
    """P15, MacKechnie-Guire 2019 (high): one width too narrow left a hollow at T18, one too wide at T13."""
    plain, hollow = ask(looks(f"tree width: {width}")), ask(looks(f"tree width: {width}", more=after(place)))
    assert hollow.certainty(gains) > plain.certainty(gains)
    assert hollow.certainty(loses) < plain.certainty(loses)


def test_the_hollow_waits_for_a_look_at_the_saddle(ask: Ask) -> None:
    """P15, MacKechnie-Guire 2019 (high).

    The trial changed the tree and then looked; a hollow with no saddle looked at concludes nothing.
    """
    for place in ("T13", "T18"):
        answer = ask(after(place))
        assert answer.band(NARROW) in ("none", "against")
        assert answer.band(WIDE) in ("none", "against")
        assert "tree_width" in answer.unchecked(NARROW) | answer.unchecked(WIDE)


@pytest.mark.parametrize(("front", "sign"), [("high", 1), ("low", -1)])
def test_the_front_rises_with_narrow_and_drops_with_wide(ask: Ask, front: str, sign: int) -> None:
    """P16, MacKechnie-Guire 2019 figure (high): narrow lifts the front, wide drops it, the right one lies along."""
    for width in ("looks narrow", "looks wide"):
        level, seen = (ask(looks(f"tree width: {width}", f"front: {f}")) for f in ("level", front))
        assert (seen.certainty(NARROW) - level.certainty(NARROW)) * sign > 0
        assert (seen.certainty(WIDE) - level.certainty(WIDE)) * sign < 0
    bare = ask(looks("front: level"))
    assert bare.certainty(NARROW) < 0
    assert bare.certainty(WIDE) < 0


@pytest.mark.parametrize("front", ["high", "low"])
def test_the_front_alone_names_no_width(ask: Ask, front: str) -> None:
    """P16, MacKechnie-Guire 2019 (high) is one static cue; our step from it to a width needs a second witness."""
    answer = ask(looks(f"front: {front}"))
    assert {(NARROW, ""), (WIDE, "")} & answer.supported == set()


def test_narrow_loads_the_rear_in_both_trials(ask: Ask) -> None:
    """P10, Meschan 2007 and P15, MacKechnie-Guire 2019 (high): both put a narrow tree's load at the rear third."""
    rear, front, even = (
        ask(looks("tree width: looks narrow", f"panel contact: {c}")) for c in ("more behind", "more in front", "even")
    )
    assert rear.certainty(NARROW) > even.certainty(NARROW) == front.certainty(NARROW)
    assert {"meschan_2007", "mackechnie_guire_2019"} <= basis(NARROW, "it lies heavy behind")


def test_front_and_middle_both_stand_for_wide_and_count_once(ask: Ask) -> None:
    """P17: P11 (Meschan, high) middle, P15 (MacKechnie-Guire, high) front. Neither outweighs, neither is added up."""
    middle = "after work: {sweat marks: middle only}\n"
    neither = ask(looks("tree width: looks wide", "panel contact: even"))
    only_front = ask(looks("tree width: looks wide", "panel contact: more in front"))
    only_middle = ask(looks("tree width: looks wide", "panel contact: even", more=middle))
    both = ask(looks("tree width: looks wide", "panel contact: more in front", more=middle))
    assert only_front.certainty(WIDE) == only_middle.certainty(WIDE) == both.certainty(WIDE)
    assert both.certainty(WIDE) > neither.certainty(WIDE)


def test_the_strip_beside_the_spine_belongs_to_a_wide_tree_too(ask: Ask) -> None:
    """P12, Meschan thesis 2004 (high).

    At the walk a wide tree loads the strip by the spine; the channel is asked less.
    """
    sore = "palpation: {beside the spines: {both: 4}}\n"
    wide = looks("tree width: looks wide", "front: low", "channel: narrow", more=sore)
    right = looks("tree width: looks right", "front: level", "channel: narrow", more=sore)
    without = ask(wide.replace(sore, "palpation: {beside the spines: {both: 1}}\n"))
    assert ask(wide).certainty(WIDE) > without.certainty(WIDE)
    assert ask(wide).certainty("channel_too_narrow") < ask(right).certainty("channel_too_narrow")


@pytest.mark.parametrize("number", ["1", "4", "6"])
def test_how_sore_the_withers_are_tells_no_width(ask: Ask, number: str) -> None:
    """P13, Dittmann 2021 (high): pressure and back pain did not go together; sore withers move neither width."""
    for width in ("looks narrow", "looks wide"):
        bare = ask(looks(f"tree width: {width}"))
        sore = ask(looks(f"tree width: {width}", more=f"palpation: {{withers: {{both: {number}}}}}\n"))
        assert (sore.certainty(NARROW), sore.certainty(WIDE)) == (bare.certainty(NARROW), bare.certainty(WIDE))


def test_a_pad_under_a_narrow_tree_comes_out_and_none_goes_in(ask: Ask) -> None:
    """H08, textbook on veterinary care (high): padding under a saddle already too narrow presses harder."""
    text = "tacked up: {saddle: {type: with bars, tree width: looks narrow, front: high, shims in place: none}, pad: thick}\n"
    answer = ask(text + "standing square: {topline: fallen away}\n")
    assert answer.band("pad_under_a_narrow_tree") == "fair"
    keys = {key for key, _ in answer.steps}
    assert "take_the_pad_out" in keys
    assert keys & {"ask_about_a_pad_for_a_time", "shims_under_the_side"} == set()
    thin = ask(text.replace("pad: thick", "pad: thin"))
    assert thin.band("pad_under_a_narrow_tree") == "against"


def test_a_pad_under_a_wide_tree_is_the_fitters_for_a_time(ask: Ask) -> None:
    """H08, a textbook on veterinary care (high).

    For a time, under a wider saddle, laid by a professional; H01 (2023, high): it is not the right size.
    """
    answer = ask(looks("tree width: looks wide", "front: low", more="standing square: {topline: fallen away}\n"))
    step = next(s for s in answer.answer.plan.steps if s.key == "ask_about_a_pad_for_a_time")
    assert "half_pad_and_shims_2023" in step.basis
    assert re.search(r"\d+ ?(mm|cm|inch)", f"{step.words} {step.dose}") is None
    assert "take_the_pad_out" not in {key for key, _ in answer.steps}
    filled = ask(looks("tree width: looks wide", "front: low", more="standing square: {topline: filled}\n"))
    assert "ask_about_a_pad_for_a_time" not in {key for key, _ in filled.steps}


def test_pads_are_not_accused_under_a_tree_of_the_right_width(ask: Ask) -> None:
    """H03, MacKechnie-Guire 2021 (high), H04, Dittmann 2022 (high).

    Under fitting saddles most pads took a little off; gel raised the front.
    """
    answer = ask("tacked up: {saddle: {tree width: looks right, front: level}, pad: thick}\n")
    assert answer.band("pad_under_a_narrow_tree") == "against"
    assert "take_the_pad_out" not in {key for key, _ in answer.steps}
    cited = set(BOOK.actions["take_the_pad_out"].basis)
    assert {"half_pad_materials_2021", "dittmann_pads_2022"} <= cited


def test_paired_hollows_point_to_narrow_and_one_hollow_does_not(ask: Ask) -> None:
    """M01, the same textbook (high; we write medium): narrow saddles leave hollows in pairs below the withers."""
    where = "palpation: {behind the shoulder blade: {left: {soreness: 1, felt: LEFT}, right: {soreness: 1, felt: hollow}}}\n"
    bare = ask(looks("front: high"))
    pair = ask(looks("front: high", more=where.replace("LEFT", "hollow")))
    one = ask(looks("front: high", more=where.replace("LEFT", "nothing")))
    assert pair.certainty(NARROW) > bare.certainty(NARROW) == one.certainty(NARROW)


def test_dislike_at_saddling_is_a_voice_and_no_verdict(ask: Ask) -> None:
    """P28, Dyson and others 2021 (high): tight points went with dislike at tacking up; so did a sore back and legs."""
    grumpy = "tacked up: {girthed: {saddling: marked dislike}}\n"
    assert (NARROW, "") not in ask(grumpy).supported
    with_look = "tacked up: {saddle: {tree width: looks narrow}, girthed: {saddling: SADDLING}}\n"
    quiet, minds = (ask(with_look.replace("SADDLING", s)) for s in ("quiet", "marked dislike"))
    assert minds.certainty(NARROW) > quiet.certainty(NARROW)


def test_the_last_rib_is_the_limit(ask: Ask) -> None:
    """P29, Dyson, Carson and Fisher 2015 (high): not behind T18, the last rib traced to the top."""
    ends = ["before the last rib", "at the last rib", "behind the last rib"]
    before, at, behind = (ask(looks(f"length: {end}")).certainty("saddle_too_long") for end in ends)
    assert before < at < 0 < behind
    text = looks("type: panelled", "lies: on the blade", "length: LENGTH")
    steps = [{key for key, _ in ask(text.replace("LENGTH", end)).steps} for end in ends]
    assert ["saddle_back_off_the_blade" in keys for keys in steps] == [True, True, False]
    assert ["saddle_off_until_it_is_looked_at" in keys for keys in steps] == [False, False, True]


def test_a_heavy_load_matters_where_no_rib_is_to_spare(ask: Ask) -> None:
    """W09, Roost 2020 (high; pilot, we write medium): the heaviest rider sat beyond the rear edge and loaded it."""
    text = "before the visit: {load: LOAD}\n" + looks("length: END")
    for end, counts in (("at the last rib", True), ("behind the last rib", True), ("before the last rib", False)):
        light, heavy = (
            ask(text.replace("END", end).replace("LOAD", load)).certainty("saddle_too_long")
            for load in ("under 15 percent", "over 25 percent")
        )
        assert (heavy > light) == counts


def test_bridging_is_contact_at_both_ends_with_none_between(ask: Ask) -> None:
    """P18, Greve and Dyson 2014 captions (high): front and back touch, the middle does not."""
    for contact in ("even", "rocks", "more in front", "more behind", "bridges"):
        answer = ask(looks(f"panel contact: {contact}"))
        assert (("saddle_bridges", "") in answer.supported) == (contact == "bridges")


def test_uneven_filling_is_asked_after_the_limb(ask: Ask) -> None:
    """S02-S04, Greve and Dyson 2013 (high): limb first; the two that went on slipping had unevenly filled saddles."""
    text = looks("fuller panel: left", more="ridden: {saddle comes to: right, seen on: both reins}\n")
    alone, limb = ask(text), ask(text + "uneven steps: {right hind: slight}")
    assert limb.certainty("panels_uneven", "left") < alone.certainty("panels_uneven", "left")
    assert ("uneven_behind_slightly", "right") in limb.concerns
    assert "watch_another_saddle" not in {key for key, _ in limb.steps}
    assert ("saddle_comes_over_look_at_the_legs", "right") in alone.concerns  # level legs do not close the question


def test_dry_on_both_sides_speaks_for_the_withers(ask: Ask) -> None:
    """P01-P04, von Peinen 2010 (high): horses with dry spots had about twice the mean pressure at the withers."""
    text = "palpation: {withers: {both: 4}}\nafter work: {dry patch: {left: DRY, right: seen}}\n"
    both, one = ask(text.replace("DRY", "seen")), ask(text.replace("DRY", "none"))
    assert both.certainty("withers_sore_both_sides") > one.certainty("withers_sore_both_sides")


def test_a_fuller_shoulder_is_common_and_takes_little_away(ask: Ask) -> None:
    """L11, Merkies about 2020 (high).

    Almost six in ten larger on one side; it makes no cause and lowers one a little.
    """
    assert ask("standing square: {bigger shoulder: left}").certainty("panels_uneven", "left") < 0
    text = looks("fuller panel: left", more="standing square: {bigger shoulder: SIDE}\n")
    bigger, even = (ask(text.replace("SIDE", s)).certainty("panels_uneven", "left") for s in ("left", "even"))
    assert 0.4 < bigger < even
