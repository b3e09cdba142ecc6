"""A horse that is about to be kept for the first time and is much like one that is kept.

In: the horses kept, and a visit. Out: a problem that names the one that may be meant.
Not here: keeping. What is once kept stays under its name, so a slip in the name is told before.
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.problems import Problem, nearest, register
from reasoner.store.names import folded, plain, same_name
from reasoner.store.reading import KnownHorse
from reasoner.visit.model import Visit

register({"RE29": "a new horse much like one that is kept"})


def much_like(known: Sequence[KnownHorse], visit: Visit) -> Problem | None:
    """What to ask before this visit begins a horse of its own; None where its horse is kept, or none is like it.

    Like it is a horse of the same name whose yard is another or was left out, and one of a name a slip away whose yard is not
    another; never one that was born in another year.
    """
    name, where = plain(visit.horse_name), visit.noted_value("yard")
    yard = plain(where) if isinstance(where, str) else ""
    born = next((noted.written for noted in visit.noted if noted.key == "born"), "")
    able = [horse for horse in known if not (born and horse.born) or horse.born == born]
    if not name or any(same_name(horse.name, name) and same_name(horse.yard, yard) for horse in able):
        return None
    alike = [horse for horse in able if same_name(horse.name, name)]
    if not alike:
        here = [horse for horse in able if not yard or not horse.yard or same_name(horse.yard, yard)]
        alike = [horse for horse in here if nearest(folded(name), [folded(horse.name)], at_least=90)]
    if not alike:
        return None
    ways = "; ".join(f"{one.name}, {one.yard or 'no yard written'}, born {one.born or 'not written'}" for one in alike)
    said = f'no horse "{name}" ({yard or "no yard written"}) is kept yet, and one much like it is: {ways}.'
    hint = "Write its name and yard as they are kept, or say --new-horse if it is another horse."
    return Problem(visit.file, 0, "RE29", said, hint)
