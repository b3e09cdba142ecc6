"""Step 0008: what practitioners change in a plan and the owner's sentences, and whose name stands under which page.

In: the tables as they stood. Out: two tables more, empty.
Not here: anything else; this step is never edited.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
NEW = ("edited", "approved")


def upgrade() -> None:
    """Make the tables, and refuse changes from then on."""
    _tables()
    postgres = op.get_bind().dialect.name == "postgresql"
    refusal = "SELECT RAISE(ABORT, 'records are added and never changed')"
    for name in NEW:
        for deed in ("UPDATE", "DELETE"):
            does = "FOR EACH ROW EXECUTE FUNCTION refuse_change()" if postgres else f"BEGIN {refusal}; END"
            op.execute(f'CREATE TRIGGER no_{deed.lower()}_of_{name} BEFORE {deed} ON "{name}" {does}')


# fmt: off
def _tables() -> None:
    op.create_table('edited',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('line', sa.Text(), nullable=False),
        sa.Column('deed', sa.Text(), nullable=False),
        sa.Column('key', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('kind', sa.Text(), nullable=False),
        sa.Column('tool_words', sa.Text(), nullable=False),
        sa.Column('words', sa.Text(), nullable=False),
        sa.Column('because', sa.Text(), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_edited_version')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_edited'))
    )
    op.create_index(op.f('ix_edited_version'), 'edited', ['version'], unique=False)
    op.create_table('approved',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('reader', sa.Text(), nullable=False),
        sa.Column('sha256', sa.String(length=64), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_approved_version')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_approved'))
    )
    op.create_index(op.f('ix_approved_version'), 'approved', ['version'], unique=False)
