"""A horse that is about to be kept for the first time and is much like one that is kept.

In: the horses kept, and a visit. Out: a problem that names the one that may be meant.
Not here: keeping. What is once kept stays under its name, so a slip in the name is told before.
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.problems import BadInput, Problem, nearest, register
from reasoner.store.meant import fits
from reasoner.store.names import folded, plain, same_name
from reasoner.store.reading import KnownHorse
from reasoner.visit.model import Visit

register({"RE29": "a new horse much like one that is kept", "RE44": "the same horse, where it is not clear which"})


def much_like(known: Sequence[KnownHorse], visit: Visit, found: Sequence[KnownHorse]) -> Problem | None:
    """What to ask before this visit begins a horse of its own; None where its horse is kept (`found`), or none is like it."""
    alike = () if found else alike_of(known, visit)
    if not alike:
        return None
    name, where = plain(visit.horse_name), _yard(visit)
    ways = "; ".join(_way(one) for one in alike)
    said = f'no horse "{name}" ({where or "no yard written"}) is kept yet, and one much like it is: {ways}.'
    hint = "Write its name and yard as they are kept, or say --new-horse if it is another horse."
    same = [one for one in alike if same_name(one.name, name)]
    if len(same) == 1:
        hint += " --same-horse if it is this one" + (f" and stands at {where} now." if where else ".")
    return Problem(visit.file, 0, "RE29", said, hint)


def alike_of(known: Sequence[KnownHorse], visit: Visit) -> tuple[KnownHorse, ...]:
    """The horses kept that are like the one of this visit.

    Like it is a horse of the same name whose yard is another or was left out, and one of a name a slip away whose yard is not
    another; never one that was born in another year.
    """
    name, yard = plain(visit.horse_name), _yard(visit)
    born = next((noted.written for noted in visit.noted if noted.key == "born"), "")
    able = [horse for horse in known if fits(horse, born)]
    if not name:
        return ()
    alike = [horse for horse in able if same_name(horse.name, name)]
    if not alike:
        here = [horse for horse in able if not yard or not horse.yard or same_name(horse.yard, yard)]
        alike = [horse for horse in here if nearest(folded(name), [folded(horse.name)], at_least=90)]
    return tuple(alike)


def same_horse(known: Sequence[KnownHorse], visit: Visit) -> KnownHorse:
    """The one kept horse of this name that is meant though the file names another yard, or none. Raises BadInput (RE44)."""
    alike = [one for one in alike_of(known, visit) if same_name(one.name, visit.horse_name)]
    if len(alike) == 1:
        return alike[0]
    name = plain(visit.horse_name)
    if not alike:
        raise BadInput([Problem(visit.file, 0, "RE44", f'no horse called "{name}" is kept yet, so that none can be the same.',
                                "Leave --same-horse away.")])  # fmt: skip
    ways = "; ".join(_way(one) for one in alike)
    raise BadInput([Problem(visit.file, 0, "RE44", f'several horses called "{name}" are kept: {ways}.',
                            "Write born: and the year, or say with `reasoner records horse` which of them moved.")])  # fmt: skip


def _yard(visit: Visit) -> str:
    where = visit.noted_value("yard")
    return plain(where) if isinstance(where, str) else ""


def _way(one: KnownHorse) -> str:
    return f"{one.name}, {one.yard or 'no yard written'}, born {one.born or 'not written'}"
