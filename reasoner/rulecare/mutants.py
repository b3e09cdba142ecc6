"""A condition written a little wrongly, in every way a hurried hand would: what an example should notice.

In: a parsed condition. Out: `Mutant`, each with one thing changed and the words for it.
Not here: whether an example notices (trials.py), which pages there are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from reasoner.frozen import frozen
from reasoner.quantities import finest_step
from reasoner.rulebook.conditions import All, AtLeast, Condition, Leaf, Not
from reasoner.rulebook.scales import Scales
from reasoner.rulebook.vocabulary import Vocabulary

_TURNED = {"this": "other", "other": "this"}
_DAY = (
    1.0  # how far a limit on a date is nudged; one on soreness by a step of its scale, others by what is written down
)


@frozen
class Mutant:
    """A condition with one thing changed, or none at all; `what` says which, in the words of a page."""

    what: str
    condition: Condition | None
    line: int


def mutants(condition: Condition, scales: Scales, words: Vocabulary) -> Iterator[Mutant]:
    """Every condition that is one slip of the pen away from this one."""
    if isinstance(condition, Leaf):
        yield from _of_leaf(condition, scales, words)
        return
    if isinstance(condition, Not):
        yield Mutant(f"`not` left out before {told(condition.part)}", condition.part, line_of(condition))
        for one in mutants(condition.part, scales, words):
            if one.what.endswith(" turned round") and isinstance(condition.part, Leaf):
                continue  # the same slip as leaving out `not`
            yield replace(one, condition=Not(_whole(one)))
        return
    if _only_known(condition):
        return  # it asks whether anybody looked, and every limit asks that alike
    for number, part in enumerate(condition.parts):
        others = condition.parts[:number] + condition.parts[number + 1 :]
        if others:
            yield Mutant(f"{told(part)} left out", _with_parts(condition, others), line_of(part))
        for one in mutants(part, scales, words):
            parts = (*condition.parts[:number], _whole(one), *condition.parts[number + 1 :])
            yield replace(one, condition=replace(condition, parts=parts))
    if isinstance(condition, AtLeast) and len(condition.parts) > 1:
        for k in (condition.k - 1, condition.k + 1):
            if 1 <= k <= len(condition.parts):
                what = f"{k} of {len(condition.parts)} asked for instead of {condition.k}"
                yield Mutant(what, replace(condition, k=k), line_of(condition))


def _whole(one: Mutant) -> Condition:
    assert one.condition is not None, "a part of a condition is changed, never gone: that is a slip of its own"
    return one.condition


def _only_known(condition: All | AtLeast) -> bool:
    """Whether it is "so, or not so": known at all."""
    if len(condition.parts) != 2 or not isinstance(condition, AtLeast) or condition.k != 1:
        return False
    one, other = (_without_lines(part) for part in condition.parts)
    return Not(one) == other or Not(other) == one


def _without_lines(condition: Condition) -> Condition:
    if isinstance(condition, Leaf):
        return replace(condition, line=0)
    if isinstance(condition, Not):
        return Not(_without_lines(condition.part))
    return replace(condition, parts=tuple(map(_without_lines, condition.parts)))


def _with_parts(condition: All | AtLeast, parts: tuple[Condition, ...]) -> Condition:
    if isinstance(condition, AtLeast):
        return AtLeast(min(condition.k, len(parts)), parts)
    return All(parts)


def _of_leaf(leaf: Leaf, scales: Scales, words: Vocabulary) -> Iterator[Mutant]:
    yield Mutant(f"{told(leaf)} turned round", Not(leaf), leaf.line)
    if leaf.side in _TURNED:
        yield Mutant(f"{told(leaf)} read on the other side", replace(leaf, side=_TURNED[leaf.side]), leaf.line)
    if leaf.of == "side" and set(leaf.words) & set(_TURNED):
        turned = tuple(_TURNED.get(word, word) for word in leaf.words)
        if set(turned) != set(leaf.words):
            yield Mutant(f"{told(leaf)} read on the other side", replace(leaf, words=turned), leaf.line)
    for value, ramp in _nudged(leaf, scales, words):
        moved = replace(leaf, words=(ramp,)) if ramp else replace(leaf, value=value)
        yield Mutant(f"the limit of {told(leaf)} moved to {ramp or f'{value:g}'}", moved, leaf.line)
    if leaf.how_many > 1:
        yield Mutant(f"{told(leaf)} asked of one place less", replace(leaf, how_many=leaf.how_many - 1), leaf.line)


def _nudged(leaf: Leaf, scales: Scales, words: Vocabulary) -> Iterator[tuple[float, str]]:
    """(limit, "") just below and just above; or (0, another ramp) that asks the same of a stronger or weaker answer."""
    if leaf.test == "ramp":
        mine = scales.ramps[leaf.words[0]]
        yield from (
            (0.0, other.key) for other in scales.ramps.values() if other.of == mine.of and other.key != mine.key
        )
    elif leaf.value is not None and leaf.of in ("place", "places"):
        for value in (leaf.value - scales.step, leaf.value + scales.step):
            if 0.0 < value <= 10.0:
                yield value, ""
    elif leaf.value is not None and leaf.of in ("number", "date"):
        seen = words.observations[leaf.subject]
        step = _DAY if leaf.of == "date" else finest_step(seen.unit)
        low, high = seen.range if leaf.of == "number" and seen.range else (0.0, float("inf"))
        # Below or above all that can be recorded, one limit is like another.
        if low <= leaf.value <= high:
            yield from ((value, "") for value in (leaf.value - step, leaf.value + step) if low <= value <= high)
    elif leaf.test == "certainty" and leaf.value is not None:
        near = sorted(scales.bands.values())
        at = near.index(leaf.value)
        yield from ((value, "") for value in (*near[max(at - 1, 0) : at], *near[at + 1 : at + 2]))


def line_of(condition: Condition) -> int:
    """The line of the first leaf."""
    if isinstance(condition, Leaf):
        return condition.line
    return line_of(condition.part if isinstance(condition, Not) else condition.parts[0])


def told(condition: Condition) -> str:
    """A condition in a few words.

    >>> told(Leaf("withers", "place", "felt", "this", ("knot",)))
    'withers (this side) felt knot'
    """
    if isinstance(condition, Not):
        return f"not {told(condition.part)}"
    if not isinstance(condition, Leaf):
        return f"the part that begins with {told(condition.parts[0])}"
    side = (
        f" ({condition.side} side)" if condition.side in _TURNED else f" ({condition.side})" if condition.side else ""
    )
    words = " or ".join(condition.words) or (f"{condition.value:g}" if condition.value is not None else "")
    test = "" if condition.test in ("is", "held", "ramp", "certainty") else f" {condition.test}"
    return f"{condition.subject}{side}{test} {words}".replace("_", " ").rstrip()
