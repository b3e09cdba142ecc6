"""A teacher's file: read as it is written, everything wrong told at once with its line; and what hurried people do with the desk.

In: files and commands. Out: failures.
Not here: the road when all goes well (test_teach_road).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.consult import consult, judge, load_rulebook
from reasoner.problems import BadInput
from reasoner.rendering.teachers_answer_text import differences_lines
from reasoner.teaching.beside_the_rules import differences, rules_say
from reasoner.teaching.making import Maker
from reasoner.teaching.teachers_answer import TeachersAnswer, answer_from, answer_of_form, written
from tests.teaching.class_road import CASE, LINES, handed_out, run

FULL = TeachersAnswer(
    title="Case 7: it's grey", visit="v.yaml", causes=(("girth_presses", "left"), ("tree_too_narrow", "")), referral="prompt",
    wanted=(("fitter_for_the_girth", ""),), wrong=(("shims_under_the_side", "right"),), words="Look: 'here' first # not there",
    marks=True, keep_names=True,
)  # fmt: skip


def read(text: str) -> TeachersAnswer:
    return answer_from(text.encode(), "case.yaml", load_rulebook().book)


def wrong(text: str) -> list[tuple[str, int, str]]:
    with pytest.raises(BadInput) as bad:
        read(text)
    return [(p.code, p.line, f"{p.sentence} {p.hint}") for p in bad.value.problems]


def test_what_is_written_is_read_again_as_the_same() -> None:
    assert read(written(FULL, ["the rules say: nothing"])) == FULL
    bare = TeachersAnswer(title="Case 8", visit="v.yaml", causes=(), referral="none")
    assert read(written(bare)) == bare


def test_a_list_in_one_line_keeps_its_sides() -> None:
    text = CASE.replace("causes:\n  - girth presses, left", "causes: [girth presses, left, Withers pinch, off]")
    assert read(text).causes == (("girth_presses", "left"), ("withers_pinch", "right"))
    alone = text.replace("[girth presses, left, Withers pinch, off]", "girth presses, left")
    assert read(alone).causes == (("girth_presses", "left"),)


def test_everything_wrong_is_told_at_once_with_its_line_and_the_nearest_word() -> None:
    found = wrong("case: Case 3\nvisit: v.yaml\ncauzes: none\ncauses:\n  - grith presses, left\n  - girth presses\n"
                  "referral: promt\nmarks: perhaps\nsteps wanted: [look agian]\nsteps wrong: {a: b}\n")  # fmt: skip
    assert [(code, line) for code, line, _ in found] == [
        ("TE80", 3), ("TE80", 5), ("TE80", 6), ("TE80", 7), ("TE80", 8), ("TE80", 9), ("TE80", 10),
    ]  # fmt: skip
    told = " ".join(words for _, _, words in found)
    for near in (
        '"causes"',
        '"girth presses"',
        "left or right",
        '"prompt"',
        "by the teacher, at the end",
        '"look again"',
    ):
        assert near in told, near


def test_what_lacks_is_named() -> None:
    assert [(code, words.split(" ")[0]) for code, _, words in wrong("names: kept\n")] == [
        ("TE81", '"case"'), ("TE81", '"causes"'), ("TE81", '"referral"'), ("TE81", '"visit"'),
    ]  # fmt: skip


@pytest.mark.parametrize("title", ["The girth presses", "case 4 girth-presses", "Withers pinch, left"])
def test_a_title_that_tells_the_answer_is_refused(title: str) -> None:
    assert [(code, line) for code, line, _ in wrong(CASE.replace("case: Case 3", f"case: {title}"))] == [("TE82", 1)]


def test_a_step_wanted_and_wrong_is_refused() -> None:
    ((code, line, words),) = wrong(CASE.replace("[shims under the side, right]", "[leave the girth off]"))
    assert (code, line) == ("TE80", 10)
    assert "leave the girth off" in words


def test_every_kind_of_difference_is_found() -> None:
    """A case of which the rules say: girth presses left, nobody called, leave the girth off."""
    ready = load_rulebook()
    whole = judge(Maker(ready.book).case("girth_presses", "left", "plain", 4).visit, ready)
    answer = TeachersAnswer(title="x", visit="v", causes=(("girth_presses", "right"), ("withers_pinch", "left")),
                            referral="prompt", wrong=(("leave_the_girth_off", ""),))  # fmt: skip
    assert {(one.what, one.key[0]) for one in differences(answer, whole)} == {
        ("calls sooner", ""), ("other side", "girth_presses"), ("cause", "withers_pinch"),
        ("in their plan", "leave_the_girth_off"),
    }  # fmt: skip
    nothing = TeachersAnswer(title="x", visit="v", causes=(), referral="none")
    assert [(one.what, one.key) for one in differences(nothing, whole)] == [
        ("cause of the rules", ("girth_presses", "left"))
    ]


def test_a_second_side_that_the_rules_hold_and_the_teacher_does_not_is_told() -> None:
    """The account of juno begins with the withers on both sides."""
    ready = load_rulebook()
    whole = consult(Path(__file__).parents[2] / "examples" / "juno.yaml", ready)
    says = rules_say(whole)
    left, right = ("withers_pinch", "left"), ("withers_pinch", "right")
    assert {left, right} <= {*says.causes}
    kept = tuple(key for key in says.causes if key != right)
    answer = TeachersAnswer(title="x", visit="v", causes=kept, referral=says.referral)
    assert [(one.what, one.key) for one in differences(answer, whole)] == [("cause of the rules", right)]


def test_nothing_is_said_to_agree_that_was_not_compared() -> None:
    """The rules propose steps for juno, the teacher none: that is no difference to tell, and no agreement either."""
    ready = load_rulebook()
    whole = consult(Path(__file__).parents[2] / "examples" / "juno.yaml", ready)
    says = rules_say(whole)
    assert says.steps
    answer = TeachersAnswer(title="x", visit="v", causes=says.causes, referral=says.referral)
    told = " ".join(line.text for line in differences_lines(list(differences(answer, whole)), answer, says))
    assert "Nowhere: call and causes agree" in told
    assert "steps agree" not in told


@pytest.mark.parametrize("none", ["none", "None", "NONE", "[none]", "\n  - none"])
def test_none_is_none_however_it_is_written(none: str) -> None:
    text = CASE.replace("causes:\n  - girth presses, left", f"causes: {none}")
    assert read(text.replace("[shims under the side, right]", none)).causes == ()
    form = {"case": "x", "visit": "v", "causes": none.strip(" \n-[]"), "referral": "none"}
    assert answer_of_form(form, "form", load_rulebook().book).causes == ()


def test_a_key_with_nothing_behind_it_is_said_to_hold_nothing() -> None:
    ((code, line, words),) = wrong(CASE.replace("marks: by the teacher", "marks:"))
    assert (code, line) == ("TE80", 3)
    assert "nothing was read" in words


def test_a_call_later_than_the_rules_and_a_step_that_a_call_stops_are_told() -> None:
    ready = load_rulebook()
    whole = consult(Path(__file__).parents[2] / "examples" / "nettle.yaml", ready)
    assert whole.referral.level in ("prompt", "emergency")
    step = next(key for key, page in ready.book.actions.items() if page.kind == "bodywork" and page.sides == "none")
    found = list(
        differences(TeachersAnswer(title="x", visit="v", causes=(), referral="none", wanted=((step, ""),)), whole)
    )
    assert found[0].what == "calls later"
    assert any(one.what == "stopped" and one.because for one in found)


def test_hurried_the_class_folder_itself_is_given_away(tmp_path: Path) -> None:
    """The handed-out file is refused where it would lie beside the key."""
    road = handed_out(tmp_path)
    for place in ("case-3.json", "handed-out/another.json"):
        file = f"{road.room}/{place}"
        done = run("teach", "hand-out", str(road.home / "case-3.yaml"), "--class", road.room, "-o", file)
        assert done.exit_code == 2
        assert "stays with you" in done.stderr
        assert not Path(file).exists()


@pytest.mark.parametrize("more", [("--side", "left"), ("--seed", "3")])
def test_what_only_a_made_case_has_is_not_passed_over_with_a_visit(tmp_path: Path, more: tuple[str, str]) -> None:
    visit = Path(__file__).parents[2] / "examples" / "bramble.yaml"
    done = run("teach", "case", str(visit), *more, "-o", str(tmp_path / "case.yaml"))
    assert done.exit_code == 2
    assert "--cause" in done.stderr
    assert not list(tmp_path.iterdir())


def test_hurried_the_wrong_file_at_the_wrong_place(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    visit, case = str(road.home / "case-3-visit.yaml"), str(road.home / "case-3.yaml")
    for words, code in (
        (("teach", "check", visit), "TE81"), (("teach", "check", str(road.given)), "TE80"),
        (("teach", "hand-out", case, "--class", road.room, "-o", str(road.given)), "CL03"),
        (("teach", "collect", str(road.away), str(road.given)), "TE90"), (("teach", "show", str(tmp_path / "none")), "TE90"),
        (("teach", "show", road.room, "--case", "Case 4"), "TE91"),
        (("teach", "give-back", road.room, "--of", "Tam"), "TE91"), (("practise", case, "--name", "Tam"), "TE83"),
        (("teach", "show", road.room, "-o", str(tmp_path / "class.doc")), "RE41"),
        (("teach", "hand-out", case, "--class", road.room, "-o", str(tmp_path / "girth-presses.json")), "TE82"),
    ):  # fmt: skip
        done = run(*words)
        assert done.exit_code == 2, words
        assert code in done.stderr, (words, done.stderr)


def test_hurried_no_name_or_one_that_is_none(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    lines = road.home / "lines.txt"
    lines.write_text("end\n")
    for name in ("", "  ", "a" * 200, "\x07"):
        done = run("practise", str(road.given), "--name", name, "--answers", str(lines))
        assert done.exit_code == 2
        assert "TE89" in done.stderr
    assert "TE89" in run("practise", str(road.given), "--name", "!!", "--answers", str(lines)).stderr
    assert [path.name for path in road.away.iterdir()] == ["case-3.json"]


def test_hurried_the_answer_is_named_instead_of_the_case(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    road.works("Tam Orrin", "look withers")
    done = run("practise", str(road.answer("Tam Orrin")), "--name", "Tam Orrin")
    assert done.exit_code == 2
    assert "the case itself was expected" in done.stderr
    told = run("teach", "check", str(road.home / "case-3-visit.yaml")).stderr
    assert "`reasoner teach case` begins one from it." in told
    assert told.count("TE8") == 1


def test_hurried_a_session_of_ones_own_with_a_name_or_a_record(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    assert run("practise", "--name", "Tam", "--seed", "3").exit_code == 2
    done = run("practise", str(road.given), "--name", "Tam", "--record", str(tmp_path / "me.json"))
    assert done.exit_code == 2
    assert "brings everything with it" in done.stderr
    assert not (tmp_path / "me.json").exists()


def test_hurried_the_other_case_of_the_same_name_is_put_in_its_place(tmp_path: Path) -> None:
    """Work on yesterday's copy is not gone on with on today's."""
    road = handed_out(tmp_path)
    road.works("Tam Orrin", *LINES["Tam Orrin"][:2])
    road.given.unlink()
    words = ("teach", "hand-out", str(road.home / "case-3.yaml"), "--class")
    again = run(*words, road.room, "-o", str(road.given))
    assert again.exit_code == 2
    assert "TE92" in again.stderr
    assert not road.given.exists()
    assert run(*words, str(tmp_path / "another-class"), "-o", str(road.given)).exit_code == 0
    done = road.works("Tam Orrin", "end")
    assert done.exit_code == 2
    assert "TE88" in done.stderr


def test_hurried_a_visit_that_is_not_there_and_one_that_does_not_read(tmp_path: Path) -> None:
    road = handed_out(tmp_path)
    file = road.home / "case-3.yaml"
    file.write_text(CASE.replace("case-3-visit.yaml", "case-3-vist.yaml"))
    done = run("teach", "check", str(file))
    assert done.exit_code == 2
    assert "case-3-visit.yaml" in done.stderr, "the nearest file there is"
    (road.home / "case-3-vist.yaml").write_text("horse: {name: Bramble}\nvisit: soon\n")
    assert run("teach", "check", str(file)).exit_code == 2


def test_every_help_shows_an_example() -> None:
    for name in ("case", "check", "hand-out", "collect", "show", "give-back"):
        done = run("teach", name, "--help")
        assert done.exit_code == 0
        assert "Example:" in done.stdout
    assert "no command" in run("teach", "colect").stderr
