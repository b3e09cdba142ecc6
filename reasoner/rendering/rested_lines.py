"""Which kept answers were given with other earlier visits than count now, in sentences and as JSON.

In: what the records know of it. Out: lines for the page of progress and of a visit, JSON-ready data.
Not here: finding it (store.rested_on), what the answer would be now.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reasoner.rendering import phrases
from reasoner.store.rested_on import Rested

SINCE = {
    "withdrawn": "was given with the visit of {other}, which was withdrawn since",
    "moved_away": "was given with the visit of {other}, which was moved to another horse since",
    "came": "was given without the visit of {other}, which counts here since",
    "corrected": "was given with the visit of {other} as it was before a correction",
}


#: What is done about them where visits are read on a page, which works them out anew whenever it is opened.
AT_THE_DESK = "Answers stand as they were given. What one would be now stands on the page of its visit."


def rested_lines(rested: Sequence[Rested], horse: str, *, at_the_desk: bool = False) -> Iterator[str]:
    """A sentence for each answer, and at the end what to do about them: by commands, or at the desk."""
    for one in rested:
        by = f"said by {one.who}" if one.who else ""
        said = ": ".join(filter(None, (by, one.why)))
        day, other = _day(one.day, one.part), _day(one.of_day, one.of_part)
        yield f"The answer to the visit of {day} {SINCE[one.what].format(other=other)}{f' ({said})' if said else ''}."
    if rested and at_the_desk:
        yield AT_THE_DESK
    elif rested:
        day = rested[-1].day.isoformat()
        yield (
            f'Answers stand as they were given. What one would be now: `reasoner records show "{horse}" --on {day} --file > '
            "visit.yaml`, then `reasoner assess visit.yaml`, both with the same `--store`; to have it kept, add a line of notes "
            "to that file and `reasoner records correct visit.yaml`. The page at the desk always judges anew."
        )


def rested_json(one: Rested) -> dict[str, Any]:
    """One of them as data."""
    return {
        "visit": one.day.isoformat(), "part": one.part, "other": one.of_day.isoformat(), "other_part": one.of_part,
        "what": one.what, "by": one.who or None, "why": one.why or None,
    }  # fmt: skip


def _day(day: Any, part: int) -> str:
    return f"{phrases.day(day)}{f' (visit {part} of that day)' if part > 1 else ''}"
