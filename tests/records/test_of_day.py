"""Several visits of one day: which of them a file is taken for, said alike by every command.

In: two visits of one day in a store, and files. Out: nothing. Not here: what the visits before say (test_tried).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from tests.records.horses import visit
from tests.records.test_asked_with_records import ASKED
from tests.store.keeping import fresh

FIRST, SECOND = visit("2026-05-04", "{left: 5.5, right: 1}"), visit("2026-05-04", "{left: 2, right: 1}")
EARLIER = visit("2026-04-04", "{left: 5.5, right: 1}")
COMMANDS = (*ASKED, ("report", ("-o", "page.html")))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    fresh(tmp_path).close()
    for name, text in (("earlier", EARLIER), ("first", FIRST), ("second", SECOND)):
        (tmp_path / f"{name}.yaml").write_text(text)
    (tmp_path / "other.yaml").write_text(SECOND + "# corrected\n")
    save("earlier.yaml")
    save("first.yaml")
    return tmp_path


def save(name: str, *words: str) -> None:
    result = run("records", "save", name, "--store", "practice.db", *words)
    assert result.exit_code == 0, result.output


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def asked(command: str, file: str, more: tuple[str, ...], *words: str) -> Result:
    return run(command, file, *more, "--store", "practice.db", *words)


@pytest.mark.parametrize(("command", "more"), COMMANDS, ids=[command for command, _ in COMMANDS])
def test_every_command_says_the_same_of_which_visit_it_takes(command: str, more: tuple[str, ...], folder: Path) -> None:
    assert "note: " not in asked(command, "first.yaml", more).stderr, "there is nothing to choose"
    told = asked(command, "other.yaml", more).stderr
    assert "has other words and is taken for the same visit" in told
    assert "--part 2" in told
    save("second.yaml", "--part", "2")
    told = " ".join(asked(command, "other.yaml", more).stderr.split())
    assert "2 visits to" in told
    assert "taken for the second, the last of that day. Otherwise: --part 1, or --part 3" in told
    assert "is the first of them, in the same words" in asked(command, "first.yaml", more).stderr
    assert "taken for the first visit" in asked(command, "other.yaml", more, "--part", "1").stderr
    far = asked(command, "other.yaml", more, "--part", "4")
    assert (far.exit_code, "RE60" in far.stderr, "1 to 3" in far.stderr) == (2, True, True)
    alone = run(command, "other.yaml", *more, "--part", "2")
    assert (alone.exit_code, "RE61" in alone.stderr) == (2, True)


def test_json_names_it_and_prints_nothing_else(folder: Path) -> None:
    save("second.yaml", "--part", "2")
    for file, words, part in (("other", (), 2), ("first", (), 1), ("second", (), 2), ("other", ("--part", "3"), 3)):
        data = json.loads(asked("assess", f"{file}.yaml", (), "--json", *words).output)
        assert (data["visit_of_the_day"]["part"], data["visit_of_the_day"]["kept"]) == (part, 2)
        assert data["visit_of_the_day"]["says"]
    assert json.loads(run("assess", "first.yaml", "--json").output)["visit_of_the_day"] is None


def test_a_later_part_hears_the_earlier_one_and_none_hears_itself(folder: Path) -> None:
    """Of the first visit of the day, the page of progress begins with the visit before; of the second, with the first."""
    save("second.yaml", "--part", "2")
    for file, seen in (("first", "4 April 2026"), ("second", "4 May 2026")):
        assert asked("report", f"{file}.yaml", ("-o", f"{file}.html")).exit_code == 0
        page = (folder / f"{file}.html").read_text()
        since = page[page.index("Since the last visit") :]
        assert seen in since[: since.index("</section>")], file


@pytest.mark.parametrize("part", ["0", "10", "second"])
def test_a_part_that_is_none(folder: Path, part: str) -> None:
    assert asked("plan", "first.yaml", (), "--part", part).exit_code == 2
