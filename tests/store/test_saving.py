"""What is kept comes back whole, and nothing kept is ever changed.

In: the examples in a fresh store. Out: bytes, versions, refusals.
Not here: servers, crashes, export.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Table, delete, insert, select, update
from sqlalchemy.exc import DBAPIError

from reasoner.problems import BadInput
from reasoner.store import tables as t
from reasoner.store.opening import NEWEST, Store, steps_known
from reasoner.store.reading import answer_of, beside_of, horse_called, horses, text_of, versions_of, visits
from reasoner.store.saving import correct, save
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.store.damage import unlocked
from tests.store.keeping import example, kept_of


def test_a_visit_comes_back_byte_for_byte(store: Store) -> None:
    for name in ("bramble", "rook"):
        saved = save(store, example(name), by="Wren Aldous")
        with store.reading() as connection:
            assert text_of(connection, saved.version) == example(name).text
            assert answer_of(connection, saved.version) == example(name).answer


def test_the_same_words_are_kept_once(store: Store) -> None:
    first = save(store, example("bramble"), by="Wren Aldous")
    again = save(store, example("bramble"), by="Wren Aldous")
    assert (first.new, again.new, again.version) == (True, False, first.version)


def test_other_words_of_the_same_day_are_refused_until_they_are_called_a_correction(store: Store) -> None:
    first = save(store, example("bramble"), by="Wren Aldous")
    other = kept_of(example("bramble").text.replace(b"loin:                       {left: 3", b"loin: {left: 4"))
    assert other.text != example("bramble").text
    with pytest.raises(BadInput, match="ST10"):
        save(store, other, by="Wren Aldous")
    second = correct(store, first.visit, other, by="Wren Aldous", why="the loin was read off the wrong line")
    assert second.number == 2
    with store.reading() as connection:
        versions = versions_of(connection, first.visit)
        assert [v.number for v in versions] == [1, 2]
        assert text_of(connection, versions[0].uid) == example("bramble").text
        assert text_of(connection, versions[1].uid) == other.text
        (newest,) = visits(connection, horse=horse_called(connection, "bramble").uid)
        assert (newest.number, newest.version) == (2, second.version)


@pytest.mark.parametrize(("by", "why"), [("", "a slip"), ("Wren Aldous", " ")])
def test_a_correction_says_who_and_why(store: Store, by: str, why: str) -> None:
    first = save(store, example("bramble"), by="Wren Aldous")
    with pytest.raises(BadInput, match="ST11"):
        correct(store, first.visit, example("bramble"), by=by, why=why)


def test_two_horses_of_one_name_are_told_apart_by_yard_and_year(store: Store) -> None:
    for yard, born in (("Larkhope", 2010), ("Larkhope", 2015), ("Netherfold", 2010)):
        save(store, kept_of(f"horse: {{name: Juniper, born: {born}}}\nvisit: 2026-04-18\nyard: {yard}\n"), by="Wren")
    with store.reading() as connection:
        assert len(horses(connection)) == 3
        assert horse_called(connection, "juniper", yard="Netherfold").born == "2010"
        with pytest.raises(BadInput, match="ST21"):
            horse_called(connection, "Juniper", yard="Larkhope")
        with pytest.raises(BadInput, match=r'ST20.*Near: "Juniper"'):
            horse_called(connection, "Junipr")
    with pytest.raises(BadInput, match="ST11"):
        save(store, kept_of("horse: {name: Juniper}\nvisit: 2026-05-18\nyard: Larkhope\n"), by="Wren")


def test_rows_are_added_and_never_changed(store: Store) -> None:
    save(store, example("bramble"), by="Wren Aldous")
    filled = [table for table in t.LASTING if _count(store, table)]
    assert {"visit", "version", "touch", "noted", "conclusion", "expectation", "step"} <= {
        table.name for table in filled
    }
    for table in filled:
        column = next(iter(table.c))
        for deed in (update(table).values({column.name: column}), delete(table)):
            with pytest.raises(DBAPIError, match="never changed"), store.engine.begin() as connection:
                connection.execute(deed)


def test_contact_data_may_go(store: Store) -> None:
    save(store, example("bramble"), by="Wren Aldous")
    with store.engine.begin() as connection:
        owner = connection.execute(t.owner.select()).one()
        connection.execute(insert(t.owner_contact).values(owner=owner.uid, telephone="1", mail="2", address="3"))
        connection.execute(delete(t.owner_contact))
    assert _count(store, t.owner_contact) == 0


def test_the_steps_lead_to_the_tables_as_they_stand(store: Store) -> None:
    assert max(steps_known()) == NEWEST
    with store.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), t.META) == []


def _count(store: Store, table: Table) -> int:
    with store.engine.connect() as connection:
        return len(connection.execute(table.select()).all())


LARCH = "horse: {name: Larch}\nvisit: 2026-04-18\nyard: Larkhope\nback tracings: {file: traced.csv}\n"
TRACED = (
    "station,side,out_mm,down_mm\nwithers,left,0,0\nwithers,left,60,{down}\nwithers,right,0,0\nwithers,right,60,40\n"
)


def test_a_table_of_tracings_is_kept_with_the_visit_that_names_it(store: Store, tmp_path: Path) -> None:
    words = shipped().book.vocabulary
    (tmp_path / "traced.csv").write_text(TRACED.format(down=42))
    file = str(tmp_path / "larch.yaml")
    saved = save(store, kept_of(LARCH, file), by="Wren Aldous")
    (tmp_path / "traced.csv").unlink()
    with store.reading() as connection:
        held = beside_of(connection, store.place, saved.version)
        again = visit_from_bytes(text_of(connection, saved.version), "kept", words, held)
    assert [(int(out), int(down)) for out, down in again.outlines[0].left] == [(0, 0), (60, 42)]
    (tmp_path / "traced.csv").write_text(TRACED.format(down=42))
    assert not save(store, kept_of(LARCH, str(tmp_path / "same.yaml")), by="Wren Aldous").new
    (tmp_path / "traced.csv").write_text(TRACED.format(down=55))
    with pytest.raises(BadInput, match="ST10"):
        save(store, kept_of(LARCH, str(tmp_path / "changed.yaml")), by="Wren Aldous")


def test_a_table_that_was_changed_beside_the_records_is_not_read_as_if_it_had_been_kept(
    store: Store, tmp_path: Path
) -> None:
    (tmp_path / "traced.csv").write_text(TRACED.format(down=42))
    saved = save(store, kept_of(LARCH, str(tmp_path / "larch.yaml")), by="Wren Aldous")
    if store.place.file is not None:
        (copy,) = store.place.files.iterdir()
        copy.write_bytes(copy.read_bytes().replace(b"42", b"12"))
    else:
        with store.writing() as connection:
            unlocked(connection, "piece")
            (data,) = connection.execute(select(t.piece.c.data)).scalars()
            connection.execute(update(t.piece).values(data=bytes(data).replace(b"42", b"12")))
    with store.reading() as connection:
        held = beside_of(connection, store.place, saved.version)
        with pytest.raises(BadInput, match="VF58"):
            visit_from_bytes(text_of(connection, saved.version), "kept", shipped().book.vocabulary, held)
