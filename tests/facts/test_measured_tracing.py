"""A tracing becomes an entry: which side is narrower, even within the error, and what a person wrote stands.

In: visits as text. Out: failures.
Not here: the geometry (tests/measures/), published values (tests/published/).
"""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given

from reasoner.facts.from_measures import worked_out
from reasoner.plan.doses import reckoned
from reasoner.visit.model import Noted, Visit, mirrored
from tests.asking import ask, shipped, visit_of
from tests.chance import Chooser
from tests.random_visits import DAY, random_outlines
from tests.strategies import seeds

BOOK = shipped().book
NARROW, WIDE = "0/0 40/30 130/150", "0/0 60/30 160/150"
OTHER = {"left": "right", "right": "left"}


def entries(text: str) -> dict[str, str]:
    return {noted.key: str(noted.value) for noted in worked_out(visit_of(text), BOOK)}


@pytest.mark.parametrize("side", ["left", "right"])
def test_the_side_that_lies_further_in_is_entered(side: str) -> None:
    points = {side: NARROW, OTHER[side]: WIDE}
    text = f"back tracings: {{T13: {{left: {points['left']}, right: {points['right']}}}}}"
    assert entries(text) == {"narrower_at_t13": side}
    (noted,) = worked_out(visit_of(text), BOOK)
    assert f"{side} (150 mm down at T13" in noted.written
    assert noted.line >= 1


def test_within_the_error_is_even_and_never_a_side() -> None:
    """8 mm apart; the curve's error of a difference is above 11 mm."""
    assert entries("back tracings: {T18: {left: 0/0 60/30 152/150, right: 0/0 60/30 160/150}}") == {
        "narrower_at_t18": "even"
    }


def test_a_finer_instrument_tells_what_a_curve_cannot() -> None:
    """10 mm apart: 2 x sqrt(2 x 1.5^2 + (2 x 2)^2) is 9.1 mm for a gauge on like slopes."""
    text = "back tracings: {T18: {left: 0/0 60/30 150/150, right: 0/0 60/30 160/150}}\n"
    assert entries(text) == {"narrower_at_t18": "even"}
    assert entries(text + "back measured: {traced with: profile gauge}\n") == {"narrower_at_t18": "left"}


def test_narrower_on_both_sides_at_two_depths_is_no_side() -> None:
    text = "back tracings: {T13: {left: 0/0 30/30 160/150, right: 0/0 70/30 120/150}}"
    assert entries(text) == {}


def test_one_side_alone_tells_nothing() -> None:
    assert entries("back tracings: {T13: {left: 0/0 60/30 160/150}}") == {}


def test_stations_without_an_entry_of_their_own_and_saddles_tell_nothing() -> None:
    text = f"back tracings: {{T10: {{left: {NARROW}, right: {WIDE}}}, behind the girth: {{left: {NARROW}, right: {WIDE}}}}}"
    assert entries(text + f"\nsaddle tracings: {{T13: {{left: {NARROW}, right: {WIDE}}}}}") == {}


def test_what_was_written_by_hand_stands_and_is_told_apart() -> None:
    text = f"back tracings: {{T13: {{left: {NARROW}, right: {WIDE}}}}}\nback measured: {{narrower at T13: even}}\n"
    asked = ask(text)
    assert asked.band("less_muscle_on_one_side", "left") == ask("back measured: {narrower at T13: even}\n").band(
        "less_muscle_on_one_side", "left"
    )
    assert [p.code for p in asked.answer.visit.warnings] == ["MS50"]


def test_a_side_traced_narrower_speaks_for_less_muscle_there() -> None:
    asked = ask(f"back tracings: {{T13: {{left: {NARROW}, right: {WIDE}}}}}")
    assert "narrower on a tracing of the back" in asked.spoke("less_muscle_on_one_side", "left")
    assert "narrower on a tracing of the back" not in asked.spoke("less_muscle_on_one_side", "right")


@given(seeds())
def test_the_mirror_image_is_narrower_on_the_other_side(chooser: Chooser) -> None:
    visit = Visit(file="made_up.yaml", day=DAY, outlines=tuple(random_outlines(chooser)))
    turned = {noted.key: OTHER.get(str(noted.value), noted.value) for noted in worked_out(mirrored(visit), BOOK)}
    assert {noted.key: noted.value for noted in worked_out(visit, BOOK)} == turned


@given(seeds())
def test_the_same_tracing_with_its_order_of_stations_turned_tells_the_same(chooser: Chooser) -> None:
    visit = Visit(file="made_up.yaml", day=DAY, outlines=tuple(random_outlines(chooser)))
    turned = dataclasses.replace(visit, outlines=visit.outlines[::-1])
    assert _told(worked_out(visit, BOOK)) == _told(worked_out(turned, BOOK))


def _told(found: tuple[Noted, ...]) -> dict[str, object]:
    return {noted.key: noted.value for noted in found}


def test_the_plan_tells_todays_widths() -> None:
    text = f"back tracings: {{T13: {{left: {WIDE}, right: {WIDE}}}}}\nback measured: {{width at T8 30 mm down: 9 cm}}\n"
    told = reckoned("tracing", visit_of(text), "", BOOK)
    assert told[0].startswith("Today, T13: 120 ± ")
    assert "320 ± " in told[0]
    assert "ratio 0.38" in told[0]
    assert told[1].startswith("Today, T8 by tape: 90 ± ")
    assert "T13 after 4 months, T8 after 2 months" in told[2]
    assert reckoned("tracing", visit_of("standing square: {smaller quarter: left}"), "", BOOK) == ()
