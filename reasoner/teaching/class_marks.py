"""What the rules make of one answer that was handed in, as far as a class is told of it.

In: the session of an answer. Out: `ClassMarks`, also as plain data, because marking a long session takes seconds.
Not here: marking (marking), the teacher's own answer (beside_the_teacher).
"""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from reasoner import __version__
from reasoner.frozen import frozen
from reasoner.rules_cache import Ready
from reasoner.teaching.class_folder import ClassFolder
from reasoner.teaching.handed_in import Work, session_of
from reasoner.teaching.handing_out import HandedOut, case_of
from reasoner.teaching.marked import Cause, Step
from reasoner.teaching.marking import marked
from reasoner.teaching.session import Key
from reasoner.teaching.teachers_answer import keys_of

VERSION = "3"


@frozen(kw_only=True)
class Look:
    """A look made, or one left that was telling to the end: what it could have changed then (`level` of the reasons to call, from
    1, 0 none; the `plan`), for a look made its `place` among `of` by worth and whether that is `telling`."""

    key: str
    name: str
    level: int
    plan: bool
    telling: bool = True
    place: int = 0
    of: int = 0


@frozen(kw_only=True)
class ClassMarks:
    """By the rules: looks made and left; causes by how they stand beside the account of the whole case; the degree of the call on
    what was seen and with everything seen; steps that something standing stops."""

    looks: tuple[Look, ...]
    left: tuple[Look, ...]
    found: tuple[Key, ...]
    other_side: tuple[Key, ...]
    missed: tuple[Key, ...]
    jumped_to: tuple[Key, ...]
    referral_seen: str
    referral_whole: str
    stopped: tuple[Key, ...]


def marks_of(work: Work, case: HandedOut, ready: Ready, file: str, kept: ClassFolder | None = None) -> ClassMarks:
    """The marks of an answer by these rules: those that `kept` holds, else worked out and kept there. Raises BadInput (TE83,
    TE86)."""
    held = marks_held(work, ready, kept) if kept is not None else None
    if held is not None:
        return held
    session = session_of(work, case_of(case, file, ready.book), ready, file)
    marks = marked(session, ready)
    said = marks.referral
    found = ClassMarks(
        looks=tuple(
            Look(key=one.effect.check.key, name=one.effect.check.name, level=one.effect.level, plan=one.effect.plan,
                 telling=one.telling, place=one.place, of=one.of)
            for one in marks.looks
        ),
        left=tuple(Look(key=e.check.key, name=e.check.name, level=e.level, plan=e.plan) for e in marks.looks_missed),
        found=_keys(marks.found), other_side=_keys(marks.other_side), missed=_keys(marks.missed),
        jumped_to=_keys(marks.jumped_to), referral_seen=said.seen, referral_whole=said.whole,
        stopped=_keys(marks.steps_stopped),
    )  # fmt: skip
    if kept is not None:
        kept.keep_marks(work.last, {"of": _stamp(work, ready), "marks": _plain(found)})
    return found


def marks_held(work: Work, ready: Ready, kept: ClassFolder) -> ClassMarks | None:
    """The marks that are kept of an answer; None where there are none by these rules, or somebody wrote in them."""
    held = kept.marks(work.last)
    if isinstance(held, dict) and held.get("of") == _stamp(work, ready):
        with suppress(KeyError, TypeError, ValueError):
            return _from(held["marks"])
    return None


def _stamp(work: Work, ready: Ready) -> list[str]:
    return [VERSION, __version__, ready.book.stamp, work.last]


def _keys(some: tuple[Cause | Step, ...] | tuple[Cause, ...] | tuple[Step, ...]) -> tuple[Key, ...]:
    return tuple((one.key, one.side) for one in some)


KEYS = ("found", "other_side", "missed", "jumped_to", "stopped")
LOOK = ("key", "name", "level", "plan", "telling", "place", "of")


def _plain(marks: ClassMarks) -> dict[str, Any]:
    said: dict[str, Any] = {name: [list(key) for key in getattr(marks, name)] for name in KEYS}
    for name in ("looks", "left"):
        said[name] = [[getattr(look, part) for part in LOOK] for look in getattr(marks, name)]
    return {**said, "referral_seen": marks.referral_seen, "referral_whole": marks.referral_whole}


def _from(said: dict[str, Any]) -> ClassMarks:
    parts: dict[str, Any] = {name: keys_of(said[name]) for name in KEYS}
    for name in ("looks", "left"):
        parts[name] = tuple(Look(**dict(zip(LOOK, one, strict=True))) for one in said[name])
    return ClassMarks(**parts, referral_seen=str(said["referral_seen"]), referral_whole=str(said["referral_whole"]))
