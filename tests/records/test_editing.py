"""An answer with a practitioner's own words in it: what they reach, and what they never reach.

In: the examples, judged. Out: a failure where a change touches what is the tool's, or says what nobody wrote.
"""

from __future__ import annotations

from html import unescape
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reasoner.consult import Answer, consult
from reasoner.problems import BadInput
from reasoner.records.changing import Wanted, checked, stays
from reasoner.records.editing import MARKED, edited, lines_of, marked
from reasoner.rendering.plan_text import plan_text
from reasoner.rendering.report import report_html
from reasoner.rulecare.check import wording_of
from reasoner.store.edits import Deed, Edit, Line, standing
from tests.asking import shipped

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
WORDING = wording_of()


def answer(name: str = "bramble") -> Answer:
    """An example, judged by the shipped rules."""
    return consult(EXAMPLES / f"{name}.yaml", shipped())


def edit(line: Line, deed: Deed, key: str, side: str = "", **more: str) -> Edit:
    """A change as the records hold it."""
    held = {
        "kind": "",
        "tool_words": "",
        "words": "",
        "because": "",
        "uid": key,
        "saved_at": "2026-05-12T09:00",
        **more,
    }
    return Edit(visit="v", version="n", line=line, deed=deed, key=key, side=side, who="Wren Aldous", **held)


def every_change(of: Answer, words: str) -> list[Edit]:
    """Every line of an answer in other words, and every step but the last taken out."""
    known = lines_of(of)
    out = [edit(line, "reword", key, side, tool_words=said, words=words) for (line, key, side), said in known.items()]  # type: ignore[arg-type]
    steps = {key: said for (line, key, _), said in known.items() if line == "step"}
    return out + [
        edit("step", "strike", key, tool_words=said, because="not today") for key, said in list(steps.items())[:-1]
    ]


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.yaml")))
def test_nothing_that_is_changed_reaches_referral_riding_cautions_or_the_lines_to_ring_at(name: str) -> None:
    own = answer(name)
    out = edited(own, every_change(own, "Other words altogether")).answer
    assert out.referral == own.referral
    assert out.plan.riding == own.plan.riding
    assert out.plan.cautions == own.plan.cautions
    assert out.explanation.leading == own.explanation.leading
    assert out.explanation.not_checked == own.explanation.not_checked
    rings = {(t.key, t.side): (t.stop_and_ring_me_if, t.ring_the_vet_if) for t in own.plan.owner_tasks}
    assert all(rings[t.key, t.side] == (t.stop_and_ring_me_if, t.ring_the_vet_if) for t in out.plan.owner_tasks)
    told = len(out.plan.steps) + len(out.plan.withheld)
    assert told == len(own.plan.steps) + len(own.plan.withheld)


@pytest.mark.parametrize("name", ["bramble", "hazel", "thistle", "magpie"])
def test_without_changes_the_answer_is_the_tools(name: str) -> None:
    own = answer(name)
    assert edited(own, ()).answer is own


def test_every_changed_sentence_is_marked_on_screen_and_in_the_report() -> None:
    own = answer()
    made = edited(own, [one for one in every_change(own, "Other words altogether") if one.deed == "reword"])
    said = marked("Other words altogether")
    assert " ".join(plan_text(made.answer).split()).count(said) >= len(made.answer.plan.steps)
    page = unescape(report_html(made.answer, "owner"))
    assert page.count(MARKED) >= len(own.plan.owner_tasks) + 1
    assert all(task.words not in page for task in own.plan.owner_tasks)


def test_words_about_another_sentence_are_set_aside_and_the_tools_stand() -> None:
    own = answer()
    step = own.plan.steps[0]
    late = edit("step", "reword", step.key, step.side, tool_words="What an older rule said.", words="Mine.")
    made = edited(own, [late, edit("step", "strike", "no_such_step", tool_words="x", because="y")])
    assert made.answer.plan.steps == own.plan.steps
    assert [one.because for one in made.aside] == [
        "The tool says something else there now.", "The tool does not say this any more.",
    ]  # fmt: skip


def test_an_added_step_is_set_aside_once_a_call_stops_it() -> None:
    added = edit("step", "add", "own-step-1", kind="bodywork", words="Long strokes", because="it likes them")
    assert len(edited(answer("bramble"), [added]).answer.plan.steps) == len(answer("bramble").plan.steps) + 1
    pressing = edited(answer("fennel"), [added])
    assert pressing.answer.plan.steps == ()
    assert "the veterinarian comes first" in pressing.aside[0].because


def test_a_step_that_is_taken_out_takes_its_task_with_it_and_nothing_else() -> None:
    own = answer()
    key = own.plan.owner_tasks[-1].key
    said = next(step.words for step in own.plan.steps if step.key == key)
    plan = edited(own, [edit("step", "strike", key, tool_words=said, because="the saddler comes")]).answer.plan
    assert [t for t in own.plan.owner_tasks if t.key != key] == list(plan.owner_tasks)
    assert [s for s in own.plan.steps if s.key != key] == list(plan.steps)
    assert plan.withheld[-1].because == ("Taken out by Wren Aldous: the saddler comes.",)


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.yaml")))
def test_no_veterinary_line_can_be_taken_out_or_lose_the_veterinarian(name: str) -> None:
    own = answer(name)
    for step in own.plan.steps:
        if not stays(step.kind, step.words, WORDING):
            continue
        for deed, words in (("strike", ""), ("reword", "Wait and see.")):
            wanted = Wanted(line="step", deed=deed, key=step.key, side=step.side, kind="", tool_words=step.words,  # type: ignore[arg-type]
                            words=words, because="mine", by="Wren Aldous")  # fmt: skip
            with pytest.raises(BadInput) as bad:
                checked(wanted, own, WORDING)
            assert bad.value.problems[0].code == "PG32"


deeds = st.sampled_from(["reword", "strike", "back"])


@given(st.lists(st.tuples(deeds, st.sampled_from(["a", "b"]), st.text("xyz", min_size=1, max_size=3)), max_size=12))
def test_the_latest_word_on_each_line_stands(told: list[tuple[str, str, str]]) -> None:
    every = [
        edit("step", deed, key, words=words if deed == "reword" else "", uid=str(n))  # type: ignore[arg-type]
        for n, (deed, key, words) in enumerate(told)
    ]
    stands = standing(every)
    for key in ("a", "b"):
        of = [one for one in every if one.key == key]
        since = of[max((n + 1 for n, one in enumerate(of) if one.deed == "back"), default=0) :]
        wanted = {deed: [one for one in since if one.deed == deed][-1] for deed in {one.deed for one in since}}
        assert {one.deed: one for one in stands if one.key == key} == wanted
