"""Answers collected into a class: each file is taken, or told why it is not; nothing is lost, and twice is once.

In: files that apprentices handed in, the class. Out: a `Verdict` on each; the answers that count, and those beside them.
Not here: reading one answer (handed_in), what came of it (class_marks, beside_the_teacher).

A file that is not taken stays where it lies. Of two finished answers of one person to one case both are kept; the one that ended
first, by the clock of the machine it was made on, counts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Literal

from reasoner.frozen import frozen
from reasoner.problems import BadInput
from reasoner.rulebook.strict_yaml import read_bytes
from reasoner.rules_cache import Ready
from reasoner.store.names import folded
from reasoner.teaching.class_folder import ClassFolder, Given
from reasoner.teaching.class_marks import marks_of
from reasoner.teaching.handed_in import Work, work_from
from reasoner.teaching.handing_out import is_handed_out

Kind = Literal["taken", "taken already", "taken beside", "the case", "unfinished", "another case", "not taken"]
#: What needs somebody to do something: everything else is as it should be.
SET_ASIDE: tuple[Kind, ...] = ("unfinished", "another case", "not taken")


@frozen(kw_only=True)
class Verdict:
    """What became of one file: `work` where it could be read; `why` and what to do in words, where it was not taken; `notes` on
    what was taken."""

    file: str
    kind: Kind
    work: Work | None = None
    why: str = ""
    notes: tuple[str, ...] = ()


@frozen(kw_only=True)
class Kept:
    """One answer that is kept: its file and its work, and the case it is to. `counts`: none of the same person ended earlier."""

    path: Path
    work: Work
    given: Given
    counts: bool


def bytes_of(path: Path) -> bytes | BadInput:
    """What a file that was found in a folder holds, or why it cannot be read: one of many keeps nothing from the others."""
    try:
        return read_bytes(path)
    except BadInput as bad:
        return bad


def collected(into: ClassFolder, files: Iterable[tuple[str, bytes | BadInput]], ready: Ready) -> Iterator[Verdict]:
    """Take in each of these files, given by name and bytes (or by what kept it from being read). Raises BadInput (TE83 to TE87,
    TE90) where the class itself was changed, or cannot be written."""
    cases = {one.case.seal: one for one in into.given()}
    kept = {work.last: work for _, work in into.works()}
    for name, data in files:
        if isinstance(data, BadInput):
            yield Verdict(file=name, kind="not taken", why=" ".join(one.sentence for one in data.problems))
            continue
        verdict = _verdict(name, data, into, cases, kept, ready)
        if verdict.work is not None and verdict.kind in ("taken", "taken beside"):
            into.keep(verdict.work, data)
            kept[verdict.work.last] = verdict.work
        yield verdict


def _verdict(
    name: str, data: bytes, into: ClassFolder, cases: dict[str, Given], kept: dict[str, Work], ready: Ready
) -> Verdict:
    if is_handed_out(data):
        return Verdict(file=name, kind="the case")
    try:
        work = work_from(data, name)
    except BadInput as bad:
        return Verdict(file=name, kind="not taken", why=_words(bad))
    if work.last in kept:
        return Verdict(file=name, kind="taken already", work=work)
    if work.seal not in cases:
        known = any(one.case.title == work.title for one in cases.values())
        why = ("it was worked on another copy of the case than those handed out from this class; the copy was changed, or is "
               "from another class." if known else "no such case was handed out from this class.")  # fmt: skip
        return Verdict(file=name, kind="another case", work=work, why=f'"{work.title}": {why}')
    if not work.ended:
        why = f"{work.by} has not ended it yet; after {len(work.choices)} choices it stands open."
        return Verdict(file=name, kind="unfinished", work=work, why=why)
    case = cases[work.seal].case
    try:
        marks_of(work, case, ready, name, into)
    except BadInput as bad:
        return Verdict(file=name, kind="not taken", work=work, why=_words(bad))
    notes = []
    if work.stamp != ready.book.stamp:
        notes.append(f"It was worked with rulebook {work.stamp}, and is marked by {ready.book.stamp}.")
    if any(_of_one(work, other) for other in kept.values()):
        notes.append(
            f"{work.by} has handed in another answer to this case; both are kept, the one that ended first counts."
        )
        return Verdict(file=name, kind="taken beside", work=work, notes=tuple(notes))
    return Verdict(file=name, kind="taken", work=work, notes=tuple(notes))


def answers_in(of: ClassFolder) -> list[Kept]:
    """Every answer kept, by case in the order of handing out, then by name. Raises BadInput (TE83 to TE87)."""
    cases = {one.case.seal: one for one in of.given()}
    works = sorted(((p, w) for p, w in of.works() if w.seal in cases), key=lambda one: (one[1].ended_at, one[1].last))
    first: dict[tuple[str, str], str] = {}
    for _, work in works:
        first.setdefault((work.seal, folded(work.by)), work.last)
    order = list(cases)
    found = [
        Kept(path=path, work=work, given=cases[work.seal], counts=first[work.seal, folded(work.by)] == work.last)
        for path, work in works
    ]  # fmt: skip
    return sorted(found, key=lambda one: (order.index(one.work.seal), folded(one.work.by), one.work.ended_at))


def without_case(of: ClassFolder) -> list[Path]:
    """Answers that are kept and whose case is no longer in the class's folder. Raises BadInput (TE83 to TE87)."""
    seals = {one.case.seal for one in of.given()}
    return [path for path, work in of.works() if work.seal not in seals]


def _of_one(one: Work, other: Work) -> bool:
    return one.seal == other.seal and folded(one.by) == folded(other.by)


def _words(bad: BadInput) -> str:
    return " ".join(f"{p.sentence} {p.hint}".strip() for p in bad.problems)


def needs_somebody(verdicts: Sequence[Verdict]) -> bool:
    """Whether any file was set aside."""
    return any(one.kind in SET_ASIDE for one in verdicts)
