"""A new page: it passes the check as it is, its examples hold, and nothing that exists is taken or written over.

In: every kind of page. Out: the file, judged by the check, by its own examples, and by the command.
Not here: what a finished page holds (tests/rules).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.problems import BadInput
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulecare.check import check
from reasoner.rulecare.example_check import Case
from reasoner.rulecare.new_page import KINDS, new_page
from reasoner.rules_cache import compiled
from tests.rules import page_examples

SHIPPED = shipped_rules()


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["rules", "new", *words], catch_exceptions=False)


#: One kind of each skeleton, and one more where `kind:` is filled in.
FEW = ("cause", "mechanism", "concern", "action", "look", "tack", "riding", "circumstance", "source")


@pytest.fixture(scope="module")
def mine(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A layer with a new page of each kind."""
    folder = tmp_path_factory.mktemp("mine")
    for kind in FEW:
        assert run(kind, f"a_made_up_{kind}", "--into", str(folder)).exit_code == 0
    return folder


def test_skeletons_pass_the_check(mine: Path) -> None:
    report = check([SHIPPED, mine])
    assert [str(p) for p in report.problems] == []
    assert report.sketches == tuple(sorted(map(str, mine.rglob("*.yaml"))))


def test_their_examples_hold_also_in_the_mirror(mine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ready = compiled(load_rulebook([SHIPPED, mine]))
    monkeypatch.setattr(page_examples, "shipped", lambda: ready)
    found = [page for page in page_examples.pages(ready.book) if page.id.startswith("a_made_up")]
    assert len(found) == len(FEW) - 1
    for page in found:
        assert page.examples
        for example in page.examples:
            for mirror in (False, True):
                case = Case(page, example, mirror)
                assert page_examples.complaints(case) == [], case.name


@pytest.mark.parametrize("kind", ["cause", "concern", "action", "circumstance"])
def test_a_skeleton_that_is_called_agreed_no_longer_passes(kind: str, tmp_path: Path) -> None:
    """What is still open may stand on a sketch and nowhere else."""
    run(kind, "a_made_up_page", "--into", str(tmp_path))
    (page,) = tmp_path.rglob("*.yaml")
    page.write_text(page.read_text().replace("status: sketch", "status: in trial"))
    assert {"RB50"} <= {p.code for p in check([SHIPPED, tmp_path]).problems if p.severity == "error"}


@pytest.mark.parametrize("kind", FEW)
def test_every_unwritten_line_is_named_or_a_remark_tells_of_it(kind: str) -> None:
    assert KINDS[kind][0] in ("conclusion", kind, "action")
    text = new_page(kind, "a_made_up_page").text
    assert text.startswith("# yaml-language-server: $schema=")
    assert "@" not in text
    assert "To be written" in text


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        ("withers_pinch", "the id of a page"),
        ("baxter_2020", "the id of a page"),
        ("withers", "a word of the vocabulary"),
        ("saddle_front", "a word of the vocabulary"),
        ("Rug Rubs", 'Write "rug_rubs"'),
        ("../escape", "small letters"),
        ("9lives", "begins with a letter"),
    ],
)
def test_an_id_that_is_taken_or_is_none_is_refused(wanted: str, says: str) -> None:
    with pytest.raises(BadInput) as bad:
        new_page("cause", wanted)
    assert [p.code for p in bad.value.problems] == ["RB60"]
    assert says in str(bad.value)


def test_a_retired_id_is_never_used_again(tmp_path: Path) -> None:
    run("cause", "rug_rubs", "--into", str(tmp_path))
    page = tmp_path / "causes" / "rug_rubs.yaml"
    page.write_text(page.read_text().replace("status: sketch", "status: retired"))
    result = run("pattern", "rug_rubs", "--into", str(tmp_path))
    assert result.exit_code == 2
    assert "never used again" in result.stderr


def test_nothing_is_written_over_and_the_name_must_be_the_id(tmp_path: Path) -> None:
    page = tmp_path / "rug_rubs.yaml"
    assert run("cause", "rug_rubs", "-o", str(page)).exit_code == 0
    page.write_text("mine")
    assert run("cause", "rug_rubs", "-o", str(page)).exit_code == 2
    assert page.read_text() == "mine"
    other = run("cause", "rug_rubs", "-o", str(tmp_path / "other.yaml"))
    assert other.exit_code == 2
    assert "rug_rubs.yaml" in other.stderr
    nowhere = run("cause", "rug_rubs", "--into", str(tmp_path / "nowhere"))
    assert nowhere.exit_code == 2
    assert "CL04" in nowhere.stderr


def test_a_kind_that_is_none_is_answered_with_its_neighbour(tmp_path: Path) -> None:
    result = run("cuase", "rug_rubs", "--into", str(tmp_path))
    assert result.exit_code == 2
    assert 'Near: "cause"' in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_it_says_where_to_write_it_or_is_told_so(tmp_path: Path) -> None:
    assert "-o FILE" in run("cause", "rug_rubs").output
    told = json.loads(run("cause", "rug_rubs", "--into", str(tmp_path), "--json").output)
    assert told == {"schema_version": "1", "written": [str(tmp_path / "causes" / "rug_rubs.yaml")]}
