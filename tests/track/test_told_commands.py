"""What people tell of a kept visit, through the commands: answers, judgements, countersignatures, and reports that may not leave.

In: visits in a store, words on a command line. Out: rows, pages, refusals. Not here: counting.
"""

from __future__ import annotations

import json
from datetime import date
from html import unescape
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.problems import BadInput
from reasoner.records.since_then import SaidSince, SinceThen
from reasoner.records.telling import conclusion_meant
from reasoner.rendering.report import report_html
from reasoner.rendering.schema_files import FOLDER
from reasoner.store.edits import Deed, add_edit
from reasoner.store.history import Told
from reasoner.store.opening import Store
from reasoner.store.place import place_of
from reasoner.store.reading import visits
from tests.rendering.answers import answer
from tests.store.keeping import opened

HOME = Path(__file__).resolve().parents[2]
APPRENTICE = """\
horse: {name: Juniper, born: 2015}
visit: 2026-04-18
yard: Larkhope
examined by: Tam Orrin
checked by: Wren Aldous
palpation: {girth line: {left: 5, right: 1}, loin: {left: 1, right: 5}}
ridden: {saddle comes to: right}
"""


def said(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words))


def as_json(name: str, *words: str) -> dict[str, Any]:
    """What a command prints with --json, held against its schema."""
    result = said(*words, "--json")
    assert result.exit_code == 0, result.output
    data: dict[str, Any] = json.loads(result.output)
    jsonschema.validate(data, json.loads((FOLDER / name).read_text()))
    return data


@pytest.fixture
def store(tmp_path: Path) -> str:
    """A store with Bramble and an apprentice's visit to Juniper."""
    at = str(tmp_path / "practice.db")
    (tmp_path / "juniper.yaml").write_text(APPRENTICE)
    kept = said(
        "records", "save", str(HOME / "examples" / "bramble.yaml"), str(tmp_path / "juniper.yaml"), "--store", at
    )
    assert kept.exit_code == 0, kept.output
    return at


def refused(result: Result, *words: str) -> None:
    assert result.exit_code == 2, result.output
    assert "Traceback" not in result.output
    for word in words:
        assert word in result.output


def test_what_was_done_is_kept_and_shown(store: str) -> None:
    told = ("records", "told", "Bramble", "--step", "shims under the side", "--by", "the owner", "--store", store)
    day = ("--told-on", "2026-04-25")
    data = as_json("records_told.json", *told, "--answer", "done", *day)
    assert (data["step"], data["side"], data["answer"], data["because"]) == (
        "shims_under_the_side",
        "right",
        "done",
        None,
    )
    assert said(*told, "--answer", "stopped", "--because", "the horse pinned its ears", *day).exit_code == 0
    page = " ".join(said("records", "show", "Bramble", "--store", store).output.split())
    assert 'Stopped, in the owner\'s words: "the horse pinned its ears".' in page
    assert "the owner, 25 April 2026" in page
    shown = as_json("records_show.json", "records", "show", "Bramble", "--store", store)
    assert [one["answer"] for one in shown["told"]] == ["stopped"]


def test_the_answer_that_was_kept_last_counts_everywhere(store: str, tmp_path: Path) -> None:
    told = ("records", "told", "Bramble", "--step", "shims under the side", "--by", "the owner", "--store", store)
    assert said(*told, "--answer", "done").exit_code == 0  # kept with today's day, by a slip
    assert said(*told, "--answer", "not done", "--because", "no shim to hand", "--told-on", "2026-04-25").exit_code == 0
    later = (HOME / "examples" / "bramble.yaml").read_text().replace("visit: 2026-04-18", "visit: 2026-05-02")
    (tmp_path / "may.yaml").write_text(later)
    assert said("records", "save", str(tmp_path / "may.yaml"), "--store", store).exit_code == 0
    for page in (("records", "show", "Bramble", "--on", "2026-04-18"), ("progress", "Bramble")):
        assert "no shim to hand" in " ".join(said(*page, "--store", store).output.split())
    assert "1 not carried out" in " ".join(said("track", "--store", store).output.split())


