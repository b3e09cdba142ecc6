"""Pushes on a floor scale at the page: kept per person beside the records, over a restart; shown with their caution; a table out.

In: a yard with a practitioner and an apprentice. Out: the pages, the table.
Not here: working out (tests/teaching/test_press.py), a browser.
"""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import pytest
from click.testing import CliRunner
from fastapi.testclient import TestClient

from reasoner.cli.press import command
from reasoner.page.doors.kept import folder_of
from reasoner.page.pushes import FILE
from reasoner.teaching.press_log import from_csv
from tests.page.neighbours import PASSWORD, Yard, yard

TAM, ISLA = "Tam Orrin", "Isla Quenby"
#: The words that keep a number on a scale from becoming a number for a horse.
CAUTION = "Never press to a weight on a horse, never on the spine and never on the edge of the loin"


@pytest.fixture
def place(tmp_path: Path) -> Yard:
    found = yard(tmp_path)
    found.doors.people.add(ISLA, "practitioner", horse=None, password=PASSWORD)
    return found


def pushed(someone: TestClient, reading: str, hand: str = "left", aim: str = "20", **more: str) -> int:
    return someone.post("/press", data={"reading": reading, "hand": hand, "aim": aim, **more}).status_code


def test_pushes_are_kept_in_the_order_made_and_shown_with_the_caution(place: Yard) -> None:
    tam = place.let_in(TAM)
    assert CAUTION in tam.get("/press").text
    for reading in ("19", "20.5", "21", "19,5 20", "22", "20", "21.5"):
        assert pushed(tam, reading) == 303
    assert pushed(tam, "25 kg", "right") == 303
    seen = tam.get("/press").text
    assert CAUTION in seen
    assert "It is never a target on a horse" in seen
    assert "8 pushes" in seen
    assert "19, 20.5, 21, 19.5, 20, 22, 20, 21.5 kg" in seen
    assert "drift" in seen
    assert "pp-dot" in seen
    assert "25 kg, right hand" in seen


def test_an_aim_of_many_places_is_found_again(place: Yard) -> None:
    """The push was kept under more places than the page's links have, and the page said that there was none."""
    tam = place.let_in(TAM)
    answer = tam.post("/press", data={"reading": "19", "hand": "left", "aim": "19.1234567"})
    seen = tam.get(answer.headers["location"]).text
    assert "1 at this aim" in seen
    assert "No push" not in seen
    assert tam.get("/press/pushes.csv?aim=19.1235").text == "hand,kg,day\nleft,19,2026-11-28\n"


def test_what_does_not_read_stands_in_the_form_to_be_mended(place: Yard) -> None:
    tam = place.let_in(TAM)
    pushed(tam, "20")
    for reading, aim, told in (("2o 21", "40", "is no reading of a floor scale"), ("500", "40", "up to 300 kg was expected"),
                               ("20", "forty", "That was not kept")):  # fmt: skip
        answer = tam.post("/press", data={"reading": reading, "hand": "right", "aim": aim})
        assert answer.status_code == 422
        assert told in answer.text
        assert f'value="{reading}"' in answer.text
        assert f'value="{aim}"' in answer.text
        assert re.search(r'value="right" checked', answer.text)
    assert "1 at this aim" in tam.get("/press").text, "nothing of it was kept"
    pushed(tam, "40", aim="40")
    answer = tam.post("/press", data={"reading": "2o", "hand": "left", "aim": "20"})
    assert "aiming at 20 kg</h2>" in answer.text, "what stands below is of the aim that was typed"


def test_each_sees_their_own_pushes_only(place: Yard) -> None:
    tam, isla = place.let_in(TAM), place.let_in(ISLA)
    pushed(tam, "19.25")
    pushed(isla, "31.75")
    assert "19.2" in tam.get("/press").text
    assert "31.75" not in tam.get(f"/press?name={ISLA}").text
    assert tam.get(f"/press/pushes.csv?aim=20&name={ISLA}").text == "hand,kg,day\nleft,19.25,2026-11-28\n"
    assert "Whose hand" not in tam.get("/press").text
    assert place.let_in("Ines Tallow").get("/press").status_code == 403


def test_on_the_own_machine_a_name_is_typed(place: Yard) -> None:
    here = place.here()
    token = place.token(here, "/press")
    assert pushed(here, "20", token=token) == 422, "whose hand?"
    assert pushed(here, "20", token=token, name="  Wren   Aldous ") == 303
    assert pushed(here, "21", token=token, name=TAM) == 303
    seen = here.get("/press?name=wren aldous").text
    assert "1 at this aim" in seen
    assert ">Tam Orrin</a>" in seen


