"""A lesson in words, as every face shows it: chapters of steps, each opening to its rules, what they rest on, and the anatomy.

In: nothing. Out: frozen records that lesson_told fills and the terminal, the sheet, the page and the JSON read.
Not here: what is said, layout.
"""

from __future__ import annotations

from typing import Literal

from reasoner.explanation.model import Key
from reasoner.frozen import frozen

Words = Literal["plain", "technical"]
Speaks = Literal["for", "against", "calls", "waits"]


@frozen(kw_only=True)
class Basis:
    """What something rests on, in words, with its entry in the handbook (empty: none)."""

    words: str
    entry: str


@frozen(kw_only=True)
class Seen:
    """A finding in words, and where it stands in the visit."""

    words: str
    file: str
    line: int


@frozen(kw_only=True)
class Rule:
    """A rule a step rests on. `speaks` for or against a conclusion, calls the veterinarian, or waits for something that was not
    looked at; `of` is that conclusion in words; `loud` how loud it speaks here (empty: it does not)."""

    speaks: Speaks
    name: str
    of: str
    loud: str
    because: str
    basis: tuple[Basis, ...]
    seen: tuple[Seen, ...]
    file: str
    line: int
    entry: str


@frozen(kw_only=True)
class Anatomy:
    """A place as the hand meets it: rows of (label, text), how the attachments were read, and where."""

    place: str
    name: str
    rows: tuple[tuple[str, str], ...]
    read: str
    basis: tuple[Basis, ...]
    file: str
    line: int
    entry: str


@frozen(kw_only=True)
class Point:
    """One line under a step, with the word in front of it. `folded`: told only where the step is opened."""

    mark: str
    text: str
    folded: bool = False


@frozen(kw_only=True)
class Step:
    """One thought. `key` names it, and is the same in every wording; `about` are the conclusions it names. `folded`: not on the
    leading thread, and told only where somebody opens it. `alarm`: the veterinarian is to be rung today or now."""

    key: str
    says: str
    about: tuple[Key, ...] = ()
    seen: tuple[Seen, ...] = ()
    more: tuple[str, ...] = ()
    points: tuple[Point, ...] = ()
    rules: tuple[Rule, ...] = ()
    anatomy: tuple[Anatomy, ...] = ()
    folded: bool = False
    alarm: bool = False


@frozen(kw_only=True)
class Chapter:
    """Steps under one heading; `opening` comes before them, `closing` after; `rest` is what the folded ones are called."""

    key: str
    title: str
    opening: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    rest: str = ""
    closing: tuple[str, ...] = ()

    @property
    def leading(self) -> tuple[Step, ...]:
        """The steps that are told outright."""
        return tuple(step for step in self.steps if not step.folded)

    @property
    def folded(self) -> tuple[Step, ...]:
        """The others."""
        return tuple(step for step in self.steps if step.folded)


@frozen(kw_only=True)
class Told:
    """The lesson in one wording. `about` is the visit in a line; what was not checked, what it rests on and the cautions stand at
    the foot."""

    words: Words
    title: str
    about: str
    chapters: tuple[Chapter, ...]
    not_checked: tuple[str, ...]
    rests_on: tuple[str, ...]
    cautions: tuple[str, ...]