def test_what_was_said_earlier_stays_readable_with_who_and_when(store: str) -> None:
    told = ("records", "told", "Bramble", "--step", "shims under the side", "--store", store)
    assert said(*told, "--by", "the groom", "--answer", "done", "--told-on", "2026-04-25").exit_code == 0
    assert (
        said(
            *told, "--by", "the owner", "--answer", "stopped", "--because", "it rocked", "--told-on", "2026-05-02"
        ).exit_code
        == 0
    )
    judge = ("records", "judge", "Bramble", "saddle_to_one_side", "--by", "Wren Aldous", "--store", store)
    assert said(*judge, "--disagree", "--because", "It came straight on grass").exit_code == 0
    assert said(*judge, "--agree", "--because", "It came over again").exit_code == 0
    may = ("records", "consent", "Bramble", "--what", "owner agreed", "--who", "Ines Tallow", "--store", store)
    assert said(*may, "--given", "--on", "2026-04-01", "--note", "by telephone").exit_code == 0
    assert said(*may, "--refused", "--on", "2026-05-01").exit_code == 0
    page = " ".join(said("records", "show", "Bramble", "--store", store).output.split())
    now, _, before = page.partition("SAID EARLIER, AND OTHERWISE SINCE")
    before = before.partition("--file prints")[0]
    assert "it rocked" in now
    assert "the owner does not agree" in now
    assert "Wren Aldous sees it so too" in now
    assert "Done. the groom, 25 April 2026" in before
    assert "Wren Aldous does not see it so" in before
    assert "it came straight on grass" in before
    assert " UTC" in before, "when it was judged"
    assert "the owner agrees to the work: Ines Tallow, said on 1 April 2026 (by telephone)" in before
    data = as_json("records_show.json", "records", "show", "Bramble", "--store", store)
    earlier = data["said_earlier"]
    assert [one["by"] for one in earlier["told"]] == ["the groom"]
    assert [one["agrees"] for one in earlier["judged"]] == [False]
    assert [(one["given"], one["note"]) for one in earlier["agreed"]] == [(True, "by telephone")]
    assert [one["agrees"] for one in data["judged"]] == [True]
    alone = as_json("records_consent.json", "records", "consent", "Bramble", "--store", store)
    assert alone["said_earlier"] == earlier["agreed"]
    assert "by telephone" in said("records", "consent", "Bramble", "--store", store).output


def test_nothing_is_said_to_be_earlier_where_nothing_was_said_twice(store: str) -> None:
    told = ("records", "told", "Bramble", "--step", "shims under the side", "--by", "the owner", "--store", store)
    assert said(*told, "--answer", "done").exit_code == 0
    assert "SAID EARLIER" not in said("records", "show", "Bramble", "--store", store).output
    data = as_json("records_show.json", "records", "show", "Bramble", "--store", store)
    assert data["said_earlier"] == {"told": [], "judged": [], "agreed": []}


def test_slips_of_an_answer_are_told(store: str) -> None:
    told = ("records", "told", "Bramble", "--by", "the owner", "--store", store, "--answer")
    refused(said(*told, "done", "--step", "shims_under_the_sid"), "RE20", 'Near: "shims_under_the_side"')
    refused(said(*told, "done", "--step", "shims_under_the_side", "--side", "left"), "RE21", "--side right")
    refused(said(*told, "stopped", "--step", "shims_under_the_side"), "RE22", "--because")
    refused(
        said(*told, "done", "--step", "shims_under_the_side", "--told-on", "2026-04-17"), "RE27 --told-on", "2026-04-18"
    )
    refused(
        said(*told, "done", "--step", "shims_under_the_side", "--told-on", "2999-01-01"),
        "RE27 --told-on: 2999-01-01 was read, and today is",
        "that day has not come yet; nothing was kept",
        "from 2026-04-18 to today",
        "Left out, it is today",
    )
    refused(said(*told, "done", "--step", "shims_under_the_side", "--on", "2026-04-19"), "ST22", "2026-04-18")
    refused(
        said("records", "told", "Brambel", "--by", "o", "--answer", "done", "--step", "x", "--store", store), "ST20"
    )


