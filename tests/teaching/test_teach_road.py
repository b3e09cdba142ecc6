"""The whole road of a class by commands; and that nothing on the apprentices' side holds the answer.

In: the commands through click. Out: failures.
Not here: changed files (test_teach_tampering), the figures (test_class_figures).
"""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from reasoner.rendering.class_schema import Checked, Class, Collected, GivenBack, HandedOut
from reasoner.rendering.handed_in_schema import HandedIn
from reasoner.rendering.pdf import is_ours
from tests.teaching.answers import answer_words
from tests.teaching.class_road import CASE, LINES, WORDS, Road, handed_out, run, worked


@pytest.fixture(scope="module")
def road(tmp_path_factory: pytest.TempPathFactory) -> Road:
    """The road up to the three answers, collected."""
    found = worked(tmp_path_factory.mktemp("road"))
    done = run("teach", "collect", found.room, str(found.away))
    assert done.exit_code == 0, done.output
    assert "3 answers taken; 0 set aside." in done.stdout
    return found


def test_the_class_is_shown_in_words_json_page_and_pdf(road: Road, tmp_path: Path) -> None:
    told = " ".join(run("teach", "show", road.room).stdout.split())
    assert "The teacher's call is routine, that of the rules with everything looked at is none" in told
    assert told.index("Called later than the teacher says (routine): 2 of 3 (Ida Fenn and Tam Orrin)") < told.index(
        "Taken for"
    )
    Class.model_validate_json(run("teach", "show", road.room, "--json").stdout)
    for ending in ("html", "pdf"):
        file = tmp_path / f"class.{ending}"
        assert run("teach", "show", road.room, "--case", "Case 3", "-o", str(file)).exit_code == 0
        assert run("teach", "show", road.room, "-o", str(file)).exit_code == 0  # an earlier page of ours is replaced
    page = (tmp_path / "class.html").read_text()
    for name in LINES:
        assert page.count(name) >= 3
    assert "<script" not in page
    for target in {part.split('"')[0] for part in page.split('href="#')[1:]}:
        assert f'id="{target}"' in page, "every figure leads somewhere"
    assert is_ours((tmp_path / "class.pdf").read_bytes())


def test_nobody_is_put_in_an_order_and_nothing_is_added_up(road: Road) -> None:
    told = run("teach", "show", road.room).stdout
    names = [line.strip() for line in told.splitlines() if line.strip() in LINES]
    assert names == sorted(LINES)
    for word in ("best", "worst", "rank", "points", "failed", "poor", "weak"):
        assert f" {word}" not in told.casefold().replace("0 best, 2 worst", "").replace("0 best", "")


def test_an_answer_is_given_back_with_what_both_say(road: Road, tmp_path: Path) -> None:
    told = run("teach", "give-back", road.room, "--of", "ida  FENN")
    words = " ".join(told.stdout.split())
    for part in ("YOUR TEACHER SAYS", "THE RULES SAY", WORDS, "The girth presses on the left", "Beside the rules"):
        assert part in words
    assert (
        words.index("1. looked at withers")
        < words.index("2. thought: The saddle presses on the withers")
        < words.index("6. ended")
    )
    one = GivenBack.model_validate_json(run("teach", "give-back", road.room, "--of", "Ida Fenn", "--json").stdout)
    assert one.teacher.what_to_see == WORDS
    file = tmp_path / "ida.html"
    assert run("teach", "give-back", road.room, "--of", "Ida Fenn", "-o", str(file)).exit_code == 0
    assert WORDS in file.read_text()


def test_collecting_again_changes_nothing(road: Road) -> None:
    before = {path: path.read_bytes() for path in (Path(road.room) / "answers").iterdir()}
    done = run("teach", "collect", road.room, str(road.away), "--json")
    assert done.exit_code == 0
    became = [one.became for one in Collected.model_validate_json(done.stdout).files]
    assert sorted(became) == ["taken already"] * 3 + ["the case"]
    assert {path: path.read_bytes() for path in (Path(road.room) / "answers").iterdir()} == before
    for name in LINES:
        assert road.answer(name).read_bytes() in before.values(), "kept letter for letter"


