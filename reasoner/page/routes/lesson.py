"""A kept visit told as a lesson, on the screen and as a sheet for paper.

In: a kept visit, judged by today's rules; which words. Out: /visits/{visit}/lesson and /visits/{visit}/lesson/sheet.pdf.
Not here: what a teacher would say (teaching.lesson), its wording (rendering.lesson_told).
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Annotated

from fastapi import APIRouter, HTTPException, Query
from fastapi.responses import HTMLResponse, Response

from reasoner.page.lessons import lesson_told
from reasoner.page.looking import Looked, Uid, looked_at
from reasoner.page.pages import page
from reasoner.page.rows import rows_of
from reasoner.page.served import Served, Serving
from reasoner.page.who import Keeper
from reasoner.rendering import phrases
from reasoner.rendering.beside_lines import signing_lines
from reasoner.rendering.lesson_page import lesson_html
from reasoner.rendering.lesson_shapes import Told, Words
from reasoner.rendering.pdf import Paper, pdf_of

router = APIRouter()
Chosen = Annotated[Words, Query()]
WAITS = "This visit waits for a countersignature. Until then its lesson is for the screen, and no sheet leaves."


@router.get("/visits/{visit}/lesson", response_class=HTMLResponse)
def lesson(who: Keeper, served: Serving, visit: Uid, words: Chosen = "plain") -> HTMLResponse:
    """The case as a teacher would tell it, each step opening to its rule, what that rests on, and the anatomy."""
    looked = _looked(who, served, visit)
    return page(
        "lesson.html", who=who, visit=looked.known, day=phrases.day(looked.known.day), told=_told(looked, served, words),
        signing=rows_of(signing_lines(looked.signing)), waits=looked.waits,
    )  # fmt: skip


@router.get("/visits/{visit}/lesson/sheet.pdf")
def sheet(who: Keeper, served: Serving, visit: Uid, words: Chosen = "plain", paper: Paper = "A4") -> Response:
    """The same as a sheet for paper; none is made of what waits for a countersignature."""
    looked = _looked(who, served, visit)
    if looked.waits:
        raise HTTPException(409, WAITS)
    horse = re.sub(r"[^a-z0-9]+", "-", looked.known.name.lower()).strip("-") or "horse"
    name = f"{horse}-{looked.known.day.isoformat()}-lesson.pdf"
    return Response(
        _laid(lesson_html(_told(looked, served, words)), paper), media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )  # fmt: skip


@lru_cache(maxsize=4)
def _laid(html: str, paper: Paper) -> bytes:
    """A sheet laid out: looked at and then printed, it is laid out once."""
    return pdf_of(html, paper)


def _looked(who: Keeper, served: Served, visit: str) -> Looked:
    with served.store.reading() as connection:
        return looked_at(connection, served, who, visit)


def _told(looked: Looked, served: Served, words: Words) -> Told:
    """The lesson of what the rules say by themselves; worked out beside the page, where it can be."""
    seen = looked.own.visit
    return served.worked_out(lesson_told, seen, words)