def test_a_step_is_told_by_the_number_on_the_sheets(store: str, tmp_path: Path) -> None:
    told = ("records", "told", "Bramble", "--by", "the owner", "--answer", "done", "--store", store)
    sheet = said("day-sheet", "2026-04-28", "--store", store).output
    number, line = next(one.split("[ ]", 1)[1].split(". ", 1) for one in sheet.splitlines() if "Put a soft shim" in one)
    assert line.startswith("Put a soft shim")
    data = as_json("records_told.json", *told, "--step", number.strip())
    assert (data["step"], data["side"]) == ("shims_under_the_side", "right")
    refused(said(*told, "--step", number.strip(), "--side", "left"), "RE21", "--side right")
    refused(said(*told, "--step", "99"), "RE20", '"99" is no step', f"{number.strip()} shims_under_the_side")
    # A number off an earlier sheet is not taken for a step of the last plan: the day has to be said.
    later = tmp_path / "later.yaml"
    later.write_text((HOME / "examples" / "bramble.yaml").read_text().replace("visit: 2026-04-18", "visit: 2026-05-02"))
    assert said("records", "save", str(later), "--store", store).exit_code == 0
    refused(said(*told, "--step", number.strip()), "RE20", "the day is not said", "--on 2026-05-02 is the last visit")
    data = as_json("records_told.json", *told, "--step", number.strip(), "--on", "2026-04-18")
    assert (data["step"], data["visit"]["date"]) == ("shims_under_the_side", "2026-04-18")


def test_a_number_that_may_be_two_steps_is_asked_about(store: str, tmp_path: Path) -> None:
    told = ("records", "told", "Bramble", "--by", "the owner", "--answer", "done", "--step", "4", "--store", store)
    mended = tmp_path / "mended.yaml"
    mended.write_text(
        (HOME / "examples" / "bramble.yaml").read_text().replace("saddle comes to: right", "saddle comes to: straight")
    )
    assert (
        said("records", "correct", str(mended), "--by", "Wren Aldous", "--why", "a slip", "--store", store).exit_code
        == 0
    )
    refused(said(*told), "RE20", "4 may be either of two", "Name the step in words")


def test_ones_own_judgement_stands_beside_the_tools(store: str, tmp_path: Path) -> None:
    judge = ("records", "judge", "Bramble", "saddle to one side", "--by", "Wren Aldous", "--store", store)
    data = as_json("records_judged.json", *judge, "--disagree", "--because", "It came straight <once> under me")
    assert (data["conclusion"], data["side"], data["agrees"]) == ("saddle_to_one_side", "right", False)
    page = " ".join(said("records", "show", "Bramble", "--store", store).output.split())
    assert 'Wren Aldous does not see it so: "The saddle comes to the right and rests there."' in page
    assert "The saddle comes to the right and rests there. 0" in page  # the tool's own words stand as they were
    for who in ("the veterinarian", "saddle fitter", "the farrier"):
        may = ("--what", "report may go to", "--given", "--who", who)
        assert said("records", "consent", "Bramble", *may, "--store", store).exit_code == 0
    for reader, told in (("vet", True), ("saddle-fitter", True), ("owner", True), ("farrier", False)):
        out = tmp_path / f"{reader}.html"
        made = said(
            "report", str(HOME / "examples" / "bramble.yaml"), "--for", reader, "-o", str(out), "--store", store
        )
        assert made.exit_code == 0, made.output
        assert ("does not see it so" in out.read_text()) is told
        assert "<once>" not in out.read_text()


@pytest.mark.parametrize(
    ("because", "hint"),
    [
        ("He is lame behind", "its steps are uneven"),
        ("The horse is sound", "even steps at walk"),
        ("she looks Healthy", "quiet to the hand today"),
        ("it is the rider's fault", "this was seen under the rider"),
        ("I think kissing spines", "the row of spines answers to the hand"),
    ],
)
def test_a_judgement_is_held_to_the_words_that_nobody_may_use(store: str, because: str, hint: str) -> None:
    judge = ("records", "judge", "Bramble", "saddle_to_one_side", "--by", "Wren Aldous", "--store", store, "--agree")
    refused(said(*judge, "--because", because), "RE56", hint)
    shown = as_json("records_show.json", "records", "show", "Bramble", "--store", store)
    assert shown["judged"] == [], "nothing of it is kept"


def test_a_judgement_stands_under_the_name_as_it_is_kept(store: str) -> None:
    judge = ("records", "judge", "Bramble", "saddle_to_one_side", "--store", store, "--agree", "--because", "felt so")
    assert as_json("records_judged.json", *judge, "--by", "  wren  ALDOUS ")["by"] == "Wren Aldous"
    assert as_json("records_judged.json", *judge, "--by", "ines Tallow")["by"] == "ines Tallow", "nobody kept is meant"
    shown = as_json("records_show.json", "records", "show", "Bramble", "--store", store)
    assert [one["by"] for one in shown["judged"]] == ["Wren Aldous", "ines Tallow"]


