"""What one day holds, and what waits for the veterinarian's agreement: settings of the scales, honoured by the plan.

In: shipped rules, with and without a practice's own scales over them. Out: what is withheld and with which sentence.
Not here: the needs of single actions (their pages).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.consult import Answer, judge
from reasoner.problems import BadInput
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rules_cache import compiled
from reasoner.visit.model import mirrored
from reasoner.visit.reading import read_visit
from tests.asking import shipped

THISTLE = Path(__file__).parent.parent / "examples" / "thistle.yaml"
AGREED = "before the visit:\n  agreement for hands-on work: recorded\n"


def with_scales(folder: Path, text: str) -> Path:
    """A practice's layer that holds one scales file."""
    (folder / "scales").mkdir()
    (folder / "scales" / "own.yaml").write_text(text)
    return folder


def bodywork(answer: Answer) -> tuple[set[str], set[str]]:
    """(taken, withheld) steps of bodywork by key."""
    return (
        {s.key for s in answer.plan.steps if s.kind == "bodywork"},
        {w.key for w in answer.plan.withheld if w.kind == "bodywork"},
    )


@pytest.mark.parametrize("turned", [False, True])
def test_no_day_holds_more_of_a_kind_than_its_setting(turned: bool, tmp_path: Path) -> None:
    """With a setting of 2 two different steps stand, both sides of one counting once; the rest wait with that reason."""
    visit = read_visit(THISTLE, shipped().book.vocabulary)
    visit = mirrored(visit) if turned else visit
    before = bodywork(judge(visit, shipped()))
    ready = compiled(load_rulebook([shipped_rules(), with_scales(tmp_path, "most_a_day: {bodywork: 2}\n")]))
    after = judge(visit, ready)
    taken, withheld = bodywork(after)
    assert (len(before[0]), len(taken)) == (4, 2)
    assert taken < before[0]
    assert before[0] - taken <= withheld
    told = [w.because for w in after.plan.withheld if w.key in before[0] - taken]
    assert all("2 steps of bodywork are enough for one day" in because[0] for because in told)


def test_hands_on_work_waits_for_agreement_where_the_setting_says_so(tmp_path: Path) -> None:
    """Withheld until the visit says that it is recorded; nothing but bodywork waits for it."""
    layer = with_scales(tmp_path, "agreement_needed_for: [bodywork]\n")
    ready = compiled(load_rulebook([shipped_rules(), layer]))
    text = THISTLE.read_text()
    (tmp_path / "asked.yaml").write_text(text)
    (tmp_path / "agreed.yaml").write_text(text.replace("before the visit:\n", AGREED))
    asked, agreed = (
        judge(read_visit(tmp_path / f"{name}.yaml", ready.book.vocabulary), ready) for name in ("asked", "agreed")
    )
    free = judge(read_visit(THISTLE, shipped().book.vocabulary), shipped())
    assert bodywork(asked)[0] == set()
    assert bodywork(agreed)[0] == bodywork(free)[0] != set()
    assert {s.key for s in asked.plan.steps} == {s.key for s in free.plan.steps} - bodywork(free)[0]
    held = [w for w in asked.plan.withheld if w.key in bodywork(free)[0]]
    assert all(any("agreement of the veterinarian" in b for b in w.because) for w in held)


@pytest.mark.parametrize("text", ["most_a_day: {bodywork: 0}\n", "most_a_day: {massage: 2}\n"])
def test_a_setting_that_means_nothing_is_refused(text: str, tmp_path: Path) -> None:
    """A day of none, or a kind that no action has."""
    with pytest.raises(BadInput, match="RB32"):
        load_rulebook([shipped_rules(), with_scales(tmp_path, text)])
