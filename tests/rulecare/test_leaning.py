"""What leans on what: nothing that reads, leads to, cites or works on a thing is left out, and each line is the right one.

In: the shipped rules. Out: failures where something leans and is not told, or is told and does not lean.
Not here: how it is shown.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.leaning import WAYS, Lean, leanings
from reasoner.rulecare.names import entries, look_up


@cache
def book() -> Rulebook:
    return load_rulebook()


@cache
def all_of_it() -> Mapping[tuple[str, str], tuple[Lean, ...]]:
    return leanings(book())


def on(kind: str, key: str) -> tuple[Lean, ...]:
    return all_of_it().get((kind, key), ())


def text_at(lean: Lean) -> str:
    path = shipped_rules().parent / lean.file
    return path.read_text().splitlines()[lean.line - 1]


def told(kind: str, key: str, way: str) -> set[str]:
    return {lean.key for lean in on(kind, key) if lean.way == way}


def test_a_place_knows_its_rules_pages_and_actions() -> None:
    assert "withers_pinch/sore_on_this_side" in told("place", "withers", "speaks_for")
    assert "withers_pinch/quiet_or_mild_and_even" in told("place", "withers", "speaks_against")
    assert {"withers_pinch", "saddle_to_one_side"} <= told("place", "withers", "accounts_for")
    assert "flat_hand_at_the_withers" in told("place", "withers", "works_on")
    assert "stirrup_trial" in told("place", "withers", "forbidden")
    assert "stirrup_trial" in told("place", "behind_the_shoulder_blade", "expects")


def test_a_place_is_also_read_through_its_group() -> None:
    through = [lean for lean in on("place", "withers") if lean.note.startswith("one of ")]
    assert through
    assert all("group" in text_at(lean) or "places" in text_at(lean) for lean in through)


def test_a_page_knows_what_leads_to_it_and_what_it_asks_for() -> None:
    leading = {"weight_on_one_fore", "saddle_follows_the_hind_limb"}
    assert leading <= told("conclusion", "saddle_to_one_side", "leads_to")
    assert "stirrup_trial" in told("conclusion", "saddle_to_one_side", "wanted")
    assert "saddle_to_one_side/the_other_lead_and_the_far_hind" in told(
        "conclusion", "weight_on_one_fore", "speaks_for"
    )


def test_a_concern_knows_which_actions_it_holds_back() -> None:
    held = told("concern", "uneven_behind_slightly", "held")
    assert "stirrup_trial" in held
    assert "farrier_due" not in held


def test_every_published_basis_is_told_under_its_source() -> None:
    for key, _, rule in book().rules():
        for source in bases(rule.basis):
            assert key in told("source", source, "cites"), source
    for concern in book().concerns.values():
        for sign in concern.signs:
            for source in bases(sign.basis):
                assert concern.id in told("source", source, "cites")


def test_every_line_told_names_what_leans() -> None:
    """The line of a reading is the line the question stands on: the name asked, a spelling of it, or its group, is there."""
    for (kind, key), some in leanings(book()).items():
        if kind not in ("conclusion", "observation"):
            continue
        for lean in some:
            if lean.way in ("speaks_for", "speaks_against", "wanted", "needed", "forbidden", "raises", "leads_to"):
                assert key in text_at(lean), (kind, key, lean)


def test_the_ways_are_all_in_use_or_could_be() -> None:
    used = {lean.way for some in leanings(book()).values() for lean in some}
    assert used <= set(WAYS)
    assert set(WAYS) - used <= {"gated"}  # no shipped rule need have a gate


def test_rules_of_one_group_are_one_witness() -> None:
    key = "withers_pinch/quiet_or_mild_and_even"
    assert told("rule", key, "one_voice") == {"withers_pinch/only_the_skin_and_the_saddle_goes_to_the_other_side"}


def test_a_name_is_found_by_key_name_and_synonym() -> None:
    for word, key in (
        ("withers_pinch", "withers_pinch"), ("Withers-Pinch / sore on this side", "withers_pinch/sore_on_this_side"),
        ("behind the shoulder blade", "behind_the_shoulder_blade"), ("trapezius", "withers"), ("push off", "hind_push_off"),
    ):  # fmt: skip
        assert look_up(word, book()).key == key


def test_a_name_that_means_several_things_asks_which() -> None:
    twice = [e for e in entries(book()) if e.kind == "rule" and e.name == "uneven steps were seen"]
    if len(twice) < 2:
        pytest.skip("no rule name stands on two pages any more")
    with pytest.raises(BadInput, match="means several things") as bad:
        look_up("uneven steps were seen", book())
    assert all(entry.key in str(bad.value) for entry in twice)


def test_an_unknown_name_is_answered_with_the_nearest() -> None:
    with pytest.raises(BadInput, match='Near: "withers_pinch"'):
        look_up("withrs_pinch", book())


def test_a_gate_is_told(tmp_path: Path) -> None:
    page = (shipped_rules() / "causes" / "worked_hard_lately.yaml").read_text()
    (tmp_path / "causes").mkdir()
    gated = page.replace("\nevidence:\n  - rule:", "\nevidence:\n  - only_if: {rests: straight}\n    rule:", 1)
    assert gated != page
    (tmp_path / "causes" / "worked_hard_lately.yaml").write_text(gated)
    layered = leanings(load_rulebook([shipped_rules(), tmp_path]))
    gates = {lean.key.split("/")[0] for lean in layered["observation", "rests"] if lean.way == "gated"}
    assert "worked_hard_lately" in gates