def test_an_owners_words_are_kept_as_said_and_go_to_the_owner_only() -> None:
    told = Told(answer="stopped", because='lame and "mad" after it', by="the owner", on=date(2026, 4, 25))
    one = SaidSince(planned=date(2026, 4, 4), step="s", side="", words="No girth there.", told=told, before=told)
    since = SinceThen(day=date(2026, 4, 20), said=(one,), changes=(), stamp="0" * 64, other_rules=False)
    marked = "in the owner's words: \"lame and 'mad' after it\""
    for reader in ("owner", "vet", "saddle-fitter"):
        page = " ".join(unescape(report_html(answer("bramble"), reader, told_since=since)).split())
        assert "stopped" in page
        assert "25 April 2026" in page
        assert page.count(marked) == page.count("lame and") == (2 if reader == "owner" else 0)


def test_a_judgement_needs_its_reason_and_something_to_judge(store: str) -> None:
    judge = ("records", "judge", "Bramble", "--by", "Wren Aldous", "--store", store, "--agree", "--because")
    refused(said(*judge, " ", "saddle_to_one_side"), "RE22")
    refused(said(*judge, "felt so", "saddle_to_one_sid"), "RE23", 'Near: "saddle_to_one_side"')
    for band, side, told in (("fair", "", "both sides"), ("fair", "right", ""), ("none", "right", "does not stand")):
        answer = {
            "conclusions": [
                {"key": "withers_pinch", "side": one, "band": b} for one, b in (("left", "fair"), ("right", band))
            ]
        }
        if told:
            with pytest.raises(BadInput, match=f"RE21.*{told}"):
                conclusion_meant(answer, "withers_pinch", side, "records")
        else:
            assert conclusion_meant(answer, "withers_pinch", side, "records") == ("withers_pinch", "right")


def test_no_report_of_an_apprentices_visit_leaves_before_it_is_countersigned(store: str, tmp_path: Path) -> None:
    file, out = str(tmp_path / "juniper.yaml"), tmp_path / "juniper.html"
    report = ("report", file, "-o", str(out))
    refused(said(*report), "RE25", "Tam Orrin", "Wren Aldous", "records countersign")
    refused(said(*report, "--store", store), "RE25")
    assert not out.exists()
    for draft in ("assess", "plan"):
        assert "Not countersigned: examined by Tam Orrin" in " ".join(said(draft, file).output.split())
    sign = ("records", "countersign", "Juniper", "--store", store, "--by")
    refused(said(*sign, "Tam Orrin"), "RE24", "Wren Aldous")
    refused(said(*sign, " "), "RE22")
    assert as_json("records_countersigned.json", *sign, "wren aldous")["new"] is True
    assert as_json("records_countersigned.json", *sign, "Wren Aldous")["new"] is False
    assert said(*report, "--store", store).exit_code == 0
    assert "countersigned by Wren Aldous" in out.read_text()


def test_a_countersignature_is_for_these_very_bytes(store: str, tmp_path: Path) -> None:
    assert said("records", "countersign", "Juniper", "--store", store, "--by", "Wren Aldous").exit_code == 0
    file, out = tmp_path / "juniper.yaml", str(tmp_path / "juniper.html")
    file.write_text(APPRENTICE.replace("right: 5", "right: 6"))
    refused(said("report", str(file), "-o", out, "--store", store), "RE25")
    corrected = said("records", "correct", str(file), "--by", "Tam Orrin", "--why", "misread", "--store", store)
    assert corrected.exit_code == 0
    refused(said("report", str(file), "-o", out, "--store", store), "RE25")
    assert said("records", "countersign", "Juniper", "--store", store, "--by", "Wren Aldous").exit_code == 0
    assert said("report", str(file), "-o", out, "--store", store).exit_code == 0


def test_a_visit_without_a_second_name_waits_for_nobody(store: str, tmp_path: Path) -> None:
    refused(said("records", "countersign", "Bramble", "--store", store, "--by", "Wren Aldous"), "RE24")
    file = tmp_path / "alone.yaml"
    file.write_text(APPRENTICE.replace("Tam Orrin", "wren  aldous"))
    assert said("report", str(file), "-o", str(tmp_path / "alone.html")).exit_code == 0


def test_a_report_for_which_the_named_records_are_not_there_is_refused(tmp_path: Path) -> None:
    out = tmp_path / "bramble.html"
    gone = said("report", str(HOME / "examples" / "bramble.yaml"), "-o", str(out), "--store", str(tmp_path / "none.db"))
    refused(gone, "ST02")
    assert not out.exists()


