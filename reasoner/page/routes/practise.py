"""Practice: a case that is uncovered look by look, what one thinks of it, and at the end every choice beside the reasoner's.

In: plain forms. Out: /practise and what hangs from it.
Not here: sessions (page.practice), what a choice does (teaching). Everything that changes something answers with the way back to
the page, so that going back or loading anew sends nothing twice; what a second tap sends changes nothing."""

from __future__ import annotations

import random
import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, HTTPException, Path, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from reasoner.page.pages import page
from reasoner.page.practice import forms
from reasoner.page.practice.handed import left_with_the_class, put_out
from reasoner.page.practice.sessions import MOST_OPEN, Known, NotThere, Sessions
from reasoner.page.practice.sheet import counted_sheet, judged_soon, marks_of
from reasoner.page.practice.shown import title_of, view_of
from reasoner.page.rows import parts_of
from reasoner.page.served import Served, Serving
from reasoner.page.who import OWN_MACHINE, Keeper
from reasoner.problems import BadInput, Problem, register
from reasoner.rendering import phrases
from reasoner.rendering.handed_in_text import handed_in_lines, other_rules
from reasoner.rendering.practise_marks_text import coming_words, score_words, skill_words
from reasoner.rendering.practise_text import NOT_A_HORSE
from reasoner.teaching.handed_in import LONGEST_NAME
from reasoner.teaching.making import Case
from reasoner.teaching.next_case import difficulties, made_case, recommended
from reasoner.teaching.practice_record import Record
from reasoner.teaching.session import NONE, Session
from reasoner.teaching.unnamed import kept_case

register({"PG62": "a visit of the records that cannot be practised on"})

router = APIRouter()
NOT_THERE = HTTPException(404, "You have no practice case of that name.")
MADE, KEPT = "made", "kept"
SEEN = "seen"
#: Where cases fall by chance; nobody can tell the next from the last.
CHANCE: random.Random = random.SystemRandom()
Practice = Annotated[str, Path(pattern="^[0-9a-f]{32}$")]
Word = Annotated[str, Form(max_length=200)]
Words = Annotated[list[Annotated[str, Form(max_length=200)]], Form(max_length=100)]
Find = Annotated[str, Query(max_length=80)]


@router.get("/practise", response_class=HTMLResponse)
def start(who: Keeper, served: Serving) -> HTMLResponse:
    """Where a case is begun, or taken up."""
    return start_page(who, served)


@router.post("/practise")
def begin(
    who: Keeper, served: Serving, tap: Annotated[str, Form(pattern="^[0-9a-f]{32}$")],
    origin: Annotated[str, Form(pattern=f"^({MADE}|{KEPT})$")] = MADE, difficulty: Word = "",
) -> Response:  # fmt: skip
    """Begin a case. Two taps on one button begin one."""
    mine = sessions_of(who, served)
    try:
        uid = mine.begin(tap, lambda: _case(served, mine.record(), origin, difficulty))
    except BadInput as bad:
        return start_page(who, served, bad.problems, 422)
    return RedirectResponse(f"/practise/{uid}", 303)


@router.get("/practise/record", response_class=HTMLResponse)
def record(who: Keeper, served: Serving) -> HTMLResponse:
    """The own record: progress by skill, what comes again when, the cases that have ended."""
    mine = sessions_of(who, served)
    found = mine.record()
    return page(
        "practise_record.html", who=who, count=phrases.counted(len(found.done), "case"), skills=list(skill_words(found)),
        scores=[phrases.sentence(words) for words in score_words(found, served.now())],
        sessions=[
            {"uid": one.uid, "title": _title(one), "day": _day(one.ended, served),
             "points": one.sheet["points"] if one.sheet else None, "handed": one.handed}
            for one in mine.every(over=True)
        ],
    )  # fmt: skip


@router.get("/practise/{practice}", response_class=HTMLResponse)
def session(who: Keeper, served: Serving, practice: Practice, find: Find = "") -> HTMLResponse:
    """A case as far as it has been uncovered; its marks once it has ended."""
    known = held(lambda: sessions_of(who, served).one(practice))
    if known.ended is not None:
        return _over(who, served, practice, known)
    return _session(who, served, practice, known, find=find)


@router.post("/practise/{practice}/look")
def look(who: Keeper, served: Serving, practice: Practice, look: Word, find: Word = "") -> Response:
    """Make a look."""
    return _changed(who, served, practice, lambda one: forms.looked(one, look, served.ready), SEEN, find=find)


