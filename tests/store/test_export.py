"""Everything goes out as files and comes back the same.

In: a small practice with something in every table. Out: tables row by row, files byte for byte, refusals.
Not here: crashes.
"""

from __future__ import annotations

import errno
import gzip
import hashlib
import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import LargeBinary, MetaData, create_engine, text

from reasoner.problems import BadInput
from reasoner.store import exporting, table_files
from reasoner.store import tables as t
from reasoner.store.checking import check
from reasoner.store.exporting import export, sum_of
from reasoner.store.importing import import_
from reasoner.store.layout import BYTES
from reasoner.store.opening import Store, open_store, upgrade_within
from reasoner.store.place import Place, place_of
from reasoner.store.reading import answer_of
from reasoner.store.saving import save
from reasoner.store.table_files import Kind, read, shape_of, write
from reasoner.store.whole import whole_folder
from tests.store.keeping import example, opened, opened_new
from tests.store.practice import content, enclosed_bytes, files_in, fill


@pytest.mark.parametrize("kind", ["csv", "parquet"])
def test_an_export_reads_back_to_the_same_content(place: Place, tmp_path: Path, kind: Kind) -> None:
    with opened_new(tmp_path / "source") as source:
        saved = fill(source, tmp_path, every=True)
        wanted = content(source)
        done = export(source, tmp_path / "out", kind)
    assert all(wanted.values()), "something is in every table"
    assert set(wanted) == {table.name for table in t.META.sorted_tables} - {"piece"}
    assert done.tables == {name: len(rows) for name, rows in wanted.items()}
    written = files_in(tmp_path / "out")
    texts = [data for name, data in written.items() if name.endswith("/visit.yaml")]
    assert sorted(texts) == sorted(row["text"] for row in wanted["version"])
    assert len(texts) == len(saved)

    assert import_(tmp_path / "out", place).tables == done.tables
    with opened(place) as again:
        assert content(again) == wanted
        assert {hashlib.sha256(data).hexdigest() for data in enclosed_bytes(again).values()} == set(
            enclosed_bytes(again)
        )
        export(again, tmp_path / "out again", kind)
        assert files_in(tmp_path / "out again") == written
        save(again, example("nettle"), by="Wren Aldous")  # and it can be gone on with


@pytest.mark.parametrize("kind", ["csv", "parquet"])
def test_what_a_server_gives_out_a_file_takes_in(store: Store, tmp_path: Path, kind: Kind) -> None:
    fill(store, tmp_path, every=True)
    export(store, tmp_path / "out", kind)
    other = place_of(str(tmp_path / "other.db"))
    import_(tmp_path / "out", other)
    with opened(other) as file:
        assert content(file) == content(store)
        assert enclosed_bytes(file) == enclosed_bytes(store)


def test_an_export_can_be_read_without_this_program(tmp_path: Path) -> None:
    with opened_new(tmp_path / "source") as source:
        saved = fill(source, tmp_path)
        export(source, tmp_path / "out")
        with source.reading() as connection:
            answer = answer_of(connection, saved[0].version)
    visit = tmp_path / "out" / "visits" / "Larkhope" / "Bramble" / "2026-04-18"
    assert (visit / "1" / "visit.yaml").read_bytes() == example("bramble").text
    assert (visit / "1" / "enclosed" / "left side.JPG").exists() or (
        visit / "2" / "enclosed" / "left side.JPG"
    ).exists()
    assert json.loads(gzip.decompress((visit / "1" / "answer.json.gz").read_bytes())) == answer
    names = {f.name for f in (tmp_path / "out" / "visits" / "Skelbeck").iterdir()}
    assert len({name.casefold() for name in names}) == 2, "two horses, also where capitals do not count"
    assert (tmp_path / "out" / "visits" / "Netherfold" / "St. Otter_Hob" / "2026-04-18" / "1" / "visit.yaml").exists()


def test_every_column_of_bytes_has_its_file() -> None:
    as_tables = [table for table in t.META.sorted_tables if table not in t.AS_FILES]
    held = {(table.name, c.name) for table in as_tables for c in table.columns if isinstance(c.type, LargeBinary)}
    assert held == {(table, column) for table, columns in BYTES.items() for column in columns}


