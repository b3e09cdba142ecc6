"""The reader takes every word from the vocabulary: a few made-up words read just as the shipped ones do.

In: a vocabulary built here. Out: visits in those words.
Not here: the shipped words.
"""

from __future__ import annotations

from datetime import date

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook.strict_yaml import parse
from reasoner.rulebook.vocabulary import Observation, Place, Refused, Section, Vocabulary, Word
from reasoner.visit import Visit, visit_from_node
from reasoner.visit.blank import blank_visit

TINY = Vocabulary(
    places={
        "knob": Place(key="knob", name="the knob", region="end", sides="each", walk=1, also=("bobble",)),
        "ridge": Place(key="ridge", name="ridge", region="end", sides="midline", walk=2),
        "dip": Place(key="dip", name="dip", region="end", sides="each", walk=3),
    },
    observations={
        "colour": Observation(
            key="colour", name="colour", section="look", kind="choice", readings=(Word(key="mauve", also=("purple",)),)
        ),
        "marbles": Observation(key="marbles", name="marbles", section="look", kind="count", range=(0, 9)),
        "tilt": Observation(key="tilt", name="tilt", section="look", kind="side", readings=(Word(key="straight"),)),
    },
    sections={"look": Section(key="look", name="look")},
    sides={"left": ("sinister",), "right": ("dexter",), "both": ("ambo",)},
    limbs={"fore": (), "hind": ()},
    qualities={"responses": (Word(key="none"), Word(key="hums")), "felt": (), "depth": (), "touch": (),
               "not_examined_reasons": (Word(key="asleep"),)},
    refused=(Refused(words=("widdershins",), because="nobody agrees which way that is"),),
    round=("knob", "ridge"),
)  # fmt: skip


def read(text: str) -> Visit:
    return visit_from_node(parse(text.encode(), "v"), "v", TINY, default_day=date(2026, 4, 18))


def test_words_come_from_the_vocabulary_alone() -> None:
    visit = read(
        "palpation: {bobble: {sinister: 3, dexter: not examined - asleep}}\n"
        "look: {colour: purple, marbles: 3, tilt: dexter}"
    )
    assert [(t.place, t.side, t.not_examined) for t in visit.touches] == [
        ("knob", "left", None),
        ("knob", "right", "asleep"),
    ]
    assert visit.noted_value("colour") == "mauve"
    assert visit.noted_value("marbles") == 3
    assert visit.noted_value("tilt") == "right"


def test_quiet_leaves_out_what_is_not_of_the_round() -> None:
    assert [(t.place, t.side) for t in read("quiet: {end: ambo}").touches] == [
        ("knob", "left"),
        ("knob", "right"),
        ("ridge", None),
    ]
    assert [(t.place, t.side) for t in read("quiet: {end: sinister}").touches] == [("knob", "left")]


def test_refused_words_are_refused_with_their_reason() -> None:
    with pytest.raises(BadInput, match=r"VF07.*nobody agrees"):
        read("look: {tilt: widdershins}")


def test_a_word_of_the_shipped_rules_is_unknown_here() -> None:
    with pytest.raises(BadInput, match="VF05"):
        read("palpation: {withers: {sinister: 3}}")
    with pytest.raises(BadInput, match=r"VF17.*0 to 9"):
        read("look: {marbles: 12}")


def test_its_blank_file_reads() -> None:
    visit = visit_from_node(parse(blank_visit(TINY).encode(), "b"), "b", TINY, default_day=date(2026, 4, 18))
    assert visit.touches == ()
