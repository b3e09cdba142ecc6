"""Step 0006: which visits a telephone handed over, under the names it gave them.

In: the tables as they stood. Out: one table more, empty.
Not here: anything else; this step is never edited.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Make the table, and refuse changes from then on."""
    _table()
    postgres = op.get_bind().dialect.name == "postgresql"
    refusal = "SELECT RAISE(ABORT, 'records are added and never changed')"
    for deed in ("UPDATE", "DELETE"):
        does = "FOR EACH ROW EXECUTE FUNCTION refuse_change()" if postgres else f"BEGIN {refusal}; END"
        op.execute(f'CREATE TRIGGER no_{deed.lower()}_of_handed_over BEFORE {deed} ON "handed_over" {does}')


# fmt: off
def _table() -> None:
    op.create_table('handed_over',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('draft', sa.String(length=32), nullable=False),
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('sha256', sa.String(length=64), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_handed_over_version')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_handed_over')),
        sa.UniqueConstraint('draft', 'sha256', name=op.f('uq_handed_over_draft_sha256'))
    )
    op.create_index(op.f('ix_handed_over_version'), 'handed_over', ['version'], unique=False)
