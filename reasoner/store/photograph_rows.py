"""What is said of a photograph: what it shows and its caption, row after row, the last of which stands.

In: rows of enclosed files; other words for one of them. Out: a further row; nothing that was said before is changed.
Not here: the picture itself (enclosing.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, select

from reasoner.problems import BadInput, Problem, register
from reasoner.store import tables as t
from reasoner.store.fresh import new_uid, now_utc
from reasoner.store.reading import KnownVisit
from reasoner.store.sealing import add

register({"PG05": "a caption that is too long"})

LONGEST_CAPTION = 200


def query() -> Any:
    """Enclosed files with their version, and what is said of the photographs among them."""
    p = t.photograph.c
    photograph = (p.shows, p.caption, p.original, p.width, p.height, p.kept_by)
    return (
        select(t.enclosed, t.version.c.number, t.version.c.visit, *photograph)
        .join(t.version, t.enclosed.c.version == t.version.c.uid)
        .outerjoin(t.photograph, t.photograph.c.enclosed == t.enclosed.c.uid)
        .order_by(t.version.c.number, t.enclosed.c.name)
    )  # fmt: skip


def rows(connection: Connection, where: Any) -> list[Any]:
    """The rows of `query` of which this is so."""
    return list(connection.execute(query().where(where)).mappings())


def further_row(
    connection: Connection, visit: KnownVisit, every: Sequence[Any], there: Any, shows: str, caption: str | None, by: str
) -> tuple[Any, bool]:  # fmt: skip
    """(the row that stands of the photograph of `there`, whether it is new): a further one where something else is said of it.
    `every` are all rows of the visit. What is not said (`shows` empty, `caption` None) stays as it was."""
    ours = sorted((row for row in every if row["kind"] == "photo" and which(row) == which(there)), key=moment_of)
    first, last = ours[0], ours[-1]
    said = shows or last["shows"] or "other", last["caption"] if caption is None else caption
    if said == (last["shows"], last["caption"]):
        return last, False
    row = {
        "uid": new_uid(), "version": visit.version, "kind": "photo", "sha256": last["sha256"], "size": last["size"],
        "name": free_name(first["name"], {row["name"] for row in every}), "saved_at": now_utc(),
    }  # fmt: skip
    add(connection, t.enclosed, **row)
    told = {"shows": said[0], "caption": said[1], "original": last["original"]}
    add(connection, t.photograph, enclosed=row["uid"], kept_by=by, width=last["width"], height=last["height"], **told)
    return {**row, **told}, True


def which(row: Any) -> str:
    """What a photograph is known by within a visit."""
    return str(row["original"] or row["sha256"])


def moment_of(row: Any) -> tuple[str, str]:
    """What rows of one photograph are put in order by."""
    return row["saved_at"], row["uid"]


def free_name(name: str, taken: set[str]) -> str:
    """The name, or with a number behind it where it is taken."""
    stem, _, ending = name.rpartition(".")
    number, found = 1, name
    while found in taken:
        number += 1
        found = f"{stem}-{number}.{ending}"
    return found


def caption_of(text: str) -> str:
    """A caption on one line, without signs that no line holds. Raises BadInput (PG05)."""
    line = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    if len(line) > LONGEST_CAPTION:
        raise BadInput([Problem("caption", 0, "PG05", f"a caption of {len(line)} signs was read; it has one line, of at most "
                                f"{LONGEST_CAPTION}.")])  # fmt: skip
    return line
