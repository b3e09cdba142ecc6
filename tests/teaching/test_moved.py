"""Which reading moved which conclusion: exchanges equal the edited visit, movers move, sets cannot spare a reading.

In: made visits. Out: failures.
Not here: figures of agreement, wording.
"""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest

from reasoner.consult import judge
from reasoner.differences import Change, changes_between
from reasoner.rendering.moved_text import moved_lines, movers
from reasoner.rendering.text_page import plain_text
from reasoner.teaching.exchange import Differing, differing, exchanged
from reasoner.teaching.moved import Trace, trace_of
from reasoner.visit.model import Visit, mirrored
from tests.teaching.hands import BOOK, READY, example, graded, places, wavered

NAMES = ("Wren Aldous", "Tam Orrin")
SEED = 2


def reached(one: Visit, two: Visit, some: Iterable[Differing], change: Change) -> bool:
    """Whether the first visit with these readings of the second says what the second says; worked out apart from the trace."""
    here, there = judge(one, READY), judge(exchanged(one, two, some), READY)
    return any(
        (c.kind, c.key, c.side, c.after.value) == (change.kind, change.key, change.side, change.after.value)
        for c in changes_between(here, there)
    )


@pytest.mark.parametrize(
    ("one", "two"), [("juno", "rook"), ("bramble", "tansy"), ("larch", "hazel"), ("teasel", "otter")]
)
def test_all_exchanged_is_the_other_visit(one: str, two: str) -> None:
    """Of any two visits, tracings, work done and a veterinarian's word included."""
    here, there = example(one), example(two)
    whole = judge(exchanged(here, there, differing(here, there, BOOK)), READY)
    other = judge(there, READY)
    # The two may be of different days, and a date counts from its own.
    again = judge(exchanged(there, here, differing(there, here, BOOK)), READY)
    if here.day == there.day:
        assert changes_between(whole, other) == ()
    assert differing(exchanged(here, there, differing(here, there, BOOK)), there, BOOK) == ()
    assert differing(again.visit, here, BOOK) == ()


def test_nothing_differs_nothing_moves() -> None:
    visit = example("juno")
    trace = trace_of(visit, visit, READY)
    assert (trace.readings, trace.moved, trace.runs) == ((), (), 2)
    assert "say the same" in plain_text(moved_lines(trace, NAMES, BOOK.vocabulary))


def test_a_single_planted_reading_is_named() -> None:
    """One place graded 10 by the second hand and 1 by the first: nothing else can be behind what moved."""
    visit = example("juno")
    other = graded(visit, {("croup", "right"): 9}, "two.yaml", NAMES[1])
    trace = trace_of(visit, other, READY)
    assert [one.spot for one in trace.readings] == [("croup", "right")]
    assert trace.readings[0].points == 8
    assert trace.moved
    for moved in trace.moved:
        assert [one.spot for one in moved.alone] == [one.spot for one in moved.back] == [("croup", "right")]
        assert moved.together == ()
    said = movers(trace.moved[0], BOOK.vocabulary)
    assert said == ["this reading by itself: croup, right: 1, then 9; and putting it back takes it away again."]


def traced(seed: int) -> Trace:
    """A second hand that differs at places which answered, and agrees where all is quiet."""
    rnd, visit = random.Random(seed), example("juno")
    other = wavered(visit, rnd, 0.8, 1.2, "two.yaml", NAMES[1])
    grades = {(t.place, t.side or ""): float(t.soreness or 0) for t in places(other)}
    answered = {(t.place, t.side or "") for t in places(visit) if t.soreness}
    return trace_of(visit, graded(visit, {at: grades[at] for at in answered}, "two.yaml", NAMES[1]), READY)


@pytest.fixture(scope="module")
def trace() -> Trace:
    """A pair whose answers differ in several things, one of them by no single reading."""
    found = traced(SEED)
    assert any(moved.together for moved in found.moved)
    assert any(moved.alone for moved in found.moved)
    return found


def test_what_is_named_moves_it_and_the_rest_does_not(trace: Trace) -> None:
    one, two = trace.one.visit, trace.two.visit
    assert trace.moved
    for moved in trace.moved:
        for reading in moved.alone:
            assert reached(one, two, [reading], moved.change)
        if not moved.alone:
            assert moved.whole
            assert reached(one, two, moved.together, moved.change)
            for reading in moved.together:
                assert not reached(one, two, [r for r in moved.together if r is not reading], moved.change)
    single = trace.moved[0]
    for reading in trace.readings[:6]:
        assert reached(one, two, [reading], single.change) == (reading in single.alone)


def test_the_answers_differ_in_what_is_traced(trace: Trace) -> None:
    assert tuple(m.change for m in trace.moved) == changes_between(
        judge(trace.one.visit, READY), judge(trace.two.visit, READY)
    )
    page = plain_text(moved_lines(trace, NAMES, BOOK.vocabulary))
    assert "moved by" in page
    assert "together" in page


def test_the_mirror_is_moved_by_the_mirrored_readings(trace: Trace) -> None:
    there = trace_of(mirrored(trace.one.visit), mirrored(trace.two.visit), READY)
    turn = {"left": "right", "right": "left", "": ""}

    def told(found: Trace, sides: dict[str, str]) -> set[tuple[str, str, str, frozenset[tuple[str, str]]]]:
        return {
            (m.change.kind, m.change.key, sides[m.change.side], frozenset((r.spot[0], sides[r.spot[1]]) for r in m.alone))
            for m in found.moved if m.change.kind in ("conclusion", "level", "concern")
        }  # fmt: skip

    assert told(there, turn) == told(trace, {side: side for side in turn})


def test_a_search_that_is_cut_short_says_so(trace: Trace) -> None:
    short = trace_of(trace.one.visit, trace.two.visit, READY, runs=len(trace.readings) + 1)
    cut = [m for m in short.moved if not m.whole]
    assert cut
    assert all(m.together == () for m in cut)
    assert "cut short" in movers(cut[0], BOOK.vocabulary)[0]
