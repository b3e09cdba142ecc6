"""Records of an earlier version know, once they are upgraded, what their steps answered.

In: a store taken back to the step before. Out: the same rows as a visit saved today has. Not here: other steps.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, text, update
from sqlalchemy.exc import DBAPIError

from reasoner.store import tables as t
from reasoner.store.opening import Store, open_to_upgrade, upgrade
from reasoner.store.saving import save
from tests.store.keeping import example, fresh

NEW = (t.answered, t.spoke)


def rows(store: Store) -> list[list[Any]]:
    with store.reading() as connection:
        return [connection.execute(select(table).order_by(*table.primary_key.columns)).all() for table in NEW]  # type: ignore[misc]


def test_older_answers_are_read_once_more(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name in ("bramble", "hazel"):
        save(store, example(name), by="Wren Aldous")
    wanted = rows(store)
    assert all(wanted)
    with store.engine.begin() as connection:
        for table in NEW:
            connection.execute(text(f"DROP TABLE {table.name}"))
        for later in (
            "edited",
            "approved",
            "photograph",
            "handed_over",
            "consent_placed",
            "placed",
            "stay",
            "seal",
            "piece",
        ):
            connection.execute(text(f"DROP TABLE {later}"))
        connection.execute(text("ALTER TABLE visit DROP COLUMN told_part"))
        connection.execute(text("UPDATE alembic_version SET version_num = '0002'"))
    store.close()
    older = open_to_upgrade(store.place)
    upgrade(older)
    assert rows(older) == wanted
    for table in NEW:
        with pytest.raises(DBAPIError, match="never changed"), older.engine.begin() as connection:
            connection.execute(update(table).values(at=0))


def test_a_step_answers_a_conclusion_of_one_side() -> None:
    kept = example("bramble")
    sides = {one["key"] for one in kept.answer["conclusions"] if one["side"]}
    from reasoner.store.spoken import answered, spoke

    said = list(answered(kept.answer))
    assert ("shims_under_the_side", "right", "saddle_to_one_side", "right") in {
        (row["step"], row["step_side"], row["conclusion"], row["side"]) for row in said
    }
    assert all(bool(row["side"]) is (row["conclusion"] in sides) for row in said)
    assert {(row["conclusion"], row["side"]) for row in spoke(kept.answer)} <= {
        (r["conclusion"], r["side"]) for r in said
    }
