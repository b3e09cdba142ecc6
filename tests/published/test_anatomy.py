"""The vertebrae and the two ends of the brachiocephalicus, against anatomy texts.

In: the shipped vocabulary. Out: the places that exist, and where the muscle is said to take hold.
Not here: what may be concluded from a touch. Vertebral formula: Haussler, Stover and Willits 1997 for the usual count (high)
and standard texts; attachments: a classical limb text, a wiki of veterinary anatomy and Fails and Magee 2018 (high).
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any, cast

from tests.asking import shipped

VOCABULARY = shipped().book.vocabulary


def spine() -> list[str]:
    """Every vertebra of neck, back, loin and croup in order, from the formula in rules/vocabulary."""
    formula = cast("dict[str, Any]", VOCABULARY.facts["vertebrae"])["formula"]
    return [f"{part}{n}" for part in "CTLS" for n in range(1, int(formula[part]) + 1)]


def test_the_formula() -> None:
    """C7 T18 L6 S5 (gait_scales: strongest facts, counts; K06 for how often it is otherwise)."""
    formula = cast("dict[str, Any]", VOCABULARY.facts["vertebrae"])["formula"]
    assert {part: formula[part] for part in "CTLS"} == {"C": "7", "T": "18", "L": "6", "S": "5"}
    assert len(spine()) == 36


def test_a_space_lies_between_two_neighbours_that_exist() -> None:
    """Every space is named for two vertebrae that follow each other; none is made up, none of the back is left out."""
    neighbours = {f"{one}-{two}" for one, two in pairwise(spine())}
    names = [VOCABULARY.places[key].name for key in VOCABULARY.group("spinous_spaces")]
    assert set(names) <= neighbours
    assert len(names) == len(set(names))
    back = spine()[spine().index("T8") : spine().index("L6") + 1]
    assert {f"{one}-{two}" for one, two in pairwise(back)} <= set(names)


def test_spaces_lie_on_the_midline_in_the_order_of_the_spine() -> None:
    """T17-T18 comes before T18-L1 and that before L1-L2; a space has no left and right."""
    places = [VOCABULARY.places[key] for key in VOCABULARY.group("spinous_spaces")]
    assert {place.sides for place in places} == {"midline"}
    order = {f"{one}-{two}": n for n, (one, two) in enumerate(pairwise(spine()))}
    walked = [order[place.name] for place in sorted(places, key=lambda place: place.walk)]
    assert walked == sorted(walked)


def test_the_usual_count_is_not_every_horse() -> None:
    """K06 (high): only 22 of 36 racehorses had 6 loin and 5 croup vertebrae, 8 a vertebra of mixed form."""
    says = cast("dict[str, Any]", VOCABULARY.facts["vertebrae"])["says"]
    assert "36" in says
    assert "22" in says
    assert "estimates" in says


def test_the_head_end_of_the_brachiocephalicus() -> None:
    """High: the mastoid process (the bony knob behind the ear) and the ridge of the skull; felt below and behind the
    ear at the wing of the atlas. The slips to atlas and neck bones are counted with the neighbouring strap."""
    place = VOCABULARY.places["behind_the_poll"]
    assert "brachiocephalicus" in place.latin
    assert "knob behind the ear" in place.insertion
    assert "atlas" in place.hand
    assert "shoulder joint" in place.origin  # the fibrous line where a collar bone would be
    assert {"classical_limb_notes", "wikivet_limb", "fails_magee_2018"} <= set(place.anatomy_basis)


def test_the_arm_end_of_the_brachiocephalicus() -> None:
    """High: the deltoid tuberosity and crest of the humerus (the rough ridge and crest of the upper arm bone)."""
    place = VOCABULARY.places["front_of_the_upper_arm"]
    assert "brachiocephalicus" in place.latin
    assert "ridge and crest of the upper arm bone" in place.insertion
    assert {"classical_limb_notes", "wikivet_limb", "fails_magee_2018"} <= set(place.anatomy_basis)


def test_it_draws_the_foreleg_forward_when_the_neck_is_held() -> None:
    """High (same texts): neck fixed it pulls the limb forward, limb fixed it bends or lowers the neck."""
    for key in VOCABULARY.group("brachiocephalicus_line"):
        assert "foreleg forward" in VOCABULARY.places[key].action


def test_both_ends_and_the_belly_are_places_of_both_sides() -> None:
    """Three places on one line, each with a left and a right, so that both ends can be asked for."""
    line = VOCABULARY.group("brachiocephalicus_line")
    assert set(line) == {"behind_the_poll", "neck_strap", "front_of_the_upper_arm"}
    assert {VOCABULARY.places[key].sides for key in line} == {"each"}
