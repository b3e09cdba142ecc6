"""One horse under two ways of writing, and one that was sold: who it is, whose it is, and what was agreed for it.

In: words on a command line over a store. Out: what is told, and what waits.
Not here: capitals and names a slip away (tests/store/test_names.py), whose word counts (tests/records/test_may_go.py).
"""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.rendering.schema_files import FOLDER
from reasoner.store.place import place_of

VISIT = (
    "horse: {{name: {name}{born}}}\nvisit: {day}\nyard: Larkhope\nexamined by: {hands}\n{more}"
    "palpation: {{girth line: {{left: 5, right: 1}}, loin: {{left: 4, right: 1}}}}\n"
)
HOME = Path(__file__).resolve().parents[2]
BY = ("--by", "Wren Aldous")


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REASONER_STORE", "practice.db")


def file(
    day: str = "2026-04-18", *, name: str = "Bramble", born: str = "2017", hands: str = "Wren Aldous", owner: str = ""
) -> str:
    written = f", born: {born}" if born else ""
    text = VISIT.format(name=name, born=written, day=day, hands=hands, more=f"owner: {owner}\n" if owner else "")
    Path("visit.yaml").write_text(text, encoding="utf-8")
    return "visit.yaml"


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def said(*words: str, code: int = 0) -> str:
    result = run(*words)
    assert result.exit_code == code, result.output
    return " ".join(result.output.split())


def answered(command: str, *words: str) -> dict[str, object]:
    data: dict[str, object] = json.loads(said(*words, "--json"))
    jsonschema.validate(data, json.loads((FOLDER / f"{command}.json").read_text()))
    return data


def test_the_year_and_the_day_of_the_passport_are_one_horse() -> None:
    said("records", "save", file())
    said("records", "save", file("2026-05-02", born="2017-05-03"))
    assert "2 visits" in said("records", "list", "Bramble")
    said("records", "save", file("2026-05-09", born="2018-05-03"))
    assert '"Bramble 2017" or "Bramble 2018-05-03"' in said("records", "list", "Bramble", code=2)
    assert "1 visit" in said("records", "list", "Bramble 2018")


def test_two_of_one_year_are_told_apart_by_the_month_and_never_guessed() -> None:
    said("records", "save", file(born="2017-04"))
    said("records", "save", file(born="2017-05"))
    told = said("records", "save", file("2026-05-02"), code=2)
    assert "ST11" in told
    assert "the month and day too" in told
    said("records", "save", file("2026-05-02", born="2017-05-03"))
    assert "2 visits" in said("records", "list", "Bramble 2017-05")


def test_an_accent_written_in_two_ways_is_one_name() -> None:
    composed = unicodedata.normalize("NFC", "Zoë")
    said("records", "save", file(name=composed))
    said("records", "save", file("2026-05-02", name=unicodedata.normalize("NFD", composed)))
    assert "2 visits" in said("records", "list", composed)
    assert "2 visits" in said("records", "list", unicodedata.normalize("NFD", composed))


def report(*words: str, code: int = 0) -> str:
    Path("page.html").unlink(missing_ok=True)
    told = said("report", file(owner="Ines Tallow"), "--for", "vet", "-o", "page.html", *words, code=code)
    assert Path("page.html").exists() == (code == 0)
    return told


def test_what_one_owner_agreed_is_not_the_next_owners_word() -> None:
    said("records", "save", file(owner="Ines Tallow"))
    consent = ("records", "consent", "Bramble", "--given", "--what")
    said(*consent, "report may go to", "--who", "vet", "--on", "2026-04-18")
    said(*consent, "owner agreed", "--who", "Ines Tallow", "--on", "2026-04-18")
    said(*consent, "veterinary practice", "--who", "Dr Mossop", "--on", "2026-04-18")
    report()
    sold = ("records", "horse", "Bramble", *BY, "--since", "2026-05-01")
    said(*sold, "--owner", "ines  tallow")
    report()
    told = said(*sold, "--owner", "Ida Fenn", "--why", "sold")
    assert "to be asked again: report may go to, given, vet, said on 18 April 2026" in told
    assert "veterinary practice" not in told
    assert "another owner's since 1 May 2026" in report(code=2)
    horse = answered("records_consent", "records", "consent", "Bramble")["horse"]
    assert isinstance(horse, dict)
    assert {one["what"]: (one["holds"], one["another_owner_since"]) for one in horse["agreed"]} == {
        "owner agreed": (False, "2026-05-01"),
        "report may go to": (False, "2026-05-01"),
        "veterinary practice": (True, None),
    }
    assert "the owner's agreement is over" in said("records", "list")
    assert "another owner's since 1 May 2026; ask again" in said("records", "consent", "Bramble")
    said(*consent, "report may go to", "--who", "vet", "--on", "2026-05-01")
    report()


