"""When two names are one: capitals, blanks and the two ways of writing an accent aside.

In: names as people write them. Out: one way to write them, and one to compare them by.
Not here: names that are merely alike (problems.near_hint).
"""

from __future__ import annotations

import unicodedata


def plain(name: str) -> str:
    """A name without blanks around it or two in a row.

    >>> plain("  Wren   Aldous ")
    'Wren Aldous'
    """
    return " ".join(name.split())


def folded(name: str) -> str:
    """What a name is compared by. A letter with its accent behind it, as some machines write it, looks the same and is the same.

    >>> folded("Wren  ALDOUS") == folded("wren aldous")
    True
    >>> folded("Zoe\N{COMBINING DIAERESIS}") == folded("ZO\N{LATIN CAPITAL LETTER E WITH DIAERESIS}")
    True
    """
    return unicodedata.normalize("NFC", plain(name).casefold())


def same_name(one: str, other: str) -> bool:
    """Whether two names are one."""
    return folded(one) == folded(other)
