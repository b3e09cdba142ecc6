"""The figures of a class against figures worked out by hand.

In: three answers whose every choice is known. Out: failures.
Not here: the pages (test_teach_road).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import pytest

from reasoner.consult import load_rulebook
from reasoner.rendering.class_page import class_parts
from reasoner.rendering.class_schema import Answer, Case, Class
from reasoner.rendering.practise_schema import Named
from reasoner.teaching.beside_the_teacher import scored
from reasoner.teaching.class_figures import figures
from reasoner.teaching.class_folder import class_in
from reasoner.teaching.scoring_rules import brier, logarithmic
from tests.teaching.class_road import CASE, handed_out, run, worked

WITHERS, GIRTH_RIGHT = ("withers_pinch", "left"), ("girth_presses", "right")


def outcomes_by_hand() -> int:
    """Causes, those with sides twice."""
    causes = [page for page in load_rulebook().book.conclusions.values() if page.kind == "cause"]
    return sum(2 if page.sides == "each" else 1 for page in causes)


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Case:
    road = worked(tmp_path_factory.mktemp("figures"))
    assert run("teach", "collect", road.room, str(road.away)).exit_code == 0
    (found,) = Class.model_validate_json(run("teach", "show", road.room, "--json").stdout).cases
    return found


def of(case: Case, name: str) -> Answer:
    return next(one for one in case.answers if one.by == name)


def keys(some: Sequence[Named]) -> list[tuple[str, str]]:
    return [(one.key, one.side or "") for one in some]


def test_the_calls(case: Case) -> None:
    """The teacher says routine, one degree over none; prompt is one more."""
    assert case.called_later == ["Ida Fenn", "Tam Orrin"]
    assert case.called_sooner == ["Perdita Holme"]
    assert {one.said: one.who for one in case.calls} == {"none": ["Ida Fenn", "Tam Orrin"], "prompt": ["Perdita Holme"]}
    for name, later, sooner in (("Tam Orrin", 1, 0), ("Ida Fenn", 1, 0), ("Perdita Holme", 0, 1)):
        assert (of(case, name).call.later, of(case, name).call.sooner) == (later, sooner)
    assert of(case, "Tam Orrin").call.not_looked_at, "the rules say none on what Tam had seen"


def test_the_causes(case: Case) -> None:
    tam, ida, perdita = (of(case, name) for name in ("Tam Orrin", "Ida Fenn", "Perdita Holme"))
    for one in (tam, perdita):
        assert keys(one.found) == [("girth_presses", "left")]
        assert [one.not_found, one.other_side, one.jumped_to, one.named_beside] == [[], [], [], []]
    assert keys(ida.not_found) == [("girth_presses", "left")]
    assert keys(ida.other_side) == [GIRTH_RIGHT]
    assert keys(ida.jumped_to) == [WITHERS], "withers of 1 and 0 speak for nothing"
    assert [(one.key, one.who) for one in case.taken_for] == [("withers_pinch", ["Ida Fenn"])]
    assert [(one.key, one.side, one.who) for one in case.other_side] == [("girth_presses", "right", ["Ida Fenn"])]


def test_the_looks(case: Case) -> None:
    """The girth line was looked at by all but Ida; the rest that was telling by nobody."""
    made = {name: [one.look for one in of(case, name).looks] for name in ("Tam Orrin", "Ida Fenn", "Perdita Holme")}
    assert made == {"Tam Orrin": ["girth_line", "withers"], "Ida Fenn": ["withers"], "Perdita Holme": ["girth_line"]}
    left = {one.look: one for one in case.looks_left}
    assert left["girth_line"].who == ["Ida Fenn"]
    assert not left["girth_line"].nobody_made_it
    for key, look in left.items():
        assert look.who == [one.by for one in case.answers if key in {unmade.look for unmade in one.looks_left}]
        assert look.nobody_made_it == (len(look.who) == 3)
    assert [len(one.who) for one in case.looks_left] == sorted((len(one.who) for one in case.looks_left), reverse=True)


def test_the_steps(case: Case) -> None:
    """Wanted: fitter for the girth, leave the girth off. Wrong: shims under the side, right."""
    tam, ida = of(case, "Tam Orrin").steps, of(case, "Ida Fenn").steps
    assert keys(tam.wanted) == [("fitter_for_the_girth", "")]
    assert keys(tam.not_proposed) == [("leave_the_girth_off", "")]
    assert keys(ida.wrong) == [("shims_under_the_side", "right")]
    assert len(ida.not_proposed) == 2


def test_the_certainty(case: Case) -> None:
    """Brier: the sum over all outcomes of (share - came) squared, what is not named sharing the rest; logarithmic: -ln(share)."""
    n = outcomes_by_hand()
    tam, ida, perdita = (of(case, name).certainty for name in ("Tam Orrin", "Ida Fenn", "Perdita Holme"))
    assert tam is not None
    assert ida is not None
    assert perdita is not None
    assert tam.share == pytest.approx(0.6)
    assert tam.brier == pytest.approx(0.4**2 + 0.4**2 / (n - 1), abs=1e-4)
    assert tam.logarithmic == pytest.approx(-math.log(0.6), abs=1e-4)
    assert perdita.brier == pytest.approx(0.7**2 + 0.7**2 / (n - 1), abs=1e-4)
    each = 0.3 / (n - 2)
    assert ida.share == pytest.approx(each, abs=1e-4)
    assert ida.brier == pytest.approx(0.5**2 + 0.2**2 + (n - 3) * each**2 + (1 - each) ** 2, abs=1e-4)
    assert ida.logarithmic == pytest.approx(-math.log(each), abs=1e-4)
    assert tam.alike_brier == pytest.approx(1 - 1 / n, abs=1e-4)
    assert tam.alike_logarithmic == pytest.approx(math.log(n), abs=1e-4)


def test_several_causes_count_as_one_outcome() -> None:
    """Ten outcomes, two of them right: 0.3 on the one, the other unnamed; 0.5 on a wrong one; 0.2 left for the eight others."""
    each = 0.2 / 8
    said = scored({("a", ""): 0.3, ("x", ""): 0.5}, [("a", ""), ("b", "")], 10)
    assert said is not None
    assert said.share == pytest.approx(0.3 + each)
    assert said.brier == pytest.approx((1 - 0.3 - each) ** 2 + 0.5**2 + 7 * each**2)
    assert said.logarithmic == pytest.approx(-math.log(0.3 + each))
    assert said.alike_brier == pytest.approx((1 - 0.2) ** 2 + 8 * 0.1**2)
    one = scored({("a", ""): 0.3, ("x", ""): 0.5}, [("a", "")], 10)
    assert one is not None
    assert one.brier == pytest.approx(brier({"a": 0.3, "x": 0.5}, 10, "a"))
    assert one.logarithmic == pytest.approx(logarithmic({"a": 0.3, "x": 0.5}, 10, "a"))
    assert scored({}, [], 10) is None


def test_the_table_says_nothing_of_a_side_where_there_is_none_to_compare(tmp_path: Path) -> None:
    """Tam named the side the teacher says, Ida the other; who names no cause at all has no side either."""
    road = worked(tmp_path)
    assert road.works("Oswin Kerr", "look withers", "end").exit_code == 0
    assert run("teach", "collect", road.room, str(road.away)).exit_code == 0
    ready = load_rulebook()
    (found,) = class_parts(figures(class_in(Path(road.room)), ready), ready.book)["cases"]
    told = {one["name"]: dict(one["cells"])["Side"] for one in found["answers"]}
    assert told["Tam Orrin"] == "as the teacher says"
    assert told["Ida Fenn"].startswith("other side: ")
    assert told["Oswin Kerr"] == "none to compare"


def test_where_the_teacher_names_no_cause_nothing_is_scored(tmp_path: Path) -> None:
    road = handed_out(tmp_path, CASE.replace("causes:\n  - girth presses, left", "causes: none"))
    assert road.works("Tam Orrin", "look girth line", "think girth presses, left = 60 %", "end").exit_code == 0
    assert run("teach", "collect", road.room, str(road.away)).exit_code == 0
    (found,) = Class.model_validate_json(run("teach", "show", road.room, "--json").stdout).cases
    assert found.answers[0].certainty is None
    assert keys(found.answers[0].named_beside) == [("girth_presses", "left")]
    assert not found.taken_for
    assert "not scored, because the teacher names no cause" in " ".join(run("teach", "show", road.room).stdout.split())
