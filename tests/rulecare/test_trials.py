"""Slips of the pen and fences: what the examples of a page notice, and that a page spoiled in earnest fails them.

In: the shipped rules, and pages spoiled one way each. Out: what is noticed, by whom.
Not here: whether an example is right (tests/rules).
"""

from __future__ import annotations

import dataclasses
import json
import shutil
from collections.abc import Mapping
from pathlib import Path
from random import Random
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.problems import BadInput
from reasoner.rulebook.conditions import All, AtLeast, Leaf, Not
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.example_check import Case
from reasoner.rulecare.examples import answer_of, cases, complaints, pages
from reasoner.rulecare.fence_files import read_fences
from reasoner.rulecare.fences import fences_of
from reasoner.rulecare.mutants import mutants
from reasoner.rulecare.trials import Trials
from reasoner.rules_cache import compiled
from tests.asking import shipped

SHIPPED = shipped_rules()
SCHEMAS = Path(__file__).resolve().parents[2] / "reasoner" / "rendering" / "schemas"
SORE = Leaf("withers", "place", "ramp", "this", ("sore",), line=7)
FOUR = Leaf("withers", "place", "at_least", "this", (), 4.0, line=8)
LOW = Leaf("saddle_front", "choice", "is", "", ("low",), line=9)


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["rules", *words], catch_exceptions=False)


def schema(name: str) -> Mapping[str, Any]:
    found: Mapping[str, Any] = json.loads((SCHEMAS / name).read_text())
    return found


def book_with(tmp_path: Path, page: str, old: str, new: str) -> Rulebook:
    """The shipped rules with one page spoiled; its examples stay as they are."""
    source = next(path for path in SHIPPED.rglob(f"{page}.yaml") if path.parent.name != "fences")
    text = source.read_text()
    assert old in text
    place = tmp_path / source.relative_to(SHIPPED)
    place.parent.mkdir()
    place.write_text(text.replace(old, new, 1))
    return load_rulebook([SHIPPED, tmp_path])


def test_every_part_is_left_out_turned_round_nudged_and_read_on_the_other_side() -> None:
    """The slips of a small condition, by name; the line of each is that of the part it changes."""
    made = {m.what: m for m in mutants(All((SORE, Not(FOUR), LOW)), shipped().book.scales, shipped().book.vocabulary)}
    assert {what.partition(")")[2].strip() or what for what in made} >= {"sore left out", "sore turned round"}
    assert "the limit of withers (this side) at least 4 moved to 3.5" in made
    assert "the limit of withers (this side) at least 4 moved to 4.5" in made
    assert "`not` left out before withers (this side) at least 4" in made
    assert "withers (this side) sore read on the other side" in made
    assert made["saddle front low turned round"].line == 9
    assert made["withers (this side) sore left out"].condition == All((Not(FOUR), LOW))


def test_graded_at_all_has_no_limit_to_nudge() -> None:
    """ "So, or not so" asks whether anybody looked: whatever its limit, it asks the same."""
    assert list(mutants(AtLeast(1, (FOUR, Not(FOUR))), shipped().book.scales, shipped().book.vocabulary)) == []


def test_k_of_n_is_asked_for_one_more_and_one_less() -> None:
    made = {m.what for m in mutants(AtLeast(2, (SORE, FOUR, LOW)), shipped().book.scales, shipped().book.vocabulary)}
    assert {"1 of 3 asked for instead of 2", "3 of 3 asked for instead of 2"} <= made


@pytest.mark.parametrize(
    ("page", "old", "new"),
    [
        ("withers_pinch", "{withers: {side: this, at_least: sore}}", "{withers: {side: other, at_least: sore}}"),
        ("uneven_behind_slightly", "{hind_step: {side: this, is: slight}}", "{hind_step: {side: this, is: marked}}"),
        ("shims_under_the_side", "{tree_width: looks_narrow}", "{tree_width: looks_wide}"),
    ],
)
def test_a_slip_made_in_earnest_fails_an_example(tmp_path: Path, page: str, old: str, new: str) -> None:
    """What the trials predict without loading a new rulebook comes true when the page is really written so."""
    spoiled = compiled(book_with(tmp_path, page, old, new))
    mine = [case for case in cases(spoiled.book) if case.page.id == page]
    assert any(complaints(case, answer_of(case, spoiled)) for case in mine)


