"""Practice sessions: revealed as examined, no answer before the end, nothing forbidden ever offered, marked beside the reasoner.

In: cases with known seeds. Out: failures.
Not here: the command (test_practise_command).
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from reasoner.consult import judge, load_rulebook
from reasoner.problems import BadInput
from reasoner.questions.next_check import sifted
from reasoner.rendering.practise_beside import BY_THE_STORY, beside
from reasoner.rendering.practise_json import practise_json
from reasoner.rendering.practise_marks_text import marked_lines
from reasoner.rendering.practise_schema import Practise
from reasoner.rendering.practise_text import looks_lines, names_lines, shown_lines, state_lines
from reasoner.rendering.text_page import plain_text
from reasoner.rules_cache import Ready
from reasoner.teaching.choices import chosen
from reasoner.teaching.making import Maker
from reasoner.teaching.marking import marked, table_of
from reasoner.teaching.marking_looks import look_made
from reasoner.teaching.offered import Offered, offered
from reasoner.teaching.recovery import starting_points
from reasoner.teaching.session import Session, Thought, asked, begun, outcomes, revealed, seen_by
from reasoner.teaching.session_file import session_from, session_text
from reasoner.teaching.unnamed import case_from
from reasoner.visit.model import Noted
from tests.rendering.forbidden import found_in
from tests.teaching.answers import answer_words, beside_the_cipher

EXAMPLES = Path(__file__).parents[2] / "examples"
CASES = (
    ("girth_presses", "left"),
    ("saddle_to_one_side", "right"),
    ("spares_a_hind_limb", "left"),
    ("mouth_and_teeth", ""),
    ("worked_hard_lately", ""),
    ("tree_too_narrow", ""),
)


@cache
def _ready() -> Ready:
    return load_rulebook()


def _begun(cause: str, side: str, difficulty: str = "plain", seed: int = 3) -> Session:
    return begun(Maker(_ready().book).case(cause, side, difficulty, seed))


def _played(session: Session, lines: Iterable[str]) -> Session:
    for line in lines:
        session = chosen(line, session, seen_by(session, _ready()))
    return session


def _walk(session: Session, most: int = 6) -> Iterable[tuple[Session, Offered]]:
    """Looks spread over the walk, one after the other, and what is offered before each."""
    for number in range(most):
        answer = seen_by(session, _ready())
        offer = offered(session, answer)
        yield session, offer
        if not offer.checks:
            return
        check = offer.checks[(number * 17) % len(offer.checks)]
        session = asked(session, check)


# -- no answer before the end ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("cause", "side"), CASES)
def test_no_answer_leaks_before_the_end(cause: str, side: str) -> None:
    """Neither the file, nor the screen, nor the JSON holds a word of any answer, after however many looks."""
    forbidden = answer_words()
    assert cause in forbidden
    for session, offer in _walk(_begun(cause, side)):
        file = beside_the_cipher(session_text(session))
        book = _ready().book
        screen = plain_text([*state_lines(session, offer, book), *looks_lines(offer, book)], 10_000)
        if session.looks:
            screen += plain_text(shown_lines(session, session.looks[-1], book), 10_000)
        plain_json = json.dumps(practise_json(session, offer, None, None, book))
        for where, text in (("file", file), ("screen", screen), ("json", plain_json)):
            found = {word for word in forbidden if word in text.casefold()}
            assert not found, (where, found)


def test_nothing_is_marked_before_the_end() -> None:
    with pytest.raises(BadInput) as bad:
        marked(_begun("girth_presses", "left"), _ready())
    assert bad.value.problems[0].code == "TE52"


# -- what may be looked at ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("cause", "side"), CASES)
def test_nothing_that_something_standing_forbids_is_offered_or_rewarded(cause: str, side: str) -> None:
    for session, offer in _walk(_begun(cause, side, seed=5)):
        answer = seen_by(session, _ready())
        allowed, _ = sifted(answer, offer.checks)
        assert {c.key for c in offer.checks} == {c.key for c in allowed}
        assert not {c.key for c in offer.checks} & set(session.looks)
        if answer.referral.level == "emergency":
            assert not offer.checks
    last = replace(session, ended=True)
    offer = offered(last, seen_by(last, _ready()))
    missed = {effect.check.key for effect in marked(last, _ready()).looks_missed}
    assert missed <= {check.key for check in offer.checks}


def test_an_uneven_leg_takes_trot_and_riding_away_without_saying_why() -> None:
    session = _played(_begun("spares_a_hind_limb", "left"), ["look hind step"])
    answer = seen_by(session, _ready())
    assert answer.referral.level != "none"
    with pytest.raises(BadInput) as bad:
        chosen("look saddle comes to", session, answer)
    told = str(bad.value.problems[0])
    assert not any(concern.words.rstrip(".") in told for concern in answer.referral.concerns)
    assert "saddle_comes_to" not in {check.key for check in offered(session, answer).checks}


# -- revealing, thinking, proposing --------------------------------------------------------------------------------------------


def test_only_what_was_looked_at_is_seen() -> None:
    session = _played(_begun("girth_presses", "left"), ["look girth line", "look trot in hand"])
    visit = revealed(session, _ready().book)
    assert {touch.place for touch in visit.touches} == {"girth_line"}
    assert "trot_in_hand" in {noted.key for noted in visit.noted}
    given = {key for key, entry in _ready().book.vocabulary.observations.items() if entry.section in ("top", "horse")}
    assert {noted.key for noted in visit.noted} <= given | {"trot_in_hand"}


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("lok girth line", "TE54"),
        ("look", "TE54"),
        ("look grith line", "QU02"),
        ("look girth line", "TE52"),
        ("think girth presses", "TE51"),
        ("think girth presses left 60 %", "TE51"),
        ("think girth presses = 60 %", "TE50"),
        ("think girth presses, left = 60 %, withers pinch, left = 15 %", "TE51"),
        ("think girth presses, left = lots", "TE51"),
        ("think girth presses, left = 100 %", "TE51"),
        ("think girth press, left = 5", "TE50"),
        ("think mouth and teeth, left = 5", "TE50"),
        ("think withers pinch, left = 60", "TE51"),
        ("refer later", "TE50"),
        ("step girth hole by hole, left", "TE50"),
        ("step pray", "TE50"),
        ("look sex", "TE50"),
    ],
)
def test_what_cannot_be_chosen_is_said(line: str, code: str) -> None:
    session = _played(_begun("girth_presses", "left"), ["look girth line", "think girth presses, left = 50 %"])
    with pytest.raises(BadInput) as bad:
        chosen(line, session, seen_by(session, _ready()))
    assert [problem.code for problem in bad.value.problems] == [code]


def test_a_line_that_reads_almost_says_how_it_is_written() -> None:
    session = _begun("girth_presses", "left")
    for line in ("think girth presses left 60%", "think girth presses, left = 60 %, withers pinch, left = 15 %"):
        with pytest.raises(BadInput) as bad:
            chosen(line, session, seen_by(session, _ready()))
        assert "NAME OF A CAUSE, left = 60 %" in bad.value.problems[0].hint
    with pytest.raises(BadInput) as bad:
        chosen("think girth presses, left = 0.6", session, seen_by(session, _ready()))
    assert "0.6 % was read" in bad.value.problems[0].sentence  # and not 1%, which would be allowed


def test_after_the_end_nothing_is_added() -> None:
    session = _played(_begun("girth_presses", "left"), ["end"])
    for line in ("think girth presses, left = 5", "refer none", "end", "step girth hole by hole"):
        with pytest.raises(BadInput):
            chosen(line, session, seen_by(session, _ready()))


def test_a_session_is_taken_up_where_it_was_left() -> None:
    session = _played(
        _begun("saddle_to_one_side", "right"),
        [
            "look trot in hand",
            "think saddle to one side, right = 33.5 %",
            "look saddle comes to",
            "think panels uneven, left = 20",
            "refer routine",
            "step leave this saddle off",
        ],
    )
    again = session_from(session_text(session).encode(), "s.json", _ready().book)
    assert again == session


# -- marks -------------------------------------------------------------------------------------------------------------------


def test_the_right_cause_is_found_and_the_wrong_side_is_told() -> None:
    looks = ["look girth line", "look girth tightness", "look girth sits", "look girthing", "look behind the elbow"]
    right = _played(_begun("girth_presses", "left"), [*looks, "think girth presses, left = 80 %", "refer none", "end"])
    wrong = _played(_begun("girth_presses", "left"), [*looks, "think girth presses, right = 80 %", "refer none", "end"])
    one, other = marked(right, _ready()), marked(wrong, _ready())
    assert [(c.key, c.side) for c in one.found] == [("girth_presses", "left")]
    assert not one.other_side
    assert [(c.key, c.side) for c in other.other_side] == [("girth_presses", "right")]
    assert not other.found
    assert not other.missed  # the error is the side, and is told once
    assert {told.rule.split("/")[0] for told in other.other_side[0].told} == {"girth_presses"}
    assert one.points > other.points
    assert one.sureness.brier < other.sureness.brier
    assert one.sureness.logarithmic < other.sureness.logarithmic


def test_what_was_missed_names_the_rules_and_what_nobody_looked_at() -> None:
    marks = marked(_played(_begun("girth_presses", "left"), ["look trot in hand", "end"]), _ready())
    missed = {(c.key, c.side): c for c in marks.missed}["girth_presses", "left"]
    concluded = judge(_begun("girth_presses", "left").case.visit, _ready()).explanation.concluded[
        "girth_presses", "left"
    ]
    assert [told.rule for told in missed.told] == [item.rule for item in concluded.supporting]
    assert any(told.unseen for told in missed.told)
    assert marks.looks_missed


def test_calling_too_late_weighs_most() -> None:
    session = _played(_begun("spares_a_hind_limb", "left"), ["look hind step"])
    late = marked(_played(session, ["refer none", "end"]), _ready())
    early = marked(_played(session, ["refer emergency", "end"]), _ready())
    assert late.referral.low > 0
    assert early.referral.high > 0
    assert not early.referral.low
    assert late.points < early.points
    weights = table_of(_ready().book).weights
    named = {
        k: getattr(weights, k)
        for k in (
            "referral_too_high",
            "referral_not_seen",
            "stopped_step",
            "cause_missed",
            "wrong_side",
            "jumped_to",
            "look_missed",
            "step_missed",
            "step_beside",
        )
    }
    assert weights.referral_too_low > max(named.values())
    # Even the mildest call, missed, costs more than the best of everything else that is asked at once can win back in one place.
    assert dict(late.lost)["referral too low"] == weights.referral_too_low * late.referral.low


def _visit(name: str) -> Session:
    file = EXAMPLES / f"{name}.yaml"
    return begun(case_from(file.read_bytes(), str(file), _ready().book, "visit"))


def test_an_emergency_that_nobody_looked_for_goes_poorly_and_counts_as_referral() -> None:
    """Whoever ends with the first look still to be made had every way of knowing."""
    table = table_of(_ready().book)
    blind = marked(_played(_visit("otter"), ["end"]), _ready())
    assert (blind.referral.seen, blind.referral.whole, blind.referral.low) == ("none", "emergency", 0)
    assert blind.referral.not_seen == 3
    assert dict(blind.lost)["a call that looks left open would have shown"] == 3 * table.weights.referral_not_seen
    assert blind.points < table.adapts.poorly
    assert dict(blind.skills)["referral"] == 0.0
    assert next(beside(blind, _ready().book)).how == "too late"
    called = marked(_played(_visit("otter"), ["look belly signs", "refer emergency", "end"]), _ready())
    assert not called.referral.not_seen  # nothing more is to be looked at
    assert dict(called.skills)["referral"] == 1.0
    # Who calls before having seen why has not called too late.
    early = marked(_played(_visit("otter"), ["refer emergency", "end"]), _ready())
    assert not early.referral.not_seen
    assert "no look that was open" not in plain_text(marked_lines(early, _ready().book), 10_000)


def test_at_an_emergency_no_cause_is_asked_for() -> None:
    """Whoever sees it, calls and stops has done all that is right; the cause would have wanted looks that nobody may make."""
    marks = marked(_played(_visit("nettle"), ["look standing", "refer emergency", "end"]), _ready())
    assert (marks.points, marks.lost, marks.missed) == (100.0, (), ())
    assert [(cause.key, cause.side) for cause in marks.out_of_reach] == [("spares_a_foreleg", "left")]
    skills = dict(marks.skills)
    assert skills["causes"] is skills["certainty"] is None
    told = plain_text(marked_lines(marks, _ready().book), 10_000)
    assert "no cause is asked for" in told
    assert "an emergency stood" in told


def test_a_cause_that_only_closed_looks_would_show_is_not_missed() -> None:
    """Thick discharge closes the looks by hand; what they would have shown cannot be held against anybody."""
    made_of = _begun("girth_presses", "left").case
    noted = [entry for entry in made_of.visit.noted if entry.key != "discharge"]
    visit = replace(made_of.visit, noted=(*noted, Noted(key="discharge", value="thick_or_coloured")))
    case = replace(made_of, visit=visit, cause="", side="")
    book = _ready().book
    starts = {key for key in starting_points(judge(visit, _ready())) if book.conclusions[key[0]].kind == "cause"}
    assert starts
    shut = marked(_played(begun(case), ["look discharge", "refer prompt", "end"]), _ready())
    assert shut.closed
    assert not shut.missed
    assert {(cause.key, cause.side) for cause in shut.out_of_reach} == starts
    assert "Not counted as missed, for no look" in plain_text(marked_lines(shut, book), 10_000)
    blind = marked(_played(begun(case), ["end"]), _ready())
    assert {(cause.key, cause.side) for cause in blind.missed} == starts


def test_a_call_that_only_a_closed_look_would_show_is_nobodys_error() -> None:
    session = _played(_begun("spares_a_hind_limb", "left"), ["look hind step"])
    seen = seen_by(session, _ready())
    open_ = {check.key for check in offered(session, seen).checks}
    every = seen_by(replace(session, looks=(*session.looks, *open_)), _ready())
    degrees = ("none", *_ready().book.scales.calls)
    marks = marked(replace(session, referral=seen.referral.level, ended=True), _ready())
    assert marks.referral.not_seen == degrees.index(every.referral.level) - degrees.index(seen.referral.level)


def test_the_first_look_at_a_horse_that_needs_the_veterinarian_is_telling() -> None:
    """Whatever else might narrow more: it comes before any pressing (rules/scales, the walk round the horse)."""
    marks = marked(_played(_visit("otter"), ["look belly signs", "refer emergency", "end"]), _ready())
    assert [look.telling for look in marks.looks] == [True]
    # A look outside the first sixty seconds is telling where it raised the call.
    marks = marked(_played(_visit("otter"), ["look appetite", "end"]), _ready())
    assert [look.telling for look in marks.looks] == [True]


def test_a_look_is_as_telling_made_as_it_is_left() -> None:
    """The look that shows the cause is not called worth little where it was made, and missed where it was not."""
    begun_ = _begun("stirrups_uneven", "left")
    left = marked(_played(begun_, ["look ten steps of walk", "end"]), _ready())
    missed = {effect.check.key for effect in left.looks_missed}
    assert "shorter_stirrup" in missed
    for key in missed:
        made = look_made(replace(begun_, looks=("ten_steps_of_walk", key)), 1, _ready(), table_of(_ready().book).looks)
        assert made is not None
        assert made.telling, key


def test_what_the_case_was_made_from_is_never_jumped_to() -> None:
    """Where the rules do not find it again the apprentice who does is right all the same, and has missed nothing."""
    maker = Maker(_ready().book)
    unfound = 0
    for seed in range(16):
        case = maker.case("spares_a_foreleg", "left", "hard", seed)
        truth = (case.cause, case.side)
        if truth in starting_points(judge(case.visit, _ready())):
            continue
        unfound += 1
        session = replace(begun(case), thoughts=(Thought(0, ((truth, 0.9),)),), ended=True)
        marks = marked(session, _ready(), looks=())
        assert [(c.key, c.side) for c in marks.found] == [truth]
        assert not marks.missed
        assert not marks.jumped_to
        assert BY_THE_STORY in plain_text(marked_lines(marks, _ready().book), 10_000)
        assert BY_THE_STORY in {row.rules for row in beside(marks, _ready().book)}
        other = replace(session, thoughts=(Thought(0, (((case.cause, "right"), 0.9),)),))
        assert [(c.key, c.side) for c in marked(other, _ready(), looks=()).other_side] == [(case.cause, "right")]
    assert unfound


def test_proposing_every_step_there_is_goes_poorly() -> None:
    book = _ready().book
    every = [(key, side) for key, page in book.actions.items()
             for side in (("left", "right") if page.sides == "each" else ("",))]  # fmt: skip
    marks = marked(replace(_begun("girth_presses", "left"), steps=tuple(every), ended=True), _ready())
    assert marks.points < table_of(book).adapts.poorly
    assert (dict(marks.skills)["plan"] or 0.0) < 0.2


def test_the_end_says_what_stood_in_the_way() -> None:
    """As is promised where a look is refused; before the end nothing of it is told."""
    session = _played(_begun("spares_a_hind_limb", "left"), ["look hind step"])
    left = offered(session, seen_by(session, _ready())).left
    assert left
    marks = marked(_played(session, ["end"]), _ready())
    assert sorted(c.key for _, checks in marks.closed_by for c in checks) == sorted(one.check.key for one in left)
    text = plain_text(marked_lines(marks, _ready().book), 10_000)
    assert all(because in text for because, _ in marks.closed_by)
    assert "The call above is why" in plain_text(
        marked_lines(marked(_played(_visit("otter"), ["look belly signs", "end"]), _ready()), _ready().book), 10_000
    )


def test_a_step_that_something_standing_stops_is_told() -> None:
    session = _played(_begun("spares_a_hind_limb", "left"), ["look hind step"])
    answer = seen_by(session, _ready())
    stops = {stop for concern in answer.referral.concerns for stop in concern.standing_stops}
    assert "exercises" in stops or answer.referral.level in ("prompt", "emergency")
    marks = marked(_played(session, ["step poles in hand", "end"]), _ready())
    assert [step.key for step in marks.steps_stopped] == ["poles_in_hand"]
    assert marks.steps_stopped[0].stopped
    assert not marks.steps_right


def test_saying_nothing_is_scored_as_every_cause_alike() -> None:
    marks = marked(_played(_begun("mouth_and_teeth", ""), ["end"]), _ready())
    count = len(outcomes(_ready().book))
    assert marks.sureness.brier == pytest.approx(marks.sureness.alike_brier)
    assert marks.sureness.alike_brier == pytest.approx((1 - 1 / count) ** 2 + (count - 1) / count**2)


def test_the_mirror_image_is_marked_alike() -> None:
    """Left and right exchanged in case and choices: the same marks."""
    lines = [
        "look girth line",
        "look trot in hand",
        "think girth presses, {this} = 40 %",
        "think withers pinch, {other} = 10 %",
        "refer none",
        "end",
    ]
    both = [
        marked(
            _played(_begun("girth_presses", side), [line.format(this=side, other=other) for line in lines]), _ready()
        )
        for side, other in (("left", "right"), ("right", "left"))
    ]
    one, other = both
    assert (one.points, one.lost, one.skills) == (other.points, other.lost, other.skills)
    assert [(look.effect.check.key, look.place, look.of) for look in one.looks] == [
        (look.effect.check.key, look.place, look.of) for look in other.looks
    ]


def test_the_answer_for_machines_keeps_its_shape() -> None:
    session = _begun("girth_presses", "left")
    for lines in (
        ["look girth line", "think girth presses, left = 40 %"],
        ["refer routine", "step girth hole by hole", "end"],
    ):
        session = _played(session, lines)
        marks = marked(session, _ready()) if session.ended else None
        offer = offered(session, seen_by(session, _ready()))
        Practise.model_validate_json(json.dumps(practise_json(session, offer, marks, None, _ready().book)))
    assert marks is not None
    text = plain_text(marked_lines(marks, _ready().book), 100)
    assert "The girth presses on the left" in text


def test_a_look_that_something_stands_against_is_never_rewarded() -> None:
    """Written into the file by hand, past the offer: it is neither shown as made nor counted."""
    session = _played(_begun("spares_a_hind_limb", "left"), ["look hind step"])
    forced = replace(session, looks=(*session.looks, "saddle_comes_to"), ended=True)
    fair = replace(session, ended=True)
    one, other = marked(forced, _ready()), marked(fair, _ready())
    assert (
        [look.effect.check.key for look in one.looks]
        == [look.effect.check.key for look in other.looks]
        == ["hind_step"]
    )
    assert one.points <= other.points


def test_rules_that_hold_no_tables_of_practice_say_so() -> None:
    book = replace(_ready().book, measures={})
    for what in (Maker, table_of):
        with pytest.raises(BadInput) as bad:
            what(book)
        assert bad.value.problems[0].code == "TE44"


@pytest.mark.parametrize(("cause", "side"), CASES)
def test_no_page_of_practice_holds_a_verdict_blame_or_a_disease(cause: str, side: str) -> None:
    session = _played(
        _begun(cause, side), ["think withers pinch, left = 40 %", "think withers pinch, right = 10 %", "refer routine"]
    )
    book = _ready().book
    texts = [plain_text([*names_lines(book, "causes"), *names_lines(book, "steps")], 10_000)]
    for here, offer in _walk(session, 4):
        texts.append(plain_text([*state_lines(here, offer, book), *looks_lines(offer, book)], 10_000))
    texts.append(plain_text(marked_lines(marked(replace(here, ended=True), _ready()), book), 10_000))
    for text in texts:
        assert not found_in(text)


def test_doing_nothing_never_goes_well() -> None:
    """Whoever ends at once, or says every cause there is, does not get a harder case for it."""
    well = table_of(_ready().book).adapts.well
    for cause, side in CASES:
        assert marked(replace(_begun(cause, side), ended=True), _ready()).points < well
    every = {key: 0.99 / len(outcomes(_ready().book)) for key in outcomes(_ready().book)}
    shotgun = replace(_begun("girth_presses", "left"), thoughts=(Thought(0, tuple(every.items())),), ended=True)
    assert marked(shotgun, _ready()).points < table_of(_ready().book).adapts.poorly
