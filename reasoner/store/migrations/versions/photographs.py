"""Step 0007: what a photograph shows, its caption, and the checksum of what it was made from.

In: the tables as they stood. Out: one table more, empty: photographs kept before have no caption.
Not here: anything else; this step is never edited.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Make the table, and refuse changes from then on."""
    op.create_table(
        "photograph",
        sa.Column("enclosed", sa.String(length=32), nullable=False),
        sa.Column("shows", sa.Text(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("original", sa.String(length=64), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("kept_by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["enclosed"], ["enclosed.uid"], name=op.f("fk_photograph_enclosed")),
        sa.PrimaryKeyConstraint("enclosed", name=op.f("pk_photograph")),
    )
    postgres = op.get_bind().dialect.name == "postgresql"
    refusal = "SELECT RAISE(ABORT, 'records are added and never changed')"
    for deed in ("UPDATE", "DELETE"):
        does = "FOR EACH ROW EXECUTE FUNCTION refuse_change()" if postgres else f"BEGIN {refusal}; END"
        op.execute(f'CREATE TRIGGER no_{deed.lower()}_of_photograph BEFORE {deed} ON "photograph" {does}')
