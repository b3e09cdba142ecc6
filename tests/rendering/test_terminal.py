"""Pages of the terminal: what they say in which order, widths, quick imports.

In: every example. Out: passes or fails.
Not here: reports, JSON.
"""

from __future__ import annotations

import io
import re
import subprocess
import sys
from dataclasses import replace

import pytest

from reasoner.explanation.model import Concluded
from reasoner.explanation.why import WhyHere, why_of
from reasoner.rendering import both_sides, phrases, riding_words, shared_text, waiting_lines
from reasoner.rendering.assess_text import assess_lines, assess_text
from reasoner.rendering.plan_text import plan_lines, plan_text, same_held, same_step
from reasoner.rendering.terminal import print_page
from reasoner.rendering.text_page import Line, laid_out, plain_text
from reasoner.rendering.why_text import why_text
from tests.asking import ask, shipped
from tests.rendering.answers import HOSTILE, NAMES, answer, hostile
from tests.rendering.forbidden import found_in

every_example = pytest.mark.parametrize("name", NAMES)
WIDE = 100


def _why(name: str, place: str, side: str) -> WhyHere:
    said = answer(name)
    return why_of(said.explanation, said.record, said.facts, said.visit, said.ready.book.vocabulary.places[place], side)


def _one_line(text: str) -> str:
    return " ".join(text.split())


# -- assess ------------------------------------------------------------------------------------------------------------


@every_example
def test_reasons_to_call_stand_before_the_account(name: str) -> None:
    text = assess_text(answer(name), WIDE)
    first, account = text.index("REASONS TO CALL THE VETERINARIAN"), text.index("THE WORKING ACCOUNT")
    assert first < account < text.index("NOT ACCOUNTED FOR") < text.index("NOT CHECKED TODAY")
    for concern in answer(name).referral.concerns:
        assert _one_line(concern.words) in _one_line(text[first:account])
        for line in concern.while_you_wait:
            assert _one_line(line).rstrip(".")[1:] in _one_line(text[first:account])


@every_example
def test_every_rule_at_work_is_shown_with_its_line_and_its_findings(name: str) -> None:
    said = answer(name)
    text = _one_line(assess_text(said, WIDE))
    for concluded in said.explanation.supported():
        assert _one_line(concluded.words) in text
        assert phrases.certainty(concluded.certainty) in text
        for item in (*concluded.supporting, *concluded.opposing):
            assert item.name in text
            if item.share:
                assert f"{item.file}:{item.line}" in text


@every_example
@pytest.mark.parametrize("page", [assess_text, plan_text], ids=["assess", "plan"])
def test_no_forbidden_word(name: str, page: object) -> None:
    assert callable(page)
    assert found_in(_one_line(page(answer(name), WIDE))) == []


def test_nothing_found_is_never_more_than_that() -> None:
    text = _one_line(assess_text(answer("clover"), WIDE))
    assert "Nothing found today by hand; not checked: " in text
    assert "saddle comes to" in text
    assert phrases.NO_CONCERN in text


def test_too_little_to_say_says_what_to_look_at() -> None:
    text = _one_line(assess_text(answer("sorrel"), WIDE))
    assert phrases.TOO_LITTLE in text
    assert "Does the saddle come to one side in work, and to which?" in text
    assert "strong pointers" not in text.partition("NOT ACCOUNTED FOR")[0]


def test_a_conclusion_met_twice_is_told_once() -> None:
    text = assess_text(answer("bramble"), WIDE).partition("NOT ACCOUNTED FOR")[0]
    words = answer("bramble").explanation.concluded["weight_on_one_fore", "right"].words
    assert text.count(words) == 2
    assert "as above" in text


def test_certainty_stops_short_of_one_and_is_no_probability() -> None:
    whole: Concluded = replace(
        answer("bramble").explanation.concluded["saddle_to_one_side", "right"], certainty=1.0, lower=1.0, upper=1.0
    )
    assert shared_text.how_firm(whole) == "strong pointers, 0.99"
    assert "not a probability" in _one_line(assess_text(answer("bramble"), WIDE))


