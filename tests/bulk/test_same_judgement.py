"""A row of a table is judged exactly as the same line of a visit file.

In: the examples, and rows made up by chance, good and bad. Out: passes or fails.
Not here: files and processes (test_batch).
"""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pyarrow as pa
import pytest

from reasoner.bulk import Judge, judged_table
from reasoner.bulk.columns import findings_of
from reasoner.bulk.rows import Row, RowReader
from reasoner.consult import judge as judge_one
from reasoner.facts.from_measures import measured_facts
from reasoner.facts.table import column
from reasoner.problems import BadInput
from reasoner.rulebook.vocabulary import Observation
from reasoner.rules_cache import Ready
from reasoner.visit.model import Visit
from tests.bench.bulk_tables import Generated
from tests.bulk.as_rows import NAMES, table_from, table_of
from tests.bulk.comparing import by_itself, by_table, of_visit
from tests.chance import Chooser, Seeded, happens, pick


def test_the_examples_as_rows(judge: Judge, shipped: Ready, visits: dict[str, Visit]) -> None:
    """Certainties, bands, concerns, level, steps in their order and what is put off: all as from the files. Tracings, like a
    veterinarian's word, stand in visit files only."""
    visits = {name: visit for name, visit in visits.items() if not visit.outlines}
    assert len(visits) > 10
    judged = judge.table(table_of(visits, shipped.book.vocabulary))
    assert judged.visits == len(visits)
    assert judged.set_aside == 0
    for name, visit in visits.items():
        answer, rows = judge_one(visit, shipped), of_visit(judged.results, name)
        assert by_table(rows) == by_itself(answer), name
        steps = [(row["name"], row["side"] or "") for row in rows if row["band"] == "step"]
        heads = [(step.key, step.side) for step in answer.plan.steps]
        assert [step for step in steps if step in heads] == heads, "in the order of the plan"


def test_only_a_weighed_load_needs_the_exact_road(judge: Judge, shipped: Ready, visits: dict[str, Visit]) -> None:
    """What follows from a load hangs on the horse's weight and age too; every other example goes the quick road."""
    findings = findings_of(table_of(visits, shipped.book.vocabulary))
    coded = judge.coder.coded(findings)
    for _ in judge.filler.blocks(findings, coded):
        pass
    odd = {findings.ids[at].as_py() for at in np.flatnonzero(coded.odd).tolist()}
    assert odd == {name for name, visit in visits.items() if visit.noted_value("rider_weight") is not None}
    assert len(odd) == 1


def _value(chooser: Chooser, one: Observation) -> str:
    if happens(chooser, 3):
        return pick(chooser, ["", "perhaps", "{is: }", "[a, b]", "12 furlongs"])
    if one.kind in ("choice", "side"):
        words = [w for word in one.readings for w in (word.key, *word.also)]
        return pick(chooser, [*words, "left", "off"] if one.kind == "side" else words).replace("_", " ")
    if one.kind == "date":
        return pick(
            chooser, ["2026-04-01", "2025-03", "2024", "2026-04", "2026-05-30", "1949", one.none_word or "2026"]
        )
    if one.kind == "text":
        return pick(chooser, ["Juniper", "a note: with a colon", "a\x07bell", "  "])
    low, high = one.range or (0.0, 9.0)
    return pick(chooser, [f"{low:g}", f"{high:g}", "3", "38 °C", "36 /min", "80 cm", "2 h"])


TOUCHES = ("0", "2.5", "4", "7", "9/10", "would not allow touch", "not examined - out of time", "11", "flinches", "quiet",
           "{soreness: 4, response: flinches}", "{soreness: 2, once settled: 1, after work: 0}", "", "4.25")  # fmt: skip


