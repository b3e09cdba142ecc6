"""What was agreed about a horse, as it stands on the page of a report, and what is told where a report waits for it.

In: what was said, whether the report may go, and to whom. Out: sentences.
Not here: whether it may go (records.may_go). No clock: a page tells the days that were said.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable
from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.rendering import phrases
from reasoner.rulebook.readers import Reader

if TYPE_CHECKING:
    from reasoner.records.may_go import MayGo
    from reasoner.store.consents import Agreed

NOT_KNOWN = "What was agreed about this horse is not known here: no records that hold it were asked."
EMERGENCY = "An emergency waits for no paper, so this goes to {reader} now; the owner is to be told that it went. {why}"
OWN_EYES = "For the examiner's own eyes, not to be given to anybody. {why}"
#: What is told of to every reader, besides whether a report may go to them.
_OF_THE_HORSE = ("owner agreed", "veterinary practice", "veterinarian aware")
_UNSAID = {
    "owner agreed": "Nothing is kept of whether the owner agrees to the work.",
    "veterinarian aware": "Nothing is kept of whether a veterinarian knows of the work.",
}
_SAID = {
    ("owner agreed", True): "The owner agrees to the work: {who}",
    ("owner agreed", False): "The owner does not agree to the work: {who}",
    ("veterinary practice", True): "Veterinary practice: {who}",
    ("veterinary practice", False): "No longer the veterinary practice: {who}",
    ("veterinarian aware", True): "A veterinarian knows of the work: {who}",
    ("veterinarian aware", False): "A veterinarian does not know of the work: {who}",
    ("report may go to", True): "A report may go to {who}",
    ("report may go to", False): "No report may go to {who}",
}


@frozen(kw_only=True)
class OnThePage:
    """What a page says of consent: `lines` at its foot; `own_eyes` at its head, where it is not to be given to anybody."""

    lines: tuple[str, ...] = (NOT_KNOWN,)
    own_eyes: str = ""


def on_the_page(
    reader: Reader, may: MayGo, stands: Iterable[Agreed] | None, *, own_eyes: bool, emergency: bool
) -> OnThePage:
    """What a report for this reader says of consent. `stands` is the newest word of each kind, None where no records were asked;
    only the owner is told who else may be given a report."""
    if stands is None:
        eyes = OWN_EYES.format(why="").strip() if own_eyes else ""
        return OnThePage(own_eyes=eyes)
    why = why_held_back(reader, may)
    first = [EMERGENCY.format(reader=reader.called, why=why)] if emergency and may.held_back and not own_eyes else []
    first += [said(may.word)] if may.state == "agreed" and may.word is not None else []
    kept = list(stands)
    told = [said(one) for one in kept if one.what in _OF_THE_HORSE or not reader.consent]
    known = {one.what for one in kept}
    lines = [*first, *told, *(words for what, words in _UNSAID.items() if what not in known)]
    eyes = OWN_EYES.format(why=why).strip() if own_eyes else ""
    return OnThePage(lines=tuple(dict.fromkeys(lines)), own_eyes=eyes)


def said(one: Agreed) -> str:
    """One thing agreed or refused, with its days, in a sentence.

    >>> from datetime import date
    >>> from reasoner.store.consents import Agreed
    >>> said(Agreed(what="report may go to", given=True, who="Dr Mossop", on=date(2026, 4, 18), until=None, note=""))
    'A report may go to Dr Mossop, said on 18 April 2026.'
    """
    words = _SAID.get((one.what, one.given), f"{one.what}: {'yes' if one.given else 'no'}, {{who}}").format(who=one.who)
    until = f", until {phrases.day(one.until)}" if one.until is not None else ""
    since = f" The horse is another owner's since {phrases.day(one.another_since)}." if one.another_since else ""
    return f"{words}, said on {phrases.day(one.on)}{until}.{since}"


def why_held_back(reader: Reader, may: MayGo) -> str:
    """Why a report waits for the owner's consent; empty where it does not."""
    if may.state == "not asked":
        return f"Nothing is kept of whether a report may go to {reader.called}."
    if may.word is None or not may.held_back:
        return ""
    over = " That day is over." if may.state == "over" and may.word.another_since is None else ""
    return said(may.word) + over


def how_to_record(horse: str, reader: Reader, may: MayGo, to: str, store: str, *, kept: bool) -> str:
    """What to do so that a report may go, or is not held back; `kept`: whether the records hold the horse yet."""
    who = to or reader.called
    at = f" --store {shlex.quote(store)}" if store else ""  # a folder's name may hold a blank
    consent = f'`reasoner records consent "{horse}" --what "report may go to" --given --who "{who}"{at}`'
    named = ""
    if may.others and not to:
        people = phrases.listed(may.others)
        named = f' Agreed for: {people}; if it goes there, say --to "{may.others[0]}".'
    first = "" if kept else "Keep the visit with `reasoner records save`. "
    return f"{first}Ask the owner, then write it down: {consent}.{named} For your own eyes alone: --own-eyes."
