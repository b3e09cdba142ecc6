"""What every answer tells the browser to refuse.

In: an application. Out: the same, each answer with the headers that keep strangers' script, frames and requests out.
Not here: who may see what.
"""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: Everything comes from this machine; nothing stands inside a page as script or style. A route whose page carries its own style
#: (a report) sets its own policy, which is kept.
POLICY = "; ".join(
    (
        "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' data: blob:", "connect-src 'self'",
        "font-src 'self'", "manifest-src 'self'", "worker-src 'self'", "form-action 'self'", "frame-src 'self'",
        "frame-ancestors 'none'", "base-uri 'none'",
    )
)  # fmt: skip
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # Not "no-referrer": browsers then send `Origin: null` with our own forms, and they could not be told from a stranger's.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=(), payment=()",
}


class Shielded:
    """Adds the headers to whatever answers; a route's own value is kept."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                held = (
                    "no-cache" if scope["path"].startswith("/static/") else "no-store"
                )  # nothing of a horse stays behind
                for name, value in {**HEADERS, "Cache-Control": held}.items():
                    if name not in headers:
                        headers[name] = value
            await send(message)

        await self.app(scope, receive, sent)
