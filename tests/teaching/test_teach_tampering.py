"""Changed files: noticed when they are begun, when they are collected, or when they are opened; told in words, and nothing lost.

In: files of a class, changed by hand and by somebody who works the sums out anew. Out: failures.
Not here: what is hidden (test_teach_road).
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest

from reasoner.consult import load_rulebook
from reasoner.problems import BadInput, Problem
from reasoner.rendering.class_schema import Class, Collected
from reasoner.teaching.beside_the_teacher import steps_of
from reasoner.teaching.class_folder import class_in
from reasoner.teaching.handed_in import session_of, with_choices, work_from, work_text
from reasoner.teaching.handing_out import file_text, handed_out_from, opened_with
from reasoner.teaching.locking import NotOpened, key_from, locked, new_key, opened
from reasoner.teaching.making import Maker
from reasoner.teaching.session import Session, begun
from tests.teaching.class_road import CASE, LINES, Road, handed_out, run, worked


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class with its three answers, not collected."""
    folder = tmp_path_factory.mktemp("once")
    worked(folder)
    return folder


@pytest.fixture
def road(once: Path, tmp_path: Path) -> Road:
    """A copy of it for one test."""
    shutil.copytree(once, tmp_path / "road")
    return Road(home=tmp_path / "road" / "teacher", away=tmp_path / "road" / "apprentices")


def change(path: Path, how: Callable[[dict[str, Any]], object]) -> None:
    said = json.loads(path.read_text())
    how(said)
    path.write_text(json.dumps(said, indent=1))


def became(road: Road, *names: str) -> dict[str, tuple[str, str]]:
    files = [str(road.answer(name)) for name in names] or [str(road.away)]
    done = run("teach", "collect", road.room, *files, "--json")
    found = Collected.model_validate_json(done.stdout).files
    aside = any(one.became in ("unfinished", "another case", "not taken") for one in found)
    assert done.exit_code == (3 if aside else 0)
    return {Path(one.file).name: (one.became, one.why) for one in found}


@pytest.mark.parametrize(
    "how",
    [
        lambda said: said.update(marks=True), lambda said: said.update(case="Another"), lambda said: said.update(rules="0" * 12),
        lambda said: said.update(readings=said["readings"][:-8] + "AAAAAAA="),
        lambda said: said.update(locked=said["locked"][4:]),
        lambda said: said.update(seal="0" * 64), lambda said: said.pop("random"), lambda said: said.update(note="hello"),
    ],
)  # fmt: skip
def test_a_changed_case_is_not_begun(road: Road, how: Callable[[dict[str, Any]], object]) -> None:
    change(road.given, how)
    done = road.works("Tam Other", *LINES["Tam Orrin"])
    assert done.exit_code == 2
    assert "TE84" in done.stderr
    assert "Ask your teacher for the file again." in done.stderr
    assert not road.answer("Tam Other").exists()


def test_a_case_changed_and_sealed_anew_is_noticed_by_the_teacher(road: Road) -> None:
    one = handed_out_from(road.given.read_bytes(), "case")
    forged = replace(one, marks=True)
    road.given.write_text(file_text(forged))
    done = road.works("Sly Penn", *LINES["Tam Orrin"])
    assert done.exit_code == 0, "the file alone cannot tell"
    kind, why = became(road, "Sly Penn")["case-3.sly-penn.answer.json"]
    assert kind == "another case"
    assert "another copy" in why
    with pytest.raises(BadInput) as bad:
        opened_with(forged, class_in(Path(road.room)).key, "case")
    assert [p.code for p in bad.value.problems] == ["TE85"]


@pytest.mark.parametrize(
    "how",
    [
        lambda said: said.update(by="Somebody Else"), lambda said: said.update(begun="2026-01-01T00:00:00+00:00"),
        lambda said: said["choices"][0].update(look="withers"), lambda said: said["choices"].pop(1),
        lambda said: said["choices"].insert(0, said["choices"].pop(1)), lambda said: said["choices"][3].update(refer="prompt"),
        lambda said: said["choices"][2]["think"][0].update(percent=99.0), lambda said: said["choices"][-1].pop("link"),
        lambda said: said.update(more=1), lambda said: said["choices"].append("end"),
    ],
)  # fmt: skip
def test_a_changed_answer_is_not_taken_and_stays_where_it_lies(
    road: Road, how: Callable[[dict[str, Any]], object]
) -> None:
    file = road.answer("Tam Orrin")
    change(file, how)
    data = file.read_bytes()
    kind, why = became(road, "Tam Orrin")[file.name]
    assert kind == "not taken"
    assert "changed after it was written" in why
    assert file.read_bytes() == data
    assert not list((Path(road.room) / "answers").iterdir())


