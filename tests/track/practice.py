"""A small invented practice whose truth is known: horses, plans, owners' answers, and what came of it.

In: a seed. Out: a store, and beside it what must be counted, worked out without the code under test.
Not here: expectations of the pages.
"""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from reasoner.store.afterwards import add_done
from reasoner.store.opening import Store
from reasoner.store.saving import Kept, Saved, save
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.store.keeping import example

TURNED = {"left": "right", "right": "left", "": ""}
#: Two causes of the shipped rules, the place each plan promises something of, its step, its rule, and how often it is true.
GIRTH = (
    "girth_presses",
    "girth_line",
    "hold_along_the_girth",
    "girth_presses/it_comes_to_lie_against_the_elbow",
    0.9,
    0.75,
)
SADDLE = (
    "saddle_to_one_side",
    "loin",
    "long_strokes_over_the_loin",
    "saddle_to_one_side/seen_to_this_side",
    0.25,
    0.45,
)


@dataclass
class Promised:
    """One conclusion with its step: `was` to `to` points on `place` within 14 days."""

    cause: str
    side: str
    place: str
    step: str
    rule: str
    certainty: float
    was: float = 5.0
    to: float = 2.0


@dataclass
class Truth:
    """What must be counted, by cause: outcomes of what was carried out, of what was done in part, and steps neither."""

    outcomes: dict[str, Counter[str]] = field(default_factory=dict)
    in_part: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    carried: Counter[str] = field(default_factory=Counter)


def text_of(name: str, day: date, grades: dict[tuple[str, str], float], **lines: str) -> str:
    """A visit file: the horse, the day, and a soreness for each place and side."""
    places: dict[str, list[str]] = {}
    for (place, side), points in grades.items():
        places.setdefault(place, []).append(f"{side}: {points:g}")
    touched = "\n".join(f"  {place.replace('_', ' ')}: {{{', '.join(held)}}}" for place, held in places.items())
    more = "\n".join(f"{key.replace('_', ' ')}: {value}" for key, value in lines.items())
    return f"horse: {{name: {name}, born: 2014}}\nvisit: {day.isoformat()}\n{more}\npalpation:\n{touched}\n"


def answer_of(promised: Sequence[Promised], also: Sequence[dict[str, Any]] = ()) -> dict[str, Any]:
    """As much of an answer as the records read: these conclusions, and a step for each."""

    def words(one: Promised) -> str:
        return f"{one.cause} on the {one.side}." if one.side else f"{one.cause}."

    return {
        "referral": {"level": "none", "concerns": []},
        "leading": [],
        "conclusions": [
            {
                "key": one.cause, "side": one.side or None, "kind": "cause", "certainty": one.certainty, "band": "fair",
                "words": words(one), "opposing": [],
                "supporting": [{"rule": one.rule, "strength": 0.6, "share": 0.5}],
            }
            for one in promised
        ] + list(also),
        "plan": {
            "steps": [
                {
                    "key": one.step, "side": one.side or None, "kind": "bodywork", "words": f"{one.step}.",
                    "because": [{"key": one.cause, "words": words(one)}], "recheck_days": 14,
                    "expects": [{"place": one.place, "side": one.side or None, "from": one.was, "to": one.to, "by_days": 14}],
                }
                for one in promised
            ]
        },
    }  # fmt: skip


def kept(text: str, answer: dict[str, Any]) -> Kept:
    """A visit with an answer made for it."""
    rules = example("bramble")
    visit = visit_from_bytes(text.encode(), "visit.yaml", shipped().book.vocabulary)
    return Kept(
        visit=visit, text=text.encode(), answer=answer, stamp=rules.stamp, engine="tests", archive=rules.archive
    )


def keep(store: Store, text: str, answer: dict[str, Any] | None = None) -> Saved:
    """A visit kept, with an answer made for it (none: nothing is concluded)."""
    return save(store, kept(text, answer or answer_of([])), by="Wren Aldous")


CAME = {"came true": 1.0, "partly": 2.5, "not": 5.0}
"""A soreness that makes each outcome of a promise from 5 to 2: a hand wavers by 1.2 points between two days,
and 1.96 times that is a change."""


def practice(store: Store, seed: int, horses: int = 40, *, turned: bool = False) -> Truth:
    """`horses` horses with two plans each, every fifth step not carried out or not told, and a visit fourteen days later.

    Of the first cause nine in ten come true, of the second one in four; of what is not carried out nothing ever does. `turned`
    swaps left and right throughout.
    """
    chance, truth = random.Random(seed), Truth({GIRTH[0]: Counter(), SADDLE[0]: Counter()})
    begun = date(2025, 3, 1)
    for number in range(horses):
        day = begun + timedelta(days=3 * number)
        hands = "Wren Aldous" if number % 2 else "Tam Orrin"
        promised, grades, later = [], {}, {}
        answers: dict[str, str] = {}
        for cause, place, step, rule, true, certainty in (GIRTH, SADDLE):
            side = chance.choice(["left", "right"])
            side = TURNED[side] if turned else side
            told = chance.choice(["done", "done", "done", "partly", "not", ""])
            drawn = "came true" if chance.random() < true else chance.choice(["partly", "not"])
            came = drawn if told in ("done", "partly") else "not"
            promised.append(Promised(cause, side, place, step, rule, certainty))
            grades[place, side], later[place, side] = 5.0, CAME[came]
            answers[step] = told
            if told == "done":
                truth.outcomes[cause][came] += 1
            if told == "partly":
                truth.in_part[cause][came] += 1
            counted = {"done": "carried out", "partly": "in part", "": "not told"}
            truth.carried[counted.get(told, "not")] += 1
        name = f"Invented {number:02}"
        saved = keep(store, text_of(name, day, grades, examined_by=hands), answer_of(promised))
        for one in promised:
            if told := answers[one.step]:
                because = "no time" if told == "not" else ""
                add_done(store, saved.version, step=one.step, side=one.side, answer=told, because=because,
                         by="the owner", on=day)  # fmt: skip
        keep(store, text_of(name, day + timedelta(days=14), later, examined_by="Wren Aldous"))
    return truth
