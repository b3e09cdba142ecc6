"""Dates as written: a year, a month or a day, never guessed further.

In: text such as `2025-03`. Out: a `DateSpan`, or a problem at the reader's desk.
Not here: the clock (what is past is what lies before the day of the visit), durations.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from reasoner.rulebook.strict_yaml import Node
from reasoner.visit.model import DateSpan
from reasoner.visit.reader import Reader, quote

_DATE = r"([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?"
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

#: Visits on paper older than this, or dated further ahead, are slips of the pen (own setting).
FIRST_VISIT, LAST_VISIT = date(1990, 1, 1), date(2199, 12, 31)
#: No date about a living horse is older, whatever the vocabulary leaves open (own setting).
EARLIEST = date(1950, 1, 1)
FORMS = "YYYY, YYYY-MM or YYYY-MM-DD"


def parse_date(text: str) -> DateSpan | str:
    """The span a date stands for, or the sentence that says why it is none.

    >>> span = parse_date("2024-02")
    >>> str(span.first), str(span.last)
    ('2024-02-01', '2024-02-29')
    >>> parse_date("2023-02-29")
    '2023-02 has 28 days, and day 29 was read'
    """
    found = re.fullmatch(_DATE, text)
    if found is None:
        return f"{quote(text)} is not a date; expected {FORMS}"
    year, month, day = (int(part) if part else None for part in found.groups())
    if not year:
        return "there is no year 0000"
    if month is None:
        return DateSpan(first=date(year, 1, 1), last=date(year, 12, 31))
    if not 1 <= month <= 12:
        return f"there is no month {month:02} in {quote(text)}; expected 01 to 12"
    length = _days_of(year, month)
    if day is None:
        return DateSpan(first=date(year, month, 1), last=date(year, month, length))
    if not 1 <= day <= length:
        return f"{year}-{month:02} has {length} days, and day {day} was read"
    return DateSpan(first=date(year, month, day), last=date(year, month, day))


def date_hint(text: str) -> str:
    """How the date would be written, where only the order or the dividers are unusual and nothing is ambiguous.

    Empty where it is written as it should be, and no calendar has that day.
    """
    written = _written_anew(text)
    if not written:
        return "Write the year first, then the month, then the day: 2026-04-18."
    return f"Write {written}." if isinstance(parse_date(written), DateSpan) else ""


def _written_anew(text: str) -> str:
    parts = [p for p in re.split(r"[\s./,\-]+", text.strip()) if p][:4]
    if len(parts) == 3 and len(parts[0]) == 4 and all(p.isascii() and p.isdigit() for p in parts):
        return f"{parts[0]}-{parts[1]:0>2}-{parts[2]:0>2}"
    if len(parts) == 3 and parts[1][:3].lower() in _MONTHS and parts[0].isdigit() and len(parts[2]) == 4:
        return f"{parts[2]}-{_MONTHS.index(parts[1][:3].lower()) + 1:02}-{parts[0]:0>2}"
    return ""


def read_past_date(
    reader: Reader, node: Node, what: str, *, earliest: str = "", none_word: str = ""
) -> DateSpan | None:
    """A date on or before the day of the visit; a year or month that holds the day ends with it."""
    text = reader.word(node, what)
    if text is None:
        return None
    if none_word and text.casefold() in {none_word.casefold(), "none", "never", "no"}:
        return DateSpan(first=date.min, last=date.min, never=True)
    span = parse_date(text)
    if isinstance(span, str):
        also = f" (or {none_word})" if none_word else ""
        reader.unknown(node.line, "VF18", text, f"{what}: {span}{also}.", (), date_hint(text))
        return None
    floor = parse_date(earliest) if earliest else EARLIEST
    bound = floor.first if isinstance(floor, DateSpan) else EARLIEST
    if span.last < bound:
        reader.say(node.line, "VF19", f"{what}: {quote(text)} is too early; expected {bound} or later.")
        return None
    if span.first > reader.day:
        reader.say(node.line, "VF19", f"{what}: {quote(text)} lies after the day of the visit ({reader.day}).")
        return None
    return DateSpan(first=span.first, last=min(span.last, reader.day))


def read_day(reader: Reader, node: Node, what: str, code: str = "VF18") -> date | None:
    """One exact day, wherever it lies."""
    text = reader.word(node, what)
    if text is None:
        return None
    span = parse_date(text)
    if isinstance(span, str):
        reader.say(node.line, code, f"{what}: {span}.".replace(FORMS, "YYYY-MM-DD"), date_hint(text))
        return None
    if span.first != span.last:
        reader.say(node.line, code, f"{what}: {quote(text)} is not one day; expected YYYY-MM-DD.")
        return None
    return span.first


def read_visit_day(reader: Reader, node: Node) -> date | None:
    """The day of the visit itself."""
    if node.text == "":  # `again` leaves it to be filled in, and a visit has no meaning without it
        reader.say(
            node.line, "VF01", "the day of the visit is missing.", "Write it behind visit:, such as visit: 2026-04-18."
        )
        return None
    day = read_day(reader, node, "visit", "VF02")
    if day is not None and not FIRST_VISIT <= day <= LAST_VISIT:
        reader.say(node.line, "VF02", f"visit: {day} is not a possible day; expected {FIRST_VISIT} to {LAST_VISIT}.")
        return None
    return day


def _days_of(year: int, month: int) -> int:
    """How many days a month has."""
    if month == 12:
        return 31
    return (date(year, month + 1, 1) - timedelta(days=1)).day
