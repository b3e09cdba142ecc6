"""Law 6, batch: a row's answer does not depend on the other rows, the size of a block, or the lean program, bit for bit.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: speed.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import numpy as np
from hypothesis import given

from reasoner.inference.evaluate import Result, evaluate, run
from reasoner.inference.program import Floats, Program, from_plain, to_plain
from reasoner.inference.strata import compile_network
from tests.chance import Chooser, Seeded, pick, shuffled
from tests.laws.judged import Ready, ready, shipped
from tests.random_visits import random_visit
from tests.strategies import Case, cases, seeds

NAMES = ("certainty", "weight", "concern", "wanted", "held", "level")
RECORD = ("degree", "unit", "leaves")


def same(one: Result, two: Result, names: Sequence[str], rows: Any = slice(None)) -> None:
    for name in names:
        if name == "leaves":
            assert one.leaves is not None
            assert two.leaves is not None
            for kept, again in ((one.leaves[0], two.leaves[0]), (one.leaves[1], two.leaves[1])):
                np.testing.assert_array_equal(kept[:, rows], again, err_msg=name)
            continue
        a, b = getattr(one, name)[:, rows], getattr(two, name)
        np.testing.assert_array_equal(a, b, err_msg=name)  # NaN equals NaN here, and nothing is rounded


def rows_stand_alone(ready: Ready, table: Floats, chooser: Chooser) -> None:
    program, count = ready.program, table.shape[1]
    whole = run(program, table)
    for row in range(count):
        same(whole, run(program, table[:, row : row + 1]), NAMES + RECORD, slice(row, row + 1))
    for size in (1, 2, 3, 7, count):
        same(whole, evaluate(program, table, block=size), NAMES)
    order = np.array(shuffled(chooser, range(count)))
    same(whole, run(program, np.ascontiguousarray(table[:, order])), NAMES + RECORD, order)
    both = run(program, table, bounds=True)
    for row in range(count):
        same(both, run(program, table[:, row : row + 1], bounds=True), NAMES + RECORD, [row, row + count])


def lean_says_the_same(ready: Ready, table: Floats) -> None:
    lean = compile_network(ready.network, ready.book.scales.fires_above, full=False)
    rows = {name: n for n, name in enumerate(ready.program.slots)}
    picked = np.vstack([table[[rows[name]]] for name in lean.slots]) if lean.slots else np.empty((0, table.shape[1]))
    full, less = run(ready.program, table), run(lean, picked)
    order = [ready.program.meta["conclusions"].index(key) for key in lean.meta["conclusions"]]
    np.testing.assert_array_equal(full.certainty[order], less.certainty)
    np.testing.assert_array_equal(full.weight[order], less.weight)
    same(full, less, NAMES[2:])
    full, less = run(ready.program, table, bounds=True), run(lean, picked, bounds=True)
    np.testing.assert_array_equal(full.certainty[order], less.certainty)
    np.testing.assert_array_equal(full.weight[order], less.weight)
    same(full, less, NAMES[2:])


def read_back(program: Program) -> Program:
    """The program once it has been through plain data, as the cache keeps it."""
    arrays, rest = to_plain(program)
    return from_plain(arrays, json.loads(json.dumps(rest)))


@given(cases(visits=4))
def test_rows_of_random_rulebases(case: Case) -> None:
    book, visits, chooser = case
    made = ready(book)
    table = np.hstack([made.readings(made.facts(visit).values) for visit in visits])
    rows_stand_alone(made, table, chooser)
    lean_says_the_same(made, table)
    same(run(made.program, table), run(read_back(made.program), table), NAMES + RECORD)


def shipped_table(chooser: Chooser, count: int) -> Floats:
    visits = [random_visit(chooser, shipped().book, filled=pick(chooser, [0, 10, 50])) for _ in range(count)]
    return np.hstack([shipped().readings(shipped().facts(visit).values) for visit in visits])


@given(seeds())
def test_rows_of_the_shipped_rulebase(chooser: Chooser) -> None:
    rows_stand_alone(shipped(), shipped_table(chooser, 3), chooser)


@given(seeds())
def test_a_lean_program_of_the_shipped_rulebase(chooser: Chooser) -> None:
    lean_says_the_same(shipped(), shipped_table(chooser, 2))


def test_many_rows_at_every_awkward_size() -> None:
    few = shipped_table(Seeded(3), 5)
    table = np.tile(few, (1, 215))[:, :1061]
    alone = run(shipped().program, few)
    for size in (63, 64, 65, 512, 1061):
        same(alone, evaluate(shipped().program, table, block=size), NAMES, np.arange(1061) % 5)
