"""kill -9 in the middle of saving, importing, migrating and backing up: a hundred times, at seeded moments.

In: children that acknowledge what they have done. Out: after each end, everything acknowledged is there, whole; what was not is
there whole or not at all; the records open, and `check` finds nothing wrong.
Not here: full disks and other faults (test_faults.py).
"""

from __future__ import annotations

import itertools
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import select

from reasoner.problems import BadInput
from reasoner.store import tables as t
from reasoner.store.backup import backup, restore
from reasoner.store.checking import check
from reasoner.store.exporting import export
from reasoner.store.importing import import_
from reasoner.store.opening import open_store, open_to_upgrade, upgrade
from reasoner.store.place import Place, place_of
from reasoner.store.saving import save
from tests.store.dying import LOT, visit_text
from tests.store.keeping import example, kept_of, opened, opened_new
from tests.store.nursery import Nursery, moments
from tests.store.practice import as_of_the_first_release, but_seals, content, files_in, fill
from tests.store.servers import Server

SAVING, SAVING_ON_A_SERVER, IMPORTING, MIGRATING, BACKING = 25, 15, 20, 20, 20
"""How often each is killed: a hundred in all."""


def _refused(place: Place) -> list[str]:
    """The codes with which the records refuse to open; none where they open."""
    try:
        open_store(place).close()
    except BadInput as bad:
        return [p.code for p in bad.problems]
    return []


def _saved(
    nursery: Nursery, begin: Callable[[], Place], count: int, seed: int, at_rest: Callable[[], None] = lambda: None
) -> int:
    """Save and be killed; five times into the same records, looked at once they are at rest. How many were killed on the way."""
    whole = min(nursery.one("saving", None, store=begin().url, first=0)["took"] for _ in range(2))
    when, killed = moments(seed, count, whole), 0
    for _ in range(count // 5):
        place = begin()
        acknowledged: list[str] = []
        for turn in range(5):
            child = nursery.one("saving", next(when), store=place.url, first=turn * LOT)
            killed += not child["ended"]
            acknowledged += child["said"]
            at_rest()
            refused = _refused(place)
            if refused:
                assert refused == ["ST02"]
                assert not acknowledged
                continue
            after = open_store(place)
            with after.reading() as connection:
                rows = connection.execute(select(t.version.c.uid, t.version.c.text)).all()
            found = check(after)
            after.close()
            assert set(acknowledged) <= {row.uid for row in rows}
            # At most the one that was under way came through without being acknowledged, in each turn.
            assert len(acknowledged) <= len(rows) <= len(acknowledged) + turn + 1
            assert {bytes(row.text) for row in rows} <= {visit_text(n).encode() for n in range((turn + 1) * LOT)}
            assert found.wrong == ()
            assert found.looked_at.get("versions read again", 0) == len(rows)
    return killed


def test_saving(nursery: Nursery, tmp_path: Path) -> None:
    numbers = itertools.count()
    killed = _saved(nursery, lambda: place_of(str(tmp_path / f"practice{next(numbers)}.db")), SAVING, 61)
    assert killed > SAVING // 4, "else this test shows nothing"


def test_saving_on_a_server(nursery: Nursery, server: Server) -> None:
    killed = _saved(nursery, server.database, SAVING_ON_A_SERVER, 65, server.at_rest)
    assert killed > SAVING_ON_A_SERVER // 4, "else this test shows nothing"


def test_importing(nursery: Nursery, tmp_path: Path) -> None:
    with opened_new(tmp_path / "source") as source:
        fill(source, tmp_path)
        wanted = content(source)
        out = export(source, tmp_path / "out").folder
    whole = min(
        nursery.one("importing", None, store=str(tmp_path / f"first{n}.db"), folder=str(out))["took"] for n in "ab"
    )
    killed = 0
    for number, moment in enumerate(moments(62, IMPORTING, whole)):
        place = place_of(str(tmp_path / f"new{number}.db"))
        child = nursery.one("importing", moment, store=str(place.file), folder=str(out))
        killed += not child["ended"]
        refused = _refused(place)
        if refused:
            assert refused == ["ST02"]
            assert not child["said"]
            import_(out, place)  # what is left behind stands in nobody's way
        with opened(place) as again:
            assert content(again) == wanted
            assert check(again).wrong == ()
            assert set(files_in(place.files)) >= {row["sha256"] for row in wanted["enclosed"]}
    assert killed > IMPORTING // 4


def test_migrating(nursery: Nursery, tmp_path: Path) -> None:
    with opened_new(tmp_path / "source") as source:
        for number in range(LOT):
            save(source, kept_of(visit_text(number)), by="Tam Orrin")
        wanted = but_seals(content(source))
        old = as_of_the_first_release(source, tmp_path / "old.db")
    for name in "ab":
        shutil.copy(old, tmp_path / name)
    whole = min(nursery.one("migrating", None, store=str(tmp_path / name))["took"] for name in "ab")
    killed = 0
    for number, moment in enumerate(moments(63, MIGRATING, whole)):
        path = tmp_path / f"m{number}" / "practice.db"
        path.parent.mkdir()
        shutil.copy(old, path)
        child = nursery.one("migrating", moment, store=str(path))
        killed += not child["ended"]
        place = place_of(str(path))
        refused = _refused(place)
        if refused:
            assert refused == ["ST03"]
            assert "upgraded" not in child["said"]
            again = open_to_upgrade(place)
            upgrade(again)
            again.close()
        with opened(place) as now:
            assert but_seals(content(now)) == wanted
            assert check(now).wrong == ()
        copies = sorted(str(f) for f in path.parent.glob("practice.db.before-upgrade-*"))
        assert {said for said in child["said"] if said != "upgraded"} <= set(copies)
        for copy in copies:
            with pytest.raises(BadInput, match="ST03"):
                open_store(place_of(copy))
            as_it_was = open_to_upgrade(place_of(copy))
            upgrade(as_it_was)
            assert but_seals(content(as_it_was)) == wanted
            as_it_was.close()
    assert killed > MIGRATING // 4


def test_backing_up(nursery: Nursery, tmp_path: Path) -> None:
    with opened_new(tmp_path / "source") as source:
        fill(source, tmp_path)
        wanted = content(source)
        place = source.place
    for name in "ab":
        (tmp_path / name).mkdir()
    whole = min(nursery.one("backing", None, store=str(place.file), folder=str(tmp_path / n))["took"] for n in "ab")
    killed = 0
    for number, moment in enumerate(moments(64, BACKING, whole)):
        folder = tmp_path / f"at{number}"
        folder.mkdir()
        child = nursery.one("backing", moment, store=str(place.file), folder=str(folder))
        killed += not child["ended"]
        made = sorted(str(f) for f in folder.glob("b*"))
        assert set(child["said"]) <= set(made)
        for name in made:  # whole under its name, or not there
            new = place_of(f"{name}.db")
            restore(Path(name), new)
            with opened(new) as again:
                assert content(again) == wanted
        with opened(place) as still:
            assert content(still) == wanted
            assert check(still).wrong == ()
            backup(still, folder / "b3")
    assert killed > BACKING // 4
    with opened(place) as still:
        save(still, example("rook"), by="Wren Aldous")
