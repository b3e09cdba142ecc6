"""What people tell of a kept visit at the desk: their own judgement, what was really done, a countersignature, a correction.

In: plain forms. Out: rows beside the visit, by the same checks as on the command line; then the page of the visit again.
Not here: whether it may be told (records.telling), changing the plan (changing).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse, RedirectResponse

from reasoner.page.looking import Uid, file_of, visit_seen
from reasoner.page.pages import page
from reasoner.page.rows import hint_here
from reasoner.page.served import Served, Serving
from reasoner.page.signing_as import name_of
from reasoner.page.who import Keeper, Practitioner, Who
from reasoner.page.words import wording
from reasoner.problems import BadInput, Problem
from reasoner.records.before import with_history
from reasoner.records.changing import ours_to_say
from reasoner.records.keeping import kept_of
from reasoner.records.telling import (
    NEEDS_A_REASON,
    conclusion_meant,
    may_countersign,
    step_meant,
    told_in_full,
    told_in_time,
)
from reasoner.rendering import phrases
from reasoner.rendering.kept_json import kept_json
from reasoner.rulebook.practice import ANSWERS
from reasoner.store import tables
from reasoner.store.afterwards import add_done, add_opinion, add_signature, signatures_of
from reasoner.store.naming import kept_spelling
from reasoner.store.reading import KnownVisit, answer_of, beside_of, text_of
from reasoner.store.saving import correct

router = APIRouter()
Short = Annotated[str, Form(max_length=200)]
Text = Annotated[str, Form(max_length=600)]


@router.post("/visits/{visit}/judged")
def judge(
    who: Keeper, served: Serving, visit: Uid, conclusion: Short, agrees: Annotated[bool, Form()], because: Text = "",
    by: Short = "",
) -> RedirectResponse:  # fmt: skip
    """Keep somebody's judgement of a conclusion beside the tool's. `conclusion` is its key, a stroke, and its side."""
    shown, name = served.store.place.shown, name_of(who, served, by)
    told_in_full(name, because, needed=True, shown=shown)
    ours_to_say(because, wording(served.folders), "the reason")
    key, _, side = conclusion.partition("/")
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
        meant, where = conclusion_meant(answer_of(connection, known.version, shown=shown), key, side, shown)
        name = kept_spelling(connection, tables.examiner, name)
    add_opinion(
        served.store, known.version, conclusion=meant, side=where, agrees=agrees, because=because.strip(), by=name
    )
    return RedirectResponse(f"/visits/{visit}#afterwards", 303)


@router.post("/visits/{visit}/told")
def told(
    who: Keeper, served: Serving, visit: Uid, step: Short, answer: Short, because: Text = "", by: Short = "",
    told_on: Annotated[str, Form(max_length=10)] = "",
) -> RedirectResponse:  # fmt: skip
    """Keep what became of a step. `step` is its key, a stroke, and its side; `by` who says so, mostly the owner."""
    shown, today = served.store.place.shown, served.now().date()
    if answer not in ANSWERS:
        raise BadInput([Problem("told", 0, "RE20", f'"{answer}" is no answer.', f"Answers: {', '.join(ANSWERS)}.")])
    told_in_full(by, because, needed=answer in NEEDS_A_REASON, shown=shown)
    key, _, side = step.partition("/")
    try:
        day = date.fromisoformat(told_on) if told_on else today
    except ValueError:
        raise BadInput([Problem("told on", 0, "RE27", f'"{told_on}" is no day.', "Write it as 2026-04-18.")]) from None
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
        told_in_time(day, known, today, "told on")
        meant, where = step_meant(connection, known, key, side, shown)
    add_done(
        served.store,
        known.version,
        step=meant,
        side=where,
        answer=answer,
        because=because.strip(),
        by=by.strip(),
        on=day,
    )
    return RedirectResponse(f"/visits/{visit}#afterwards", 303)


@router.post("/visits/{visit}/countersigned")
def countersign(who: Practitioner, served: Serving, visit: Uid, by: Short = "") -> RedirectResponse:
    """Put a name to the newest version of an apprentice's visit, by who answers for it."""
    shown, name = served.store.place.shown, name_of(who, served, by)
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
        signed_by = [one.who for one in signatures_of(connection, known.version)]
    if may_countersign(known, name, signed_by, shown):
        add_signature(served.store, known.version, by=known.checked_by)
    return RedirectResponse(f"/visits/{visit}", 303)


@router.get("/visits/{visit}/correct", response_class=HTMLResponse)
def correcting(who: Keeper, served: Serving, visit: Uid) -> HTMLResponse:
    """The visit's file, to be corrected."""
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
        text = text_of(connection, known.version, shown=served.store.place.shown)
    return _to_correct(who, served, known, text.decode("utf-8", "replace"))


def _to_correct(
    who: Who,
    served: Served,
    known: KnownVisit,
    text: str,
    why: str = "",
    by: str = "",
    problems: Sequence[Problem] = (),
) -> HTMLResponse:
    told = [(p.sentence, hint_here(p.hint), p.line) for p in problems]
    return page("correct.html", 422 if told else 200, who=who, visit=known, day=phrases.day(known.day), text=text, why=why,
                name=by or name_of(who, served, ""), nearby=served.nearby, problems=told)  # fmt: skip


@router.post("/visits/{visit}/correct", response_model=None)
def corrected(
    who: Keeper,
    served: Serving,
    visit: Uid,
    text: Annotated[str, Form(max_length=200_000)],
    why: Text = "",
    by: Short = "",
) -> HTMLResponse | RedirectResponse:
    """Keep a new version, the old one stays as it is; or show what was written again, with what has to be mended in it."""
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
    data = text.replace("\r\n", "\n").encode()
    try:
        with served.store.reading() as connection:
            _, kept = kept_of(data, file_of(known), served.ready, served.folders, kept_json,
                              lambda one: with_history(connection, one, served.ready.book, known.part),
                              beside_of(connection, served.store.place, known.version))  # fmt: skip
        correct(served.store, visit, kept, by=name_of(who, served, by), why=why)
    except BadInput as bad:
        return _to_correct(who, served, known, text, why, by, bad.problems)
    return RedirectResponse(f"/visits/{visit}#versions", 303)
