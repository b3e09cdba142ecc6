"""Made-up rulebases for the tests of the questions: any one made ready, and small ones whose answers hang on several readings.

In: a `Rulebook`, or choices. Out: `Ready`; a rulebook of a few places where premises ask for several things at once, with
a visit. Not here: rulebases that use every condition there is (tests/random_rulebooks.py).
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Any

from reasoner.inference.from_rulebook import ground
from reasoner.inference.strata import compile_network
from reasoner.rulebook.pages import Action, Concern, Conclusion, Evidence, Forbid, Need, Sign
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rules_cache import Ready
from reasoner.visit.model import Noted, Touch, Visit
from tests.chance import Chooser, happens, pick, some
from tests.random_rulebooks import SCALES, VOCABULARY, assembled
from tests.random_visits import DAY

COARSE = dataclasses.replace(SCALES, step=2.5)  # five scores, so that everything can be tried
PLACES = ("breastbone", "space_t14_t15", "space_t15_t16", "space_t16_t17")
WORDS = {"saddle_front": ("level", "high", "low"), "painkillers": ("none", "given")}
Raw = dict[str, Any]


def made(book: Rulebook) -> Ready:
    """Both programs of a rulebase. Unlike the shipped one it may count one finding twice: random ones do."""
    network, above = ground(book), book.scales.fires_above
    return Ready(book, compile_network(network, above), compile_network(network, above, full=False))


def knotted(chooser: Chooser) -> tuple[Rulebook, Visit]:
    """Causes, concerns and actions that ask for several readings at once, and a visit that holds most of them."""
    causes = {
        f"cause_{n}": Conclusion(
            id=f"cause_{n}", says="-", kind="cause", sides="none", status="sketch", can_mislead="-", lesson="-",
            examples=(), evidence=tuple(_evidence(chooser, turn) for turn in range(chooser.integer(1, 3))),
        )
        for n in range(3)
    }  # fmt: skip
    concerns = {
        f"concern_{n}": Concern(
            id=f"concern_{n}", says="-", kind="concern", call=pick(chooser, ["routine", "routine", "prompt"]),
            stops=tuple(pick(chooser, [("riding",), ("hands_on_work",), ()])), status="sketch",
            signs=(Sign(sign="-", when=_when(chooser, crisp=True), because="-", basis="own setting"),),
            while_you_wait=("-",), can_mislead="-", lesson="-", examples=(), sides="none",
        )
        for n in range(chooser.integer(0, 2))
    }  # fmt: skip
    actions = {
        f"action_{n}": Action(
            id=f"action_{n}", says="-", kind=pick(chooser, ["tack", "bodywork"]), status="sketch", because="-",
            basis="own setting", lesson="-", can_mislead="-", examples=(), sides="none",
            wanted_by=({pick(chooser, sorted(causes)): "yes"} if happens(chooser, 60) else _when(chooser),),
            only_after=(Need(need=_when(chooser), otherwise="-"),) if happens(chooser, 30) else (),
            forbidden_by=(Forbid(when=_when(chooser), because="-"),) if happens(chooser, 40) else (),
        )
        for n in range(3)
    }  # fmt: skip
    touches = tuple(
        Touch(place=place, side=None, soreness=Decimal(pick(chooser, ["0", "2.5", "5", "7.5", "10"])), line=n)
        for n, place in enumerate(PLACES) if happens(chooser, 85)
    )  # fmt: skip
    noted = tuple(
        Noted(key=key, value=word, written=word, line=10 + n)
        for n, (key, words) in enumerate(WORDS.items()) if happens(chooser, 70) for word in [pick(chooser, words)]
    )  # fmt: skip
    book = assembled(VOCABULARY, COARSE, causes, concerns, actions, {})
    return book, Visit(file="made_up.yaml", day=DAY, touches=touches, noted=noted)


def one_cause(when: Raw) -> Rulebook:
    """A rulebase of one cause that rests on one thing."""
    evidence = Evidence(rule="the only one", when=when, because="made up", basis="own setting", points="strong", line=1)
    page = Conclusion(
        id="cause", says="-", kind="cause", sides="none", status="sketch", can_mislead="-", lesson="-", examples=(),
        evidence=(evidence,),
    )  # fmt: skip
    return assembled(VOCABULARY, COARSE, {page.id: page}, {}, {}, {})


def _evidence(chooser: Chooser, turn: int) -> Evidence:
    word, against = pick(chooser, ["slight", "fair", "clear", "strong"]), happens(chooser, 25)
    return Evidence(
        rule=f"rule {turn}", when=_when(chooser), because="made up", basis="own setting", line=turn + 1,
        points=None if against else word, against=word if against else None,
    )  # fmt: skip


def _when(chooser: Chooser, *, crisp: bool = False) -> Raw:
    """Something asked of two to four readings at once."""
    names = some(chooser, [*PLACES, *WORDS], 2, 4)
    parts = [_leaf(chooser, name, crisp) for name in names]
    shape = pick(chooser, ["all", "all", "at_least_2_of", "any"])
    return {shape: parts}


def _leaf(chooser: Chooser, name: str, crisp: bool) -> Raw:
    if name in WORDS:
        return {name: pick(chooser, WORDS[name])}
    if not crisp and happens(chooser, 30):
        body: Raw = {"at_least": pick(chooser, ["sore", "marked"])}
    else:
        body = {"at_least": pick(chooser, ["2.5", "5", "7.5"])}
    if crisp:
        return {name: body | {"reading": "worst"}}
    return {"not": {name: body}} if happens(chooser, 25) else {name: body}
