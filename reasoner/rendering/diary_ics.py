"""What is due as an iCalendar file (RFC 5545), to be read by any calendar.

In: what is due. Out: the text of the file. It holds horses, yards and what was agreed; nobody's telephone or address.
Not here: choosing what is due, writing the file. The same records give the same file on the same day, to the letter.

What is overdue stands on the day the file is written, since no calendar shows a day that is gone, and many show no to-dos at all;
it says since when. Read in again, each entry takes the place of its earlier self (the same UID, a later SEQUENCE).
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta

from icalendar import Alarm, Calendar, Event

from reasoner.records.diary import Due
from reasoner.rendering import phrases
from reasoner.rendering.diary_text import awaited_words, who
from reasoner.rulebook.reminders import Reminders
from reasoner.rulebook.vocabulary import Vocabulary

PRODUCT = "-//sore-horse-reasoner//diary//EN"
#: Stands near the top of a file of ours: only such a one is written over.
MARK = f"PRODID:{PRODUCT}"


def diary_ics(dues: Iterable[Due], words: Vocabulary, today: date, reminders: Reminders | None) -> str:
    """The file. An event lasts its whole day; each reminds once, where the rules say when."""
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    for due in dues:
        late = max(0, (today - due.day).days)
        day = due.day + timedelta(days=late)
        event = Event()
        event.add("uid", f"{due.visit.uid}@sore-horse-reasoner")
        event.add("dtstamp", datetime.combine(today if late else due.visit.day, time(), UTC))
        event.add("sequence", late)
        event.add("dtstart", day)
        event.add("dtend", day + timedelta(days=1))
        what = "ask what the veterinarian said" if due.why == "call" else "look again"
        since = f" (overdue since {phrases.day(due.day)})" if late else ""
        event.add("summary", f"{who(due)}: {what}{since}")
        event.add("location", due.visit.yard)
        lines = [f"last seen {due.visit.day.isoformat()}", *(step.words for step in due.steps)]
        lines += [f"expected: {awaited_words(one, words)}" for one in due.awaited]
        if due.visit.level != "none":
            lines.insert(0, f"{phrases.a_call(due.visit.level)} to the veterinarian stood then")
        event.add("description", "\n".join(lines))
        event.add("transp", "TRANSPARENT")
        if reminders is not None:
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", str(event["summary"]))
            alarm.add("trigger", reminders.on_the_day() if late else reminders.before())
            event.add_component(alarm)
        calendar.add_component(event)
    text: str = calendar.to_ical(sorted=False).decode()
    return text
