"""Step 0005: a place in the database for the bytes of enclosed files, so that everybody who reaches a server sees them.

In: the tables as they stood. Out: one table more; a file keeps its folder and leaves it empty.
Not here: taking in files that lie on a machine (enclosed_bytes.py, at `records upgrade`); this step is never edited.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Make the table, and refuse changes in it."""
    op.create_table(
        "piece",
        sa.Column("copy", sa.String(length=32), nullable=False),
        sa.Column("at", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("copy", "at", name=op.f("pk_piece")),
    )
    op.create_index(op.f("ix_piece_sha256"), "piece", ["sha256"], unique=False)
    postgres = op.get_bind().dialect.name == "postgresql"
    refusal = "SELECT RAISE(ABORT, 'records are added and never changed')"
    for deed in ("UPDATE", "DELETE"):
        does = "FOR EACH ROW EXECUTE FUNCTION refuse_change()" if postgres else f"BEGIN {refusal}; END"
        op.execute(f'CREATE TRIGGER no_{deed.lower()}_of_piece BEFORE {deed} ON "piece" {does}')
