"""What would change my mind: the change found overturns, nothing smaller does, nothing as small is missing.

In: random rulebases with random visits, examples, pages of a few rules. Out: failures.
Not here: the words of the page.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from itertools import combinations, product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from reasoner.consult import Answer, consult, judge
from reasoner.questions.changes import Change, changed
from reasoner.questions.could_change import QUESTIONS
from reasoner.questions.edits import Edit, Unit, units_of
from reasoner.questions.first_steps import first_of
from reasoner.questions.overturn import Found, Overturned, overturned
from reasoner.questions.rows import Rows
from reasoner.rules_cache import Ready
from reasoner.visit.model import Noted, Touch, VetsWord, Visit
from tests.chance import Chooser, Seeded, pick
from tests.questions.made_up import made
from tests.random_rulebooks import SCALES, random_rulebook
from tests.random_visits import random_visit
from tests.strategies import seeds

EXAMPLES = Path(__file__).parents[2] / "examples"
COARSE = dataclasses.replace(SCALES, step=2.5)  # five scores, so that everything can be tried
Parts = dict[str, Any]


def parts(answer: Answer) -> Parts:
    """What each question asks about, from the whole answer of a visit."""
    raised = {
        (page, side, place) for _, page, side, place, _ in answer.record.raised()
    }  # before any is told with another
    return {
        "leading": set(answer.explanation.leading),
        "referral": (answer.referral.level, raised),
        "first_step": set(first_of(answer.plan, answer.referral)),
    }


def edited(answer: Answer, edits: tuple[Edit, ...]) -> Answer:
    """The visit with these readings written otherwise, judged anew."""
    whole = Change()
    for edit in edits:
        whole += edit.change
    return judge(changed(answer.visit, whole), answer.ready)


def everything(units: list[Unit], size: int) -> Iterator[tuple[Edit, ...]]:
    for chosen in combinations(units, size):
        yield from product(*(unit.edits for unit in chosen))


def by_brute_force(answer: Answer, units: list[Unit], size: int) -> dict[str, set[tuple[Edit, ...]]]:
    """All smallest changes of so many readings, each judged as a visit of its own."""
    now, best = parts(answer), {question: {} for question in QUESTIONS}  # type: ignore[var-annotated]
    for edits in everything(units, size):
        then, words = parts(edited(answer, edits)), sum(edit.word for edit in edits)
        points = sum(edit.points for edit in edits)
        for question in QUESTIONS:
            if then[question] != now[question]:
                least, found = best[question].get(words, (np.inf, set()))
                if points <= least:
                    best[question][words] = (points, (found if points == least else set()) | {edits})
    return {question: {edits for _, found in best[question].values() for edits in found} for question in QUESTIONS}


def as_set(found: Found) -> set[tuple[Edit, ...]]:
    return {tuple(sorted(one.edits, key=repr)) for one in found.changes}


def told_truly(answer: Answer, told: Overturned, most: int = 10**9) -> None:
    """Each change, judged for real, brings what is said to become of it, and that is another answer than now."""
    now = parts(answer)
    for question in QUESTIONS:
        found: Found = getattr(told, question)
        for one in found.changes[:most]:
            then = parts(edited(answer, one.edits))
            assert then[question] != now[question]
            assert one.points == sum(edit.points for edit in one.edits)
            if question != "referral":
                assert set(one.becomes) == then[question]  # type: ignore[call-overload]
            else:
                assert one.becomes == then[question][0]
                assert set(one.raised) == then[question][1] - now[question][1]
                assert set(one.gone) == now[question][1] - then[question][1]


def small(chooser: Chooser, *, filled: int, word: bool) -> Answer:
    """A small rulebase on a coarse grid with a visit of few readings."""
    book = random_rulebook(chooser, conclusions=3, rules=2, concerns=2, actions=3, scales=COARSE)
    visit = random_visit(chooser, book, filled=filled)
    kept = dataclasses.replace(visit, touches=visit.touches[:4], noted=visit.noted[:3])
    if word:
        names = [*book.concerns, *book.vocabulary.places]
        kept = dataclasses.replace(kept, vets_words=(VetsWord(
            who="Dr Mossop", seen=visit.day, about=(pick(chooser, names),), allows=("hands_on_work",),
            until=visit.day + timedelta(days=2),
        ),))  # fmt: skip
    return judge(kept, made(book))


def compare(answer: Answer, unexamined: bool, largest: int) -> None:
    told = overturned(answer, unexamined=unexamined, work=10**7)
    told_truly(answer, told, 5)
    units = units_of(answer, Rows(answer), unexamined=unexamined)
    left = set(QUESTIONS)
    for size in range(1, min(largest, len(units)) + 1):
        wanted = by_brute_force(answer, units, size)
        for question in sorted(left):
            found: Found = getattr(told, question)
            if wanted[question]:
                assert (found.readings, found.whole) == (size, True), question
                assert as_set(found) == {tuple(sorted(edits, key=repr)) for edits in wanted[question]}, question
                left.discard(question)
            else:
                assert not found.changes or found.readings > size, question
        if not left:
            return


@settings(max_examples=25)
@given(seeds())
def test_nothing_smaller_and_nothing_missing(chooser: Chooser) -> None:
    compare(small(chooser, filled=30, word=chooser.integer(0, 4) == 0), False, 2)


@settings(max_examples=4)
@given(seeds())
def test_of_three_readings_too(chooser: Chooser) -> None:
    answer = small(chooser, filled=30, word=False)
    few = dataclasses.replace(answer.visit, touches=answer.visit.touches[:3], noted=answer.visit.noted[:1])
    compare(judge(few, answer.ready), False, 3)


@settings(max_examples=4)
@given(seeds())
def test_unexamined_places_when_asked(chooser: Chooser) -> None:
    compare(small(chooser, filled=15, word=False), True, 1)


@pytest.mark.parametrize("name", ["bramble", "tansy", "sorrel", "hazel"])
def test_examples_are_overturned_by_what_is_said(name: str, shipped: Ready) -> None:
    answer = consult(EXAMPLES / f"{name}.yaml", shipped)
    told = overturned(answer, work=2000)
    told_truly(answer, told, 4)
    recorded = {(t.place, t.side or "") for t in answer.visit.touches} | {
        (n.key, n.side or "") for n in answer.visit.noted
    }
    for question in QUESTIONS:
        for one in getattr(told, question).changes:
            assert all((edit.key, edit.side) in recorded for edit in one.edits)
            assert all(edit.before for edit in one.edits)


def test_a_score_just_short_of_a_limit(shipped: Ready, tmp_path: Path) -> None:
    """8.5 and above is a reason to call today: from 8, one step of the scale, and no reading moves by less."""
    visit = tmp_path / "visit.yaml"
    visit.write_text("visit: 2026-04-18\npalpation: {loin: {left: 8}, croup: {left: 4}}\n")
    found = overturned(consult(visit, shipped), work=100).referral
    assert found.readings == 1
    least = min(one.points for one in found.changes if not one.edits[0].word)
    assert {one.edits[0].key for one in found.changes if one.points == least} == {"loin"}


def test_two_readings_of_one_place_are_written_together() -> None:
    """A second reading of the same place shares slots with the first: laid over each other they would be wrong."""
    chooser = Seeded(7)
    book = random_rulebook(chooser, conclusions=4, rules=3, concerns=3, actions=3, scales=COARSE)
    twice = tuple(
        Touch(place="loin", side="left", when=when, soreness=Decimal(score), line=line)
        for line, (when, score) in enumerate((("first", "5"), ("settled", "2.5"), ("after_work", "0")))  # type: ignore[arg-type]
    )
    settled = Noted(key="settled_under_the_hand", value="seen", written="seen", line=9)
    visit = Visit(file="made_up.yaml", day=random_visit(chooser, book).day, touches=twice, noted=(settled,))
    compare(judge(visit, made(book)), False, 3)


def test_work_is_bounded_and_said(shipped: Ready) -> None:
    """Where the cap is hit, the answer says that not every set was tried; the same visit gets the same answer."""
    answer = consult(EXAMPLES / "sorrel.yaml", shipped)
    told = overturned(answer, work=3000)
    assert not told.leading.changes
    assert not told.leading.whole
    assert told.leading.tried < told.leading.sets
    assert told == overturned(answer, work=3000)


def test_the_order_on_paper_does_not_matter(shipped: Ready) -> None:
    """Law 2: the same changes, however the file is shuffled."""
    answer = consult(EXAMPLES / "tansy.yaml", shipped)
    visit = dataclasses.replace(answer.visit, touches=answer.visit.touches[::-1], noted=answer.visit.noted[::-1])
    one, other = overturned(answer, work=100), overturned(judge(visit, shipped), work=100)
    for question in QUESTIONS:
        assert as_set(getattr(one, question)) == as_set(getattr(other, question))
