"""Stores for the tests: a file in a temporary folder, and visits ready to be kept.

In: examples, or visits as text. Out: `Kept`, opened stores.
Not here: expectations.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from reasoner.consult import judge
from reasoner.records.keeping import archive_of
from reasoner.rendering.kept_json import kept_json
from reasoner.rulebook.layers import read_layers, shipped_rules, stamp_of
from reasoner.store.opening import Store, open_store
from reasoner.store.place import Place, place_of
from reasoner.store.saving import Kept
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@cache
def _rules() -> tuple[str, bytes]:
    layers = read_layers([shipped_rules()])
    return stamp_of(layers), archive_of(layers)


def kept_of(text: str | bytes, file: str = "visit.yaml") -> Kept:
    """A visit as text, judged by the shipped rules and ready to be kept."""
    return _kept(text.encode() if isinstance(text, str) else text, file)


@cache
def _kept(data: bytes, file: str) -> Kept:
    answer = judge(visit_from_bytes(data, file, shipped().book.vocabulary), shipped())
    stamp, archive = _rules()
    return Kept(visit=answer.visit, text=data, answer=kept_json(answer), stamp=stamp, engine="tests", archive=archive)


@cache
def example(name: str) -> Kept:
    """An example of the yard."""
    return kept_of((EXAMPLES / f"{name}.yaml").read_bytes(), f"examples/{name}.yaml")


def fresh(folder: Path) -> Store:
    """A store begun in a folder."""
    return open_store(place_of(str(folder / "practice.db")), make=True)


@contextlib.contextmanager
def opened(place: Place) -> Iterator[Store]:
    """The records at a place, let go of in the end."""
    store = open_store(place)
    try:
        yield store
    finally:
        store.close()


@contextlib.contextmanager
def opened_new(folder: Path) -> Iterator[Store]:
    """A store begun in a folder, let go of in the end."""
    store = fresh(folder)
    try:
        yield store
    finally:
        store.close()
