"""The gate: every request passes it, and what it does not let through reaches no route.

In: a request. Out: the same with who asks; or a refusal in words.
Not here: what a route lets whom see, the codes and sessions themselves (doors/).

- The host asked for is one of ours: a site elsewhere whose name is turned to this machine is refused.
- What changes something comes from a page of ours: the browser says so, and it carries `X-From-Page` or a form's token.
- From nearby nobody passes without a session, but to the few paths by which one comes in. On the own machine nobody is asked.
- An owner changes nothing. No body is longer than what it is for.
- Whatever is read of the records for a request is read by who asks: what is held back from them is nowhere in it.
"""

from __future__ import annotations

import hmac
import re
from urllib.parse import urlsplit

from fastapi import HTTPException, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from reasoner.page.asked import ASKED, FIELD, Asked, token_for
from reasoner.page.blind import reader_of
from reasoner.page.pages import came_from, page
from reasoner.page.served import Served
from reasoner.page.who import OWN_MACHINE, Who
from reasoner.store.held_back import read_by
from reasoner.store.photographs import MOST_BYTES

OWN_NAMES = ("127.0.0.1", "localhost", "::1")
#: What a stranger nearby may ask for: how to come in, the way it looks, and the certificate.
OPEN = ("/pair", "/sign-in", "/certificate", "/certificate/authority.crt")
OPEN_UNDER = "/static/"
#: What an owner may change: leaving.
OWNERS_OWN = ("/sign-out",)
SAFE = ("GET", "HEAD", "OPTIONS")
COOKIE = "__Host-at-the-horse"
HEADER = "x-from-page"
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
MOST = 2_000_000
"""The longest body (bytes) of anything but a photograph; own setting: the longest visit with tracings has a tenth of that."""
_PHOTOGRAPHS = re.compile(r"/visits/[^/]+/photographs")
_AROUND_A_FILE = 100_000


class _Refused(Exception):
    """What a request is answered with instead."""

    def __init__(self, code: int, says: str) -> None:
        super().__init__(says)
        self.code, self.says = code, says


class Gate:
    """Lets through, or refuses."""

    def __init__(self, app: ASGIApp, served: Served) -> None:
        self.app, self.served = app, served
        near = served.doors.names if served.nearby and served.doors is not None else OWN_NAMES
        self.names = frozenset(name.lower() for name in near)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, or answer it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":  # nothing here speaks any other way
            return
        request = Request(scope)
        word = request.cookies.get(COOKIE, "") if self.served.nearby else ""
        who = self._who(word)
        asked = ASKED.set(
            Asked(who, token_for(word if who is not None else ""), who is not None and self.served.nearby)
        )
        try:
            self._look(request, who)
        except _Refused as refused:
            await _told(request, refused)(scope, receive, send)
        else:
            scope.setdefault("state", {})["who"] = who
            with read_by(reader_of(self.served, who)):
                await self.app(scope, _measured(receive, _most(request)), send)
        finally:
            ASKED.reset(asked)

    def _who(self, word: str) -> Who | None:
        if not self.served.nearby:
            return Who(name=OWN_MACHINE, role="practitioner")
        assert self.served.doors is not None
        return self.served.doors.sessions.who(word) if word else None

    def _look(self, request: Request, who: Who | None) -> None:
        path = request.scope["path"]  # what is routed by; an address put together from headers may say something else
        if _host(request.headers.get("host", "")) not in self.names:
            raise _Refused(421, "This page does not go by that name.")
        if (request.headers.get("content-length") or "0").isascii() and _length(request) > _most(request):
            raise _Refused(413, _TOO_LONG)
        changes = request.method not in SAFE
        if changes and not _from_a_page_of_ours(request):
            raise _Refused(403, "This did not come from a page of this tool; nothing was done.")
        if who is None and path not in OPEN and not path.startswith(OPEN_UNDER):
            raise _Refused(401, "Say who you are first.")
        if changes and who is not None and who.role == "owner" and path not in OWNERS_OWN:
            raise _Refused(403, "Your page shows your own horse; only the practice writes in it.")


async def token_in_form(request: Request) -> None:
    """A form carries its token, unless the script of a page sent it. A dependency of every route. Raises HTTPException (403)."""
    if request.method in SAFE or HEADER in request.headers:
        return
    given = (await request.form()).get(FIELD, "")
    asked = ASKED.get()
    wanted = asked.token if asked is not None else ""
    if not wanted or not hmac.compare_digest(str(given).encode(), wanted.encode()):
        raise HTTPException(403, "This form is too old or not of this page; nothing was done. Open the page anew.")


def _from_a_page_of_ours(request: Request) -> bool:
    """What the browser says of where it comes from, which no page can make it say otherwise; and the header that a form of
    another site cannot carry, or a form of our own, whose token is looked at where it is read."""
    headers = request.headers
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if site is not None and site != "same-origin":
        return False
    if origin is not None and origin != f"{request.url.scheme}://{headers.get('host', '')}":
        return False
    kind = headers.get("content-type", "").partition(";")[0].strip().lower()
    return HEADER in headers or (kind in FORMS and not (site is None and origin is None))


def _host(header: str) -> str:
    """The host of a Host header, without its port; empty where it is none."""
    try:
        parts = urlsplit(f"//{header}")
        more = (
            parts.username is not None or parts.path or parts.query or parts.fragment or "?" in header or "#" in header
        )
        return "" if more else (parts.hostname or "").lower()
    except ValueError:
        return ""


def _length(request: Request) -> int:
    try:
        return int(request.headers.get("content-length") or 0)
    except ValueError:
        return 0


def _most(request: Request) -> int:
    return MOST_BYTES + _AROUND_A_FILE if _PHOTOGRAPHS.fullmatch(request.scope["path"]) else MOST


def _measured(receive: Receive, most: int) -> Receive:
    """The same, but no longer than that, whatever length was promised."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most:
            raise HTTPException(413, _TOO_LONG)
        return message

    return counted


def _told(request: Request, refused: _Refused) -> Response:
    words = "text/html" in request.headers.get("accept", "")
    if words and refused.code == 401 and request.method in SAFE:
        return RedirectResponse("/pair", 303)
    if words:
        return page("refused.html", refused.code, status=refused.code, says=refused.says, back=came_from(request))
    return JSONResponse({"says": refused.says}, refused.code)


_TOO_LONG = "What was sent is too large; nothing was kept."