def test_the_log_survives_a_restart_and_lies_where_nobody_else_reads(place: Yard, tmp_path: Path) -> None:
    pushed(place.let_in(TAM), "19.5 20")
    folder = folder_of(place.served.store.place)
    assert (folder / FILE).is_file()
    assert folder.stat().st_mode & 0o077 == 0
    place.served.store.close()
    anew = yard_again(tmp_path)
    assert "19.5, 20 kg" in anew.let_in(TAM).get("/press").text
    with anew.served.store.reading() as connection:
        tables = connection.exec_driver_sql("SELECT name FROM sqlite_master").scalars().all()
    assert "push" not in tables, "never in the records, which are never changed and travel"


def yard_again(folder: Path) -> Yard:
    """The same folder, served anew."""
    from dataclasses import replace

    from reasoner.page.app import made
    from reasoner.page.doors.nearby import doors_at
    from tests.page.neighbours import ADDRESS, PORT, Clock
    from tests.page.serving import served_in

    clock = Clock()
    served = replace(served_in(folder), now=clock)
    served = replace(served, doors=(doors := doors_at(served.store.place, clock, ADDRESS, PORT)))
    return Yard(served=served, doors=doors, clock=clock, near=made(replace(served, nearby=True)), own=made(served))


def test_the_table_is_what_the_command_reads(place: Yard, tmp_path: Path) -> None:
    tam = place.let_in(TAM)
    for hand, readings in (("left", "19 20 21 20 19"), ("both", "38 41"), ("right", "22.25")):
        pushed(tam, readings, hand)
    pushed(tam, "99", "both", "100")
    table = tam.get("/press/pushes.csv?aim=20")
    assert table.headers["content-disposition"] == 'attachment; filename="pushes-20kg.csv"'
    assert [p.kg for p in from_csv(table.content, "x")] == [19, 20, 21, 20, 19, 38, 41, 22.25]
    path = tmp_path / "pushes.csv"
    path.write_bytes(table.content)
    told = CliRunner().invoke(command, ["--aim", "20kg", "--log", str(path)])
    assert told.exit_code == 0
    assert "22.25" in told.output
    assert tam.get("/press/pushes.csv?aim=7").status_code == 404


def test_a_push_is_taken_back_by_its_own_hand_alone(place: Yard) -> None:
    tam, isla = place.let_in(TAM), place.let_in(ISLA)
    pushed(tam, "19")
    pushed(tam, "91")
    at = re.search(r'name="at" value="(\d+)"', tam.get("/press").text)
    assert at is not None
    assert isla.post("/press/taken-back", data={"at": at[1]}).status_code == 404
    assert "91" in tam.get("/press/pushes.csv?aim=20").text
    assert tam.post("/press/taken-back", data={"at": at[1], "aim": "20"}).status_code == 303
    assert tam.get("/press/pushes.csv?aim=20").text == "hand,kg,day\nleft,19,2026-11-28\n"


def test_days_and_aims_stand_apart(place: Yard) -> None:
    tam = place.let_in(TAM)
    pushed(tam, "19 19 19 19 19")
    place.clock.on(days=1)
    tam = place.let_in(TAM)
    pushed(tam, "21 21 21 21 21")
    pushed(tam, "60", "both", "60")
    seen = tam.get("/press?aim=20").text
    assert "21, 21, 21, 21, 21 kg" in seen
    assert "19, 19" not in seen
    assert "By session" in tam.get("/press?aim=20&days=all").text
    assert "aiming at 60 kg" in seen


@pytest.mark.parametrize(
    ("reading", "hand", "aim", "says"),
    [
        ("much", "left", "20", "no reading of a floor scale"), ("400", "left", "20", "up to 300 kg was expected"),
        ("0", "left", "20", "a push above 0"), ("20", "left", "as much as I can", "no reading of a floor scale"),
        ("", "left", "20", "This cannot be read: reading"), (" ", "left", "20", "at least one reading"),
        ("19,20,21", "left", "20", "no reading of a floor scale"), ("20", "foot", "20", "This cannot be read: hand"),
    ],
)  # fmt: skip
def test_what_is_no_push_is_refused_in_words(place: Yard, reading: str, hand: str, aim: str, says: str) -> None:
    tam = place.let_in(TAM)
    said = tam.post("/press", data={"reading": reading, "hand": hand, "aim": aim}, headers={"accept": "text/html"})
    assert said.status_code == 422
    assert says in said.text
    assert "Traceback" not in said.text
    assert tam.get("/press/pushes.csv?aim=20").status_code == 404


def test_a_log_that_cannot_be_used_is_said_in_words(place: Yard) -> None:
    tam = place.let_in(TAM)
    pushed(tam, "20")
    (folder_of(place.served.store.place) / FILE).write_bytes(b"not a database, and longer than a header would be " * 40)
    with pytest.raises(sqlite3.DatabaseError):
        sqlite3.connect(folder_of(place.served.store.place) / FILE).execute("SELECT * FROM push")
    said = tam.get("/press", headers={"accept": "text/html"})
    assert said.status_code == 422
    assert "log of pushes cannot be used" in said.text
