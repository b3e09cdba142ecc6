"""`reasoner practise`: lines from a file, stopped and taken up, wrong input in words, JSON that keeps its shape.

In: the command through click. Out: failures.
Not here: what the choices do (test_session).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.rendering.practise_schema import Practise, Recovered
from reasoner.teaching.session_file import WHAT
from tests.teaching.answers import answer_words, beside_the_cipher

ROOT = Path(__file__).parents[2]


def _run(*words: str, typed: str | None = None) -> Result:
    return CliRunner().invoke(cli, ["practise", *words], input=typed, catch_exceptions=False)


def _lines(folder: Path, *lines: str) -> str:
    file = folder / "lines.txt"
    file.write_text("\n".join(lines) + "\n")
    return str(file)


def test_stopped_and_taken_up(tmp_path: Path) -> None:
    """Two halves through a file come to what one whole comes to, mark for mark."""
    first = ("look trot in hand", "look withers", "think withers pinch, left = 30 %")
    last = ("look girth line", "refer none", "end")
    whole = _run("--seed", "9", "--answers", _lines(tmp_path, *first, *last), "--json")
    session = str(tmp_path / "s.json")
    half = _run(session, "--seed", "9", "--answers", _lines(tmp_path, *first), "--json")
    assert half.exit_code == 0
    assert json.loads(half.stdout)["marks"] is None
    assert json.loads((tmp_path / "s.json").read_text())["what"] == WHAT
    end = _run(session, "--answers", _lines(tmp_path, *last), "--json")
    assert json.loads(end.stdout) == json.loads(whole.stdout)
    Practise.model_validate_json(end.stdout)


def test_an_ended_session_is_shown_again_and_not_counted_twice(tmp_path: Path) -> None:
    session, record = str(tmp_path / "s.json"), tmp_path / "me.json"
    lines = _lines(tmp_path, "look trot in hand", "refer none", "end")
    _run(session, "--seed", "2", "--answers", lines, "--record", str(record))
    once = record.read_text()
    again = _run(session, "--answers", lines, "--record", str(record))
    assert again.exit_code == 0
    assert record.read_text() == once
    assert len(json.loads(once)["sessions"]) == 1


def test_at_the_keyboard_what_is_wrong_is_told_and_it_goes_on(tmp_path: Path) -> None:
    done = _run(str(tmp_path / "s.json"), "--seed", "2", typed="lok withers\nlook withers\nlooks\nstop\n")
    assert done.exit_code == 0
    assert '"lok withers" was read' in done.stderr
    assert "withers: left" in done.stdout
    again = _run(str(tmp_path / "s.json"), "--answers", _lines(tmp_path, "stop"), "--json")
    assert json.loads(again.stdout)["looks"] == ["withers"]


@pytest.mark.parametrize(
    ("line", "code", "near"),
    [
        ("look wither", "QU02", "withers"),
        ("think grith presses, left = 5", "TE50", "girth presses"),
        ("refer promt", "TE50", "prompt"),
    ],
)
def test_a_wrong_line_of_a_file_is_named_with_its_number(tmp_path: Path, line: str, code: str, near: str) -> None:
    done = _run(str(tmp_path / "s.json"), "--seed", "2", "--answers", _lines(tmp_path, "look trot in hand", "", line))
    assert done.exit_code == 2
    assert f"{code} {tmp_path / 'lines.txt'}:3" in done.stderr
    assert near in done.stderr
    assert not (tmp_path / "s.json").exists()  # nothing was written


def test_nobody_s_file_is_written_over(tmp_path: Path) -> None:
    other = tmp_path / "notes.json"
    other.write_text('{"mine": 1}')
    done = _run(str(other), "--answers", _lines(tmp_path, "end"))
    assert done.exit_code == 2
    assert "CL03" in done.stderr
    record = _run("--seed", "1", "--answers", _lines(tmp_path, "end"), "--record", str(other))
    assert record.exit_code == 2
    assert other.read_text() == '{"mine": 1}'


def test_from_an_example_without_its_names(tmp_path: Path) -> None:
    visit = str(ROOT / "examples" / "bramble.yaml")
    session = tmp_path / "s.json"
    done = _run(str(session), "--from", visit, "--answers", _lines(tmp_path, "look saddle comes to", "end"), "--json")
    answer = json.loads(done.stdout)
    assert answer["marks"]["made_from"] is None
    assert answer["marks"]["begins_with"]
    for name in ("Bramble", "Larkhope", "Wren", "bramble.yaml"):
        assert name.casefold() not in done.stdout.casefold()
        assert name.casefold() not in session.read_text().casefold()


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_nothing_printed_or_written_before_the_end_holds_an_answer(tmp_path: Path, seed: int) -> None:
    session = tmp_path / "s.json"
    lines = _lines(tmp_path, "look hind step", "look withers", "look jaw muscle", "look girth line", "looks", "seen")
    words = ["--seed", str(seed), "--answers", lines, "--record", str(tmp_path / "me.json")]
    done = _run(str(session), *words)
    as_json = _run(*words, "--json")
    assert done.exit_code == as_json.exit_code == 0
    forbidden = answer_words()
    assert len(forbidden) > 300
    for text in (done.stdout, done.stderr, as_json.stdout, as_json.stderr, beside_the_cipher(session.read_text())):
        assert not {word for word in forbidden if word in " ".join(text.casefold().split())}
    assert not (tmp_path / "me.json").exists()  # nothing is counted before the end


def test_one_visit_of_a_folder_by_chance(tmp_path: Path) -> None:
    lines = _lines(tmp_path, "look withers")
    told = {_run("--from", str(ROOT / "examples"), "--seed", str(seed), "--answers", lines).stdout for seed in range(4)}
    assert len(told) > 1
    (tmp_path / "empty").mkdir()
    none = _run("--from", str(tmp_path / "empty"), "--answers", lines)
    assert none.exit_code == 2
    assert "TE56" in none.stderr


def test_how_often_causes_are_found_again(monkeypatch: pytest.MonkeyPatch) -> None:
    from reasoner.teaching.making import Maker

    monkeypatch.setattr(Maker, "causes", property(lambda _: ("girth_presses", "saddle_follows_the_hind_limb")))
    told = _run("--recovered", "2", "--json")
    rows = Recovered.model_validate_json(told.stdout).kinds
    assert {(row.key, row.side, row.difficulty) for row in rows} == {
        (key, side, word) for key in ("girth_presses", "saddle_follows_the_hind_limb") for side in ("left", "right")
        for word in ("plain", "usual", "hard")
    }  # fmt: skip
    words = _run("--recovered", "2").stdout
    assert "Not found even where the case is clearest: saddle follows the hind limb." in " ".join(words.split())


def test_a_difficulty_that_is_none() -> None:
    done = _run("--difficulty", "plane", "--seed", "1")
    assert done.exit_code == 2
    assert "TE43" in done.stderr
    assert "plain" in done.stderr


def test_from_a_visit_kept_in_the_records(tmp_path: Path) -> None:
    store = str(tmp_path / "practice.db")
    visit = str(ROOT / "examples" / "bramble.yaml")
    kept = CliRunner().invoke(cli, ["records", "save", visit, "--store", store, "--new-horse"], catch_exceptions=False)
    assert kept.exit_code == 0, kept.output
    session = tmp_path / "s.json"
    done = _run(
        str(session), "--store", store, "--horse", "Bramble", "--answers", _lines(tmp_path, "look withers", "end")
    )
    assert done.exit_code == 0
    assert "withers: left 3" in done.stdout
    for name in ("Bramble", "Larkhope", "Wren"):
        assert name.casefold() not in (done.stdout + session.read_text()).casefold()


def test_records_without_a_visit_hold_no_case(tmp_path: Path) -> None:
    done = _run("--store", str(tmp_path / "none.db"), "--answers", _lines(tmp_path, "end"))
    assert done.exit_code == 2
    assert "none.db" in done.stderr