def _some_row(chooser: Chooser, ready: Ready) -> dict[str, str]:
    vocabulary = ready.book.vocabulary
    row: dict[str, str] = {}
    if happens(chooser, 60):
        place = pick(chooser, list(vocabulary.places.values()))
        name = pick(chooser, [place.name, place.key, *place.also])
        row["value"] = pick(chooser, TOUCHES[:7] if happens(chooser, 92) else TOUCHES)
        if happens(chooser, 15):
            row["when"] = pick(chooser, ["once settled", "after work", "first", "settled"])
        for quality, words in (("response", ["flinches", "none", "flinches, pins ears"]), ("felt", ["nothing", "heat", "tight"]),
                               ("depth", ["deep", "surface"]), ("touch", ["light"])):  # fmt: skip
            if happens(chooser, 6):
                row[quality] = pick(chooser, words)
        sided = place.sides == "each"
    else:
        one = pick(chooser, list(vocabulary.observations.values()))
        heading = f"{one.section.split('/')[-1]}: " if one.section != "top" else ""
        name, sided = heading + one.name, one.sides == "each"
        row["value"] = _value(chooser, one)
        if one.section == "uneven_steps" and not sided and happens(chooser, 70):
            row["leg"] = pick(chooser, ["left hind", "right hind", "left fore"])
    if happens(chooser, 3):
        name = pick(chooser, list(vocabulary.regions))
        row = {"value": "quiet"}
        sided = True
    side = pick(chooser, ["left", "right", "near", "off", "both"]) if sided is not happens(chooser, 1) else ""
    if side and happens(chooser, 30):
        name, side = f"{side} {name}", ""
    return row | {"finding": name, "side": side}


def _some_visit(chooser: Chooser, ready: Ready, called: str) -> list[dict[str, str]]:
    day = pick(chooser, ["2026-04-18", "2026-05-02"] if happens(chooser, 95) else ["", "2026-13-01", "1066-10-14"])
    rows = [_some_row(chooser, ready) for _ in range(chooser.integer(1, 14))]
    if happens(chooser, 30):
        rows.append({"finding": "settled under the hand", "value": pick(chooser, ["seen", "not seen"])})
    return [{"visit": called, "date": day, **row} for row in rows]


def _exactly(reader: RowReader, rows: list[dict[str, str]], number: int) -> Visit | tuple[Any, ...]:
    """The visit as the exact road reads it, or everything wrong with it."""
    said = tuple(
        Row(number + at, row["finding"], row.get("side", ""), row.get("value", ""),
            tuple(row.get(name, "") for name in ("when", "response", "felt", "depth", "touch", "leg")), row["date"])  # type: ignore[arg-type]
        for at, row in enumerate(rows)
    )  # fmt: skip
    try:
        return reader.visit(said)
    except BadInput as bad:
        return tuple((p.line, p.code, p.sentence, p.hint or None) for p in bad.problems)


@pytest.mark.parametrize("seed", range(4))
def test_the_quick_road_says_what_the_exact_road_says(seed: int, judge: Judge, shipped: Ready) -> None:
    """Spellings, sides in any place, times, legs, quiet regions, dates, slips of every kind: the readings are equal number
    for number, and what is set aside is told in the same words."""
    chooser = Seeded(seed)
    made = {f"v{n}": _some_visit(chooser, shipped, f"v{n}") for n in range(500)}
    table = table_from({name: row.get(name) or None for name in NAMES} for rows in made.values() for row in rows)
    reader = RowReader(shipped.book.vocabulary)
    findings = findings_of(table)
    coded = judge.coder.coded(findings)
    quick = np.concatenate([readings.copy() for _, readings in judge.filler.blocks(findings, coded)], axis=1)
    told: dict[str, list[Any]] = {}
    for row in judge.table(table).aside.to_pylist():
        told.setdefault(row["visit"], []).append((row["row"], row["code"], row["what"], row["near"]))
    number = good = odd = 0
    for at, (called, rows) in enumerate(made.items()):
        visit = _exactly(reader, rows, number + 1)
        number += len(rows)
        if isinstance(visit, tuple):
            assert coded.odd[at], (called, visit)
            assert told[called] == list(visit)
            continue
        assert called not in told
        good, odd = good + 1, odd + int(coded.odd[at])
        if not coded.odd[at]:
            expected = column(shipped.lean.slots, measured_facts(visit, judge.words, shipped.book))[:, 0]
            np.testing.assert_array_equal(quick[:, at], expected, err_msg=f"{called}: {rows}")
    assert good > 60, "too few good visits to tell anything"
    assert odd < good / 4, "the exact road is for the unusual"
    assert len(told) > 60, "too few bad visits to tell anything"


