"""Slips of a tired hand: a wrong year, the same words twice, one visit of several, a name that is nearly right.

In: words on a command line over a store. Out: what is told, and what is not kept.
Not here: what is kept when all is well (test_records_commands.py).
"""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.problems import BadInput
from reasoner.records.still_to_come import DAYS_BETWEEN_ZONES, said_by_now, visits_have_come
from reasoner.store.consents import MAY_GO_TO, OWNER_AGREED, Agreed, agree, standing
from reasoner.store.place import place_of
from reasoner.store.reading import horse_called, visits
from reasoner.visit.model import Visit
from tests.day import TODAY
from tests.page.drafts import sore
from tests.page.serving import NOW, client
from tests.store.keeping import opened

HOME = Path(__file__).resolve().parents[2]
LATER = (TODAY + timedelta(days=40)).isoformat()
FILE = (
    "horse: {{name: Bramble, born: 2015}}\nvisit: {day}\nyard: Larkhope\nexamined by: {hands}\n{more}"
    "palpation: {{girth line: {{left: 5, right: 1}}, loin: {{left: {loin}, right: 1}}}}\n"
)


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REASONER_STORE", "practice.db")


def file(name: str, day: str = "2026-04-18", *, loin: int = 4, hands: str = "Wren Aldous", more: str = "") -> str:
    Path(name).write_text(FILE.format(day=day, loin=loin, hands=hands, more=more))
    return name


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def said(*words: str, code: int = 0) -> str:
    result = run(*words)
    assert result.exit_code == code, result.output
    return " ".join(result.output.split())


def held() -> list[tuple[str, int, int]]:
    """Day, part and newest version of every visit kept."""
    with opened(place_of("practice.db")) as store, store.reading() as connection:
        return [(one.day.isoformat(), one.part, one.number) for one in visits(connection)]


def test_a_visit_still_to_come_is_kept_only_when_it_is_meant() -> None:
    told = said("records", "save", file("now.yaml"), file("slip.yaml", LATER), code=2)
    assert "ST53 slip.yaml" in told
    assert LATER in told
    assert TODAY.isoformat() in told
    assert not Path("practice.db").exists(), "a slip in one file keeps none of them"
    said("records", "save", "slip.yaml", "--ahead")
    assert held() == [(LATER, 1, 1)]


def test_today_is_no_slip_and_a_telephone_may_stand_in_another_zone() -> None:
    def of(days: int) -> Visit:
        return Visit(file="visit.yaml", day=TODAY + timedelta(days=days))

    visits_have_come([of(0), of(-1)], TODAY)
    visits_have_come([of(1)], TODAY, spare=DAYS_BETWEEN_ZONES)
    for days, spare in ((1, 0), (2, DAYS_BETWEEN_ZONES)):
        with pytest.raises(BadInput, match="ST53"):
            visits_have_come([of(days)], TODAY, spare=spare)
    said_by_now(TODAY, TODAY, "--on")
    with pytest.raises(BadInput, match="ST54"):
        said_by_now(TODAY + timedelta(days=1), TODAY, "--on")


def test_the_page_refuses_it_in_the_same_words(tmp_path: Path) -> None:
    day = (NOW.date() + timedelta(days=2)).isoformat()
    told = client(tmp_path).post("/api/hand-over", json={"draft": {**sore(), "visit": day}})
    assert told.status_code == 422
    assert f"the visit is of {day}, and today is {NOW.date().isoformat()}" in told.text
    assert held() == []


