"""`reasoner records ...`: words, JSON that fits its schema, exit codes, and mistakes that a hurried person can act on.

In: the commands, from another folder than the project's. Out: what they print and leave behind.
Not here: what the store does (tests/store).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

import reasoner
from reasoner.cli import cli
from reasoner.cli.records import RECORDS
from reasoner.store.backup import copy_beside
from reasoner.store.opening import open_store
from reasoner.store.place import place_of
from tests.store.pictures import picture

HOME = Path(__file__).resolve().parents[2]
SCHEMAS = Path(reasoner.__file__).parent / "rendering" / "schemas"


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a kept visit, its correction and a photograph; the place of the records is told by the environment."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REASONER_STORE", "practice.db")
    text = (HOME / "examples" / "bramble.yaml").read_text()
    (tmp_path / "bramble.yaml").write_text(text)
    (tmp_path / "again.yaml").write_text(text + "\n# the yard's name was looked up\n")
    (tmp_path / "left.jpg").write_bytes(picture())
    assert run("save", "bramble.yaml", "--by", "Tam Orrin").exit_code == 0
    return tmp_path


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["records", *words], catch_exceptions=False)


def words_of(*words: str, code: int = 0) -> str:
    """What is printed, on one line however it was wrapped."""
    result = run(*words)
    assert result.exit_code == code, result.output
    return " ".join(result.output.split())


def told(schema: str, *words: str, code: int = 0) -> dict[str, Any]:
    result = run(*words, "--json")
    assert result.exit_code == code, result.output
    found: dict[str, Any] = json.loads(result.output)
    jsonschema.validate(found, json.loads((SCHEMAS / schema).read_text()))
    return found


def test_every_command_says_what_it_does_with_an_example() -> None:
    for name in RECORDS:
        result = run(name, "--help")
        assert result.exit_code == 0
        assert "Example:" in result.output
        assert f"reasoner records {name}" in result.output
        assert "--json" in result.output
        assert "--store" in result.output


def test_json_fits_its_schema(yard: Path) -> None:
    saved = told("records_save.json", "save", "bramble.yaml")
    assert saved["saved"][0]["new"] is False
    why = ("--by", "Wren Aldous", "--why", "a slip")
    assert told("records_save.json", "correct", "again.yaml", *why)["saved"][0]["number"] == 2
    assert told("records_enclose.json", "enclose", "Bramble", "left.jpg")["enclosed"][0]["new"] is True
    agreed = told("records_consent.json", "consent", "bramble", "--what", "owner agreed", "--given", "--who", "Ines Tallow",
                  "--on", "2026-04-18", "--until", "2026-04-19")  # fmt: skip
    assert agreed["horse"]["agreed"][0] == {
        "what": "owner agreed", "given": True, "who": "Ines Tallow", "on": "2026-04-18", "until": "2026-04-19", "note": None,
        "holds": False, "another_owner_since": None,
    }  # fmt: skip
    owner = "the Larkhope riding group"
    assert (
        told("records_contact.json", "contact", owner, "--mail", "ines@larkhope.example")["mail"]
        == "ines@larkhope.example"
    )
    assert told("records_list.json", "list")["horses"][0]["agreed"] == agreed["horse"]["agreed"]
    assert told("records_list_horse.json", "list", "Bramble")["visits"][0]["number"] == 2
    shown = told("records_show.json", "show", "Bramble")
    assert shown["shown"] == 2
    assert shown["enclosed"][0]["name"] == "left.jpg"
    assert shown["agreed"] == agreed["horse"]["agreed"]
    assert told("records_export.json", "export", "out", "--format", "parquet")["tables"]["version"] == 2
    assert told("records_import.json", "import", "out", "--store", "new.db")["tables"]["version"] == 2
    (yard / "practice.db.practice").mkdir()
    made = told("records_backup.json", "backup", "b")
    assert (made["enclosed"], made["not_in_it"]) == (1, ["practice.db.practice"])
    assert told("records_restore.json", "restore", "b", "--store", "restored.db")["checked"] == 2
    for store in ("practice.db", "new.db", "restored.db"):
        checked = told("records_check.json", "check", "--store", store)
        assert checked["whole"] is True
        assert {"what": "versions read again", "count": 2} in checked["looked_at"]
    assert told("records_upgrade.json", "upgrade")["copy"] is None, "they are up to date already"
    older = open_store(place_of("practice.db"))
    assert copy_beside(older) == Path("practice.db.before-upgrade-1"), "the copy that an upgrade would have left"
    older.close()
    gone = told("records_contact.json", "contact", owner, "--erase")
    assert (gone["mail"], gone["copies_to_take_away"]) == (None, ["practice.db.before-upgrade-1"])
    assert b"ines@larkhope.example" not in (yard / "practice.db").read_bytes()
    assert b"ines@larkhope.example" in (yard / "practice.db.before-upgrade-1").read_bytes()


def test_words_are_words(yard: Path) -> None:
    run("enclose", "Bramble", "left.jpg")
    run(
        "consent",
        "Bramble",
        "--what",
        "report may go to",
        "--refused",
        "--who",
        "the saddle fitter",
        "--on",
        "2026-04-18",
    )
    run("consent", "Bramble", "--what", "owner agreed", "--given", "--who", "Ines Tallow", "--on", "2026-04-18",
        "--until", "2026-04-19")  # fmt: skip
    page = words_of("show", "Bramble")
    assert "left.jpg (photo, other, " in page
    assert "no report may go to the saddle fitter, said on 18 April 2026" in page
    assert "until 19 April 2026, which is over: ask again" in page
    assert "the owner's agreement is over" in words_of("list")
    assert "no report may go to the saddle fitter" in words_of("list", "Bramble")
    assert "veterinarian aware" in words_of("consent", "Bramble").partition("NOTHING WAS SAID OF")[2]
    Path("practice.db.files").joinpath(os.listdir("practice.db.files")[0]).unlink()
    assert "NOT THERE" in words_of("show", "Bramble")
    page = words_of("check", code=2)
    assert "1 thing is not as it was kept" in page
    assert 'the enclosed file "left.jpg" is missing' in page
    damaged = told("records_check.json", "check", code=2)
    assert [p["code"] for p in damaged["problems"]] == ["ST41"]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("export", "."), "ST30", "not written over"),
        (("export", "nowhere/out"), "ST31", "cannot be written"),
        (("import", "."), "ST32", "manifest.json"),
        (("import", "bramble.yaml"), "ST32", "no export is read here"),
        (("backup", "bramble.yaml"), "ST30", "not written over"),
        (("restore", "bramble.yaml", "--store", "new.db"), "ST34", "no whole backup"),
        (("restore", "missing", "--store", "new.db"), "ST34", "no such file"),
        (("check", "--store", "none.db"), "ST02", "no records here yet"),
        (("check", "--store", "bramble.yaml"), "ST05", "damaged or holds no records"),
        (("enclose", "Bramble", "missing.jpg"), "ST36", "no such file"),
        (("enclose", "Brambel", "left.jpg"), "ST20", "Bramble"),
        (("enclose", "Bramble", "left.jpg", "--caption", "Healthy horse"), "RE56", "quiet to the hand today"),
        (("enclose", "Bramble", "left.jpg", "--caption", "badly fitted saddle"), "RE56", "the saddle presses here"),
        (("enclose", "Bramble", "left.jpg", "--on", "2026-04-19"), "ST22", "2026-04-18"),
        (("contact", "Ines"), "ST37", "no owner"),
        (("contact", "the Larkhope riding group", "--erase", "--mail", "x"), "ST45", "at once"),
        (("consent", "Bramble", "--given"), "ST38", "what was agreed"),
        (("consent", "Bramble", "--what", "owner agreed", "--who", "Ines"), "ST38", "--given or --refused"),
        (("consent", "Bramble", "--what", "owner agred", "--given", "--who", "Ines"), "ST38", "owner agreed"),
        (("consent", "Bramble", "--what", "owner agreed", "--given"), "ST38", "a name"),
    ],
    ids=lambda x: " ".join(x) if isinstance(x, tuple) else None,
)
def test_mistakes_are_told_in_words_and_as_json(yard: Path, words: tuple[str, ...], code: str, said: str) -> None:
    before = sorted(os.listdir(yard))
    result = run(*words)
    assert result.exit_code == 2
    assert code in result.stderr
    assert said in result.stderr
    assert "Traceback" not in result.output
    problems = told("problems.json", *words, code=2)["problems"]
    assert code in {p["code"] for p in problems}
    left = {name for name in os.listdir(yard) if not name.endswith(("-wal", "-shm"))}
    assert left == set(before), "nothing was left behind"


def test_from_any_folder_and_with_an_honest_exit_code(tmp_path: Path) -> None:
    """The program itself, as a process: what was kept is in the one file when it ends."""
    environment = {
        **os.environ,
        "PYTHONPATH": str(HOME),
        "REASONER_STORE": str(tmp_path / "deep" / "er" / "practice.db"),
    }
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()

    def command(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "reasoner", "records", *words], capture_output=True, text=True, check=False,
            cwd=elsewhere, env=environment,
        )  # fmt: skip

    # A process goes by this machine's own day, which may be before any of the examples'.
    assert command("save", str(HOME / "examples" / "bramble.yaml"), "--ahead").returncode == 0
    assert os.listdir(tmp_path / "deep" / "er") == ["practice.db"], "no log is left beside it"
    assert command("export", "out").returncode == 0
    assert command("check").returncode == 0
    (elsewhere / "out" / "tables" / "touch.csv").write_text("")
    done = command("import", "out", "--store", "new.db")
    assert (done.returncode, done.stdout) == (2, "")
    assert "touch.csv" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (elsewhere / "new.db").exists()


def test_a_caption_is_mended_and_a_wrong_photograph_left_out(yard: Path) -> None:
    assert 'caption "left"' in words_of("enclose", "Bramble", "left.jpg", "--caption", "left")
    mended = words_of("enclose", "Bramble", "left.jpg", "--caption", "the right side")
    assert mended.startswith("left-2.jpg: kept as a photo")
    assert 'caption "the right side"' in mended
    out = words_of("enclose", "Bramble", "left.jpg", "--shows", "left out of reports")
    assert "it stands there as: left out of reports" in out
    assert "described otherwise since" in words_of("show", "Bramble")
    assert "everything is as it was kept" in words_of("check")
