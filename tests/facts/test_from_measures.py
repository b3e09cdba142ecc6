"""What is worked out from measurements: from the measured entries alone, and the same in the mirror.

In: random visits, and the shipped rulebook. Out: the two laws that batches, what-ifs and mirror images rely on.
Not here: what follows from what (tests/measures).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from reasoner.facts.from_measures import worked_out
from reasoner.visit.model import Visit, mirrored
from tests.asking import OTHER, shipped
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
