"""The first step: the tables of the first release, and the rule that rows are added and never changed.

In: an empty database. Out: its tables. Not here: later steps; this one is never edited.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
LASTING = (
    "examiner",
    "owner",
    "rider",
    "rulebook",
    "saddle",
    "yard",
    "horse",
    "consent",
    "visit",
    "version",
    "conclusion",
    "countersigned",
    "done",
    "enclosed",
    "expectation",
    "noted",
    "opinion",
    "outline",
    "raised",
    "step",
    "touch",
    "vets_word",
)


def upgrade() -> None:
    """Make the tables and the triggers that refuse changes."""
    _tables()
    postgres = op.get_bind().dialect.name == "postgresql"
    if postgres:
        op.execute(
            "CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION 'records are added and never changed'; END $$"
        )
    refusal = "SELECT RAISE(ABORT, 'records are added and never changed')"
    for table in LASTING:
        for deed in ("UPDATE", "DELETE"):
            does = "FOR EACH ROW EXECUTE FUNCTION refuse_change()" if postgres else f"BEGIN {refusal}; END"
            op.execute(f'CREATE TRIGGER no_{deed.lower()}_of_{table} BEFORE {deed} ON "{table}" {does}')


# fmt: off
def _tables() -> None:
    op.create_table('examiner',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('name', sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_examiner')),
        sa.UniqueConstraint('name', name=op.f('uq_examiner_name'))
    )
    op.create_table('owner',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('name', sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_owner')),
        sa.UniqueConstraint('name', name=op.f('uq_owner_name'))
    )
    op.create_table('rider',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('name', sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_rider')),
        sa.UniqueConstraint('name', name=op.f('uq_rider_name'))
    )
    op.create_table('rulebook',
        sa.Column('stamp', sa.String(length=64), nullable=False),
        sa.Column('engine', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.Column('archive', sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint('stamp', name=op.f('pk_rulebook'))
    )
    op.create_table('saddle',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('name', sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_saddle')),
        sa.UniqueConstraint('name', name=op.f('uq_saddle_name'))
    )
    op.create_table('yard',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('name', sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_yard')),
        sa.UniqueConstraint('name', name=op.f('uq_yard_name'))
    )
    op.create_table('horse',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('name', sa.Text(), nullable=False),
        sa.Column('yard', sa.String(length=32), nullable=True),
        sa.Column('owner', sa.String(length=32), nullable=True),
        sa.Column('born', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['owner'], ['owner.uid'], name=op.f('fk_horse_owner')),
        sa.ForeignKeyConstraint(['yard'], ['yard.uid'], name=op.f('fk_horse_yard')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_horse')),
        sa.UniqueConstraint('name', 'yard', 'born', name=op.f('uq_horse_name_yard_born'))
    )
    op.create_index(op.f('ix_horse_owner'), 'horse', ['owner'], unique=False)
    op.create_index(op.f('ix_horse_yard'), 'horse', ['yard'], unique=False)
    op.create_table('owner_contact',
        sa.Column('owner', sa.String(length=32), nullable=False),
        sa.Column('telephone', sa.Text(), nullable=False),
        sa.Column('mail', sa.Text(), nullable=False),
        sa.Column('address', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['owner'], ['owner.uid'], name=op.f('fk_owner_contact_owner')),
        sa.PrimaryKeyConstraint('owner', name=op.f('pk_owner_contact'))
    )
    op.create_table('consent',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('horse', sa.String(length=32), nullable=False),
        sa.Column('what', sa.Text(), nullable=False),
        sa.Column('given', sa.Boolean(), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('on', sa.String(length=10), nullable=False),
        sa.Column('until', sa.String(length=10), nullable=True),
        sa.Column('note', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['horse'], ['horse.uid'], name=op.f('fk_consent_horse')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_consent'))
    )
    op.create_index(op.f('ix_consent_horse'), 'consent', ['horse'], unique=False)
    op.create_table('visit',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('horse', sa.String(length=32), nullable=False),
        sa.Column('day', sa.String(length=10), nullable=False),
        sa.Column('part', sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(['horse'], ['horse.uid'], name=op.f('fk_visit_horse')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_visit')),
        sa.UniqueConstraint('horse', 'day', 'part', name=op.f('uq_visit_horse_day_part'))
    )
    op.create_index(op.f('ix_visit_day'), 'visit', ['day'], unique=False)
    op.create_index(op.f('ix_visit_horse'), 'visit', ['horse'], unique=False)
    op.create_table('version',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('visit', sa.String(length=32), nullable=False),
        sa.Column('number', sa.Integer(), nullable=False),
        sa.Column('text', sa.LargeBinary(), nullable=False),
        sa.Column('sha256', sa.String(length=64), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.Column('saved_by', sa.Text(), nullable=False),
        sa.Column('why', sa.Text(), nullable=False),
        sa.Column('rulebook', sa.String(length=64), nullable=False),
        sa.Column('answer', sa.LargeBinary(), nullable=False),
        sa.Column('answer_sha256', sa.String(length=64), nullable=False),
        sa.Column('level', sa.Text(), nullable=False),
        sa.Column('examiner', sa.String(length=32), nullable=True),
        sa.Column('checked_by', sa.String(length=32), nullable=True),
        sa.Column('saddle', sa.String(length=32), nullable=True),
        sa.Column('rider', sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(['checked_by'], ['examiner.uid'], name=op.f('fk_version_checked_by')),
        sa.ForeignKeyConstraint(['examiner'], ['examiner.uid'], name=op.f('fk_version_examiner')),
        sa.ForeignKeyConstraint(['rider'], ['rider.uid'], name=op.f('fk_version_rider')),
        sa.ForeignKeyConstraint(['rulebook'], ['rulebook.stamp'], name=op.f('fk_version_rulebook')),
        sa.ForeignKeyConstraint(['saddle'], ['saddle.uid'], name=op.f('fk_version_saddle')),
        sa.ForeignKeyConstraint(['visit'], ['visit.uid'], name=op.f('fk_version_visit')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_version')),
        sa.UniqueConstraint('visit', 'number', name=op.f('uq_version_visit_number'))
    )
    op.create_index(op.f('ix_version_checked_by'), 'version', ['checked_by'], unique=False)
    op.create_index(op.f('ix_version_examiner'), 'version', ['examiner'], unique=False)
    op.create_index(op.f('ix_version_rider'), 'version', ['rider'], unique=False)
    op.create_index(op.f('ix_version_saddle'), 'version', ['saddle'], unique=False)
    op.create_index(op.f('ix_version_visit'), 'version', ['visit'], unique=False)
    op.create_table('conclusion',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('key', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('kind', sa.Text(), nullable=False),
        sa.Column('certainty', sa.Float(), nullable=False),
        sa.Column('band', sa.Text(), nullable=False),
        sa.Column('leading', sa.Boolean(), nullable=False),
        sa.Column('words', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_conclusion_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_conclusion'))
    )
    op.create_index(op.f('ix_conclusion_key'), 'conclusion', ['key'], unique=False)
    op.create_table('countersigned',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_countersigned_version')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_countersigned'))
    )
    op.create_index(op.f('ix_countersigned_version'), 'countersigned', ['version'], unique=False)
    op.create_table('done',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('step', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('answer', sa.Text(), nullable=False),
        sa.Column('because', sa.Text(), nullable=False),
        sa.Column('told_by', sa.Text(), nullable=False),
        sa.Column('told_on', sa.String(length=10), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_done_version')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_done'))
    )
    op.create_index(op.f('ix_done_version'), 'done', ['version'], unique=False)
    op.create_table('enclosed',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('kind', sa.Text(), nullable=False),
        sa.Column('name', sa.Text(), nullable=False),
        sa.Column('sha256', sa.String(length=64), nullable=False),
        sa.Column('size', sa.Integer(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_enclosed_version')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_enclosed')),
        sa.UniqueConstraint('version', 'name', name=op.f('uq_enclosed_version_name'))
    )
    op.create_index(op.f('ix_enclosed_version'), 'enclosed', ['version'], unique=False)
    op.create_table('expectation',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('step', sa.Text(), nullable=False),
        sa.Column('step_side', sa.Text(), nullable=False),
        sa.Column('place', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('was', sa.Text(), nullable=True),
        sa.Column('to', sa.Text(), nullable=False),
        sa.Column('by', sa.String(length=10), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_expectation_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_expectation'))
    )
    op.create_index(op.f('ix_expectation_place'), 'expectation', ['place'], unique=False)
    op.create_table('noted',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('key', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('about', sa.Text(), nullable=False),
        sa.Column('kind', sa.Text(), nullable=False),
        sa.Column('value', sa.Text(), nullable=False),
        sa.Column('written', sa.Text(), nullable=False),
        sa.Column('line', sa.Integer(), nullable=False),
        sa.Column('note', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_noted_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_noted'))
    )
    op.create_index(op.f('ix_noted_key'), 'noted', ['key'], unique=False)
    op.create_table('opinion',
        sa.Column('uid', sa.String(length=32), nullable=False),
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('conclusion', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('agrees', sa.Boolean(), nullable=False),
        sa.Column('because', sa.Text(), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('saved_at', sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_opinion_version')),
        sa.PrimaryKeyConstraint('uid', name=op.f('pk_opinion'))
    )
    op.create_index(op.f('ix_opinion_version'), 'opinion', ['version'], unique=False)
    op.create_table('outline',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('of', sa.Text(), nullable=False),
        sa.Column('plane', sa.Text(), nullable=False),
        sa.Column('station', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('points', sa.Text(), nullable=False),
        sa.Column('line', sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_outline_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_outline'))
    )
    op.create_table('raised',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('key', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('place', sa.Text(), nullable=False),
        sa.Column('call', sa.Text(), nullable=False),
        sa.Column('words', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_raised_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_raised'))
    )
    op.create_index(op.f('ix_raised_key'), 'raised', ['key'], unique=False)
    op.create_table('step',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('key', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('kind', sa.Text(), nullable=False),
        sa.Column('words', sa.Text(), nullable=False),
        sa.Column('answers', sa.Text(), nullable=False),
        sa.Column('recheck_on', sa.String(length=10), nullable=True),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_step_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_step'))
    )
    op.create_index(op.f('ix_step_key'), 'step', ['key'], unique=False)
    op.create_table('touch',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('place', sa.Text(), nullable=False),
        sa.Column('side', sa.Text(), nullable=False),
        sa.Column('time', sa.Text(), nullable=False),
        sa.Column('soreness', sa.Text(), nullable=True),
        sa.Column('responses', sa.Text(), nullable=True),
        sa.Column('felt', sa.Text(), nullable=True),
        sa.Column('depth', sa.Text(), nullable=True),
        sa.Column('touch', sa.Text(), nullable=True),
        sa.Column('refused', sa.Boolean(), nullable=False),
        sa.Column('not_examined', sa.Text(), nullable=True),
        sa.Column('quiet_list', sa.Boolean(), nullable=False),
        sa.Column('line', sa.Integer(), nullable=False),
        sa.Column('note', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_touch_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_touch'))
    )
    op.create_index(op.f('ix_touch_place'), 'touch', ['place'], unique=False)
    op.create_table('vets_word',
        sa.Column('version', sa.String(length=32), nullable=False),
        sa.Column('at', sa.Integer(), nullable=False),
        sa.Column('who', sa.Text(), nullable=False),
        sa.Column('seen', sa.String(length=10), nullable=False),
        sa.Column('until', sa.String(length=10), nullable=True),
        sa.Column('about', sa.Text(), nullable=False),
        sa.Column('allows', sa.Text(), nullable=False),
        sa.Column('forbids', sa.Text(), nullable=False),
        sa.Column('line', sa.Integer(), nullable=False),
        sa.Column('note', sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(['version'], ['version.uid'], name=op.f('fk_vets_word_version')),
        sa.PrimaryKeyConstraint('version', 'at', name=op.f('pk_vets_word'))
    )
