"""`reasoner people`: who may come in from nearby; passwords are typed, never words of the command.

In: the commands, with and without mistakes. Out: what they print, what is kept.
Not here: coming in.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import cli
from reasoner.cli.people import PEOPLE
from reasoner.page.doors.kept import Kept
from reasoner.page.doors.people import People
from reasoner.page.served import clock
from reasoner.store.place import place_of
from tests.store.keeping import example, opened_new

SCHEMAS = Path(reasoner.__file__).parent / "rendering" / "schemas"
PASSWORD = "three old wet hens"
TWICE = f"{PASSWORD}\n{PASSWORD}\n"


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with Bramble's visit kept."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REASONER_STORE", "practice.db")
    with opened_new(tmp_path) as store:
        from reasoner.store.saving import save

        save(store, example("bramble"), by="Wren Aldous")
    return tmp_path


def run(*words: str, typed: str = "") -> Result:
    return CliRunner().invoke(cli, ["people", *words], input=typed)


def told(schema: str, *words: str, typed: str = "") -> Any:
    result = CliRunner().invoke(cli, ["people", *words, "--json"], input=typed)
    assert result.exit_code == 0, result.output
    found = json.loads(result.stdout[result.stdout.index("{") :])
    jsonschema.validate(found, json.loads((SCHEMAS / schema).read_text()))
    return found


def test_every_command_says_what_it_does_with_an_example() -> None:
    for name in PEOPLE:
        result = run(name, "--help")
        assert result.exit_code == 0
        assert f"reasoner people {name}" in result.output
        assert "--json" in result.output
        assert "--store" in result.output
        assert "--password" not in result.output, "others on this machine could read it"


def test_people_come_and_go(yard: Path) -> None:
    assert (
        told("people_add.json", "add", "Tam Orrin", "--role", "Apprentice", typed=TWICE)["added"]["by_password"] is True
    )
    added = told("people_add.json", "add", "Ines Tallow", "--role", "owner", "--horse", "bramble", typed="\n\n")[
        "added"
    ]
    assert (added["horse"], added["by_password"]) == ("Bramble", False)
    listed = told("people_list.json", "list")
    assert [one["name"] for one in listed["people"]] == ["Ines Tallow", "Tam Orrin"]
    assert listed["telephones"] == []
    told("people_password.json", "password", "tam orrin", typed="four dry young geese\n" * 2)
    people = People(Kept(place_of("practice.db")), clock)
    assert people.by_password("Tam Orrin", PASSWORD) is None
    assert people.by_password("Tam Orrin", "four dry young geese") is not None
    assert told("people_close.json", "close", "Tam Orrin")["closed"]["name"] == "Tam Orrin"
    assert [one["name"] for one in told("people_list.json", "list")["people"]] == ["Ines Tallow"]
    assert "owner of Bramble, by code" in run("list").output


def test_a_practitioner_alone_needs_nobody(yard: Path) -> None:
    assert "Nobody but you" in run("list").output


def test_what_is_typed_is_not_shown(yard: Path) -> None:
    result = run("add", "Tam Orrin", "--role", "apprentice", typed=TWICE)
    assert result.exit_code == 0
    assert PASSWORD not in result.output


@pytest.mark.parametrize(
    ("words", "typed", "said"),
    [
        (("add", "Bo", "--role", "aprentice"), "", 'PG08.*Near: "apprentice"'),
        (("add", "Bo", "--role", "owner"), "", "PG08.*--horse NAME"),
        (("add", "Bo", "--role", "owner", "--horse", "Brambel"), "", 'ST20.*"Bramble"'),
        (("add", "Bo", "--role", "apprentice", "--horse", "Bramble"), "", "PG08"),
        (("add", "Bo", "--role", "apprentice"), "short\nshort\n", "PG09.*Three or four words"),
        (("close", "Bo"), "", "PG07"),
        (("password", "Bo"), "", "PG07"),
    ],
)
def test_mistakes_are_told_in_words(yard: Path, words: tuple[str, ...], typed: str, said: str) -> None:
    result = run(*words, typed=typed)
    assert result.exit_code == 2
    assert "Traceback" not in result.output
    import re

    assert re.search(said, result.output)
    assert "Nobody but you" in run("list").output


def test_a_place_that_cannot_hold_people_is_told(yard: Path) -> None:
    (yard / "practice.db.access").write_text("a file where a folder belongs")
    result = run("list")
    assert result.exit_code == 2
    assert "PG06" in result.output
