"""`reasoner report` and `reasoner progress` write PDFs: one, or all of a visit, whole or not at all, over nothing but their own.

In: a visit of examples/, small stores, the commands by click's runner; one in a process whose Pango cannot be found.
Out: files, JSON and refusals. Not here: what stands on the paper (tests/rendering/test_pdf.py).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli, common
from reasoner.cli.report import READERS
from reasoner.problems import BadInput
from reasoner.rendering.pdf import is_ours
from reasoner.rendering.schema_files import FOLDER
from tests.records.horses import HORSE, kept_course, visit
from tests.rendering.paper import pango
from tests.store.keeping import fresh

__all__ = ["pango"]
pytestmark = pytest.mark.usefixtures("pango")

OTTER = str(Path(__file__).resolve().parents[2] / "examples" / "otter.yaml")


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, words, catch_exceptions=False)


def refused(result: Result, code: str) -> None:
    assert result.exit_code == 2, result.output
    assert code in result.stderr
    assert "nothing was written" in result.stderr


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_ending_decides(tmp_path: Path) -> None:
    for name, begins in (("a.html", b"<!doctype html>"), ("b.pdf", b"%PDF-"), ("c.PDF", b"%PDF-")):
        assert run("report", OTTER, "-o", str(tmp_path / name)).exit_code == 0
        assert (tmp_path / name).read_bytes().lstrip().startswith(begins)


@pytest.mark.parametrize("name", ["otter.docx", "otter", "otter.pdf.txt"])
def test_another_ending_is_refused_with_both_named(tmp_path: Path, name: str) -> None:
    result = run("report", OTTER, "-o", str(tmp_path / name))
    refused(result, "RE41")
    assert ".html or .pdf" in result.stderr
    assert not held(tmp_path)


def test_those_of_every_reader_by_one_command(tmp_path: Path) -> None:
    told = json.loads(run("report", OTTER, "--all", str(tmp_path), "--pdf", "--json").output)
    jsonschema.validate(told, json.loads((FOLDER / "written.json").read_text()))
    assert told["readers"] == list(READERS)
    assert told["written"] == [str(tmp_path / f"otter-{reader}.pdf") for reader in READERS]
    found = held(tmp_path)
    assert sorted(found) == sorted(f"otter-{reader}.pdf" for reader in READERS)
    assert all(is_ours(content) for content in found.values())
    assert len(set(found.values())) == len(READERS)
    run("report", OTTER, "--for", "vet", "-o", str(tmp_path / "vet.pdf"))
    assert (tmp_path / "vet.pdf").read_bytes() == found["otter-vet.pdf"]
    assert run("report", OTTER, "--all", str(tmp_path)).exit_code == 0
    assert (tmp_path / "otter-farrier.html").exists()


def test_an_earlier_one_is_replaced_and_nothing_else(tmp_path: Path) -> None:
    page = tmp_path / "page.pdf"
    run("report", OTTER, "-o", str(page))
    draft = page.read_bytes()
    assert run("report", OTTER, "-o", str(page), "--approved-by", "Wren Aldous").exit_code == 0
    assert page.read_bytes() != draft
    remarked = draft + b"startxref\n0\n%%EOF\n"
    for other in (b"%PDF-1.4 a letter\n%%EOF\n", b"", remarked):
        page.write_bytes(other)
        refused(run("report", OTTER, "-o", str(page)), "CL03")
        assert page.read_bytes() == other
    page.unlink()
    os.mkfifo(page)
    refused(run("report", OTTER, "-o", str(page)), "CL03")


def test_all_of_them_or_none(tmp_path: Path) -> None:
    """One file in the way of the last reader, and none of the others is written."""
    (tmp_path / "otter-farrier.pdf").write_bytes(b"mine")
    refused(run("report", OTTER, "--all", str(tmp_path), "--pdf"), "CL03")
    assert held(tmp_path) == {"otter-farrier.pdf": b"mine"}
    refused(run("report", OTTER, "--all", str(tmp_path / "nowhere"), "--pdf"), "CL04")


@pytest.mark.parametrize("fails_at", [0, 1, 2])
def test_what_was_there_is_put_back_where_one_cannot_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails_at: int
) -> None:
    files = [tmp_path / name for name in ("a", "b", "c")]
    files[0].write_bytes(b"mark: old")
    real, calls = os.replace, iter(range(100))

    def failing(one: str, other: str) -> None:
        if next(calls) == fails_at:
            raise OSError(28, "No space left on device")
        real(one, other)

    monkeypatch.setattr(os, "replace", failing)
    with pytest.raises(BadInput, match="no space left") as bad:
        common.write_all_whole([(path, b"mark: new", "mark") for path in files])
    assert bad.value.problems[0].file == str(files[fails_at])
    assert held(tmp_path) == {"a": b"mark: old"}


def test_what_does_not_go_together_is_refused(tmp_path: Path) -> None:
    page = str(tmp_path / "page.html")
    refused(run("report", OTTER), "RE43")
    refused(run("report", OTTER, "-o", page, "--all", str(tmp_path)), "RE43")
    refused(run("report", OTTER, "-o", page, "--pdf"), "RE43")
    refused(run("report", OTTER, "--all", str(tmp_path), "--for", "vet"), "RE43")
    refused(run("report", OTTER, "-o", page, "--paper", "Letter"), "RE42")
    refused(run("report", OTTER, "--all", str(tmp_path), "--paper", "A4"), "RE42")
    assert not held(tmp_path)


def test_the_paper_is_a_choice(tmp_path: Path) -> None:
    for paper in ("A4", "letter"):
        assert run("report", OTTER, "-o", str(tmp_path / f"{paper}.pdf"), "--paper", paper).exit_code == 0
    run("report", OTTER, "-o", str(tmp_path / "plain.pdf"))
    found = held(tmp_path)
    assert found["plain.pdf"] == found["A4.pdf"] != found["letter.pdf"]


def test_a_progress_page_as_pdf(tmp_path: Path) -> None:
    kept_course(
        fresh(tmp_path), [visit("2026-04-04", "{left: 6, right: 1}"), visit("2026-04-20", "{left: 2, right: 1}")]
    )
    store, page = str(tmp_path / "practice.db"), tmp_path / "page.pdf"
    picture = tmp_path / "page.svg"
    told = json.loads(run("progress", HORSE, "-o", str(page), "--store", store, "--json").output)
    assert told["written"] == [str(page)]
    assert is_ours(page.read_bytes())
    assert run("progress", HORSE, "-o", str(page), "--store", store).exit_code == 0
    refused(run("progress", HORSE, "-o", str(tmp_path / "page.doc"), "--store", store), "RE41")
    page.write_bytes(b"mine")
    refused(run("progress", HORSE, "-o", str(page), "--picture", str(picture), "--store", store), "CL03")
    assert page.read_bytes() == b"mine"
    assert not picture.exists()


@pytest.mark.parametrize("missing", ["pango", "library"])
def test_what_is_missing_is_named_in_one_line(tmp_path: Path, missing: str) -> None:
    """A process in which no shared library opens, or in which WeasyPrint is not installed."""
    hidden = {
        "pango": "import cffi\ndef no(self, *_): raise OSError('cannot load library')\ncffi.FFI.dlopen = no\n",
        "library": "import sys\nsys.modules['weasyprint'] = None\n",
    }[missing]
    script = hidden + "from reasoner.cli import main\nmain()\n"
    words = ["report", OTTER, "--all", str(tmp_path), "--pdf"]
    done = subprocess.run(
        [sys.executable, "-c", script, *words], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 2
    assert done.stdout == ""
    told, count = done.stderr.splitlines()
    assert told.startswith("RE40")
    assert ("libpango" if missing == "pango" else "pip install weasyprint") in told
    assert "nothing was written" in count
    assert not held(tmp_path)


def test_no_other_command_pays_for_it() -> None:
    script = (
        "import sys\nfrom reasoner.cli import cli\n"
        "try: cli(['assess', sys.argv[1]])\nexcept SystemExit: pass\n"
        "print([name for name in sys.modules if name.startswith(('weasyprint', 'cffi'))])"
    )
    done = subprocess.run([sys.executable, "-c", script, OTTER], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
