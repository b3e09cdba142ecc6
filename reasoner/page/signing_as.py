"""Under whose name something is kept.

In: who asks, and the name typed. Out: the name.
Not here: who somebody is. At the own machine nobody has said who sits there, so the name is typed; from nearby it is that of
the session.
"""

from __future__ import annotations

from reasoner.page.served import Served
from reasoner.page.who import Who


def name_of(who: Who, served: Served, typed: str) -> str:
    """The name under which this is kept."""
    return who.name if served.nearby else " ".join(typed.split())
