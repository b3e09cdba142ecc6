"""Reports and the owner's consent, as a tired person meets it: what is refused, what leaves, what stands on the page.

In: visits in a store, words on a command line. Out: pages and refusals. Not here: whose word counts (tests/records/test_may_go).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.rendering.schema_files import FOLDER

HOME = Path(__file__).resolve().parents[2]
BRAMBLE, OTTER = (str(HOME / "examples" / f"{name}.yaml") for name in ("bramble", "otter"))


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with records of Bramble and of Otter, for whom an emergency call stands."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("REASONER_STORE", raising=False)
    assert run("records", "save", BRAMBLE, OTTER, "--store", "p.db").exit_code == 0
    return tmp_path


def report(reader: str, *words: str, visit: str = BRAMBLE, out: str = "page.html") -> Result:
    return run("report", visit, "--for", reader, "-o", out, "--store", "p.db", *words)


def consent(*words: str) -> None:
    assert run("records", "consent", "Bramble", "--store", "p.db", *words).exit_code == 0


def agreed(page: str = "page.html") -> str:
    """What a page says of consent."""
    found = re.search(r"<h2>What was agreed</h2>\s*<p>(.*?)</p>", Path(page).read_text())
    assert found is not None
    return found[1].replace("&#39;", "'")


def held_back(result: Result, *words: str) -> None:
    assert result.exit_code == 2, result.output
    assert "RE62" in result.output
    for one in words:
        assert one in result.output
    assert not Path("page.html").exists()


@pytest.mark.parametrize("who", ["the sadle fitter", "Saddle fiter", "The Sadler", "saddlers"])
def test_a_refusal_under_a_misspelt_name_is_not_kept_to_no_purpose(here: Path, who: str) -> None:
    consent("--what", "report may go to", "--given", "--who", "the saddle fitter")
    may = ("records", "consent", "Bramble", "--store", "p.db", "--what", "Report may go to", "--refused", "--who")
    refused = run(*may, who)
    assert refused.exit_code == 2
    assert f'RE73 --who: "{who}" is much like "' in refused.output
    assert who not in run("records", "consent", "Bramble", "--store", "p.db").output
    assert report("saddle-fitter").exit_code == 0, "nothing was refused yet"


@pytest.mark.parametrize(
    "who", ["Farrer", "Dr Vets", "Sadie Fitter", "the groom", "her trainer", "the saddler", "THE VET"]
)
def test_a_person_and_a_reader_as_called_are_no_slips(here: Path, who: str) -> None:
    consent("--what", "report may go to", "--refused", "--who", who)
    consent("--what", "owner agreed", "--given", "--who", "the farier")  # whoever agreed is no reader


@pytest.mark.parametrize(
    ("reader", "called"),
    [("vet", "the veterinarian"), ("saddle-fitter", "the saddle fitter"), ("farrier", "the farrier")],
)
def test_without_consent_no_report_leaves_and_the_repair_that_is_told_works(
    here: Path, reader: str, called: str
) -> None:
    refused = report(reader)
    held_back(refused, "nothing is kept of whether", "--own-eyes")
    command = re.search(r"`reasoner (records consent .*?)`", refused.output)
    assert command is not None
    words = re.findall(r'"[^"]*"|\S+', command[1])
    assert run(*(word.strip('"') for word in words)).exit_code == 0
    assert report(reader).exit_code == 0
    assert f"A report may go to {called}, said on" in agreed()


def test_withdrawn_later_no_report_leaves(here: Path) -> None:
    consent("--what", "report may go to", "--given", "--who", "vet", "--on", "2026-04-18")
    assert report("vet").exit_code == 0
    Path("page.html").unlink()
    consent("--what", "report may go to", "--refused", "--who", "the veterinarian", "--on", "2026-05-01")
    held_back(report("vet"), "no report may go to the veterinarian, said on 1 May 2026")
    consent("--what", "report may go to", "--given", "--who", "vet", "--on", "2026-05-02", "--until", "2026-05-03")
    held_back(report("vet"), "That day is over")


def test_the_owners_page_needs_none_and_tells_who_may_be_given_one(here: Path) -> None:
    consent("--what", "report may go to", "--refused", "--who", "the farrier", "--on", "2026-05-01")
    assert report("owner").exit_code == 0
    assert "No report may go to the farrier, said on 1 May 2026." in agreed()
    consent("--what", "report may go to", "--given", "--who", "vet")
    assert report("vet").exit_code == 0
    assert "farrier" not in agreed(), "who else may be given a report is the owner's business"
    assert "Nothing is kept of whether the owner agrees to the work." in agreed()


def test_for_ones_own_eyes_it_is_written_and_marked(here: Path) -> None:
    assert report("vet", "--own-eyes", "--approved-by", "Wren Aldous").exit_code == 0
    page = Path("page.html").read_text()
    assert page.count("NOT TO BE GIVEN AWAY") == 2, "at the head, and on every printed page"
    assert "Nothing is kept of whether a report may go to the veterinarian." in page


def test_an_emergency_waits_for_no_paper_and_the_page_says_so(here: Path) -> None:
    told = report("vet", visit=OTTER)
    assert told.exit_code == 0
    assert "waits for no paper" in told.output
    assert "waits for no paper" in agreed()
    Path("page.html").unlink()
    held_back(report("farrier", visit=OTTER))


def test_without_records_it_is_plainly_not_known(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("reasoner.store.place._own_folder", lambda: here / "nothing")
    for reader in ("owner", "vet"):
        made = run("report", BRAMBLE, "--for", reader, "-o", "page.html")
        assert made.exit_code == 0
        assert "not known here" in agreed()


def test_all_of_them_or_none(here: Path) -> None:
    consent("--what", "report may go to", "--given", "--who", "vet")
    Path("out").mkdir()
    refused = run("report", BRAMBLE, "--all", "out", "--store", "p.db")
    assert refused.exit_code == 2
    assert (refused.output.count("RE62"), list(Path("out").iterdir())) == (2, [])
    assert run("report", BRAMBLE, "--all", "out", "--store", "p.db", "--own-eyes").exit_code == 0
    assert len(list(Path("out").iterdir())) == 4
    named = run("report", BRAMBLE, "--all", "out", "--store", "p.db", "--to", "Dr Mossop")
    assert (named.exit_code, "RE63" in named.output) == (2, True)


def test_a_person_is_named(here: Path) -> None:
    consent("--what", "report may go to", "--given", "--who", "Dr Mossop")
    held_back(report("vet"), 'say --to "Dr Mossop"')
    assert report("vet", "--to", " dr  mossop ").exit_code == 0
    assert "For the veterinarian, dr mossop." in Path("page.html").read_text()
    Path("page.html").unlink()
    held_back(report("vet", "--to", "Dr Mosop"), '--who "Dr Mosop"')


def test_a_horse_that_named_records_do_not_hold_has_agreed_to_nothing(here: Path) -> None:
    file = here / "fern.yaml"
    file.write_text("horse: {name: Fern}\nvisit: 2026-05-02\nyard: Larkhope\npalpation: {loin: {left: 1, right: 4}}\n")
    held_back(report("vet", visit=str(file)), "records save")
    assert report("owner", visit=str(file)).exit_code == 0


def test_the_answer_as_data(here: Path) -> None:
    data: dict[str, Any] = json.loads(report("owner", "--json").output)
    jsonschema.validate(data, json.loads((FOLDER / "written.json").read_text()))
    assert data["own_eyes"] is False
    assert data["consent"]["owner"]
    refused = report("vet", "--json", out="other.html")
    assert refused.exit_code == 2
    assert [p["code"] for p in json.loads(refused.output)["problems"]] == ["RE62"]
    assert not Path("other.html").exists()


# -- where the records are, and whether they are asked for earlier visits ---------------------------------------------------


@pytest.fixture
def twice(here: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A second visit to Otter, for whom a call stands, as a file; the records are where the environment says."""
    Path("later.yaml").write_text(
        "horse: {name: Otter, born: 2010}\nvisit: 2026-05-02\nyard: Larkhope\nexamined by: Wren Aldous\n"
        "palpation: {loin: {left: 1, right: 1}}\n"
    )
    monkeypatch.setenv("REASONER_STORE", "p.db")
    return here