def test_the_chain_worked_out_anew_by_somebody_else(once: Path) -> None:
    """The links by the standard library alone, as the opening of handed_in says; and what a receipt is for."""
    said = json.loads((once / "apprentices" / "case-3.tam-orrin.answer.json").read_text())

    def plain(some: Any) -> bytes:
        return json.dumps(some, sort_keys=True, separators=(",", ":")).encode()

    head = {key: value for key, value in said.items() if key != "choices"}
    link = hashlib.sha256(b"reasoner answer link 1\0" + b"" + b"\0" + plain(head)).hexdigest()
    for entry in said["choices"]:
        own = {key: value for key, value in entry.items() if key != "link"}
        link = hashlib.sha256(b"reasoner answer link 1\0" + link.encode() + b"\0" + plain(own)).hexdigest()
        assert entry["link"] == link
    work = work_from((once / "apprentices" / "case-3.tam-orrin.answer.json").read_bytes(), "tam")
    assert work.receipt.replace(" ", "") == link[:16]
    forged = replace(work, by="Tam Orrin ", choices=())
    assert with_choices(forged, session_with(), session_with(ended=True), AT).receipt != work.receipt


AT = "2026-11-29T00:00:00+00:00"


def relinked(answer: dict[str, Any]) -> bytes:
    """An answer with every link worked out anew, as somebody could who knows how."""

    def linked(before: str, own: dict[str, Any]) -> str:
        plain = json.dumps(own, sort_keys=True, separators=(",", ":")).encode()
        return hashlib.sha256(b"reasoner answer link 1\0" + before.encode() + b"\0" + plain).hexdigest()

    choices, link = answer.pop("choices"), linked("", answer)
    for choice in choices:
        choice.pop("link", None)
        choice["link"] = link = linked(link, choice)
    return json.dumps({**answer, "choices": choices}).encode()


@pytest.mark.parametrize(
    "how",
    [
        lambda said: said.update({"by": "\ud800"}), lambda said: said.update({"by": "\x1b[2J"}),
        lambda said: said.update({"by": ""}), lambda said: said.update({"by": "x" * 81}),
        lambda said: said.update({"case": "\x1b[2J"}), lambda said: said.update({"rules": "\x1b[2J"}),
        lambda said: said["choices"][0].update({"at": "\x1b[2J"}),
        lambda said: said["choices"][0].update({"refer": "tomorrow"}),
        lambda said: said["choices"][-1].update({"think": []}),
    ],
)  # fmt: skip
def test_an_answer_of_somebodys_own_making_does_not_stop_the_class(
    road: Road, how: Callable[[dict[str, Any]], object]
) -> None:
    """Its links fit, and what it says could be shown to nobody, or would be read in two ways: it stays where it lies."""
    place = road.answer("Tam Orrin")
    said = json.loads(place.read_text())
    assert relinked(json.loads(place.read_text())) == json.dumps(said).encode(), (
        "the test's own way to link is the program's"
    )
    how(said)
    place.write_bytes(relinked(said))
    done = run("teach", "collect", road.room, str(road.away))
    assert done.exit_code == 3
    assert "1 set aside" in done.output
    assert "\x1b" not in done.output
    shown = Class.model_validate_json(run("teach", "show", road.room, "--json").stdout)
    assert [one.by for one in shown.cases[0].answers] == ["Ida Fenn", "Perdita Holme"]


def session_with(looks: tuple[str, ...] = (), *, referral: str = "", ended: bool = False) -> Session:
    """A session of some case; which does not matter to the links."""
    made = Maker(load_rulebook().book).case("girth_presses", "left", "plain", 4)
    return replace(begun(made), looks=looks, referral=referral, ended=ended)


def test_unfinished_twice_other_case_other_version_and_no_answer_are_told_apart(road: Road, tmp_path: Path) -> None:
    road.works("Una Tarn", "look withers")
    (tmp_path / "two").mkdir()
    other = handed_out(tmp_path / "two")
    other.works("Olla Reed", *LINES["Tam Orrin"])
    shutil.copy(other.answer("Olla Reed"), road.away)
    shutil.copy(road.answer("Ida Fenn"), road.away / "copy.json")
    change(road.answer("Perdita Holme"), lambda said: said.update(schema_version="9"))
    (road.away / "notes.json").write_text("{}")
    (road.away / "cut.json").write_bytes(road.answer("Tam Orrin").read_bytes()[:-40])
    found = became(road)
    assert {name: kind for name, (kind, _) in found.items()} == {
        "case-3.json": "the case", "case-3.ida-fenn.answer.json": "taken", "copy.json": "taken already",
        "case-3.olla-reed.answer.json": "another case", "case-3.perdita-holme.answer.json": "not taken",
        "case-3.tam-orrin.answer.json": "taken", "case-3.una-tarn.answer.json": "unfinished", "cut.json": "not taken",
        "notes.json": "not taken",
    }  # fmt: skip
    assert "version 9 was read" in found["case-3.perdita-holme.answer.json"][1]
    assert "Una Tarn has not ended it yet" in found["case-3.una-tarn.answer.json"][1]
    road.works("Una Tarn", "refer none", "end")
    assert became(road)["case-3.una-tarn.answer.json"][0] == "taken"