def test_what_was_said_and_what_holds() -> None:
    said("records", "save", file("now.yaml"))
    words = ("records", "consent", "Bramble", "--what", OWNER_AGREED, "--who", "Ines Tallow")
    assert "ST54" in said(*words, "--given", "--on", LATER, code=2)
    with opened(place_of("practice.db")) as store:  # kept before such a day was refused
        with store.reading() as connection:
            horse = horse_called(connection, "Bramble", shown="practice.db")
        ahead = TODAY + timedelta(days=40)
        for what, who in ((OWNER_AGREED, "Ines Tallow"), (MAY_GO_TO, "Dr Mossop")):
            agree(store, horse, Agreed(what=what, given=True, who=who, on=ahead, until=None, note=""))
    told = said(*words, "--refused")
    assert "WHAT WAS SAID" in told.upper()
    assert "counts from that day on" in told
    holds = told[told.index("Holds now") :]
    assert holds.split(".")[0].endswith("the owner does not agree to the work: Ines Tallow")
    with opened(place_of("practice.db")) as store, store.reading() as connection:
        now, then = (
            {one.what: one.given for one in standing(connection, horse.uid, day=day)[horse.uid]}
            for day in (TODAY, ahead)
        )
    assert now == {OWNER_AGREED: False}
    assert then == {OWNER_AGREED: True, MAY_GO_TO: True}


def test_the_same_words_are_kept_once_and_a_correction_says_which_visit() -> None:
    said("records", "save", file("first.yaml"))
    why = ("--by", "Wren Aldous", "--why", "looked at once more")
    assert "kept already, in the same words" in said("records", "correct", "first.yaml", *why)
    assert "kept already, in the same words, as visit 1 of that day" in said(
        "records", "save", "first.yaml", "--part", "2"
    )
    assert held() == [("2026-04-18", 1, 1)]
    far = said("records", "save", file("second.yaml", loin=2), "--part", "9", code=2)
    assert "1 to 2 was expected" in far
    said("records", "save", "second.yaml", "--part", "2")
    file("other.yaml", loin=3)
    assert "a version of the second (--part chooses another)" in said("records", "correct", "other.yaml", *why)
    assert held() == [("2026-04-18", 1, 1), ("2026-04-18", 2, 2)]
    file("other.yaml", loin=6)
    assert "a version of the first (as --part says)" in said("records", "correct", "other.yaml", *why, "--part", "1")
    assert held() == [("2026-04-18", 1, 2), ("2026-04-18", 2, 2)]
    assert "ST12" in said("records", "correct", "other.yaml", *why, "--part", "3", code=2)


def test_a_day_that_was_written_wrong_is_led_to_its_way_out() -> None:
    said("records", "save", file("first.yaml"))
    told = said("records", "correct", file("late.yaml", day="2026-04-19"), "--by", "W", "--why", "wrong day", code=2)
    assert "ST12 late.yaml: no visit to Bramble on 2026-04-19 is kept here" in told
    assert (
        "Days kept: 2026-04-18. Where one of these is the wrong day: save this file, then `reasoner records withdraw`"
        in told
    )
    assert held() == [("2026-04-18", 1, 1)]


def test_last_years_number_written_out_of_habit_is_told() -> None:
    said("records", "save", file("first.yaml"))
    told = said("records", "save", file("slip.yaml", day="2025-05-02", loin=2))
    assert "note: a visit of 18 April 2026 is kept already, and was judged without this one" in told
    assert "`reasoner records withdraw`" in told
    assert "note:" not in said("records", "save", "slip.yaml"), "nothing was kept anew"
    assert "note:" not in said("records", "save", file("next.yaml", day="2026-05-02", loin=2))
    several = (file("a.yaml", day="2026-07-04"), file("b.yaml", day="2026-06-20"))
    assert "note:" not in said("records", "save", *several), "they are kept the oldest first"
    found = json.loads(run("records", "save", file("c.yaml", day="2026-06-27"), "--json").output)
    assert [one["kept_after"] for one in found["saved"]] == ["2026-07-04"]


def test_an_empty_day_is_asked_for_and_never_told_to_be_left_out() -> None:
    told = said("records", "save", file("blank.yaml", day=""), code=2)
    assert "VF01 blank.yaml:2: the day of the visit is missing" in told
    assert "Leave the line out" not in told


def test_records_that_begin_at_a_misspelt_place_say_so() -> None:
    assert "practice.db: new records were begun here" in said("records", "save", file("first.yaml"))
    assert "begun" not in said("records", "save", file("second.yaml", day="2026-04-19"))
    assert "practise.db: new records were begun here" in said("records", "save", "first.yaml", "--store", "practise.db")
    told = json.loads(run("records", "save", "first.yaml", "--store", "third.db", "--json").output)
    assert told["begun"] is True
    assert json.loads(run("records", "save", "second.yaml", "--json").output)["begun"] is False


