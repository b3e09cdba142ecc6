"""The pages and the JSON of `reasoner firm` and `reasoner overturn`: shape, honesty about what was not done, plain words.

In: examples. Out: passes or fails.
Not here: whether the counts and the changes are right (tests/questions).
"""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.questions.firm import firmness_of, hand_of
from reasoner.questions.overturn import overturned
from reasoner.rendering.firm_json import firm_json
from reasoner.rendering.firm_text import firm_lines
from reasoner.rendering.overturn_json import overturn_json
from reasoner.rendering.overturn_text import overturn_lines
from reasoner.rendering.schema_files import FOLDER
from reasoner.rendering.text_page import plain_text
from tests.rendering.answers import NAMES, answer
from tests.test_cautious_words import WORDING

every_example = pytest.mark.parametrize("name", NAMES)
BRAMBLE = "examples/bramble.yaml"


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def fits(name: str, data: dict[str, Any]) -> Any:
    schema = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    told = json.loads(json.dumps(data, allow_nan=False))
    jsonschema.Draft202012Validator(schema).validate(told)
    return told


@every_example
def test_every_firmness_fits_its_schema_and_counts_every_row(name: str) -> None:
    said = answer(name)
    told = fits("firm.json", firm_json(firmness_of(said, hand_of(said.visit, said.ready.book.scales), 60), said))
    assert told["error"]["basis"] == "own setting"
    for one in told["conclusions"]:
        assert sum(one["bands"].values()) == told["rows"] == 60
        assert one["bands"].get(one["band"], 0) == one["kept"]
    for part in ("leading", "call", "first_step"):
        assert sum(value["rows"] for value in told[part]["values"]) == 60


@every_example
def test_every_overturning_fits_its_schema(name: str) -> None:
    said = answer(name)
    told = fits("overturn.json", overturn_json(overturned(said, work=300), said))
    for part in ("leading", "referral", "first_step"):
        for change in told[part]["changes"]:
            assert len(change["edits"]) == told[part]["readings"]


@pytest.mark.parametrize("name", ["bramble", "clover", "sorrel", "tansy", "hazel"])
def test_pages_say_what_they_rest_on_in_permitted_words(name: str) -> None:
    said = answer(name)
    firm = plain_text(firm_lines(firmness_of(said, hand_of(said.visit, said.ready.book.scales), 60), said))
    change = plain_text(overturn_lines(overturned(said, work=300), said))
    assert "seed 1" in firm
    assert "own setting" in firm
    assert "not a probability" in " ".join(firm.split())
    assert "Measurements, dates" in change
    for page in (firm, change):
        assert max(map(len, page.splitlines())) <= 80
        assert not list(WORDING.forbidden_in(page))


def test_a_search_cut_short_says_so() -> None:
    said = answer("sorrel")
    page = " ".join(plain_text(overturn_lines(overturned(said, work=300), said)).split())
    assert "were tried, those with the most room first, and none of those does" in page


def test_a_standing_call_is_never_hidden() -> None:
    """Whatever is asked, the veterinarian comes first."""
    for name in NAMES:
        said = answer(name)
        if said.referral.level in ("prompt", "emergency"):
            for lines in (firm_lines(firmness_of(said, hand_of(said.visit, said.ready.book.scales), 10), said),
                          overturn_lines(overturned(said, work=0), said)):  # fmt: skip
                assert said.referral.level.upper() in plain_text(lines)


def test_assess_tells_how_firm_the_leading_cause_is() -> None:
    """One line where a cause leads; none where none does, and none in the JSON."""
    page = " ".join(run("assess", str(answer("bramble").visit.file)).output.split())
    assert "With every score read again 1,000 times (the usual error of a hand, own setting), this leads in 9" in page
    assert "read again" not in run("assess", str(answer("clover").visit.file)).output


def test_no_score_nothing_to_read_again(tmp_path: Any) -> None:
    visit = tmp_path / "v.yaml"
    visit.write_text("visit: 2026-04-18\nhorse: {name: Bramble}\n")
    page = run("firm", str(visit))
    assert page.exit_code == 0
    assert "nothing to read again" in page.output
    empty = run("overturn", str(visit))
    assert empty.exit_code == 0
    assert "nothing was written down" in empty.output.lower()


def test_the_error_is_the_examiners_where_a_practice_keeps_one(tmp_path: Any) -> None:
    (tmp_path / "scales").mkdir()
    text = "examiners:\n  Wren Aldous: {shared: 0.1, noise: 0.2, basis: own setting}\n"
    (tmp_path / "scales" / "our_hands.yaml").write_text(text)
    visit = str(answer("bramble").visit.file)
    words = ["firm", visit, "--rows", "20", "--json", "--rules", "shipped", "--rules", str(tmp_path)]
    told = json.loads(run(*words).output)
    assert told["error"] == {"shared": 0.1, "noise": 0.2, "basis": "own setting", "whose": "this examiner"}
    told = json.loads(run(*words, "--noise", "0", "--shared", "0").output)
    assert told["error"]["whose"] == "given here"
    assert told["leading"]["kept"] == told["rows"] == 20
