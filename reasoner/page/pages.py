"""One page as HTML.

In: a template's name and what it shows. Out: the answer to the browser.
Not here: what is shown.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from reasoner.page.asked import asking, came_in, form_token
from reasoner.rendering import phrases

HERE = Path(__file__).parent


@cache
def environment() -> Environment:
    """Where the page's templates are found; everything put into one is escaped."""
    found = Environment(
        loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    found.globals |= {
        "token": form_token,
        "asking": asking,
        "came_in": came_in,
    }  # every form that changes something holds {{ token() }}
    found.filters |= {"moment": phrases.moment, "days": phrases.days_in_words}
    return found


def page(template: str, code: int = 200, **shown: Any) -> HTMLResponse:
    """The page of this template."""
    return HTMLResponse(environment().get_template(template).render(**shown), status_code=code)


def came_from(request: Request) -> str:
    """Where a form that is answered with a no stood, for a link back: on a telephone the page may have no button for it. Empty
    where that was no page of ours."""
    try:
        before = urlsplit(request.headers.get("referer", ""))
    except ValueError:
        return ""
    if request.method == "GET" or before.netloc != request.headers.get("host", "") or before.path.startswith("//"):
        return ""
    return before.path + (f"?{before.query}" if before.query else "")
