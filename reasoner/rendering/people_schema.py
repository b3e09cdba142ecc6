"""The shapes of what `reasoner people` prints as JSON.

In: nothing. Out: pydantic models and their file names.
Not here: filling them.
"""

from __future__ import annotations

from typing import Literal

from reasoner.rendering.schema_base import Shape


class Person(Shape):
    """Somebody who may come in from nearby; `horse` of an owner, by name, where it is known here."""

    name: str
    role: Literal["practitioner", "apprentice", "owner"]
    horse: str | None
    by_password: bool
    since: str


class Telephone(Shape):
    """A telephone that is in; moments are ISO."""

    name: str
    role: Literal["practitioner", "apprentice", "owner"]
    telephone: str
    since: str
    last: str
    until: str


class OfPeople(Shape):
    """What every answer begins with."""

    schema_version: Literal["1"]
    records: str


class Added(OfPeople):
    """What `people add` did."""

    added: Person


class Listed(OfPeople):
    """What `people list` prints."""

    people: list[Person]
    telephones: list[Telephone]


class Changed(OfPeople):
    """What `people password` did."""

    changed: Person


class Closed(OfPeople):
    """What `people close` did."""

    closed: Person


SHAPES: dict[str, type[Shape]] = {
    "people_add.json": Added,
    "people_list.json": Listed,
    "people_password.json": Changed,
    "people_close.json": Closed,
}
