"""The track record of a practice whose truth is known.

In: seeded practices. Out: counts, rates, order, proposals. Not here: pages.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.records.cases import settings_of, steps_of
from reasoner.records.reweigh import Proposals, proposals_of
from reasoner.records.track import ACTION, CAUSE, RULE, VIEWS, Tally, Track, track_of
from reasoner.rendering.text_page import plain_text
from reasoner.rendering.track_text import track_lines
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.store.afterwards import add_done, add_opinion
from reasoner.store.opening import Store
from reasoner.store.saving import correct
from tests.asking import shipped
from tests.store.keeping import fresh
from tests.track.practice import CAME, GIRTH, SADDLE, Promised, answer_of, keep, kept, practice, text_of

BOOK = shipped().book
SETTINGS = settings_of(BOOK.scales)
DAY = date(2026, 4, 18)


def record(store: Store, **narrowed: object) -> Track:
    with store.reading() as connection:
        return track_of(steps_of(connection, BOOK, **narrowed), SETTINGS)  # type: ignore[arg-type]


def one(track: Track, view: str, key: str) -> Tally:
    return next(tally for tally in track.views[view] if tally.key == key)


@pytest.mark.parametrize("seed", [1, 2])
def test_what_is_counted_is_what_was_true(tmp_path: Path, seed: int) -> None:
    store = fresh(tmp_path)
    truth = practice(store, seed)
    track = record(store)
    for cause, _, step, rule, *_ in (GIRTH, SADDLE):
        for view, key in ((CAUSE, cause), (ACTION, step), (RULE, rule)):
            tally = one(track, view, key)
            came = truth.outcomes[cause]
            assert (tally.came_true, tally.partly, tally.not_so) == (came["came true"], came["partly"], came["not"])
            assert tally.true_rate.of == came.total() == tally.horses
            partly = truth.in_part[cause]
            assert (tally.in_part, tally.in_part_true) == (partly.total(), partly["came true"])
    assert track.carried_out == truth.carried["carried out"]
    assert (track.not_carried_out, track.not_told) == (truth.carried["not"], truth.carried["not told"])
    assert track.in_part == truth.carried["in part"] > 0
    assert track.carried_out + track.in_part + track.not_carried_out + track.not_told == 80


def test_the_truer_cause_stands_first_and_the_certainty_rises(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    practice(store, 3)
    track = record(store)
    assert [tally.key for tally in track.views[CAUSE]] == [GIRTH[0], SADDLE[0]]
    girth, saddle = (one(track, CAUSE, key).true_rate for key in (GIRTH[0], SADDLE[0]))
    assert girth.low is not None
    assert saddle.high is not None
    assert girth.low > saddle.high  # nine in ten against one in four, some thirty cases each
    able = [step for step in track.certainty if step.enough]
    assert [(step.low, step.high) for step in able] == [(0.4, 0.55), (0.7, 0.85)]
    assert (able[0].true_rate, able[1].true_rate) == (saddle, girth)


def test_sides_swapped_change_no_figure(tmp_path: Path) -> None:
    def figures(turned: bool) -> list[object]:
        folder = tmp_path / str(turned)
        folder.mkdir()
        store = fresh(folder)
        practice(store, 4, turned=turned)
        track = record(store)
        tallies = [t for view in track.views.values() for t in view]
        return [
            *((t.view, t.key, t.came_true, t.partly, t.not_so, t.true_rate, t.by_horse, t.not_told) for t in tallies),
            *((step.true_rate, step.enough) for step in track.certainty),
            *((p.rule, p.wanted, p.chance) for p in proposals_of(track, BOOK, SETTINGS).every),
        ]

    assert figures(False) == figures(True)


def test_what_was_not_carried_out_never_counts_as_failed(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for number, told in enumerate(("done", "not", "stopped", "")):
        promised = [Promised("girth_presses", "left", "girth_line", "hold_along_the_girth", GIRTH[3], 0.6)]
        saved = keep(store, text_of(f"Horse {number}", DAY, {("girth_line", "left"): 5.0}), answer_of(promised))
        if told:
            add_done(store, saved.version, step="hold_along_the_girth", side="left", answer=told, because="no time",
                     by="the owner", on=DAY)  # fmt: skip
        keep(store, text_of(f"Horse {number}", DAY + timedelta(days=14), {("girth_line", "left"): 5.0}))
    tally = one(record(store), ACTION, "hold_along_the_girth")
    assert (tally.not_so, tally.not_carried_out, tally.not_told, tally.true_rate.of) == (1, 2, 1, 1)
    assert not tally.enough


@pytest.mark.parametrize("points", [1.0, 5.0])
def test_what_was_done_only_in_part_is_counted_apart(tmp_path: Path, points: float) -> None:
    store = fresh(tmp_path)
    for number, told in enumerate(("done", "partly")):
        promised = [Promised("girth_presses", "left", "girth_line", "hold_along_the_girth", GIRTH[3], 0.6)]
        saved = keep(store, text_of(f"Horse {number}", DAY, {("girth_line", "left"): 5.0}), answer_of(promised))
        add_done(
            store, saved.version, step="hold_along_the_girth", side="left", answer=told, because="", by="o", on=DAY
        )
        keep(store, text_of(f"Horse {number}", DAY + timedelta(days=14), {("girth_line", "left"): points}))
    track = record(store)
    for view, key in ((ACTION, "hold_along_the_girth"), (CAUSE, "girth_presses"), (RULE, GIRTH[3])):
        tally = one(track, view, key)
        assert (tally.true_rate.of, tally.horses) == (1, 1)
        assert (tally.in_part, tally.in_part_true) == (1, points == 1.0)
        assert (tally.not_carried_out, tally.not_told) == (0, 0)
    assert (track.carried_out, track.in_part, track.not_carried_out) == (1, 1, 0)
    page = plain_text(
        track_lines(store.place, track, proposals_of(track, BOOK, SETTINGS), VIEWS, BOOK, SETTINGS, full=True), 200
    )
    page = " ".join(page.split())
    assert "1 done only in part (counted apart, in no share)" in page
    assert f"1 done only in part ({int(points == 1.0)} came true)" in page


def test_the_last_answer_counts_and_outlives_a_correction(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    answer = answer_of([Promised("girth_presses", "left", "girth_line", "hold_along_the_girth", GIRTH[3], 0.6)])
    text = text_of("Juniper", DAY, {("girth_line", "left"): 5.0})
    saved = keep(store, text, answer)
    for told in ("not", "done"):
        add_done(store, saved.version, step="hold_along_the_girth", side="left", answer=told, because="rain",
                 by="the owner", on=DAY)  # fmt: skip
    correct(store, saved.visit, kept(text + "notes: a slip\n", answer), by="Wren Aldous", why="a note was left out")
    keep(store, text_of("Juniper", DAY + timedelta(days=14), {("girth_line", "left"): CAME["came true"]}))
    tally = one(record(store), CAUSE, "girth_presses")
    assert (tally.came_true, tally.not_carried_out, len(tally.cases)) == (1, 0, 1)


def test_the_same_horse_again_is_counted_once_beside(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    answer = answer_of([Promised("girth_presses", "left", "girth_line", "hold_along_the_girth", GIRTH[3], 0.6)])
    for number, points in enumerate((5.0, 5.0, 5.0, 1.0)):
        day = DAY + timedelta(days=14 * number)
        saved = keep(store, text_of("Juniper", day, {("girth_line", "left"): points}), answer)
        add_done(
            store, saved.version, step="hold_along_the_girth", side="left", answer="done", because="", by="o", on=day
        )
    tally = one(record(store), CAUSE, "girth_presses")
    assert (tally.came_true, tally.not_so, tally.not_examined, tally.horses) == (1, 2, 1, 1)
    assert (tally.by_horse.count, tally.by_horse.of) == (1, 1)


def test_one_examiner_and_since(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    practice(store, 5)
    whole, wren, tam = record(store), record(store, examiner="wren  aldous"), record(store, examiner="Tam Orrin")
    for cause in (GIRTH[0], SADDLE[0]):
        parts = [one(track, CAUSE, cause) for track in (wren, tam)]
        assert sum(part.came_true for part in parts) == one(whole, CAUSE, cause).came_true
        assert all({case.steps[0].visit.examiner for case in part.cases} == {name}
                   for part, name in zip(parts, ("Wren Aldous", "Tam Orrin"), strict=True))  # fmt: skip
    late = record(store, since=date(2025, 5, 1))
    assert {case.day >= date(2025, 5, 1) for t in late.views[CAUSE] for case in t.cases} == {True}
    assert 0 < late.carried_out < whole.carried_out
    with pytest.raises(BadInput, match=r'RE26.*Near: "Wren Aldous"'):
        record(store, examiner="Wren Aldus")


def test_an_empty_store_counts_nothing(tmp_path: Path) -> None:
    track = record(fresh(tmp_path))
    assert (track.visits, track.carried_out, track.views[RULE], track.judged) == (0, 0, (), ())
    assert all(step.true_rate.share is None for step in track.certainty)
    assert proposals_of(track, BOOK, SETTINGS) == Proposals(every=(), looked_at=0, too_few=0)


def test_opinions_are_counted_once_a_person_and_visit(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    saved = keep(store, text_of("Juniper", DAY, {("girth_line", "left"): 5.0}),
                 answer_of([Promised("girth_presses", "left", "girth_line", "hold_along_the_girth", GIRTH[3], 0.6)]))  # fmt: skip
    for agrees, who in ((True, "Wren Aldous"), (False, "wren aldous"), (True, "Tam Orrin")):
        add_opinion(
            store, saved.version, conclusion="girth_presses", side="left", agrees=agrees, because="felt", by=who
        )
    (judged,) = record(store).judged
    assert (judged.key, judged.agreed, judged.disagreed, judged.people) == ("girth_presses", 1, 1, 2)


def test_what_is_proposed_can_be_pasted_and_changes_just_that_rule(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    practice(store, 6, horses=60)
    proposals = proposals_of(record(store), BOOK, SETTINGS)
    assert {(p.rule, p.strength, p.wanted) for p in proposals.every} == {
        (GIRTH[3], "clear", "strong"),
        (SADDLE[3], "clear", "fair"),
    }
    assert proposals.looked_at == 2
    layer = tmp_path / "ours"
    layer.mkdir()
    (layer / "changes.yaml").write_text("".join(p.paste for p in proposals.every))
    changed = load_rulebook([shipped_rules(), layer])
    was = {rule: e.points for rule, _, e in BOOK.rules()}
    now = {rule: e.points for rule, _, e in changed.rules()}
    assert {rule: now[rule] for rule in was if was[rule] != now[rule]} == {p.rule: p.wanted for p in proposals.every}


def test_nothing_is_proposed_where_both_fare_alike(tmp_path: Path) -> None:
    """Sixty horses on which both causes come true alike: no rule stands out."""
    store = fresh(tmp_path)
    for number in range(60):
        came = CAME["came true"] if number % 2 else CAME["not"]
        promised = [Promised(cause, "left", place, step, rule, 0.6) for cause, place, step, rule, *_ in (GIRTH, SADDLE)]
        grades = {(one.place, one.side): 5.0 for one in promised}
        saved = keep(store, text_of(f"Horse {number}", DAY, grades), answer_of(promised))
        for step in promised:
            add_done(store, saved.version, step=step.step, side="left", answer="done", because="", by="o", on=DAY)
        keep(store, text_of(f"Horse {number}", DAY + timedelta(days=14), dict.fromkeys(grades, came)))
    found = proposals_of(record(store), BOOK, SETTINGS)
    assert (found.looked_at, found.every) == (2, ())
