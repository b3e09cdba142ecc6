"""Photographs as a page shows them: inside it, no larger than it needs, with the day and what they show.

In: the files kept with a visit, with their bytes, and a reader of reports. Out: pictures as text for the page, with
their words; or the bytes of one. Not here: taking them in (store.photographs), pages.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem
from reasoner.rulebook.readers import Reader
from reasoner.store.enclosing import Enclosed
from reasoner.store.photographs import FROM_THIS_MACHINE, cleaned

MOST_SHOWN = 8
"""How many photographs a report shows; own setting: how many more there are is said."""
_LONGEST_PX = 1200


@frozen(kw_only=True)
class Shown:
    """A photograph in a page: `source` is its data, `says` what it shows and its caption."""

    source: str
    says: str


@frozen(kw_only=True)
class Album:
    """The photographs of one report, and how many more are kept."""

    shown: tuple[Shown, ...] = ()
    more: int = 0


def album(enclosed: Sequence[Enclosed], reader: Reader) -> Album:
    """The photographs that concern this reader, each as it was described last, those with a view named first. Raises BadInput
    (ST41) where one is missing or changed: a report does not leave it out in silence."""
    if not reader.photographs:
        return Album()
    mine = [
        one for one in enclosed if one.kind == "photo" and one.stands and (one.shows or "other") in reader.photographs
    ]
    order = {shows: at for at, shows in enumerate(reader.photographs)}
    mine.sort(key=lambda one: order[one.shows or "other"])
    shown = tuple(Shown(source=_inside(one), says=_says(one)) for one in mine[:MOST_SHOWN])
    return Album(shown=shown, more=len(mine) - len(shown))


def picture_of(one: Enclosed, longest_px: int | None = None) -> bytes:
    """The JPEG of a photograph. One that was kept before photographs were written anew is written anew now. Raises BadInput
    (ST41, PG01, PG02)."""
    try:
        data = one.data if one.data is not None else one.at.read_bytes() if one.at is not None else b""
    except OSError:
        data = b""
    if hashlib.sha256(data).hexdigest() != one.sha256:
        raise BadInput([Problem(one.name, 0, "ST41", f'the photograph "{one.name}" is missing, or not as it was kept.',
                                "`reasoner records check` tells more; take it from a backup.")])  # fmt: skip
    if one.original and longest_px is None:
        return data
    return cleaned(data, one.name, FROM_THIS_MACHINE, **({} if longest_px is None else {"longest_px": longest_px})).data


def _inside(one: Enclosed) -> str:
    return f"data:image/jpeg;base64,{base64.b64encode(picture_of(one, _LONGEST_PX)).decode()}"


def _says(one: Enclosed) -> str:
    """What stands under it."""
    shows = one.shows if one.shows and one.shows != "other" else ""
    return ": ".join(part for part in (shows.capitalize(), one.caption) if part)
