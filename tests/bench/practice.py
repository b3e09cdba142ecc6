"""A practice made up from a seed: horses, riders, saddles and years of visits to them, in the invented scenario.

In: how many horses and years, a seed. Out: visits as texts in the order of their days; or a store that holds them.
Not here: the truth about horses. Each is given a pattern of soreness that comes and goes, so that courses, expectations and
lists have something to show; nothing is measured by how well the reasoner finds it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
from sqlalchemy import Connection

HOME = Path(__file__).resolve().parents[2]
if str(HOME) not in sys.path:
    sys.path.insert(0, str(HOME))

from reasoner.consult import Answer, judge, load_rulebook
from reasoner.frozen import frozen
from reasoner.records.keeping import archive_of
from reasoner.rendering.answer_json import key_json, referral_json
from reasoner.rendering.kept_json import concluded_kept
from reasoner.rendering.step_json import step_json
from reasoner.rulebook.layers import read_layers, shipped_rules, stamp_of
from reasoner.rules_cache import Ready
from reasoner.store.afterwards import add_done
from reasoner.store.opening import Store
from reasoner.store.saving import Kept, Saved, save
from reasoner.visit.reading import visit_from_bytes

LAST_DAY = date(2026, 4, 18)
YARDS = ("Larkhope", "Netherfold", "Skelbeck", "Thornlea", "Ashgill", "Fellgate", "Mossrigg", "Holmside")
FIRST = ("Bram", "Pew", "Tan", "Row", "Clo", "Mag", "Ot", "Net", "Fen", "Sor", "Ju", "Ha", "Bar", "Plo", "Tea", "This")
LAST = ("ble", "ter", "sy", "an", "ver", "pie", "wyn", "tle", "nel", "rel", "no", "zel", "ley", "vern", "sel", "low")
HANDS = ("Wren Aldous", "Tam Orrin")
#: What a horse of each pattern answers with: (place, share of its severity on the side it has, and on the other).
PATTERNS: dict[str, tuple[tuple[str, float, float], ...]] = {
    "saddle": (("behind the shoulder blade", 0.9, 0.2), ("withers", 0.3, 0.7), ("long back", 0.5, 0.3)),
    "withers": (("withers", 0.9, 0.9), ("behind the shoulder blade", 0.6, 0.6), ("last ribs", 0.4, 0.4)),
    "hind": (("croup", 0.9, 0.3), ("loin", 0.6, 0.3), ("rear hamstring", 0.5, 0.2)),
    "girth": (("girth line", 0.9, 0.8), ("before the shoulder blade", 0.4, 0.4)),
    "nothing": (),
}
LISTENED = (
    "jaw muscle", "behind the poll", "neck strap", "before the shoulder blade", "front of the upper arm", "withers",
    "behind the shoulder blade", "long back", "last ribs", "loin", "croup", "rear hamstring", "girth line",
)  # fmt: skip


@dataclass(frozen=True)
class Told:
    """One visit as text: the day, and the seed of its horse."""

    day: date
    horse: int
    text: str


def practice(horses: int = 300, years: int = 5, seed: int = 1) -> list[Told]:
    """Every visit of the practice in the order of their days; two or three a year to each horse."""
    visits = [told for number in range(horses) for told in _horse(number, years, seed)]
    return sorted(visits, key=lambda told: (told.day, told.horse))


def _horse(number: int, years: int, seed: int) -> Iterator[Told]:
    chance = np.random.default_rng((seed, number))
    name = f"{FIRST[number % 16]}{LAST[(number // 16) % 16]}" + (f" {number // 256 + 1}" if number >= 256 else "")
    yard, rider = YARDS[number % len(YARDS)], f"rider {number // 3}"
    pattern = list(PATTERNS)[int(chance.integers(len(PATTERNS)))]
    side = ("left", "right")[int(chance.integers(2))]
    born, severity = 2004 + int(chance.integers(14)), float(chance.uniform(3, 8))
    day = LAST_DAY - timedelta(days=365 * years) + timedelta(days=int(chance.integers(120)))
    while day <= LAST_DAY:
        hand = HANDS[int(chance.random() < 0.2)]
        shared = float(chance.normal(0, 0.5))
        head = (
            f"horse: {{name: {name}, born: {born}, sex: {'mare' if number % 2 else 'gelding'}}}\nvisit: {day.isoformat()}\n"
            f"yard: {yard}\nowner: owner {number // 2}\nexamined by: {hand}\nsettled under the hand: seen\n"
            f"hand pressure: moderate\n"
        )
        yield Told(
            day, number, head + _palpation(pattern, side, severity, shared, chance) + _work(pattern, side, rider)
        )
        # What helps helps more often than not, and now and then something new comes up.
        severity = max(0.0, severity * float(chance.uniform(0.2, 1.1)))
        if chance.random() < 0.2:
            severity = float(chance.uniform(3, 8))
        # A course of three visits some weeks apart, then months without one.
        day += timedelta(days=int(chance.choice([10, 14, 28, 180, 260, 330])))


def _palpation(pattern: str, side: str, severity: float, shared: float, chance: np.random.Generator) -> str:
    shares = {place: (one, other) for place, one, other in PATTERNS[pattern]}
    lines = ["palpation:"]
    for place in LISTENED:
        one, other = shares.get(place, (0.05, 0.05))
        scores = [float(np.clip(np.round(2 * (severity * s + shared + chance.normal(0, 0.7))) / 2, 0, 10)) + 0.0
                  for s in (one, other)]  # fmt: skip
        left, right = scores if side == "left" else scores[::-1]
        lines.append(f"  {place}: {{left: {left:g}, right: {right:g}}}")
    return "\n".join(lines) + "\n"


def _work(pattern: str, side: str, rider: str) -> str:
    push = side if pattern == "hind" else "even"
    comes = side if pattern in ("saddle", "hind") else "straight"
    front = "high" if pattern == "withers" else "level"
    return (
        f"in hand: {{trot in hand: even, both reins: seen, hind push-off: {push}, toe drag: none}}\n"
        f"tacked up:\n  saddle: {{type: with bars, front: {front}, panels: even, tree width: looks right}}\n"
        f"  which saddle: the brown one of {rider}\n"
        f"ridden: {{ridden by: {rider}, saddle comes to: {comes}, seen on: both reins, rider shape: level, "
        f"stirrup difference: none}}\n"
    )


def fill(store: Store, visits: list[Told], *, processes: int = 2, seed: int = 1) -> int:
    """Judge every visit and keep it, with what the owners told of the steps; how many visits there were.

    Many visits share a transaction: what is acknowledged one by one elsewhere would cost a flush of the disk each.
    """
    count, archive = 0, archive_of(read_layers([shipped_rules()]))
    with ProcessPoolExecutor(processes) as pool:
        judged = zip(visits, pool.map(_kept, visits, chunksize=16), strict=True)
        while some := list(islice(judged, _AT_ONCE)):
            with store.writing() as connection:
                together = _Together(store.place, store.engine, connection=connection)
                for told, kept in some:
                    count += _keep(together, told, replace(kept, archive=archive), seed)
    return count


_AT_ONCE = 256
#: How often an owner tells what of a step; "" is nothing.
ANSWERED = {"done": 0.5, "partly": 0.15, "not": 0.1, "stopped": 0.05, "": 0.2}


@frozen
class _Together(Store):
    """Records whose every writing is part of one transaction that somebody else ends."""

    connection: Connection | None = None

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        assert self.connection is not None
        yield self.connection


def _keep(store: Store, told: Told, kept: Kept, seed: int) -> bool:
    kept_at = datetime.combine(told.day, time(18), UTC)
    saved: Saved = save(store, kept, by="Wren Aldous", moment=kept_at)
    chance = np.random.default_rng((seed, told.horse, told.day.toordinal()))
    later = told.day + timedelta(days=7)
    for step in kept.answer["plan"]["steps"]:
        answer = str(chance.choice(list(ANSWERED), p=list(ANSWERED.values())))
        if answer:
            because = "" if answer == "done" else "no time"
            add_done(
                store, saved.version, step=step["key"], side=step["side"] or "", answer=answer, because=because,
                by="the owner", on=later, moment=datetime.combine(later, time(18), UTC),
            )  # fmt: skip
    return saved.new


def _kept(told: Told) -> Kept:
    ready, stamp = _rules()  # the archive is the same for all, and is not sent with each
    text = told.text.encode()
    answer = judge(visit_from_bytes(text, f"{told.horse}.yaml", ready.book.vocabulary), ready)
    return Kept(visit=answer.visit, text=text, answer=_plain(answer), stamp=stamp, engine="bench", archive=b"")


def _plain(answer: Answer) -> dict[str, Any]:
    """What the rows of the records are made of; the rest of an answer would take longer to write than to judge."""
    explanation = answer.explanation
    return {
        "referral": referral_json(answer.referral),
        "plan": {"steps": [step_json(step) for step in answer.plan.steps]},
        "leading": [key_json(key) for key in explanation.leading],
        "conclusions": [concluded_kept(one) for one in explanation.supported()],
    }


@cache
def _rules() -> tuple[Ready, str]:
    return load_rulebook(), stamp_of(read_layers([shipped_rules()]))


if __name__ == "__main__":
    import argparse
    import time as clock

    from reasoner.store.opening import open_store
    from reasoner.store.place import place_of

    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("store", help="where to keep the practice: a file, or postgresql://...")
    words.add_argument("--horses", type=int, default=300)
    words.add_argument("--years", type=int, default=5)
    words.add_argument("--seed", type=int, default=1)
    asked = words.parse_args()
    began = clock.perf_counter()
    count = fill(
        open_store(place_of(asked.store), make=True), practice(asked.horses, asked.years, asked.seed), seed=asked.seed
    )
    print(f"{count} visits to {asked.horses} horses kept in {clock.perf_counter() - began:.0f} s")
