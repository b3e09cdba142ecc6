"""Step 0004: where a visit and an agreement count, where a horse stands from a day on, and a seal over every row that was said.

In: the tables as they stood. Out: four tables and a column more; every row so far sealed as it stands at this moment.
Not here: anything else; this step is never edited.

A seal made here says that a row has not changed since this step. What happened to it before, no seal can say.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
NEW = ("stay", "placed", "consent_placed", "seal")
SEALED = {
    "yard": "uid name",
    "owner": "uid name",
    "examiner": "uid name",
    "rider": "uid name",
    "saddle": "uid name",
    "horse": "uid name yard owner born",
    "rulebook": "stamp engine saved_at",
    "visit": "uid horse day part",
    "version": "uid visit number sha256 saved_at saved_by why rulebook answer_sha256 level examiner checked_by saddle rider",
    "done": "uid version step side answer because told_by told_on saved_at",
    "opinion": "uid version conclusion side agrees because who saved_at",
    "countersigned": "uid version who saved_at",
    "consent": "uid horse what given who on until note saved_at",
    "enclosed": "uid version kind name sha256 size saved_at",
}
_TRUTH = {("opinion", "agrees"), ("consent", "given")}


def upgrade() -> None:
    """Make the tables, seal what is there, and refuse changes from then on."""
    op.add_column("visit", sa.Column("told_part", sa.Integer(), nullable=True))
    seal = _tables()
    connection = op.get_bind()
    at, chain = 0, ""
    for name, columns in SEALED.items():
        table = sa.table(
            name, *(sa.column(c, sa.Boolean() if (name, c) in _TRUTH else None) for c in columns.split())
        )  # fmt: skip
        key = table.c[columns.split()[0]]
        for row in connection.execute(sa.select(table).order_by(key)).mappings().all():
            sha = _sum(row)
            at += 1
            chain = hashlib.sha256(f"{chain}\n{at}\n{name}\n{row[key.name]}\n{sha}".encode()).hexdigest()
            connection.execute(
                sa.insert(seal).values(at=at, of=name, row=row[key.name], sha256=sha, chain=chain, late=True)
            )
    postgres = connection.dialect.name == "postgresql"
    refusal = "SELECT RAISE(ABORT, 'records are added and never changed')"
    for name in NEW:
        for deed in ("UPDATE", "DELETE"):
            does = "FOR EACH ROW EXECUTE FUNCTION refuse_change()" if postgres else f"BEGIN {refusal}; END"
            op.execute(f'CREATE TRIGGER no_{deed.lower()}_of_{name} BEFORE {deed} ON "{name}" {does}')


def _sum(row: Mapping[Any, Any]) -> str:
    said = {str(key): value for key, value in row.items() if value is not None}
    return hashlib.sha256(json.dumps(said, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


# fmt: off
def _tables() -> sa.Table:
    op.create_table('stay',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('horse', sa.String(length=32), nullable=False),
        sa.Column('number', sa.Integer(), nullable=False),
        sa.Column('yard', sa.String(length=32), nullable=True),
        sa.Column('owner', sa.String(length=32), nullable=True),
        sa.Column('since', sa.String(length=10), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('why', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['horse'], ['horse.uid'], name=op.f('fk_stay_horse')),
        sa.ForeignKeyConstraint(['yard'], ['yard.uid'], name=op.f('fk_stay_yard')),
        sa.ForeignKeyConstraint(['owner'], ['owner.uid'], name=op.f('fk_stay_owner')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_stay')),
        sa.UniqueConstraint('horse', 'number', name=op.f('uq_stay_horse_number'))
    )
    for column in ('horse', 'yard', 'owner'):
        op.create_index(op.f(f'ix_stay_{column}'), 'stay', [column], unique=False)
    op.create_table('placed',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('visit', sa.String(length=32), nullable=False),
        sa.Column('number', sa.Integer(), nullable=False),
        sa.Column('horse', sa.String(length=32), nullable=False),
        sa.Column('part', sa.Integer(), nullable=False),
        sa.Column('withdrawn', sa.Boolean(), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('why', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['visit'], ['visit.uid'], name=op.f('fk_placed_visit')),
        sa.ForeignKeyConstraint(['horse'], ['horse.uid'], name=op.f('fk_placed_horse')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_placed')),
        sa.UniqueConstraint('visit', 'number', name=op.f('uq_placed_visit_number'))
    )
    for column in ('visit', 'horse'):
        op.create_index(op.f(f'ix_placed_{column}'), 'placed', [column], unique=False)
    op.create_table('consent_placed',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('consent', sa.String(length=32), nullable=False),
        sa.Column('number', sa.Integer(), nullable=False),
        sa.Column('horse', sa.String(length=32), nullable=False),
        sa.Column('placed', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['consent'], ['consent.uid'], name=op.f('fk_consent_placed_consent')),
        sa.ForeignKeyConstraint(['horse'], ['horse.uid'], name=op.f('fk_consent_placed_horse')),
        sa.ForeignKeyConstraint(['placed'], ['placed.uid'], name=op.f('fk_consent_placed_placed')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_consent_placed')),
        sa.UniqueConstraint('consent', 'number', name=op.f('uq_consent_placed_consent_number'))
    )
    for column in ('consent', 'horse', 'placed'):
        op.create_index(op.f(f'ix_consent_placed_{column}'), 'consent_placed', [column], unique=False)
    return op.create_table('seal',
        sa.Column('at', sa.Integer(), autoincrement=False, nullable=False),
        sa.Column('of', sa.Text(), nullable=False),
        sa.Column('row', sa.String(length=64), nullable=False),
        sa.Column('sha256', sa.String(length=64), nullable=False),
        sa.Column('chain', sa.String(length=64), nullable=False),
        sa.Column('late', sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint('at', name=op.f('pk_seal')),
        sa.UniqueConstraint('of', 'row', name=op.f('uq_seal_of_row'))
    )
