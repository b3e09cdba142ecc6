"""Reports ready to leave: read, approved, sent from the phone, downloaded, printed.

In: a kept visit, a reader. Out: /visits/{visit}/send, the page of each reader as HTML and PDF, an approval kept.
Not here: whether one may leave (page.leaving), the page (rendering.report), sharing itself (static/sharing.js).
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Annotated, Literal

from fastapi import APIRouter, Form, HTTPException, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from reasoner.page.leaving import OWN, Page, page_for, refuse_if_held_back, waits_for_signature
from reasoner.page.looking import Looked, Uid, looked_at
from reasoner.page.pages import page
from reasoner.page.served import Served, Serving
from reasoner.page.signing_as import name_of
from reasoner.page.who import Asking, Keeper, Practitioner, Who
from reasoner.problems import BadInput, Problem
from reasoner.records.telling import told_in_full
from reasoner.rendering import phrases
from reasoner.rendering.pdf import Paper, pdf_of
from reasoner.store.edits import add_approval, approvals_of

router = APIRouter()
Reader = Literal["owner", "vet", "saddle-fitter", "farrier"]
READERS: tuple[Reader, ...] = ("owner", "vet", "saddle-fitter", "farrier")
#: A report carries its style inside, so that it can be sent as one file; nothing else may be in it.
INSIDE = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; base-uri 'none'; "
    "form-action 'none'"
)


@router.get("/visits/{visit}/send", response_class=HTMLResponse)
def send(who: Keeper, served: Serving, visit: Uid) -> HTMLResponse:
    """Every reader's page: what holds it back, who approved it, and the ways to let it go."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
        approvals, today = approvals_of(connection, looked.known.version), served.now().date()
        pages = [page_for(connection, looked, key, approvals, today) for key in READERS]
    return page(
        "send.html", who=who, visit=looked.known, day=phrases.day(looked.known.day), pages=pages, name=name_of(who, served, ""),
        nearby=served.nearby, waits=waits_for_signature(looked), may_approve=who.role == "practitioner",
        files={one.reader.key: _name(looked, one, "pdf") for one in pages},
    )  # fmt: skip


@router.post("/visits/{visit}/report/{reader}/approved")
def approve(
    who: Practitioner, served: Serving, visit: Uid, reader: Reader, sha256: Annotated[str, Form(pattern="^[0-9a-f]{64}$")],
    by: Annotated[str, Form(max_length=200)] = "",
) -> RedirectResponse:  # fmt: skip
    """Put a name under a reader's page in the very words that were shown."""
    name = name_of(who, served, by)
    told_in_full(name, "", needed=False, shown=served.store.place.shown)
    looked, made = _page(who, served, visit, reader)
    refuse_if_held_back(made)
    if made.draft_sha256 != sha256:
        raise BadInput([Problem(f"report for {made.reader.called}", 0, "PG37", "this page has changed since it was shown.",
                                "Read it once more, then approve it.")])  # fmt: skip
    add_approval(served.store, looked.known.version, reader=reader, sha256=sha256, by=name)
    return RedirectResponse(f"/visits/{visit}/send#{reader}", 303)


@router.get("/visits/{visit}/report/{reader}.html", response_class=HTMLResponse)
def as_html(who: Asking, served: Serving, visit: Uid, reader: Reader) -> HTMLResponse:
    """The page of a reader, self-contained; a draft is marked so, and none is made of what waits for a countersignature."""
    looked, made = _page(who, served, visit, reader)
    if looked.waits:
        refuse_if_held_back(made)
    return HTMLResponse(made.html, headers={"Content-Security-Policy": INSIDE})


@router.get("/visits/{visit}/report/{reader}.pdf")
def as_pdf(
    who: Asking,
    served: Serving,
    visit: Uid,
    reader: Reader,
    paper: Paper = "A4",
    download: Annotated[bool, Query()] = False,
) -> Response:
    """The same on paper."""
    looked, made = _page(who, served, visit, reader)
    refuse_if_held_back(made)
    way = "attachment" if download else "inline"
    return Response(
        _laid(made.html, paper), media_type="application/pdf",
        headers={"Content-Disposition": f'{way}; filename="{_name(looked, made, "pdf")}"'},
    )  # fmt: skip


@lru_cache(maxsize=16)
def _laid(html: str, paper: Paper) -> bytes:
    """A page laid out: looked at, shared and downloaded one after the other, it is laid out once."""
    return pdf_of(html, paper)


def _page(who: Who, served: Served, visit: str, reader: str) -> tuple[Looked, Page]:
    """A reader's page; an owner is given the owner's own, once it may leave."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
        made = page_for(connection, looked, reader, approvals_of(connection, looked.known.version), served.now().date())
    if not who.keeps and not (reader == OWN and made.may_leave):
        raise HTTPException(403, "This page has not been approved for you yet.")
    return looked, made


def _name(looked: Looked, made: Page, ending: str) -> str:
    """What the file is called where it is kept."""
    horse = re.sub(r"[^a-z0-9]+", "-", looked.known.name.lower()).strip("-") or "horse"
    draft = "" if made.approval is not None else "-draft"
    return f"{horse}-{looked.known.day.isoformat()}-{made.reader.key}{draft}.{ending}"