# -- why ---------------------------------------------------------------------------------------------------------------


def test_why_goes_down_to_the_line_in_the_visit_and_in_the_rule() -> None:
    text = why_text(_why("bramble", "withers", "left"), answer("bramble"), WIDE)
    first = text.splitlines()[0]
    assert first.startswith("why is it sore here: withers, left: 3, surface")
    assert first.endswith("bramble.yaml:28")
    assert "rules/causes/saddle_to_one_side.yaml:" in text
    assert "it leads here by way of: " in text
    assert "common practice" in text
    assert text.index("The saddle comes to the right") < text.index("It prefers the left lead")


def test_why_of_a_place_that_was_not_examined_or_could_not_be() -> None:
    assert "nothing was written down for it" in why_text(_why("sorrel", "croup", "left"), answer("sorrel"), WIDE)
    covered = why_text(_why("sorrel", "withers", "left"), answer("sorrel"), WIDE)
    assert "could not be examined (covered), which says nothing either way" in covered


def test_why_of_a_quiet_place_does_not_ask_why_it_is_sore() -> None:
    asked = ask(GIVEN.format(given="none")).answer
    place = asked.ready.book.vocabulary.places["withers"]

    def told(given: str) -> str:
        said = ask(GIVEN.format(given=given)).answer
        return why_text(why_of(said.explanation, said.record, said.facts, said.visit, place, "left"), said, WIDE)

    assert told("none").startswith("withers, left: 0")
    assert "why is it sore" not in told("none")
    assert phrases.QUIET_HERE in told("none")
    assert phrases.QUIET_HERE not in told("given")
    assert "which says little, because of painkillers: given" in _one_line(told("given"))


def test_why_repeats_a_reason_to_call_that_stands_on_the_place() -> None:
    text = why_text(_why("magpie", "space_t15_t16", ""), answer("magpie"), WIDE)
    assert "PROMPT: ring the veterinarian today" in text
    assert text.splitlines()[0].startswith("why is it sore here: about T15-T16")


