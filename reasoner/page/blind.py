"""Who reads at the page, for what is held back until two blind gradings are in; and what waits, in words.

In: who asks, the page's clock and rulebook. Out: a `Reader` of the records; lines on what waits for whom.
Not here: holding back (store.held_back), comparing the two (routes/agreeing).
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import cast

from sqlalchemy import Connection

from reasoner.page.doors.sessions import PRACTITIONER
from reasoner.page.served import Served
from reasoner.page.who import OWN_MACHINE, Who
from reasoner.rendering import phrases
from reasoner.rendering.text_page import Line
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.store.held_back import READER, Graded, Reader, Waiting, waiting
from reasoner.store.names import same_name

#: Calls that nobody waits with, whatever is compared.
PRESSING = ("emergency", "prompt")


def reader_of(served: Served, who: Who | None) -> Reader | None:
    """Who reads the records for a request; None for a stranger, who reads nothing. Several may sit at the own machine, and hold
    telephones that came in by the practitioner's own code: none of them is the one hand that may see its own visit already."""
    table = served.ready.book.measures.get("agreement")
    if who is None or table is None:
        return None
    after = timedelta(hours=cast(AgreementTable, table).blind.opens_after_hours)
    name = "" if who.name in (OWN_MACHINE, PRACTITIONER) else who.name
    return Reader(name=name, now=served.now(), opens_after=after)


def waiting_lines(connection: Connection, horse: str, name: str) -> list[Line]:
    """What is in of a horse and held back from whoever reads, without a word of what was found: but a pressing call is told, for
    the veterinarian comes before any comparison."""
    reader = READER.get()
    if reader is None:
        return []
    return [
        line
        for one in waiting(connection, reader, horse=horse)
        for line in one_waiting(one, name, own=one.written_by(reader.name))
    ]


def one_waiting(one: Waiting, name: str, *, own: bool) -> list[Line]:
    """One visit that waits, for its writer (`own`) or for somebody else."""
    graded = one.graded
    hand = graded.hand or "a hand without a name"
    head = f"{name}, {phrases.day(graded.day)}: graded blind by {hand} beside {graded.beside}"
    if own:
        said = f"{head}. Yours is in and nobody else sees it before {graded.beside}'s is."
    else:
        said = f"{head}. It is in, and held back until {graded.beside}'s is."
    lines = [Line(f"{said} It opens by itself {_moment(one.opens)}.", "open")]
    if graded.level in PRESSING:
        said = f"It gives a {graded.level} reason to call the veterinarian. Ask {hand} now: that waits for no comparison, and a "
        lines.append(Line(f"{said}horse that needs the veterinarian is not pressed a second time.", "alarm"))
    return lines


def graded_words(one: Graded | None, two: Graded | None) -> list[Line]:
    """Whether two visits of a day were graded blind, as far as this page can tell, and what was corrected since; nothing where
    neither says so."""
    if one is None or two is None or not (one.beside or two.beside):
        return []
    if not _beside_each_other(one, two):
        told, other = (one, two) if one.beside else (two, one)
        said = f"{told.hand} graded blind; {other.hand}'s visit does not say so, and could be read here once it was in."
        return [Line(said, "open")]
    first, last = sorted((one, two), key=lambda each: each.at)
    if _opened_before(first, last):
        return [Line(f"Not blind: {first.hand}'s visit had opened by itself before {last.hand}'s came in.", "open")]
    lines = [
        Line("Graded blind: on this page neither could see the other's visit before both were handed over.", "strong")
    ]
    for each in (one, two):
        if each.versions > 1 and each.since > last.at:
            said = f"{each.hand}'s visit was corrected after both were in; what is compared is its newest wording, not blind."
            lines.append(Line(said, "open"))
    return lines


def blind_to_each_other(one: Graded | None, two: Graded | None) -> bool:
    """Whether neither of two hands could see the other's visit on this page before its own was in."""
    if one is None or two is None or not _beside_each_other(one, two):
        return False
    return not _opened_before(*sorted((one, two), key=lambda each: each.at))


def _beside_each_other(one: Graded, two: Graded) -> bool:
    return same_name(one.beside, two.hand) and same_name(two.beside, one.hand)


def _opened_before(first: Graded, last: Graded) -> bool:
    reader = READER.get()
    return reader is not None and last.at >= first.at + reader.opens_after


def _moment(at: datetime) -> str:
    here = at.astimezone()
    return f"{phrases.day(here.date())} at {here:%H:%M}"