def test_whole_judgements_of_visits_made_by_chance(judge: Judge, shipped: Ready) -> None:
    """Certainties, concerns, steps and what is put off, where plans are crowded: what the quick plan says, plan/ says."""
    reader = RowReader(shipped.book.vocabulary)
    table = pa.concat_tables(Generated(shipped, seed=3).tables(40))
    chooser = Seeded(9)
    made = {f"v{n}": _some_visit(chooser, shipped, f"v{n}") for n in range(120)}
    rough = table_from({name: row.get(name) or None for name in NAMES} for rows in made.values() for row in rows)
    steps = put_off = compared = 0
    for some in (table, rough):
        findings, judged = findings_of(some), judge.table(some)
        by_name: dict[str, list[dict[str, Any]]] = {}
        for row in judged.results.to_pylist():
            by_name.setdefault(row["visit"], []).append(row)
        for at, called in enumerate(findings.ids.to_pylist()):
            try:
                visit = reader.visit(findings.rows_of(at))
            except BadInput:
                assert [row["kind"] for row in by_name[called]] == ["set aside"]
                continue
            alone = by_itself(judge_one(visit, shipped))
            assert by_table(by_name[called]) == alone, called
            compared += 1
            steps += len(alone["step"])
            put_off += len(alone["not today"])
    assert compared > 60
    assert steps > 100
    assert put_off > 100


def test_legs_are_told_apart(judge: Judge, shipped: Ready) -> None:
    """The same thing seen of two legs is one reading of both; said of all legs and of one, it is a slip."""
    base = [("left hind", "", "slight", None), ("right hind", "", "slight", None)]
    legs = [*base, ("seen at", "", "walk", "left hind"), ("seen at", "", "trot", "right hind")]
    wrong = [*base, ("seen at", "", "walk", "left hind"), ("seen at", "", "trot", None)]
    rows = [
        {"visit": called, "date": "2026-04-18", "finding": f, "side": s, "value": v, "leg": leg}
        for called, some in (("two", legs), ("both ways", wrong)) for f, s, v, leg in some
    ]  # fmt: skip
    judged = judge.table(table_from(rows))
    assert {row["visit"] for row in judged.aside.to_pylist()} == {"both ways"}
    assert judged.set_aside == 1


def test_a_table_of_other_types(judge: Judge) -> None:
    """Numbers as visits, dates as dates, numbers as values; columns in any order and case, others left alone."""
    table = pa.table({
        "Finding": ["loin", "croup", "loin"], "Value": [4.0, 0.5, 7.0], "SIDE": ["left", "off", "both"],
        "Date": pa.array([date(2026, 4, 18)] * 3), "visit": [12, 12, 13], "mood": ["x", "y", None],
    })  # fmt: skip
    judged = judge.table(table)
    assert judged.set_aside == 0
    assert set(judged.results.column("visit").to_pylist()) == {12, 13}
    texts = table_from([{"visit": "12", "date": "2026-04-18", "finding": "loin", "side": "left", "value": "4"},
                        {"visit": "12", "date": "2026-04-18", "finding": "croup", "side": "right", "value": "0.5"}])  # fmt: skip
    alike = judge.table(texts).results
    assert by_table(of_visit(judged.results, 12)) == by_table(of_visit(alike, "12"))  # type: ignore[arg-type]