def test_the_record_and_the_yard_as_pages_and_data(store: str, tmp_path: Path) -> None:
    picture = tmp_path / "certainty.svg"
    data = as_json("track.json", "track", "--store", store, "--picture", str(picture))
    assert data["visits"] == 2
    assert picture.read_text().startswith("<svg")
    page = said("track", "--rule", "--store", store).output
    assert "RULES: HOW OFTEN" in page
    assert "STEPS: HOW OFTEN" not in page
    assert as_json("yard.json", "yard", "--store", store)["horses"] == 2
    assert "Nothing that several horses show alike." in said("yard", "--store", store).output
    refused(said("yard", "Ida Fenn", "--store", store), "RE26")
    refused(said("track", "--store", str(tmp_path / "none.db")), "ST02")


def change(deed: Deed, store: Store, version: str, *, because: str = "") -> None:
    """What the desk keeps where the step of the shim is taken out of Bramble's plan, or put back."""
    words = "Put a soft shim under the right bar of the saddle and none under the left."
    add_edit(
        store, version, line="step", deed=deed, key="shims_under_the_side", side="", tool_words=words, because=because,
        by="Wren Aldous",
    )  # fmt: skip


def test_a_step_that_was_taken_out_is_not_asked_of_the_owner(store: str) -> None:
    shim = "Put a soft shim under the right bar of the saddle and none under the left"
    told = ("records", "told", "Bramble", "--step", "shims under the side", "--by", "the owner", "--store", store)
    with opened(place_of(store)) as records:
        with records.reading() as connection:
            known = next(one for one in visits(connection) if one.name == "Bramble")
        change("strike", records, known.version, because="the fitter comes first")
    again = said("again", "Bramble", "--on", "2026-05-02", "--store", store).output
    assert f"4. {shim}: taken out of the plan by Wren Aldous" in again, "and the others keep their numbers"
    assert "left withers 3 to 1" not in again, "only that step looked for it"
    assert "behind the shoulder blade 3.5 to 2 or less by 2 May 2026. Today? (from step 7)" in again
    for page in (("day-sheet", "2026-05-02"), ("diary", "--today", "2026-05-02")):
        found = " ".join(said(*page, "--store", store).output.split())
        assert "behind the shoulder blade" in found
        assert "shim" not in found
        assert "withers, left" not in found
        assert "shims_under" not in said(*page, "--store", store, "--json").output
    # Done all the same, it is looked at like any other.
    assert said(*told, "--answer", "done", "--told-on", "2026-04-20").exit_code == 0
    assert "left withers 3 to 1" in said("again", "Bramble", "--on", "2026-05-02", "--store", store).output
    assert "withers, left" in " ".join(said("diary", "--today", "2026-05-02", "--store", store).output.split())
    # And put back into the plan, it is asked about again.
    with opened(place_of(store)) as records:
        change("back", records, known.version)
    assert "taken out" not in said("again", "Bramble", "--on", "2026-05-02", "--store", store).output


def test_a_step_that_was_added_is_asked_about_and_told_of(store: str) -> None:
    """The practitioner's own step went out with the plan as well, and is looked for by no rule."""
    key, words = "own-step-0a1b2c3d", "Walk it over poles in hand twice a week"
    with opened(place_of(store)) as records:
        with records.reading() as connection:
            known = next(one for one in visits(connection) if one.name == "Bramble")
        add_edit(records, known.version, line="step", deed="add", key=key, side="", kind="exercise", words=f"{words}.",
                 because="it is stiff behind", by="Wren Aldous")  # fmt: skip
    again = ("again", "Bramble", "--on", "2026-05-02", "--store", store)
    assert f"{words} (added by Wren Aldous): ?" in said(*again).output
    sheet = " ".join(said("day-sheet", "2026-05-02", "--store", store).output.split())
    assert f"{words} (added by Wren Aldous)" in sheet
    told = (
        "records",
        "told",
        "Bramble",
        "--by",
        "the owner",
        "--answer",
        "done",
        "--told-on",
        "2026-04-25",
        "--store",
        store,
    )
    number = next(line for line in said(*again).output.splitlines() if words in line).split(".")[0].strip(" #")
    assert said(*told, "--on", "2026-04-18", "--step", number).exit_code == 0
    assert f"{words} (added by Wren Aldous): done" in said(*again).output
    refused(said(*told, "--step", "own-step-ffffffff"), "RE20")
    for page in ("progress", "track"):
        words_of = ("Bramble",) if page == "progress" else ()
        assert said(page, *words_of, "--store", store).exit_code == 0
