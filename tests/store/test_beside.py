"""What is kept beside visits: files, agreements, and how an owner is reached.

In: a store with a visit. Out: what is kept, what is refused, and that what is erased is gone.
Not here: exports and checks of the same.
"""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.store import opening
from reasoner.store import tables as t
from reasoner.store.consents import Agreed, agree, standing
from reasoner.store.enclosing import enclose, enclosed_with
from reasoner.store.opening import Store
from reasoner.store.people import contact_of, erase_contact, keep_contact
from reasoner.store.photographs import cleaned
from reasoner.store.reading import KnownVisit, horse_called, visits
from reasoner.store.saving import save
from tests.store.keeping import example
from tests.store.pictures import picture
from tests.store.practice import enclosed_bytes, files_in

OWNER = "the Larkhope riding group"


@pytest.fixture
def visit(store: Store) -> KnownVisit:
    """Bramble's visit, kept."""
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        return visits(connection)[0]


def test_a_photograph_is_kept_once_and_a_table_byte_for_byte(store: Store, visit: KnownVisit, tmp_path: Path) -> None:
    one, two = tmp_path / "left.jpg", tmp_path / "also left.jpg"
    one.write_bytes(picture())
    two.write_bytes(one.read_bytes())
    (table := tmp_path / "back.csv").write_bytes(b"\xef\xbb\xbfbehind,down\r\n0,0\r\n")
    first = enclose(store, visit, [one, two])
    again = enclose(store, visit, [one])
    assert [(f.new, f.kind) for f in (*first, *again)] == [(True, "photo"), (True, "photo"), (False, "photo")]
    held = files_in(store.place.files) if store.place.file is not None else enclosed_bytes(store)
    assert list(held.values()) == [cleaned(one.read_bytes(), "left.jpg").data]
    with store.reading() as connection:
        pieces = connection.execute(t.piece.select()).all()
    assert len(pieces) == (store.place.file is None), "once, and in the database of a server only"
    enclose(store, visit, [table])
    held = files_in(store.place.files) if store.place.file is not None else enclosed_bytes(store)
    assert table.read_bytes() in held.values()
    with store.reading() as connection:
        assert {f.name for f in enclosed_with(connection, store.place, visit.uid)} == {
            "left.jpg",
            "also left.jpg",
            "back.csv",
        }


def test_what_cannot_be_enclosed_is_told_all_at_once_and_nothing_is_kept(
    store: Store, visit: KnownVisit, tmp_path: Path
) -> None:
    (tmp_path / "good.csv").write_text("a\n1\n")
    (tmp_path / "empty.csv").write_text("")
    (tmp_path / "strange.xyz").write_text("?")
    files = [tmp_path / n for n in ("good.csv", "empty.csv", "strange.xyz", "missing.jpg", ".")]
    with pytest.raises(BadInput) as bad:
        enclose(store, visit, files)
    assert {p.code for p in bad.value.problems} == {"ST36"}
    assert len(bad.value.problems) == 4
    with store.reading() as connection:
        assert enclosed_with(connection, store.place, visit.uid) == ()
    assert enclose(store, visit, [tmp_path / "strange.xyz"], kind="table")[0].kind == "table"


def test_another_file_of_the_same_name_is_refused(store: Store, visit: KnownVisit, tmp_path: Path) -> None:
    one, other = tmp_path / "left.jpg", tmp_path / "b" / "left.jpg"
    one.write_bytes(picture())
    other.parent.mkdir()
    other.write_bytes(picture(shade=200))
    with pytest.raises(BadInput, match="ST36"):
        enclose(store, visit, [one, other])
    enclose(store, visit, [one])
    with pytest.raises(BadInput, match=r"ST36.*another name"):
        enclose(store, visit, [other])


