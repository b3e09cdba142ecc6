"""When a calendar reminds of what is due.

In: the table `reminders` of rules/scales/. Out: a frozen shape, checked.
Not here: the hours (they are data), the calendar.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import time, timedelta
from typing import Any

from reasoner.frozen import frozen


@frozen(kw_only=True)
class Reminders:
    """`day_before` is the hour of the day before a horse is due, `overdue` that of the day itself where it was due before it."""

    day_before: str
    overdue: str
    basis: str

    def before(self) -> timedelta:
        """From the beginning of the day to the reminder on the day before it: less than nothing."""
        return _since_midnight(self.day_before) - timedelta(days=1)

    def on_the_day(self) -> timedelta:
        """From the beginning of the day to the reminder on it."""
        return _since_midnight(self.overdue)


def reminders_from(said: Any) -> Reminders:
    """The table `reminders`. Raises KeyError or TypeError where it lacks something."""
    return Reminders(day_before=str(said["day_before"]), overdue=str(said["overdue"]), basis=said["basis"])


def no_hour(reminders: Reminders | None) -> Iterator[tuple[str, str]]:
    """(table, sentence) for each hour that is none."""
    for name in ("day_before", "overdue") if reminders is not None else ():
        said = getattr(reminders, name)
        try:
            _since_midnight(said)
        except ValueError:
            yield "reminders", f'`{name}` is "{said}"; an hour of the day is written as "18:00".'


def _since_midnight(hour: str) -> timedelta:
    at = time.fromisoformat(hour)
    return timedelta(hours=at.hour, minutes=at.minute)