@router.post("/practise/{practice}/think")
def think(
    who: Keeper, served: Serving, practice: Practice, cause: Words = [], sure: Words = [],  # noqa: B006
    new_cause: Word = "", new_side: Word = "", new_sure: Word = "",
) -> Response:  # fmt: skip
    """Say what one thinks now: every cause said before with its certainty, and one more."""
    said = forms.Said(causes=tuple(cause), sure=tuple(sure), new_cause=new_cause, new_side=new_side, new_sure=new_sure)
    return _changed(who, served, practice, lambda one: forms.thinks(one, said, served.ready), "think", said=said)


@router.post("/practise/{practice}/refer")
def refer(who: Keeper, served: Serving, practice: Practice, degree: Word = "") -> Response:
    """Say whether and how soon the veterinarian is called."""
    return _changed(who, served, practice, lambda one: forms.refers(one, degree, served.ready), "refer")


@router.post("/practise/{practice}/step")
def step(who: Keeper, served: Serving, practice: Practice, step: Word = "", side: Word = "") -> Response:
    """Add a step to the plan."""
    said = forms.Said(step=step, step_side=side)
    return _changed(who, served, practice, lambda one: forms.plans(one, step, side, served.ready), "plan", said=said)


@router.post("/practise/{practice}/drop")
def drop(who: Keeper, served: Serving, practice: Practice, step: Word) -> Response:
    """Take a step back."""
    return _changed(who, served, practice, lambda one: forms.drops(one, step), "plan")


@router.get("/practise/{practice}/end", response_class=HTMLResponse)
def before_the_end(who: Keeper, served: Serving, practice: Practice) -> Response:
    """What was said, once more, before it can no longer be changed."""
    known = held(lambda: sessions_of(who, served).one(practice))
    if known.session is None:
        return RedirectResponse(f"/practise/{practice}", 303)
    view = replace(view_of(known.session, served.ready), title=_title(known))
    said = dict(view.degrees).get(view.referral, "")
    return page("practise_end.html", who=who, practice=practice, view=view, said=said, unsaid=dict(view.degrees)[NONE],
                handed=known.handed)  # fmt: skip


@router.post("/practise/{practice}/end")
def end(who: Keeper, served: Serving, practice: Practice) -> RedirectResponse:
    """End it, hand it in where a teacher waits for it, and mark it: from here on nothing is changed."""
    mine = sessions_of(who, served)
    held(lambda: mine.end(practice))
    known = held(lambda: mine.one(practice))
    if known.handed is not None:
        _handed_in(mine, served, practice)
    if known.handed is None or known.handed.marks:
        _sheet(mine, served, practice, known)
    return RedirectResponse(f"/practise/{practice}", 303)


@router.post("/practise/{practice}/put-away")
def put_away(who: Keeper, served: Serving, practice: Practice) -> RedirectResponse:
    """Put an open case away without an end: it is not marked, and counts nowhere."""
    held(lambda: sessions_of(who, served).put_away(practice))
    return RedirectResponse("/practise", 303)


# -- how each is answered ----------------------------------------------------------------------------------------------------


def sessions_of(who: Keeper, served: Served) -> Sessions:
    """The sessions of who asks."""
    return Sessions(served.store.place, served.ready.book, who, served.now)


def held(asked: Callable[[], Any]) -> Any:
    """What was asked of sessions; 404 where there is none of that name, or it is somebody else's."""
    try:
        return asked()
    except NotThere:
        raise NOT_THERE from None


def _changed(
    who: Keeper, served: Served, practice: str, choice: Callable[[Session], Session], at: str, *, find: str = "",
    said: forms.Said | None = None,
) -> Response:  # fmt: skip
    """The way back to the page at the place of the choice; where it cannot be made the page at once, with why and what was
    typed."""
    mine = sessions_of(who, served)
    try:
        session = held(lambda: mine.change(practice, choice))
    except BadInput as bad:
        known = held(lambda: mine.one(practice))
        if known.ended is not None:  # in another tab, meanwhile
            return _over(who, served, practice, known)
        return _session(who, served, practice, known, bad.problems, find=find, said=said)
    if at == SEEN:
        judged_soon(practice, session, served)
    return RedirectResponse(f"/practise/{practice}{f'?find={quote(find)}' if find else ''}#{at}", 303)


def _session(
    who: Keeper, served: Served, practice: str, known: Known, problems: tuple[Problem, ...] | list[Problem] = (), *,
    find: str = "", said: forms.Said | None = None,
) -> HTMLResponse:  # fmt: skip
    assert known.session is not None
    view = replace(view_of(known.session, served.ready, find), title=_title(known))
    handed, stamp = known.handed, served.ready.book.stamp
    other = other_rules(handed.rules, stamp) if handed is not None and handed.rules != stamp else ""
    return page(
        "practise_session.html", 422 if problems else 200, who=who, practice=practice, view=view, problems=problems,
        find=find, said=said if said is not None and problems else forms.Said(), typed=forms.typed(view, said),
        handed=handed, other=phrases.sentence(other) if other else "",
    )  # fmt: skip


