"""What is seen and not felt, for the track record: the readings of entries that steps looked for, visit by visit.

In: a connection, the visits, which steps looked for which entries. Out: `Read` by horse, entry and side, by day.
Not here: whether it came true (outcomes.py), what is felt (cases.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from sqlalchemy import Connection, select, tuple_

from reasoner.records.course import rank_of
from reasoner.records.outcomes import Read
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store import tables as t
from reasoner.store.reading import KnownVisit
from reasoner.store.standing import here

Spot = tuple[str, str, str]
"""A horse, an entry, a side."""


def read_again(
    connection: Connection, every: Sequence[KnownVisit], spots: Iterable[Spot], book: Rulebook
) -> Mapping[Spot, list[Read]]:
    """Each reading of these entries of these horses, as progress reads them: what was said of one leg only is left out, and an
    entry without sides has one reading for both. Entries that the rules no longer know tell nothing."""
    words = book.vocabulary.observations
    wanted = [spot for spot in spots if spot[1] in words]
    if not wanted:
        return {}
    by_version = {one.version: one for one in every}
    v, n, now = t.version.c, t.noted.c, here()
    pairs = sorted({(horse, key) for horse, key, _ in wanted})
    rows = connection.execute(
        select(n.version, now.c.horse, n.key, n.side, n.value, n.kind).join(t.version, n.version == v.uid)
        .join(now, v.visit == now.c.uid)
        .where(n.key.in_(sorted({key for _, key in pairs})), n.about == "", tuple_(now.c.horse, n.key).in_(pairs))
        .order_by(n.version, n.at)
    ).all()  # fmt: skip
    first: dict[tuple[str, str, str], tuple[str, str]] = {}
    for version, horse, key, side, value, kind in rows:
        if version in by_version and kind not in ("number", "count", "date"):  # older versions are not among them
            first.setdefault((version, key, "" if words[key].sides == "none" else side), (horse, value))
    held: dict[Spot, list[Read]] = {}
    for (version, key, side), (horse, word) in first.items():
        held.setdefault((horse, key, side), []).append(
            Read(day=by_version[version].day, word=word, rank=rank_of(words[key], word))
        )
    # A side entry, such as the side that the saddle comes to, is one reading that both sides look at.
    found = {
        (horse, key, side): held.get((horse, key, "" if words[key].sides == "none" else side), [])
        for horse, key, side in wanted
    }  # fmt: skip
    return {spot: sorted(some, key=lambda one: one.day) for spot, some in found.items()}
