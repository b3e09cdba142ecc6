"""Conditions in words: each kind of question reads, and no two that differ read alike.

In: conditions. Out: sentences.
Not here: the grammar.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from reasoner.rendering.condition_words import by_side, one_line, said
from reasoner.rulebook.conditions import parse_condition
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.references import names_of

BOOK = load_rulebook()
CASES: list[tuple[Any, str]] = [
    ({"withers": {"side": "this", "at_least": "sore"}}, "withers, this side: sore"),
    ({"withers": {"side": "other", "at_least": "4"}}, "withers, the other side: at least 4 of 10"),
    ({"withers": {"side": "either", "at_least": "7", "reading": "worst"}},
     "withers, either side: at least 7 of 10 (worst reading)"),
    ({"loin": {"side": "this", "more_than_other": "more"}}, "loin, this side: more than on the opposite side"),
    ({"withers": {"side": "both", "response": ["flinches", "moves away"]}},
     "withers, both sides: answers with flinches or moves away"),
    ({"withers": {"side": "this", "felt": "knot"}}, "withers, this side: felt knot"),
    ({"withers": {"side": "this", "depth": "surface"}}, "withers, this side: sore at the surface"),
    ({"withers": {"side": "this", "guarded": "yes"}}, "withers, this side: would not allow touch"),
    ({"this_place": {"unsettled": "yes"}}, "this place: not settled yet"),
    ({"places": {"group": "spinous_spaces", "how_many": "2", "at_least": "3"}},
     "2 or more places of spinous spaces: at least 3 of 10"),
    ({"saddle_front": ["high", "low"]}, "saddle: front: high or low"),
    ({"saddle_comes_to": "other"}, "saddle comes to: the other side"),
    ({"temperature": {"above": "38.5 °C"}}, "temperature: above 38.5 °C"),
    ({"fall_or_blow": {"within": "7 days"}}, "fall or blow: within 7 days"),
    ({"withers_pinch": {"side": "both", "at_least": "fair"}}, "withers pinch, both sides: fair pointers or more"),
    ({"back_held_hollow": "yes"}, "back held hollow: supported"),
    ({"not": {"rests": "straight"}}, "recorded, and not so (rests: straight)"),
    ({"all": [{"rests": "this"}, {"any": [{"bleeding": "heavy"}, {"rests": "other"}]}]},
     "all of (rests: this side; any of (bleeding: heavy; rests: the other side))"),
    ({"at_least_2_of": [{"rests": "this"}, {"rests": "other"}, {"bleeding": "heavy"}]},
     "at least 2 of (rests: this side; rests: the other side; bleeding: heavy)"),
]  # fmt: skip


@pytest.mark.parametrize(("written", "words"), CASES, ids=lambda x: x if isinstance(x, str) else "")
def test_a_condition_reads(written: Any, words: str) -> None:
    problems: list[Any] = []
    condition = parse_condition(written, names_of(BOOK), "page.yaml", 1, problems)
    assert condition is not None, problems
    assert one_line(said(condition, BOOK)) == words


def test_every_shipped_condition_reads_and_no_two_differ_in_vain() -> None:
    by_words: dict[str, set[str]] = {}
    for condition in BOOK.parsed.values():
        words = one_line(said(condition, BOOK))
        assert "{" not in words
        assert "None" not in words
        by_words.setdefault(words, set()).add(_without_lines(condition))
    assert {words: some for words, some in by_words.items() if len(some) > 1} == {}


def _without_lines(condition: Any) -> str:
    return re.sub(r"line=\d+", "", repr(condition))


def test_no_sentence_of_a_page_keeps_a_placeholder() -> None:
    pages: list[Any] = [*BOOK.conclusions.values(), *BOOK.concerns.values(), *BOOK.actions.values()]
    for page in [*pages, *BOOK.circumstances.values()]:
        more = (getattr(page, "plain", ""), getattr(page, "dose", ""), getattr(page, "because", ""))
        for text in (page.says, page.lesson, page.can_mislead, *more):
            told = by_side(text)
            assert "{" not in told, told
            assert "the this" not in told, told
            assert "side side" not in told, told
            assert not re.search(r"side's (?:and|of|as|what|long ago|on|in|at|to)\b", told), told
            assert not re.search(r"\bthe (?:\w+ )?(?:this|the other) side\b", told), told
