"""How firm is it: rows are edited visits, first steps are the plan's own, a case worked out by hand comes out, a seed repeats.

In: examples, random rulebases with random visits. Out: failures.
Not here: the words of the page.
"""

from __future__ import annotations

import dataclasses
import math
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given

from reasoner.consult import Answer, consult, judge
from reasoner.facts.from_visit import facts_of
from reasoner.facts.table import column
from reasoner.inference.evaluate import evaluate
from reasoner.problems import BadInput
from reasoner.questions.changes import changed
from reasoner.questions.firm import EXAMINER, GIVEN, THE_RULES, Hand, firmness_of, hand_of, leading_stays
from reasoner.questions.first_steps import FirstSteps, first_of
from reasoner.questions.outcomes import outcomes_of
from reasoner.questions.rereading import Reread, Rereading
from reasoner.rulebook.pages import Action, Concern, Conclusion, Evidence, Sign
from reasoner.rulebook.scales import ReadingError
from reasoner.rules_cache import Ready
from reasoner.visit.model import Noted, Touch, VetsWord, Visit, mirrored
from reasoner.visit.reading import read_visit
from tests.chance import Chooser, Seeded, happens, pick
from tests.questions.made_up import PLACES, made
from tests.random_rulebooks import SCALES, VOCABULARY, assembled, random_rulebook
from tests.random_visits import DAY, random_visit
from tests.strategies import seeds

EXAMPLES = Path(__file__).parents[2] / "examples"
WILD = ReadingError(shared=1.0, noise=2.5, basis="own setting")
OTHER = {"left": "right", "right": "left", "": ""}


def rows_of(answer: Answer, error: ReadingError, seed: int, pairs: int) -> Reread:
    """Rows over the full program's slots."""
    program = answer.ready.program
    base = column(program.slots, answer.facts)[:, 0]
    return Rereading(answer.visit, answer.ready.book, program.meta["words"], error).rows(
        base, program.slots, seed, 0, pairs
    )


def same_as_edited(answer: Answer, error: ReadingError, seed: int, pairs: int) -> None:
    """Each row is the column of its edited visit, and its first step that of the edited visit's plan."""
    program, steps = answer.ready.program, FirstSteps(answer)
    reread = rows_of(answer, error, seed, pairs)

    def edited(row: int) -> Visit:
        return changed(answer.visit, reread.change(row))

    told = steps.of(evaluate(program, reread.table), reread.table, edited)
    for row in range(2 * pairs):
        again = judge(edited(row), answer.ready)
        np.testing.assert_array_equal(reread.table[:, row], column(program.slots, again.facts)[:, 0])
        assert steps.first(int(told[row])) == first_of(again.plan, again.referral)


def with_a_word(chooser: Chooser, answer: Answer) -> Answer:
    """The same visit with a veterinarian's word about one thing of the rulebook, or two."""
    book = answer.ready.book
    names = [*book.concerns, *book.vocabulary.places, "spinous_spaces", "poll", "chest"]
    about = tuple(pick(chooser, names) for _ in range(chooser.integer(1, 2)))
    stops = [stop.key for stop in book.scales.stops]
    word = VetsWord(
        who="Dr Mossop", seen=answer.visit.day, about=about, sides=tuple(pick(chooser, [None, "left"]) for _ in about),
        allows=(pick(chooser, stops), "hands_on_work"), forbids=(pick(chooser, stops),) if happens(chooser, 20) else (),
        until=answer.visit.day + timedelta(days=3),
    )  # fmt: skip
    return judge(dataclasses.replace(answer.visit, vets_words=(word,)), answer.ready)


@given(seeds())
def test_rows_are_edited_visits_on_random_rulebases(chooser: Chooser) -> None:
    book = random_rulebook(chooser, concerns=4, actions=4)
    answer = judge(random_visit(chooser, book, filled=80), made(book))
    same_as_edited(answer, WILD, chooser.integer(0, 99), 2)
    same_as_edited(with_a_word(chooser, answer), WILD, chooser.integer(0, 99), 2)


def test_a_word_about_one_place_opens_only_what_rests_on_it() -> None:
    """The same concern stands in every row; whether a veterinarian's word is about it hangs on the places that raised it."""
    sore = [{place: {"at_least": "5", "reading": "worst"}} for place in PLACES[:2]]
    concern = Concern(
        id="concern", says="-", kind="concern", call="routine", stops=("hands_on_work",), status="sketch",
        signs=(Sign(sign="-", when={"any": sore}, because="-", basis="own setting"),), while_you_wait=("-",),
        can_mislead="-", lesson="-", examples=(), sides="none",
    )  # fmt: skip
    action = Action(
        id="action", says="-", kind="bodywork", status="sketch", because="-", basis="own setting", lesson="-",
        can_mislead="-", examples=(), sides="none", wanted_by=({PLACES[2]: {"at_least": "1"}},),
    )  # fmt: skip
    scores = zip(PLACES, ("9", "4.5", "9"), strict=False)
    touches = tuple(
        Touch(place=place, side=None, soreness=Decimal(score), line=n) for n, (place, score) in enumerate(scores)
    )
    word = VetsWord(who="Dr Mossop", seen=DAY, about=(PLACES[0],), sides=(None,), allows=("hands_on_work",), until=DAY)
    book = assembled(VOCABULARY, SCALES, {}, {concern.id: concern}, {action.id: action}, {})
    visit = Visit(file="made_up.yaml", day=DAY, touches=touches, vets_words=(word,))
    answer = judge(visit, made(book))
    hand = ReadingError(shared=0.0, noise=0.7, basis="own setting")
    same_as_edited(answer, hand, 1, 20)
    firsts = dict(firmness_of(answer, Hand(hand, GIVEN), rows=200).first.values)
    assert set(firsts) == {(("action", ""),), ()}
    assert min(firsts.values()) > 20


