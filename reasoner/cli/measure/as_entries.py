"""Options that stand for entries of a visit, so that a measure by itself reads and judges them as a visit would.

In: the words behind the options. Out: a `Visit` that holds those entries alone, or every problem at once.
Not here: any one measure, the arithmetic. What an entry may be, and which numbers are possible, stands in the vocabulary.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import timedelta
from typing import Any

import click

from reasoner.cli import clock
from reasoner.problems import BadInput, Problem, register
from reasoner.quantities import NotAQuantity, read_quantity
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import DateSpan, Noted, Visit

register({"MS13": "an age that cannot be read", "MS14": "too little was given to work anything out"})

FILE = "what was given"
BORN = "born"


def options(entries: Iterable[tuple[str, str, str, str]]) -> Callable[[Any], Any]:
    """A decorator that adds an option for each (option, parameter, metavar, help)."""

    def added(function: Any) -> Any:
        for option, parameter, metavar, text in reversed(list(entries)):
            function = click.option(option, parameter, metavar=metavar, help=text)(function)
        return function

    return added


def visit_of(
    given: Mapping[str, str | None], named: Mapping[str, str], book: Rulebook, age: str | None = None
) -> Visit:
    """A visit of today that holds the entries given (entry to what was written); `named` is the option of each, for messages.

    Raises BadInput with everything that cannot be read, in the words of the visit's own reader.
    """
    from reasoner.rulebook.strict_yaml import Node
    from reasoner.visit.noted import read_value
    from reasoner.visit.reader import Reader

    today = clock.today()
    reader = Reader(FILE, book.vocabulary)
    reader.day = today
    noted: list[Noted] = []
    for key, text in given.items():
        if text is None:
            continue
        observation = book.vocabulary.observations[key]
        value = read_value(reader, observation, Node(text, 0), named[key])
        if value is not None:
            noted.append(Noted(key=key, value=value, written=" ".join(text.split()), kind=observation.kind))
    problems = list(reader.problems)
    if age is not None:
        try:
            days = float(read_quantity(age, "days"))
            if days < 0:
                raise NotAQuantity(f'"{age}" is before its birth; expected an age of 0 days or more.')
            born = today - timedelta(days=days)
            noted.append(Noted(key=BORN, value=DateSpan(first=born, last=born), written=age, kind="date"))
        except NotAQuantity as fault:
            problems.append(Problem(FILE, 0, "MS13", f"--age: {fault.sentence}", fault.hint))
        except OverflowError:
            problems.append(
                Problem(FILE, 0, "MS13", f'--age: "{age}" is older than any horse.', "Write days, weeks or years.")
            )
    if problems:
        raise BadInput(problems)
    return Visit(file=FILE, day=today, noted=tuple(noted))


def too_little(sentence: str, hint: str) -> BadInput:
    """That nothing could be worked out, and what to give."""
    return BadInput([Problem(FILE, 0, "MS14", sentence, hint)])
