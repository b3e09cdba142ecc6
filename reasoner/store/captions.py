"""A caption mended after the photograph was kept, and what was said of it before.

In: a photograph of a visit and other words for it. Out: a further row that stands; everything said of it, with who and
when.
Not here: the picture itself (enclosing.py), which words may not be used (records.changing).
"""

from __future__ import annotations

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.enclosing import Enclosed, enclosed_of
from reasoner.store.opening import Store
from reasoner.store.photograph_rows import caption_of, further_row, moment_of, rows, which
from reasoner.store.photographs import shows_of
from reasoner.store.reading import KnownVisit

register({"PG70": "a photograph that was kept before captions were"})


@frozen(kw_only=True)
class Said:
    """What was said of a photograph once: what it shows, its caption, who said so and when (an ISO moment, UTC)."""

    shows: str
    caption: str
    by: str
    at: str


def say_of_photograph(
    store: Store, visit: KnownVisit, uid: str, *, shows: str, caption: str, by: str
) -> Enclosed | None:  # fmt: skip
    """Say something else of a photograph that is kept: a further row that stands from then on, with who and when; the earlier one
    stays. The same words again are no further row. None where the visit has no such photograph. Raises BadInput (PG03, PG05; PG70
    for one that was kept before captions were)."""
    shown, told = shows_of(shows, "shows"), caption_of(caption)
    with store.writing() as connection:
        every = rows(connection, t.version.c.visit == visit.uid)
        there = next((row for row in every if row["uid"] == uid and row["kind"] == "photo"), None)
        if there is None:
            return None
        if not there["original"]:
            raise BadInput([Problem(there["name"], 0, "PG70", "this photograph was kept before captions were.",
                                    "Add the same photograph again, with its caption.")])  # fmt: skip
        row, new = further_row(connection, visit, every, there, shown, told, by)
        return enclosed_of(connection, store.place, row, visit.number if new else row["number"], new)


def said_of_photographs(connection: Connection, visit: str) -> dict[str, tuple[Said, ...]]:
    """Everything that was said of each photograph of a visit, by the uid of the row that stands; the last said is first."""
    found: dict[str, list[dict[str, str]]] = {}
    every = rows(connection, (t.version.c.visit == visit) & (t.enclosed.c.kind == "photo"))
    for row in sorted(every, key=moment_of, reverse=True):
        found.setdefault(which(row), []).append(dict(row))
    return {some[0]["uid"]: tuple(_said(row) for row in some) for some in found.values()}


def _said(row: dict[str, str]) -> Said:
    return Said(shows=row["shows"] or "", caption=row["caption"] or "", by=row["kept_by"] or "", at=row["saved_at"])
