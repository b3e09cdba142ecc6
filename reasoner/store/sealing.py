"""Rows that somebody said, each with a seal: its checksum, bound to all the seals before it.

In: a connection whose turn it is to write, and the row. Out: the row and its seal; or, on looking, what does not fit any more.
Not here: bytes (their own checksums stand in the sealed rows), rows that only follow from a visit's words (checking.py).

A seal's `sha256` is that of the row as JSON: keys in order, nothing between, what is null left out, so that a column which a
later version adds changes nothing. Its `chain` is that of the chain before it, its number, the table, the row and the checksum,
a line each. Whoever changes, takes out or slips in a row behind the records' back is found, unless every later seal is worked
out anew as well: no secret is kept here. Taking the last rows together with their seals is not found either; an earlier backup
or export shows it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, LargeBinary, Table, insert, select

from reasoner.frozen import frozen
from reasoner.store import tables as t

SEALED = (
    t.yard, t.owner, t.examiner, t.rider, t.saddle, t.horse, t.stay, t.rulebook, t.visit, t.placed, t.version, t.done,
    t.opinion, t.countersigned, t.consent, t.consent_placed, t.enclosed, t.photograph,
    t.handed_over, t.edited, t.approved,
)  # fmt: skip
"""Every table whose rows are sealed: what people said, and what it hangs on."""
_BY_NAME = {table.name: table for table in SEALED}
#: What a row of each is, in plain words.
WORDS = {
    "yard": "the name of a yard", "owner": "the name of an owner", "examiner": "the name of an examiner",
    "rider": "the name of a rider", "saddle": "the name of a saddle", "horse": "a horse's name, yard, owner or year",
    "stay": "where a horse stands and whose it is, and who said so", "rulebook": "when a rulebook was kept",
    "visit": "a visit's horse and day", "placed": "who moved or withdrew a visit, and why",
    "version": "who kept or corrected a visit, when and why", "done": "what an owner told of a step",
    "opinion": "a practitioner's judgement", "countersigned": "a countersignature", "consent": "an agreement",
    "consent_placed": "about which horse an agreement was said", "enclosed": "what a row tells of an enclosed file",
    "photograph": "what a photograph shows", "edited": "what a practitioner changed of a plan",
    "approved": "whose name stands under a report", "handed_over": "which visit a telephone handed over",
}  # fmt: skip


@frozen(kw_only=True)
class Broken:
    """One thing that does not fit: of which table, which row, and what about it ("changed", "gone", "no seal", "chain")."""

    of: str
    row: str
    what: str


def add(connection: Connection, table: Table, **values: Any) -> None:
    """Add a row and its seal, within a transaction that holds the turn to write."""
    connection.execute(insert(table).values(**values))
    name = key_of(table)
    stored = connection.execute(select(*_columns(table)).where(table.c[name] == values[name])).mappings().one()
    s = t.seal.c
    last = connection.execute(select(s.at, s.chain).order_by(s.at.desc()).limit(1)).first()
    at, before = (last.at + 1, last.chain) if last is not None else (1, "")
    sha = sum_of(stored)
    chain = chained(before, at, table.name, values[name], sha)
    connection.execute(
        insert(t.seal).values(at=at, of=table.name, row=values[name], sha256=sha, chain=chain, late=False)
    )


def sum_of(row: Mapping[Any, Any]) -> str:
    """The checksum of a row without its bytes.

    >>> sum_of({"uid": "0a", "note": None}) == sum_of({"uid": "0a"})
    True
    """
    said = {str(key): value for key, value in row.items() if value is not None}
    return hashlib.sha256(json.dumps(said, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def chained(before: str, at: int, of: str, row: str, sha: str) -> str:
    """What binds a seal to those before it."""
    return hashlib.sha256(f"{before}\n{at}\n{of}\n{row}\n{sha}".encode()).hexdigest()


def key_of(table: Table) -> str:
    """The column by which a row is found."""
    return str(next(iter(table.primary_key.columns)).name)


def broken(connection: Connection, counted: dict[str, int]) -> Iterator[Broken]:
    """Everything that does not fit; how many rows were looked at is counted."""
    seals = {
        (row.of, row.row): row.sha256 for row in connection.execute(select(t.seal.c.of, t.seal.c.row, t.seal.c.sha256))
    }
    for table in SEALED:
        name = key_of(table)
        for row in connection.execute(select(*_columns(table)).order_by(table.c[name])).mappings():
            counted["rows with a seal"] = counted.get("rows with a seal", 0) + 1
            sha = seals.pop((table.name, row[name]), None)
            if sha != sum_of(row):
                yield Broken(of=table.name, row=row[name], what="no seal" if sha is None else "changed")
    yield from (Broken(of=of, row=row, what="gone") for of, row in seals)
    yield from _chain(connection, counted)


def _chain(connection: Connection, counted: dict[str, int]) -> Iterator[Broken]:
    """Where the seals themselves were changed, taken out or put in: the first place only, for all after it follow from it."""
    before, late = "", 0
    for number, row in enumerate(connection.execute(select(t.seal).order_by(t.seal.c.at)), 1):
        late += bool(row.late)
        if row.at != number or row.chain != chained(before, row.at, row.of, row.row, row.sha256):
            yield Broken(of=row.of, row=row.row, what="chain")
            break
        before = row.chain
    if late:
        counted["of these sealed only when the records were brought up to date"] = late


def _columns(table: Table) -> list[Any]:
    return [column for column in table.columns if not isinstance(column.type, LargeBinary)]


def told(one: Broken) -> str:
    """What is wrong, in plain words."""
    words = WORDS.get(one.of, f"a row of {one.of}")
    return {
        "changed": f"{words} was changed after it was said (table {one.of}, row {one.row}): its seal does not fit.",
        "gone": f"{words} was taken out (table {one.of}, row {one.row}): its seal is there, the row is not.",
        "no seal": f"{words} has no seal (table {one.of}, row {one.row}): it was not put in by this program, or its seal was "
        "taken out.",
        "chain": f"the seals themselves were changed: the first that does not follow from those before it is that of {words} "
        f"(table {one.of}, row {one.row}).",
    }[one.what]  # fmt: skip
