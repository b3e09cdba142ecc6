"""A visit as the page sends it, before it is a file.

In: JSON from a telephone. Out: a `Draft`, and the bytes of its visit file.
Not here: whether its words are right (the reader of visit files), keeping it.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.strict_yaml import MOST_BYTES
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes
from reasoner.visit.written_out import Draft, Pressed, written_out

register({"PG50": "a visit from the page that is larger than a visit can be"})

#: What a file is called in messages that has no name yet.
SHOWN = "this visit"

Key = Annotated[str, StringConstraints(min_length=1, max_length=80, pattern=r"^[A-Za-z][A-Za-z0-9 _/+'-]*$")]
Words = Annotated[str, StringConstraints(max_length=4000)]
Side = Literal["left", "right"]


class Exact(BaseModel):
    """A shape that takes no other fields."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Touch(Exact):
    """What one place answered on one side: a number, a refusal, or why it was passed over; what is left out was not noted."""

    soreness: Words | None = None
    response: list[Words] | None = Field(None, max_length=20)
    felt: list[Words] | None = Field(None, max_length=20)
    depth: Words | None = None
    touch: Words | None = None
    once_settled: Words | None = None
    after_work: Words | None = None
    note: Words | None = None
    not_examined: Words | None = None
    refused: bool = False

    def pressed(self) -> Pressed:
        """As a visit file says it."""
        if self.refused:
            return "would not allow touch"
        if self.not_examined is not None:
            return f"not examined - {self.not_examined}"
        said = self.model_dump(exclude_none=True, exclude={"refused"})
        return said["soreness"] if set(said) == {"soreness"} else said


class DraftIn(Exact):
    """A visit so far. `draft` names it from the first tap on, for ever."""

    draft: UUID
    visit: date
    entries: dict[Key, Words | dict[Side, Words]] = Field(default_factory=dict, max_length=500)
    palpation: dict[Key, dict[Literal["left", "right", "middle"], Touch]] = Field(default_factory=dict, max_length=500)
    quiet: dict[Key, Literal["left", "right", "both"]] = Field(default_factory=dict, max_length=100)
    notes: list[Words] = Field(default_factory=list, max_length=200)

    def bytes_of(self, vocabulary: Vocabulary) -> bytes:
        """The visit file. The same draft gives the same bytes. Raises BadInput (PG50)."""
        draft = Draft(
            day=self.visit, quiet=self.quiet, notes=tuple(self.notes),
            entries={key: said if isinstance(said, str) else dict(said.items()) for key, said in self.entries.items()},
            palpation={
                place: {side: touch.pressed() for side, touch in sides.items()} for place, sides in self.palpation.items()
            },
        )  # fmt: skip
        data = written_out(draft, vocabulary).encode()
        if len(data) > MOST_BYTES:
            raise BadInput(
                [Problem(SHOWN, 0, "PG50", "this visit is larger than a visit can be.", "Shorten the notes.")]
            )
        return data

    def visit_of(self, vocabulary: Vocabulary) -> Visit:
        """The visit, read. Raises BadInput with everything that does not read."""
        return visit_from_bytes(self.bytes_of(vocabulary), SHOWN, vocabulary, beside={})