def test_the_trials_and_a_page_really_spoiled_agree(tmp_path: Path) -> None:
    """A noticed slip of a limit, written into the page, changes what one of its examples comes to; the unspoiled page passes."""
    trials = Trials(shipped().book)
    page = shipped().book.concerns["very_sore_or_threatens"]
    slips = [s for s in trials.slips[page.id] if "at least 9" in s.what and "moved to 9.5" in s.what]
    assert slips
    assert any(trials.noticed(page, slip) for slip in slips)
    spoiled = compiled(book_with(tmp_path, page.id, "at_least: 9", "at_least: 9.5"))
    mine = [c for c in cases(spoiled.book) if c.page.id == page.id and not c.mirror]
    assert any(complaints(case, answer_of(case, spoiled)) for case in mine)
    whole = [c for c in cases(shipped().book) if c.page.id == page.id and not c.mirror]
    assert not any(complaints(case, answer_of(case, shipped())) for case in whole)


def test_fences_notice_what_the_examples_do_not_and_hold_in_the_mirror() -> None:
    """What the page's examples miss is noticed by the fences found for it; the same seed finds the same."""
    page = shipped().book.conclusions["back_held_hollow"]
    trials = Trials(shipped().book)
    found, left = fences_of(trials, page)
    assert (found, left) == fences_of(trials, page)
    noticed = {name for fence in found for name in fence.notices}
    wanted = {f"{s.where}: {s.what}" for s in trials.slips[page.id] if not trials.noticed(page, s)}
    assert noticed == wanted - {f"{s.where}: {s.what}" for s in left}


def test_the_shipped_rules_leave_nothing_over() -> None:
    """Every example and fence comes true both ways round, all is shown, and every slip is noticed."""
    told = run("test", "--json")
    found = json.loads(told.output)
    jsonschema.validate(found, schema("rules_test.json"))
    assert (found["failed"], found["gaps"], found["unnoticed"]) == ([], [], [])
    assert told.exit_code == 0
    assert found["slips"] > 1000


def test_fence_writes_only_under_fences_and_names_a_strange_page(tmp_path: Path) -> None:
    (tmp_path / "causes").mkdir()
    told = run("fence", "back_held_hollow", "--into", str(tmp_path), "--json")
    jsonschema.validate(json.loads(told.output), schema("rules_fence.json"))
    assert [p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*.yaml")] == ["fences/back_held_hollow.yaml"]
    assert read_fences([tmp_path])["back_held_hollow"]
    wrong = CliRunner().invoke(cli, ["rules", "fence", "back_held_hollw", "--into", str(tmp_path)])
    assert wrong.exit_code == 2
    assert "back_held_hollow" in wrong.output


def test_fences_put_where_their_rules_do_not_lie_are_told(tmp_path: Path) -> None:
    """`rules test` reads the fences of its own folders only; what was meant for a layer is found with that layer."""
    words = ("fence", "jaw_clenched", "--tries", "1", "--into", str(tmp_path))
    assert "CL08" in run(*words).output
    (warning,) = json.loads(run(*words, "--json").output)["warnings"]
    assert (warning["code"], warning["severity"]) == ("CL08", "warning")
    (tmp_path / "actions").mkdir()
    shutil.copy(SHIPPED / "actions" / "longer_warm_up.yaml", tmp_path / "actions")
    told = run(*words, "--rules", "shipped", "--rules", str(tmp_path), "--json")
    jsonschema.validate(json.loads(told.output), schema("rules_fence.json"))
    assert json.loads(told.output)["warnings"] == []


def test_a_fence_file_of_somebody_elses_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "fences").mkdir()
    target = tmp_path / "fences" / "back_held_hollow.yaml"
    target.write_text("mine: yes\n")
    told = run("fence", "back_held_hollow", "--into", str(tmp_path))
    assert told.exit_code == 2
    assert target.read_text() == "mine: yes\n"


def test_what_is_called_noticed_fails_when_the_rulebook_is_really_compiled_so() -> None:
    """Forty slips of every kind of page and of slip, drawn with a seed: written into the rulebook, some case of the page fails.

    So the shortcut, a few more columns beside the page's own, claims nothing that the long way would not show.
    """
    fences = read_fences([SHIPPED])
    trials = Trials(shipped().book, fences)
    every = list(pages(shipped().book))
    drawn = Random(7)
    tried = 0
    while tried < 40:
        page = drawn.choice(every)
        slip = drawn.choice(trials.slips[page.id])
        if slip.condition is None or not trials.noticed(page, slip):
            continue
        tried += 1
        parsed = {**shipped().book.parsed, (page.id, slip.where): slip.condition}
        try:
            really = compiled(dataclasses.replace(shipped().book, parsed=parsed))
        except BadInput:
            continue  # refused as it is read, which nobody overlooks
        mine = [Case(page, example, False) for example in (*page.examples, *fences.get(page.id, ()))]
        assert any(complaints(case, answer_of(case, really)) for case in mine), f"{page.id}: {slip.where}: {slip.what}"