def test_a_second_answer_is_kept_and_the_first_counts(road: Road) -> None:
    became(road)
    road.answer("Ida Fenn").unlink()
    road.works("ida fenn", *LINES["Tam Orrin"])
    assert became(road)["case-3.ida-fenn.answer.json"][0] == "taken beside"
    (case,) = Class.model_validate_json(run("teach", "show", road.room, "--json").stdout).cases
    assert [one.by for one in case.answers] == ["Ida Fenn", "Perdita Holme", "Tam Orrin"]
    assert len(case.not_counted) == 1
    assert "another answer" in run("teach", "show", road.room).stdout


def test_a_look_that_was_not_open_is_no_choice(road: Road) -> None:
    """Somebody who writes the links anew still cannot look at what was not offered."""
    work = work_from(road.answer("Tam Orrin").read_bytes(), "tam")
    looked = session_with(("no_such_look",), referral="none", ended=True)
    forged = with_choices(replace(work, choices=()), session_with(), looked, AT)
    road.answer("Tam Orrin").write_text(work_text(forged))
    kind, why = became(road, "Tam Orrin")["case-3.tam-orrin.answer.json"]
    assert kind == "not taken"
    assert "no look that was open then" in why


def test_a_changed_file_of_the_class_itself_is_told(road: Road) -> None:
    became(road)
    (answer, *_) = sorted((Path(road.room) / "answers").iterdir())
    change(answer, lambda said: said["choices"][0].update(look="loin"))
    done = run("teach", "show", road.room)
    assert done.exit_code == 2
    assert "TE87" in done.stderr


def test_marks_kept_in_the_class_are_worked_out_anew_where_they_do_not_read(road: Road) -> None:
    became(road)
    before = run("teach", "show", road.room, "--json").stdout
    for number, file in enumerate(sorted((Path(road.room) / "marks").iterdir())):
        if number:
            file.write_text("{" if number == 1 else '{"of": 1}')
        else:
            file.unlink()
    assert run("teach", "show", road.room, "--json").stdout == before


def test_an_answer_whose_case_was_taken_away_is_kept_and_told(road: Road) -> None:
    became(road)
    (road.home / "case-4.yaml").write_text(CASE.replace("Case 3", "Case 4"))
    words = (
        "teach",
        "hand-out",
        str(road.home / "case-4.yaml"),
        "--class",
        road.room,
        "-o",
        str(road.away / "case-4.json"),
    )
    assert run(*words).exit_code == 0
    (Path(road.room) / "handed-out" / "case-3.json").unlink()
    done = run("teach", "show", road.room)
    assert done.stderr.count("no longer in") == 3
    assert "Nobody has handed in an answer yet." in done.stdout


def test_the_key_stays_with_the_teacher(road: Road) -> None:
    room = Path(road.room)
    assert (room / "key").stat().st_mode & 0o777 == 0o600
    assert room.stat().st_mode & 0o777 == 0o700
    key = class_in(room).key
    for path in (*road.away.iterdir(), *(room / "handed-out").iterdir()):
        assert key.hex() not in path.read_text()
    (room / "key").unlink()
    done = run("teach", "show", road.room)
    assert done.exit_code == 2
    again = run(
        "teach", "hand-out", str(road.home / "case-3.yaml"), "--class", road.room, "-o", str(road.away / "n.json")
    )
    assert again.exit_code == 2
    assert "lost its key" in again.stderr
    (room / "key").write_text("00" * 31)
    assert "no key of a class" in run("teach", "show", road.room).stderr


def test_a_lock_opens_with_its_key_and_what_it_is_bound_to_and_with_nothing_else() -> None:
    key = new_key()
    text = locked(b"words", key, b"head")
    assert opened(text, key, b"head") == b"words"
    assert locked(b"words", key, b"head") != text, "no two locks are alike"
    for other in ((text, new_key(), b"head"), (text, key, b"heaD"), (text[:-4] + "AAA=", key, b"head"), ("", key, b"head"),
                  ("no base 64!", key, b"head")):  # fmt: skip
        with pytest.raises(NotOpened):
            opened(*other)
    assert key_from(b"1") != key_from(b"2")


