"""Visits by several hands, made for the tests: small ones written out, and many drawn from a hand that wavers.

In: grades, or a visit and an error of reading. Out: visits, pairs, files.
Not here: what is asserted of them.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import cast

from reasoner.consult import load_rulebook
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rules_cache import Ready
from reasoner.teaching.paired import Pair, paired
from reasoner.visit.model import Touch, Visit
from reasoner.visit.reading import read_visit, visit_from_bytes

READY: Ready = load_rulebook()
BOOK = READY.book
TABLE = cast(AgreementTable, BOOK.measures["agreement"])
EXAMPLES = Path(__file__).resolve().parent.parent.parent / "examples"


def example(name: str) -> Visit:
    """A visit of examples/."""
    return read_visit(EXAMPLES / f"{name}.yaml", BOOK.vocabulary)


def written(text: str, file: str = "visit.yaml") -> Visit:
    """A visit as text."""
    return visit_from_bytes(text.encode(), file, BOOK.vocabulary, {})


def graded(visit: Visit, grades: Mapping[tuple[str, str], float], file: str, examiner: str = "") -> Visit:
    """The visit with these grades in place of its own, before work."""
    touches = tuple(
        t if (at := (t.place, t.side or "")) not in grades
        else replace(t, soreness=Decimal(str(grades[at])), quiet_list=t.quiet_list and grades[at] == 0)
        for t in visit.touches
    )  # fmt: skip
    noted = tuple(
        replace(n, value=examiner, written=examiner) if examiner and n.key == "examined_by" else n for n in visit.noted
    )
    return replace(visit, file=file, touches=touches, noted=noted)


def wavered(visit: Visit, rnd: random.Random, shared: float, noise: float, file: str, examiner: str = "") -> Visit:
    """The visit graded again by a hand that wavers, on the half steps of the scale; written apart from the engine's own."""
    together = rnd.gauss(0, shared)
    grades: dict[tuple[str, str], float] = {}
    for touch in visit.touches:
        if touch.soreness is not None:
            raw = float(touch.soreness) + together + rnd.gauss(0, noise)
            grades[touch.place, touch.side or ""] = min(10.0, max(0.0, round(raw * 2) / 2))
    return graded(visit, grades, file, examiner)


def sore(visit: Visit, rnd: random.Random) -> Visit:
    """The visit with every grade drawn from the middle of the scale, where it hides nothing."""
    touches = tuple(
        replace(t, soreness=Decimal(rnd.randint(6, 14)) / 2, responses=None, quiet_list=False)
        if t.soreness is not None
        else t
        for t in visit.touches
    )
    return replace(visit, touches=touches)


def many(count: int, seed: int, shared: float = 0.5, noise: float = 0.7) -> list[Pair]:
    """Pairs of visits by one hand to horses that are sore all over."""
    rnd, base = random.Random(seed), example("juno")
    pairs = []
    for n in range(count):
        horse = sore(base, rnd)
        one, two = (wavered(horse, rnd, shared, noise, f"{n}-{k}.yaml") for k in "ab")
        pairs.append(paired(one, two, BOOK.vocabulary))
    return pairs


def columns(pairs: Sequence[Pair]) -> tuple[list[float], list[float]]:
    """The two columns of grades."""
    every = [one for pair in pairs for one in pair.readings]
    return [one.one for one in every], [one.two for one in every]


def places(visit: Visit) -> list[Touch]:
    """The touches with a grade."""
    return [touch for touch in visit.touches if touch.soreness is not None]
