"""Every command that judges a visit hears the records where they are named.

In: a course in which a remedy was done and changed nothing, and the visit after it. Out: nothing.
Not here: what an entry of the records does to a cause (test_tried).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from tests.records.horses import keep, tell, visit
from tests.store.keeping import fresh

CAUSE = "girth presses, left"
ASKED = (
    ("assess", ()), ("plan", ()), ("why", ("girth line", "--side", "left")), ("why-not", (CAUSE,)),
    ("which-of", (CAUSE, "withers pinch, left")), ("suppose", ("--set", "girth line, left = 2")), ("overturn", ()),
    ("firm", ("--rows", "20")), ("next", ()), ("explain", ()),
)  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Records in which the girth was taken off, and the place is as sore as before; and today's visit, not kept yet."""
    here = tmp_path_factory.mktemp("asked")
    store = fresh(here)
    tell(store, keep(store, visit("2026-04-04", "{left: 5.5, right: 1}")), "done")
    keep(store, visit("2026-04-20", "{left: 5.5, right: 1}"))
    store.close()
    (here / "today.yaml").write_text(visit("2026-05-04", "{left: 5.5, right: 1}"))
    (here / "another.yaml").write_text(visit("2026-05-04", "{left: 5.5, right: 1}", horse="Fennel"))
    return here


def asked(folder: Path, command: str, more: tuple[str, ...], file: str, *words: str) -> Result:
    return CliRunner().invoke(cli, [command, str(folder / file), *more, *words], catch_exceptions=False)


@pytest.mark.parametrize(("command", "more"), ASKED, ids=[command for command, _ in ASKED])
def test_the_records_are_heard(command: str, more: tuple[str, ...], folder: Path) -> None:
    named = ("--store", str(folder / "practice.db"))
    assert asked(folder, command, more, "today.yaml").exit_code == 0
    found = asked(folder, command, more, "today.yaml", *named)
    assert found.exit_code == 0, found.output
    assert "judged by itself" not in found.stderr
    strange = asked(folder, command, more, "another.yaml", *named)
    assert strange.exit_code == 0
    assert 'no horse "Fennel"' in strange.stderr
    assert "judged by itself" in strange.stderr
    missing = asked(folder, command, more, "today.yaml", "--store", str(folder / "none.db"))
    assert missing.exit_code == 2
    assert "ST02" in missing.output


@pytest.mark.parametrize("command", ["why", "which-of", "assess"])
def test_what_the_records_say_stands_in_the_trace(command: str, folder: Path) -> None:
    more = dict(ASKED)[command]
    full = ("--full",) if command == "assess" else ()
    by_itself = asked(folder, command, more, "today.yaml", *full).output
    heard = asked(folder, command, more, "today.yaml", *full, "--store", str(folder / "practice.db")).output
    assert "its remedy changed nothing" in heard
    assert "its remedy changed nothing" not in by_itself
    if command == "assess":
        assert "from the records of earlier visits" in " ".join(heard.split())
        assert "from the records of earlier visits" not in " ".join(by_itself.split())