def test_the_newest_word_stands_and_each_reader_of_a_report_has_a_word_of_its_own(
    store: Store, visit: KnownVisit
) -> None:
    with store.reading() as connection:
        horse = horse_called(connection, "Bramble")

    def say(what: str, given: bool, who: str, day: int, until: date | None = None) -> None:
        agree(store, horse, Agreed(what=what, given=given, who=who, on=date(2026, 4, day), until=until, note=""))

    say("owner agreed", False, "Ines Tallow", 1)
    say("Owner  agreed", True, "Ines Tallow", 3, date(2026, 10, 3))
    say("owner agreed", False, "Ines Tallow", 2)  # told later, said earlier
    say("report may go to", True, "Dr Mossop", 1)
    say("report may go to", False, "the saddle fitter", 1)
    say("report may go to", False, "dr mossop", 5)
    with store.reading() as connection:
        stands = standing(connection)[horse.uid]
        assert stands == standing(connection, horse.uid)[horse.uid]
    assert [(a.what, a.given, a.who) for a in stands] == [
        ("owner agreed", True, "Ines Tallow"), ("report may go to", False, "dr mossop"),
        ("report may go to", False, "the saddle fitter"),
    ]  # fmt: skip
    assert (stands[0].holds(date(2026, 10, 3)), stands[0].holds(date(2026, 10, 4))) == (True, False)


@pytest.mark.parametrize(
    ("what", "who", "until", "said"),
    [("owner agrees", "Ines", None, 'Near: "owner agreed"'), ("owner agreed", " ", None, "a name"),
     ("owner agreed", "Ines", date(2026, 4, 17), "is before")],
)  # fmt: skip
def test_an_agreement_that_cannot_be_one(
    store: Store, visit: KnownVisit, what: str, who: str, until: date | None, said: str
) -> None:
    with store.reading() as connection:
        horse = horse_called(connection, "Bramble")
    with pytest.raises(BadInput, match=f"ST38.*{said}"):
        agree(store, horse, Agreed(what=what, given=True, who=who, on=date(2026, 4, 18), until=until, note=""))


def test_contact_data_are_kept_and_changed_one_by_one(store: Store, visit: KnownVisit) -> None:
    assert not contact_of(store, OWNER).telephone
    keep_contact(store, OWNER, {"telephone": "01632 960 114"})
    keep_contact(store, OWNER, {"mail": "ines@larkhope.example"})
    kept = contact_of(store, "The larkhope  riding group")
    assert (kept.telephone, kept.mail, kept.address) == ("01632 960 114", "ines@larkhope.example", "")
    with pytest.raises(BadInput, match=r'ST37.*Near: "the Larkhope riding group"'):
        keep_contact(store, "the Larkhop ridng group", {"mail": "x"})


def test_erased_contact_data_are_really_gone(store: Store, visit: KnownVisit) -> None:
    words = [f"secret-{n}-telephone-01632" for n in range(30)]
    for word in words:
        keep_contact(store, OWNER, {"telephone": word, "mail": f"{word}@larkhope.example", "address": word * 40})
    if store.place.file is not None:
        assert any(b"-telephone-01632" in data for data in _bytes_of(store).values()), "else this test shows nothing"
    erase_contact(store, OWNER)
    assert contact_of(store, OWNER).telephone == ""
    erase_contact(store, OWNER)  # once more is no mistake
    for name, data in _bytes_of(store).items():
        assert b"-telephone-01632" not in data, name
    with store.reading() as connection:
        assert len(visits(connection)) == 1


def test_while_somebody_reads_the_traces_are_told_of(
    store: Store, visit: KnownVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    if store.place.file is None:
        monkeypatch.setattr(opening, "PATIENCE_S", 1)
        erase_contact(store, OWNER)  # a server gives each reader a moment of its own
        return
    monkeypatch.setattr(opening, "PATIENCE_S", 1)
    keep_contact(store, OWNER, {"telephone": "secret-01632"})
    reader = sqlite3.connect(store.place.file, isolation_level=None)
    reader.execute("BEGIN")
    reader.execute("SELECT * FROM owner_contact").fetchall()
    with pytest.raises(BadInput, match="ST44"):
        erase_contact(store, OWNER)
    reader.close()
    erase_contact(store, OWNER)
    assert not any(b"secret-01632" in data for data in _bytes_of(store).values())


def _bytes_of(store: Store) -> dict[str, bytes]:
    """The file, its log and whatever else lies beside it."""
    if store.place.file is None:
        with store.reading() as connection:
            path = connection.exec_driver_sql(
                "SELECT current_setting('data_directory') || '/' || pg_relation_filepath('owner_contact')"
            ).scalar_one()
        return {path: Path(path).read_bytes()}
    return files_in(store.place.file.parent)
