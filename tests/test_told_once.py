"""A plan says each thing once: steps that say the same are told as one, and nothing they say is lost.

In: visits in which two pages ask for the same deed. Out: the steps, their folds, the owner's tasks, and
what is withheld because one change a day is enough.
Not here: concerns told together (test_folding), what a day holds (test_a_day).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from pathlib import Path

import pytest

from reasoner.plan.model import StepOf
from reasoner.problems import BadInput
from reasoner.rendering.answer_json import plan_json
from reasoner.rendering.plan_text import plan_lines
from reasoner.rendering.text_page import plain_text
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from tests.asking import Asked, ask, shipped

PINCHED = """
palpation: {withers: {both: {soreness: 6, depth: surface}}}
tacked up: {saddle: {type: panelled, front: high, tree width: looks narrow, channel: touches the spine}}
after work: {dry patch: {left: seen, right: seen}, hollow at T18: {left: seen, right: seen}}
"""
TO_THE_SIDE = """
in hand: {trot in hand: even, both reins: seen, hind push off: even}
tacked up: {saddle: {type: panelled, panel contact: bridges, fuller panel: left}, rests: right}
ridden: {saddle comes to: right, seen on: both reins}
"""
OF_THE_RIDER = """
palpation: {withers: {both: 1}, behind the shoulder blade: {both: 1}}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
tacked up: {saddle: {type: with bars, panels: even}, rests: right}
ridden:
  saddle comes to: right
  rider sits to: right
  seen on: both reins
  shorter stirrup: even
  stirrup difference: none
  rider shape: level
