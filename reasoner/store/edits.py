"""What a practitioner changed in the plan and the owner's sentences before they go out, and who approved which page.

In: an opened store, a visit or version of it, what was changed. Out: rows added, and rows read back, the latest of each line.
Not here: whether a line may be changed, what an answer looks like with the changes in it (records.editing), wording.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import Any, Literal, get_args

from sqlalchemy import Connection, Table, select

from reasoner.frozen import frozen
from reasoner.store import tables as t
from reasoner.store.fresh import now_utc
from reasoner.store.naming import added
from reasoner.store.opening import Store

Line = Literal["step", "owner", "task", "observed"]
Deed = Literal["reword", "strike", "add", "back"]
LINES: tuple[Line, ...] = get_args(Line)
DEEDS: tuple[Deed, ...] = get_args(Deed)
_AT_ONCE = 500


@frozen(kw_only=True)
class Edit:
    """One change of one line. `line` is what stands there: the words of a step, the same step as the owner reads it, the owner's
    task, or a sentence of what was observed; `key` and `side` name the step or conclusion. `tool_words` are the tool's own at
    the time, empty of a step that was added; `kind` is the kind of an added step. "back" lets the tool's own words stand again,
    or takes an added step out."""

    uid: str
    visit: str
    version: str
    line: Line
    deed: Deed
    key: str
    side: str
    kind: str
    tool_words: str
    words: str
    because: str
    who: str
    saved_at: str

    @property
    def at(self) -> tuple[str, str, str]:
        """Which line it is about. A step is struck on both sides at once, and stands beside its new words."""
        return ("struck", self.key, "") if self.deed == "strike" else (self.line, self.key, self.side)


@frozen(kw_only=True)
class Approval:
    """Somebody's name under a reader's page in these very words; `sha256` is that of the page as a draft."""

    version: str
    reader: str
    sha256: str
    who: str
    saved_at: str


def add_edit(
    store: Store, version: str, *, line: Line, deed: Deed, key: str, side: str, kind: str = "", tool_words: str = "",
    words: str = "", because: str = "", by: str, moment: datetime | None = None,
) -> str:  # fmt: skip
    """Keep a change; the latest of each line counts, and the older ones stay readable. The uid of its row."""
    return _add(store, t.edited, moment, version=version, line=line, deed=deed, key=key, side=side, kind=kind,
                tool_words=tool_words, words=words, because=because, who=by)  # fmt: skip


def add_approval(
    store: Store, version: str, *, reader: str, sha256: str, by: str, moment: datetime | None = None
) -> None:
    """Keep a name under a page of these very words."""
    _add(store, t.approved, moment, version=version, reader=reader, sha256=sha256, who=by)


def _add(store: Store, table: Table, moment: datetime | None, **values: Any) -> str:
    saved_at = moment.astimezone(UTC).isoformat() if moment is not None else now_utc()
    with store.writing() as connection:
        return added(connection, table, saved_at=saved_at, **values)


def every_edit_of(connection: Connection, visit: str) -> tuple[Edit, ...]:
    """Every change of a visit, of whichever version, oldest first."""
    e = t.edited
    query = (
        select(e, t.version.c.visit).join(t.version, e.c.version == t.version.c.uid).where(t.version.c.visit == visit)
        .order_by(e.c.saved_at, e.c.uid)
    )  # fmt: skip
    return tuple(Edit(**row._mapping) for row in connection.execute(query))


def standing(every: Iterable[Edit]) -> tuple[Edit, ...]:
    """Of changes, oldest first, those that stand: the latest of each line, but where the tool's own words were let back."""
    latest: dict[tuple[str, str, str], Edit] = {}
    for one in every:
        if one.deed == "back":
            latest.pop(one.at, None)
            if one.line == "step":
                latest.pop(("struck", one.key, ""), None)
        else:
            latest[one.at] = one
    return tuple(latest.values())


def edits_of(connection: Connection, visit: str) -> tuple[Edit, ...]:
    """The changes of a visit that stand. Made in an older version, they hold for the newest as long as the tool says the same."""
    return standing(every_edit_of(connection, visit))


def changed_steps(connection: Connection, visits: Sequence[str]) -> dict[str, tuple[Edit, ...]]:
    """By visit the steps that a practitioner took out of the plan or added to it, as far as that stands."""
    e = t.edited
    query = select(e, t.version.c.visit).join(t.version, e.c.version == t.version.c.uid).where(e.c.line == "step")
    found: dict[str, list[Edit]] = {}
    for start in range(0, len(visits), _AT_ONCE):
        some = query.where(t.version.c.visit.in_(visits[start : start + _AT_ONCE])).order_by(e.c.saved_at, e.c.uid)
        for row in connection.execute(some):
            found.setdefault(row.visit, []).append(Edit(**row._mapping))
    return {
        visit: tuple(one for one in standing(every) if one.deed in ("strike", "add")) for visit, every in found.items()
    }


def out_of(steps: Iterable[Any], changed: Iterable[Edit]) -> dict[str, Edit]:
    """Of kept steps (rows with `key` and `words`) those taken out of the plan, by key: where the tool still says what was read
    when they were."""
    said = {(one.key, one.words) for one in steps}
    return {one.key: one for one in changed if one.deed == "strike" and (one.key, one.tool_words) in said}


def approvals_of(connection: Connection, version: str) -> tuple[Approval, ...]:
    """Every name under a page of this version, oldest first."""
    a = t.approved.c
    rows = connection.execute(
        select(a.version, a.reader, a.sha256, a.who, a.saved_at).where(a.version == version).order_by(a.saved_at, a.uid)
    )
    return tuple(Approval(**row._mapping) for row in rows)
