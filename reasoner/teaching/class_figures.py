"""The class over one case: who answered, which look was left by how many, what it was taken for, how the calls fell.

In: a class. Out: `CaseFigures` for each case, each figure with the names it rests on.
Not here: words. These are counts of answers, and never shares: a class is a handful of people.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from reasoner.frozen import frozen
from reasoner.problems import BadInput
from reasoner.rules_cache import Ready
from reasoner.store.names import folded
from reasoner.teaching.beside_the_teacher import Beside, beside
from reasoner.teaching.class_folder import ClassFolder, Given
from reasoner.teaching.class_marks import Look, marks_of
from reasoner.teaching.collecting import Kept, answers_in
from reasoner.teaching.session import Key

#: What is wrong with an answer or a case where these rules are others than those it was made with.
OTHER_RULES = {"TE83", "TE86"}


@frozen(kw_only=True)
class LookLeft:
    """A look that was telling to the end, and who left it unmade; `nobody`: not one of all who answered made it."""

    look: Look
    who: tuple[str, ...]
    nobody: bool


@frozen(kw_only=True)
class Counted:
    """A cause, or a degree of the call, and whose answers it is counted from."""

    key: Key
    who: tuple[str, ...]


@frozen(kw_only=True)
class Unread:
    """An answer whose choices cannot be made with these rules, and why."""

    kept: Kept
    why: str


@frozen(kw_only=True)
class CaseFigures:
    """One case: the answers that count, by name, and those kept beside them (`second`: another answer of the same person).
    `left`: looks left unmade, the commonest first. `taken_for`: what it was taken for by those who named no cause of the
    teacher's. `turned`: causes named on the other side. `calls`: each degree that was said, in the order of pressing."""

    given: Given
    answers: tuple[Beside, ...]
    second: tuple[Kept, ...]
    left: tuple[LookLeft, ...]
    taken_for: tuple[Counted, ...]
    turned: tuple[Counted, ...]
    calls: tuple[Counted, ...]
    unread: tuple[Unread, ...] = ()

    @property
    def low(self) -> tuple[str, ...]:
        """Who called later than the teacher says."""
        return tuple(one.work.by for one in self.answers if one.low)

    @property
    def high(self) -> tuple[str, ...]:
        """Who called sooner."""
        return tuple(one.work.by for one in self.answers if one.high)


def figures(of: ClassFolder, ready: Ready, title: str = "") -> list[CaseFigures]:
    """Every case of the class, or the one of this title, with its answers. Raises BadInput (TE83 to TE87, TE90)."""
    kept = answers_in(of)
    found = []
    for given in of.given():
        if title and folded(given.case.title) != folded(title):
            continue
        mine = [one for one in kept if one.given.case.seal == given.case.seal]
        answers, unread = [], []
        for one in mine:
            if one.counts:
                try:
                    marks = marks_of(one.work, given.case, ready, one.path.name, of)
                except BadInput as bad:  # other rules than those it was taken in with
                    if not {problem.code for problem in bad.problems} <= OTHER_RULES:
                        raise
                    unread.append(Unread(kept=one, why=" ".join(p.sentence for p in bad.problems)))
                else:
                    answers.append(beside(one.work, given.locked.answer, marks, ready.book))
        found.append(over(given, answers, [one for one in mine if not one.counts], unread))
    return found


def over(
    given: Given, answers: Sequence[Beside], second: Sequence[Kept] = (), unread: Sequence[Unread] = ()
) -> CaseFigures:
    """The figures over these answers."""
    looks: dict[str, Look] = {}
    for one in answers:
        for look in one.marks.left:
            looks.setdefault(look.key, look)
    left = []
    for key, look in looks.items():
        who = _who(answers, lambda one, key=key: any(unmade.key == key for unmade in one.marks.left))  # type: ignore[misc]
        left.append(LookLeft(look=look, who=who, nobody=len(who) == len(answers)))
    return CaseFigures(
        given=given, answers=tuple(answers), second=tuple(second), unread=tuple(unread),
        left=tuple(sorted(left, key=lambda one: (-len(one.who), one.look.name))),
        taken_for=_counted(answers, lambda one: one.taken_for), turned=_counted(answers, lambda one: one.turned),
        calls=_counted(answers, lambda one: ((one.said, ""),)),
    )  # fmt: skip


def _who(answers: Iterable[Beside], so: Callable[[Beside], bool]) -> tuple[str, ...]:
    return tuple(one.work.by for one in answers if so(one))


def _counted(answers: Sequence[Beside], keys: Callable[[Beside], Iterable[Key]]) -> tuple[Counted, ...]:
    """Each key with those who said it, the commonest first, then by its name."""
    found: dict[Key, list[str]] = {}
    for one in answers:
        for key in keys(one):
            found.setdefault(key, []).append(one.work.by)
    return tuple(
        Counted(key=key, who=tuple(who)) for key, who in sorted(found.items(), key=lambda one: (-len(one[1]), one[0]))
    )
