"""The schemas for editors: fresh, valid, and never at odds with a file that reads; yet they catch a slip.

In: rules/schema/ and every shipped page, word file and example visit. Out: a failure for each disagreement.
Not here: whether a file is right, which the readers and the check decide.
"""

from __future__ import annotations

import copy
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from referencing import Registry, Resource

from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import PAGE_FOLDERS
from reasoner.rulecare.new_page import KINDS, new_page
from reasoner.rulecare.page_schemas import KINDS as PAGE_KINDS
from reasoner.rulecare.schema_files import written

RULES = shipped_rules()
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
PAGES = sorted(p for folder in PAGE_FOLDERS for p in (RULES / folder).glob("*.yaml"))
WORDS = sorted((RULES / "vocabulary").glob("*.yaml"))
SCHEMAS = sorted(p.name.removesuffix(".schema.json") for p in (RULES / "schema").glob("*.json"))


class _Editor(yaml.SafeLoader):
    """YAML 1.2 as editors read it: numbers, true and false are typed; yes, off and dates are text."""


_Editor.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+", list("-+0123456789")),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", list("-+.0123456789")),
):
    _Editor.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), first)


def as_an_editor_reads(text: str) -> Any:
    return yaml.load(text, Loader=_Editor)


@cache
def validator(name: str) -> jsonschema.Draft202012Validator:
    found = {p.name: json.loads(p.read_text("utf-8")) for p in (RULES / "schema").glob("*.json")}
    registry: Registry[Any] = Registry().with_resources((n, Resource.from_contents(s)) for n, s in found.items())
    return jsonschema.Draft202012Validator(found[f"{name}.schema.json"], registry=registry)


def schema(name: str) -> Any:
    return json.loads((RULES / "schema" / f"{name}.schema.json").read_text("utf-8"))


def faults(name: str, data: Any) -> list[str]:
    return [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:200]}" for e in validator(name).iter_errors(data)]


def schema_of(text: str, folder: str) -> str:
    if folder in ("sources", "circumstances"):
        return folder.removesuffix("s")
    found = re.search(r"^kind: *([\w ]+)$", text, re.MULTILINE)
    assert found is not None
    return KINDS[found[1].strip()][0]


def test_the_files_are_fresh() -> None:
    found = {p.name: p.read_text("utf-8") for p in (RULES / "schema").glob("*.json")}
    assert found == written(), "run: python -m reasoner.rulecare.schema_files"


@pytest.mark.parametrize("name", SCHEMAS)
def test_each_is_a_schema(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(schema(name))


@pytest.mark.parametrize("path", PAGES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_no_shipped_page_is_flagged(path: Path) -> None:
    text = path.read_text("utf-8")
    assert faults(schema_of(text, path.parent.name), as_an_editor_reads(text)) == []


@pytest.mark.parametrize("path", WORDS, ids=lambda p: p.stem)
def test_no_shipped_word_file_is_flagged(path: Path) -> None:
    assert faults("vocabulary", as_an_editor_reads(path.read_text("utf-8"))) == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_no_example_visit_is_flagged(path: Path) -> None:
    assert faults("visit", as_an_editor_reads(path.read_text("utf-8"))) == []


VALID_TWINS = sorted((Path(__file__).parents[1] / "faults" / "visit").glob("*.good.yaml"))


@pytest.mark.parametrize("path", VALID_TWINS, ids=lambda p: p.stem)
def test_no_visit_that_reads_is_flagged(path: Path) -> None:
    """However it is written: synonyms, a side before a name, blanks, a heading with nothing under it."""
    assert faults("visit", as_an_editor_reads(path.read_text("utf-8"))) == []


@pytest.mark.parametrize("kind", ["cause", "concern", "look", "circumstance", "source"])
def test_no_skeleton_is_flagged(kind: str) -> None:
    text = new_page(kind, "a_made_up_page").text
    assert faults(KINDS[kind][0], as_an_editor_reads(text)) == []
    assert f"{KINDS[kind][0]}.schema.json" in text.splitlines()[0]


def test_keys_may_be_spelled_as_the_reader_allows() -> None:
    page = as_an_editor_reads((RULES / "causes" / "withers_pinch.yaml").read_text("utf-8"))
    for spelled in ("can mislead", "Can-Mislead"):
        other = copy.deepcopy(page)
        other[spelled] = other.pop("can_mislead")
        assert faults("conclusion", other) == []
    page.pop("can_mislead")
    assert faults("conclusion", page) != []


@pytest.mark.parametrize(
    ("kind", "path", "old", "new"),
    [
        ("conclusion", "causes/withers_pinch.yaml", "sides: each", "sides: left"),
        ("conclusion", "causes/withers_pinch.yaml", "lesson:", "leson:"),
        ("conclusion", "causes/withers_pinch.yaml", "    sure: high", "    sure: certain"),
        ("conclusion", "causes/withers_pinch.yaml", "    group: felt_at_the_withers", "    grup: felt"),
        ("conclusion", "causes/withers_pinch.yaml", "at_least: sore}}", "at_least: 11}}"),
        ("concern", "concerns/hurt_eye.yaml", "call: ", "call: soon # "),
        ("action", "actions/stirrup_trial.yaml", "recheck_days: 10", "recheck_days: soon"),
        ("source", "sources/baxter_2020.yaml", "used_for: ", "use: "),
        ("circumstance", "circumstances/not_yet_settled.yaml", "lessens: soreness", "lessens: everything"),
        ("vocabulary", "vocabulary/places_withers_back.yaml", "sides: each", "sides: two"),
    ],
)
def test_a_slip_in_a_page_is_flagged(kind: str, path: str, old: str, new: str) -> None:
    text = (RULES / path).read_text("utf-8")
    assert old in text
    assert faults(kind, as_an_editor_reads(text.replace(old, new, 1))) != []


@pytest.mark.parametrize(
    "text",
    ["palpation: {withers: {left: 11}}", "palpation: {withers: 4}", "tacked up: [saddle]", "quiet: {neck: [both]}"],
)
def test_a_slip_in_a_visit_is_flagged(text: str) -> None:
    assert faults("visit", as_an_editor_reads(text)) != []


def _described(schema: Any, path: str = "") -> list[str]:
    missing = []
    for key, below in schema.get("properties", {}).items():
        if "description" not in below:
            missing.append(f"{path}{key}")
        for inner in (below, below.get("items", {}), *below.get("anyOf", ())):
            missing += _described(inner, f"{path}{key}/") if isinstance(inner, dict) else []
    return missing


@pytest.mark.parametrize("name", PAGE_KINDS)
def test_every_key_of_a_page_is_explained(name: str) -> None:
    assert _described(schema(name)) == []


def test_an_editor_is_offered_the_words() -> None:
    """A condition offers every place, entry and page; a visit every heading, and the words of an entry."""
    condition = schema("parts")["$defs"]["condition"]["properties"]
    assert {"withers", "saddle_front", "withers_pinch", "all"} <= set(condition)
    saddle = schema("visit")["properties"]["tacked up"]["properties"]["saddle"]["properties"]
    assert "level" in saddle["front"]["anyOf"][0]["enum"]
