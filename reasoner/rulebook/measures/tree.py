"""The figures behind a tree laid on a back: errors of tracing, limits of words, the bed it is pressed into.

In: nothing, these are the frozen records that rules/measures/tree.yaml fills. Out: `Tree`.
Not here: the figures themselves, laying anything down (measures/contact.py).
"""

from __future__ import annotations

from reasoner.frozen import frozen

Basis = str | tuple[str, ...]


@frozen(kw_only=True)
class TracingError:
    """How far one end of a traced stretch may be off (mm, one standard deviation), and how many of them count as inside."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    mm: float
    times: float
    basis: Basis


@frozen(kw_only=True)
class Shape:
    """What of the lines is meant: `touches_within_mm` counts as touching; `arch_within_mm` from the midline on both sides
    counts as a traced arch; `top_mm` to either side of the midline is the top; from `bears_from_mm` outwards the tree bears;
    `spare_mm` it may reach beyond the tracing; gaps are told
    `gaps_from_mm`; what rolls further than `most_roll_deg` before it rests is held level instead."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    touches_within_mm: float
    arch_within_mm: float
    top_mm: float
    bears_from_mm: float
    spare_mm: float
    gaps_from_mm: float
    most_roll_deg: float
    basis: Basis


@frozen(kw_only=True)
class Follows:
    """A tree whose side differs from the back by no more than `within_deg`, or than its error, follows it."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    within_deg: float
    basis: Basis


@frozen(kw_only=True)
class Press:
    """The load that is assumed (`kg`, at most `most_kg`) and the bed: kPa a mm, told from half to double; over `length_mm`
    along the horse where a section across is pressed, `width_mm` of each panel where a line along is."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    kg: float
    most_kg: float
    stiffness_kpa_per_mm: float
    length_mm: float
    width_mm: float
    basis: Basis


@frozen(kw_only=True)
class Lengthwise:
    """Words along the back. Pressed at `pressed_at` of its length from either end; `middle_from` to `middle_to` of it is the
    middle; it bridges or clears from `gap_from_mm`, rocks from `rocks_from_deg`; one end carries more from `heavier_times`."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    pressed_at: float
    middle_from: float
    middle_to: float
    gap_from_mm: float
    rocks_from_deg: float
    heavier_times: float
    basis: Basis


@frozen(kw_only=True)
class LastRib:
    """How far off the last rib may be when it is found by hand (mm); within it the bearing part ends at the rib."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    error_mm: float
    says: str
    basis: Basis


@frozen(kw_only=True)
class Caution:
    """A sentence that travels with every answer of this measure."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    says: str
    basis: Basis


@frozen(kw_only=True)
class Known:
    """What published work found where this word stands."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    word: str
    says: str
    basis: Basis


@frozen(kw_only=True)
class Tree:
    """rules/measures/tree.yaml. `front_stations` are where a section tells the width in front, the first that was
    traced; `load_entries` the entries of a visit whose sum is the load."""

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012
    traced: TracingError
    shape: Shape
    follows: Follows
    press: Press
    lengthwise: Lengthwise
    last_rib: LastRib
    load_entries: tuple[str, ...]
    known: tuple[Known, ...]
    front_stations: tuple[str, ...]
    cautions: tuple[Caution, ...]
