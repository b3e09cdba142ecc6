"""The progress of a horse as words, JSON, picture and page, through the commands.

In: stores kept in files, the commands by click's runner. Out: what they print and write, and what they refuse.
Not here: comparing.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.rendering.progress_picture import picture
from reasoner.rendering.schema_files import FOLDER
from tests.asking import shipped
from tests.records.horses import HORSE, keep, kept_course, progress, turned, visit
from tests.store.keeping import fresh

TEXTS = (
    visit("2026-04-04", "{left: 6, right: 1}", back="{left: {soreness: 2, after work: 6}, right: 2}"),
    visit("2026-04-20", "{left: 5.5, right: 1}", back="{left: 4, right: 2}", hands="Tam Orrin"),
    visit("2026-05-06", "{left: 3, right: 1}", back="{left: 4, right: 1}"),
    visit("2026-05-25", "{left: not examined - no time, right: 0}", back="{left: 3, right: 1}"),
    visit("2026-06-20", "{left: 1, right: 1}", back="{left: 1.5, right: 1}", more="  loin: {left: 4, right: 1}\n"),
)


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, words, catch_exceptions=False)


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    kept_course(fresh(tmp_path), TEXTS, ["done", "done"])
    return tmp_path / "practice.db"


def shown(store: Path, *more: str) -> dict[str, Any]:
    result = run("progress", "Juniper", "--store", str(store), "--json", *more)
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.output)
    jsonschema.validate(found, json.loads((FOLDER / "progress.json").read_text()))
    return found


def test_the_words(kept: Path) -> None:
    text = " ".join(run("progress", "Juniper", "--full", "--store", str(kept)).output.split())
    for said in (
        "Juniper, Larkhope: 5 visits, 4 April 2026 to 20 June 2026",
        "left girth line 6 to 2 or less by 14 April 2026: not (5.5 on 20 April 2026, 6 days after the day set)",
        "left girth line 5.5 to 2 or less by 30 April 2026: partly",
        "left: 6 5.5 3 - 1 better since the first",
        "after work that day, not laid beside the others: 6 on 4 April 2026",
        "The girth presses on the left: better after its remedy.",
        "graded by Tam Orrin and then by Wren Aldous",
        "a change is told beyond 1.96 times that, 2.4 points",
    ):
        assert said in text


def test_the_short_page_counts_what_it_leaves_out(kept: Path) -> None:
    text = " ".join(run("progress", "Juniper", "--store", str(kept)).output.split())
    assert "left girth line 6 to 2 or less by 14 April 2026" not in text
    assert "Of older plans 4 things looked for: 2 partly, 2 not (--full)." in text


def test_one_visit_has_nothing_beside_it(tmp_path: Path) -> None:
    keep(fresh(tmp_path), TEXTS[0])
    result = run("progress", "Juniper", "--store", str(tmp_path / "practice.db"))
    assert "One visit is kept; there is nothing yet to lay beside it." in result.output
    found = shown(tmp_path / "practice.db")
    assert (found["sites"], found["error"], found["expectations"]) == ([], None, [])


def test_the_json_is_the_mirror_of_the_mirrored_horse(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    kept_course(fresh(tmp_path / "one"), TEXTS, ["done", "done"])
    kept_course(fresh(tmp_path / "two"), [turned(text) for text in TEXTS], ["done", "done"])
    one, other = (shown(tmp_path / name / "practice.db") for name in ("one", "two"))

    def bare(found: dict[str, Any], turn: bool) -> list[str]:
        told = {key: found[key] for key in ("sites", "conclusions", "expectations", "causes", "visits_without_change")}
        text = json.dumps(told)
        return sorted(json.dumps(item, sort_keys=True) for part in json.loads(turned(text) if turn else text).values()
                      for item in (part if isinstance(part, list) else [part]))  # fmt: skip

    assert bare(one, turn=True) == bare(other, turn=False)


def test_the_picture_says_left_and_right_and_can_be_read(kept: Path, tmp_path: Path) -> None:
    picture = tmp_path / "juniper.svg"
    shown(kept, "--picture", str(picture))
    root = ElementTree.fromstring(picture.read_text())
    space = "{http://www.w3.org/2000/svg}"
    texts = ["".join(one.itertext()) for one in root.iter(f"{space}text")]
    assert texts.count("LEFT") == texts.count("RIGHT") == 3  # girth line, long back, loin
    said = root.find(f"{space}desc")
    assert said is not None
    assert "girth line, left: 6, 5.5, 3, not examined (no time), 1" in (said.text or "")
    sizes = [float(size) for size in re.findall(r"font-size:([\d.]+)px", picture.read_text())]
    assert min(sizes) >= 12
    lefts = [float(one.attrib["x"]) for one in root.iter(f"{space}text") if one.text == "LEFT"]
    rights = [float(one.attrib["x"]) for one in root.iter(f"{space}text") if one.text == "RIGHT"]
    assert max(lefts) < min(rights)


@pytest.mark.parametrize(("answer", "drawn"), [("done", "l3.2 7.5h-6.4z"), ("partly", "v7.5"), ("not", "")])
def test_the_picture_marks_what_was_carried_out_and_what_only_in_part(tmp_path: Path, answer: str, drawn: str) -> None:
    found = kept_course(fresh(tmp_path), [visit("2026-04-04", "{left: 6, right: 1}"), visit("2026-04-20", "{left: 3, right: 1}")],
                        [answer])  # fmt: skip
    marks = re.findall(r'class="pg-done" d="M\S+ [\d.]+([^"]+)"', picture(found, shipped().book.vocabulary))
    assert set(marks) == ({drawn} if drawn else set())


def test_the_page_is_whole_and_nothing_is_written_over(kept: Path, tmp_path: Path) -> None:
    page, picture = tmp_path / "juniper.html", tmp_path / "juniper.svg"
    assert shown(kept, "-o", str(page), "--picture", str(picture))["written"] == [str(picture), str(page)]
    html = page.read_text()
    assert html.count('class="body-map"') == 2
    assert "<script" not in html
    assert not re.search(r'(src|href)="http', html)
    refused = run("progress", "Juniper", "--store", str(kept), "--picture", str(picture))
    assert refused.exit_code == 2
    assert "CL03" in refused.output
    assert run("progress", "Juniper", "--store", str(kept), "-o", str(page)).exit_code == 0


def test_a_horse_that_is_not_kept_is_refused(kept: Path) -> None:
    for command in ("progress", "again"):
        result = run(command, "Junipre", "--store", str(kept))
        assert result.exit_code == 2
        assert "ST20" in result.output
        assert "Juniper" in result.output


def test_again_writes_a_file_once(kept: Path, tmp_path: Path) -> None:
    file = tmp_path / "juniper-july.yaml"
    result = run("again", "Juniper", "-o", str(file), "--store", str(kept), "--json")
    found = json.loads(result.output)
    jsonschema.validate(found, json.loads((FOLDER / "again.json").read_text()))
    assert found["text"] == file.read_text() == run("again", "Juniper", "--store", str(kept)).output
    assert run("again", "Juniper", "-o", str(file), "--store", str(kept)).exit_code == 2


def test_a_visit_is_judged_with_the_records_only_when_asked(kept: Path, tmp_path: Path) -> None:
    today = tmp_path / "today.yaml"
    today.write_text(visit("2026-07-10", "{left: 4, right: 1}"))
    alone = json.loads(run("assess", str(today), "--json").output)
    beside = json.loads(run("assess", str(today), "--json", "--store", str(kept)).output)
    assert alone != beside
    names = {item["name"] for one in beside["conclusions"] for item in one["supporting"]}
    assert "worse again and it is there again" in names
    assert "its remedy helped" not in {i["name"] for one in alone["conclusions"] for i in one["supporting"]}


def test_a_line_on_the_short_page_is_one_of_the_file_at_its_head(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    kept_course(store, [visit(f"2026-04-{day}", "{left: 6, right: 1}") for day in ("04", "18")], ["done"])
    today = tmp_path / "today.yaml"
    today.write_text(visit("2026-05-02", "{left: 6, right: 1}"))
    page = " ".join(run("assess", str(today), "--store", store.place.shown).output.split())
    # What an earlier visit says has its day in its words, and stands in no line of today's file.
    assert "girth line left 6, then 6 on 2026-04-18) The left side" in page
    assert "sore where it lies (girth line, left: 6) line 9" in page


def test_reports_tell_what_changed(kept: Path, tmp_path: Path) -> None:
    today = tmp_path / "today.yaml"
    today.write_text(visit("2026-07-10", "{left: 5, right: 1}", back="{left: 1.5, right: 1}"))
    for who in ("the veterinarian", "the saddle fitter"):
        may = ("--what", "report may go to", "--given", "--who", who)
        assert run("records", "consent", HORSE, *may, "--store", str(kept)).exit_code == 0
    for reader in ("owner", "vet", "saddle-fitter"):
        page = tmp_path / f"{reader}.html"
        assert run("report", str(today), "--for", reader, "-o", str(page), "--store", str(kept)).exit_code == 0
        html = page.read_text()
        said = html.split("Since the last visit</h2>")[1].split("</section>")[0]
        assert "girth line, left" in said
        assert "))" not in said, "words within words in brackets"
        assert said.count("<p>") <= (3 if reader == "owner" else 8)
        assert run("report", str(today), "--for", reader, "-o", str(page)).exit_code == 0
        assert "Since the last visit" not in page.read_text()


def test_several_files_are_kept_the_oldest_first(tmp_path: Path) -> None:
    files = []
    for at, text in enumerate(TEXTS[:2]):
        files.append(tmp_path / f"{at}.yaml")
        files[-1].write_text(text)
    store = tmp_path / "practice.db"
    assert run("records", "save", str(files[1]), str(files[0]), "--store", str(store)).exit_code == 0
    assert shown(store)["kept_late"] == []
    found = progress(fresh(tmp_path))
    assert [held.known.day.isoformat() for held in found.held] == ["2026-04-04", "2026-04-20"]
