"""Coming in from nearby, and leaving: by a code or by name and password; and the certificate that the telephone may be given.

In: what was typed. Out: a cookie, or words.
Not here: what codes, passwords and sessions are (doors/).
"""

from __future__ import annotations

from datetime import timedelta
from typing import Annotated

from fastapi import APIRouter, Form, HTTPException, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from reasoner.page.asked import asking
from reasoner.page.doors.certificates import for_a_telephone
from reasoner.page.doors.nearby import Doors
from reasoner.page.gate import COOKIE
from reasoner.page.pages import page
from reasoner.page.served import Served, Serving
from reasoner.rendering import phrases
from reasoner.store.names import folded

router = APIRouter()
_CA = "application/x-x509-ca-cert"
Typed = Annotated[str, Form(max_length=400)]


@router.get("/pair", response_class=HTMLResponse, response_model=None)
def how_to_come_in(served: Serving) -> Response:
    """How to come in; whoever is in already goes on."""
    return RedirectResponse("/", 303) if asking() is not None else _asked(served)


@router.post("/pair", response_class=HTMLResponse, response_model=None)
def pair(served: Serving, request: Request, code: Typed = "", label: Typed = "") -> Response:
    """Come in by a code. 303 in, 422 a wrong one, 429 wait first."""
    doors = _doors(served)
    keys = [_from(request)]
    if left := doors.guesses.wait(keys):
        return _wait(served, left)
    found = doors.codes.taken(code)
    person = doors.people.of_uid(found.person) if found is not None and found.person is not None else None
    if found is None or (found.person is not None and person is None):
        return _asked(served, 422, "This code is not, or no longer, good. Each is good once, and for ten minutes.")
    doors.guesses.right(keys)
    return _in(*doors.sessions.begin(person, label or _kind(request)))


@router.post("/sign-in", response_class=HTMLResponse, response_model=None)
def sign_in(served: Serving, request: Request, name: Typed = "", password: Typed = "", label: Typed = "") -> Response:
    """Come in by name and password. 303 in, 422 wrong, 429 wait first."""
    doors = _doors(served)
    keys = [_from(request), f"name {folded(name)[:80]}"]
    if left := doors.guesses.wait(keys):
        return _wait(served, left)
    person = doors.people.by_password(name, password)
    if person is None:
        return _asked(served, 422, "This name and this password do not belong together.")
    doors.guesses.right(keys)
    return _in(*doors.sessions.begin(person, label or _kind(request), signed_in=True))


@router.post("/sign-out", response_model=None)
def leave(served: Serving, request: Request) -> Response:
    """End the session of this telephone. What it keeps of visits not handed over stays on it."""
    answer = RedirectResponse("/pair" if served.nearby else "/", 303)
    if served.nearby:
        _doors(served).sessions.end_of(request.cookies.get(COOKIE, ""))
        answer.delete_cookie(COOKIE, path="/", secure=True, httponly=True, samesite="strict")
    return answer


@router.get("/certificate", response_class=HTMLResponse)
def about_the_certificate(served: Serving) -> HTMLResponse:
    """What the certificate is for, and how a telephone is given it."""
    return page("certificate.html", doors=served.doors)


@router.get("/certificate/authority.crt", response_class=Response, responses={200: {"content": {_CA: {}}}})
def certificate(served: Serving) -> Response:
    """The authority's certificate, as telephones take it."""
    if served.doors is None:
        raise HTTPException(404, "There is no certificate: the page was started without --lan.")
    data = for_a_telephone(served.doors.papers.authority)
    return Response(
        data, media_type=_CA, headers={"Content-Disposition": 'attachment; filename="sore-horse-reasoner.crt"'}
    )


def _doors(served: Served) -> Doors:
    if not served.nearby or served.doors is None:
        raise HTTPException(404, "Nobody has to come in here: this page is open on the own machine.")
    return served.doors


def _asked(served: Served, code: int = 200, says: str = "") -> HTMLResponse:
    _doors(served)
    return page("pair.html", code, says=says)


def _wait(served: Served, seconds: int) -> HTMLResponse:
    how = phrases.counted(seconds, "second") if seconds < 120 else f"{-(-seconds // 60)} minutes"
    answer = _asked(
        served, 429, f"Too many wrong tries. Wait {how}, then try again; nothing typed before that is looked at."
    )
    answer.headers["Retry-After"] = str(seconds)
    return answer


def _in(word: str, lasts: timedelta) -> Response:
    answer = RedirectResponse("/", 303)
    answer.set_cookie(
        COOKIE, word, max_age=int(lasts.total_seconds()), path="/", secure=True, httponly=True, samesite="strict"
    )
    return answer


def _from(request: Request) -> str:
    return f"from {request.client.host if request.client is not None else 'nowhere'}"


def _kind(request: Request) -> str:
    """What kind of telephone it is, as far as it says, so that it can be told from others in a list."""
    says = request.headers.get("user-agent", "")
    return next(
        (name for name in ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux") if name in says), "a telephone"
    )