"""
ANOTHER_SADDLE = """
palpation: {withers: {both: 1}, behind the shoulder blade: {both: 1}}
in hand: {trot in hand: even, both reins: seen, hind push off: even}
tacked up: {saddle: {type: with bars, fuller panel: left}}
ridden: {saddle comes to: right, rider sits to: right, seen on: both reins, saddle with another rider: straight}
"""
both = pytest.mark.parametrize("mirror", [False, True], ids=["as written", "in the mirror"])


def the_step(asked: Asked, key: str) -> StepOf:
    (step,) = (s for s in asked.answer.plan.steps if s.key == key)
    return step


def listed(asked: Asked) -> set[str]:
    return {s.key for s in asked.answer.plan.steps}


@both
def test_leave_this_saddle_off_stands_once(mirror: bool) -> None:
    """Sore under the front, and a tree too narrow: one step, with both conditions, both reasons and every conclusion."""
    asked = ask(PINCHED, mirror=mirror)
    assert {key for key, _ in asked.steps} >= {"leave_this_saddle_off", "saddle_off_until_it_is_looked_at"}
    assert "saddle_off_until_it_is_looked_at" not in listed(asked)
    step, pages = the_step(asked, "leave_this_saddle_off"), asked.answer.ready.book.actions
    assert {key for key, _ in step.because} >= {"withers_pinch", "tree_too_narrow"}
    assert "sore place has gone down" in step.words
    assert "qualified saddle fitter sees it" in step.words
    assert "qualified saddle fitter sees it" in step.plain
    assert "not moved forward to get it off the loin" in step.dose
    assert [f.key for f in step.folds] == ["saddle_off_until_it_is_looked_at"]
    assert set(step.basis) >= {*pages["saddle_off_until_it_is_looked_at"].basis, *pages["leave_this_saddle_off"].basis}
    assert step.recheck_days == 8  # the sooner of the two
    text = " ".join(plain_text(plan_lines(asked.answer)).split())
    assert text.count("Leave this saddle off") == 2  # the step, and the owner's task
    assert pages["saddle_off_until_it_is_looked_at"].because.split(". ")[0] in text
    (told,) = [s for s in plan_json(asked.answer)["plan"]["steps"] if s["key"] == "leave_this_saddle_off"]
    assert [f["key"] for f in told["folds"]] == ["saddle_off_until_it_is_looked_at"]


def test_the_riding_answer_keeps_the_reason_of_both() -> None:
    asked = ask(PINCHED)
    pages = asked.answer.ready.book.actions
    assert asked.riding == "not in this saddle"
    assert set(asked.answer.plan.riding.because) >= {
        pages[key].because for key in ("leave_this_saddle_off", "saddle_off_until_it_is_looked_at")
    }


@both
def test_the_saddle_fitter_is_asked_once(mirror: bool) -> None:
    """To one side, and a bridging underside: one call to the fitter, with everything to be looked at and to ring about."""
    asked = ask(TO_THE_SIDE, mirror=mirror)
    assert asked.steps >= {("fitter_for_the_side", "right"), ("fitter_for_the_underside", "")}
    assert [s.key for s in asked.answer.plan.steps if s.kind == "tack"] == ["fitter_for_the_side"]
    step = the_step(asked, "fitter_for_the_side")
    assert {key for key, _ in step.because} >= {"saddle_to_one_side", "saddle_bridges"}
    assert "underside" in step.words
    assert "channel from end to end" in step.dose
    tasks = [t for t in asked.answer.plan.owner_tasks if t.key == "fitter_for_the_side"]
    if tasks:  # three tasks at most; the steps before it may fill them
        assert "Nothing is stuffed" in tasks[0].words
        assert "middle line of the back answers" in tasks[0].ring_the_vet_if


@both
def test_three_questions_for_the_fitter_are_one_step(mirror: bool) -> None:
    asked = ask(PINCHED.replace("channel: touches the spine", "panel contact: bridges, fuller panel: left")
                + "ridden: {saddle comes to: right, seen on: both reins}\n", mirror=mirror)  # fmt: skip
    fitters = {key for key, _ in asked.steps if key.startswith("fitter_for")}
    assert fitters == {"fitter_for_the_front", "fitter_for_the_side", "fitter_for_the_underside"}
    assert {key for key in listed(asked) if key.startswith("fitter_for")} == {"fitter_for_the_front"}
    assert f"comes to the {asked.side('right')}" in the_step(asked, "fitter_for_the_front").words


def test_what_is_told_together_is_as_sure_as_the_less_sure() -> None:
    """The fitter for the front is `high` and the side `medium`: together medium, never raised."""
    pages = shipped().book.actions
    assert (pages["fitter_for_the_front"].sure, pages["fitter_for_the_underside"].sure) == ("high", "medium")
    asked = ask(PINCHED.replace("channel: touches the spine", "panel contact: bridges"))
    assert the_step(asked, "fitter_for_the_front").sure == "medium"


@both
def test_the_stirrup_trial_waits_while_another_rider_is_watched(mirror: bool) -> None:
    """common practice: one change of rider or tack at a time; the later one is not for today."""
    asked = ask(OF_THE_RIDER, mirror=mirror)
    assert ("another_rider_watched", "") in asked.steps
    assert ("stirrup_trial", "right") not in asked.steps
    (because,) = asked.withheld["stirrup_trial", "right"]
    assert because.startswith(
        "Not today, because one change of rider or stirrups at a time: first watch the same saddle"
    )
    done = ask(OF_THE_RIDER + "  saddle with another rider: straight\n", mirror=mirror)
    assert ("another_rider_watched", "") in done.withheld
    assert ("stirrup_trial", "right") in done.steps


@both
def test_one_ride_in_another_saddle_answers_both_questions(mirror: bool) -> None:
    asked = ask(ANOTHER_SADDLE, mirror=mirror)
    assert asked.steps >= {("watch_another_saddle", ""), ("another_saddle_watched", "")}
    assert "another_saddle_watched" not in listed(asked)
    assert "where the rider sits in it" in the_step(asked, "watch_another_saddle").words


#: Signs of saddle, girth and rider that ask for the fitter, for leaving the saddle off, or for watching another ride.
SIGNS = (
    {"palpation": "withers: {both: {soreness: 6, depth: surface}}"},
    {"palpation": "girth line: {left: 6, right: 1}", "tacked up": "girthed: {girth sits: against the elbow}"},
    {"saddle": "front: high, tree width: looks narrow", "after work": "hollow at T18: {left: seen, right: seen}"},
    {"saddle": "channel: touches the spine"},
    {"saddle": "panel contact: bridges"},
    {"saddle": "fuller panel: left", "ridden": "saddle comes to: right"},
    {"ridden": "rider sits to: right, rider shape: level, stirrup difference: none"},
)


def visit_with(signs: Sequence[Mapping[str, str]]) -> str:
    """A visit with some of the signs, trotted evenly on both reins."""
    parts: dict[str, list[str]] = {
        "in hand": ["trot in hand: even, both reins: seen"],
        "ridden": ["seen on: both reins"],
    }
    for sign in signs:
        for heading, said in sign.items():
            parts.setdefault(heading, []).append(said)
    saddle = parts.pop("saddle", [])
    parts.setdefault("tacked up", []).append(f"saddle: {{type: panelled{''.join(', ' + s for s in saddle)}}}")
    return "".join(f"{heading}: {{{', '.join(said)}}}\n" for heading, said in parts.items())


def test_no_two_steps_of_a_plan_ask_for_the_same_deed() -> None:
    """Whichever signs come together, no plan asks twice for the fitter, twice to leave the saddle off, or for two rides."""
    met: set[str] = set()
    for count in range(len(SIGNS) + 1):
        for signs in combinations(SIGNS, count):
            plan = ask(visit_with(signs)).answer.plan
            begun = dict.fromkeys((s.key, " ".join(s.words.split()[:4])) for s in plan.steps)
            for start in ("Leave this saddle off", "Ask a qualified saddle"):
                keys = [key for key, begins in begun if begins == start]
                assert len(keys) <= 1, visit_with(signs)
            rides = {"another_rider_watched", "watch_another_saddle", "another_saddle_watched", "stirrup_trial"}
            assert len(rides & {s.key for s in plan.steps}) <= 1, visit_with(signs)
            met |= {folded.key for step in plan.steps for folded in step.folds}
    assert met >= {
        "saddle_off_until_it_is_looked_at",
        "fitter_for_the_side",
        "fitter_for_the_underside",
        "fitter_for_the_girth",
    }


@pytest.mark.parametrize(
    ("yields", "told"),
    [
        ("fitter_for_nothing", "which is no action"),
        ("fitter_for_the_girth", "no earlier step of its kind"),  # a higher rank
        ("look_again", "no earlier step of its kind"),  # another kind
    ],
)
def test_a_step_is_told_only_with_an_earlier_one_of_its_kind(tmp_path: Path, yields: str, told: str) -> None:
    """Two steps could otherwise be told with each other, and neither be listed."""
    page = (shipped_rules() / "actions" / "fitter_for_the_side.yaml").read_text()
    (tmp_path / "actions").mkdir()
    (tmp_path / "actions" / "fitter_for_the_side.yaml").write_text(
        page.replace("step: fitter_for_the_front", f"step: {yields}")
    )
    with pytest.raises(BadInput, match=f"RB29.*{told}"):
        load_rulebook([shipped_rules(), tmp_path])
