"""Law 8, reference: plain Python and CLIPS, which share no code with the engine, answer as it does.

In: random rulebases and the shipped one, random visits and those of examples/. Out: failures.
Not here: the references themselves (tests/references).
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given

from reasoner.inference.record import Record
from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.reading import read_visit
from tests.chance import Chooser, Seeded, pick
from tests.laws.judged import Ready, ready, shipped
from tests.random_rulebooks import random_rulebook
from tests.random_visits import random_visit
from tests.references.clips_rules import Answers, ClipsRules
from tests.references.plain import Plain
from tests.strategies import Case, cases, seeds

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.yaml"))
STEP = (
    1e-9  # certainties stand on this grid; weights are rounded to 2^-40, so that a tie of rounding may fall either way
)
FUZZ = 1e-12


def depth(book: Rulebook, key: str) -> int:
    known = _DEPTHS.setdefault(id(book), (book, {}))[1]
    if key not in known:
        known[key] = _depth(book, key)
    return known[key]


_DEPTHS: dict[int, tuple[Rulebook, dict[str, int]]] = {}  # the book is kept, so that no other can take its number


def _depth(book: Rulebook, key: str) -> int:
    """How many layers of conclusions lie below this one."""
    rules = range(len(book.conclusions[key].evidence))
    below = {leaf.subject for n in rules for leaf in leaves(book.parsed[key, f"evidence {n} when"])
             if leaf.of == "conclusion"}  # fmt: skip
    return 1 + max((depth(book, k) for k in below), default=-1)


def plain_agrees(book: Rulebook, record: Record, values: Mapping[str, float]) -> Plain:
    plain = Plain(book, values)
    for (key, side), certainty in plain.conclusions().items():
        assert abs(certainty - record.certainty(key, side)) <= STEP * (1 + depth(book, key)) + FUZZ, (key, side)
    assert plain.fired() == {(rule.id, rule.side) for rule in record.applied if rule.degree > 0}
    assert plain.raised() == {(key, side, place) for _, key, side, place, _ in record.raised()}
    result, meta = record.result, record.program.meta
    actions = {
        (a[0], a[1]): (bool(result.wanted[n, 0]), bool(result.held[n, 0])) for n, a in enumerate(meta["actions"])
    }
    assert plain.actions() == actions
    assert plain.levels() == {call for n, call in enumerate(meta["levels"]) if result.level[n, 0]}
    return plain


def clips_agrees(plain: Plain, clips: Answers) -> None:
    """The two references use the same arithmetic, so that they agree far closer than one step."""
    for key, certainty in plain.conclusions().items():
        assert abs(certainty - clips.certainty.get(key, 0.0)) <= FUZZ, key
    assert clips.fired == plain.fired()
    assert clips.raised == plain.raised()
    assert clips.levels == plain.levels()
    actions = plain.actions()
    assert clips.wanted == {key for key, (wanted, _) in actions.items() if wanted}
    assert clips.free == {key for key, (wanted, held) in actions.items() if wanted and not held}


def all_agree(ready: Ready, clips: ClipsRules, values: Mapping[str, float]) -> None:
    plain = plain_agrees(ready.book, ready.record(values), values)
    clips_agrees(plain, clips.judge(values))


@given(cases(visits=3))
def test_random_rulebases(case: Case) -> None:
    book, visits, _ = case
    made, clips = ready(book), ClipsRules(book, report_rules=True)
    for visit in visits:
        all_agree(made, clips, made.facts(visit).values)


def test_four_hundred_seeded_rulebases() -> None:
    """Wider than what is drawn, and without CLIPS: plain Python and the lean program beside the engine."""
    for seed in range(400):
        chooser = Seeded(seed)
        made = ready(random_rulebook(chooser))
        values = made.facts(random_visit(chooser, made.book, filled=70)).values
        plain_agrees(made.book, made.record(values), values)


@functools.cache
def shipped_clips() -> ClipsRules:
    return ClipsRules(shipped().book, report_rules=True)


@given(seeds())
def test_the_shipped_rulebase(chooser: Chooser) -> None:
    visit = random_visit(chooser, shipped().book, filled=pick(chooser, [3, 20, 60]))
    all_agree(shipped(), shipped_clips(), shipped().facts(visit).values)


def test_two_thousand_random_visits_on_the_shipped_rulebase() -> None:
    """Thin ones, fair ones and full ones; every answer of both references, certainties to the last place."""
    clips = shipped_clips()
    for seed in range(2000):
        chooser = Seeded(seed)
        values = shipped().facts(random_visit(chooser, shipped().book, filled=(3, 20, 60)[seed % 3])).values
        record, told = shipped().record(values), clips.judge(values)
        clips_agrees(plain_agrees(shipped().book, record, values), told)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_visits_of_the_examples(path: Path) -> None:
    values = shipped().facts(read_visit(path, shipped().book.vocabulary)).values
    all_agree(shipped(), shipped_clips(), values)


def test_there_are_examples() -> None:
    assert len(EXAMPLES) >= 10


def test_one_program_forgets_the_last_visit() -> None:
    """CLIPS is reset for each visit: the same visit again, after another one, answers the same."""
    clips = shipped_clips()
    first, second = (shipped().facts(read_visit(path, shipped().book.vocabulary)).values for path in EXAMPLES[:2])
    once = clips.judge(first)
    clips.judge(second)
    assert clips.judge(first) == once
