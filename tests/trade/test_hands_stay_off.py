"""No step lays a hand on a place that must be left alone, whatever else speaks for the step.

In: every page example in which hands-on work is taken, with one thing changed at the place worked on. Out: not taken.
Not here: the gates of the saddle steps (fact 6). Basis: common practice; 7 of 10 is an own setting.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any, cast

import pytest

from reasoner.consult import judge
from reasoner.rulebook.filling import node_of
from reasoner.rulebook.pages import Action
from reasoner.rulecare.example_check import Case
from reasoner.visit.model import Side, Touch, Visit
from reasoner.visit.reading import visit_from_node
from tests.asking import DAY, Asked, ask, shipped
from tests.rules.page_examples import answer_of, cases

#: What may be written about a place so that no hand works there; the number stands where the change leaves it open.
LEFT_ALONE: dict[str, dict[str, Any]] = {
    "at 7": {"soreness": Decimal(7)},
    "at 8.5": {"soreness": Decimal("8.5")},
    "would not allow touch": {"soreness": None, "refused": True},
    "moves away": {"responses": ("moves_away",)},
    "ears back": {"responses": ("ears_back",)},
    "threatens": {"responses": ("threatens",)},
    "hot": {"felt": ("hot",)},
    "swollen": {"felt": ("swollen",)},
    "draining": {"felt": ("draining",)},
    "open": {"felt": ("open",)},
}


def worked_on(case: Case) -> list[tuple[str, str, str]]:
    """(side of the action, place, its side) of each place an example's step works on."""
    steps = {(s.key, s.side) for s in answer_of(case).plan.steps}
    return [
        (side, place, at)
        for key, side, *_, works_on in shipped().program.meta["actions"]
        if key == case.page.id and (key, side) in steps
        for place, at in works_on
    ]


TAKEN = [
    (case, *spot)
    for case in cases()
    if isinstance(case.page, Action) and case.page.kind == "bodywork" and not case.mirror
    for spot in worked_on(case)
]


def visit_of(case: Case) -> Visit:
    """The visit an example records."""
    node = node_of(case.example.recorded, case.example.line)
    return visit_from_node(node, case.page.file, shipped().book.vocabulary, default_day=DAY)


def test_every_step_by_hand_is_tried() -> None:
    """Every page of hands-on work that names a place is among the cases."""
    named = {page.id for page in shipped().book.actions.values() if page.kind == "bodywork" and page.works_on}
    assert {case.page.id for case, *_ in TAKEN} == named


@pytest.mark.parametrize("change", LEFT_ALONE)
@pytest.mark.parametrize(("case", "side", "place", "at"), TAKEN, ids=[f"{c.name}, {p} {at}" for c, _, p, at in TAKEN])
def test_no_hand_works_there(case: Case, side: str, place: str, at: str, change: str) -> None:
    """common practice: hot, swollen, open, guarded or at 7 and more, the place is left alone today."""
    visit = visit_of(case)
    here = [t for t in visit.touches if (t.place, t.side or "") == (place, at)]
    first = here[0] if here else Touch(place=place, side=cast("Side | None", at or None), soreness=Decimal(3))
    others = [t for t in visit.touches if t not in here]
    changed = replace(visit, touches=(*others, replace(first, **LEFT_ALONE[change])))
    assert (case.page.id, side) not in {(s.key, s.side) for s in judge(changed, shipped()).plan.steps}


@pytest.mark.parametrize(("case", "side", "place", "at"), TAKEN, ids=[f"{c.name}, {p} {at}" for c, _, p, at in TAKEN])
def test_a_worse_first_reading_still_counts(case: Case, side: str, place: str, at: str) -> None:
    """common practice: 8 at the first touch and 3 once settled is still left alone today."""
    visit = visit_of(case)
    spot = cast("Side | None", at or None)
    others = [t for t in visit.touches if (t.place, t.side or "") != (place, at)]
    twice = (Touch(place=place, side=spot, soreness=Decimal(8)),
             Touch(place=place, side=spot, when="settled", soreness=Decimal(3)))  # fmt: skip
    answer = judge(replace(visit, touches=(*others, *twice)), shipped())
    assert (case.page.id, side) not in {(s.key, s.side) for s in answer.plan.steps}


@pytest.mark.parametrize(
    "stopped",
    [
        "uneven steps: {left hind: slight}",
        "in hand: {trot in hand: not level every time}",
        "before the visit: {sedation: given}",
        "horse: {name: Juno, sex: mare, in foal: last third}",
        "vital signs: {temperature: 38.7 °C}",
        "before the visit: {fall or blow: 2026-04-15}",
        "at first sight: {skin: rings}",
    ],
)
def test_what_stops_the_hands_stops_every_hand(stopped: str) -> None:
    """common practice: until a veterinarian has spoken, no hands-on step stands anywhere on the horse."""
    sore = (
        "settled under the hand: seen\npalpation: {behind the poll: {both: 4}, front of the upper arm: {both: 4},\n"
        "  neck strap: {both: 4}, withers: {both: 4}, loin: {both: 5}}\n"
    )
    bodywork = {page.id for page in shipped().book.actions.values() if page.kind == "bodywork"}
    free: Asked = ask(sore)
    assert {key for key, _ in free.steps} & bodywork
    assert {key for key, _ in ask(sore + stopped).steps} & bodywork == set()
