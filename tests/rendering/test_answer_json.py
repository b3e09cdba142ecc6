"""JSON answers: their schema, their shape, their steadiness.

In: every example. Out: passes or fails.
Not here: whether an answer is right.
"""

from __future__ import annotations

import json
import re
from functools import cache
from typing import Any

import jsonschema
import pytest

from reasoner.explanation.why import why_of
from reasoner.rendering.answer_json import answer_json, plan_json, why_json
from reasoner.rendering.schema_files import FOLDER, written
from tests.rendering.answers import NAMES, answer, hostile

every_example = pytest.mark.parametrize("name", NAMES)


@cache
def _checker(name: str) -> jsonschema.Draft202012Validator:
    schema = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def _told(data: dict[str, Any]) -> Any:
    return json.loads(json.dumps(data, allow_nan=False))


def test_the_schema_files_are_fresh() -> None:
    found = {path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.json")}
    assert found == written(), "run: python -m reasoner.rendering.schema_files"


@every_example
def test_every_answer_fits_its_schema(name: str) -> None:
    _checker("answer.json").validate(_told(answer_json(answer(name))))
    _checker("plan.json").validate(_told(plan_json(answer(name))))


@every_example
def test_every_why_fits_its_schema(name: str) -> None:
    said = answer(name)
    places = said.ready.book.vocabulary.places
    whys = [
        why_of(said.explanation, said.record, said.facts, said.visit, place, side)
        for place in list(places.values())[::6]
        for side in (("",) if place.sides == "midline" else ("left", "right"))
    ]
    _checker("why.json").validate(_told(why_json(said, whys)))


def test_a_schema_refuses_what_is_missing_added_or_impossible() -> None:
    good = _told(answer_json(answer("bramble")))
    for spoil in ("engine", "referral", "not_checked"):
        assert list(_checker("answer.json").iter_errors({k: v for k, v in good.items() if k != spoil}))
    assert list(_checker("answer.json").iter_errors({**good, "verdict": "none"}))
    good["conclusions"][0]["certainty"] = 1.5
    assert list(_checker("answer.json").iter_errors(good))


def test_hostile_text_is_only_text() -> None:
    _checker("answer.json").validate(_told(answer_json(hostile())))


@every_example
def test_the_shape_that_was_promised(name: str) -> None:
    data = _told(answer_json(answer(name)))
    promised = "schema_version visit rulebase engine warnings referral conclusions account unexplained not_checked plan"
    assert set(promised.split()) <= set(data)
    assert data["referral"]["level"] in ("none", "routine", "prompt", "emergency")
    for concern in data["referral"]["concerns"]:
        assert {"key", "when", "stops", "while_you_wait"} <= set(concern)
    for concluded in data["conclusions"]:
        wanted = "key kind side certainty lower upper band words supporting opposing not_checked accounts_for basis"
        assert set(wanted.split()) <= set(concluded)
        assert concluded["side"] in ("left", "right", None)
        assert concluded["lower"] - 1e-9 <= concluded["certainty"] <= concluded["upper"] + 1e-9
        for item in concluded["supporting"] + concluded["opposing"]:
            assert {"rule", "strength", "degree", "contribution", "share", "findings"} <= set(item)
            for finding in item["findings"]:
                assert {"where", "side", "value", "line"} <= set(finding)
                assert finding["line"] > 0
    plan = data["plan"]
    assert {"riding", "steps", "withheld", "owner_tasks", "recheck_days"} <= set(plan)
    for step in plan["steps"]:
        assert {"key", "side", "words", "dose", "because", "expects"} <= set(step)
    for held in plan["withheld"]:
        assert held["because"]


def test_the_account_names_only_conclusions_that_are_there() -> None:
    for name in NAMES:
        data = answer_json(answer(name))
        known = {(c["key"], c["side"]) for c in data["conclusions"]}
        stack = list(data["account"])
        while stack:
            chain = stack.pop()
            assert (chain["key"], chain["side"]) in known
            stack += chain["leads_to"]


def test_keys_stand_in_one_order_and_numbers_have_at_most_nine_decimals() -> None:
    one, other = (json.dumps(answer_json(answer("juno"))) for _ in range(2))
    assert one == other
    assert not re.search(r"\.\d{10,}", one)
    assert "-0.0," not in one
    keys = {name: list(answer_json(answer(name))) for name in NAMES}
    assert len({tuple(order) for order in keys.values()}) == 1
