"""Practice cases: coherent, mirrored, made of links and never of premises, and found again by the reasoner.

In: the shipped rulebook. Out: failures.
Not here: sessions, commands.
"""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path

import pytest

from reasoner.consult import load_rulebook
from reasoner.problems import BadInput
from reasoner.rulebook.loading import load_rulebook as read_book
from reasoner.rules_cache import Ready
from reasoner.teaching import making
from reasoner.teaching.making import Maker, every_kind
from reasoner.visit.model import Visit, mirrored
from tests.teaching import overlap

ROOM = Path(making.__file__).parent


@pytest.fixture(scope="module")
def ready() -> Ready:
    return load_rulebook()


@pytest.fixture(scope="module")
def maker(ready: Ready) -> Maker:
    return Maker(ready.book)


def _said(visit: Visit) -> tuple[frozenset[object], frozenset[object]]:
    """What a visit holds, without the lines it stands on."""
    touches = frozenset((t.place, t.side, t.soreness, t.depth) for t in visit.touches)
    return touches, frozenset((n.key, n.side, n.value) for n in visit.noted)


def test_every_kind_reads_as_a_visit_without_a_note(maker: Maker) -> None:
    for cause, side, difficulty in every_kind(maker):
        visit = maker.case(cause, side, difficulty, 5).visit
        assert not visit.warnings
        assert len(visit.touches) > 20


def test_the_right_case_is_the_mirror_image_of_the_left(maker: Maker) -> None:
    for cause, _, difficulty in every_kind(maker):
        for seed in (0,):
            left, right = (maker.case(cause, side, difficulty, seed).visit for side in ("left", "right"))
            assert _said(mirrored(left)) == _said(right)
            assert _said(left) != _said(right)  # something in it lies on one side, if only how the hand wavers


def test_a_seed_means_the_same_case_and_another_another(maker: Maker) -> None:
    one = maker.case("girth_presses", "left", "usual", 7)
    assert maker.case("girth_presses", "left", "usual", 7).text == one.text
    assert maker.case("girth_presses", "left", "usual", 8).text != one.text


def test_premises_are_never_looked_at() -> None:
    """No module on the way to a case names evidence, conditions or examples; and a rulebook stripped of them makes the same
    cases."""
    for name in ("causal", "drawing", "making"):
        tree = ast.parse((ROOM / f"{name}.py").read_text())
        named = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        assert not named & {"evidence", "when", "only_if", "parsed", "examples", "rules", "concerns", "actions"}, name
    book = load_rulebook().book
    bare = replace(
        book, parsed={}, concerns={}, actions={}, circumstances={},
        conclusions={k: replace(page, evidence=(), examples=()) for k, page in book.conclusions.items()},
    )  # fmt: skip
    whole, stripped = Maker(book), Maker(bare)
    for cause, side, difficulty in every_kind(whole):
        assert stripped.case(cause, side, difficulty, 3).text == whole.case(cause, side, difficulty, 3).text


def test_harder_cases_tell_less(maker: Maker) -> None:
    """Fewer looks were made, and the worst place is less sore, in the mean over causes."""
    looks, worst = [], []
    for difficulty in (d.name for d in maker.table.difficulties):
        visits = [maker.case(c, maker.sides(c)[0], difficulty, seed).visit for c in maker.causes for seed in range(3)]
        looks.append(sum(len(v.touches) + len(v.noted) for v in visits))
        worst.append(sum(max((t.soreness or 0) for t in v.touches) for v in visits))
    assert looks == sorted(looks, reverse=True)
    assert looks[0] > looks[-1]
    assert worst == sorted(worst, reverse=True)
    assert worst[0] > worst[-1]


def test_what_goes_together_is_never_torn_apart(maker: Maker) -> None:
    """An uneven leg and an even trot in hand, or a hip that gives way under a level rider, stand in no case."""
    for cause, side, difficulty in every_kind(maker):
        for seed in range(3):
            visit = maker.case(cause, side, difficulty, seed).visit
            held = {(n.key, n.value) for n in visit.noted}
            uneven = {(k, w) for k in ("fore_step", "hind_step") for w in ("slight", "marked", "not_bearing_weight")}
            assert not (held & uneven and ("trot_in_hand", "even") in held), (cause, seed)
            assert not {("clearance", "touches"), ("clearance_with_the_pad", "clear")} <= held, (cause, seed)
            gives = {("hip_collapse", "left"), ("hip_collapse", "right")}
            assert not (held & gives and ("rider_shape", "level") in held), (cause, seed)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("girth_press", "left", "plain"), "TE41"), (("girth_presses", "", "plain"), "TE42"),
        (("girth_presses", "both", "plain"), "TE42"), (("girth_presses", "left", "plane"), "TE43"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_said(maker: Maker, words: tuple[str, str, str], code: str) -> None:
    with pytest.raises(BadInput) as bad:
        maker.case(*words, 1)
    assert [problem.code for problem in bad.value.problems] == [code]


def test_overlap_with_the_rules_is_measured() -> None:
    """Printed by `python -m tests.teaching.overlap`. The lines are no copy of the premises: of what the rules ask for much is
    shown by nothing here, and some of what shows no rule of the page asks for. Where the table were a copy, both would be
    nothing."""
    own, added, asked, both, _, missed = overlap.sums(overlap.overlaps(read_book()))
    print(own, added, asked, both, missed)
    assert own - both >= own * FRACTION_OF_OWN
    assert missed >= asked * FRACTION_NOT_SHOWN


FRACTION_OF_OWN = 0.2
FRACTION_NOT_SHOWN = 0.2
