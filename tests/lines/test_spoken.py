"""Readings in everyday words: the table holds what it says, and a side comes out of a phrase only where one was said.

In: the shipped rulebook, tables made wrong. Out: failures. Not here: how many lines are right (test_lines.py).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from reasoner.lines import understood
from reasoner.lines.inside import with_sides_before_names
from reasoner.lines.lexicon import lexicon_of
from reasoner.lines.spoken import PLACE, spoken_of
from reasoner.lines.words import words_of
from reasoner.problems import BadInput
from reasoner.rules_cache import ready_rulebook
from tests.lines.cases import vocabulary

BOOK = ready_rulebook().book
FITTING: dict[str, Any] = {
    "small": ["the"], "inner": ["is"], "degrees": ["a bit"],
    "readings": {"toe_drag": {"side": ["drags {side} toe"]}, "gums": {"pink": ["gums good/nice colour"]}},
}  # fmt: skip


def made(**other: Any) -> Any:
    words = vocabulary()
    return spoken_of(replace(words, facts={**words.facts, "spoken": FITTING | other}), {})


def test_every_way_to_write_a_phrase_is_found() -> None:
    assert set(made().phrases) == {("drags", PLACE, "toe"), ("gums", "good", "colour"), ("gums", "nice", "colour")}


@pytest.mark.parametrize(
    ("readings", "told"),
    [
        ({"toe_drags": {"left": ["drags"]}}, "no entry"),
        ({"gums": {"rosy": ["gums rosy"]}}, "no reading of gums"),
        ({"gums": {"pink": ["gums fine"], "pale": ["gums fine"]}}, "said both"),
        ({"toe_drag": {"side": ["drags {side}/a toe"]}}, "no place for the side"),
        ({"dry_patch": {"seen": ["dry patch"]}}, "no place for the side"),
    ],
)
def test_a_phrase_of_nothing_and_one_that_says_two_things_are_told(readings: Any, told: str) -> None:
    with pytest.raises(BadInput, match=told) as raised:
        made(readings=readings)
    assert {problem.code for problem in raised.value.problems} == {"LN15"}


def test_a_table_without_its_small_words_is_told() -> None:
    with pytest.raises(BadInput, match="LN15"):
        made(small=[])


def test_every_phrase_without_a_place_for_a_side_gives_none() -> None:
    """Of an entry whose reading is a side, each phrase either holds a place for one or says a reading that is none."""
    for phrase, (entry, reading) in lexicon_of(BOOK.vocabulary).spoken.phrases.items():
        if reading == "side" or BOOK.vocabulary.observations[entry].sides == "each":
            assert PLACE in phrase, (entry, phrase)


@pytest.mark.parametrize(
    ("line", "entry", "side", "value"),
    [
        ("he's a bit short on the near fore", "fore_step", "left", "slight"),
        ("obviously short on the off hind", "hind_step", "right", "marked"),
        ("she collapses her right hip", "hip_collapse", None, "right"),
        ("the saddle is slipping over to the off side", "saddle_comes_to", None, "right"),
        ("dry patches either side of the panel", "dry_patch", "both", ""),
    ],
)
def test_the_side_is_the_one_that_was_said(line: str, entry: str, side: str | None, value: str) -> None:
    found = {(f.key, f.side, f.reading.value) for f in understood(line, BOOK).findings}
    if side == "both":
        assert not found or {s for k, s, _ in found if k == entry} == {"left", "right"}
    else:
        assert found == {(entry, side, value)}


def test_how_much_is_asked_where_nobody_said_it() -> None:
    told = understood("short on the near fore", BOOK)
    assert not told.findings
    assert [(q.ask, q.entry, q.parts[0].side) for q in told.questions] == [("reading", "fore_step", "left")]


@pytest.mark.parametrize(
    ("line", "moved"),
    [
        ("behind the left elbow four", "left hand behind the elbow four"),
        ("neck left trap three", "neck left trap three"),
        ("loin left four", "loin left four"),
        ("outer off hamstring two", "right hand outer hamstring two"),
    ],
)
def test_a_side_inside_a_name_is_said_before_it(line: str, moved: str) -> None:
    lexicon = lexicon_of(BOOK.vocabulary)
    words = words_of(line, lexicon.speech.letters, lexicon.loin)
    assert " ".join(word.text for word in with_sides_before_names(words, lexicon)) == moved


def test_a_quiet_region_asks_once_for_its_side() -> None:
    from reasoner.lines import answered

    told = understood("neck quiet", BOOK)
    assert [(q.ask, q.about) for q in told.questions] == [("side", ("neck",))]
    after = answered(told, told.questions[0], "left", BOOK)
    assert {f.side for f in after.findings} == {"left"}
    assert not after.questions
    assert len(answered(told, told.questions[0], "both", BOOK).findings) > 2 * len(after.findings)
    assert {f.side for f in understood("whole neck quiet", BOOK).findings} == {"left", "right", None}