def test_a_refusal_outlives_a_sale_and_a_sale_said_by_mistake_is_undone() -> None:
    said("records", "save", file(owner="Ines Tallow"))
    consent = ("records", "consent", "Bramble", "--what", "report may go to", "--who", "vet")
    said(*consent, "--given", "--on", "2026-04-18")
    sold = ("records", "horse", "Bramble", *BY, "--since", "2026-05-01", "--owner")
    said(*sold, "Ida Fenn")
    report(code=2)
    said(*sold, "Ines Tallow")
    report()
    said(*consent, "--refused", "--on", "2026-04-19")
    said(*sold, "Ida Fenn")
    assert "no report may go to the vet" in report(code=2).casefold().replace("vet,", "the vet,").replace(
        "the the", "the"
    )


def test_another_owner_in_a_file_is_told_and_the_first_one_is_taken_up() -> None:
    said("records", "save", file())
    said("records", "save", file("2026-04-25", owner="Ines Tallow"))
    assert "owner: Ines Tallow" in said("records", "horse", "Bramble")
    said("records", "contact", "Ines Tallow", "--telephone", "01632 960 114")
    kept = answered("records_save", "records", "save", file("2026-05-02", owner="Ida Fenn"))["saved"]
    assert isinstance(kept, list)
    (note,) = kept[0]["notes"]
    assert "is kept as Ines Tallow, and this file says Ida Fenn" in note
    assert '--owner "Ida Fenn" --since 2026-05-02' in note
    assert "note:" in said("records", "save", file("2026-05-09", owner="Ida Fenn"))
    assert "note: the owner" not in said("records", "save", file("2026-04-19", owner="Ida Fenn")), "an earlier owner"


def test_a_horse_that_moved_with_a_new_owner_is_the_new_owners() -> None:
    said("records", "save", file(owner="Ines Tallow"))
    Path("visit.yaml").write_text(
        Path(file("2026-05-02", owner="Ida Fenn")).read_text().replace("Larkhope", "Netherfold")
    )
    told = said("records", "save", "visit.yaml", "--same-horse")
    assert "was kept as Ines Tallow and is Ida Fenn from that day on" in told
    assert "go on with the first" not in told
    assert "owner: Ida Fenn" in said("records", "horse", "Bramble")
    said("again", "Bramble", "-o", "next.yaml")
    assert "\nyard: Netherfold\nowner: Ida Fenn\n" in Path("next.yaml").read_text()


def test_a_second_spelling_of_a_hand_is_told() -> None:
    said("records", "save", file())
    assert '"Wren Aldus" (examined by) is kept here for the first time, beside "Wren Aldous"' in said(
        "records", "save", file("2026-05-02", hands="Wren Aldus")
    )
    assert "note:" not in said("records", "save", file("2026-05-03", hands="WREN ALDOUS"))
    assert "note:" not in said("records", "save", file("2026-05-04", hands="Tam Orrin"))


@pytest.mark.parametrize("born", ["last year", "2017-13", "17"])
def test_a_year_of_birth_that_is_none_moves_nothing(born: str) -> None:
    said("records", "save", file())
    move = ("records", "move", "Bramble", "--to", "Otter", "--new-horse", *BY, "--why", "it was Otter's", "--born")
    assert "ST52 --born" in said(*move, born, code=2)
    said(*move, "2017-05")


def test_a_home_inside_quotation_marks_is_the_home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert place_of("~/My records/practice.db").file == tmp_path / "My records" / "practice.db"
    assert place_of("~practice.db").file == Path("~practice.db"), "a name of its own"


def test_the_same_said_twice_is_kept_once_and_a_contradiction_is_told_with_what_stood_before() -> None:
    said("records", "save", str(HOME / "examples" / "bramble.yaml"))
    answer = answered("records_show", "records", "show", "Bramble")["answer"]
    assert isinstance(answer, dict)
    step = answer["plan"]["steps"][0]
    side = ("--side", step["side"]) if step["side"] else ()
    told = ("records", "told", "Bramble", "--step", step["key"], *side, "--by", "the owner", "--told-on", "2026-05-01")
    assert "Kept." in said(*told, "--answer", "done")
    assert answered("records_told", *told, "--answer", "done")["new"] is False
    assert "Kept already" in said(*told, "--answer", "done")
    assert "Before: done, told by the owner on 1 May 2026" in said(
        *told, "--answer", "not done", "--because", "no time"
    )
    again = answered("records_told", *told, "--answer", "done")
    assert again["new"] is True
    assert isinstance(again["before"], dict)
    assert again["before"]["because"] == "no time"
    earlier = answered("records_show", "records", "show", "Bramble")["said_earlier"]
    assert isinstance(earlier, dict)
    assert [one["answer"] for one in earlier["told"]] == ["not", "done"]
    key = next(one["key"] for one in answer["conclusions"] if one["band"] not in ("none", "against"))
    judge = ("records", "judge", "Bramble", key, "--disagree", "--because", "straight on grass", *BY)
    assert "Kept beside" in said(*judge)
    assert answered("records_judged", *judge)["new"] is False
    consent = ("records", "consent", "Bramble", "--what", "owner agreed", "--given", "--who", "Ines Tallow")
    for _ in range(2):
        data = answered("records_consent", *consent, "--on", "2026-04-18")
    assert data["said_earlier"] == []


