"""kill -9 in the middle of restoring, of moving visits and of withdrawing them, at seeded moments.

In: children that acknowledge what they have done. Out: after each end, everything acknowledged is there, whole; the place of a
restored backup is free, refused in words, or whole.
Not here: saving, importing, migrating, backing up (test_crash.py).
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.store.backup import backup, restore
from reasoner.store.checking import check
from reasoner.store.exporting import export
from reasoner.store.importing import import_
from reasoner.store.opening import open_store
from reasoner.store.place import Place, place_of
from reasoner.store.placing import placings
from reasoner.store.reading import visits
from reasoner.store.saving import save
from tests.store.dying import LOT, visit_text
from tests.store.keeping import kept_of, opened, opened_new
from tests.store.nursery import Nursery, moments
from tests.store.practice import content, enclosed_bytes, fill
from tests.store.servers import Server

RESTORING, PLACING, PLACING_ON_A_SERVER = 20, 20, 10
"""How often each is killed."""


def test_restoring(nursery: Nursery, tmp_path: Path) -> None:
    with opened_new(tmp_path / "source") as source:
        fill(source, tmp_path)
        wanted, files = content(source), enclosed_bytes(source)
        backup(source, tmp_path / "b")
    whole = min(
        nursery.one("restoring", None, store=str(tmp_path / f"first{n}.db"), file=str(tmp_path / "b"))["took"]
        for n in "abc"
    )
    killed = absent = 0
    for number, moment in enumerate(moments(66, RESTORING, whole)):
        place = place_of(str(tmp_path / f"at{number}" / "new.db"))
        (tmp_path / f"at{number}").mkdir()
        child = nursery.one("restoring", moment, store=str(place.file), file=str(tmp_path / "b"))
        killed += not child["ended"]
        assert place.file is not None
        if not place.file.exists():
            absent += 1
            assert child["said"] == []
            with pytest.raises(BadInput, match="ST02"):
                open_store(place)
            restore(tmp_path / "b", place)  # what is left behind stands in nobody's way
        with opened(place) as again:
            assert content(again) == wanted
            assert enclosed_bytes(again) == files
            assert check(again).wrong == ()
    assert killed > RESTORING // 4, "else this test shows nothing"
    assert absent > 0


def _placed(nursery: Nursery, begin: Callable[[], Place], count: int, seed: int) -> int:
    """Move and withdraw, and be killed; three times in the same records. How many were killed on the way."""
    whole = min(nursery.one("placing", None, store=begin().url, first=0)["took"] for _ in range(2))
    killed = 0
    when = moments(seed, count, whole)
    for moment in when:
        place = begin()
        child = nursery.one("placing", moment, store=place.url, first=0)
        killed += not child["ended"]
        with opened(place) as after:
            with after.reading() as connection:
                said = placings(connection)
                counting = {one.uid for one in visits(connection)}
            found = check(after)
        assert found.wrong == ()
        assert found.looked_at["versions read again"] == LOT + 1
        kept = {f"{one.visit} {'withdrawn' if one.withdrawn else 'moved'}" for one in said}
        assert set(child["said"]) <= kept
        assert len(kept) <= len(child["said"]) + 1, "at most the one under way came through without being acknowledged"
        assert counting & {one.visit for one in said if one.withdrawn} == set()
        assert all(one.who and one.why and one.horse for one in said)
    return killed


def _before(store: Path) -> Path:
    with opened_new(store) as source:
        for number in range(LOT):
            save(source, kept_of(visit_text(number)), by="Tam Orrin")
        save(
            source,
            kept_of(visit_text(99).replace("Juniper 99", "Otter").replace("2026-04-18", "2026-06-18")),
            by="Tam Orrin",
        )
        export(source, store.parent / "out")
    return store / "practice.db"


def test_moving_and_withdrawing(nursery: Nursery, tmp_path: Path) -> None:
    source, number = _before(tmp_path / "source"), iter(range(1000))

    def begin() -> Place:
        return place_of(str(shutil.copy(source, tmp_path / f"p{next(number)}.db")))

    assert _placed(nursery, begin, PLACING, 67) > PLACING // 4, "else this test shows nothing"


def test_moving_and_withdrawing_on_a_server(nursery: Nursery, server: Server, tmp_path: Path) -> None:
    _before(tmp_path / "source")

    def begin() -> Place:
        place = server.database()
        import_(tmp_path / "out", place)
        return place

    assert _placed(nursery, begin, PLACING_ON_A_SERVER, 68) > PLACING_ON_A_SERVER // 4, "else this test shows nothing"
