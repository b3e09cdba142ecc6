"""What is worked out from measurements: from the measured entries alone, and the same in the mirror.

In: random visits, and the shipped rulebook. Out: the two laws that batches, what-ifs and mirror images rely on.
Not here: what follows from what (tests/measures).
"""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module

import pytest

from reasoner.facts.from_measures import DOORS, worked_out
from reasoner.visit.model import Visit, mirrored
from tests.asking import OTHER, ask, shipped
from tests.chance import Seeded
from tests.random_visits import random_visit

BOOK = shipped().book


def _some_visits(seed: int) -> list[Visit]:
    chooser = Seeded(seed)
    return [random_visit(chooser, BOOK) for _ in range(60)]


@pytest.mark.parametrize("seed", range(3))
def test_what_follows_hangs_on_the_measured_entries_alone(seed: int) -> None:
    followed = 0
    for visit in _some_visits(seed):
        found = worked_out(visit, BOOK)
        bare = replace(visit, touches=(), noted=tuple(noted for noted in visit.noted if _measures(noted.key)))
        assert worked_out(bare, BOOK) == found
        followed += len(found)
    assert followed > 20, "too little was measured to tell anything"


def _measures(key: str) -> bool:
    seen = BOOK.vocabulary.observations[key]
    return bool(seen.measure or seen.measure_with)


@pytest.mark.parametrize("seed", range(3))
def test_what_follows_is_mirrored_with_the_visit(seed: int) -> None:
    for visit in _some_visits(seed):
        here = {(noted.key, noted.side): noted.value for noted in worked_out(visit, BOOK)}
        turned = {
            (key, OTHER[side] if side else None): OTHER.get(value, value) if isinstance(value, str) else value
            for (key, side), value in here.items()
        }
        assert {(noted.key, noted.side): noted.value for noted in worked_out(mirrored(visit), BOOK)} == turned


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_pair_measured_on_one_side_is_asked_about(side: str) -> None:
    text = "feet measured: {hoof angle: {SIDE: 52 °}}\nridden: {stirrups: {SIDE: 78 cm}}\n".replace("SIDE", side)
    warned = [problem for problem in ask(text).answer.visit.warnings if problem.code == "MS51"]
    assert len(warned) == 2
    assert all(f"the {side} side alone was measured" in problem.sentence for problem in warned)
    both = "feet measured: {hoof angle: {left: 52 °, right: 50 °}}\ntacked up: {saddle: {roll: {right: 3 °}}}\n"
    assert ask(both).answer.visit.warnings == ()


@pytest.mark.parametrize("seed", range(3))
def test_a_door_that_is_not_opened_would_have_given_nothing(seed: int) -> None:
    for visit in _some_visits(seed):
        every = [
            noted
            for table, module in DOORS.items()
            if table in BOOK.measures
            for noted in import_module(module).worked_out(visit, BOOK)
        ]
        assert [*worked_out(visit, BOOK)] == every
