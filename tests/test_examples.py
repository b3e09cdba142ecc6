"""The visits of examples/: what they answer is kept and compared; quiet stays quiet, and a stop stays a stop.

In: examples/*.yaml, tests/golden/*.json. Out: nothing, or the difference; `python tests/golden_update.py` accepts it.
Not here: why an answer is right (tests/trade, the examples of the pages).
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest

from reasoner.consult import Answer, judge
from reasoner.visit.model import Visit, mirrored
from reasoner.visit.reading import read_visit
from tests.asking import Asked, ask, shipped
from tests.chance import Seeded
from tests.golden_update import EXAMPLES, GOLDEN, answers, as_text, summary
from tests.random_visits import random_visit

NAMES = sorted(path.stem for path in EXAMPLES.glob("*.yaml"))
# The visits that must refer, and how pressing they are, whatever else is found.
STOPS = {
    "otter": "emergency",
    "nettle": "emergency",
    "fennel": "prompt",
    "magpie": "prompt",
    "rook": "routine",
    "hazel": "routine",
    "teasel": "routine",
    "plover": "routine",
    "bramble": "routine",
}
ROUNDS = 25


@cache
def told() -> dict[str, Answer]:
    """Every example's answer, worked out once."""
    return answers()


@cache
def visit(name: str) -> Visit:
    """An example as read."""
    return read_visit(EXAMPLES / f"{name}.yaml", shipped().book.vocabulary)


# -- golden ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_it_answers_as_it_did(name: str) -> None:
    """A changed answer is read before it is kept: `python tests/golden_update.py` writes the new one."""
    kept = GOLDEN / f"{name}.json"
    assert kept.exists(), f"{name} has no golden answer yet"
    assert json.loads(as_text(summary(told()[name]))) == json.loads(kept.read_text("utf-8"))


def test_every_golden_answer_has_its_visit() -> None:
    """A golden answer without a visit is an orphan."""
    assert sorted(path.stem for path in GOLDEN.glob("*.json")) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_it_reads_without_a_warning_and_the_readme_tells_of_it(name: str) -> None:
    """The examples are what a practitioner starts from."""
    assert visit(name).warnings == ()
    assert f"[{name}.yaml]({name}.yaml)" in (EXAMPLES / "README.md").read_text("utf-8")


# -- quiet visits ----------------------------------------------------------------------------------------------------

ROUND = (
    "quiet: {head: both, poll: both, neck: both, shoulder: both, chest: both, withers: both, back: both, loin: both,\n"
)
ROUND += "  croup: both, hindquarter: both}\n"
LEVEL = (
    "in hand: {trot in hand: even, both reins: seen, hind push off: even, toe drag: none, back carriage: level}\n"
    "uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}\n"
    "ridden: {lead preferred: none, head at the trot: level, saddle comes to: straight, seen on: both reins,\n"
    "  back under saddle: level, canter against trot: same}\n"
    "after work: {dry patch: {left: none, right: none}, ruffled hair: {left: none, right: none},\n"
    "  saddle rub: {left: none, right: none}}\n"
)


def at(soreness: str) -> str:
    """Every paired place at one soreness, as far as the hand goes."""
    places = [p.name for p in shipped().book.vocabulary.places.values() if p.sides == "each"]
    return "settled under the hand: seen\npalpation:\n" + "".join(f"  {p}: {{both: {soreness}}}\n" for p in places)


def nothing_appears(answer: Asked) -> None:
    """No conclusion, no reason to call, no step, nothing withheld, nothing left unexplained."""
    assert answer.supported == set()
    assert answer.concerns == set()
    assert (answer.steps, answer.withheld) == (set(), {})
    assert answer.answer.explanation.account.unexplained == ()
    assert answer.riding == "as usual"


def test_nothing_appears_in_the_quiet_example() -> None:
    """The whole round quiet: nothing may appear; the saddle nobody looked at stays among what was not checked."""
    answer = told()["clover"]
    nothing_appears(Asked(answer))
    assert not answer.explanation.account.too_little


@pytest.mark.parametrize("mirror", [False, True])
@pytest.mark.parametrize("text", [ROUND, ROUND + LEVEL, LEVEL, at("0"), at("1"), at("2"), at("2") + LEVEL])
def test_nothing_appears_in_a_quiet_horse(text: str, mirror: bool) -> None:
    """Quiet by the round, at 0, at 1 or at 2, gone level or not seen to go: nothing may appear."""
    nothing_appears(ask(text, mirror=mirror))


