"""The second step: the newest version of each visit is found without reading the older ones.

In: the tables of 0001. Out: an index on them. Not here: anything else.
"""

from __future__ import annotations

from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the index."""
    op.create_index("ix_version_current", "version", ["visit", "number"], unique=False)
