"""The shapes of what commands print with --json besides answers: files written, and things to mend.

In: nothing. Out: `SHAPES`, file name to model.
Not here: the shapes of answers (answer_schema.py). No command imports this.
"""

from __future__ import annotations

from pydantic import Field

from reasoner.rendering.schema_base import Shape


class Written(Shape):
    """What `new` and `report` wrote; `for`, `readers` (one for each file) and what follows are the report's.

    `for` is null where every reader has a page.
    """

    schema_version: str
    written: list[str]
    for_: str | None = Field(default=None, alias="for")
    readers: list[str] | None = None
    approved_by: str | None = None
    own_eyes: bool | None = Field(default=None, description="marked as not to be given to anybody")
    consent: dict[str, list[str]] | None = Field(default=None, description="what each reader's page says of consent")


class Mistake(Shape):
    """One thing to mend: a problem as it is also told in words."""

    code: str
    severity: str
    file: str
    line: int
    sentence: str
    hint: str


class Problems(Shape):
    """What every command prints with --json where its input needs mending; the exit code is then 2."""

    schema_version: str
    problems: list[Mistake]


class Counts(Shape):
    """What a rulebook holds; the last three add up to `rules`, which are rules as written, before left and right."""

    conclusions: int
    rules: int
    actions: int
    concerns: int
    sources: int
    rules_published: int = Field(description="rules that name a source, whatever else they name")
    rules_common_practice: int = Field(description="rules without a source that name common practice")
    rules_own_setting: int = Field(description="rules that rest on an own setting and nothing else")


class Checked(Shape):
    """What `rules check` prints; exit code 0 without problems, 1 with warnings only, 2 with errors."""

    schema_version: str
    rulebase: str = Field(description="the stamp of the files; empty where the scales did not read")
    complete: bool = Field(description="false: something did not read, so that more may be found once it is mended")
    counts: Counts
    errors: int
    warnings: int
    sketches: list[str] = Field(description="files whose author has more to say")
    problems: list[Mistake]


class FailedExample(Shape):
    """An example or fence that does not come true; its name ends in "(in the mirror)" where left and right were exchanged."""

    page: str
    name: str
    complaints: list[str]
    file: str
    line: int


class NotShown(Shape):
    """What no example shows: `never` reads "speaks", "is stopped", "waits", "is seen", "is absent", "taken" or "withheld"."""

    name: str
    never: str
    file: str
    line: int


class NotNoticed(Shape):
    """A slip of the pen on a page that none of its examples would notice."""

    page: str
    rule: str
    what: str
    file: str
    line: int


class Tested(Shape):
    """What `rules test` prints; exit code 0 where the three lists are empty, 2 where an example fails, else 1."""

    schema_version: str
    rulebase: str
    pages: int
    examples: int = Field(description="as written; each is judged in the mirror as well, a fence is not")
    fences: int
    slips: int = Field(description="slips of the pen that were tried")
    failed: list[FailedExample]
    gaps: list[NotShown]
    unnoticed: list[NotNoticed]


class FencedPage(Shape):
    """The fences written for one page, and the slips for which none was found."""

    page: str
    fences: int
    left: list[str]


class Fenced(Shape):
    """What `rules fence` prints; exit code 1 where something is left over."""

    schema_version: str
    rulebase: str
    pages: list[FencedPage]
    warnings: list[Mistake]


class Batch(Shape):
    """What `batch` prints when it is done; exit code 0 where every visit was judged, 3 where some were set aside."""

    schema_version: str
    source: str
    results: str
    aside: str = Field(description="the second table: what was set aside, with its reasons")
    rulebase: str
    visits: int = Field(description="visits met; `judged` and `set_aside` add up to it")
    set_aside: int
    rows_read: int = Field(description="rows of a table; 0 for a folder of visit files")
    rows_written: int
    levels: dict[str, int] = Field(description="how many judged visits have a referral of each level, none among them")
    parts: int
    again: int = Field(description="parts that an earlier run, stopped on the way, had already done")
    workers: int
    judged: int
    seconds: float


SHAPES: dict[str, type[Shape]] = {
    "written.json": Written,
    "batch.json": Batch,
    "problems.json": Problems,
    "rules_check.json": Checked,
    "rules_test.json": Tested,
    "rules_fence.json": Fenced,
}
