"""Which visit of its day a file is taken for, where the records hold one or several of that horse and day.

In: an opened store, a visit just read with its bytes, and the part that was asked for. Out: `Taken`.
Not here: judging, what the visits before it say.
"""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.records.before import horse_of
from reasoner.store.afterwards import visit_of_bytes
from reasoner.store.names import folded
from reasoner.store.reading import KnownHorse, KnownVisit, text_of, visits
from reasoner.store.saving import another_that_day
from reasoner.visit.model import Visit

register({"RE60": "which visit of a day is meant"})

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


@frozen(kw_only=True)
class Taken:
    """A file is taken for visit `part` of its day, of which `kept` are kept; `says` tells it in words, and is empty where there
    is nothing to choose."""

    part: int
    kept: int
    says: str


def taken_for(
    connection: Connection, visit: Visit, text: bytes, part: int | None, shown: str, horse: KnownHorse | None = None
) -> Taken:
    """The visit of its day that the file is: the one asked for, else the kept one of the same words, else the last of that day.

    `horse`: whose visit it is, where somebody said so.
    Raises BadInput (RE60) where a part is asked for that neither is kept nor comes next.
    """
    horse = horse or horse_of(connection, visit)
    every = visits(connection, horse=horse.uid, since=visit.day, until=visit.day) if horse is not None else ()
    last = max((one.part for one in every), default=0)
    if part is not None:
        if part > last + 1:
            raise BadInput([_no_such(visit, part, len(every), last, shown)])
        said = "" if part == 1 and last <= 1 else f"This file is taken for the {_which(part, visit)}, as --part says."
        return Taken(part=part, kept=len(every), says=said)
    if not every:
        return Taken(part=1, kept=0, says="")
    uid = visit_of_bytes(connection, text)
    same = next((one for one in every if one.uid == uid), None)
    return Taken(part=(same or every[-1]).part, kept=len(every), says=_says(visit, every, same))


def which_corrected(taken: Taken, chosen: bool) -> str:
    """Which visit of its day a correction is of, where there are several; `chosen`: somebody said so with --part."""
    if taken.kept < 2:
        return ""
    why = "as --part says" if chosen else "--part chooses another"
    return f"{taken.kept} visits of that day are kept; this is a version of the {ORDINALS[taken.part - 1]} ({why})."


def part_may_be_kept(connection: Connection, horse: KnownHorse | None, visit: Visit, part: int, shown: str) -> None:
    """Whether a visit may be kept as that one of its day: one that is kept, or the next. Raises BadInput (RE60)."""
    every = visits(connection, horse=horse.uid, since=visit.day, until=visit.day) if horse is not None else ()
    last = max((one.part for one in every), default=0)
    if part > last + 1:
        raise BadInput([_no_such(visit, part, len(every), last, shown)])


def days_are_free(connection: Connection, every: Sequence[tuple[Visit, bytes, KnownHorse | None]], part: int) -> None:
    """Whether visits that are to be kept together, each with its bytes and its horse (None: a new one), leave each other and what
    is kept in peace. Raises BadInput (ST10 for each that does not) before the first is kept."""
    wrong, seen = [], dict[tuple[str, ...], bytes]()
    for visit, text, horse in every:
        where = visit.noted_value("yard")
        who = (horse.uid,) if horse is not None else (folded(visit.horse_name), folded(str(where or "")))
        that_day = visits(connection, horse=horse.uid, since=visit.day, until=visit.day) if horse is not None else ()
        words = {one.part: text_of(connection, one.version) for one in that_day}
        first = seen.setdefault((*who, visit.day.isoformat()), text)
        if (part in words and text not in words.values()) or first != text:
            wrong.append(another_that_day(visit.file))
    if wrong:
        raise BadInput(wrong)


def _says(visit: Visit, every: tuple[KnownVisit, ...], same: KnownVisit | None) -> str:
    others = ", ".join(f"--part {one.part}" for one in every if one is not (same or every[-1]))
    further = every[-1].part + 1
    if len(every) == 1:
        if same is not None:
            return ""
        return (
            f"The {_which(1, visit)} is kept; this file has other words and is taken for the same visit. Where it is another "
            f"visit of that day: --part {further}."
        )
    kept = f"{len(every)} visits to {visit.horse_name} on {visit.day.isoformat()} are kept"
    if same is not None:
        return f"{kept}; this file is the {ORDINALS[same.part - 1]} of them, in the same words. Otherwise: {others}."
    return (
        f"{kept}; this file is none of them word for word and is taken for the {ORDINALS[every[-1].part - 1]}, the last of that "
        f"day. Otherwise: {others}, or --part {further} for a further visit of that day."
    )


def _which(part: int, visit: Visit) -> str:
    return f"{ORDINALS[part - 1]} visit to {visit.horse_name} on {visit.day.isoformat()}"


def _no_such(visit: Visit, part: int, kept: int, last: int, shown: str) -> Problem:
    held = f"{kept} visit{'s' if kept != 1 else ''} to {visit.horse_name} on {visit.day.isoformat()}"
    what = f'"--part {part}" was read; {held} {"is" if kept == 1 else "are"} kept, so '
    if not last:
        return Problem(
            shown, 0, "RE60", f"{what}none but 1 was expected.", "Leave --part out, or keep the first one first."
        )
    return Problem(shown, 0, "RE60", f"{what}1 to {last + 1} was expected.",
                   f"--part {last + 1} is a further visit of that day.")  # fmt: skip