def test_why_is_quick_to_import() -> None:
    code = (
        "import sys, reasoner.rendering.why_text, reasoner.rendering.assess_text, reasoner.rendering.plan_text, "
        "reasoner.rendering.terminal, reasoner.rendering.answer_json\n"
        "slow = {'rich', 'jinja2', 'markupsafe', 'pydantic', 'jsonschema', 'rapidfuzz'} & set(sys.modules)\n"
        "assert not slow, slow"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


# -- plan --------------------------------------------------------------------------------------------------------------


@every_example
def test_the_plan_opens_with_the_owners_first_question_answered(name: str) -> None:
    said = answer(name)
    first = plan_text(said, WIDE).splitlines()[0]
    assert first.startswith(f"May {said.visit.horse_name} be ridden? ")
    assert first.endswith(riding_words.riding(said))
    forbidden = said.referral.forbidding("riding")
    assert riding_words.riding(said) == (
        f"Not until {forbidden[0]} allows it." if forbidden else phrases.riding(said.plan.riding.answer)
    )


def test_as_usual_never_says_that_nothing_speaks_against_riding_where_a_place_answered() -> None:
    """The rules ask for no less, which is all that is known; five of ten at the loin is still written down."""
    said = ask("palpation: {loin: {left: 5, right: 1}}").answer
    assert said.plan.riding.answer == "as usual"
    assert "speaks against" not in plan_text(said, WIDE).split("STEPS")[0]


@every_example
def test_the_plan_tells_every_step_task_and_thing_withheld(name: str) -> None:
    said = answer(name)
    text = _one_line(plan_text(said, WIDE))
    place = -1
    for step, *twin in both_sides.paired(said.plan.steps, same_step):
        here = text.index(_one_line(both_sides.of_both(step.words) if twin else step.words), place + 1)
        assert here > place, "in the plan's order"
        place = here
        assert _one_line(step.dose) in text
        assert _one_line(step.reason) in text
    for held, *other in both_sides.paired(said.plan.withheld, same_held):
        words = both_sides.of_both(held.words) if other else held.words
        assert _one_line(words).rstrip(".") in text
        for because in held.because:
            assert _one_line(because).rstrip(".") in text
    for task in said.plan.owner_tasks:
        assert f"stop and ring me if {_one_line(task.stop_and_ring_me_if)}" in text
        assert f"ring the vet if {_one_line(task.ring_the_vet_if)}" in text
    for caution in said.plan.cautions:
        assert _one_line(caution) in text
    assert not said.plan.steps or "Look again on " in text


def test_in_an_emergency_the_plan_is_the_veterinarian() -> None:
    text = plan_text(answer("otter"), WIDE)
    assert phrases.NO_STEPS_UNTIL_SEEN in _one_line(text)
    assert text.index("EMERGENCY: ring the veterinarian now") < text.index("STEPS, IN THIS ORDER")


def test_an_expectation_implied_by_a_stricter_one_is_not_said_again() -> None:
    text = _one_line(plan_text(answer("bramble"), WIDE))
    told = text.partition(phrases.LOOK_FOR.upper())[2].partition("NOT CHECKED")[0]
    assert told.count("behind the shoulder blade, right") == 1


# -- the short pages ---------------------------------------------------------------------------------------------------

LONGEST_SHORT_PAGE = 102  # of these, two may tell what of the first sixty seconds nobody looked at


@every_example
def test_the_short_assessment_is_short_and_hides_no_reason_to_call(name: str) -> None:
    said = answer(name)
    text = plain_text(assess_lines(said, full=False), WIDE)
    assert len(text.splitlines()) <= LONGEST_SHORT_PAGE
    told = shared_text.telling_something(said.referral.concerns)
    assert all(_one_line(c.words) in _one_line(text) for c in told)
    assert {f.where for c in told for f in c.findings} == {f.where for c in said.referral.concerns for f in c.findings}
    if len(told) < len(said.referral.concerns):
        assert f"(and {len(said.referral.concerns) - len(told)} milder reason" in _one_line(text)
    assert found_in(_one_line(text)) == []


@every_example
def test_the_short_plan_keeps_steps_tasks_and_what_is_not_for_today(name: str) -> None:
    said = answer(name)
    text = _one_line(plain_text(plan_lines(said, full=False), WIDE))
    for step, *twin in both_sides.paired(said.plan.steps, same_step):
        assert _one_line(both_sides.of_both(step.words) if twin else step.words) in text
    for task in said.plan.owner_tasks:
        assert f"ring the vet if {_one_line(task.ring_the_vet_if)}" in text
    assert len(said.plan.withheld) == 0 or "NOT TODAY" in text
    assert "--full" in text
    assert found_in(text) == []


def test_what_stands_for_both_sides_is_said_once() -> None:
    text = _one_line(plain_text(assess_lines(answer("barley"), full=False), WIDE))
    assert text.count("The loin answers to the hand on both sides.") == 2  # in the account, and in for and against
    assert "the hand on the left" not in text


def test_lines_of_several_calls_neither_repeat_nor_contradict() -> None:
    belly = ["Ring now, and take away all feed. Leave water.", "Walk it only if the veterinarian asks for it."]
    choke = ["Ring now. Take away feed, water and edible bedding.", "If it stops, ring again."]
    words = shipped().book.scales.waiting_subjects
    merged = waiting_lines.merged(
        [belly, choke], ["since when", "since when, and how", "pulse", "pulse and gums"], words
    )
    assert merged.lines == (
        "Take away all feed.",
        "Walk it only if the veterinarian asks for it.",
        "Take away feed, water and edible bedding.",
        "If it stops, ring again.",
    )
    assert "Leave water." not in " ".join(merged.lines)
    assert merged.telling == ("since when, and how", "pulse and gums")
    assert waiting_lines.merged([belly], [], words).lines == tuple(belly)


# -- widths and colours ------------------------------------------------------------------------------------------------


@every_example
@pytest.mark.parametrize("width", [40, 60, 80, 100])
def test_lines_keep_to_the_width(name: str, width: int) -> None:
    for text in (assess_text(answer(name), width), plan_text(answer(name), width)):
        for line in text.splitlines():
            assert len(line) <= width or " " not in line.strip(), line
            assert line == line.rstrip()


class _Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_terminal_gets_the_same_words_in_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    screen, pipe = _Screen(), io.StringIO()
    print_page(assess_lines(answer("otter")), screen, 90)
    print_page(assess_lines(answer("otter")), pipe, 90)
    bare = re.sub(r"\x1b\[[0-9;]*m", "", screen.getvalue())
    assert "\x1b[" in screen.getvalue()
    assert "\x1b[" not in pipe.getvalue()
    assert [line.rstrip() for line in bare.splitlines()] == [line.rstrip() for line in pipe.getvalue().splitlines()]


def test_no_colour_is_no_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("NO_COLOR", "1")
    screen = _Screen()
    print_page(assess_lines(answer("otter")), screen, 90)
    assert "\x1b" not in screen.getvalue()


def test_free_text_is_never_read_as_markup(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    screen = _Screen()
    print_page(assess_lines(hostile()), screen, 100)
    assert "[bold]" in screen.getvalue()
    assert _one_line(HOSTILE)[:30] in _one_line(screen.getvalue())


def test_a_reference_stands_at_the_right_edge_or_on_its_own_line() -> None:
    short = plain_text([Line("withers, left: 5", tail="visit.yaml:9")], 40)
    assert short == "withers, left: 5            visit.yaml:9\n"
    long = plain_text([Line("withers, left: 5, flinches, deep", indent=2, mark="-", tail="visit.yaml:9")], 40)
    assert long == "  - withers, left: 5, flinches, deep\n    visit.yaml:9\n"
    assert next(laid_out([Line("a b", tail="c")], 40))[2] == 3


# -- nothing found, mild, and not known to be quiet ------------------------------------------------------------------------


def _account_of(text: str) -> str:
    told = ask(text).answer
    return _one_line(assess_text(told, WIDE)).partition("THE WORKING ACCOUNT")[2].partition("NOT CHECKED")[0]


UNSETTLED = "settled under the hand: {settled}\npalpation: {{withers: {{left: 5, right: 4}}}}\n"
GIVEN = (
    "before the visit: {{painkillers: {given}}}\n"
    "palpation: {{withers: {{left: 0, right: 0}}}}\n"
    "quiet: {{neck: both, back: both}}\n"
)


def test_an_answer_that_counts_for_less_is_never_called_nothing() -> None:
    """A 5 of an unsettled horse weighs less and has still answered: it is told, and "nothing found" is not said."""
    told = _account_of(UNSETTLED.format(settled="not seen"))
    assert phrases.NOTHING_FOUND not in told
    assert phrases.NOTHING_NOTABLE not in told
    assert "withers: left 5; right 4" in told


def test_an_unsettled_horse_is_named_once_and_not_place_by_place() -> None:
    text = "settled under the hand: not seen\npalpation: {loin: {left: 8, right: 7}, withers: {left: 7, right: 7}}\n"
    told = _one_line(assess_text(ask(text).answer, WIDE))
    assert "Some readings count for less today, because of settled under the hand: not seen." in told
    assert "left not seen" not in told


def test_quiet_on_painkillers_is_not_told_as_quiet() -> None:
    """Something given for pain makes every quiet place unknown; without it the same visit is told as nothing found."""
    assert phrases.NOTHING_FOUND not in _account_of(GIVEN.format(given="given"))
    assert "painkillers: given" in _account_of(GIVEN.format(given="given"))
    assert phrases.NOTHING_FOUND in _account_of(GIVEN.format(given="none"))
