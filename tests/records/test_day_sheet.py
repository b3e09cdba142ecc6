"""The day sheet: what was told, what stands against a horse, what to bring; a page a horse at most, each check told once.

In: visits in a store. Out: words, JSON, paper. Not here: what is due (test_diary).
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from datetime import date
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.rendering.schema_files import FOLDER
from reasoner.store.consents import Agreed, agree
from reasoner.store.opening import open_store
from reasoner.store.place import place_of
from reasoner.store.reading import horse_called
from reasoner.store.saving import save
from tests.rendering.paper import pango
from tests.store.keeping import EXAMPLES, example, fresh, kept_of

__all__ = ["pango"]
WORD = (
    "horse: {name: Fern}\nvisit: 2026-04-18\nyard: Netherfold\nexamined by: Tam Orrin\nchecked by: Wren Aldous\n"
    "palpation: {loin: {left: would not allow touch, right: 1}}\ntacked up: {which saddle: the brown one}\n"
    "veterinarian's word: {who: Dr Mossop, seen: 2026-04-17, about: [uneven steps], allows: [hands-on work], until: 2026-05-30}\n"
)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Every example that is one file, and a horse with a veterinarian's word."""
    here = tmp_path_factory.mktemp("sheet")
    store = fresh(here)
    for path in sorted(EXAMPLES.glob("*.yaml")):
        if path.with_suffix(".csv").exists():  # a table is kept beside its visit by the command, and not by `save`
            continue
        save(store, example(path.stem), by="Wren Aldous")
    save(store, kept_of(WORD), by="Tam Orrin")
    ridden = (
        example("bramble")
        .text.replace(b"Bramble", b"Willow")
        .replace(b"\nridden:\n", b"\nridden:\n  ridden by: Ada Brook\n")
    )
    save(store, kept_of(ridden), by="Wren Aldous")
    store.close()
    return str(here / "practice.db")


@pytest.fixture
def store(kept: str, tmp_path: Path) -> str:
    return str(shutil.copy(kept, tmp_path / "practice.db"))


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def sheet(store: str, *words: str) -> str:
    result = run("day-sheet", "2026-05-20", "--store", store, *words)
    assert result.exit_code == 0, result.output
    return " ".join(result.stdout.split())


def _points(to: str) -> float | None:
    """What is hoped for in points; None for what is seen and not felt."""
    return float(to) if to[0].isdigit() else None


def test_what_was_told_since_stands_there_and_the_rest_is_asked(store: str) -> None:
    before = sheet(store, "--horse", "Bramble")
    assert "Told since" not in before
    assert "4. Put a soft shim under the right bar of the saddle and none under the left: ____" in before
    told = ("records", "told", "Bramble", "--step", "shims under the side", "--by", "the owner", "--store", store)
    assert run(*told, "--answer", "stopped", "--because", "it rubbed", "--told-on", "2026-04-25").exit_code == 0
    after = sheet(store, "--horse", "Bramble")
    assert 'none under the left: stopped, in the owner\'s words: "it rubbed" (the owner, 25 April 2026)' in after
    data = json.loads(run("day-sheet", "2026-05-20", "--horse", "Bramble", "--store", store, "--json").stdout)
    (one,) = [step for step in data["horses"][0]["told"] if step["answer"] is not None]
    assert (one["key"], one["answer"]) == ("shims_under_the_side", "stopped")


def test_the_strictest_stands_once_with_where_it_comes_from(store: str) -> None:
    told = sheet(store, "--horse", "Bramble")
    asked = "(from step 4 and step 7, which by itself asks for 2 or less)"
    assert told.count(f"behind the shoulder blade, right: was 3.5, 1 of 10 or less {asked}") == 1
    again = run("again", "Bramble", "--store", store).output
    assert again.count("right behind the shoulder blade 3.5 to") == 2, "one for each day"
    assert (
        "3.5 to 1 or less by 2 May 2026. Today? (from step 4 and step 7, which by itself asks for 2 or less)" in again
    )
    assert 'from "shims under the side" and "' in " ".join(run("diary", "--full", "--store", store).output.split())
    expected = json.loads(run("again", "Bramble", "--store", store, "--json").output)["expected"]
    due = next(d for d in json.loads(run("diary", "--store", store, "--json").output)["due"] if d["horse"] == "Bramble")
    for one, other in zip(expected, due["expected"], strict=True):
        assert (one["place"], one["side"], one["by"], one["to"]) == (
            other["place"], other["side"], other["by"], _points(other["to"])
        )  # fmt: skip
        assert [by["step"] for by in one["asked_by"]] == [by["step"] for by in other["asked_by"]]
        assert one["to"] is None or one["to"] == min(by["to"] for by in one["asked_by"])


def test_cautions_and_the_veterinarians_word_come_first_then_what_to_bring(store: str) -> None:
    no = ("--what", "owner agreed", "--refused", "--who", "Ines Tallow", "--on", "2026-05-01")
    assert run("records", "consent", "Fern", *no, "--store", store).exit_code == 0
    told = sheet(store, "--horse", "Fern", "--at", "9:05", "Fern")
    order = [
        "09:05 FERN, NETHERFOLD", "The owner does not agree to the work (Ines Tallow, 1 May 2026)",
        "not countersigned by Wren Aldous", "Would not allow touch: loin, left", "veterinarian's word: Dr Mossop",
        "HOW EACH CHECK IS MADE",
    ]  # fmt: skip
    places = [told.index(words) for words in order]
    assert places == sorted(places)
    over = run("day-sheet", "2026-06-20", "--horse", "Fern", "--store", store).output
    assert "over by this day: ask" in " ".join(over.split())


