"""`reasoner records move`, `withdraw` and `horse`: words, JSON that fits its schema, and what a tired person does wrong.

In: the commands, from another folder than the project's. Out: what they print and leave behind.
Not here: what counts where afterwards (tests/store/test_placing.py, test_stays.py).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.store.place import place_of
from tests.cli.test_records_commands import run, told, words_of
from tests.store.keeping import opened
from tests.store.pictures import SECRET, picture
from tests.store.practice import content

VISIT = (
    "horse: {{name: {name}, born: {born}}}\nvisit: {day}\nyard: {yard}\nexamined by: Wren Aldous\n"
    "palpation: {{loin: {{left: 4}}, girth line: {{left: 5}}}}\n"
)
WHO = ("--by", "Wren Aldous", "--why", "kept under the wrong horse")


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Bramble with two visits, Hazel with one; the place of the records is told by the environment."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REASONER_STORE", "practice.db")
    for name, born, day in (
        ("Bramble", 2015, "2026-04-18"),
        ("Hazel", 2012, "2026-04-20"),
        ("Bramble", 2015, "2026-05-02"),
    ):
        write(f"{name}-{day}.yaml", name, born, day)
        assert run("save", f"{name}-{day}.yaml").exit_code == 0
    return tmp_path


def write(file: str, name: str, born: int, day: str, yard: str = "Larkhope") -> str:
    Path(file).write_text(VISIT.format(name=name, born=born, day=day, yard=yard))
    return file


def rows() -> object:
    with opened(place_of("practice.db")) as store:
        return content(store)


def test_moved_and_back_in_words(yard: Path) -> None:
    said = words_of("move", "Bramble", "--on", "2026-05-02", "--to", "Hazel", *WHO)
    assert "now counts at Hazel (Larkhope) only" in said
    assert "moved by Wren Aldous: kept under the wrong horse" in said
    assert "2 visits" in words_of("list", "Hazel")
    assert "counts at Hazel, said by Wren Aldous: kept under the wrong horse" in words_of("list", "Bramble")
    shown = words_of("show", "Hazel")
    assert "kept under Bramble" in shown
    assert "counts at Hazel, said by Wren Aldous" in shown
    assert "horse: {name: Bramble" in words_of("show", "Hazel", "--file")
    words_of("move", "Hazel", "--on", "2026-05-02", "--to", "Bramble", *WHO)
    assert "2 visits" in words_of("list", "Bramble")
    assert "everything is as it was kept" in words_of("check")


def test_withdrawn_and_back_in_words(yard: Path) -> None:
    day = ("--on", "2026-05-02")
    assert "is withdrawn and counts nowhere" in words_of("withdraw", "Bramble", *day, *WHO)
    listed = words_of("list", "Bramble")
    assert "1 visit in" in listed
    assert "withdrawn, said by Wren Aldous: kept under the wrong horse" in listed
    assert "WITHDRAWN: this visit counts nowhere." in words_of("show", "Bramble", *day, "--withdrawn")
    assert "ST22" in run("show", "Bramble", *day).stderr
    assert "kept already, in the same words, and withdrawn since" in words_of("save", "Bramble-2026-05-02.yaml")
    assert "counts at Bramble (Larkhope) again" in words_of("withdraw", "Bramble", *day, "--undo", *WHO)
    assert "2 visits" in words_of("list", "Bramble")
    assert "everything is as it was kept" in words_of("check")


def test_a_horse_at_another_yard_in_words(yard: Path) -> None:
    said = words_of("horse", "Bramble", "--moved-to", "Netherfold", "--since", "2026-05-01", "--by", "Wren Aldous")
    assert "Bramble: Netherfold" in said
    assert "first kept at Larkhope" in said
    assert "1 visit of that day or later now tells it" in said
    assert "nothing was added" in words_of(
        "horse", "Bramble", "--moved-to", "netherfold", "--since", "2026-05-01", "--by", "Wren Aldous"
    )
    visits = told("records_list_horse.json", "list", "Bramble")["visits"]
    assert [(one["date"], one["yard"]) for one in visits] == [("2026-04-18", "Larkhope"), ("2026-05-02", "Netherfold")]
    write("june.yaml", "Bramble", 2015, "2026-06-02", "Skelbeck")
    assert "--same-horse" in run("save", "june.yaml").stderr
    assert "Bramble stands at Skelbeck from that day on; before it stood at Netherfold" in words_of(
        "save", "june.yaml", "--same-horse"
    )
    assert "3 visits" in words_of("list", "Bramble")


def test_json_fits_its_schema(yard: Path) -> None:
    moved = told("records_move.json", "move", "Bramble", "--on", "2026-05-02", "--to", "Hazel", *WHO)
    assert (moved["before"]["horse"], moved["after"]["horse"], moved["withdrawn"]) == ("Bramble", "Hazel", False)
    assert told("records_withdraw.json", "withdraw", "Bramble", "--on", "2026-04-18", *WHO)["withdrawn"] is True
    gone = told("records_list_horse.json", "list", "Bramble")["gone"]
    assert [(one["horse"], one["withdrawn"]) for one in gone] == [("Bramble", True), ("Hazel", False)]
    shown = told("records_show.json", "show", "Bramble", "--withdrawn")
    assert (shown["withdrawn"], shown["kept_under"]) == (True, "Bramble")
    assert (
        told("records_save.json", "save", "Bramble-2026-05-02.yaml")["saved"][0]["since"] == "and moved to Hazel since"
    )
    said = ("--moved-to", "Netherfold", "--owner", "Ida Fenn", "--since", "2026-05-01", "--by", "Wren Aldous")
    stays = told("records_horse.json", "horse", "Hazel", *said)
    assert (stays["new"], stays["yard"], stays["owner"], stays["first_yard"]) == (
        True,
        "Netherfold",
        "Ida Fenn",
        "Larkhope",
    )
    assert told("records_horse.json", "horse", "Hazel")["new"] is None


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("move", "Bramble", "--to", "Bramble", *WHO), "ST48", "Bramble's already"),
        (("move", "Bramble", "--to", "Hazl", *WHO), "ST20", "Hazel"),
        (("move", "Bramble", "--on", "2026-05-03", "--to", "Hazel", *WHO), "ST22", "2026-05-02"),
        (("move", "Bramble", "--to", "Hazel", "--by", " ", "--why", ""), "ST47", "who says so is missing"),
        (
            ("move", "Bramble", "--to", "hazel", "--to-yard", "Larkhope", "--new-horse", *WHO),
            "ST52",
            "--new-horse away",
        ),
        (("move", "Bramble", "--to", "Otter", "--born", "2012", *WHO), "RE46", "--new-horse"),
        (("withdraw", "Bramble", *WHO), "RE47", "--on 2026-04-18"),
        (("withdraw", "Brambel", "--on", "2026-05-02", *WHO), "ST20", "Bramble"),
        (("withdraw", "Bramble", "--on", "2026-05-20", *WHO), "ST22", "2026-05-02"),
        (("withdraw", "Bramble", "--on", "2026-05-02", "--by", "Wren Aldous", "--why", " "), "ST47", "why is missing"),
        (("withdraw", "Bramble", "--on", "2026-05-02", "--undo", *WHO), "ST22", "One that counts is of that day"),
        (("horse", "Bramble", "--moved-to", "Netherfold", "--by", "Wren Aldous"), "RE48", "--since"),
        (("horse", "Bramble", "--since", "2026-05-01", "--by", "Wren Aldous"), "RE48", "--moved-to YARD"),
        (
            ("horse", "Bramble", "--moved-to", "Netherfold", "--since", "2062-05-01", "--by", "W"),
            "ST50",
            "still to come",
        ),
        (("horse", "Bramble", "--moved-to", "Netherfold", "--since", "2026-05-01"), "ST50", "who says so"),
        (("horse", "Bramle", "--moved-to", "Netherfold", "--since", "2026-05-01", "--by", "W"), "ST20", "Bramble"),
        (("save", "Bramble-2026-05-02.yaml", "--same-horse", "--new-horse"), "RE45", "at once"),
        (("show", "Bramble", "--withdrawn"), "ST22", "One that counts"),
    ],
    ids=lambda x: " ".join(x) if isinstance(x, tuple) else None,
)
def test_what_a_tired_person_does_wrong(yard: Path, words: tuple[str, ...], code: str, said: str) -> None:
    before = rows()
    result = run(*words)
    assert result.exit_code == 2, result.output
    assert code in result.stderr
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.output
    assert code in {p["code"] for p in told("problems.json", *words, code=2)["problems"]}
    assert rows() == before


def test_said_twice_and_done_once(yard: Path) -> None:
    """The same line run again, from the shell's memory, moves nothing more and says so."""
    line = ("move", "Bramble", "--on", "2026-05-02", "--to", "Hazel", *WHO)
    assert run(*line).exit_code == 0
    before = rows()
    again = run(*line)
    assert (again.exit_code, rows()) == (2, before)
    assert "2026-04-18" in again.stderr


