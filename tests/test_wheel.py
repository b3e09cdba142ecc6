"""The built wheel carries everything: rules, drawings, templates, schemas; and runs in an empty folder.

In: this checkout. Out: a wheel, unpacked somewhere else and run there.
Not here: the index it may one day be fetched from.
"""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

HOME = Path(__file__).resolve().parent.parent


def test_an_installed_copy_finds_its_rules(tmp_path: Path) -> None:
    built = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path / "dist")],
        cwd=HOME, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert built.returncode == 0, built.stderr
    (wheel,) = (tmp_path / "dist").glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
        packed.extractall(tmp_path / "site")
    for path in (HOME / "rules").rglob("*.yaml"):
        assert f"reasoner/_rules/{path.relative_to(HOME / 'rules').as_posix()}" in names
    for folder in ("drawing", "templates", "schemas"):
        for path in (HOME / "reasoner" / "rendering" / folder).iterdir():
            assert f"reasoner/rendering/{folder}/{path.name}" in names
    for folder in ("static", "templates"):
        for path in (f for f in (HOME / "reasoner" / "page" / folder).rglob("*") if f.is_file()):
            assert f"reasoner/page/{folder}/{path.relative_to(HOME / 'reasoner' / 'page' / folder).as_posix()}" in names
    empty = tmp_path / "empty"
    empty.mkdir()
    (empty / "visit.yaml").write_text((HOME / "examples" / "bramble.yaml").read_text())
    environment = {**os.environ, "PYTHONPATH": str(tmp_path / "site"), "REASONER_CACHE": "off"}
    code = "import reasoner, sys; sys.stderr.write(reasoner.__file__); from reasoner.cli import main; main()"
    for words in (["assess", "visit.yaml"], ["report", "visit.yaml", "-o", "page.html"]):
        done = subprocess.run(
            [sys.executable, "-c", code, *words],
            cwd=empty,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert str(tmp_path / "site") in done.stderr
    assert (empty / "page.html").exists()
