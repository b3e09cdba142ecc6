"""The shape of one visit: touches, things noted, work done, a veterinarian's word.

In: nothing, these are the frozen records the reader fills. Out: `Visit`, and its mirror image.
Not here: which words are allowed, how text is read, what a finding means.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Literal

from reasoner.frozen import frozen
from reasoner.problems import Problem

Side = Literal["left", "right"]
When = Literal["first", "settled", "after_work"]
Limb = Literal["fore", "hind"]
Points = tuple[tuple[Decimal, Decimal], ...]


@frozen(kw_only=True)
class DateSpan:
    """A date as exact as it was written: `2025-03` runs from the first to the last of March.

    INVARIANT: for things that have happened, `last` is not after the day of the visit. `never`: it was written that the
    thing has not happened; the dates then say nothing.
    """

    first: date
    last: date
    never: bool = False


@frozen(kw_only=True)
class Touch:
    """One place, one side (None on the midline), one time.

    `soreness` None: no number was written. `responses` and `felt` None: not written; ("none",) and ("nothing",) were
    written. `refused`: the horse would not allow touch, which is a finding; `not_examined` holds the reason where the
    place was passed over, which says nothing. `quiet_list`: the 0 comes from `quiet:`.
    """

    place: str
    side: Side | None
    when: When = "first"
    soreness: Decimal | None = None
    responses: tuple[str, ...] | None = None
    felt: tuple[str, ...] | None = None
    depth: str | None = None
    touch: str | None = None
    refused: bool = False
    not_examined: str | None = None
    quiet_list: bool = False
    line: int = 0
    note: str = ""


@frozen(kw_only=True)
class Noted:
    """One observation: a word's key, a number in its base unit, free text, or a date.

    `kind` is the vocabulary's. `about` is set where a thing was said of one leg only: ("hind_step", "left") for a
    `seen at` written inside `left hind`; the same key may then stand once for each leg. `file`: where `line` is, if not in the
    visit's own file.
    """

    key: str
    side: Side | None = None
    value: str | Decimal | DateSpan
    written: str = ""
    line: int = 0
    note: str = ""
    kind: str = "choice"
    about: tuple[str, Side] | None = None
    file: str = ""


@frozen(kw_only=True)
class Grade:
    """A lameness grade exactly as a veterinarian gave it, for one leg."""

    scale: str
    limb: Limb
    side: Side
    grade: str
    line: int = 0


@frozen(kw_only=True)
class VetsWord:
    """What a veterinarian said on a day. Beside `about` run `sides`, the side each reason was limited to, or None, and
    `degrees`, the step as it was on that day ("marked"), or None where the word does not say; left out, none says."""

    who: str
    seen: date
    about: tuple[str, ...] = ()
    sides: tuple[Side | None, ...] = ()
    degrees: tuple[str | None, ...] = ()
    allows: tuple[str, ...] = ()
    forbids: tuple[str, ...] = ()
    until: date | None = None
    grades: tuple[Grade, ...] = ()
    line: int = 0
    note: str = ""


@frozen(kw_only=True)
class Worked:
    """A place worked on; `after` is its soreness once the work was done."""

    place: str
    side: Side | None
    how: str
    minutes: Decimal | None = None
    after: Decimal | None = None
    line: int = 0
    note: str = ""


@frozen(kw_only=True)
class Outline:
    """One line traced with a flexible curve or a profile gauge, side by side, in millimetres.

    `of` is what was traced: the back, or the underside of the saddle (tree or panels). `plane` "across" is a section over the
    back at `station` (a canonical word such as "withers", "t13"): the points are (out, down), out from the midline and down
    from the highest point of the line. "along" runs from front to rear under one bar or panel: the points are (behind, down),
    behind the first point and down from it, and `station` is empty.

    INVARIANT: the first number of the points grows from point to point; each side holds none or at least two points.
    """

    of: Literal["back", "saddle"]
    plane: Literal["across", "along"] = "across"
    station: str = ""
    left: Points = ()
    right: Points = ()
    line: int = 0
    note: str = ""


@frozen(kw_only=True)
class Visit:
    """One visit to one horse, entries in the order written, places of `quiet:` last.

    `history` are entries that the records of earlier visits give and that nobody wrote into this file; without records, none.

    `beside` are the files read with the visit file, such as a table of tracings: the name it calls each by, and its bytes.

    INVARIANT: at most one Touch for a place, side and time; at most one Noted for a key, side and `about`;
    at most one Outline for what was traced, plane and station.
    """

    file: str
    day: date
    touches: tuple[Touch, ...] = ()
    noted: tuple[Noted, ...] = ()
    vets_words: tuple[VetsWord, ...] = ()
    worked: tuple[Worked, ...] = ()
    outlines: tuple[Outline, ...] = ()
    beside: tuple[tuple[str, bytes], ...] = ()
    history: tuple[Noted, ...] = ()
    warnings: tuple[Problem, ...] = ()

    @property
    def horse_name(self) -> str:
        """The horse's name as written, or an empty string."""
        value = self.noted_value("name")
        return value if isinstance(value, str) else ""

    def noted_value(self, key: str, side: Side | None = None) -> str | Decimal | DateSpan | None:
        """What was noted under `key` (and side, for a sided observation), or None where nothing was."""
        for noted in self.noted:
            if noted.key == key and noted.side == side:
                return noted.value
        return None


def mirrored(visit: Visit) -> Visit:
    """The same visit to the horse's mirror image: left and right change places everywhere except in free text."""
    return replace(
        visit,
        touches=tuple(replace(t, side=_other(t.side)) for t in visit.touches),
        noted=tuple(_mirrored_noted(n) for n in visit.noted),
        vets_words=tuple(
            replace(
                word,
                sides=tuple(_other(side) for side in word.sides),
                grades=tuple(replace(g, side=_OTHER[g.side]) for g in word.grades),
            )
            for word in visit.vets_words
        ),
        worked=tuple(replace(w, side=_other(w.side)) for w in visit.worked),
        outlines=tuple(replace(o, left=o.right, right=o.left) for o in visit.outlines),
        history=tuple(_mirrored_noted(n) for n in visit.history),
    )


_OTHER: dict[Side, Side] = {"left": "right", "right": "left"}


def _other(side: Side | None) -> Side | None:
    return None if side is None else _OTHER[side]


def _mirrored_noted(noted: Noted) -> Noted:
    value, written, about = noted.value, noted.written, noted.about
    if noted.kind != "text" and isinstance(value, str):
        value = {"left": "right", "right": "left"}.get(value, value)
        written = value if value != noted.value else written
    if about is not None:
        about = (about[0], _OTHER[about[1]])
    return replace(noted, side=_other(noted.side), value=value, written=written, about=about)
