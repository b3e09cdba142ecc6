"""The application: its routes, its files, its refusals.

In: a `Served`. Out: what a web server runs.
Not here: any one route (routes/), starting a server (the command line).
"""

from __future__ import annotations

from importlib import import_module

from fastapi import Depends, FastAPI, Request
from fastapi.exception_handlers import request_validation_exception_handler
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from reasoner import __version__
from reasoner.page.gate import Gate, token_in_form
from reasoner.page.pages import HERE, came_from, page
from reasoner.page.routes import ROUTES
from reasoner.page.rows import hint_here
from reasoner.page.served import Served
from reasoner.page.shielding import Shielded
from reasoner.problems import BadInput

#: Where a form was refused its page stands at the address the form was sent to; typed or shared, it is asked for by itself.
ONLY_A_FORM = "This address takes what a form sends, and has nothing to show by itself. Go back one page."


def made(served: Served) -> FastAPI:
    """The application for these records and this rulebook."""
    app = FastAPI(
        title="Sore horse reasoner", version=__version__, docs_url=None, redoc_url=None, dependencies=[Depends(token_in_form)]
    )  # fmt: skip
    app.state.served = served
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    for name in ROUTES:
        app.include_router(import_module(f"reasoner.page.routes.{name}").router)
    app.add_exception_handler(BadInput, _to_mend)
    app.add_exception_handler(HTTPException, _refused)
    app.add_exception_handler(RequestValidationError, _not_read)
    app.add_middleware(Gate, served=served)
    app.add_middleware(Shielded)
    return app


async def _to_mend(request: Request, fault: Exception) -> Response:
    """What has to be mended in what was sent, in words."""
    assert isinstance(fault, BadInput)
    problems = [
        {"code": p.code, "file": p.file, "line": p.line, "sentence": p.sentence, "hint": hint_here(p.hint)}
        for p in fault.problems
    ]
    if _wants_words(request):
        return page("to_mend.html", 422, problems=problems, back=came_from(request))
    return JSONResponse({"problems": problems}, 422)


async def _refused(request: Request, fault: Exception) -> Response:
    """A refusal, in words."""
    assert isinstance(fault, HTTPException)
    if _wants_words(request):
        says = ONLY_A_FORM if fault.status_code == 405 else fault.detail
        return page("refused.html", fault.status_code, status=fault.status_code, says=says, back=came_from(request))
    return JSONResponse({"says": fault.detail}, fault.status_code, headers=fault.headers)


async def _not_read(request: Request, fault: Exception) -> Response:
    """An address or a form that does not read: in words for people, piece by piece for a script."""
    assert isinstance(fault, RequestValidationError)
    if _wants_words(request):
        of = sorted({str(one["loc"][-1]) for one in fault.errors()})
        return page("refused.html", 422, status=422, says=f"This cannot be read: {', '.join(of)}. Nothing was done.",
                    back=came_from(request))  # fmt: skip
    return await request_validation_exception_handler(request, fault)


def _wants_words(request: Request) -> bool:
    return "text/html" in request.headers.get("accept", "")
