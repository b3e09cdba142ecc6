"""What the templates may know of a request without being told: who asks, and the token of their forms.

In: what the gate found out. Out: functions for templates.
Not here: finding it out (gate.py).
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from contextvars import ContextVar

from markupsafe import Markup

from reasoner.frozen import frozen
from reasoner.page.who import Who

#: Of this run: forms of strangers and of the own machine; a page opened before a new start has to be opened anew.
_OF_THIS_RUN = secrets.token_bytes(32)
FIELD = "token"


@frozen
class Asked:
    """Who asks (None: a stranger), the token that a form of theirs carries, and whether they came in by a session."""

    who: Who | None
    token: str
    came_in: bool = False


ASKED: ContextVar[Asked | None] = ContextVar("asked", default=None)


def token_for(session: str) -> str:
    """The token of the forms of a session (the word of its cookie; empty where there is none)."""
    key = session.encode("utf-8", "replace") or _OF_THIS_RUN
    return hmac.new(key, b"forms", hashlib.sha256).hexdigest()


def form_token() -> Markup:
    """The hidden field that every form of ours which changes something carries."""
    asked = ASKED.get()
    return Markup('<input type="hidden" name="{}" value="{}">').format(FIELD, asked.token if asked is not None else "")


def came_in() -> bool:
    """Whether whoever looks at this page came in from nearby, and so may leave."""
    asked = ASKED.get()
    return asked is not None and asked.came_in


def asking() -> Who | None:
    """Who looks at this page."""
    asked = ASKED.get()
    return asked.who if asked is not None else None
