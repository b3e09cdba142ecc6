"""Lines made up from places, sides and numbers in every order, their meaning known: no side comes out that was not said.

In: hypothesis. Out: failures.
Not here: lines whose sides nobody could tell (several places in one breath with readings between them).
"""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from reasoner.lines import understood
from reasoner.rules_cache import ready_rulebook

PLACES = {
    "loin": "loin", "croup": "croup", "poll": "top_of_the_poll", "triceps": "triceps", "trap": "withers", "stifle": "stifle",
}  # fmt: skip
NUMBERS = {"nothing": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
SAID = {
    "left": ("left", "near", "on the left", "left side", "the near side", "the left"),
    "right": ("right", "off", "on the right", "right side", "off side", "the right"),
}
OTHER = {"left": "right", "right": "left"}
#: {p} a place, {a} and {b} the side said first and the other, {m} and {n} their numbers.
ONE = ("{a} {p} {m}", "{p} {a} {m}", "{p} {m} {a}", "{m} {a} {p}", "{m} on the {a} {p}", "{a} {p}'s a {m}")
TWO = ("{p} {a} {m} {b} {n}", "{p} {m} {a} {n} {b}", "{a} {p}'s a {m}, {b} one's a {n}", "{p} {a} {m}, {b} {n}")
Meant = tuple[str, set[tuple[str, str, int]]]


@st.composite
def breaths(draw: st.DrawFn) -> Meant:
    """One to three places, each in a breath of its own, and what they mean."""
    parts, meant = [], set()
    for place in draw(st.lists(st.sampled_from(sorted(PLACES)), min_size=1, max_size=3, unique=True)):
        side, (m, n) = draw(st.sampled_from(sorted(SAID))), draw(st.tuples(*2 * [st.sampled_from(sorted(NUMBERS))]))
        form = draw(st.sampled_from((*ONE, *TWO)))
        first, other = draw(st.sampled_from(SAID[side])), draw(st.sampled_from(SAID[OTHER[side]]))
        first = first.removeprefix("on ").removeprefix("the ") if "on the {a}" in form else first
        parts.append(form.format(p=place, a=first, b=other, m=m, n=n))
        meant.add((PLACES[place], side, NUMBERS[m]))
        if form in TWO:
            meant.add((PLACES[place], OTHER[side], NUMBERS[n]))
    return draw(st.sampled_from((", ", ". ", " then "))).join(parts), meant


@settings(max_examples=150, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(breaths())
def test_nothing_comes_out_that_was_not_said(made: Meant) -> None:
    line, meant = made
    told = understood(line, ready_rulebook().book)
    got = {(f.key, f.side, int(f.reading.soreness)) for f in told.findings if f.reading.soreness is not None}
    assert got <= meant, line
    assert got == meant or told.questions or told.kept, f"something was lost: {line}"


#: What a horse did, in everyday words: none of them holds a side, and none may move one. Some are answers, some are kept.
DID = (
    "ducked away", "jumped out of his skin", "went rigid", "ears went flat", "moved over", "went to bite me", "not bothered",
    "lifted a hind leg", "swished his tail", "held his breath", "looked round", "didn't react", "full of knots", "kicked out",
)  # fmt: skip
#: {r} is what it did.
WITH_IT = (
    "{a} {p} {m}, {r}", "{p} {a} {m} {r}", "{r} on the {a} {p}, {m}", "{r} when I pressed the {a} {p}, {m}",
    "{p} {a} {m} {r}, {b} {n}", "{p} {a} {m}, {b} {n} and {r}", "{a} {p} {m}, {b} one {n}, {r} on the {b}",
    "{p}, {m} on the {a}, {n} on the {b}, {r}", "{m} on the {a} {p}, {n} on the {b} one",
)  # fmt: skip


@st.composite
def told_of(draw: st.DrawFn) -> Meant:
    """A place, a number for one side or for both, and what the horse did."""
    place, form = draw(st.sampled_from(sorted(PLACES))), draw(st.sampled_from(WITH_IT))
    first, other = draw(st.sampled_from((("left", "right"), ("right", "left"), ("near", "off"), ("off", "near"))))
    side = {"near": "left", "off": "right"}.get(first, first)
    m, n = draw(st.tuples(*2 * [st.sampled_from(sorted(NUMBERS))]))
    meant = {(PLACES[place], side, NUMBERS[m])}
    if "{n}" in form:
        meant.add((PLACES[place], OTHER[side], NUMBERS[n]))
    return form.format(p=place, a=first, b=other, m=m, n=n, r=draw(st.sampled_from(DID))), meant


@settings(max_examples=120, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(told_of())
def test_what_the_horse_did_moves_no_side(made: Meant) -> None:
    line, meant = made
    told = understood(line, ready_rulebook().book)
    got = {(f.key, f.side, int(f.reading.soreness)) for f in told.findings if f.reading.soreness is not None}
    assert got <= meant, line
    assert got == meant or told.questions or told.kept, f"something was lost: {line}"
    answered = {(f.key, f.side) for f in told.findings if f.reading.responses or f.reading.felt}
    assert answered <= {(key, side) for key, side, _ in meant}, line