def test_what_is_agreed_later_is_not_agreed_on_the_day_of_the_sheet(store: str) -> None:
    """A sheet of a day says what stood on that day."""
    opened = open_store(place_of(store))
    with opened.reading() as connection:
        fern = horse_called(connection, "Fern")
    for given, on in ((False, date(2026, 5, 1)), (True, date(2026, 6, 1))):
        agree(opened, fern, Agreed(what="owner agreed", given=given, who="Ines Tallow", on=on, until=None, note=""))
    opened.close()
    assert "The owner does not agree to the work (Ines Tallow, 1 May 2026)" in sheet(store, "--horse", "Fern")
    later = run("day-sheet", "2026-06-20", "--horse", "Fern", "--store", store).output
    assert "does not agree" not in later


def test_a_yard_that_is_none_is_told_with_the_nearest(store: str) -> None:
    refused = run("day-sheet", "2026-05-20", "--yard", "Larkhop", "--store", store)
    assert refused.exit_code == 2
    assert "RE72" in refused.stderr
    assert 'Near: "Larkhope"' in refused.stderr
    assert run("day-sheet", "2026-05-20", "--yard", "larkhope", "--store", store).exit_code == 0


def test_saddle_and_rider_are_named_where_a_look_or_a_step_needs_them(store: str) -> None:
    data = json.loads(
        run("day-sheet", "2026-05-20", "--horse", "Fern", "--most", "50", "--store", store, "--json").stdout
    )
    needed = {one["what"]: one["named"] for one in data["horses"][0]["bring"]}
    assert needed["its own saddle, girth and pads"] == "the brown one"
    assert "whoever rides it" not in needed, "nobody rides a horse for which riding is stopped"
    whole = sheet(store, "--horse", "Willow", "--most", "50")
    assert "whoever rides it (Ada Brook)" in whole
    assert "Bring or ask for: its own saddle, girth and pads" in sheet(store, "--horse", "Bramble")


def test_json_follows_its_schema(store: str, tmp_path: Path) -> None:
    out = tmp_path / "day.html"
    data = json.loads(run("day-sheet", "2026-05-20", "-o", str(out), "--store", store, "--json").stdout)
    jsonschema.validate(data, json.loads((FOLDER / "day_sheet.json").read_text()))
    assert data["written"] == str(out)
    assert out.read_text().count('<section class="horse">') == len(data["horses"]) > 5


@pytest.mark.usefixtures("pango")
def test_on_paper_no_horse_takes_more_than_a_page(store: str, tmp_path: Path) -> None:
    if not shutil.which("pdftotext"):
        pytest.skip("no pdftotext on this machine: apt-get install poppler-utils")
    for paper in ("A4", "Letter"):
        out = tmp_path / f"{paper}.pdf"
        words = ("--overdue", "400", "-o", str(out), "--paper", paper)
        assert run("day-sheet", "2026-05-20", "--store", store, *words).exit_code == 0
        pages = subprocess.run(
            ["pdftotext", "-layout", str(out), "-"], check=True, capture_output=True, text=True, timeout=60
        )
        text = pages.stdout.split("\f")
        data = json.loads(run("day-sheet", "2026-05-20", "--overdue", "400", "--store", store, "--json").stdout)
        for horse in data["horses"]:
            begins = [n for n, page in enumerate(text) if re.search(rf"__:__\s+{horse['horse']}", page)]
            last = horse["look_at"][-1]["name"] if horse["look_at"] else horse["horse"]
            assert len(begins) == 1, horse["horse"]
            assert last.split()[0] in text[begins[0]].split(f"  {horse['horse']}")[-1] or not horse["look_at"], horse[
                "horse"
            ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--at", "25:00", "Bramble"), '"25:00" was read; a time of day was expected'),
        (("--at", "Bramble", "9:30"), "--at 9:30 Bramble: the time first"),
        (("--at", "half nine", "Bramble"), "the time first, then the horse"),
        (("--at", "9:30", "Brambel"), 'Near: "Bramble"'),
        (("-o", "day.docx"), "RE41"),
        (("--paper", "A4"), "RE42"),
        (("-o", "nowhere/day.pdf"), "no folder"),
    ],
)
def test_slips_are_told(
    store: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("day-sheet", "2026-05-20", "--store", store, *words)
    assert result.exit_code == 2
    assert said in result.stderr
    assert [path.name for path in tmp_path.iterdir() if path.suffix in (".pdf", ".docx")] == []


def test_a_horse_whose_call_stood_has_a_sheet(store: str) -> None:
    told = run("day-sheet", "2026-05-20", "--horse", "Otter", "--store", store)
    assert told.exit_code == 0
    assert "OTTER" in told.output
    assert "An emergency stood at the last visit." in told.output
    assert "no sheet" not in told.stderr


def test_what_the_records_count_themselves_is_no_look_and_a_call_has_its_article(store: str) -> None:
    words = run("day-sheet", "2026-05-20", "--horse", "Rook", "--horse", "Otter", "--store", store, "--json").output
    looks = [look["key"] for one in json.loads(words)["horses"] for look in one["look_at"]]
    assert len(looks) > 1
    assert "visits_without_change" not in looks
    assert "An emergency call to the veterinarian stood" in sheet(store, "--horse", "Otter")
