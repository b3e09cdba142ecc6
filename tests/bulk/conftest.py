"""The shipped rulebook and a judge of tables, made once.

In: rules/, examples/. Out: fixtures.
Not here: rows.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from reasoner.bulk import Judge
from reasoner.consult import load_rulebook
from reasoner.rules_cache import Ready
from reasoner.visit.model import Visit
from reasoner.visit.reading import read_visit

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="session")
def shipped() -> Ready:
    return load_rulebook()


@pytest.fixture(scope="session")
def judge(shipped: Ready) -> Judge:
    return Judge(shipped)


@pytest.fixture(scope="session")
def visits(shipped: Ready) -> dict[str, Visit]:
    """The examples by name, without what a table cannot hold: a veterinarian's word."""
    found = {path.stem: read_visit(path, shipped.book.vocabulary) for path in sorted(EXAMPLES.glob("*.yaml"))}
    return {name: replace(visit, vets_words=(), worked=()) for name, visit in found.items()}