@pytest.mark.parametrize("name", ["bramble", "clover", "tansy", "hazel"])
def test_rows_are_edited_visits_on_the_shipped_rulebase(name: str, shipped: Ready) -> None:
    answer = consult(EXAMPLES / f"{name}.yaml", shipped)
    same_as_edited(answer, WILD, 3, 3)
    same_as_edited(with_a_word(Seeded(5), answer), WILD, 4, 2)


def test_a_quiet_place_read_again_is_the_place_written_out(tmp_path: Path, shipped: Ready) -> None:
    """As a file: the number alone changes; that nothing was felt there stays said."""
    listed, written = tmp_path / "listed.yaml", tmp_path / "written.yaml"
    listed.write_text("visit: 2026-04-18\nquiet: {loin: left}\n")
    written.write_text("visit: 2026-04-18\npalpation: {loin: {left: {soreness: 1.5, felt: nothing}}}\n")
    answer = consult(listed, shipped)
    reread = rows_of(answer, WILD, 2, 200)
    at = next(n for n, t in enumerate(reread.touches) if (t.place, t.side) == ("loin", "left"))
    row = int(np.flatnonzero(reread.scores[at] == 1.5)[0])
    edited = facts_of(read_visit(written, shipped.book.vocabulary), shipped.program.meta["words"])
    of_loin = [n for n, name in enumerate(shipped.program.slots) if name.startswith("loin|left|")]
    wanted = column(shipped.program.slots, edited)[of_loin, 0]
    np.testing.assert_array_equal(reread.table[of_loin, row], wanted)


def one_rule(at_least: str, scores: dict[str, str]) -> Answer:
    """One cause of each side, drawn wherever the withers of that side reach a number; nothing else."""
    evidence = Evidence(
        rule="sore there", when={"withers": {"side": "this", "at_least": at_least}}, because="made up",
        basis="own setting", points="strong",
    )  # fmt: skip
    page = Conclusion(
        id="made_up", says="-", kind="cause", sides="each", status="sketch", lesson="-", can_mislead="-",
        evidence=(evidence,), accounts_for=(), leads_to=(), examples=(),
    )  # fmt: skip
    touches = tuple(
        Touch(place="withers", side=side, soreness=Decimal(score))  # type: ignore[arg-type]
        for side, score in scores.items()
    )
    book = assembled(VOCABULARY, SCALES, {page.id: page}, {}, {}, {})
    return judge(Visit(file="made_up.yaml", day=DAY, touches=touches), made(book))


@pytest.mark.parametrize(("shared", "noise"), [(0.0, 0.7), (0.5, 0.7), (1.2, 0.0)])
@pytest.mark.parametrize(("score", "at_least"), [("4", "4"), ("3.5", "4"), ("5", "4"), ("9.5", "10")])
def test_one_rule_at_one_place_comes_out_as_worked_out_by_hand(
    score: str, at_least: str, shared: float, noise: float
) -> None:
    """A score x is read as at least t where x + e reaches the middle between t and the step below: the normal distribution."""
    answer, rows = one_rule(at_least, {"left": score}), 20_000
    hand = Hand(ReadingError(shared=shared, noise=noise, basis="own setting"), GIVEN)
    expected = 1.0 - NormalDist(0.0, math.hypot(shared, noise)).cdf(float(at_least) - 0.25 - float(score))
    firmness = firmness_of(answer, hand, rows=rows, seed=11)
    drawn = dict(firmness.bands["made_up", "left"].values).get("strong", 0) / rows
    # Five standard deviations of as many independent rows as there are pairs at least.
    assert abs(drawn - expected) < 5 * math.sqrt(expected * (1 - expected) / (rows / 2)) + 1e-9
    assert 0.0 < drawn < 1.0