def test_a_difference_between_teacher_and_rules_is_told_and_both_are_kept(road: Road) -> None:
    told = run("teach", "check", str(road.home / "case-3.yaml"))
    assert told.exit_code == 0
    assert "You call routine; the rules call nobody." in " ".join(told.stdout.split())
    checked = Checked.model_validate_json(run("teach", "check", str(road.home / "case-3.yaml"), "--json").stdout)
    assert [one.what for one in checked.differs] == ["calls sooner"]
    (case,) = Class.model_validate_json(run("teach", "show", road.room, "--json").stdout).cases
    assert (case.teacher.referral, case.rules.referral) == ("routine", "none")


def hidden_in(value: Any) -> Iterator[bytes]:
    """Every text in some JSON, and what a curious person may make of it: base 64 undone, and unpacked."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from hidden_in(key)
            yield from hidden_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from hidden_in(inner)
    elif isinstance(value, str):
        yield value.encode()
        try:
            plain = base64.b64decode(value, validate=True)
        except (binascii.Error, ValueError):
            return
        yield plain
        for start in (0, 12):
            try:
                yield zlib.decompress(plain[start:])
            except zlib.error:
                continue


def test_nothing_that_apprentices_are_given_or_write_or_see_holds_the_answer(tmp_path: Path) -> None:
    """Before the end and after it, as long as the teacher keeps the marks."""
    road = handed_out(tmp_path)
    file = tmp_path / "lines.txt"
    for lines in (LINES["Ida Fenn"][:2], LINES["Ida Fenn"][3:]):
        file.write_text("\n".join(("looks", *lines)) + "\n")
        for more in ((), ("--json",)):
            done = run("practise", str(road.given), "--name", f"Ida {len(more)}", "--answers", str(file), *more)
            assert done.exit_code == 0
            road.printed += [done.stdout, done.stderr]
    road.printed += [run("assess", str(road.given)).output, run("practise", "--from", str(road.given)).output]
    named = {"withers pinch", "withers_pinch", "shims under the side", "shims_under_the_side"}
    forbidden = {word for word in answer_words() if not any(one in word or word in one for one in named)}
    forbidden |= {WORDS.casefold(), "zinnober", "girth_presses", "girth presses"}
    told = [text.encode() for text in road.printed]
    for path in road.away.iterdir():
        data = path.read_bytes()
        told += [data, *hidden_in(json.loads(data))]
    assert len(told) > 20
    for text in told:
        plain = " ".join(text.decode("utf-8", "replace").casefold().split())
        assert not {word for word in forbidden if word in plain}, plain[:300]


def test_readings_stand_nowhere_as_text(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    visit = (road.home / "case-3-visit.yaml").read_text()
    lines = [line.strip() for line in visit.splitlines() if len(line.strip()) > 12]
    assert len(lines) > 20
    data = road.given.read_bytes()
    for text in (data, *hidden_in(json.loads(data))):
        assert not [line for line in lines if line.encode() in text]
    assert b"soreness" not in data


def test_the_marks_are_shown_only_where_the_teacher_lets_them(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    kept = handed_out(tmp_path / "kept")
    done = kept.works("Tam Orrin", *LINES["Tam Orrin"], more=("--json",))
    answer = HandedIn.model_validate_json(done.stdout)
    assert answer.ended
    assert answer.receipt is not None
    assert answer.session.marks is None
    assert "your teacher opens it" in kept.works("Tam Orrin", "look withers").stdout
    (tmp_path / "shown").mkdir()
    shown = handed_out(tmp_path / "shown", CASE.replace("by the teacher", "at the end"))
    before = HandedIn.model_validate_json(shown.works("Tam Orrin", *LINES["Tam Orrin"][:3], more=("--json",)).stdout)
    assert before.session.marks is None
    done = shown.works("Tam Orrin", *LINES["Tam Orrin"][3:], more=("--json",))
    after = HandedIn.model_validate_json(done.stdout)
    assert after.session.marks is not None
    assert after.session.marks.begins_with
    assert "zinnober" not in done.output


def test_a_forbidden_look_is_offered_to_nobody(tmp_path: Path) -> None:
    """The same session as ever: what something standing takes away is not offered, nor taken from a file written by hand."""
    road = handed_out(tmp_path)
    done = road.works("Tam Orrin", "look withers", more=("--json",))
    offered = [one.look for one in HandedIn.model_validate_json(done.stdout).session.offered]
    assert "withers" not in offered
    assert offered


def test_stopped_and_taken_up_it_comes_to_the_same(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    lines = LINES["Tam Orrin"]
    assert road.works("Tam Orrin", *lines[:2]).exit_code == 0
    assert not json.loads(road.answer("Tam Orrin").read_text())["choices"][-1].get("end")
    assert road.works("Tam Orrin", *lines[2:]).exit_code == 0
    road.works("Tam Whole", *lines)
    assert _choices(road, "Tam Orrin") == _choices(road, "Tam Whole")


def _choices(road: Road, name: str) -> list[dict[str, object]]:
    every = json.loads(road.answer(name).read_text())["choices"]
    return [{key: value for key, value in one.items() if key not in ("at", "link")} for one in every]


def test_at_the_keyboard_every_choice_is_kept_at_once(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    done = run("practise", str(road.given), "--name", "Tam Orrin", typed="look withers\nnonsense\nlook girth line\n")
    assert done.exit_code == 0
    assert '"nonsense" was read' in done.stderr
    looks = [one.get("look") for one in json.loads(road.answer("Tam Orrin").read_text())["choices"]]
    assert looks == ["withers", "girth_line"]


def test_names_go_out_of_a_visit_unless_the_teacher_keeps_them(tmp_path: Path) -> None:
    visit = Path(__file__).parents[2] / "examples" / "bramble.yaml"
    file, room = tmp_path / "case-5.yaml", str(tmp_path / "room")
    assert run("teach", "case", str(visit), "-o", str(file)).exit_code == 0
    for number, keep in enumerate((False, True)):
        if keep:
            text = file.read_text().replace("names: taken out", "names: kept")
            file.write_text(text.replace("case: 'case-5'", "case: 'case-6'"))
        out = tmp_path / f"out-{number}.json"
        done = run("teach", "hand-out", str(file), "--class", room, "-o", str(out), "--json")
        assert HandedOut.model_validate_json(done.stdout).teacher.names_kept is keep
        lines = tmp_path / "lines.txt"
        lines.write_text("seen\n")
        told = run("practise", str(out), "--name", "Tam Orrin", "--answers", str(lines)).stdout
        assert ("Bramble" in told) is keep
        assert b"Bramble" not in out.read_bytes()


def test_two_names_that_a_file_calls_alike_are_two_answers(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    road.works("Åsa Berg", "look withers", "refer none")
    ended = road.works("Sa Berg", "look girth line", "refer routine", "end")
    assert ended.exit_code == 0, ended.output
    said = [json.loads(path.read_text()) for path in sorted(road.away.glob("*.answer.json"))]
    assert [(one["by"], [list(choice)[1] for choice in one["choices"]]) for one in said] == [
        ("Sa Berg", ["look", "refer", "end"]),
        ("Åsa Berg", ["look", "refer"]),
    ]
    again = road.works("åsa  berg", "end")  # her own is taken up, however she writes her name
    assert again.exit_code == 0, again.output
    assert len(list(road.away.glob("*.answer.json"))) == 2
    told = run("teach", "collect", road.room, str(road.away))
    assert told.exit_code == 0, told.output
    assert "2 answers taken" in told.stdout
