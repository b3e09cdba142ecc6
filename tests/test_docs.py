"""The documents say what is so: their examples run, their excerpts are what the command prints, their files exist.

In: README.md and DEVELOPERS.md. Out: a failure where a document has fallen behind.
Not here: whether they read well.
"""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from reasoner.cli import COMMANDS, cli
from reasoner.problems import CODES

HOME = Path(__file__).resolve().parent.parent
README = (HOME / "README.md").read_text()
DEVELOPERS = (HOME / "DEVELOPERS.md").read_text()


def run(words: list[str]) -> str:
    result = CliRunner().invoke(cli, words, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


#: A minute's work that another test does, with the same words: tests/rulecare/test_trials.py.
RUN_ELSEWHERE = ("reasoner rules test",)


def readme_commands() -> list[str]:
    lines = [line.strip().split("   ")[0] for line in README.splitlines() if line.startswith("    reasoner ")]
    return [line for line in lines if line not in RUN_ELSEWHERE]


JUNIPER = (
    "horse: {name: Juniper}\nvisit: 2026-04-18\nyard: Larkhope\nexamined by: Tam Orrin\nchecked by: Wren Aldous\n"
    "palpation: {loin: {left: 4, right: 1}}\n"
)


@pytest.fixture(scope="session")
def records(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The records that the README speaks of: Bramble, and an apprentice's visit to Juniper."""
    folder = tmp_path_factory.mktemp("records")
    (folder / "juniper.yaml").write_text(JUNIPER)
    place = folder / "practice.db"
    run(
        [
            "records",
            "save",
            str(HOME / "examples" / "bramble.yaml"),
            str(folder / "juniper.yaml"),
            "--store",
            str(place),
        ]
    )
    agreed = ("--what", "report may go to", "--given", "--who", "the veterinarian")
    run(["records", "consent", "Bramble", *agreed, "--store", str(place)])
    return place


@pytest.mark.parametrize("line", readme_commands())
def test_each_command_of_the_readme_runs(
    line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, records: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REASONER_STORE", str(shutil.copy(records, tmp_path / "practice.db")))
    (tmp_path / "examples").symlink_to(HOME / "examples")
    assert run(shlex.split(line)[1:])


def test_the_excerpts_are_what_is_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(HOME)
    checked = re.findall(r"<!-- checked: reasoner (.+?) -->\n((?:    .*\n)+)", README)
    assert checked
    for command, excerpt in checked:
        printed = run(shlex.split(command))
        wanted = "".join(line[4:] + "\n" for line in excerpt.splitlines())
        assert wanted.strip() in printed


def test_every_command_and_file_named_exists() -> None:
    for name in COMMANDS:
        assert f"reasoner {name}" in README
    for document in (README, DEVELOPERS):
        for path in re.findall(r"`((?:rules|tests|examples|reasoner|\.ci)/[\w./-]*)`", document):
            assert (HOME / path).exists(), path


def test_codes_are_unique_and_spoken_for() -> None:
    """Importing every room registers its codes; a code taken twice would have raised. Each has a meaning."""
    import reasoner.bulk.batch
    import reasoner.cli.common
    import reasoner.cli.rules.impact
    import reasoner.inference.strata
    import reasoner.rulebook.loading
    import reasoner.rulecare.check
    import reasoner.rulecare.names
    import reasoner.rulecare.new_page
    import reasoner.visit.reading  # noqa: F401

    assert all(re.fullmatch(r"[A-Z]{2}\d\d", code) and meaning for code, meaning in CODES.items())
    assert {"YM01", "VF01", "RB01", "CL01"} <= set(CODES)
