"""Records are made late, and by many threads at once.

In: fresh classes. Out: whether every thread gets a whole record.
Not here: what records are for.
"""

from __future__ import annotations

import dataclasses
import sys
import threading
from typing import Any

import pytest

from reasoner.frozen import frozen


def _fresh() -> Any:
    @frozen(kw_only=True)
    class Spot:
        place: str
        soreness: float = 0.0
        felt: tuple[str, ...] = dataclasses.field(default_factory=tuple)

    return Spot


@pytest.fixture
def _hasty() -> Any:
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(before)


@pytest.mark.usefixtures("_hasty")
def test_many_threads_make_the_first_record_of_a_class_at_once() -> None:
    went_wrong: list[BaseException] = []
    for _ in range(60):
        spot = _fresh()
        begin = threading.Barrier(8)

        def make(kind: Any = spot, begin: threading.Barrier = begin) -> None:
            begin.wait()
            try:
                for _ in range(20):
                    assert kind(place="loin").soreness == 0.0
            except BaseException as fault:
                went_wrong.append(fault)

        threads = [threading.Thread(target=make) for _ in range(8)]
        for one in threads:
            one.start()
        for one in threads:
            one.join()
    assert went_wrong == []


def test_a_record_is_a_dataclass_with_its_defaults() -> None:
    spot = _fresh()
    one = spot(place="loin")
    assert (one.place, one.soreness, one.felt) == ("loin", 0.0, ())
    assert [field.name for field in dataclasses.fields(spot)] == ["place", "soreness", "felt"]
    assert dataclasses.replace(one, soreness=4.0) == spot(place="loin", soreness=4.0)
    with pytest.raises(TypeError, match="place"):
        spot()


def test_a_record_with_a_base_has_the_fields_of_both() -> None:
    @frozen(kw_only=True)
    class Base:
        place: str

    @frozen(kw_only=True)
    class More(Base):
        side: str = "left"

    assert More(place="loin") == More(place="loin", side="left")
    assert [field.name for field in dataclasses.fields(More)] == ["place", "side"]