def _over(who: Keeper, served: Served, practice: str, known: Known) -> HTMLResponse:
    """The end of a case: its marks; of one that was handed out that it is handed in, and marks where the teacher lets them be
    seen."""
    mine, told, untold, sheet = sessions_of(who, served), [], "", None
    if known.handed is not None:
        put, untold = _handed_in(mine, served, practice)
        told = parts_of(handed_in_lines(known.handed.work, known.handed.file, known.handed.marks, put=put))
    if known.handed is None or known.handed.marks:
        sheet = _sheet(mine, served, practice, known)
    again = phrases.day(datetime.fromisoformat(sheet["again"]).date()) if sheet and sheet["again"] else ""
    return page("practise_marks.html", who=who, practice=practice, sheet=sheet, again=again, told=told, untold=untold)


def _handed_in(mine: Sessions, served: Served, practice: str) -> tuple[bool, str]:
    """Whether the answer lies where the class takes answers in; where it belongs there and cannot be put, why not."""
    try:
        mine.hand_in(practice, lambda work: left_with_the_class(work, served.store.place))
    except BadInput as bad:
        return False, " ".join(phrases.sentence(problem.sentence) for problem in bad.problems)
    handed = mine.one(practice).handed
    return handed is not None and handed.put, ""


def _sheet(mine: Sessions, served: Served, practice: str, known: Known) -> dict[str, Any]:
    found: dict[str, Any] = held(
        lambda: mine.sheet(
            practice,
            lambda session: marks_of(practice, session, served),
            lambda session, marks, before, at: counted_sheet(
                session, marks, before, at, served, counts=known.handed is None
            ),
        )
    )
    return found


def start_page(
    who: Keeper, served: Served, problems: list[Problem] | tuple[Problem, ...] = (), code: int = 200, *, name: str = ""
) -> HTMLResponse:
    """Where a case is begun, with what could not be done; `name` is what was written where a case that was handed out asks for
    one."""
    mine = sessions_of(who, served)
    found, opened = mine.record(), mine.every(over=False, most=MOST_OPEN)
    begun = (
        {one.handed.work.seal: one.uid for one in (*mine.every(over=True), *opened) if one.handed} if who.uid else {}
    )
    return page(
        "practise.html", code, who=who, problems=problems, tap=secrets.token_hex(16), caution=NOT_A_HORSE,
        difficulties=difficulties(served.ready), recommended=recommended(served.ready, found), made=MADE, kept=KEPT,
        sessions=len(found.done), again=phrases.listed(coming_words(found, served.now())), most=MOST_OPEN,
        open=[
            {"uid": one.uid, "title": _title(one) if one.session else "", "day": _day(one.begun, served),
             "looks": phrases.counted(len(one.session.looks), "look") if one.session else ""}
            for one in opened
        ],
        put_out=[{"file": file, "title": case.title, "begun": begun.get(case.seal, "")}
                 for file, case in put_out(served.store.place)],
        name=name or ("" if who.name == OWN_MACHINE else who.name), fixed=bool(who.uid), longest=LONGEST_NAME,
    )  # fmt: skip


def _case(served: Served, before: Record, origin: str, difficulty: str) -> Case:
    if origin == MADE:
        return made_case(served.ready, before, difficulty, CHANCE, served.now())
    try:
        with served.store.reading() as connection:
            return kept_case(connection, "", served.ready.book, CHANCE, served.store.place)
    except BadInput as bad:  # what stands in a visit, and where, is told to nobody who is to practise on it
        none = all(problem.code == "TE56" for problem in bad.problems)
        why = (
            "no visit is kept here that can be a case."
            if none
            else "the visit that was drawn no longer reads by these rules."
        )
        raise BadInput([Problem("practise", 0, "PG62", why, "Take a made case.")]) from None


def _title(known: Known) -> str:
    """What a session is called: a case that was handed out as its teacher called it."""
    if known.handed is not None:
        return known.handed.work.title
    if known.session is not None:
        return title_of(known.session)
    return known.sheet["title"] if known.sheet else "Practice case"


def _day(moment: datetime | None, served: Served) -> str:
    if moment is None:
        return ""
    local = moment.astimezone(served.now().tzinfo)
    return f"{phrases.day(local.date())}, {local:%H:%M}"
