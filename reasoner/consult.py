"""The whole story on one page: read, derive, infer, explain, plan.

In: a visit file and a rulebook. Out: an `Answer`.
Not here: any logic of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from reasoner.explanation.from_record import explain
from reasoner.explanation.model import Explanation
from reasoner.facts.from_measures import differing, not_by_hand, one_sided, worked_out
from reasoner.facts.from_visit import facts_of
from reasoner.facts.table import Facts, column
from reasoner.frozen import frozen
from reasoner.inference.evaluate import Result, run
from reasoner.inference.record import Record
from reasoner.rules_cache import Ready, ready_rulebook
from reasoner.visit.model import Visit
from reasoner.visit.reading import read_visit

if TYPE_CHECKING:
    from reasoner.plan.concerns import Referral
    from reasoner.plan.model import Plan
    from reasoner.records.of_day import Taken
    from reasoner.store.afterwards import Signature


@frozen
class Answer:
    """One visit judged by one rulebook: the visit, its facts, the record of the run, and what is made of them.

    `signature` and `taken` say what the records hold of the visit's file, as far as they were asked: its countersignature, and
    which visit of its day it is taken for.
    """

    visit: Visit
    facts: Facts
    ready: Ready
    record: Record
    bounds: Result
    explanation: Explanation
    signature: Signature | None = None
    taken: Taken | None = None

    @cached_property
    def referral(self) -> Referral:
        """Whether, when and why a veterinarian must see the horse; worked out when first asked for."""
        from reasoner.plan.referral import referral_of

        return referral_of(self.record, self.facts, self.visit, self.ready.book)

    @cached_property
    def plan(self) -> Plan:
        """The draft plan; worked out when first asked for."""
        from reasoner.plan.selection import plan_of

        return plan_of(self.record, self.referral, self.facts, self.visit, self.ready.book)


def load_rulebook(folders: Sequence[Path] | None = None) -> Ready:
    """The rulebook of the folders (default: the shipped rules), compiled; from the cache where its bytes are the same."""
    return ready_rulebook(folders)


def consult(path: Path, ready: Ready | None = None) -> Answer:
    """Judge the visit in `path`. Raises BadInput with everything that is wrong in the file or the rules."""
    ready = ready or load_rulebook()
    return judge(read_visit(path, ready.book.vocabulary), ready)


def judge(visit: Visit, ready: Ready) -> Answer:
    """Judge a visit already read."""
    program = ready.program
    found = worked_out(visit, ready.book)
    facts = facts_of(visit, program.meta["words"], not_by_hand(visit, found))
    readings = column(program.slots, facts)
    record = Record(program, run(program, readings))
    bounds = run(program, readings, bounds=True)
    if warned := (*differing(visit, found, ready.book), *one_sided(visit, ready.book)):
        visit = replace(visit, warnings=(*visit.warnings, *warned))
    return Answer(visit, facts, ready, record, bounds, explain(record, bounds, facts, ready.book))
