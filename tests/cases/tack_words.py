"""What the saddle cases share: a horse level in hand, the steps of a plan, and every sentence that is shown.

In: lines of a visit, or an answer. Out: the visit as text; keys of steps; words.
Not here: expectations.
"""

from __future__ import annotations

from tests.asking import Asked

NARROW, WIDE = "tree_too_narrow", "tree_too_wide"
#: What adds beneath a saddle, and what takes away.
ADDS = {"ask_about_a_pad_for_a_time", "shims_under_the_side"}
TAKES = {"take_the_pad_out"}

LEVEL = """
before the visit: {ridden hard: none in 3 days, speed work: none in 3 days, painkillers: none, sedation: none}
at first sight: {attitude: bright, standing: square, ten steps of walk: even}
settled under the hand: seen
hand pressure: moderate
in hand: {trot in hand: even, both reins: seen, hind push off: even, toe drag: none, back carriage: level}
uneven steps: {left fore: even, right fore: even, left hind: even, right hind: even}
"""


def visit(*lines: str) -> str:
    """A horse level in hand, and what else was written down."""
    return LEVEL + "\n".join(lines) + "\n"


def keys(answer: Asked) -> set[str]:
    """The steps of the plan, whatever their side."""
    return {key for key, _ in answer.steps}


def said(answer: Asked) -> str:
    """Every sentence that practitioner and owner are shown."""
    plan = answer.answer.plan
    words = [f"{c.words} {c.plain}" for c in answer.answer.explanation.supported()]
    words += [f"{s.words} {s.plain} {s.dose}" for s in plan.steps]
    words += [f"{t.words} {t.stop_and_ring_me_if} {t.ring_the_vet_if}" for t in plan.owner_tasks]
    return " ".join(words).casefold()