def test_an_empty_visit_says_nothing_either_way() -> None:
    """Silence is never evidence: nothing is concluded, and there is too little to say."""
    answer = ask("horse: {name: Rook}")
    nothing_appears(answer)
    assert {c.certainty for c in answer.answer.explanation.concluded.values()} == {0.0}
    assert answer.answer.explanation.account.too_little


# -- stop visits -----------------------------------------------------------------------------------------------------


def with_more(base: Visit, seed: int) -> Visit:
    """The visit with random findings added wherever it says nothing yet; what it says is left as it is."""
    more = random_visit(Seeded(seed), shipped().book, filled=15 + seed % 50)
    touched = {(t.place, t.side, t.when) for t in base.touches}
    noted = {(n.key, n.side) for n in base.noted}
    return replace(
        base,
        touches=(*base.touches, *(t for t in more.touches if (t.place, t.side, t.when) not in touched)),
        noted=(*base.noted, *(n for n in more.noted if (n.key, n.side) not in noted and n.about is None)),
    )


@pytest.mark.parametrize(("name", "level"), STOPS.items())
def test_it_refers(name: str, level: str) -> None:
    """Each of these visits refers, at this level; at prompt and emergency the plan holds no step."""
    answer = told()[name]
    assert answer.referral.level == level
    if level != "routine":
        assert answer.plan.steps == ()
        assert answer.plan.owner_tasks == ()
        assert answer.plan.riding.answer == "not until the veterinarian has seen it"


@pytest.mark.parametrize("name", STOPS)
@pytest.mark.parametrize("mirror", [False, True])
def test_it_refers_whatever_else_is_added(name: str, mirror: bool) -> None:
    """However many findings are added, the level never drops, and nothing that was stopped is opened again."""
    ready = shipped()
    order = list(ready.book.scales.calls)
    base = mirrored(visit(name)) if mirror else visit(name)
    before = Asked(judge(base, ready))
    for seed in range(ROUNDS):
        after = Asked(judge(with_more(base, seed), ready))
        assert order.index(after.level) >= order.index(before.level)
        assert before.concerns <= after.concerns
        assert before.stops() <= after.stops()
        if before.riding == "not until the veterinarian has seen it":
            assert after.riding == before.riding
        if after.level != "routine":
            assert after.steps == set()


def test_the_additions_are_not_idle() -> None:
    """The random findings do raise levels and move conclusions; otherwise the test above would prove nothing."""
    ready = shipped()
    changed = {Asked(judge(with_more(visit("bramble"), seed), ready)).level for seed in range(ROUNDS)}
    assert {"routine", "prompt", "emergency"} & changed != {"routine"}
    moved = [judge(with_more(visit("clover"), seed), ready).explanation.supported() for seed in range(5)]
    assert all(moved)


# -- the mirror ------------------------------------------------------------------------------------------------------


def test_pewter_is_bramble_in_the_mirror() -> None:
    """Only the name and the sides differ, so every answer is turned round, bit for bit."""
    ready = shipped()
    turned = Asked(judge(mirrored(visit("bramble")), ready))
    pewter = Asked(told()["pewter"])
    assert summary(turned.answer) == summary(pewter.answer)
    bramble = Asked(told()["bramble"], turned=True)
    for key, side in pewter.answer.record.conclusions:
        assert bramble.certainty(key, side) == pewter.certainty(key, side)
        assert bramble.concluded(key, side).weight == pewter.concluded(key, side).weight
    assert bramble.concerns == pewter.concerns
    assert bramble.steps == pewter.steps
    assert set(bramble.withheld) == set(pewter.withheld)


@pytest.mark.parametrize("name", NAMES)
def test_the_mirror_of_every_example_turns_every_answer(name: str) -> None:
    """No example leans to a side of its own."""
    here, turned = Asked(told()[name], turned=True), Asked(judge(mirrored(visit(name)), shipped()))
    assert {(k, s): here.certainty(k, s) for k, s in here.answer.record.conclusions} == {
        (k, s): turned.certainty(k, s) for k, s in turned.answer.record.conclusions
    }
    assert here.concerns == turned.concerns
    assert here.steps == turned.steps
    assert here.riding == turned.riding
