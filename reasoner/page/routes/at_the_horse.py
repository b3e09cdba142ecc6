"""The page at the horse, and what keeps it on a telephone.

In: the page's own files. Out: the page, and a service worker that holds exactly these files.
Not here: what the page asks (the routes under /api).
"""

from __future__ import annotations

import hashlib
import json
from functools import cache

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from reasoner.page.pages import HERE, page
from reasoner.page.served import Serving
from reasoner.page.who import Keeper

router = APIRouter()

#: What the page is made of: its own files, the libraries, the shared style.
PARTS = ("page.css", "icon.svg", "horse/*.js", "horse/*.css", "horse/*.json", "library/*.js")
WORKER = "horse/service_worker.js"


@router.get("/at-the-horse", response_class=HTMLResponse)
def at_the_horse(who: Keeper) -> HTMLResponse:
    """The page for a telephone; what it shows is drawn there."""
    return page("at_the_horse.html")


@router.get("/service-worker.js", response_class=Response)
def worker(served: Serving) -> Response:
    """The service worker, from the root so that it may hold the whole page; never kept by the browser longer than a look."""
    version = hashlib.sha256(f"{_hashed()} {served.ready.book.stamp}".encode()).hexdigest()[:16]
    head = f"const VERSION = {json.dumps(version)};\nconst FILES = {json.dumps(files())};\n"
    body = head + (HERE / "static" / WORKER).read_text(encoding="utf-8")
    return Response(body, media_type="text/javascript", headers={"Cache-Control": "no-cache"})


@cache
def files() -> tuple[str, ...]:
    """The addresses of all files of the page, in order."""
    static = HERE / "static"
    found = {path for part in PARTS for path in static.glob(part)} - {static / WORKER}
    return tuple(f"/static/{path.relative_to(static).as_posix()}" for path in sorted(found))


@cache
def _hashed() -> str:
    """A hash over every file, the page's template and the worker itself: another byte is another version."""
    shown = [HERE / address.removeprefix("/") for address in files()]
    shown += [HERE / "static" / WORKER, HERE / "templates" / "at_the_horse.html", HERE / "templates" / "base.html"]
    return hashlib.sha256(b"\0".join(path.read_bytes() for path in shown)).hexdigest()
