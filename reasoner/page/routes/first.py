"""The first page: where to go from here.

In: nothing. Out: links to the horse at hand and to the desk.
Not here: either.
"""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from reasoner.page.pages import page
from reasoner.page.who import Asking

router = APIRouter()


@router.get("/", response_class=HTMLResponse)
def first(who: Asking) -> HTMLResponse:
    """The first page."""
    return page("first.html", who=who)
