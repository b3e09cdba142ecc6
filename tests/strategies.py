"""Hypothesis strategies for rulebases and visits.

In: nothing. Out: strategies; a failing case shrinks to few rules and few findings.
Not here: how a rulebase or a visit is put together (random_rulebooks, random_visits).
"""

from __future__ import annotations

from hypothesis import strategies as st

from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit
from tests.chance import Chooser, Drawn, Seeded
from tests.random_rulebooks import random_rulebook
from tests.random_visits import random_visit

Case = tuple[Rulebook, list[Visit], Chooser]


def seeds() -> st.SearchStrategy[Chooser]:
    """Seeded choices, for vocabularies too large to be drawn word by word."""
    return st.integers(0, 2**32 - 1).map(Seeded)


@st.composite
def choosers(draw: st.DrawFn) -> Chooser:
    """A source of choices: seeded, which ranges wider, or drawn one by one, which shrinks."""
    return draw(seeds()) if draw(st.booleans()) else Drawn(draw)


@st.composite
def cases(draw: st.DrawFn, *, rising: bool = False, visits: int = 1) -> Case:
    """(rulebase, visits, more choices): one random rulebase with one or several visits to it."""
    chooser = draw(choosers())
    book = random_rulebook(chooser, rising=rising)
    return book, [random_visit(chooser, book) for _ in range(visits)], chooser