WAYS = [
    pa.large_string(),
    pa.string_view(),
    pa.dictionary(pa.uint32(), pa.string()),
    pa.dictionary(pa.int8(), pa.string()),
]


@pytest.mark.parametrize("kind", WAYS, ids=str)
def test_texts_in_whatever_way_they_are_kept(kind: Any) -> None:
    """Data frames keep texts in ways of their own; a visit without a name is set aside in each."""
    plain = table_from([
        {"visit": "a", "date": "2026-04-18", "finding": "loin", "side": "left", "value": "4"},
        {"visit": None, "date": "2026-04-18", "finding": "loin", "side": "left", "value": "4"},
        {"visit": "b", "date": "2026-04-18", "finding": "loin", "side": "both", "value": "7"},
    ])  # fmt: skip
    columns = {name: plain.column(name).combine_chunks() for name in plain.column_names}
    if pa.types.is_dictionary(kind):
        columns = {name: column.dictionary_encode() for name, column in columns.items()}
    kept = pa.table({name: column.cast(kind) for name, column in columns.items()})
    expected = judged_table(plain)
    assert judged_table(kept).equals(expected)
    assert [row["name"] for row in of_visit(expected, None)] == ["BT01"]  # type: ignore[arg-type]
    empty = plain.set_column(0, "visit", pa.array(["a", "", "b"]))
    assert [row["name"] for row in of_visit(judged_table(empty), "")] == ["BT01"]


class _Frame:
    """A data frame of some other library: it hands out an Arrow stream and nothing else."""

    def __init__(self, table: Any) -> None:
        self._table = table

    def __arrow_c_stream__(self, requested: Any = None) -> Any:
        return self._table.__arrow_c_stream__(requested)


def test_one_function_from_a_frame_to_a_table(shipped: Ready, visits: dict[str, Visit]) -> None:
    """The same whatever hands the rows over and in whatever order they stand; partitions of whole visits add up."""
    table = table_of(visits, shipped.book.vocabulary)
    whole = judged_table(table)
    assert whole.equals(judged_table(_Frame(table)))
    assert all(pa.types.is_string(whole.schema.field(name).type) for name in ("visit", "kind", "name", "side", "band"))
    shuffled = table.take(np.random.default_rng(5).permutation(table.num_rows))
    again = judged_table(shuffled)
    for name in visits:
        assert by_table(of_visit(again, name)) == by_table(of_visit(whole, name))
    half = list(visits.items())
    parts = [judged_table(table_of(some, shipped.book.vocabulary)) for some in (half[:7], half[7:])]
    assert pa.concat_tables(parts).equals(whole)


def test_ranges_are_those_of_the_single_visit(shipped: Ready, visits: dict[str, Visit]) -> None:
    some = {name: visits[name] for name in ("bramble", "sorrel")}
    table = judged_table(table_of(some, shipped.book.vocabulary), ranges=True)
    for name, visit in some.items():
        answer = judge_one(visit, shipped)
        bounds = answer.bounds.certainty
        expected = {tuple(key): tuple(bounds[n].tolist()) for n, key in enumerate(shipped.program.meta["conclusions"])}
        rows = [row for row in of_visit(table, name) if row["kind"] == "conclusion"]
        assert rows
        for row in rows:
            assert (row["lower"], row["upper"]) == expected[row["name"], row["side"] or ""]
            assert row["lower"] <= row["certainty"] <= row["upper"]


def test_what_no_table_is_made_of(judge: Judge) -> None:
    with pytest.raises(TypeError, match="a table was expected"):
        judged_table([1, 2])
    with pytest.raises(BadInput) as bad:
        judge.table(pa.table({"visits": ["a"], "date": ["2026-04-18"], "finding": ["loin"], "value": ["1"]}))
    assert "visits" in str(bad.value)
    assert judged_table(table_from([])).num_rows == 0
