"""A rulebook grounded: every side and place filled in, still as specifications and not yet as arrays.

In: nothing. Out: the shapes `from_rulebook` fills and `strata` lays out.
Not here: how they are made or run.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from reasoner.frozen import frozen


@frozen
class GroundRule:
    """One rule for one side. Literals are column numbers times two, plus one if turned round."""

    id: str
    page: str
    side: str
    number: int
    premise: int
    gate: int
    strength: float
    group: str
    line: int


@frozen
class GroundConcern:
    """One concern for one side and place; `signs` are literals, in the order of the page."""

    page: str
    side: str
    place: str
    signs: tuple[int, ...]
    literal: int


@frozen
class GroundAction:
    """One action for one side: what asks for it, what it needs first, what forbids it, and which stops hold it back."""

    page: str
    side: str
    wanted: tuple[int, ...]
    needs: tuple[int, ...]
    forbids: tuple[int, ...]
    wanted_literal: int
    ready_literal: int
    forbid_literal: int
    works_on: tuple[tuple[str, str], ...]


@frozen
class Accounted:
    """A finding a conclusion explains: a place (and depth) or an observation's readings. Where the page says `both`, `paired`:
    one side is explained only if the other did not stay quiet."""

    key: str
    side: str
    depth: str = ""
    readings: tuple[str, ...] = ()
    paired: bool = False


@frozen
class Discount:
    """One circumstance at work on one atom: it multiplies support ("soreness") or opposition ("quiet")."""

    circumstance: str
    lessens: str
    by: float
    literal: int


@dataclass(kw_only=True)
class Network:
    """Everything grounded. `conclusions` are (key, side) in order; `accounts` and `leads` are keyed by them."""

    specs: list[tuple[Any, ...]]
    conclusions: list[tuple[str, str]]
    rules: list[GroundRule]
    concerns: list[GroundConcern]
    actions: list[GroundAction]
    accounts: dict[tuple[str, str], tuple[Accounted, ...]]
    leads: dict[tuple[str, str], tuple[tuple[str, str], ...]]
    notable: list[tuple[int, str, str]] = field(default_factory=list)
    guarded: list[tuple[int, str, str]] = field(default_factory=list)
    spoken: list[tuple[int, str, str, str]] = field(default_factory=list)
    levels: dict[str, int] = field(default_factory=dict)
    words: dict[str, tuple[str, ...]] = field(default_factory=dict)
