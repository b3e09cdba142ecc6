"""Photographs of a visit: taken in, listed, shown, their words mended.

In: a picture from a telephone, what it shows, a caption. Out: the picture as it is kept: written anew, with nothing else in it.
Not here: decoding (store.photographs), reports.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from pydantic import BaseModel

from reasoner.page.looking import NOT_THERE, Uid, visit_seen
from reasoner.page.pages import page
from reasoner.page.served import Serving
from reasoner.page.signing_as import name_of
from reasoner.page.who import Asking, Keeper, Who
from reasoner.page.words import wording
from reasoner.problems import BadInput, Problem, register
from reasoner.records.changing import ours_to_say
from reasoner.rendering import phrases
from reasoner.rendering.held_words import captions_that_leave, what_to_do
from reasoner.rendering.photographs import picture_of
from reasoner.store.captions import said_of_photographs, say_of_photograph
from reasoner.store.enclosing import Enclosed, enclose_photograph, enclosed_with, photograph_of, with_bytes
from reasoner.store.photographs import LEFT_OUT, SHOWS

router = APIRouter()
MEND_BELOW = "Mend its words below."
register({"PG71": "words of a photograph that nobody stands behind"})


class Photograph(BaseModel):
    """A photograph kept with a visit. `at` is where it is shown; `shows` one of the known words, or empty."""

    photograph: str
    name: str
    shows: str
    caption: str
    at: str
    new: bool


@router.get("/visits/{visit}/photographs", response_class=HTMLResponse)
def every(visit: Uid, served: Serving, who: Asking) -> HTMLResponse:
    """The photographs of a visit, and a form for another."""
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
        every = enclosed_with(connection, served.store.place, visit)
        said = said_of_photographs(connection, visit)
    found = [one for one in every if one.kind == "photo" and one.stands and _may_see(who, one)]
    words = wording(served.folders)
    held = {one.uid: what_to_do(one.caption, words, MEND_BELOW) for one in found} if who.keeps else {}
    return page(
        "photographs.html", visit=known, day=phrases.day(known.day), shows=(*SHOWS, LEFT_OUT), who=who, held=held, said=said,
        photographs=found if who.keeps else captions_that_leave(found, words), nearby=served.nearby,
        name=name_of(who, served, ""),
    )  # fmt: skip


@router.post(
    "/visits/{visit}/photographs",
    response_model=None,
    responses={200: {"model": Photograph}, 201: {"model": Photograph}},
)
def take_in(
    visit: Uid, served: Serving, who: Keeper, request: Request, photograph: Annotated[UploadFile, File()],
    shows: Annotated[str, Form(max_length=60)] = "", caption: Annotated[str, Form(max_length=400)] = "",
) -> Response:  # fmt: skip
    """Keep a photograph with a visit. 201 kept now, or something else is said of it now; 200 the very same is kept already;
    422 no picture, too large a one, or a caption with words that are not ours to say. An empty caption, and "other", which the
    form holds ready, say nothing of a photograph that is kept already."""
    ours_to_say(caption, wording(served.folders), "the caption")
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
    data = photograph.file.read()
    kept = enclose_photograph(
        served.store,
        known,
        photograph.filename or "",
        data,
        shows=shows if shows.strip() != "other" else "",
        caption=caption if caption.strip() else None,
        by=who.name,
    )
    if "text/html" in request.headers.get("accept", ""):
        return RedirectResponse(f"/visits/{visit}/photographs", 303)
    return JSONResponse(_told(kept).model_dump(), 201 if kept.new else 200)


@router.post("/visits/{visit}/photographs/{photograph}/words", response_model=None)
def mend(
    visit: Uid, photograph: Uid, served: Serving, who: Keeper, request: Request,
    shows: Annotated[str, Form(max_length=60)] = "", caption: Annotated[str, Form(max_length=400)] = "",
    by: Annotated[str, Form(max_length=200)] = "",
) -> Response:  # fmt: skip
    """Say something else of a photograph that is kept: what was said before stays beside it, with who and when. 200 as it stands
    now; 404 no such photograph of this visit; 422 words that are not ours to say."""
    ours_to_say(caption, wording(served.folders), "the caption")
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
    name = name_of(who, served, by)
    if not name:
        raise BadInput([Problem("your name", 0, "PG71", "nobody said whose words these are.", "Write your name.")])
    kept = say_of_photograph(served.store, known, photograph, shows=shows, caption=caption, by=name)
    if kept is None:
        raise NOT_THERE
    if "text/html" in request.headers.get("accept", ""):
        return RedirectResponse(f"/visits/{visit}/photographs#of-{kept.uid}", 303)
    return JSONResponse(_told(kept).model_dump())


@router.get("/photographs/{photograph}", response_class=Response, responses={200: {"content": {"image/jpeg": {}}}})
def picture(photograph: Uid, served: Serving, who: Asking) -> Response:
    """The photograph itself."""
    with served.store.reading() as connection:
        found = photograph_of(connection, served.store.place, photograph)
        if found is None:
            raise NOT_THERE
        visit_seen(connection, who, found[1])
        if not _may_see(who, *_same_picture(found[0], enclosed_with(connection, served.store.place, found[1]))):
            raise NOT_THERE
        (one,) = with_bytes(connection, served.store.place, [found[0]])
    return Response(picture_of(one), media_type="image/jpeg")


def _may_see(who: Who, *rows: Enclosed) -> bool:
    """Whether a photograph is shown to who asks: one that is left out of reports is not the owner's to see here either."""
    return who.keeps or not any(one.stands and one.shows == LEFT_OUT for one in rows)


def _same_picture(one: Enclosed, every: Sequence[Enclosed]) -> list[Enclosed]:
    """The rows of the same photograph, whatever was said of it when."""
    return [other for other in every if (other.original or other.sha256) == (one.original or one.sha256)]


def _told(one: Enclosed) -> Photograph:
    return Photograph(
        photograph=one.uid,
        name=one.name,
        shows=one.shows,
        caption=one.caption,
        at=f"/photographs/{one.uid}",
        new=one.new,
    )