def test_the_same_horse_where_none_or_several_are_kept(yard: Path) -> None:
    write("fern.yaml", "Fern", 2014, "2026-06-02")
    assert "RE44" in run("save", "fern.yaml", "--same-horse").stderr
    write("other.yaml", "Bramble", 2015, "2026-06-02", "Skelbeck")
    assert run("save", "other.yaml", "--new-horse").exit_code == 0
    write("third.yaml", "Bramble", 2015, "2026-06-03", "Netherfold")
    result = run("save", "third.yaml", "--same-horse")
    assert result.exit_code == 2
    assert "RE44" in result.stderr


def test_enclosed_files_are_written_out_and_nothing_is_written_over(yard: Path) -> None:
    Path("left.jpg").write_bytes(picture())
    assert run("enclose", "Bramble", "left.jpg").exit_code == 0
    assert "written: seen/left.jpg" in words_of("show", "Bramble", "--files-to", "seen")
    kept = Path("seen/left.jpg").read_bytes()
    assert kept.startswith(b"\xff\xd8")
    assert SECRET not in kept
    Path("seen/left.jpg").write_bytes(b"mine")
    assert "ST30" in run("show", "Bramble", "--files-to", "seen").stderr
    assert Path("seen/left.jpg").read_bytes() == b"mine"
