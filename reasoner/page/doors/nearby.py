"""The doors to telephones nearby: what one running page holds of them, and where they are.

In: the place of the records, the clock, an address. Out: `Doors`: people, sessions, codes, guesses, and the page's own address.
Not here: each of these; serving.
"""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Callable
from datetime import datetime

from reasoner.frozen import frozen
from reasoner.page.doors.certificates import Papers, is_home, papers
from reasoner.page.doors.codes import Codes
from reasoner.page.doors.guessing import Guesses
from reasoner.page.doors.kept import Kept
from reasoner.page.doors.people import People
from reasoner.page.doors.sessions import Sessions
from reasoner.problems import BadInput, Problem, register
from reasoner.store.place import Place

register({"PG11": "no network nearby, or an address that is not of one"})

#: Asked for by nobody: an address of a home network, only to learn which of our own would be used to reach it. Nothing is sent.
_SOMEWHERE = (("10.255.255.255", socket.AF_INET), ("192.168.255.255", socket.AF_INET), ("fd00::1", socket.AF_INET6))


@frozen(kw_only=True)
class Doors:
    """What one running page knows of who may come in from nearby. `url` is where telephones find it, `names` the hosts it answers
    to; both are empty where it is not reached from nearby."""

    people: People
    sessions: Sessions
    codes: Codes
    guesses: Guesses
    papers: Papers
    url: str
    names: tuple[str, ...]


def doors_at(place: Place, now: Callable[[], datetime], address: str, port: int) -> Doors:
    """The doors of a page that telephones reach at this address. Raises BadInput (PG06, PG10)."""
    kept = Kept(place)
    names = tuple(dict.fromkeys((address, *_own_name())))
    shown = f"[{address}]" if ":" in address else address
    return Doors(
        people=People(kept, now), sessions=Sessions(kept, now), codes=Codes(now), guesses=Guesses(now),
        papers=papers(kept.folder, names, now()), url=f"https://{shown}:{port}", names=names,
    )  # fmt: skip


def own_address(wanted: str = "") -> str:
    """The address at which telephones nearby find this machine, or the one that was asked for. Raises BadInput (PG11)."""
    if wanted:
        try:
            address = str(ipaddress.ip_address(wanted))
        except ValueError:
            raise _nowhere(f'"{wanted[:60]}" was read; an address such as 192.168.1.20 was expected.') from None
        if not is_home(address):
            raise _nowhere(f"{address} is not an address of a home network; the page is not for the internet.")
        return address
    for somewhere, family in _SOMEWHERE:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as asking:
                asking.connect((somewhere, 9))  # a datagram socket: nothing leaves
                found = str(asking.getsockname()[0])
        except OSError:
            continue
        if is_home(found) and not ipaddress.ip_address(found).is_loopback:
            return found
    raise _nowhere("no network nearby was found: is the wireless network on?")


def _own_name() -> tuple[str, ...]:
    """The name by which machines of a home network find each other, where this one has one."""
    name = socket.gethostname().partition(".")[0].lower()
    plain = all(sign.isascii() and (sign.isalnum() or sign == "-") for sign in name)
    return (f"{name}.local",) if name and plain and len(name) < 60 else ()


def _nowhere(sentence: str) -> BadInput:
    hint = "Say which of this machine's addresses it is: --address 192.168.1.20."
    return BadInput([Problem("--lan", 0, "PG11", sentence, hint)])