def test_a_folder_is_no_backup_and_is_not_said_to_be_missing() -> None:
    said("records", "save", file("first.yaml"))
    said("records", "export", "everything")
    told = said("records", "restore", "everything", "--store", "again.db", code=2)
    assert "ST34 everything: this is a folder" in told
    assert "`reasoner records import`" in told
    assert not Path("again.db").exists()
    said("records", "backup", "all.backup")
    assert "1 file matched its checksum." in said("records", "restore", "all.backup", "--store", "again.db")


def test_withdraw_tells_everything_that_is_missing_and_its_help_does_not_promise_the_last() -> None:
    told = said("records", "withdraw", "Bramble", "--by", "Wren Aldous", code=2)
    assert "RE47 --on" in told
    assert "ST47 --why" in told
    assert "ST47 --by" not in told
    assert "The day of the visit; it has to be said" in said("records", "withdraw", "--help")


@pytest.mark.parametrize(
    "words",
    [("records", "show", "Bramble", "--on"), ("again", "Bramble", "--on"), ("track", "--since"), ("yard", "--since")],
)
def test_a_day_that_does_not_read_is_told_in_plain_words(words: tuple[str, ...]) -> None:
    told = said(*words, "31.12.2026", code=2)
    assert "a day such as 2026-04-18 was expected; 31.12.2026 was read" in told
    assert "%Y" not in told


def test_a_step_of_an_earlier_plan_is_told_with_its_visit() -> None:
    said("records", "save", str(HOME / "examples" / "bramble.yaml"))
    Path("quiet.yaml").write_text(
        "horse: {name: Bramble, born: 2017}\nvisit: 2026-05-02\nyard: Larkhope\nquiet: {loin: both}\n"
    )
    said("records", "save", "quiet.yaml")
    told = ("records", "told", "Bramble", "--answer", "done", "--by", "the Larkhope riding group", "--step")
    assert "It is in the plan of 2026-04-18: --on 2026-04-18." in said(*told, "shims under the side", code=2)
    assert "It is in" not in said(*told, "none of them", code=2)
    said(*told, "shims under the side", "--on", "2026-04-18")


def test_an_apprentice_does_not_approve_the_report_of_the_own_visit() -> None:
    said("records", "save", file("tam.yaml", hands="Tam Orrin", more="checked by: Wren Aldous\n"))
    said("records", "countersign", "Bramble", "--by", "Wren Aldous")
    made = ("report", "tam.yaml", "-o", "page.html", "--store", "practice.db", "--approved-by")
    told = said(*made, "tam  orrin", code=2)
    assert "RE69" in told
    assert 'Write --approved-by "Wren Aldous"' in told
    assert not Path("page.html").exists()
    said(*made, "Wren Aldous")


def test_a_name_nearly_right_is_told() -> None:
    said("records", "save", file("now.yaml"))
    said("records", "consent", "Bramble", "--what", MAY_GO_TO, "--given", "--who", "Dr Mossop")
    made = ("report", "now.yaml", "--for", "vet", "-o", "page.html", "--store", "practice.db", "--to")
    assert 'Near: "Dr Mossop".' in said(*made, "Dr Mosop", code=2)
    assert "Near" not in said(*made, "the saddler", code=2)


def test_why_and_because_are_one_word_to_every_command() -> None:
    """Whoever has learnt one of them at one command is understood at the next."""
    context = click.Context(cli)
    words, groups = list[set[str]](), list[click.Group]([cli])
    while groups:
        group = groups.pop()
        for name in group.list_commands(context):
            command = group.get_command(context, name)
            assert command is not None
            if isinstance(command, click.Group):
                groups.append(command)
            words += [set(option.opts) for option in command.params if {"--why", "--because"} & set(option.opts)]
    assert len(words) >= 6
    assert all({"--why", "--because"} <= every for every in words), words
