"""What several horses show together: runs, their trace, their chance, and what is left out.

In: small invented yards. Out: runs. Not here: pages.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from reasoner.problems import BadInput
from reasoner.records.rates import chance_of_more, chance_of_run
from reasoner.records.yard import Run, YardView, settings_of, yard_view
from reasoner.rendering.yard_text import left_out, rests_on, run_words
from reasoner.store.opening import Store
from tests.asking import shipped
from tests.store.keeping import fresh
from tests.track.practice import TURNED, answer_of, keep

BOOK = shipped().book
SETTINGS = settings_of(BOOK.scales)
DAY = date(2026, 4, 18)


def visit(
    name: str, *, to: str = "", rider: str = "Ida Fenn", saddle: str = "", day: date = DAY, by: str = "Wren Aldous",
    more: str = "",
) -> str:  # fmt: skip
    """A visit that says which way the saddle came, under whom, in what."""
    ridden = ", ".join(filter(None, (f"ridden by: {rider}" if rider else "", f"saddle comes to: {to}" if to else "")))
    lines = [
        f"horse: {{name: {name}, born: 2014}}",
        f"visit: {day.isoformat()}",
        f"examined by: {by}",
        "yard: Larkhope",
    ]
    lines += [f"ridden: {{{ridden}}}"] if ridden else []
    lines += [f"tacked up: {{which saddle: {saddle}}}"] if saddle else []
    return "\n".join(lines) + "\n" + more


def view(store: Store, name: str = "", **narrowed: object) -> YardView:
    with store.reading() as connection:
        return yard_view(connection, BOOK, name=name, **narrowed)  # type: ignore[arg-type]


def run(found: YardView, kind: str, key: str) -> Run:
    return next(one for one in found.runs if (one.kind, one.question[1]) == (kind, key))


def test_three_horses_one_rider_all_to_the_right(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name in ("Juniper", "Teasel", "Sorrel"):
        keep(store, visit(name, to="right", saddle=f"the {name} saddle"))
    found = run(view(store), "rider", "saddle_comes_to")
    assert (found.name, found.side, found.count, found.of) == ("Ida Fenn", "right", 3, 3)
    assert found.chance == pytest.approx(0.25)  # two of the eight ways three horses can fall
    assert (found.usual, found.usual_of) == (0.5, 0)
    assert [(h.visit.name, h.seen.words, h.seen.line) for h in found.horses] == [
        ("Juniper", "right", 5), ("Sorrel", "right", 5), ("Teasel", "right", 5)
    ]  # fmt: skip
    # They were all felt by one pair of hands, too, at one yard; and in three saddles.
    assert found.shared == (("examiner", "Wren Aldous"), ("yard", "Larkhope"))
    assert run_words(found, BOOK) == "3 of 3 horses ridden by Ida Fenn, saddle comes to: right."


def test_two_horses_or_no_agreement_are_no_run(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name, to in (("Juniper", "right"), ("Teasel", "right"), ("Sorrel", "left"), ("Rook", "straight")):
        keep(store, visit(name, to=to))
    assert view(store).runs == ()
    assert view(store).looked_at > 0
    (tmp_path / "two").mkdir()
    other = fresh(tmp_path / "two")
    for name in ("Juniper", "Teasel"):
        keep(other, visit(name, to="right"))
    assert (view(other).runs, view(other).looked_at) == ((), 0)


def test_each_horse_counts_once_by_its_last_visit(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for number, name in enumerate(("Juniper", "Teasel", "Sorrel")):
        keep(store, visit(name, to="left"))
        keep(store, visit(name, to="right", day=DAY + timedelta(days=10 + number)))
    found = run(view(store), "rider", "saddle_comes_to")
    assert (found.side, found.count, found.of, found.to_the_other) == ("right", 3, 3, 0)
    assert view(store, since=DAY + timedelta(days=11)).runs == ()


def test_sides_swapped_swap_the_run_and_nothing_else(tmp_path: Path) -> None:
    found = []
    for turned in (False, True):
        folder = tmp_path / str(turned)
        folder.mkdir()
        store = fresh(folder)
        for number in range(16):
            rider = "Ida Fenn" if number < 5 else "Jo Pell"
            to = "right" if number < 4 or number % 3 == 0 else "left"
            keep(store, visit(f"Invented {number:02}", to=TURNED[to] if turned else to, rider=rider))
        found.append([(r.kind, r.name, TURNED[r.side] if turned else r.side, r.count, r.of, r.usual, r.chance, r.after_all)
                      for r in view(store).runs])  # fmt: skip
    assert found[0] == found[1]
    assert found[0]


def test_a_run_is_held_against_what_is_usual_elsewhere(tmp_path: Path) -> None:
    """Twelve other horses of which eight come to the right: the usual share is (8 + 1) / (12 + 2)."""
    store = fresh(tmp_path)
    for number in range(12):
        keep(store, visit(f"Other {number:02}", to="right" if number < 8 else "left", rider="Jo Pell"))
    for name in ("Juniper", "Teasel", "Sorrel"):
        keep(store, visit(name, to="right"))
    found = run(view(store), "rider", "saddle_comes_to")
    assert (found.name, found.usual_of) == ("Ida Fenn", 12)
    assert found.usual == pytest.approx(9 / 14)
    assert found.chance == pytest.approx(chance_of_run(3, 3, 9 / 14))


def test_one_saddle_on_several_horses_with_one_conclusion(tmp_path: Path) -> None:
    concluded: dict[str, Any] = {"key": "tree_too_narrow", "side": None, "kind": "cause", "certainty": 0.5, "band": "fair",
                 "words": "The tree is too narrow.", "supporting": [], "opposing": []}  # fmt: skip
    store = fresh(tmp_path)
    for name in ("Juniper", "Teasel", "Sorrel"):
        keep(store, visit(name, rider="", saddle="the brown one"), answer_of([], [concluded]))
    for number in range(12):
        keep(store, visit(f"Other {number:02}", rider=""), answer_of([], [concluded] if number < 2 else []))
    found = run(view(store), "saddle", "tree_too_narrow")
    assert (found.name, found.side, found.count, found.of, found.usual) == ("the brown one", "", 3, 3, 2 / 12)
    assert found.chance == pytest.approx(chance_of_more(3, 3, 2, 12))
    assert run_words(found, BOOK) == '3 of 3 horses in the saddle the brown one: concluded "tree too narrow".'


def test_places_felt_lean_only_beyond_what_counts_as_none(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name, left, right in (("Juniper", 1, 4), ("Teasel", 0, 3), ("Sorrel", 2, 6)):
        more = f"palpation: {{loin: {{left: {left}, right: {right}}}, croup: {{left: 2, right: 3}}}}\n"
        keep(store, visit(name, more=more))
    found = view(store)
    loin = run(found, "rider", "loin")
    assert (loin.side, loin.count) == ("right", 3)
    assert [h.seen.words for h in loin.horses] == ["left 1, right 4", "left 2, right 6", "left 0, right 3"]
    assert not [r for r in found.runs if r.question[1] == "croup"]


def test_quiet_horses_stand_against_a_run(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name in ("Juniper", "Teasel", "Sorrel"):
        keep(store, visit(name, more="palpation: {loin: {left: 1, right: 5}}\n"))
    for name in ("Rook", "Barley"):
        keep(store, visit(name, more="quiet: {loin: both}\n"))
    assert not [r for r in view(store).runs if r.question[1] == "loin"]


def test_missing_and_erased_names_are_told_and_not_counted(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name, rider in (("Juniper", ""), ("Teasel", "erased 1"), ("Sorrel", "erased 1"), ("Rook", "erased 1")):
        keep(store, visit(name, to="right", rider=rider))
    found = view(store)
    assert not [r for r in found.runs if r.kind == "rider"]
    assert (found.unnamed["rider"], found.erased["rider"], found.unnamed["saddle"]) == (1, 3, 4)
    assert "riders: 1 visit with no rider written down and 3 visits whose rider's name was taken out" in [
        *left_out(found, SETTINGS)
    ]


def test_many_questions_weaken_each(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for number in range(9):
        keep(store, visit(f"Invented {number}", to="right", rider=("Ida Fenn", "Jo Pell", "Kit Lowe")[number % 3]))
    found = view(store)
    riders = [r for r in found.runs if r.kind == "rider"]
    assert len(riders) == 3
    assert all(r.after_all >= r.chance for r in found.runs)
    whole = run(found, "examiner", "saddle_comes_to")
    assert whole.chance == pytest.approx(2 / 2**9)
    assert found.runs[0].chance == whole.chance  # the rarest first


def test_one_name_alone_and_a_name_that_is_not_there(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name in ("Juniper", "Teasel", "Sorrel"):
        keep(store, visit(name, to="right"))
    assert {r.kind for r in view(store, "ida fenn").runs} == {"rider"}
    with pytest.raises(BadInput, match=r'RE26.*Near: "Ida Fenn"'):
        view(store, "Ida Fen")
    with pytest.raises(BadInput, match=r'RE26.*"Grumbold".*Kept here: .*Ida Fenn'):
        view(store, "Grumbold")
    with pytest.raises(BadInput, match=r'RE26.*no visit since 2031-01-01 names "Ida Fenn".*earlier'):
        view(store, "ida fenn", since=date(2031, 1, 1))


def test_an_empty_store_shows_nothing(tmp_path: Path) -> None:
    found = view(fresh(tmp_path))
    assert (found.runs, found.looked_at, found.horses) == ((), 0, 0)


def test_nobody_is_blamed() -> None:
    said = " ".join(rests_on(SETTINGS))
    assert not re.search(r"\bblame|fault|careless|bad (rider|hands)", said)
    assert "nothing of anybody's doing" in said
