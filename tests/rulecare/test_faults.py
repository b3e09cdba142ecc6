"""Every mistake a rule page can hold has its own file, the words its message must hold, and a valid twin beside it.

In: tests/faults/rules/, each page laid over the small rulebook in its folder `base`. Out: one test a file.
Not here: mistakes of a whole folder, of the scales and of a practice's layer (tests/rules_room).
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from reasoner.problems import CODES
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulecare.check import Report, check

FOLDER = Path(__file__).parent.parent / "faults" / "rules"
FAULTS = sorted(path for path in FOLDER.glob("*.yaml") if not path.name.endswith(".good.yaml"))


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small rulebook: its own words and pages, the shipped scales and small words.

    The table of checks is left out: it names entries of the shipped vocabulary.
    """
    folder = tmp_path_factory.mktemp("base")
    shutil.copytree(FOLDER / "base", folder, dirs_exist_ok=True)
    left_out = shutil.ignore_patterns("checking.yaml")
    shutil.copytree(shipped_rules() / "scales", folder / "scales", ignore=left_out)
    shutil.copy(shipped_rules() / "vocabulary" / "words.yaml", folder / "vocabulary" / "words.yaml")
    return folder


def checked(path: Path, base: Path, layer: Path) -> tuple[Report, Path]:
    """The report with a page laid over the base, and where the page was put."""
    found = re.search(r"^# page: (\S+)$", path.read_text("utf-8"), re.MULTILINE)
    assert found is not None, f"{path.name} does not say which page it is"
    page = layer / found[1]
    page.parent.mkdir()
    shutil.copy(path, page)
    return check([base, layer]), page


def expected(path: Path) -> tuple[str, list[str]]:
    """The code and the words of the leading remark; words in quotation marks stay together."""
    found = re.fullmatch(r"# expect: (RB\d\d) (.+)", path.read_text("utf-8").splitlines()[0])
    assert found is not None, f"{path.name} does not say what to expect"
    return found[1], [word.strip('"') for word in re.findall(r'"[^"]*"|\S+', found[2])]


def test_the_base_is_clean(base: Path) -> None:
    report = check([base])
    assert [str(p) for p in report.problems] == []
    assert report.complete


@pytest.mark.parametrize("path", FAULTS, ids=lambda path: path.stem)
def test_the_message_names_the_mistake(path: Path, base: Path, tmp_path: Path) -> None:
    report, page = checked(path, base, tmp_path)
    code, words = expected(path)
    assert [p.code for p in report.problems] == [code], [str(p) for p in report.problems]
    said = report.problems[0]
    missing = [word for word in words if word not in str(said)]
    assert not missing, f"{missing} not in: {said}"
    assert said.file == str(page)
    assert said.line >= 1


@pytest.mark.parametrize("path", FAULTS, ids=lambda path: path.stem)
def test_the_twin_beside_it_is_clean(path: Path, base: Path, tmp_path: Path) -> None:
    report, _ = checked(path.with_suffix(".good.yaml"), base, tmp_path)
    assert [str(p) for p in report.problems] == []


def test_every_check_has_its_file() -> None:
    """The codes of the checks; those of reading itself are shown one by one in tests/rules_room as well."""
    told = {expected(path)[0] for path in FAULTS}
    checks = {code for code in CODES if re.fullmatch(r"RB(3[01]|4\d|5\d)", code)}
    assert checks - told == set()


def test_every_twin_has_its_fault() -> None:
    twins = {path.name.removesuffix(".good.yaml") for path in FOLDER.glob("*.good.yaml")}
    assert twins == {path.stem for path in FAULTS}
