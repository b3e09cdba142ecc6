"""A horse that is about to be kept for the first time and is much like one that is kept; people and tack likewise.

In: the horses kept, and a visit. Out: a problem that names the horse that may be meant; notes on other names.
Not here: keeping. What is once kept stays under its name, so a slip in the name is told before.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sqlalchemy import Connection, select

from reasoner.problems import BadInput, Problem, nearest, register
from reasoner.store import tables as t
from reasoner.store.meant import fits
from reasoner.store.names import folded, plain, same_name
from reasoner.store.reading import KnownHorse
from reasoner.visit.model import Visit

#: Whom and what a visit names besides its horse, and where such names are kept. Two spellings are two people to the track record.
NAMED = {
    "examined_by": t.examiner, "checked_by": t.examiner, "ridden_by": t.rider, "which_saddle": t.saddle, "yard": t.yard,
    "owner": t.owner,
}  # fmt: skip

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


def noticed(connection: Connection, visit: Visit, horse: KnownHorse | None, *, moved: bool = False) -> Iterator[str]:
    """What is told of a visit's names and stands in nobody's way, before it is kept: an owner who is not the kept one of its
    `horse`, and a name nobody has written yet that is much like one that is kept. `moved`: where the horse stands and whose it is
    is taken from this file."""
    owner = _said(visit, "owner")
    if owner and horse is not None and horse.owner and not same_name(owner, horse.owner):
        if moved:
            yield (
                f"the owner of {horse.name} was kept as {horse.owner} and is {owner} from that day on, as this file says; what "
                "was agreed before is to be asked again."
            )
        else:
            yield (
                f"the owner of {horse.name} is kept as {horse.owner}, and this file says {owner}; the records go on with the "
                f'first. Where that changed: `reasoner records horse "{horse.name}" --owner "{owner}" --since {visit.day} --by '
                "NAME`."
            )
    for key, table in NAMED.items():
        name = _said(visit, key)
        if not name:
            continue
        kept = {folded(one): one for one in connection.execute(select(table.c.name)).scalars()}
        near = "" if folded(name) in kept else nearest(folded(name), kept, at_least=90)
        if near:
            yield (
                f'"{name}" ({key.replace("_", " ")}) is kept here for the first time, beside "{kept[near]}". Where that is one '
                "and the same, correct this visit: two spellings count as two."
            )


def _yard(visit: Visit) -> str:
    return _said(visit, "yard")


def _said(visit: Visit, key: str) -> str:
    said = visit.noted_value(key)
    return plain(said) if isinstance(said, str) else ""


def _way(one: KnownHorse) -> str:
    return f"{one.name}, {one.yard or 'no yard written'}, born {one.born or 'not written'}"
