"""The horses of the records, and one of them over its visits.

In: the records. Out: /horses, /horses/{horse}, and what the owner agrees to kept.
Not here: one visit, comparing (records.progress), drawing.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, RedirectResponse

from reasoner.page.blind import waiting_lines
from reasoner.page.looking import Uid, horse_seen
from reasoner.page.pages import page
from reasoner.page.pictures import body_map_of, inside
from reasoner.page.rows import parts_of, rows_of
from reasoner.page.served import Served, Serving
from reasoner.page.signing_as import name_of
from reasoner.page.who import Asking, Keeper, Who
from reasoner.problems import BadInput, Problem, register
from reasoner.records.before import held_of
from reasoner.records.diary import Due, diary_of
from reasoner.records.may_go import spelt_as_known
from reasoner.records.progress import Progress, progress_of
from reasoner.records.still_to_come import said_by_now
from reasoner.rendering import phrases
from reasoner.rendering.diary_text import DRAWN_FROM, NO_CALL, late
from reasoner.rendering.earlier_words import earlier_agreed_lines
from reasoner.rendering.progress_picture import LEGEND, panels, the_rest
from reasoner.rendering.progress_text import progress_lines
from reasoner.rendering.records_care_text import agreed_lines, in_short
from reasoner.rendering.records_text import visit_head
from reasoner.store.consents import WHAT, Agreed, agree, standing
from reasoner.store.earlier_words import agreed_earlier
from reasoner.store.names import folded
from reasoner.store.reading import KnownVisit, horses, visits
from reasoner.store.rested_on import rested_on

register({"PG39": "a day that does not read"})

router = APIRouter()
Text = Annotated[str, Form(max_length=400)]
STOOD = "{call} to the veterinarian stood then; ask what was said."
#: Calls that stand first in the list, whatever is due.
PRESSING = ("emergency", "prompt")


@router.get("/horses", response_class=HTMLResponse)
def every(who: Asking, served: Serving, find: Annotated[str, Query(max_length=100)] = "") -> HTMLResponse:
    """Every horse that this person may see, a pressing call and then the longest due first; narrowed to a name, a yard or a
    year."""
    today = served.now().date()
    with served.store.reading() as connection:
        seen = [one for one in horses(connection) if who.sees(one.uid)]
        due = {one.visit.horse: one for one in diary_of(connection, served.ready.book)}
        last = {one.horse: one for one in visits(connection)}
        said = standing(connection, day=today)
    wanted = folded(find)
    shown = [one for one in seen if all(w in folded(f"{one.name} {one.yard} {one.born}") for w in wanted.split())]
    rows = [
        {
            "uid": one.uid, "name": one.name, "yard": one.yard, "born": one.born, "visits": one.visits,
            "last": phrases.day(one.last) if one.last else "", "due": _due(due.get(one.uid), last.get(one.uid), today),
            "agreed": in_short(said.get(one.uid, ()), today).removeprefix("; "),
            "order": (_level(due.get(one.uid), last.get(one.uid)) not in PRESSING,
                      due[one.uid].day if one.uid in due else date.max),
        }
        for one in shown
    ]  # fmt: skip
    rows.sort(key=lambda row: (row["order"], str(row["name"]), str(row["yard"])))
    return page("horses.html", who=who, rows=rows, find=find, several=len(seen), drawn_from=DRAWN_FROM)


@router.get("/horses/{horse}", response_class=HTMLResponse)
def one(who: Asking, served: Serving, horse: Uid) -> HTMLResponse:
    """One horse: its visits, what is due, what was agreed, and its course in words and pictures."""
    return _horse(who, served, horse)


@router.post("/horses/{horse}/agreed")
def agreed(
    who: Keeper, served: Serving, horse: Uid, what: Text, by: Text, given: Annotated[bool, Form()],
    until: Annotated[str, Form(max_length=10)] = "", note: Text = "", on: Annotated[str, Form(max_length=10)] = "",
) -> RedirectResponse:  # fmt: skip
    """Keep what the owner agrees to or refuses."""
    with served.store.reading() as connection:
        known = horse_seen(connection, who, horse)
    today = served.now().date()
    said = Agreed(
        what=what, given=given, who=by, on=_day(on, "said on") or today, until=_day(until, "until"), note=note
    )
    said_by_now(said.on, today, "said on")
    spelt_as_known(said, served.ready.book.scales.readers.values(), "who said so, or whom it names")
    agree(served.store, known, said)
    return RedirectResponse(f"/horses/{horse}#agreed", 303)


def _horse(who: Who, served: Served, uid: str) -> HTMLResponse:
    today, words = served.now().date(), served.ready.book.vocabulary
    with served.store.reading() as connection:
        known = horse_seen(connection, who, uid)
        every = visits(connection, horse=uid)
        due = next((one for one in diary_of(connection, served.ready.book) if one.visit.horse == uid), None)
        said = standing(connection, uid, day=today).get(uid, ())
        earlier = agreed_earlier(connection, uid, today)
        progress = (
            progress_of(known, held_of(connection, known), served.ready.book, rested_on(connection, uid))
            if every
            else None
        )
        waits = waiting_lines(connection, uid, known.name) if who.keeps else []
    return page(
        "horse.html", who=who, horse=known, waits=rows_of(waits), due=_due(due, every[-1] if every else None, today),
        agreed=rows_of(list(agreed_lines(said, today))[2:]),
        earlier=rows_of(list(earlier_agreed_lines(earlier, today))[2:]),
        can_be_agreed=WHAT, today=today.isoformat(), name=name_of(who, served, ""), nearby=served.nearby,
        visits=[{"uid": v.uid, "head": visit_head(v), "level": v.level} for v in reversed(every)],
        parts=parts_of(progress_lines(progress, served.ready.book, at_the_desk=True))[1:] if progress and who.keeps else [],
        legend=" ".join(LEGEND), rest=the_rest(progress, words) if progress and every[1:] else "",
        panels=[inside(svg) for _, svg in panels(progress, words)] if progress and every[1:] else [],
        maps=_maps(progress) if progress else [], left_is=f"{phrases.SCALE_IS} {phrases.LEFT_IS}",
    )  # fmt: skip


def _maps(progress: Progress) -> list[tuple[str, object]]:
    """The body map of the first visit and of the last."""
    words, every = progress.comparing.book.vocabulary, progress.comparing.visits
    ends = (every[0], every[-1]) if len(every) > 1 else every
    return [
        (phrases.day(visit.day), body_map_of(visit, words, f"{progress.horse.name}, {phrases.day(visit.day)}")) for visit in ends
    ]  # fmt: skip


def _due(due: Due | None, last: KnownVisit | None, today: date) -> dict[str, str]:
    """What is due in words, the call that stood at the last visit, and how pressing both are; empty where there is neither."""
    level = _level(due, last)
    if due is None and level == NO_CALL:
        return {}
    overdue = due is not None and due.day < today
    return {
        "words": f"Due {phrases.day(due.day)}{late(due, today)}" if due is not None else "",
        "look": "alarm" if level in PRESSING else "note" if overdue or level != NO_CALL else "",
        "call": "" if level == NO_CALL else STOOD.format(call=phrases.a_call(level).capitalize()),
    }  # fmt: skip


def _level(due: Due | None, last: KnownVisit | None) -> str:
    """The call that stands: of the visit that what is due is drawn from, for one that looked at nothing ends none."""
    return due.visit.level if due is not None else last.level if last is not None else NO_CALL


def _day(text: str, what: str) -> date | None:
    """A day typed into a form; None where nothing was. Raises BadInput (PG39)."""
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        hint = "Write it as 2026-04-18."
        raise BadInput([Problem(what, 0, "PG39", f'"{text}" is no day.', hint)]) from None
