"""The day on which a command is given, by this machine's clock.

In: nothing. Out: a day.
Not here: the moment at which a row was made (store.fresh), the page's clock (page.served). Commands ask here and nowhere else, so
that a test can say which day it is.
"""

from __future__ import annotations

from datetime import date


def today() -> date:
    """The day that it is here."""
    return date.today()
