"""The looks of a practice session: what each could have told at its moment, and which telling ones were never made.

In: a session, the rulebook, which look counts as telling. Out: `LookMade`s, and the effects of looks missed.
Not here: what a look could tell (questions/telling), which are allowed (offered); a look that was forbidden is never missed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from reasoner.consult import Answer, judge
from reasoner.questions.next_check import first_heading, rank
from reasoner.questions.telling import Effect, effects_of
from reasoner.rulebook.checking import SPACES
from reasoner.rulebook.measures.practise import Looks
from reasoner.rules_cache import Ready
from reasoner.teaching.marked import LookMade
from reasoner.teaching.offered import offered
from reasoner.teaching.session import Session, seen_by, shown
from reasoner.visit.touches import is_space


def looks_made(session: Session, ready: Ready, table: Looks) -> Iterator[LookMade]:
    """Each look in the order made, judged by what could be known before it."""
    for number in range(len(session.looks)):
        made = look_made(session, number, ready, table)
        if made is not None:
            yield made


def look_made(session: Session, number: int, ready: Ready, table: Looks) -> LookMade | None:
    """The look of this number, from 0; None where rules laid over these since then no longer ask for it."""
    key, then = session.looks[number], replace(session, looks=session.looks[:number])
    answer = seen_by(then, ready)
    effects = sorted(effects_of(answer, offered(then, answer).checks), key=rank)
    at = next((n for n, effect in enumerate(effects) if effect.check.key == key), None)
    if at is None:
        return None
    touches, noted = shown(session, key, ready.book)
    telling = effects[at].matters and at < max(1, round(table.telling_share * len(effects)))
    effect, had = effects[at], bool(touches or noted)
    # What comes before any pressing is looked at first whatever it narrows; and what the account or the call of the whole case
    # rests on is telling whether it was seen or left, however little it was likely to be.
    telling |= effect.check.heading == first_heading(answer) and effect.level > 0
    telling |= effect.matters and had and _bears(effect.check.key, judge(session.case.visit, ready))
    return LookMade(effect, at + 1, len(effects), telling, had)


def looks_missed(session: Session, seen: Answer, whole: Answer, table: Looks) -> Iterator[Effect]:
    """The telling looks that were still open at the end, that the case had to show, and that bear on its account or its call."""
    count = 0
    for effect in sorted(effects_of(seen, offered(session, seen).checks), key=rank):
        if count < table.looks_counted and effect.matters and _bears(effect.check.key, whole):
            count += 1
            yield effect


def _bears(look: str, whole: Answer) -> bool:
    """Whether the case had this look to show, and its account or its reasons to call rest on that."""
    spaces = {key for key, place in whole.ready.book.vocabulary.places.items() if is_space(place)}
    to_see = {t.place for t in whole.visit.touches} | {n.key for n in whole.visit.noted}
    bears = {
        finding.where
        for key in _account(whole)
        for item in whole.explanation.concluded[key].supporting
        for finding in item.findings
    }
    bears |= {finding.where for concern in whole.referral.concerns for finding in concern.findings}
    return bool((spaces if look == SPACES else {look}) & to_see & bears)


def _account(whole: Answer) -> list[tuple[str, str]]:
    found = []
    for chain in whole.explanation.account.starting_points:
        found += [(chain.key, chain.side), *chain.loop]
    return found
