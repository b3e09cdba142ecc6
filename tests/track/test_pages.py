"""The pages of the track record and of the yard's view, and the picture.

In: small invented practices. Out: what the pages say and never say. Not here: counting.
"""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

from reasoner.records.cases import settings_of, steps_of
from reasoner.records.rates import rate
from reasoner.records.reweigh import proposals_of
from reasoner.records.track import VIEWS, CertaintyStep, track_of
from reasoner.records.yard import settings_of as yard_settings_of
from reasoner.records.yard import yard_view
from reasoner.rendering.certainty_picture import certainty_picture
from reasoner.rendering.text_page import plain_text
from reasoner.rendering.track_text import rising, track_lines
from reasoner.rendering.yard_text import left_out, yard_lines
from reasoner.store.opening import Store
from tests.asking import shipped
from tests.rendering.forbidden import found_in
from tests.store.keeping import fresh
from tests.track.practice import GIRTH, keep, practice
from tests.track.test_yard import visit

BOOK = shipped().book
SETTINGS = settings_of(BOOK.scales)


def track_page(store: Store, *, full: bool = False) -> str:
    with store.reading() as connection:
        track = track_of(steps_of(connection, BOOK), SETTINGS)
    proposals = proposals_of(track, BOOK, SETTINGS)
    return plain_text(track_lines(store.place, track, proposals, VIEWS, BOOK, SETTINGS, full=full))


def steps(*counts: tuple[int, int, bool]) -> list[CertaintyStep]:
    bounds = zip(SETTINGS.steps_of_certainty, (*SETTINGS.steps_of_certainty[1:], 1.0), counts, strict=False)
    return [CertaintyStep(low=low, high=high, horses=of, true_rate=rate(count, of, 0.95), enough=enough)
            for low, high, (count, of, enough) in bounds]  # fmt: skip


def test_the_record_says_what_it_rests_on_and_nothing_forbidden(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    practice(store, 6, horses=60)
    for full in (False, True):
        page = track_page(store, full=full)
        said = " ".join(page.split())
        assert "is not a probability" in said
        assert "A proposal, never done by itself." in said
        assert f"- rule: {GIRTH[3]} points: strong because: >-" in said
        assert "does not show that the cause was the right one" in said
        assert not found_in(page)
    assert "Invented 07" in page  # in full, the cases behind each figure


def test_too_few_cases_give_no_share(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    practice(store, 7, horses=4)
    page = " ".join(track_page(store).split())
    assert "Too few to say (10 cases of 5 horses are asked for)" in page
    assert not re.search(r"came true \d+ of", page)
    assert "Too few cases to say whether more certainty" in page


def test_an_empty_record_says_what_it_waits_for(tmp_path: Path) -> None:
    page = " ".join(track_page(fresh(tmp_path)).split())
    assert "Nothing to count yet: a step counts once the owner has said that it was carried out" in page


def test_whether_certainty_rises() -> None:
    assert rising(steps((2, 40, True), (36, 40, True))).endswith("do not meet.")
    assert rising(steps((8, 20, True), (10, 20, True))).endswith("so that this says little.")
    assert "did not go with" in rising(steps((9, 20, True), (3, 20, True)))
    assert rising(steps((9, 20, True), (1, 2, False))).startswith("Too few")


def test_the_picture_can_be_read_without_colour_and_aloud() -> None:
    drawn = certainty_picture(steps((1, 4, False), (8, 24, True), (0, 0, False), (31, 40, True), (5, 5, False)), 0.95)
    tree = ElementTree.fromstring(drawn)
    at = "{http://www.w3.org/2000/svg}"
    assert tree.find(f"{at}title") is not None
    described = tree.find(f"{at}desc")
    assert described is not None
    assert "8 of 24 (33%, between 17 and 54%)" in (described.text or "")
    assert "not a probability" in (described.text or "")
    assert all(int(size) >= 12 for size in re.findall(r"(\d+)px", drawn))
    marks = [circle.get("class") for circle in tree.iter(f"{at}circle")]
    assert marks == ["o", "d", "d", "o"]  # hollow where there are too few, none where there is no case
    heights = [float(circle.get("cy") or 0) for circle in tree.iter(f"{at}circle")]
    assert heights == sorted(heights, reverse=True)  # 25, 33, 78 and 100 of a hundred: each higher up


def test_a_run_is_told_with_its_trace_and_what_else_is_shared(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name in ("Juniper", "Teasel", "Sorrel"):
        keep(store, visit(name, to="right", saddle="the brown one"))
    settings = yard_settings_of(BOOK.scales)
    with store.reading() as connection:
        found = yard_view(connection, BOOK, name="Ida Fenn")
    page = plain_text(yard_lines(store.place, found, BOOK, settings, name="Ida Fenn"))
    said = " ".join(page.split())
    assert "3 of 3 horses ridden by Ida Fenn, saddle comes to: right." in said
    assert "about once in 4 times (too few other horses to say what is usual, so one half was taken)" in said
    assert "All of them were also in the saddle the brown one, examined by Wren Aldous and at Larkhope" in said
    assert "Juniper (Larkhope), 18 April 2026, line 5: right" in said
    assert "it may well be chance" in said
    assert "nothing of anybody's doing" in said
    assert not found_in(page)
    assert ("NOT COUNTED" in page) is any(left_out(found, settings)), "no heading stands over nothing"
    assert not any(left_out(found, settings))


def test_the_same_horses_under_another_name_are_told_once_on_the_short_page(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    for name in ("Juniper", "Teasel", "Sorrel"):
        keep(store, visit(name, to="right", saddle="the brown one"))
    settings = yard_settings_of(BOOK.scales)
    with store.reading() as connection:
        found = yard_view(connection, BOOK)
    alike = [run for run in found.runs if run.question[1] == "saddle_comes_to"]
    assert {run.kind for run in alike} >= {"rider", "saddle"}
    short, full = (
        plain_text(yard_lines(store.place, found, BOOK, settings, full=whole)).count("3 of 3 horses")
        for whole in (False, True)
    )
    assert (short, full) == (1, len(alike))
