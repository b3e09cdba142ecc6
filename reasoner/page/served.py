"""What one running page works with.

In: what the command line was asked for. Out: a `Served`, the same for every request.
Not here: requests, who asks.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

from fastapi import Depends, Request

from reasoner.frozen import frozen
from reasoner.page.doors.nearby import Doors
from reasoner.page.longer import Longer, P, R, Work
from reasoner.rules_cache import Ready
from reasoner.store.opening import Store


@frozen(kw_only=True)
class Served:
    """The records, the compiled rulebook and its folders (None: the shipped rules), and the clock. `nearby` is true where
    telephones on the same network may reach the page, so that everybody has to say who they are; `doors` is how they come in
    (None where none can, and on the own machine those of the page beside it); `longer` works out what takes longer than a touch
    may (None: it is worked out here)."""

    store: Store
    ready: Ready
    folders: tuple[Path, ...] | None
    now: Callable[[], datetime]
    nearby: bool = False
    doors: Doors | None = None
    longer: Longer | None = None

    def worked_out(self, work: Work[P, R], *args: P.args, **words: P.kwargs) -> R:
        """What takes longer than a touch may: worked out in the process beside, and waited for."""
        if self.longer is None:
            return work(self.ready, *args, **words)
        return self.longer.ask(work, *args, **words).result()


def clock() -> datetime:
    """This moment, with its zone."""
    return datetime.now(UTC).astimezone()


def served(request: Request) -> Served:
    """What this page works with, as a dependency of a route."""
    found: Served = request.app.state.served
    return found


Serving = Annotated[Served, Depends(served)]
