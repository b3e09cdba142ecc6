"""The shape of an apprentice's work on a handed-out case, for JSON Schema and for tests.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling it (handed_in_json). No command imports this.
"""

from __future__ import annotations

from reasoner.rendering.practise_schema import Practise
from reasoner.rendering.schema_base import Shape


class HandedIn(Shape):
    """The work of one apprentice on a handed-out case. `receipt` and `ended_at` are null until it has ended; the marks in
    `session` are null unless it has ended and the teacher lets them be seen (`marks_shown`)."""

    schema_version: str
    case: str
    case_seal: str
    by: str
    begun: str
    file: str
    ended: bool
    ended_at: str | None
    receipt: str | None
    marks_shown: bool
    session: Practise


SHAPES: dict[str, type[Shape]] = {"practise_handed_out.json": HandedIn}
