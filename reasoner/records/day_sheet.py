"""A day's horses, each with what it needs: what stands against it, what was expected and told, what is still to be checked.

In: the diary and the kept visit files. Out: `Sheet`, one a horse.
Not here: choosing the next check (questions.next_check), wording.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from sqlalchemy import Connection

from reasoner.consult import Answer, judge
from reasoner.frozen import frozen
from reasoner.questions.checks import Check
from reasoner.questions.next_check import Next, next_of
from reasoner.records.before import holding, with_history
from reasoner.records.diary import Due
from reasoner.records.signing import waiting
from reasoner.records.strictest import Awaited
from reasoner.records.tried import COUNT
from reasoner.rulebook.scales import Bring
from reasoner.rules_cache import Ready
from reasoner.store.consents import OWNER_AGREED, Agreed, standing
from reasoner.store.history import Held, HeldStep, history, words_of
from reasoner.store.place import Place
from reasoner.store.reading import beside_of, text_of, visits
from reasoner.visit.model import VetsWord
from reasoner.visit.reading import visit_from_bytes

MOST = 5  # looks named for each horse; more are not read between two boxes


@frozen(kw_only=True)
class Needed:
    """Something to bring, and what it is called at this yard (a saddle's name, a rider's), or empty."""

    bring: Bring
    named: str


@frozen(kw_only=True)
class Sheet:
    """One horse of the day. `answer` is its last visit as today's rules judge it with those before, `next` what was not looked
    at then; `held` that visit as kept, with what was told since; `vets_words` those that may still hold after it; `disagrees`
    the owner's word where the work is not agreed to, or no longer; `unsigned` whether the visit waits for a countersignature."""

    due: Due
    at: str
    answer: Answer
    next: Next
    held: Held
    vets_words: tuple[VetsWord, ...]
    disagrees: Agreed | None
    unsigned: bool
    needed: tuple[Needed, ...]

    @property
    def looks(self) -> tuple[Check, ...]:
        """The looks of this sheet, those of the first sixty seconds first."""
        return tuple(effect.check for effect in (*self.next.first_look, *self.next.proposed))

    def expected(self, day: date) -> tuple[tuple[Awaited, ...], tuple[Awaited, ...]]:
        """(what was expected by this day, what is expected later)."""
        by = tuple(one for one in self.due.awaited if one.by <= day)
        return by, tuple(one for one in self.due.awaited if one.by > day)

    def steps(self) -> tuple[tuple[HeldStep, ...], tuple[HeldStep, ...]]:
        """(steps of which something was told, steps to ask about); one taken out of the plan is neither."""
        told = tuple(step for step in self.held.steps if step.told is not None)
        return told, tuple(step for step in self.held.steps if step.told is None and not step.out_by)


def sheets_of(
    connection: Connection, dues: Iterable[Due], ready: Ready, place: Place, day: date, *, most: int = MOST,
    times: dict[str, str] | None = None,
) -> Iterator[Sheet]:  # fmt: skip
    """A sheet for each; `times` tells when a horse is seen, by its uid.

    Raises BadInput where a kept file no longer reads by these rules' words, or fails its checksum.
    """
    for due in dues:
        visit = due.visit
        text = text_of(connection, visit.version, shown=place.shown)
        name = f"{visit.name}, {visit.day.isoformat()}"
        seen = visit_from_bytes(text, name, ready.book.vocabulary, beside_of(connection, place, visit.version))
        answer = judge(with_history(connection, seen, ready.book, visit.part), ready)
        every = history(connection, visits(connection, horse=visit.horse))
        told, agreed = _looks(answer, most), standing(connection, visit.horse, day=day).get(visit.horse, ())
        held = next(one for one in every if one.known.uid == visit.uid)
        sheet = Sheet(
            due=due, at=(times or {}).get(visit.horse, ""), answer=answer, next=told, held=held,
            vets_words=holding(every), disagrees=_disagrees(agreed, day),
            unsigned=bool(waiting(connection, [visit])), needed=(),
        )  # fmt: skip
        yield replace(sheet, needed=() if told.stop else tuple(_needed(sheet)))


def _looks(answer: Answer, most: int) -> Next:
    """What to look at next, without what nobody need look at: visits without change are counted by the records themselves."""
    found = next_of(answer, most)
    if all(one.check.key != COUNT for one in found.proposed):
        return found
    found = next_of(answer, most + 1)
    return replace(found, proposed=tuple(one for one in found.proposed if one.check.key != COUNT))


def _disagrees(stands: Iterable[Agreed], day: date) -> Agreed | None:
    """The owner's word on the work, where it is not, or no longer, an agreement."""
    word = next((one for one in stands if one.what == OWNER_AGREED), None)
    return word if word is not None and not (word.given and word.holds(day)) else None


def _needed(sheet: Sheet) -> Iterator[Needed]:
    """What its looks and the steps of its last plan need, in the order of the rules."""
    checking = sheet.answer.ready.book.scales.checking
    headings = {check.heading for check in sheet.looks}
    kinds = {step.kind for step in sheet.held.steps if not step.out_by}
    for bring in checking.bring if checking is not None else ():
        under = any(head == look or head.startswith(f"{look}/") for head in headings for look in bring.looks)
        if under or kinds & {*bring.steps}:
            named = words_of([sheet.held], bring.named_by) if bring.named_by else ()
            yield Needed(bring=bring, named=named[-1] if named else "")
