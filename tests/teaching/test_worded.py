"""Agreement on words: counts, shares and kappas, held to published tables; exchanging the hands; what is left out and said.

In: made visits. Out: failures.
Not here: numbers (test_statistics.py), the command (test_agree_command.py).
"""

from __future__ import annotations

import numpy as np
import pytest

from reasoner.rendering.text_page import plain_text
from reasoner.rendering.worded_text import worded_lines
from reasoner.teaching.paired import paired
from reasoner.teaching.statistics import kappa
from reasoner.teaching.worded import Word, share_of, worded_of
from tests.teaching.hands import BOOK, TABLE, written

HEAD = "horse: {{name: Clove}}\nvisit: 2026-05-06\nyard: Larkhope\nexamined by: {hand}\n"
WREN = (
    HEAD.format(hand="Wren Aldous")
    + """
in hand: {trot in hand: even, toe drag: none}
palpation:
  loin: {left: {soreness: 4, response: flinches}, right: {soreness: 2, response: none}}
  croup: {left: {soreness: 5, response: [flinches, moves away], felt: hard}, right: {soreness: 1, response: none}}
  withers: {left: {soreness: 0, response: none, depth: deep}}
  girth line: {left: 3}
quiet: {poll: both}
"""
)
TAM = (
    HEAD.format(hand="Tam Orrin")
    + """
in hand: {trot in hand: even, toe drag: left, back carriage: level}
palpation:
  loin: {left: {soreness: 5, response: flinches}, right: {soreness: 2, response: flinches}}
  croup: {left: {soreness: 5, response: moves away, felt: nothing}, right: {soreness: 1, response: none}}
  withers: {left: {soreness: 0, response: none, depth: surface}}
  girth line: {left: {soreness: 3, response: ears back}}
quiet: {poll: both}
"""
)


def words_of(one: str = WREN, two: str = TAM) -> dict[str, Word]:
    pair = paired(written(one, "one.yaml"), written(two, "two.yaml"), BOOK.vocabulary)
    return {word.word: word for word in worded_of([pair], BOOK.vocabulary, TABLE).words}


@pytest.mark.parametrize(
    ("counts", "value"),
    [([[40, 9], [6, 45]], 0.70), ([[80, 10], [5, 5]], 0.32)],
)
def test_kappa_of_words_is_that_of_the_two_published_tables(counts: list[list[int]], value: float) -> None:
    """Feinstein and Cicchetti 1990: both tables agree at 85 of 100 and have kappa .70 and .32, because in the second one word is
    rare (from memory; the arithmetic is worked out here as well)."""
    found = kappa(np.array(counts), "none", 0.95)
    assert found is not None
    n = sum(map(sum, counts))
    same = (counts[0][0] + counts[1][1]) / n
    chance = sum(sum(counts[k]) * (counts[0][k] + counts[1][k]) for k in (0, 1)) / n**2
    assert same == pytest.approx(0.85)
    assert found.value == pytest.approx((same - chance) / (1 - chance))
    assert round(found.value, 2) == value


@pytest.mark.parametrize(
    ("same", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_a_share_has_the_published_interval(same: int, of: int, low: float, high: float) -> None:
    """Newcombe 1998, table I, method 3 (Wilson's score interval without correction): its four examples (from memory)."""
    found = share_of(same, of, 0.95)
    assert (round(found.low or 0.0, 4), round(found.high or 0.0, 4)) == (low, high)


def test_a_word_is_counted_where_both_wrote_of_such_things() -> None:
    words = words_of()
    flinches = words["flinches"]
    assert (flinches.both, flinches.first, flinches.second, flinches.neither) == (1, 1, 1, 2)
    assert flinches.share.value == pytest.approx(3 / 5)
    assert flinches.kappa is None, "five places are too few"
    assert (words["moves_away"].both, words["moves_away"].neither) == (1, 4)
    assert "ears_back" not in words, "only one hand wrote a response there"
    assert (words["hard"].first, words["hard"].places) == (1, 1)


def test_exchanging_the_hands_exchanges_who_wrote_it_alone() -> None:
    there, back = words_of(), words_of(TAM, WREN)
    assert {key: (w.both, w.second, w.first, w.neither, w.share) for key, w in there.items()} == {
        key: (w.both, w.first, w.second, w.neither, w.share) for key, w in back.items()
    }


def test_what_was_seen_and_how_deep_have_one_share_each() -> None:
    pair = paired(written(WREN, "one.yaml"), written(TAM, "two.yaml"), BOOK.vocabulary)
    shared = {one.of: one for one in worded_of([pair], BOOK.vocabulary, TABLE).shared}
    seen, deep = shared["what was seen, tried or read"], shared["how deep"]
    assert (seen.compared, seen.same, seen.only_one) == (2, 1, 1)
    assert (deep.compared, deep.same) == (1, 0)
    assert deep.share is not None


def test_enough_places_give_a_kappa_with_its_words() -> None:
    names = sorted(key for key, place in BOOK.vocabulary.places.items() if place.sides == "each")[:6]

    def visit(hand: str, flinching: int) -> str:
        lines = [HEAD.format(hand=hand), "palpation:\n"]
        for number, name in enumerate(names):
            said = ["flinches" if 2 * number + side < flinching else "none" for side in (0, 1)]
            left, right = (f"{{soreness: 3, response: {one}}}" for one in said)
            lines.append(f"  {name.replace('_', ' ')}: {{left: {left}, right: {right}}}\n")
        return "".join(lines)

    one, two = (written(visit(hand, n), f"{n}.yaml") for hand, n in (("Wren Aldous", 5), ("Tam Orrin", 3)))
    worded = worded_of([paired(one, two, BOOK.vocabulary)], BOOK.vocabulary, TABLE)
    (flinches,) = worded.words
    assert (flinches.both, flinches.first, flinches.second, flinches.neither) == (3, 2, 0, 7)
    assert flinches.kappa is not None
    assert flinches.kappa.value == pytest.approx((10 / 12 - (5 * 3 + 7 * 9) / 144) / (1 - (5 * 3 + 7 * 9) / 144))
    page = " ".join(plain_text(worded_lines(worded, ("Wren Aldous", "Tam Orrin"), BOOK, TABLE)).split())
    assert "flinches: of 5 places where either wrote it, both did at 3 (Wren Aldous alone at 2)" in page
    assert "Not compared as words" in page


def test_two_hands_who_both_wrote_that_there_was_nothing_are_not_said_to_have_written_nothing() -> None:
    text = (
        HEAD + "palpation:\n  loin: {{left: {{soreness: 1, response: none}}, right: {{soreness: 1, response: none}}}}\n"
    )
    one, two = (written(text.format(hand=hand), hand) for hand in ("Wren Aldous", "Tam Orrin"))
    pair = paired(one, two, BOOK.vocabulary)
    told = plain_text(worded_lines(worded_of([pair], BOOK.vocabulary, TABLE), ("Wren", "Tam"), BOOK, TABLE))
    assert "Neither wrote a word" not in told
    assert "neither wrote more than that there was none" in " ".join(told.split())
