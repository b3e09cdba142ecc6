"""The shapes of the numbers of `reasoner measure tree`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (measured_tree.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.schema_base import Shape

Positive = Annotated[float, Field(ge=0)]
Zone = Literal["left", "top", "right"]
Word = Literal["narrower", "follows", "wider", "pinches_left", "pinches_right", "opens_left", "opens_right", "twisted"]
Contact = Literal["even", "bridges", "rocks", "more_in_front", "more_behind"]


class TreeSide(Shape):
    """One side of the tree against the back, as it lies."""

    word: Literal["narrower", "follows", "wider"]
    steeper_deg: float = Field(description="tree minus back; positive where the tree is steeper")
    error_deg: Positive
    tree_deg: float
    back_deg: float
    from_mm: Positive = Field(description="out from the midline")
    to_mm: Positive


class TreeStretch(Shape):
    """A part of the tree's line, from inside to outside."""

    zone: Zone
    out_mm: list[float] = Field(min_length=2, max_length=2)
    down_mm: list[float] = Field(min_length=2, max_length=2, description="below the top of the back")
    most_mm: Positive = Field(description="the greatest distance to the back")


class TreeLoaded(Shape):
    """The tree under load in a bed of one stiffness, against its unloaded rest. Left and right together are the load."""

    stiffness_kpa_per_mm: Positive
    sinks_mm: float
    rolls_deg: float = Field(description="positive: down on the horse's left")
    shifts_mm: float = Field(description="positive: to the horse's right")
    left_n: float
    right_n: float
    most_kpa: Positive
    most_zone: Zone
    most_out_mm: Positive
    most_down_mm: float
    clearance_mm: float | None = Field(description="below 0: pressed in; null: the arch was not traced")


class TreeAcross(Shape):
    """One station."""

    station: str
    word: Word
    left: TreeSide
    right: TreeSide
    mean_deg: float = Field(description="of both sides, which no roll can change")
    mean_error_deg: Positive
    shifted_mm: float = Field(description="to come to rest; positive: to the horse's right")
    rolled_deg: float = Field(description="to come to rest; positive: down on the horse's left")
    held_level: bool = Field(description="free to roll it would not come to rest near level")
    clearance_mm: float | None
    touches: list[TreeStretch]
    gaps: list[TreeStretch]
    load_n: Positive
    loaded: list[TreeLoaded] = Field(description="half, once and twice the stiffness of the table")


class AlongGap(Shape):
    """The greatest gap in one part of the panel."""

    part: Literal["front", "middle", "rear"]
    most_mm: Positive
    behind_mm: float = Field(description="behind the front end of the panel")


class AlongLoaded(Shape):
    """One side under its half of the load."""

    sinks_mm: float
    front_kpa: Positive
    middle_kpa: Positive
    rear_kpa: Positive


class AlongSide(Shape):
    """One side along the back."""

    contact: Contact
    carries_mm: list[float]
    gaps: list[AlongGap]
    bridge_mm: Positive
    bridge_error_mm: Positive
    rocks_deg: Positive
    rocks_error_deg: Positive
    lifts_mm: Positive
    load_n: Positive
    loaded: list[AlongLoaded] = Field(description="half, once and twice the stiffness of the table")
    closes: bool = Field(description="whether the middle touches under load at every stiffness")


class TreeAlong(Shape):
    """Both sides along; `contact` null where they say different things or one was not traced."""

    contact: Contact | None
    left: AlongSide | None
    right: AlongSide | None


class TreeEnd(Shape):
    """Where the bearing part ends."""

    behind_the_last_rib_mm: float = Field(description="below 0: in front of it")
    error_mm: Positive
    length: Literal["before_the_last_rib", "at_the_last_rib", "behind_the_last_rib"]


class TreeNumbers(Shape):
    """`numbers` of a measure with the key `tree`: one of the three, or none where it could not be laid down."""

    across: TreeAcross | None
    along: TreeAlong | None
    end: TreeEnd | None


SHAPES: dict[str, type[Shape]] = {"measure_tree.json": TreeNumbers}
