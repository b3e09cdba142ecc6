"""A nursery: children that work on records and are killed in the middle of it.

In: lines of JSON on standard input: a deed, where, after how many seconds to kill (null: not at all), and what else the child
has to bear. Out: a line of JSON for each: what the child had acknowledged when it ended, and whether it ended by itself.
Not here: what must then be true (test_crash.py). The children are forked, so that a hundred of them do not import everything
a hundred times; nothing is opened before a fork.
"""

from __future__ import annotations

import json
import os
import resource
import select
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from reasoner.problems import BadInput
from reasoner.store.backup import backup, copy_beside, restore
from reasoner.store.checking import check
from reasoner.store.exporting import export
from reasoner.store.importing import import_
from reasoner.store.opening import open_store, open_to_upgrade, upgrade
from reasoner.store.place import place_of
from reasoner.store.placing import move, withdraw
from reasoner.store.reading import answer_of, horse_called, visits
from reasoner.store.saving import save
from tests.store.keeping import kept_of
from tests.store.nursery import PATIENCE_S, READ, WRITTEN
from tests.store.practice import fill

LOT = 8
"""Visits saved by one child."""


def visit_text(number: int) -> str:
    """A small visit of its own."""
    return (
        f"horse: {{name: Juniper {number}, born: 2011}}\nvisit: 2026-04-18\nyard: Skelbeck\nexamined by: Tam Orrin\n"
        f"palpation:\n  loin: {{left: {number % 8}, right: 1}}\n  withers: {{left: 2, right: {number % 5}}}\n"
    )


def saving(store: str, first: int) -> Iterator[str]:
    """Save visits one by one, and acknowledge each."""
    opened = open_store(place_of(store), make=True)
    for number in range(first, first + LOT):
        yield save(opened, VISITS[number % len(VISITS)], by="Tam Orrin").version


def importing(store: str, folder: str) -> Iterator[str]:
    """Read an export in."""
    import_(Path(folder), place_of(store))
    yield "imported"


def migrating(store: str) -> Iterator[str]:
    """What `records upgrade` does."""
    opened = open_to_upgrade(place_of(store))
    copy = copy_beside(opened)
    yield str(copy)
    upgrade(opened)
    yield "upgraded"


def backing(store: str, folder: str) -> Iterator[str]:
    """Three backups, one after the other."""
    for number in range(3):
        yield str(backup(open_store(place_of(store)), Path(folder) / f"b{number}").file)


def exporting(store: str, folder: str) -> Iterator[str]:
    """An export."""
    yield str(export(open_store(place_of(store)), Path(folder)).folder)


def restoring(store: str, file: str) -> Iterator[str]:
    """Records from a backup."""
    restore(Path(file), place_of(store))
    yield "restored"


def looking(store: str, out: str) -> Iterator[str]:
    """What only reads: every visit and its answer, the checks, a backup and an export elsewhere."""
    opened = open_store(place_of(store))
    with opened.reading() as connection:
        for visit in visits(connection):
            yield f"{visit.name} {answer_of(connection, visit.version)['engine']}"
    yield f"{len(check(opened).wrong)} wrong"
    yield f"backup of {backup(opened, Path(out) / 'b').files} files"
    yield f"export of {export(opened, Path(out) / 'e').tables['visit']}"


def looking_twice(store: str, own: str) -> Iterator[str]:
    """Looks, and once more with the same opened records when somebody else has written."""
    opened = open_store(place_of(store))
    for last in (False, True):
        with opened.reading() as connection:
            yield f"{len(visits(connection))} visits"
        if not last:
            _somebody_writes(own)


def overtaken(store: str, own: str) -> Iterator[str]:
    """Reads while the file is changed by somebody else."""
    opened = open_store(place_of(store))
    with opened.reading() as connection:
        yield f"{len(visits(connection))} visit"
        _somebody_writes(own)


def _somebody_writes(own: str) -> None:
    """Says in this folder that it has read, and waits until somebody has written: the order holds on a machine of any speed."""
    (Path(own) / READ).touch()
    until = time.monotonic() + PATIENCE_S
    while not (Path(own) / WRITTEN).exists():
        assert time.monotonic() < until, "nobody wrote"
        time.sleep(0.02)


def placing(store: str, first: int) -> Iterator[str]:
    """Move the visits of one horse to the other and withdraw every second one, and acknowledge each."""
    opened = open_store(place_of(store))
    with opened.reading() as connection:
        every, to = visits(connection), horse_called(connection, "Otter")
    for number, visit in enumerate(every[first : first + LOT]):
        if number % 2:
            withdraw(opened, visit, by="Wren Aldous", why="a trial of the form")
        else:
            move(opened, visit, to.uid, by="Wren Aldous", why="it was Otter's")
        yield f"{visit.uid} {'withdrawn' if number % 2 else 'moved'}"


DEEDS: dict[str, Callable[..., Iterator[str]]] = {
    "saving": saving, "importing": importing, "migrating": migrating, "backing": backing,
    "looking": looking, "looking_twice": looking_twice,
    "overtaken": overtaken, "exporting": exporting, "restoring": restoring, "placing": placing,
}  # fmt: skip
VISITS: list[Any] = []


def _burdened(limit: int | None, nobody: bool) -> None:
    if limit is not None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    if nobody and os.geteuid() == 0:  # root may write whatever is called read-only
        os.setgroups([])
        os.setgid(65534)
        os.setuid(65534)


def one(deed: str, words: dict[str, Any], after: float | None, limit: int | None, nobody: bool) -> dict[str, Any]:
    """A child, and its end."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        code = 1
        try:
            os.write(into, b"begun\n")
            _burdened(limit, nobody)
            for done in DEEDS[deed](**words):
                os.write(into, f"{done}\n".encode())
            code = 0
        except BadInput as bad:
            os.write(into, f"REFUSED {bad}\n".encode())
        except BaseException as fault:
            os.write(into, f"FAULT {fault!r}\n".encode())
        finally:
            os._exit(code)
    os.close(into)
    begun = time.monotonic()
    with os.fdopen(out, "rb") as pipe:
        first = pipe.readline()  # the moment counts from here
        if after is not None:
            # Nothing is read meanwhile: what is in the pipe at the end is what was acknowledged before the end.
            select.select([], [], [], after)
            os.kill(child, signal.SIGKILL)
        rest = pipe.read()
    _, status = os.waitpid(child, 0)
    said = rest.decode().splitlines()
    assert first == b"begun\n", first
    assert not any(line.startswith("FAULT") for line in said), said
    whole = rest.endswith(b"\n") or not said
    return {"said": said if whole else said[:-1], "ended": os.WIFEXITED(status), "took": time.monotonic() - begun}


def main() -> None:
    """Answer line after line."""
    with tempfile.TemporaryDirectory() as folder:  # whatever is imported late is imported now
        opened = open_store(place_of(f"{folder}/x.db"), make=True)
        fill(opened, Path(folder))  # a child without rights may not be let into the folder of the checkout
        export(opened, Path(folder) / "out", "csv")
        check(opened)
        backup(opened, Path(folder) / "b")
        opened.close()
    VISITS.extend(kept_of(visit_text(number)) for number in range(5 * LOT))
    print("ready", flush=True)
    for line in sys.stdin:
        asked = json.loads(line)
        print(json.dumps(one(**asked)), flush=True)


if __name__ == "__main__":
    main()
