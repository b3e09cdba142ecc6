"""What people tell of a kept visit, through the commands: answers, judgements, countersignatures, and reports that may not leave.

In: visits in a store, words on a command line. Out: rows, pages, refusals. Not here: counting.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.problems import BadInput
from reasoner.records.telling import conclusion_meant
from reasoner.rendering.schema_files import FOLDER

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
    assert "Stopped, because the horse pinned its ears." in page
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


def test_slips_of_an_answer_are_told(store: str) -> None:
    told = ("records", "told", "Bramble", "--by", "the owner", "--store", store, "--answer")
    refused(said(*told, "done", "--step", "shims_under_the_sid"), "RE20", 'Near: "shims_under_the_side"')
    refused(said(*told, "done", "--step", "shims_under_the_side", "--side", "left"), "RE21", "--side right")
    refused(said(*told, "stopped", "--step", "shims_under_the_side"), "RE22", "--because")
    refused(said(*told, "done", "--step", "shims_under_the_side", "--told-on", "2026-04-17"), "RE27", "2026-04-18")
    refused(said(*told, "done", "--step", "shims_under_the_side", "--told-on", "2999-01-01"), "RE27", "not come yet")
    refused(said(*told, "done", "--step", "shims_under_the_side", "--on", "2026-04-19"), "ST22", "2026-04-18")
    refused(
        said("records", "told", "Brambel", "--by", "o", "--answer", "done", "--step", "x", "--store", store), "ST20"
    )


def test_ones_own_judgement_stands_beside_the_tools(store: str, tmp_path: Path) -> None:
    judge = ("records", "judge", "Bramble", "saddle to one side", "--by", "Wren Aldous", "--store", store)
    data = as_json("records_judged.json", *judge, "--disagree", "--because", "It came straight <once> under me")
    assert (data["conclusion"], data["side"], data["agrees"]) == ("saddle_to_one_side", "right", False)
    page = " ".join(said("records", "show", "Bramble", "--store", store).output.split())
    assert 'Wren Aldous does not see it so: "The saddle comes to the right and rests there."' in page
    assert "The saddle comes to the right and rests there. 0" in page  # the tool's own words stand as they were
    for reader, told in (("vet", True), ("saddle-fitter", True), ("owner", False), ("farrier", False)):
        out = tmp_path / f"{reader}.html"
        made = said(
            "report", str(HOME / "examples" / "bramble.yaml"), "--for", reader, "-o", str(out), "--store", store
        )
        assert made.exit_code == 0, made.output
        assert ("does not see it so" in out.read_text()) is told
        assert "<once>" not in out.read_text()


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
