"""The rules as a handbook, within the policy of the page: its style and its script are files of this machine.

In: the rulebook this page runs with. Out: /handbook and its two files; the styles of our pictures.
Not here: what stands in the handbook (rendering.book).
"""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from reasoner.page.pictures import styles
from reasoner.page.served import Serving
from reasoner.page.who import Asking
from reasoner.rendering.book import Beside, book_html, script_of, style_of
from reasoner.rulebook.loading import load_rulebook

router = APIRouter()
BESIDE = Beside(
    style="/handbook/book.css", script="/handbook/book.js", icon="/static/icon.svg", back="/", back_says="Back to the records"
)  # fmt: skip
#: The handbook of the rulebook this page runs with, by its stamp: it takes seconds to make.
_MADE: dict[str, str] = {}


@router.get("/handbook", response_class=HTMLResponse)
def handbook(who: Asking, served: Serving) -> HTMLResponse:
    """Every rule, why, and on what it rests; searched and opened in the browser."""
    stamp = served.ready.book.stamp
    if stamp not in _MADE:
        _MADE.clear()
        _MADE[stamp] = book_html(load_rulebook(served.folders), BESIDE)  # with every condition as it is written
    return HTMLResponse(_MADE[stamp])


@router.get("/handbook/book.css")
def style() -> Response:
    """Its style."""
    return Response(style_of(), media_type="text/css")


@router.get("/handbook/book.js")
def script() -> Response:
    """Its search."""
    return Response(script_of(), media_type="text/javascript")


@router.get("/pictures.css")
def pictures() -> Response:
    """The styles of the pictures that stand inside pages."""
    return Response(styles(), media_type="text/css")