def test_left_and_right_waver_by_themselves_and_share_the_hand() -> None:
    """Two sides with one threshold: together by what they share, apart by what they do not."""
    answer, rows = one_rule("4", {"left": "4", "right": "4"}), 20_000
    p = 1.0 - NormalDist(0.0, 1.0).cdf(-0.25)

    def both(shared: float, noise: float) -> float:
        hand = Hand(ReadingError(shared=shared, noise=noise, basis="own setting"), GIVEN)
        sets = dict(firmness_of(answer, hand, rows=rows).leading.values)
        return sets.get((("made_up", "left"), ("made_up", "right")), 0) / rows

    assert abs(both(0.0, 1.0) - p * p) < 0.02
    assert abs(both(1.0, 0.0) - p) < 0.02


def test_a_seed_repeats_and_another_does_not(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    hand = hand_of(answer.visit, shipped.book.scales)
    assert firmness_of(answer, hand, 300, 7) == firmness_of(answer, hand, 300, 7)
    assert firmness_of(answer, hand, 300, 7) != firmness_of(answer, hand, 300, 8)
    assert firmness_of(answer, hand, 300, 7).leading == leading_stays(answer, hand, 300, 7)


def test_the_draws_of_a_seed_are_these() -> None:
    """The bits behind a seed are promised to stay: these scores were drawn on 2026-11-28 and must be drawn for ever."""
    answer = one_rule("4", {"left": "4", "right": "2"})
    hand = ReadingError(shared=0.5, noise=0.7, basis="own setting")
    reread = rows_of(answer, hand, 1, 4)
    assert reread.scores.tolist() == [
        [3.5, 4.5, 3.0, 3.5, 5.5, 3.5, 1.5, 5.0],
        [3.5, 1.5, 0.0, 3.0, 1.5, 2.5, 1.0, 1.5],
    ]


def test_more_rows_begin_with_the_fewer_and_blocks_do_not_matter(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "sorrel.yaml", shipped)
    whole = rows_of(answer, WILD, 9, 6)
    rereading = Rereading(answer.visit, shipped.book, shipped.program.meta["words"], WILD)
    base = column(shipped.program.slots, answer.facts)[:, 0]
    later = rereading.rows(base, shipped.program.slots, 9, 4, 2)
    np.testing.assert_array_equal(whole.scores[:, [4, 5, 10, 11]], later.scores)


@pytest.mark.parametrize("name", ["bramble", "teasel"])
def test_the_mirror_image_gets_the_mirrored_answer(name: str, shipped: Ready) -> None:
    """Law 1, bit for bit: every draw is used with left and right exchanged too."""
    answer = consult(EXAMPLES / f"{name}.yaml", shipped)
    hand = hand_of(answer.visit, shipped.book.scales)
    one = firmness_of(answer, hand, 400)
    other = firmness_of(judge(mirrored(answer.visit), shipped), hand, 400)
    assert {key: stays.values for key, stays in one.bands.items()} == {
        (key, OTHER[side]): stays.values for (key, side), stays in other.bands.items()
    }
    assert (one.leading.kept, one.first.kept, one.call) == (other.leading.kept, other.first.kept, other.call)


def test_a_hand_that_does_not_waver_changes_nothing(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    firmness = firmness_of(answer, hand_of(answer.visit, shipped.book.scales, 0.0, 0.0), 10)
    for stays in (*firmness.bands.values(), firmness.leading, firmness.call, firmness.reasons, firmness.first):
        assert stays.kept == firmness.rows == 10


def test_what_is_counted_as_now_is_the_answer_itself(shipped: Ready) -> None:
    answer = consult(EXAMPLES / "bramble.yaml", shipped)
    firmness = firmness_of(answer, hand_of(answer.visit, shipped.book.scales), 10)
    assert firmness.leading.now == answer.explanation.leading
    assert firmness.call.now == answer.referral.level
    assert firmness.first.now == first_of(answer.plan, answer.referral)
    assert {key: stays.now for key, stays in firmness.bands.items()} == {
        key: c.band for key, c in answer.explanation.concluded.items()
    }
    outcomes = outcomes_of(shipped.lean, evaluate(shipped.lean, column(shipped.lean.slots, answer.facts)), shipped.book)
    assert outcomes.level.shape == (1,)


def test_whose_hand_it_is() -> None:
    """The error of an examiner the practice knows comes before the usual one, what is asked for before both."""
    usual, own = (ReadingError(shared=s, noise=n, basis="own setting") for s, n in ((0.5, 0.7), (0.3, 0.4)))
    scales = dataclasses.replace(SCALES, reading_error=usual, examiners={"wren_aldous": own})
    by = Noted(key="examined_by", value="Wren  Aldous", kind="text")
    visit = Visit(file="made_up.yaml", day=DAY, noted=(by,))
    assert hand_of(visit, scales) == Hand(own, EXAMINER)
    assert hand_of(dataclasses.replace(visit, noted=()), scales) == Hand(usual, THE_RULES)
    given_here = hand_of(visit, scales, noise=1.0)
    assert (given_here.whose, given_here.error.shared, given_here.error.noise) == (GIVEN, 0.3, 1.0)
    with pytest.raises(BadInput) as told:
        hand_of(visit, SCALES, shared=0.2)
    assert told.value.problems[0].code == "QU07"
