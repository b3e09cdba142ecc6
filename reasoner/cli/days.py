"""A day on the command line, and what is told where it does not read.

In: a word typed for an option. Out: its day, or a usage error in plain words.
Not here: whether such a day makes sense there.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

import click


class Day(click.DateTime):
    """A day written as year, month, day."""

    def __init__(self) -> None:
        super().__init__(["%Y-%m-%d"])

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        """The day; a usage error tells what was expected and what was read."""
        if isinstance(value, datetime):
            return value
        try:
            return datetime.strptime(str(value).strip(), "%Y-%m-%d")
        except ValueError:
            self.fail(f"a day such as 2026-04-18 was expected; {value} was read.", param, ctx)


DAY = Day()
