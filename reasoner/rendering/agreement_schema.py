"""The shape of the JSON of `reasoner agree`.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shape (agreement_json.py), writing the file (schema_files.py). No command imports this.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from reasoner.rendering.answer_schema import Key, Side
from reasoner.rendering.head_schema import About
from reasoner.rendering.schema_base import Shape

Count = Annotated[int, Field(ge=0)]
Points = Annotated[float, Field(ge=0, le=10)]


class Estimated(Shape):
    """A number and its interval; the ends are null where the formula gives none."""

    value: float
    low: float | None
    high: float | None
    by: Literal["formula", "visits drawn again"]


class LimitsOfAgreement(Shape):
    """Mean difference (second less first), its standard deviation, both limits; points of the soreness scale."""

    mean: Estimated
    deviation: float
    lower: Estimated
    upper: Estimated


class Figures(Shape):
    """Agreement over some places. Null: too few readings, or no place differs from another."""

    readings: Count
    pairs: Count = Field(description="pairs of visits")
    same: Count
    near: Count
    largest: Points = Field(description="the largest difference, in points")
    too_few: bool
    kappa_linear: Estimated | None
    kappa_linear_called: list[str] = Field(description="what each source calls it, over the whole interval")
    kappa_square: Estimated | None
    kappa_unweighted: Estimated | None
    icc: Estimated | None
    icc_called: list[str]
    limits: LimitsOfAgreement | None


class RegionFigures(Figures):
    """Agreement over one region."""

    region: str


class PlaceFigures(Figures):
    """Agreement at one place and side."""

    place: str
    side: Side
    after_work: bool


class Sides(Shape):
    """Agreement on the horse's left and right."""

    left: Figures
    right: Figures


class GradedTwice(Shape):
    """A place and side that both graded."""

    place: str
    side: Side
    after_work: bool
    first: Points
    second: Points
    difference: float
    line_first: Count
    line_second: Count
    both_listed_as_quiet: bool


class HadOf(Shape):
    """How one of two answers has it."""

    value: str
    words: str


class Difference(Shape):
    """A difference between the two answers; null: that answer has no such thing."""

    kind: str
    key: str | None
    side: Side
    name: str
    before: HadOf | None
    after: HadOf | None


class PairOf(Shape):
    """Two visits to one horse on one day."""

    first: About
    second: About
    readings: list[GradedTwice]
    without_number: list[Key]
    only_first: list[Key]
    only_second: list[Key]
    neither: list[Key]
    differences: list[Difference]


class DifferingReading(Shape):
    """One thing the two files say otherwise; `whole_part` for tracings, work done and a veterinarian's word."""

    key: str
    side: Side
    group: str
    whole_part: bool
    first: str | None
    second: str | None
    line_first: Count
    line_second: Count
    points: float | None


class MovedBy(Difference):
    """A difference and what moves it; numbers count the trace's `readings` from 0."""

    alone: list[Count] = Field(description="each of these by itself, put from the second file into the first")
    back: list[Count] = Field(
        description="each of these by itself, put from the first file into the second, takes it away"
    )
    groups: list[str]
    together: list[Count] = Field(description="where none does alone: these together, none of which can be left out")
    traced_to_its_end: bool


class TraceOf(Shape):
    """What the differing readings of one pair move."""

    first: str
    second: str
    judged: Count
    readings: list[DifferingReading]
    moved: list[MovedBy]
    idle: list[Count]


class WordOf(Shape):
    """One word at the places where both hands wrote of such things; kappa null: too few places, or not defined."""

    of: str
    word: str
    both: Count
    only_first: Count
    only_second: Count
    neither: Count
    share: Estimated = Field(description="how often the two say the same, with Wilson's interval")
    kappa: Estimated | None
    kappa_called: list[str]


class InOneWord(Shape):
    """Things of which each hand writes one word."""

    of: str
    compared: Count
    same: Count
    only_one: Count = Field(description="written by one hand alone")
    share: Estimated | None


class WithoutWords(Shape):
    """Places graded by both of which one hand wrote no such words."""

    of: str
    places: Count


class OwnError(Shape):
    """The error of one hand's reading, in points; null where there is too little for it."""

    examiner: str
    readings: Count
    left_out: Count
    pairs: Count
    shift: float
    noise: Estimated | None
    shared: Estimated | None


class Comparison(Shape):
    """Two hands, or one hand twice."""

    first: str
    second: str
    same_hand: bool
    icc_form: Literal["ICC(2,1)", "ICC(A,1)"]
    seed: Count
    pairs: list[PairOf]
    whole: Figures
    answered: Figures = Field(description="without the places that both only listed as quiet")
    sides: Sides
    regions: list[RegionFigures]
    places: list[PlaceFigures]
    words: list[WordOf]
    in_one_word: list[InOneWord]
    without_words: list[WithoutWords]
    earlier_visits: Count | None = Field(
        description="visits before that day that both were judged with; null: the files were judged by themselves"
    )
    traces: list[TraceOf]
    own_error: OwnError | None


class Agree(Shape):
    """How hands agree: one comparison for each two hands."""

    schema_version: Literal["1"]
    rulebase: str
    engine: str
    comparisons: list[Comparison]
    without_another: list[str] = Field(description="files that found no other visit of their horse and day")
    sealed: list[str] = Field(description="files that were sealed and fit their seals")


class Sealed(Shape):
    """What `reasoner agree --seal` wrote."""

    schema_version: Literal["1"]
    seal: str
    opening: str
    horse: str
    visit: str
    examined_by: str
    commitment: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


SHAPES: dict[str, type[Shape]] = {"agree.json": Agree, "agree_seal.json": Sealed}