STANDS = "An earlier call to the veterinarian stood"


def test_the_variable_says_where_and_the_option_says_whether(twice: Path) -> None:
    for words in (("assess", "later.yaml"), ("plan", "later.yaml")):
        assert STANDS not in run(*words).output, "judged by itself, whatever the environment says"
        assert STANDS in run(*words, "--store").output, "the option alone takes the usual place"
        assert STANDS in run(*words, "--store", "p.db").output
    for name in ("empty.db", "none.db"):
        refused = run("assess", "later.yaml", "--store", name)
        assert refused.exit_code == 2
        assert "ST02" in refused.stderr


def test_the_option_alone_refuses_where_the_usual_place_holds_nothing(
    twice: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REASONER_STORE", "nowhere.db")
    refused = run("assess", "later.yaml", "--store")
    assert refused.exit_code == 2
    assert "ST02 nowhere.db" in refused.stderr


def test_a_report_without_the_option_says_what_it_did_not_hear(twice: Path) -> None:
    alone = run("report", "later.yaml", "--for", "owner", "-o", "alone.html")
    assert alone.exit_code == 0, alone.output
    assert "p.db holds 1 earlier visit to Otter, which this page was written without" in alone.stderr
    assert STANDS not in Path("alone.html").read_text()
    heard = run("report", "later.yaml", "--for", "owner", "-o", "heard.html", "--store")
    assert heard.exit_code == 0, heard.output
    assert "written without" not in heard.stderr
    assert "At an earlier visit a veterinarian was to be asked" in Path("heard.html").read_text()
