"""The page, listening: on this machine, and when asked for telephones nearby as well.

In: the records, a rulebook, ports. Out: running servers, until they are stopped; words for the terminal.
Not here: the application (app.py), options of the command.
"""

from __future__ import annotations

import contextlib
import gc
import socket
import sys
import threading
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from reasoner.page.app import made
from reasoner.page.doors.codes import Code
from reasoner.page.doors.nearby import Doors
from reasoner.page.routes.telephones import address_with
from reasoner.page.served import Served
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    import uvicorn

register({"PG12": "an address or port that cannot be listened on"})

LOOPBACK = "127.0.0.1"
_LOOKED_AT_EVERY_S = 2
#: More than a yard has telephones; whoever opens more is told to come back.
_MOST_AT_ONCE = 200
Tell = Callable[[str], None]


def taken(address: str, port: int) -> socket.socket:
    """A socket that listens there; port 0 finds a free one. Raises BadInput (PG12)."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((address, port))
        listening.listen(128)
    except OSError as fault:
        listening.close()
        why = (fault.strerror or "no reason given").lower()
        raise BadInput([Problem(f"{address}:{port}", 0, "PG12", f"the page cannot listen there: {why}.",
                                "Choose another port: --port 8200.")]) from None  # fmt: skip
    return listening


def serve(served: Served, own: socket.socket, near: socket.socket | None, tell: Tell) -> None:
    """Serve until stopped (Ctrl-C): the own machine through `own`, and through `near` whoever comes in by `served.doors`."""
    here = _server(served)
    # A command lives for a moment and does without looking for what can go; this one stays. The rules stay as well: to look
    # through them again and again takes a tenth of a second, which would be felt under a thumb.
    gc.freeze()
    gc.enable()
    tell(
        f"The page: http://{LOOPBACK}:{own.getsockname()[1]}/ (records: {served.store.place.shown}). Stop it with Ctrl-C."
    )
    if near is None or served.doors is None:
        with contextlib.suppress(KeyboardInterrupt):  # that is how it is stopped
            here.run(sockets=[own])
        return
    doors = served.doors
    nearby = _server(replace(served, nearby=True), doors)
    tell(about(doors))
    stopped = threading.Event()
    others = [
        threading.Thread(target=here.run, kwargs={"sockets": [own]}, daemon=True),
        threading.Thread(target=_codes, args=(doors, tell, stopped), daemon=True),
    ]
    for other in others:
        other.start()
    try:
        with contextlib.suppress(KeyboardInterrupt):
            nearby.run(sockets=[near])
    finally:
        here.should_exit = True
        stopped.set()
        for other in others:
            other.join(timeout=10)


def about(doors: Doors) -> str:
    """What whoever started the page is told of telephones, once."""
    return f"""
Telephones on the same network: {doors.url}/
  The browser warns of it at first, because nobody on the internet vouches for
  this machine. What is sent is enciphered all the same, and the page works
  while its tab stays open. So that it opens again without a signal, give the
  telephone the certificate of this machine, once:
  {doors.url}/certificate says how.
  It is the right one if it shows
  {doors.papers.fingerprint[:47]}
  {doors.papers.fingerprint[48:]}"""


def code_words(doors: Doors, code: Code, *, first: bool) -> str:
    """A code, and the first time a picture of it for the camera."""
    until = code.until.astimezone().strftime("%H:%M")
    words = f"Code to let your own telephone in, once, until {until}: {code.shown}"
    return f"\n{words}\n{_picture(address_with(doors, code))}" if first else words


def _codes(doors: Doors, tell: Tell, stopped: threading.Event) -> None:
    """Tells each new code as soon as the last one is used, has run out, or was guessed at too often."""
    told = ""
    while not stopped.is_set():
        code = doors.codes.current()
        if code.text != told:
            tell(code_words(doors, code, first=not told))
            if not told:
                tell("A picture of each later code, and codes for others: the page on this machine, at /telephones.")
            told = code.text
        stopped.wait(_LOOKED_AT_EVERY_S)


def _picture(text: str) -> str:
    """Blocks of half a line, dark on light whatever the colours of the window."""
    import io

    import segno

    out = io.StringIO()
    segno.make(text, error="l", micro=False).terminal(out, border=2, compact=True)
    lines = out.getvalue().splitlines()
    return "\n".join(f"\033[97;40m{line}\033[0m" for line in lines) if sys.stdout.isatty() else "\n".join(lines)


def _server(served: Served, doors: Doors | None = None) -> uvicorn.Server:
    import uvicorn

    papers = doors.papers if doors is not None else None
    return uvicorn.Server(
        uvicorn.Config(
            made(served), log_level="warning", server_header=False, proxy_headers=False, ws="none",
            limit_concurrency=_MOST_AT_ONCE, timeout_keep_alive=20, timeout_graceful_shutdown=5,
            ssl_certfile=str(papers.certificate) if papers is not None else None,
            ssl_keyfile=str(papers.key) if papers is not None else None,
        )
    )  # fmt: skip
