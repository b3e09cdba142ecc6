"""A lesson says what the trace says: nothing is named that was not concluded, nothing forbidden is proposed, no side comes first.

In: every visit of examples/, and its mirror image. Out: a failure where a step rests on nothing, or plain and technical differ.
Not here: the command and its files (test_explain_command), the page (tests/page/test_lesson).
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from jsonschema import validate

from reasoner.consult import Answer, judge
from reasoner.explanation.model import Key
from reasoner.questions.checks import checks_of
from reasoner.questions.next_check import EMERGENCY, sifted
from reasoner.questions.telling import EITHER
from reasoner.rendering import phrases
from reasoner.rendering.both_sides import turned
from reasoner.rendering.lesson_json import lesson_json
from reasoner.rendering.lesson_opens import NOT_WRITTEN, READ, anatomy_of
from reasoner.rendering.lesson_shapes import Step, Told, Words
from reasoner.rendering.lesson_told import WORDS, told
from reasoner.rulebook.checking import SPACES
from reasoner.teaching.lesson import Lesson, lesson_of
from reasoner.visit.model import mirrored
from reasoner.visit.reading import read_visit
from tests.asking import OTHER, ask, shipped
from tests.rendering.forbidden import found_in

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SCHEMA = json.loads(
    (EXAMPLES.parent / "reasoner" / "rendering" / "schemas" / "explain.json").read_text(encoding="utf-8")
)
NAMES = sorted(path.stem for path in EXAMPLES.glob("*.yaml"))


@cache
def lesson(name: str, *, mirror: bool = False) -> tuple[Answer, Lesson]:
    """The lesson of an example, or of its mirror image."""
    visit = read_visit(EXAMPLES / f"{name}.yaml", shipped().book.vocabulary)
    answer = judge(mirrored(visit) if mirror else visit, shipped())
    return answer, lesson_of(answer)


@cache
def said(name: str, words: Words) -> Told:
    answer, found = lesson(name)
    return told(found, answer, words)


def steps(told: Told) -> list[Step]:
    return [step for chapter in told.chapters for step in chapter.steps]


def texts(step: Step) -> list[str]:
    """Everything a step says by itself; a rule's own reason and the titles of sources are its page's."""
    return [step.says, *step.more, *(point.text for point in step.points)]


def flipped(key: Key) -> Key:
    return key[0], OTHER[key[1]]


# -- what every lesson holds to --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_veterinarian_stands_first_and_nothing_forbidden_is_proposed(name: str) -> None:
    answer, found = lesson(name)
    for words in WORDS:
        first, *others = said(name, words).chapters
        assert first.key == "first"
        for concern in answer.referral.concerns:
            assert any(concern.words in step.says and not step.folded for step in first.steps), concern.key
        looks = [step.key.removeprefix("look/") for chapter in others for step in chapter.steps
                 if step.key.startswith("look/")]  # fmt: skip
        allowed, _ = sifted(answer, checks_of(answer))
        assert {*looks} <= {check.key for check in allowed}
        assert bool(looks) <= (answer.referral.level != EMERGENCY)
        assert said(name, words).not_checked
        assert said(name, words).rests_on
        assert said(name, words).cautions
    parting = {p.check.key for rival in found.rivals for beside in rival.beside for p in beside.partings}
    assert parting <= {check.key for check in sifted(answer, checks_of(answer))[0]}


def test_an_emergency_is_the_whole_lesson() -> None:
    for name in ("otter", "nettle"):
        answer, found = lesson(name)
        assert answer.referral.level == EMERGENCY
        assert found.stop
        assert [chapter.key for chapter in said(name, "plain").chapters] == ["first", "found"]
        assert not found.strands
        assert not found.rivals
        assert found.turning is None
        assert not any(one.calls for one in found.noticed if one.leading), "what calls is told with the call"


@pytest.mark.parametrize("name", NAMES)
def test_every_step_rests_on_a_rule_a_finding_or_a_word_of_the_vocabulary(name: str) -> None:
    answer, _ = lesson(name)
    book = answer.ready.book
    rules = {(page.file, one.line) for page in book.conclusions.values() for one in page.evidence}
    lines = {0, *(t.line for t in answer.visit.touches), *(n.line for n in answer.visit.noted),
             *(f.line for c in answer.explanation.concluded.values() for i in c.supporting for f in i.findings)}  # fmt: skip
    for step in steps(said(name, "plain")):
        kind, _, rest = step.key.partition("/")
        if kind == "look":
            assert rest in {*book.vocabulary.places, *book.vocabulary.observations, SPACES}, step.key
        elif kind == "home":
            assert step.says == phrases.sentence(book.conclusions[rest].lesson)
        elif step.key not in ("open/first_sight", "open/not", "turn/sides"):
            assert step.rules or step.seen, step.key
        for rule in step.rules:
            assert rule.speaks == "calls" or (rule.file, rule.line) in rules, rule
            assert rule.basis, rule
            assert {one.line for one in rule.seen} <= lines


@pytest.mark.parametrize("name", NAMES)
def test_no_conclusion_is_named_that_the_trace_does_not_hold(name: str) -> None:
    """What a step names is heard by a rule today, or turned up by one of the questions; and no other sentence of a conclusion
    stands anywhere in the lesson."""
    answer, found = lesson(name)
    concluded = answer.explanation.concluded
    heard = {key for key, c in concluded.items() if any(i.share for i in (*c.supporting, *c.opposing))}
    asked = {key for turn in (found.turning.turns if found.turning else ()) for key in turn.leads}
    looks = [key for effect in found.next.proposed for key in (effect.raises, effect.tells_from) if key]
    asked |= {(key, at) for key, side in looks for at in (("left", "right") if side == EITHER else (side,))}
    asked |= {rival.weighed.key for rival in found.rivals} | {(c.key, c.side) for c in found.possible}
    for words in WORDS:
        named = {key for step in steps(said(name, words)) for key in step.about}
        assert named <= heard | asked, named - heard - asked
        whole = "\n".join(text for step in steps(said(name, words)) for text in texts(step))
        by_way = {key for c in (concluded[k] for k in named) for i in (*c.supporting, *c.opposing) for key in i.via}
        for key, one in concluded.items():
            if key not in named | by_way and flipped(key) not in named | by_way:
                assert phrases.clause(one.words) not in whole, key


@pytest.mark.parametrize("name", NAMES)
def test_plain_and_technical_tell_the_same_steps(name: str) -> None:
    plain, technical = (said(name, words) for words in WORDS)
    assert [c.key for c in plain.chapters] == [c.key for c in technical.chapters]

    def shape(told: Told) -> list[tuple[object, ...]]:
        return [(s.key, s.folded, s.alarm, s.about, s.seen, [(r.file, r.line, r.of) for r in s.rules],
                 [p.place for p in s.anatomy], [(p.mark, p.folded) for p in s.points if p.mark not in ("that is",)])
                for s in steps(told)]  # fmt: skip

    assert shape(plain) == shape(technical)
    keys = [step.key for step in steps(plain)]
    assert len(keys) == len(set(keys)), "a step has a name of its own"
    numbers = re.compile(r"[+-]?0\.\d\d\b")
    assert not any(numbers.search(text) for step in steps(plain) for text in texts(step))
    if any(rule.loud for step in steps(technical) for rule in step.rules):
        assert any(numbers.search(rule.loud) for step in steps(technical) for rule in step.rules)


@pytest.mark.parametrize("name", NAMES)
def test_what_is_only_counted_is_said_for_what_it_is(name: str) -> None:
    """Some of it speaks for a conclusion that does not stand; of none of it may be said that it speaks only against something."""
    answer, found = lesson(name)
    if found.stop or not found.untold:
        return
    (chapter,) = (one for one in said(name, "plain").chapters if one.key == "found")
    stands = {(c.key, c.side) for c in answer.explanation.supported()}
    kept = {one.where for one in found.noticed}
    speaks_for = {
        key
        for key, concluded in answer.explanation.concluded.items() for item in concluded.supporting
        if item.share > 0.0 and {f.where for f in item.findings} - kept
    }  # fmt: skip
    assert not speaks_for & stands
    assert not speaks_for or "or for what does not stand" in chapter.closing[0]


@pytest.mark.parametrize("name", NAMES)
def test_no_forbidden_word(name: str) -> None:
    for words in WORDS:
        lesson_said = said(name, words)
        lines = [
            text for chapter in lesson_said.chapters for text in (chapter.title, *chapter.opening, *chapter.closing)
        ]
        lines += [text for step in steps(lesson_said) for text in texts(step)]
        lines += [text for step in steps(lesson_said) for place in step.anatomy for _, text in place.rows]
        lines += [rule.because for step in steps(lesson_said) for rule in step.rules]
        assert [wrong for line in (*lines, *lesson_said.rests_on) for wrong in found_in(_allowed(line))] == []


def _allowed(line: str) -> str:
    """The one place where owners must recognise the word they know."""
    return line.replace("(the signs commonly called colic)", "")


@pytest.mark.parametrize("name", NAMES)
def test_json_conforms_to_its_schema(name: str) -> None:
    answer, _ = lesson(name)
    for words in WORDS:
        validate(json.loads(json.dumps(lesson_json(said(name, words), answer))), SCHEMA)


# -- the mirror ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["bramble", "tansy", "juno", "larch", "magpie", "sorrel", "barley", "nettle"])
def test_the_mirror_image_of_a_visit_gives_the_mirror_image_of_the_lesson(name: str) -> None:
    (_, one), (_, other) = lesson(name), lesson(name, mirror=True)
    assert _shape(one, turn=True) == _shape(other, turn=False)


def _shape(found: Lesson, *, turn: bool) -> dict[str, object]:
    """What a lesson tells, in names; with `turn` as its mirror image would."""

    def key(one: Key) -> Key:
        return flipped(one) if turn else one

    def side(one: str) -> str:
        return OTHER[one] if turn else one

    def word(one: str) -> str:
        return OTHER.get(one, one) if turn else one

    def rules(some) -> frozenset[str]:  # type: ignore[no-untyped-def]
        return frozenset(item.rule for item in some)

    return {
        "noticed": [
            (one.where, one.leading, one.asks, one.calls, {side(f.side) for f in one.findings},
             {(key(t.key), t.speaks_for, t.supported, rules(t.items)) for t in one.thoughts})
            for one in found.noticed
        ],
        "against": found.untold,
        "strands": {(key(s.weighed.key), s.start, s.leading, frozenset(map(key, s.under)), rules(s.weighed.rules_in),
                     rules(s.weighed.rules_out)) for s in found.strands},
        "possible": {(key((c.key, c.side)), c.upper) for c in found.possible},
        "rivals": {(key(r.weighed.key), r.why, frozenset(key((w.one.key, w.one.side)) for w in r.beside))
                   for r in found.rivals},
        "turns": {
            (frozenset((o.where, side(o.side), word(o.before), frozenset(map(word, o.afters))) for o in t.otherwise),
             t.missing and (t.missing.where, side(t.missing.side)), frozenset(map(key, t.leads)), t.side_only, t.leading)
            for t in (found.turning.turns if found.turning else ())
        },
        "unexplained": {(f.where, side(f.side)) for f in found.unexplained},
        "looks": [effect.check.key for effect in (*found.next.first_look, *found.next.proposed)],
        "home": {one for one, _ in found.home},
    }  # fmt: skip


def test_pewter_is_told_as_bramble_in_the_mirror() -> None:
    """The same in words: every conclusion that is weighed, and every turning point."""
    for chapter in ("thread", "rivals", "turns"):
        one, other = ([s.says for c in said(n, "plain").chapters if c.key == chapter for s in c.steps]
                      for n in ("bramble", "pewter"))  # fmt: skip
        assert one
        assert {turned(text) for text in one} == set(other)


# -- where it turns --------------------------------------------------------------------------------------------------------


def test_a_turning_point_turns_the_account_if_the_file_is_really_written_so() -> None:
    text = (EXAMPLES / "bramble.yaml").read_text(encoding="utf-8")
    _, found = lesson("bramble")
    assert found.turning is not None
    turns = {(o.where, after): turn.leads for turn in found.turning.turns for o in turn.otherwise for after in o.afters}
    for where, after, line, instead in (
        ("hind_push_off", "right", "hind push-off: left", "hind push-off: right"),
        ("saddle_comes_to", "straight", "saddle comes to: right", "saddle comes to: straight"),
        ("hind_step", "slight", "right hind: even", "right hind: slight"),
    ):
        assert line in text
        assert set(ask(text.replace(line, instead)).answer.explanation.leading) == set(turns[where, after])
    missing = [turn for turn in found.turning.turns if turn.missing is not None]
    assert missing
    without = ask(text.replace("  saddle comes to: right\n", "").replace("  seen on: both reins\n", ""))
    assert [turn.leads for turn in missing if turn.missing and turn.missing.where == "saddle_comes_to"] == [
        without.answer.explanation.leading
    ]


def test_where_only_the_side_hangs_on_a_reading_the_lesson_says_so() -> None:
    _, found = lesson("tansy")
    assert found.turning is not None
    assert found.turning.turns
    assert all(turn.side_only and not turn.leading for turn in found.turning.turns)
    chapter = next(c for c in said("tansy", "plain").chapters if c.key == "turns")
    assert [step.key for step in chapter.steps] == ["turn/sides"]


# -- anatomy ---------------------------------------------------------------------------------------------------------------


def test_anatomy_says_what_it_was_read_in_and_what_is_not_written_down() -> None:
    answer, _ = lesson("bramble")
    places = answer.ready.book.vocabulary.places
    for key, place in places.items():
        (found,) = anatomy_of([key], answer, "technical")
        assert found.read == READ[place.anatomy_seen]
        assert ("memory" in found.read) == (place.anatomy_seen != "seen")
        assert dict(found.rows)["origin"] == phrases.sentence(place.origin)
        assert dict(found.rows)["the hand"] == phrases.sentence(place.hand)
    bare = replace(places["loin"], origin="", insertion="", action="", anatomy_seen="")
    words = replace(answer.ready.book.vocabulary, places={**places, "loin": bare})
    less = replace(answer, ready=replace(answer.ready, book=replace(answer.ready.book, vocabulary=words)))
    (found,) = anatomy_of(["loin"], less, "plain")
    rows = dict(found.rows)
    assert rows["it begins"] == rows["it ends"] == rows["what it does"] == phrases.sentence(NOT_WRITTEN)
    assert "not written down" in found.read


@pytest.mark.parametrize("name", NAMES)
def test_every_place_touched_opens_to_its_anatomy(name: str) -> None:
    places = shipped().book.vocabulary.places
    for step in steps(said(name, "technical")):
        kind, _, where = step.key.partition("/")
        if kind in ("found", "look") and where in places:
            assert [place.place for place in step.anatomy] == [where]


@pytest.mark.parametrize("name", NAMES)
def test_a_rule_stands_once_under_a_step(name: str) -> None:
    """Left and right told as one open to one rule, with what was found on both."""
    for words in WORDS:
        for step in steps(said(name, words)):
            at = [(rule.file, rule.line, rule.name, rule.of) for rule in step.rules]
            assert len(at) == len(set(at)), step.key
            for n, one in enumerate(step.rules):
                twins = [
                    o for o in step.rules[n + 1 :] if (o.file, o.name, o.speaks) == (one.file, one.name, one.speaks)
                ]
                assert not any(one.of in (o.of, turned(o.of)) for o in twins), step.key


def test_where_one_side_speaks_louder_each_says_its_own() -> None:
    """Larch: 4 on the left and 4.5 on the right behind the shoulder blade."""
    answer, _ = lesson("larch")
    loud = {
        phrases.signed(item.contribution)
        for side in ("left", "right")
        for item in answer.explanation.concluded["against_the_shoulder_blade", side].supporting
        if item.name == "sore behind the top of the blade"
    }
    assert len(loud) == 2
    step = next(s for s in steps(said("larch", "technical")) if s.key.startswith("rival/against_the_shoulder_blade"))
    told_in = " ".join(p.text for p in step.points if p.mark == "rules it in")
    assert all(number in told_in for number in loud)


def test_an_account_without_a_cause_is_not_said_to_be_nothing() -> None:
    """Magpie: the account begins with what answers, and no cause leads."""
    answer, _ = lesson("magpie")
    assert answer.explanation.account.starting_points
    assert not answer.explanation.leading
    openings = " ".join(line for chapter in said("magpie", "plain").chapters for line in chapter.opening)
    assert "begins with one thing" in openings
    assert "No cause leads today." in openings
    assert "Nothing leads" not in openings


def test_a_look_that_parts_two_sides_says_for_which() -> None:
    """Tansy, both sides alike: a reading that differs by side speaks for one of them, and the other way round."""
    for step in steps(said("tansy", "plain")):
        for point in step.points:
            if point.mark == "what parts them":
                sided = re.search(r'"left \d+, right \d+" would speak', point.text)
                assert not sided or ("both sides" not in point.text and "other way round" in point.text)
                assert not point.text.startswith("Sedation")
