"""Step 0003: which conclusions a step of the plan answers, and which rules spoke for them, as rows.

In: the tables as they stood, with answers kept whole. Out: two tables more, filled from every answer already kept.
Not here: anything else; this step is never edited.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
NEW = ("answered", "spoke")
_AT_ONCE = 200


def upgrade() -> None:
    """Make the tables, fill them from the kept answers, and refuse changes from then on."""
    answered, spoke = _tables()
    connection = op.get_bind()
    version = sa.table("version", sa.column("uid"), sa.column("answer"))
    uids = [row.uid for row in connection.execute(sa.select(version.c.uid))]
    for start in range(0, len(uids), _AT_ONCE):
        some = uids[start : start + _AT_ONCE]
        for row in connection.execute(sa.select(version.c.uid, version.c.answer).where(version.c.uid.in_(some))).all():
            answer = json.loads(zlib.decompress(bytes(row.answer)))
            for table, rows in ((answered, _answered(answer)), (spoke, _spoke(answer))):
                if held := [{"version": row.uid, "at": n, **one} for n, one in enumerate(rows)]:
                    connection.execute(sa.insert(table), held)
    postgres = connection.dialect.name == "postgresql"
    refusal = "SELECT RAISE(ABORT, 'records are added and never changed')"
    for name in NEW:
        for deed in ("UPDATE", "DELETE"):
            does = "FOR EACH ROW EXECUTE FUNCTION refuse_change()" if postgres else f"BEGIN {refusal}; END"
            op.execute(f'CREATE TRIGGER no_{deed.lower()}_of_{name} BEFORE {deed} ON "{name}" {does}')


def _answered(answer: dict[str, Any]) -> Iterator[dict[str, Any]]:
    said = {(one["key"], one["words"]): one for one in answer["conclusions"]}
    for step in answer["plan"]["steps"]:
        for because in step["because"]:
            one = said.get((because["key"], because["words"]))
            if one is not None:
                yield {
                    "step": step["key"], "step_side": step["side"] or "", "conclusion": one["key"],
                    "side": one["side"] or "", "kind": one["kind"], "certainty": one["certainty"],
                }  # fmt: skip


def _spoke(answer: dict[str, Any]) -> Iterator[dict[str, Any]]:
    wanted = {(row["conclusion"], row["side"]) for row in _answered(answer)}
    for one in answer["conclusions"]:
        side = one["side"] or ""
        for held in one["supporting"] if (one["key"], side) in wanted else ():
            yield {
                "conclusion": one["key"], "side": side, "rule": held["rule"], "strength": held["strength"],
                "share": held["share"],
            }  # fmt: skip


# fmt: off
def _tables() -> tuple[sa.Table, sa.Table]:
    answered = op.create_table('answered',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('step', sa.Text(), nullable=False),
        sa.Column('step_side', sa.Text(), nullable=False),
        sa.Column('conclusion', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('kind', sa.Text(), nullable=False),
        sa.Column('certainty', sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_answered_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_answered'))
    )
    spoke = op.create_table('spoke',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('conclusion', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('rule', sa.Text(), nullable=False),
        sa.Column('strength', sa.Float(), nullable=False),
        sa.Column('share', sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_spoke_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_spoke'))
    )
    return answered, spoke
