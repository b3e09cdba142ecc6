"""What somebody can do to records behind the back of this program.

In: an opened store. Out: the same with something in it changed, its locks taken off first.
Not here: what `check` then says.
"""

from __future__ import annotations

from sqlalchemy import Connection

from reasoner.store import tables as t
from reasoner.store.opening import Store

JPEG = b"\xff\xd8"


def unlocked(connection: Connection, *tables: str) -> None:
    """Whoever can reach the file can take the locks off; `check` is for what they then do."""
    for table in tables:
        for deed in ("update", "delete"):
            of = f' ON "{table}"' if connection.dialect.name == "postgresql" else ""
            connection.exec_driver_sql(f"DROP TRIGGER no_{deed}_of_{table}{of}")


def hurt_the_photograph(store: Store, more: bytes | None) -> None:
    """Have the photograph of the small practice grow by some bytes, or be gone (None), wherever its bytes lie."""
    if store.place.file is not None:
        for file in store.place.files.iterdir():
            if file.read_bytes().startswith(JPEG):
                file.unlink() if more is None else file.write_bytes(file.read_bytes() + more)
        return
    with store.writing() as connection:
        unlocked(connection, "piece")
        for row in connection.execute(t.piece.select()).all():
            if bytes(row.data).startswith(JPEG):
                here = (t.piece.c.copy == row.copy) & (t.piece.c.at == row.at)
                change = t.piece.delete() if more is None else t.piece.update().values(data=bytes(row.data) + more)
                connection.execute(change.where(here))
