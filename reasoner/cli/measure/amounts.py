"""Amounts on the command line: text with a unit becomes a number in the base unit, within what is possible.

In: the text of options, and the entries of a visit that mean the same. Out: floats; every mistake told at once.
Not here: any one command. The ranges are those of the entries, so that a visit and a command refuse the same.
"""

from __future__ import annotations

from reasoner.problems import BadInput, Problem
from reasoner.quantities import BASE_UNIT, Dimension, NotAQuantity, dimension_of, read_quantity
from reasoner.rulebook.rulebook import Rulebook


class Amounts:
    """Options being read. `done` raises everything that was wrong; until then a wrong one reads as not given."""

    def __init__(self, book: Rulebook, code: str) -> None:
        self.book, self.code = book, code
        self.problems: list[Problem] = []

    def of(self, option: str, text: str | None, dimension: Dimension, entry: str = "") -> float | None:
        """One option as a float in its base unit; within the range of `entry`, where that is an entry of the vocabulary."""
        if text is None:
            return None
        try:
            amount = float(read_quantity(text, dimension))
        except NotAQuantity as no:
            self.wrong(option, f"{no.sentence[0].upper()}{no.sentence[1:]}", no.hint)
            return None
        seen = self.book.vocabulary.observations.get(entry)
        if seen is not None and seen.range is not None and not seen.range[0] <= amount <= seen.range[1]:
            least, most = seen.range
            unit = BASE_UNIT[dimension_of(seen.unit)]
            self.wrong(option, f'"{text}" is {amount:g} {unit}; {least:g} to {most:g} {unit} was expected.')
            return None
        if amount < 0:
            self.wrong(option, f'"{text}" is less than nothing.', "Which side is meant is said by the option.")
            return None
        return amount

    def wrong(self, option: str, sentence: str, hint: str = "", code: str = "") -> None:
        """One more thing to mend."""
        self.problems.append(Problem(option, 0, code or self.code, sentence, hint))

    def done(self) -> None:
        """Raise BadInput with everything that was wrong, if anything was."""
        if self.problems:
            raise BadInput(self.problems)
