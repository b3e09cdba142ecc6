"""What is due, a day's horses, what several horses show alike, and how often what was promised came true.

In: the records. Out: /diary, /day-sheet, /yard, /track.
Not here: counting (records), wording (rendering).
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, Response

from reasoner.page.pages import page
from reasoner.page.pictures import alone
from reasoner.page.rows import parts_of
from reasoner.page.served import Served, Serving
from reasoner.page.who import Keeper
from reasoner.records import cases
from reasoner.records.day_sheet import MOST, sheets_of
from reasoner.records.diary import Due, diary_of
from reasoner.records.reweigh import proposals_of
from reasoner.records.track import VIEWS, Track, track_of
from reasoner.records.yard import settings_of, yard_view
from reasoner.rendering import phrases
from reasoner.rendering.certainty_picture import certainty_picture
from reasoner.rendering.day_sheet_text import sheet_lines
from reasoner.rendering.diary_ics import diary_ics
from reasoner.rendering.diary_text import DRAWN_FROM, awaited_words, by_whom, late, who
from reasoner.rendering.track_text import track_lines
from reasoner.rendering.yard_text import yard_lines
from reasoner.store.names import folded

router = APIRouter()
#: Days ahead that the diary shows unless asked otherwise, and how long overdue a horse may be to be that day's (own settings,
#: the same as on the command line).
AHEAD, OVERDUE = 14, 14
Name = Annotated[str, Query(max_length=200)]


@router.get("/diary", response_class=HTMLResponse)
def diary(who_asks: Keeper, served: Serving, days: Annotated[int, Query(ge=0, le=400)] = AHEAD) -> HTMLResponse:
    """Which horses are to be seen again, overdue first."""
    today, words = served.now().date(), served.ready.book.vocabulary
    with served.store.reading() as connection:
        dues = diary_of(connection, served.ready.book, until=today + timedelta(days=days))
    rows = [
        {
            "visit": due.visit, "who": who(due), "day": f"{phrases.day(due.day)}{late(due, today)}", "late": due.day < today,
            "seen": f"last seen {phrases.day(due.visit.day)}{by_whom(due)}", "level": due.visit.level,
            "ends": phrases.day(due.word_ends) if due.word_ends else "", "agreed": [step.words for step in due.steps],
            "awaited": [awaited_words(one, words) for one in due.awaited],
        }
        for due in dues
    ]  # fmt: skip
    overdue = sum(due.day < today for due in dues)
    return page("diary.html", who=who_asks, rows=rows, overdue=overdue, days=days, drawn_from=DRAWN_FROM,
                today=phrases.day(today))  # fmt: skip


@router.get("/diary.ics")
def calendar(who_asks: Keeper, served: Serving) -> Response:
    """What is due, as any calendar reads it."""
    with served.store.reading() as connection:
        book = served.ready.book
        text = diary_ics(diary_of(connection, book), book.vocabulary, served.now().date(), book.scales.reminders)
    return Response(
        text, media_type="text/calendar", headers={"Content-Disposition": 'attachment; filename="diary.ics"'}
    )


@router.get("/day-sheet", response_class=HTMLResponse)
def day_sheet(who_asks: Keeper, served: Serving, on: date | None = None, yard: Name = "") -> HTMLResponse:
    """A day's horses, to print and take along: what was agreed, what to grade again, what was not looked at last time."""
    day, words = on or served.now().date() + timedelta(days=1), served.ready.book.vocabulary
    with served.store.reading() as connection:
        dues = [
            due
            for due in diary_of(connection, served.ready.book, until=day)
            if not yard or folded(yard) in folded(due.visit.yard)
        ]
        long = [due for due in dues if due.day < day - timedelta(days=OVERDUE) and due.why != "call"]
        sheets = list(
            sheets_of(
                connection, [due for due in dues if due not in long], served.ready, served.store.place, day, most=MOST
            )
        )
    return page(
        "day_sheet.html", who=who_asks, day=day.isoformat(), yard=yard, long=[_in_a_line(due, day) for due in long],
        overdue=OVERDUE, parts=parts_of(sheet_lines(sheets, day, words, ""), [who(sheet.due) for sheet in sheets]),
    )  # fmt: skip


@router.get("/yard", response_class=HTMLResponse)
def yard(who_asks: Keeper, served: Serving, name: Name = "", since: date | None = None) -> HTMLResponse:
    """What no single visit shows: what several horses show alike."""
    book, shown = served.ready.book, served.store.place.shown
    settings = settings_of(book.scales)
    with served.store.reading() as connection:
        view = yard_view(connection, book, name=name, since=since, shown=shown)
    lines = yard_lines(
        served.store.place, view, book, settings, name=name, since=phrases.day(since) if since else "", full=True
    )
    return page(
        "yard.html",
        who=who_asks,
        name=name,
        since=since.isoformat() if since else "",
        parts=parts_of(lines, unsaid=served.store.place.shown),
    )


@router.get("/track", response_class=HTMLResponse)
def track(who_asks: Keeper, served: Serving, examiner: Name = "", since: date | None = None) -> HTMLResponse:
    """For each rule, cause and action how often its promises came true; nothing where there are too few."""
    book = served.ready.book
    settings, found = cases.settings_of(book.scales), _track(served, examiner, since)
    lines = track_lines(served.store.place, found, proposals_of(found, book, settings), VIEWS, book, settings, examiner=examiner,
                        since=phrases.day(since) if since else "", full=True)  # fmt: skip
    return page("track.html", who=who_asks, examiner=examiner, since=since.isoformat() if since else "",
                parts=parts_of(lines, unsaid=served.store.place.shown),
                picture=any(step.horses for step in found.certainty))  # fmt: skip


@router.get("/track/certainty.svg")
def certainty(who_asks: Keeper, served: Serving, examiner: Name = "", since: date | None = None) -> Response:
    """Certainty beside outcome, as a picture."""
    settings = cases.settings_of(served.ready.book.scales)
    return alone(certainty_picture(_track(served, examiner, since).certainty, settings.interval))


def _track(served: Served, examiner: str, since: date | None) -> Track:
    book, shown = served.ready.book, served.store.place.shown
    with served.store.reading() as connection:
        steps = cases.steps_of(connection, book, examiner=examiner, since=since, shown=shown)
    return track_of(steps, cases.settings_of(book.scales))


def _in_a_line(due: Due, day: date) -> tuple[str, str, str]:
    return due.visit.horse, who(due), f"{phrases.day(due.day)}{late(due, day)}"
