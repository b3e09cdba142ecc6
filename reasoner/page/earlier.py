"""A visit from the page, with what the visits before it say.

In: a visit just read. Out: the same, ready to be judged.
Not here: judging, keeping it.
"""

from __future__ import annotations

from dataclasses import replace
from threading import Lock
from time import monotonic

from reasoner.page.served import Served
from reasoner.records.before import held_before
from reasoner.records.tried import history_of
from reasoner.store.held_back import READER
from reasoner.store.history import Held
from reasoner.visit.model import Visit

#: For how long (seconds) what is kept of a horse is taken as known while its next visit is being touched in. What is handed over
#: is judged with the records of that moment.
KNOWN_FOR_S = 15.0
MOST_KNOWN = 64


class Remembered:
    """The earlier visits of the horses that are being examined, so that a touch does not read them again."""

    def __init__(self) -> None:
        self._held: dict[tuple[str, ...], tuple[float, tuple[Held, ...]]] = {}
        self._lock = Lock()

    def before(self, served: Served, visit: Visit) -> tuple[Held, ...]:
        """The visits before this one, at most `KNOWN_FOR_S` old."""
        named = (str(visit.noted_value(key) or "") for key in ("name", "yard", "born"))
        reader = READER.get()
        of = reader.name if reader is not None else ""  # not everybody sees every visit
        at = (*named, visit.day.isoformat(), of)
        now = monotonic()
        with self._lock:
            found = self._held.get(at)
        if found is not None and now - found[0] < KNOWN_FOR_S:
            return found[1]
        with served.store.reading() as connection:
            held = held_before(connection, visit)
        with self._lock:
            self._held.pop(at, None)
            self._held[at] = (now, held)
            while len(self._held) > MOST_KNOWN:
                self._held.pop(next(iter(self._held)))
        return held


def with_earlier(served: Served, visit: Visit, remembered: Remembered) -> Visit:
    """A visit with what the visits before it say, ready to be judged."""
    held = remembered.before(served, visit) if visit.horse_name else ()
    return replace(visit, history=history_of(held, visit, served.ready.book)) if held else visit