@pytest.mark.parametrize("kind", ["case", "answer"])
def test_no_single_letter_can_be_another_unnoticed(once: Path, kind: str) -> None:
    """Whatever letter of a file is another: it is refused, or it says the very same."""
    file = once / "apprentices" / ("case-3.json" if kind == "case" else "case-3.ida-fenn.answer.json")
    data = file.read_bytes()

    def read(some: bytes) -> object:
        return handed_out_from(some, "f") if kind == "case" else work_from(some, "f")

    whole, chance, refused, codes = read(data), Random(8), 0, set[str]()
    for _ in range(400):
        at = chance.randrange(len(data))
        changed = (
            data[:at] + bytes([chance.choice([b for b in b'aZ07 ",:{}[]\\\xc3' if b != data[at]])]) + data[at + 1 :]
        )
        try:
            assert read(changed) == whole, changed[max(at - 20, 0) : at + 20]
        except BadInput as bad:
            refused += 1
            codes |= {problem.code for problem in bad.problems}
    assert refused > 350
    assert codes <= {"TE83", "TE84", "TE86", "TE87"}


def other_rules(folder: Path) -> tuple[str, ...]:
    """Options for rules that differ in one weight."""
    folder.mkdir()
    (folder / "changes.yaml").write_text(
        "- {rule: withers_pinch/sore_on_this_side, switched: off, because: a layer to try with}\n"
    )
    return "--rules", "shipped", "--rules", str(folder)


def test_other_rules_on_either_side_are_told(road: Road, tmp_path: Path) -> None:
    rules = other_rules(tmp_path / "layer")
    done = road.works("Una Tarn", "look girth line", "end", more=rules)
    assert "handed out with rulebook" in done.stderr
    (one,) = Collected.model_validate_json(
        run("teach", "collect", road.room, str(road.answer("Una Tarn")), "--json").stdout
    ).files
    assert one.became == "taken"
    assert "is marked by" in one.notes[0]
    again = Class.model_validate_json(run("teach", "show", road.room, "--json", *rules).stdout)
    assert len(again.cases[0].answers) == 1


def test_an_answer_that_these_rules_cannot_read_is_told_and_nothing_falls_over(
    road: Road, monkeypatch: pytest.MonkeyPatch
) -> None:
    became(road)
    (road.home / "my-class" / "marks" / f"{work_from(road.answer('Ida Fenn').read_bytes(), 'f').last}.json").unlink()

    def gone(*_: object) -> None:
        raise BadInput([Problem("f", 0, "TE86", "choice 1 cannot be made with these rules.")])

    monkeypatch.setattr("reasoner.teaching.class_marks.session_of", gone)
    (case,) = Class.model_validate_json(run("teach", "show", road.room, "--json").stdout).cases
    assert [one.by for one in case.answers] == ["Perdita Holme", "Tam Orrin"]
    assert [one.by for one in case.not_read] == ["Ida Fenn"]
    assert "not counted: choice 1" in " ".join(run("teach", "show", road.room).stdout.split())


def test_a_visit_with_files_beside_it_goes_without_names_or_not_at_all(tmp_path: Path) -> None:
    visit = Path(__file__).parents[2] / "examples" / "larch.yaml"
    file, room = tmp_path / "case-6.yaml", str(tmp_path / "room")
    assert run("teach", "case", str(visit), "-o", str(file)).exit_code == 0
    assert run("teach", "hand-out", str(file), "--class", room, "-o", str(tmp_path / "one.json")).exit_code == 0
    file.write_text(file.read_text().replace("names: taken out", "names: kept"))
    done = run("teach", "hand-out", str(file), "--class", room, "-o", str(tmp_path / "two.json"))
    assert done.exit_code == 2
    assert "a file beside it" in done.stderr


def test_a_step_taken_back_is_a_choice_too(once: Path) -> None:
    """It stays in the order of choices, and the step counts no more."""
    work = replace(work_from((once / "apprentices" / "case-3.tam-orrin.answer.json").read_bytes(), "f"), choices=())
    nothing, one, other = (replace(session_with(), steps=steps) for steps in ((), (STEP,), (("look_again", ""),)))
    for before, after in ((nothing, one), (one, nothing), (nothing, other)):
        work = with_choices(work, before, after, AT)
    assert [next(iter(set(entry) & {"step", "drop"})) for entry in work.choices] == ["step", "drop", "step"]
    assert steps_of(work) == (("look_again", ""),)
    again = work_from(work_text(work).encode(), "f")
    ready = load_rulebook()
    assert session_of(again, session_with().case, ready, "f").steps == (("look_again", ""),)


STEP = ("fitter_for_the_girth", "")
