"""What is due as an iCalendar file (RFC 5545), to be read by any calendar.

In: what is due. Out: the text of the file. It holds horses, yards and what was agreed; nobody's telephone or address.
Not here: choosing what is due, writing the file. The same records give the same file, to the letter.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, time, timedelta

from icalendar import Calendar, Event

from reasoner.records.diary import Due
from reasoner.rendering.diary_text import awaited_words, who
from reasoner.rulebook.vocabulary import Vocabulary

PRODUCT = "-//sore-horse-reasoner//diary//EN"
#: Stands near the top of a file of ours: only such a one is written over.
MARK = f"PRODID:{PRODUCT}"


def diary_ics(dues: Iterable[Due], words: Vocabulary) -> str:
    """The file. An event lasts its whole day."""
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    for due in dues:
        event = Event()
        event.add("uid", f"{due.visit.uid}@sore-horse-reasoner")
        event.add("dtstamp", datetime.combine(due.visit.day, time(), UTC))
        event.add("dtstart", due.day)
        event.add("dtend", due.day + timedelta(days=1))
        event.add("summary", f"{who(due)}: look again")
        event.add("location", due.visit.yard)
        lines = [f"last seen {due.visit.day.isoformat()}", *(step.words for step in due.steps)]
        lines += [f"expected: {awaited_words(one, words)}" for one in due.awaited]
        if due.visit.level != "none":
            lines.insert(0, f"a {due.visit.level} call to the veterinarian stood then")
        event.add("description", "\n".join(lines))
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    text: str = calendar.to_ical(sorted=False).decode()
    return text
