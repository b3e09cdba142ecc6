"""What a report asks of a saddle fitter or a farrier: said to that person, not to whoever would ring them.

In: an answer and the reader. Out: what is asked, what others are asked meanwhile, and what waits.
Not here: the sentences (the pages hold them under `told_to`), the rest of a report (report_parts.py).
"""

from __future__ import annotations

from dataclasses import replace

from reasoner.explanation.from_record import filled
from reasoner.plan.model import StepOf, Withheld
from reasoner.rendering.answered import Answered
from reasoner.rulebook.readers import Reader


def asked(answer: Answered, reader: Reader) -> list[tuple[str, str]]:
    """What this reader is asked, said to this reader; also by the steps that are told with another one."""
    parts = (one for step in answer.plan.steps for one in step.parts)
    return list(dict.fromkeys(told for one in parts for told in _told_to(one.key, one.side, answer, reader)))


def meanwhile(answer: Answered, reader: Reader) -> list[str]:
    """Steps that bear on this reader's work and are asked of somebody else."""
    return [
        step.words
        for step in answer.plan.steps
        if _speaks_to(step, reader) and not any(_told_to(one.key, one.side, answer, reader) for one in step.parts)
    ]


def held_here(answer: Answered, reader: Reader) -> tuple[Withheld, ...]:
    """What waits of this reader's work, in the words that are theirs where the page has them."""
    out = []
    for held in answer.plan.withheld:
        told = _told_to(held.key, held.side, answer, reader)
        if told or _speaks_to(held, reader):
            out.append(replace(held, words=" ".join(says for says, _ in told) or held.words))
    return tuple(out)


def _speaks_to(one: StepOf | Withheld, reader: Reader) -> bool:
    """Whether a step is of this reader's own kind, or names their trade."""
    text = one.words + (f" {one.plain} {one.dose}" if isinstance(one, StepOf) else "")
    return one.kind in reader.kinds or bool(reader.trade and reader.trade in text.casefold())


def _told_to(key: str, side: str, answer: Answered, reader: Reader) -> list[tuple[str, str]]:
    """(what is asked, how) of one action, as its page says it to this reader."""
    page = answer.ready.book.actions.get(key)  # none of a step that the practitioner added
    told = page.told_to if page is not None else ()
    return [(filled(t.says, side), filled(t.asks, side)) for t in told if t.reader == reader.key]
