"""A call of an earlier visit that nobody answered: it does not end with the next visit, and least of all with an empty one.

In: the visits kept of one horse before today, and today's. Out: one entry of today's visit, or None.
Not here: what such an entry means (its page among the concerns), what a veterinarian's word opens (plan.referral).

A call is answered by a veterinarian's word seen on the day of its visit or later, written in that visit, in a later kept one or
in today's; or where a word that held at that visit opened something of it.
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.records.looked_at import is_empty, words_in
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.history import Held, HeldCall
from reasoner.visit.model import Noted, Visit

OPEN_CALL = "call_not_answered"


def open_call(held: Sequence[Held], today: Visit, book: Rulebook) -> Noted | None:
    """The most pressing call that stands open from the last visit; `held` are the visits before today's, in order.

    A visit whose only call was that of an earlier one hands it on, so that it keeps its day and its sentence. One that looked at
    nothing, or that was kept before an earlier one and so judged without it, ends no call of those before it.
    """
    carried = {key for key, page in book.concerns.items() if any(OPEN_CALL in words_in(s.when) for s in page.signs)}
    found: list[tuple[Held, HeldCall]] = []
    seen = [word.seen for word in today.vets_words]
    for one in reversed(held):
        seen += [word.seen for word in one.visit.vets_words]
        if not any(day >= one.visit.day for day in seen):
            found += [(one, call) for call in one.calls if call.key not in carried and not call.opened]
        handed_on = any(call.key in carried for call in one.calls)
        if not (handed_on or is_empty(one.visit, book) or _judged_without(one, held)):
            break
    return _noted(found, book) if found else None


def _judged_without(one: Held, held: Sequence[Held]) -> bool:
    """Whether a visit before it was kept only after it, so that its answer knew nothing of that one's calls."""
    return any(other.saved_at > one.saved_at for other in held[: list(held).index(one)])


def _noted(found: Sequence[tuple[Held, HeldCall]], book: Rulebook) -> Noted:
    order = list(book.scales.calls)
    value = max((call.call for _, call in found), key=order.index)
    said = dict.fromkeys(f"{one.visit.day.isoformat()}, {call.call}: {call.words.rstrip('.')}" for one, call in found)
    last = found[0][0].visit
    lines = [line for line in (*(one.line for one in last.noted), *(one.line for one in last.touches)) if line]
    return Noted(
        key=OPEN_CALL, side=None, value=value, written=f"{value} ({'; '.join(said)})", line=min(lines, default=1), file=last.file,
    )  # fmt: skip
