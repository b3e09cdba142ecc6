"""Telephones that may come in, and people: the practitioner's list.

In: who is to come in. Out: codes (with a picture to point a camera at), sessions, ending them.
Not here: coming in (entering.py). People are added at the command line, where a password can be typed unseen.
"""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, HTTPException
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from reasoner.page.doors.codes import Code
from reasoner.page.doors.nearby import Doors
from reasoner.page.pages import page
from reasoner.page.served import Served, Serving
from reasoner.page.who import Practitioner
from reasoner.store.reading import horses

router = APIRouter()
Uid = Annotated[str, Form(pattern="^[0-9a-f]{32}$")]


@router.get("/telephones", response_class=HTMLResponse)
def telephones(served: Serving, who: Practitioner) -> HTMLResponse:
    """The code for the practitioner's own telephone, and who is in."""
    return _list(served, served.doors.codes.current() if served.doors is not None else None)


@router.post("/telephones/code", response_class=HTMLResponse)
def code_for(served: Serving, who: Practitioner, person: Uid) -> HTMLResponse:
    """A code for somebody on the list."""
    doors = _doors(served)
    found = doors.people.of_uid(person)
    if found is None:
        raise HTTPException(404, "Nobody of that name may come in.")
    return _list(served, doors.codes.made_for(found.uid), found.name)


@router.post("/telephones/end", response_model=None)
def end(served: Serving, who: Practitioner, session: Uid) -> Response:
    """End a session: that telephone has to come in anew."""
    if not _doors(served).sessions.end(session):
        raise HTTPException(404, "That telephone is not in any more.")
    return RedirectResponse("/telephones", 303)


def address_with(doors: Doors, code: Code) -> str:
    """Where a telephone goes with a code. The code stands behind the sign that keeps it out of every log."""
    return f"{doors.url}/pair#{code.text}"


def _list(served: Served, code: Code | None, person: str = "") -> HTMLResponse:
    doors = served.doors
    if doors is None or code is None:
        return page("telephones.html", doors=None)
    with served.store.reading() as connection:
        names = {one.uid: one.name for one in horses(connection)}
    return page(
        "telephones.html", doors=doors, pairing=code, person=person, picture=_picture(address_with(doors, code)), horses=names,
        sessions=doors.sessions.every(), people=doors.people.every(),
    )  # fmt: skip


def _picture(text: str) -> str:
    import segno

    return str(segno.make(text, error="m", micro=False).png_data_uri(scale=6, border=4))


def _doors(served: Served) -> Doors:
    if served.doors is None:
        raise HTTPException(404, "No telephone can come in: the page was started without --lan.")
    return served.doors
