"""Two hands compared whole: figures, words, what differs in the answers and what moved it, and one hand's own error.

In: pairs of visits by the same two hands, the rules, what earlier visits say. Out: a `Compared`.
Not here: any one of these (agreement, worded, moved, repeatability), finding the pairs (pairing).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from reasoner.consult import judge
from reasoner.differences import Change, changes_between
from reasoner.frozen import frozen
from reasoner.records.tried import history_of
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rules_cache import Ready
from reasoner.store.history import Held
from reasoner.teaching.agreement import SEED, Agreement, agreement_of
from reasoner.teaching.moved import Trace, trace_of
from reasoner.teaching.paired import paired
from reasoner.teaching.repeatability import Wavering, wavering_of
from reasoner.teaching.worded import Worded, worded_of
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from reasoner.consult import Answer

#: The visits before the day of each visit, by the visit's file.
Earlier = Mapping[str, Sequence[Held]]


@frozen(kw_only=True)
class Compared:
    """Two hands, or one twice. `answers` to both visits of each pair, and `apart` what they differ in; `traces` of those that
    were followed to their readings; `wavering` one hand's own error. `earlier` counts the visits before that day that both were
    judged with; None: the files were judged by themselves."""

    agreement: Agreement
    worded: Worded
    answers: tuple[tuple[Answer, Answer], ...]
    traces: tuple[Trace, ...]
    apart: tuple[tuple[Change, ...], ...]
    wavering: Wavering | None
    earlier: int | None


def compared(
    pairs: Sequence[tuple[Visit, Visit]], rules: Ready, table: AgreementTable, *, seed: int = SEED,
    follow: bool | None = None, earlier: Earlier | None = None,
) -> Compared:  # fmt: skip
    """Compare. `follow` goes after the readings behind every difference, which takes seconds a pair; by default for one pair.
    With `earlier` both visits of a pair are judged with the visits before their day, as the records judge them; neither is
    judged with the other."""
    book = rules.book
    agreement = agreement_of([paired(one, two, book.vocabulary) for one, two in pairs], book, table, seed)

    def heard(visit: Visit) -> Visit:
        held = (earlier or {}).get(visit.file, ())
        return replace(visit, history=history_of(held, visit, book)) if held else visit

    traces: tuple[Trace, ...] = ()
    if len(pairs) == 1 if follow is None else follow:
        traces = tuple(trace_of(pair.one, pair.two, rules, heard=heard) for pair in agreement.pairs)
        answers = tuple((trace.one, trace.two) for trace in traces)
        apart = tuple(tuple(one.change for one in trace.moved) for trace in traces)
    else:
        answers = tuple((judge(heard(pair.one), rules), judge(heard(pair.two), rules)) for pair in agreement.pairs)
        apart = tuple(tuple(changes_between(one, two)) for one, two in answers)
    return Compared(
        agreement=agreement, worded=worded_of(agreement.pairs, book.vocabulary, table), answers=answers, traces=traces,
        apart=apart, wavering=wavering_of(agreement.pairs, table, seed) if agreement.same_hand else None,
        earlier=None if earlier is None else sum(len(earlier.get(one.file, ())) for one, _ in pairs),
    )  # fmt: skip
