"""The test lines themselves: each says only what the vocabulary can hold, and none ever goes away.

In: the cases, the ledger. Out: failures. Not here: the parser.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook.strict_yaml import Node, parse
from reasoner.rulebook.vocabulary import Vocabulary
from tests.lines import add_lines
from tests.lines.cases import (
    HERE,
    SIDES,
    Case,
    Question,
    Target,
    cases,
    entered,
    left_out,
    of_file,
    read_reading,
    vocabulary,
)

CASES = cases()
WORDS = vocabulary()
LEAST = 300


def faults(case: Case, words: Vocabulary) -> list[str]:
    """What a case says that the vocabulary cannot hold."""
    out = [f"looking at {case.looking_at}"] if case.looking_at and case.looking_at not in words.places else []
    out += [fault for find in case.finds for fault in _target_faults(find, words)]
    out += [fault for target in case.not_examined for fault in _target_faults(target, words)]
    out += [f"no reading at {find.key}" for find in case.finds if find.reading is None]
    reasons = {word.key for word in words.qualities["not_examined_reasons"]}
    out += [f"reason {one.reason}" for one in case.not_examined if one.reason and one.reason not in reasons]
    out += [fault for asked in case.asks for fault in _question_faults(asked, case, words)]
    said = _smoothed(case.line)
    out += [f'"{piece}" is not in the line' for piece in case.kept if not piece or _smoothed(piece) not in said]
    return out


def _smoothed(text: str) -> str:
    return " ".join(text.casefold().split())


def _target_faults(target: Target, words: Vocabulary) -> list[str]:
    if target.kind == "entry":
        seen = words.observations.get(target.key)
        if seen is None:
            return [f"entry {target.key}"]
        right: tuple[str, ...] = (*SIDES, "both") if seen.sides == "each" else ("",)
    elif target.kind == "region":
        if target.key not in words.regions:
            return [f"region {target.key}"]
        if target.key in words.place_of:
            return [f"{target.key} is the name of a place; a place wins over its region"]
        right = (*SIDES, "both")
    else:
        place = words.places.get(target.key)
        if place is None:
            return [f"place {target.key}"]
        right = ("middle",) if place.sides == "midline" else (*SIDES, "both") if target.reading is None else SIDES
    return [] if target.side in right else [f"side {target.side!r} at {target.key}, expected one of {right}"]


def _question_faults(asked: Question, case: Case, words: Vocabulary) -> list[str]:
    """About a key, or about words of the line; the answers offered to a place are places or entries, to a side its own."""
    known = {**words.places, **words.observations}
    out = [f"about {what}" for what in asked.about if what not in known and _smoothed(what) not in _smoothed(case.line)]
    if not asked.about:
        out.append("a question about nothing")
    if asked.kind == "place":
        out += [f"offers {key}" for key in asked.offers if key not in known]
    if asked.kind == "side":
        for what in asked.about:
            out += [f"offers {one} for {what}" for one in asked.offers if one not in _sides_of(what, words)]
        if not asked.offers:
            out.append("a side is asked, and no answer is offered")
    if asked.kind == "verb" and set(asked.offers) != {"left side", "not examined"}:
        out.append(f"offers {asked.offers}")
    return out


def _sides_of(key: str, words: Vocabulary) -> set[str]:
    if key in words.places:
        return {"middle"} if words.places[key].sides == "midline" else {*SIDES, "both"}
    seen = words.observations[key]
    return {*SIDES, "both"} if seen.sides == "each" else {*SIDES, *(word.key for word in seen.readings)}


def _named(case: Case) -> str:
    return f"{case.file}:{case.at_line}"


@pytest.mark.parametrize("case", CASES, ids=_named)
def test_a_case_says_only_what_a_visit_can_hold(case: Case) -> None:
    assert not faults(case, WORDS)
    for find in case.finds:
        assert read_reading(find, WORDS) not in (None, ()), find.key
    spots = [(key, side) for key, side, _ in entered(case, WORDS)]
    assert len(spots) == len(set(spots)), "one spot, two readings"
    passed = [(key, side) for key, side, _ in left_out(case, WORDS)]
    assert not {*spots} & {*passed}, "examined and not examined"


BAD = """
- {line: loin four, finds: [{at: loyn, side: left, reading: 4}]}
- {line: loin four, finds: [{at: loin, side: middle, reading: 4}]}
- {line: loin four, finds: [{at: loin, side: both, reading: 4}]}
- {line: loin four, finds: [{at: back_spines, side: left, reading: 4}]}
- {line: loin four, finds: [{at: loin, side: left}]}
- {line: gums, finds: [{entry: gumms, reading: pink}]}
- {line: gums, finds: [{entry: gums, side: left, reading: pink}]}
- {line: loin, finds: [{region: loin, side: both, reading: 0}]}
- {line: loin, not_examined: [{at: loin, side: both, reason: bored}]}
- {line: loin, asks: [{kind: side, about: [croup], offers: [middle]}]}
- {line: loin, asks: [{kind: side, about: [loin], offers: []}]}
- {line: loin, asks: [{kind: place, about: [stifle joint], offers: [stifle]}]}
- {line: loin, asks: [{kind: place, about: [loin], offers: [elbow]}]}
- {line: loin, asks: [{kind: verb, about: [loin], offers: [left side]}]}
- {line: loin, kept: [croup]}
- {line: loin, looking_at: lion, kept: [loin]}
"""


def test_the_check_of_a_case_bites(tmp_path: Path) -> None:
    """Every one of these says something that the vocabulary cannot hold."""
    path = tmp_path / "bad.yaml"
    path.write_text(BAD)
    bad = [*of_file(path)]
    assert len(bad) == 16
    assert [case.at_line for case in bad if not faults(case, WORDS)] == []


@pytest.mark.parametrize("reading", ["11", "-1", "4.2", "{felt: sad}", "{soreness: 3, response: tight}", "flinches"])
def test_a_reading_that_no_visit_reads_is_refused(tmp_path: Path, reading: str) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text(f"- line: loin four\n  finds: [{{at: loin, side: left, reading: {reading}}}]\n")
    (case,) = of_file(path)
    with pytest.raises(BadInput):
        read_reading(case.finds[0], WORDS)


def test_what_is_asked_is_not_entered() -> None:
    """Where the side of a place is asked, nothing of that place stands among the findings."""
    for case in CASES:
        spots = {key for key, _, _ in entered(case, WORDS)}
        for asked in case.asks:
            if asked.kind == "side":
                assert not spots & {*asked.about}, case.line


def test_no_line_stands_twice() -> None:
    seen: dict[tuple[str, str], Case] = {}
    for case in CASES:
        key = (
            re.sub(r"\W+", " ", case.line.casefold()).strip() if "," not in case.line else case.line,
            case.looking_at,
        )
        assert key not in seen, f"{_named(case)} says the same as {_named(seen[key])}"
        seen[key] = case


def test_there_are_enough_lines() -> None:
    assert len(CASES) >= LEAST


def test_every_region_and_every_kind_of_question_is_in_them() -> None:
    regions = {WORDS.places[key].region for case in CASES for key, _, _ in entered(case, WORDS) if key in WORDS.places}
    assert regions == {place.region for place in WORDS.places.values()}
    assert {asked.kind for case in CASES for asked in case.asks} == {"side", "place", "reading", "verb"}


# Lines are only ever added.


def gone(held: list[tuple[str, str]], now: tuple[Case, ...], mended: set[str]) -> list[str]:
    """What is missing of the ledger: words that were taken away, expectations changed without a reason told."""
    said, whole = {case.said for case in now}, {case.sha for case in now}
    out = [f"a line was taken away or reworded: {words}" for words, _ in held if words not in said]
    return out + [
        f"an expectation was changed: {sha}" for words, sha in held if words in said and sha not in whole | mended
    ]


def _mended() -> dict[str, str]:
    path = HERE / "mended.yaml"
    top = parse(path.read_bytes(), path.name)
    assert isinstance(top.value, list)
    return {_text(one, "was"): _text(one, "why") for one in top.value}


def _text(node: Node, key: str) -> str:
    found = node.get(key)
    return (found.text if found else "") or ""


def test_no_line_went_away_and_none_was_changed() -> None:
    assert not gone(add_lines.rows(), CASES, set(_mended()))


def test_every_line_is_in_the_ledger() -> None:
    new = add_lines.missing(add_lines.rows(), CASES)
    assert not new, f"{len(new)} lines are new: run python -m tests.lines.add_lines"


def test_what_was_mended_has_a_reason() -> None:
    held = {whole for _, whole in add_lines.rows()}
    for was, why in _mended().items():
        assert was in held
        assert len(why.split()) >= 4


def test_the_ledger_has_kept_its_first_rows() -> None:
    """The rows of the first day, as one sum: the ledger cannot be made anew from fewer lines."""
    rows = add_lines.LEDGER.read_text().splitlines()[:FIRST_ROWS]
    assert len(rows) == FIRST_ROWS
    assert hashlib.sha256("\n".join(rows).encode()).hexdigest() == FIRST_SUM


def test_the_law_bites() -> None:
    """A line taken away, one reworded and one with another expectation are each told; an added one is not."""
    held, mended = add_lines.rows(), set(_mended())
    assert gone(held, CASES[1:], mended)
    first = CASES[0]
    reworded = Case(line=first.line + " x", whole=first.whole)
    assert gone(held, (reworded, *CASES[1:]), mended)
    changed = Case(line=first.line, looking_at=first.looking_at, whole=first.whole + " ")
    told = gone(held, (changed, *CASES[1:]), mended)
    assert told == [f"an expectation was changed: {first.sha}"]
    assert not gone(held, (changed, *CASES[1:]), mended | {first.sha})
    assert not gone(held, (*CASES, Case(line="something new", whole="new")), mended)


#: How many lines there were on the first day, and the sum of their rows.
FIRST_ROWS = 897
FIRST_SUM = "682f3f254452fd5a99530034caa6be9764da72946833d8acd610fa28829fc83b"