@pytest.mark.parametrize("kind", ["csv", "parquet"])
@given(
    texts=st.lists(st.tuples(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")),
                             st.none() | st.text(alphabet='a",\r\n ½'),
                             st.floats(allow_nan=False, allow_infinity=False), st.booleans(),
                             st.integers(-(2**31), 2**31)), max_size=5)
)  # fmt: skip
def test_no_text_and_no_number_changes_on_the_way(
    kind: Kind, texts: list[tuple[Any, ...]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    shape = shape_of(t.conclusion)
    rows = [{"version": a, "at": whole, "key": a, "side": b, "kind": "", "certainty": number, "band": b, "leading": yes,
             "words": a} for a, b, number, yes, whole in texts]  # fmt: skip
    path = tmp_path_factory.mktemp("table") / f"one.{kind}"
    assert write(path, kind, shape, [rows[:2], rows[2:]]) == len(rows)
    back = [row for lot in read(path, kind, shape) for row in lot]
    assert back == rows
    assert [math.copysign(1, r["certainty"]) for r in back] == [math.copysign(1, r["certainty"]) for r in rows]


def _out(tmp_path: Path, *, moved: bool = True) -> Path:
    """An export of the small practice."""
    with opened_new(tmp_path / "source") as source:
        fill(source, tmp_path, moved=moved)
        return export(source, tmp_path / "out").folder


def test_every_damaged_file_is_told_and_nothing_is_read_in(place: Place, tmp_path: Path) -> None:
    out = _out(tmp_path)
    for name, data in files_in(out).items():
        path = out / name
        path.write_bytes(data[: len(data) // 2] + bytes([data[len(data) // 2] ^ 1]) + data[len(data) // 2 + 1 :])
        with pytest.raises(BadInput) as bad:
            import_(out, place)
        assert {p.code for p in bad.value.problems} == {"ST32"}, name
        assert [p.file for p in bad.value.problems] == [str(path)]
        path.write_bytes(data)
    (out / "tables" / "touch.csv").unlink()
    (out / "tables" / "noted.csv").unlink()
    with pytest.raises(BadInput) as bad:
        import_(out, place)
    assert [p.file for p in bad.value.problems] == [
        str(out / "tables" / "noted.csv"),
        str(out / "tables" / "touch.csv"),
    ]
    with pytest.raises(BadInput, match="ST02"):
        open_store(place)


@pytest.mark.parametrize(
    ("name", "find", "put", "match"),
    [
        ("tables/visit.csv", b'"2026-04-18",2,\n', b'"2026-04-18",1,\n', "do not fit"),
        ("tables/horse.csv", b"Bramble", b"\xff\xfe", "does not read"),
        ("tables/touch.csv", b"soreness", b"tenderness", "does not read"),
        ("tables/version.csv", b"/visit.yaml", b"/another.yaml", "named, but not listed"),
        ("tables/version.csv", b"2026-04-18/1/visit.yaml", b"2026-04-18/2/visit.yaml", "named, but|not those its row"),
        ("tables/yard.csv", b"\n", b'\n"0123","one more"\n', "rows were read"),
    ],
)  # fmt: skip
def test_rows_that_do_not_belong_together_are_not_read_in(
    place: Place, tmp_path: Path, name: str, find: bytes, put: bytes, match: str
) -> None:
    """An export put together by hand, with checksums that fit: the tables themselves are held to what they say."""
    out = _out(tmp_path)
    said, before = _said(out), (out / name).read_bytes()
    assert find in before
    after = before.replace(find, put, 1)
    (out / name).write_bytes(after)
    sums = {"sha256": hashlib.sha256(after).hexdigest(), "size": len(after)}
    _say(out, {**said, "files": {**said["files"], name: sums}})
    with pytest.raises(BadInput, match=match):
        import_(out, place)
    with pytest.raises(BadInput, match="ST02"):
        open_store(place)
    (out / name).write_bytes(before)
    _say(out, said)
    import_(out, place)


def test_records_that_are_there_are_not_added_to(store: Store, tmp_path: Path) -> None:
    out = _out(tmp_path / "source")
    save(store, example("rook"), by="Wren Aldous")
    before = content(store)
    with pytest.raises(BadInput, match="ST33"):
        import_(out, store.place)
    assert content(store) == before


def test_records_begun_and_still_empty_are_filled(store: Store, tmp_path: Path) -> None:
    out = _out(tmp_path / "source")
    import_(out, store.place)
    assert len(content(store)["version"]) == 7


def test_a_folder_that_is_there_is_not_written_over(store: Store, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    export(store, tmp_path / "out")  # an empty folder is nothing
    before = files_in(tmp_path / "out")
    with pytest.raises(BadInput, match="ST30"):
        export(store, tmp_path / "out")
    assert files_in(tmp_path / "out") == before


def test_an_export_of_an_older_version_is_read_in_and_brought_up_to_date(place: Place, tmp_path: Path) -> None:
    """As a release at the first step wrote it: the tables it had."""
    out = _out(tmp_path, moved=False)
    first = create_engine(f"sqlite:///{tmp_path / 'first.db'}")
    then = MetaData()
    with first.begin() as connection:
        upgrade_within(connection, "0001")
        then.reflect(connection)
    first.dispose()
    said = _said(out)
    tables = {name: count for name, count in said["tables"].items() if name in then.tables}
    files = {n: sums for n, sums in said["files"].items() if not n.startswith("tables/") or Path(n).stem in then.tables}
    path = out / "tables" / "visit.csv"  # without the column that a later step added
    rows = [row for lot in read(path, "csv", shape_of(t.visit)) for row in lot]
    for row in rows:
        assert row.pop("told_part") is None
    write(path, "csv", shape_of(then.tables["visit"]), [rows])
    files["tables/visit.csv"] = {"sha256": hashlib.sha256(path.read_bytes()).hexdigest(), "size": path.stat().st_size}
    _say(out, {**said, "tables_version": "0001", "tables": tables, "files": files})
    import_(out, place)
    with opened(place) as again, opened(place_of(str(tmp_path / "source" / "practice.db"))) as source:
        found, wanted = content(again), content(source)
    assert {name: found[name] for name in tables} == {name: wanted[name] for name in tables}
    with opened(place) as again:
        assert check(again).wrong == ()
        assert check(again).looked_at["of these sealed only when the records were brought up to date"] > 20


@pytest.mark.parametrize("newer", [{"tables_version": "9999"}, {"format_version": 2}])
def test_an_export_of_a_newer_version_is_refused(tmp_path: Path, newer: dict[str, Any]) -> None:
    out = _out(tmp_path)
    _say(out, _said(out) | newer)
    with pytest.raises(BadInput, match="ST35"):
        import_(out, place_of(str(tmp_path / "new.db")))
    assert not (tmp_path / "new.db").exists()


def _said(out: Path) -> dict[str, Any]:
    said: dict[str, Any] = json.loads((out / "manifest.json").read_text())
    return said


def _say(out: Path, said: dict[str, Any]) -> None:
    (out / "manifest.json").write_text(json.dumps({**said, "sha256": sum_of(said)}))


def test_an_export_tells_one_moment(store: Store, tmp_path: Path) -> None:
    """A visit kept while the tables are being written is in none of them."""
    save(store, example("bramble"), by="Wren Aldous")
    other, begun = open_store(store.place), table_files.write
    late: list[str] = []

    def meanwhile(path: Path, kind: Kind, shape: Any, lots: Any) -> int:
        if not late:
            late.append(save(other, example("rook"), by="Tam Orrin").version)
        return begun(path, kind, shape, lots)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(exporting, "write", meanwhile)
        done = export(store, tmp_path / "out")
    other.close()
    assert late
    assert (done.tables["horse"], done.tables["version"]) == (1, 1)
    with store.reading() as connection:
        assert connection.execute(text("SELECT count(*) FROM version")).scalar() == 2


def test_a_library_has_no_words_of_its_own_for_a_full_disk(tmp_path: Path) -> None:
    with (
        pytest.raises(BadInput, match=r"cannot be written: no space left on device\. Nothing was written\."),
        whole_folder(tmp_path / "out"),
    ):
        raise OSError(errno.ENOSPC, "Error writing bytes to file. Detail: [errno 28] No space left on device")
    assert not list(tmp_path.iterdir())
