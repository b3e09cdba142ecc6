"""What would change my mind: the change found overturns, nothing smaller does, nothing as small is missing.

In: random rulebases with random visits, examples, pages of a few rules. Out: failures.
Not here: the words of the page.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
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
from reasoner.inference.evaluate import evaluate
from reasoner.questions.changes import Change, changed
from reasoner.questions.could_change import QUESTIONS
from reasoner.questions.edits import Edit, Unit, units_of
from reasoner.questions.first_steps import FirstSteps, first_of
from reasoner.questions.outcomes import outcomes_of
from reasoner.questions.overturn import Found, Overturned, overturned
from reasoner.questions.rows import Rows
from reasoner.rulebook.pages import Action, Need
from reasoner.rules_cache import Ready
from reasoner.visit.model import Noted, Touch, VetsWord, Visit, mirrored
from tests.chance import Chooser, Seeded, pick
from tests.questions.made_up import COARSE, PLACES, knotted, made, one_cause
from tests.random_rulebooks import VOCABULARY, assembled, random_rulebook
from tests.random_visits import DAY, random_visit
from tests.strategies import seeds

EXAMPLES = Path(__file__).parents[2] / "examples"
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


def as_set(found: Found) -> set[frozenset[Edit]]:
    return {frozenset(one.edits) for one in found.changes}


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


def by_bulk(answer: Answer, units: list[Unit], size: int) -> dict[str, set[frozenset[Edit]]]:
    """The same without judging each as a visit: every change as a row of its own, nothing passed over."""
    rows, steps, book = Rows(answer), FirstSteps(answer), answer.ready.book
    every = list(everything(units, size))

    def row_of(edits: tuple[Edit, ...]) -> Change:
        whole = Change()
        for edit in edits:
            whole += edit.change
        return whole

    changes = [Change(), *map(row_of, every)]
    table = rows.table(changes)
    result = evaluate(answer.ready.lean, table)
    told = outcomes_of(answer.ready.lean, result, book)
    first = steps.of(result, table, lambda row: changed(answer.visit, changes[row]))
    referral = np.concatenate([told.concern, told.level[None, :] == np.arange(4)[:, None]])
    differs = {
        "leading": (told.leading != told.leading[:, :1]).any(axis=0),
        "referral": (referral != referral[:, :1]).any(axis=0),
        "first_step": first != first[0],
    }
    out: dict[str, set[frozenset[Edit]]] = {}
    for question, changed_rows in differs.items():
        best: dict[int, tuple[float, set[frozenset[Edit]]]] = {}
        for row in np.flatnonzero(changed_rows).tolist():
            edits = every[row - 1]
            words, points = sum(edit.word for edit in edits), sum(edit.points for edit in edits)
            least, found = best.get(words, (np.inf, set()))
            if points <= least:
                best[words] = (points, (found if points == least else set()) | {frozenset(edits)})
        out[question] = {edits for _, found in best.values() for edits in found}
    return out


def compare(answer: Answer, *, unexamined: bool = False, largest: int = 2, bulk: bool = True) -> dict[str, int]:
    """The answer beside trying everything; question to the size of its changes, 0 where there are none."""
    told = overturned(answer, unexamined=unexamined, work=10**7)
    told_truly(answer, told, 3)
    units = units_of(answer, Rows(answer), unexamined=unexamined)
    sizes = dict.fromkeys(QUESTIONS, 0)
    for size in range(1, min(largest, len(units)) + 1):
        wanted = by_bulk(answer, units, size) if bulk else by_brute_force(answer, units, size)
        for question in [q for q in QUESTIONS if not sizes[q]]:
            found: Found = getattr(told, question)
            if wanted[question]:
                assert (found.readings, found.whole) == (size, True), question
                assert as_set(found) == {frozenset(edits) for edits in wanted[question]}, question
                sizes[question] = size
            else:
                assert not found.changes or found.readings > size, question
        if all(sizes.values()):
            break
    return sizes


def with_a_word(chooser: Chooser, visit: Visit, names: list[str]) -> Visit:
    word = VetsWord(
        who="Dr Mossop", seen=visit.day, about=(pick(chooser, names),), sides=(None,), allows=("hands_on_work",),
        until=visit.day + timedelta(days=2),
    )  # fmt: skip
    return dataclasses.replace(visit, vets_words=(word,))


def test_nothing_smaller_and_nothing_missing() -> None:
    """Beside every change of one, two and three readings of visits whose answers hang on several at once.

    The count of sizes says that the cases are worth trying: a search that stops too early would miss them.
    """
    seen: Counter[tuple[str, int]] = Counter()
    for seed in range(160):
        chooser = Seeded(seed)
        book, visit = knotted(chooser)
        if seed % 5 == 0 and book.concerns:
            visit = with_a_word(chooser, visit, [*book.concerns, *PLACES])
        sizes = compare(judge(visit, made(book)), largest=3)
        seen.update(sizes.items())
    for question in QUESTIONS:
        assert seen[question, 1] > 3, seen
        assert seen[question, 2] > 3, seen
    assert sum(count for (_, size), count in seen.items() if size == 3) > 9, seen


def test_beside_whole_visits_judged_one_by_one() -> None:
    """The same with nothing shared but the list of readings: each change is made in the visit, and the visit judged."""
    for seed in range(100, 104):
        book, visit = knotted(Seeded(seed))
        few = dataclasses.replace(visit, touches=visit.touches[:3])
        compare(judge(few, made(book)), bulk=False)


@settings(max_examples=20)
@given(seeds())
def test_any_rulebase(chooser: Chooser) -> None:
    """Rulebases with every kind of condition; readings once settled and after work, legs, groups, gates."""
    book = random_rulebook(chooser, conclusions=5, rules=4, concerns=4, actions=4, scales=COARSE)
    visit = random_visit(chooser, book, filled=50)
    few = dataclasses.replace(visit, touches=visit.touches[:5], noted=visit.noted[:4])
    if book.concerns and chooser.integer(0, 4) == 0:
        few = with_a_word(chooser, few, [*book.concerns, *book.vocabulary.places])
    compare(judge(few, made(book)))


def test_unexamined_places_when_asked() -> None:
    for seed in range(200, 204):
        book, visit = knotted(Seeded(seed))
        few = dataclasses.replace(visit, touches=visit.touches[:1], noted=())
        compare(judge(few, made(book)), unexamined=True, largest=1)


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
    """Two zeros at one place each say that it did not answer: only both together take that away, though neither does alone."""
    book = one_cause({"breastbone": {"response": "none", "reading": "worst"}})
    first = Touch(place="breastbone", side=None, soreness=Decimal(0), line=1)
    visit = Visit(file="made_up.yaml", day=DAY, touches=(first, dataclasses.replace(first, when="settled", line=2)))
    answer = judge(visit, made(book))
    assert compare(answer, bulk=False)["leading"] == 2
    (one, *_) = overturned(answer).leading.changes
    assert {(edit.key, edit.when) for edit in one.edits} == {("breastbone", "first"), ("breastbone", "settled")}
    assert one.points == 5.0


def test_a_new_place_and_whether_the_horse_had_settled_are_written_together() -> None:
    """A first reading of a horse not yet settled is unsettled: neither the reading nor the word alone says so."""
    settled = Noted(key="settled_under_the_hand", value="seen", written="seen", line=1)
    visit = Visit(file="made_up.yaml", day=DAY, noted=(settled,))
    answer = judge(visit, made(one_cause({"breastbone": {"unsettled": "yes"}})))
    found = overturned(answer, unexamined=True).leading
    assert (found.readings, found.whole) == (2, True)
    assert {edit.key for one in found.changes for edit in one.edits} == {"breastbone", "settled_under_the_hand"}
    told_truly(answer, overturned(answer, unexamined=True))
    assert not overturned(answer).leading.changes


def test_what_an_action_needs_is_part_of_its_bounds() -> None:
    """Wanted by either of two places and waiting on either of two others: one pair or the other must fall silent."""
    one, two, three, four = ({place: {"at_least": "2.5"}} for place in PLACES)
    action = Action(
        id="action", says="-", kind="tack", status="sketch", because="-", basis="own setting", lesson="-", can_mislead="-",
        examples=(), sides="none", wanted_by=({"any": [one, two]},),
        only_after=(Need(need={"any": [three, four]}, otherwise="-"),),
    )  # fmt: skip
    touches = tuple(Touch(place=place, side=None, soreness=Decimal(5), line=n) for n, place in enumerate(PLACES))
    book = assembled(VOCABULARY, COARSE, {}, {}, {action.id: action}, {})
    answer = judge(Visit(file="made_up.yaml", day=DAY, touches=touches), made(book))
    assert compare(answer)["first_step"] == 2
    told = {frozenset(edit.key for edit in one.edits) for one in overturned(answer).first_step.changes}
    assert told == {frozenset(PLACES[:2]), frozenset(PLACES[2:])}


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
    for name, work in (("tansy", 100), ("sorrel", 3000)):
        answer = consult(EXAMPLES / f"{name}.yaml", shipped)
        visit = dataclasses.replace(answer.visit, touches=answer.visit.touches[::-1], noted=answer.visit.noted[::-1])
        assert overturned(answer, work=work) == overturned(judge(visit, shipped), work=work)


@pytest.mark.parametrize("name", ["tansy", "bramble"])
def test_the_mirror_image_is_overturned_by_the_mirrored_changes(name: str, shipped: Ready) -> None:
    """Law 1: left and right change places, in what is changed and in what becomes of it."""
    answer = consult(EXAMPLES / f"{name}.yaml", shipped)
    one, other = overturned(answer, work=100), overturned(judge(mirrored(answer.visit), shipped), work=100)
    swap = {"left": "right", "right": "left"}

    def told(edits: tuple[Edit, ...], *, turn: bool) -> Any:
        def side(word: str) -> str:
            return swap.get(word, word) if turn else word

        return frozenset((e.key, side(e.side), e.when, side(e.before), side(e.after), e.points) for e in edits)

    for question in QUESTIONS:
        first, second = getattr(one, question), getattr(other, question)
        assert (first.readings, first.whole) == (second.readings, second.whole)
        assert {told(c.edits, turn=True) for c in first.changes} == {told(c.edits, turn=False) for c in second.changes}
