"""A table in which equal specifications are one entry.

In: specifications (tuples). Out: their numbers, in the order they were first met.
Not here: what a specification means.
"""

from __future__ import annotations

from typing import Any

Spec = tuple[Any, ...]


class Interned:
    """Specifications by number and numbers by specification; the first one has number 0."""

    def __init__(self, first: Spec) -> None:
        self.specs: list[Spec] = [first]
        self.index: dict[Spec, int] = {first: 0}

    def intern(self, spec: Spec) -> int:
        """The number of this specification, made if it is new."""
        number = self.index.get(spec)
        if number is None:
            number = self.index[spec] = len(self.specs)
            self.specs.append(spec)
        return number