def test_what_a_page_shows_in_words_is_understood_in_those_words() -> None:
    said("records", "save", str(HOME / "examples" / "bramble.yaml"))
    step = "Put a soft shim under the right bar of the saddle and none under the left."
    assert step in said("records", "show", "Bramble")
    told = ("records", "told", "Bramble", "--answer", "done", "--by", "the owner", "--step")
    assert "shims under the side, right: done" in said(*told, step)
    assert "RE20" in said(*told, "Put a soft shim under the left bar", code=2)
    judge = ("records", "judge", "Bramble", "--disagree", "--because", "straight on grass", *BY)
    assert "disagrees about saddle to one side, right" in said(*judge, "the saddle comes to the right and rests there")
    assert "RE21" in said(*judge, "the saddle comes to the right and rests there", "--side", "left", code=2)


def test_a_visit_moved_back_stands_under_its_own_name() -> None:
    for name in ("Bramble", "Hazel"):
        said("records", "save", file(name=name))
    why = (*BY, "--why", "kept under the wrong horse")
    assert "under the name Bramble; " in said("records", "move", "Bramble", "--to", "Hazel", *why)
    assert 'withdrawn: `reasoner records list "Bramble"` tells' in said("progress", "Bramble", code=2)
    back = said("records", "move", "Hazel", "--part", "2", "--to", "Bramble", *why)
    assert "under the name Bramble; " in back
    assert "with the right name" not in back


def test_two_files_of_one_day_keep_neither() -> None:
    for name, loin in (("one.yaml", 4), ("two.yaml", 5)):
        Path(name).write_text(Path(file()).read_text().replace("loin: {left: 4", f"loin: {{left: {loin}"))
    told = said("records", "save", "one.yaml", "two.yaml", code=2)
    assert "ST10 two.yaml" in told
    assert "kept (visit" not in told
    said("records", "save", "one.yaml")
    Path("other.yaml").write_text(Path(file(name="Hazel")).read_text())
    told = said("records", "save", "other.yaml", "two.yaml", code=2)
    assert "ST10 two.yaml" in told
    assert "ST20" in said("records", "list", "Hazel", code=2), "nothing was written, as it says"
    said("records", "save", "one.yaml", "other.yaml", "one.yaml")
    said("records", "save", "two.yaml", "--part", "2")


def test_a_correction_is_of_the_horse_that_the_file_says() -> None:
    for born in ("2009", "2017"):
        said("records", "save", file(born=born))
    why = (*BY, "--why", "the loin was on the other side")
    file(born="2009")
    Path("visit.yaml").write_text(Path("visit.yaml").read_text().replace("loin: {left: 4", "loin: {left: 6"))
    assert "version 2 kept" in said("records", "correct", "visit.yaml", *why)
    assert "left: 6" in said("records", "show", "Bramble 2009", "--file")
    assert "left: 4" in said("records", "show", "Bramble 2017", "--file")
    said("records", "save", file(name="Otter"))
    told = said("records", "correct", file(name="Otter", born="2016"), *why, code=2)
    assert "kept is Otter, Larkhope, born 2017, 2026-04-18" in told


def test_a_horse_before_its_time_is_told_the_right_way_round() -> None:
    said("records", "save", file())
    told = said("day-sheet", "2026-05-20", "--at", "Bramble", "9.30", code=2)
    assert 'RE65 --at: "Bramble" was read' in told
    assert "--at 9.30 Bramble: the time first" in told


def test_two_visits_of_one_day_are_told_apart_in_the_course() -> None:
    said("records", "save", file())
    Path("visit.yaml").write_text(Path(file()).read_text().replace("loin: {left: 4", "loin: {left: 8"))
    said("records", "save", "visit.yaml", "--part", "2")
    told = said("progress", "Bramble", "-o", "page.html")
    assert "2 visits, 18 April 2026 Soreness" in told
    assert "SINCE THE VISIT OF 18 APRIL 2026 (FIRST VISIT)" in told
    assert "visits: 18 April 2026 (first visit), 18 April 2026 (second visit);" in told
    page = Path("page.html").read_text()
    assert "18 April 2026 to 18 April 2026" not in page
    assert "18 April 2026 (second visit)</" in page
    said("records", "save", file("2026-05-02"))
    assert "SINCE THE VISIT OF 18 APRIL 2026 (SECOND VISIT)" in said("progress", "Bramble")
