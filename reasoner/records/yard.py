"""The yard's view: what several horses under one rider, in one saddle or in one examiner's hands show together.

In: the newest version of every visit. Out: `YardView`: runs, each with its trace, how likely it is by chance, and how many were
looked at. Not here: reading rows (sided.py), words. A run is evidence about what the horses share, and about nobody's doing.

Each horse counts once in a group, by its last visit there. A run to one side is held against how often other horses show that
side (one half where few others are known), by the exact binomial; the same conclusion on several horses against the other
horses, by Fisher's exact test.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import lru_cache
from operator import itemgetter

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.records.rates import after_many, chance_of_more, chance_of_run
from reasoner.records.sided import CONCLUDED, SIDES, Question, Seen, Sided, sided
from reasoner.rulebook.practice import YardSettings
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import Scales
from reasoner.store.names import same_name
from reasoner.store.reading import KnownVisit, visits

register({"RE26": "nobody of that name in the records", "RE28": "the rules do not say what is counted"})

RIDER, SADDLE, EXAMINER, YARD = "rider", "saddle", "examiner", "yard"
KINDS = (RIDER, SADDLE, EXAMINER, YARD)
#: As many names are told to somebody who asked for one that nothing is like.
MOST_NAMES = 12
#: A name taken out on request is left as this word and a number; it is nobody's any more.
ERASED = "erased"


@frozen(kw_only=True)
class Horse:
    """One horse of a run: the visit that tells, and what was seen there."""

    visit: KnownVisit
    seen: Seen


@frozen(kw_only=True)
class Run:
    """What `count` of `of` horses of one group show alike: `side`, or "" where the same conclusion was drawn for them.

    `to_the_other` and `neither` are the rest of `of`; `in_group` counts the group's horses, also those it was not looked at on.
    `usual` is the share elsewhere it was held against, of `usual_of` horses (0: none, one half was taken). `chance` is that of
    this or a rarer split by chance alone, `after_all` the same after all that was looked at. `shared` is what else all these
    horses have in common.
    """

    kind: str
    name: str
    question: Question
    side: str
    count: int
    of: int
    to_the_other: int
    neither: int
    in_group: int
    usual: float
    usual_of: int
    chance: float
    after_all: float
    horses: tuple[Horse, ...]
    shared: tuple[tuple[str, str], ...]


@frozen(kw_only=True)
class YardView:
    """Every run, the least likely first. `looked_at` counts the questions that had horses enough, `groups` the names with horses
    enough by kind, `too_few` the names with fewer, `unnamed` the visits without such a name, `erased` those whose name was
    taken out."""

    runs: tuple[Run, ...]
    looked_at: int
    groups: Mapping[str, int]
    too_few: Mapping[str, int]
    unnamed: Mapping[str, int]
    erased: Mapping[str, int]
    visits: int
    horses: int


Group = tuple[str, str, dict[str, KnownVisit]]


def yard_view(
    connection: Connection, book: Rulebook, *, name: str = "", since: date | None = None, shown: str = "records"
) -> YardView:
    """What the horses show together, of everybody or of one name. Raises BadInput (RE26, RE28)."""
    settings = settings_of(book.scales)
    every = visits(connection, since=since)
    groups = [one for kind in KINDS for one in _groups(kind, every)]
    if name:
        groups = _called(name, groups, connection, since, shown)
    enough = [one for one in groups if len(one[2]) >= settings.horses]
    last = {one.horse: one for one in every}
    asked = {one.version for _, _, held in enough for one in held.values()} | {one.version for one in last.values()}
    answers = sided(connection, sorted(asked) if enough else [], book)
    usual = _Elsewhere(last, answers)
    looked = [run for group in enough for run in _looked(group, usual, answers, settings)]
    chances = after_many([run.chance for run in looked])
    found = [replace(run, after_all=after) for run, after in zip(looked, chances, strict=True) if _told(run, settings)]
    found.sort(key=lambda run: (run.chance, -run.count, KINDS.index(run.kind), run.name, run.question))
    return YardView(
        runs=tuple(found), looked_at=len(looked), visits=len(every), horses=len(last),
        groups={kind: sum(1 for one in enough if one[0] == kind) for kind in KINDS},
        too_few={kind: sum(1 for one in groups if one[0] == kind) - sum(1 for one in enough if one[0] == kind)
                 for kind in KINDS},
        unnamed={kind: sum(1 for one in every if not _name(kind, one)) for kind in KINDS},
        erased={kind: sum(1 for one in every if _erased(_name(kind, one))) for kind in KINDS},
    )  # fmt: skip


def settings_of(scales: Scales) -> YardSettings:
    """The settings of the yard's view. Raises BadInput (RE28) where the rules hold none."""
    if scales.yard is None:
        hint = "Keep a table `yard` in a file of scales/, such as the shipped scales/track.yaml."
        raise BadInput([Problem("rules/scales", 0, "RE28", "nothing says what the yard's view counts.", hint)])
    return scales.yard


def _groups(kind: str, every: Sequence[KnownVisit]) -> Iterator[Group]:
    """(kind, name, horse to its last visit there) of every name of this kind."""
    held: dict[str, dict[str, KnownVisit]] = {}
    for visit in every:  # by day: the last one stands
        name = _name(kind, visit)
        if name and not _erased(name):
            held.setdefault(name, {})[visit.horse] = visit
    for name in sorted(held):
        yield kind, name, held[name]


def _name(kind: str, visit: KnownVisit) -> str:
    named: str = getattr(visit, kind)
    return named


@lru_cache(maxsize=4096)
def _erased(name: str) -> bool:
    return name.casefold().strip("()").startswith(ERASED)


def _called(
    name: str, groups: Sequence[Group], connection: Connection, since: date | None, shown: str
) -> list[Group]:  # fmt: skip
    found = [one for one in groups if same_name(one[1], name)]
    if not found:
        every = [one for kind in KINDS for one in _groups(kind, visits(connection))]
        raise BadInput([_nobody(name, [one[1] for one in every], since, shown)])
    return found


def _nobody(name: str, known: Sequence[str], since: date | None, shown: str) -> Problem:
    """That nobody of this name is kept here: who it may have been, or that the visits lie before the day asked for."""
    there = next((one for one in known if same_name(one, name)), "")
    if there and since is not None:
        sentence = f'no visit since {since.isoformat()} names "{there}"; earlier ones do.'
        return Problem(shown, 0, "RE26", sentence, "Leave --since away, or write an earlier day.")
    names = sorted(set(known))
    hint = near_hint(name, names)
    if not hint and names:
        more = f", and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
        hint = f"Kept here: {', '.join(names[:MOST_NAMES])}{more}."
    said = f'no rider, saddle, examiner or yard is called "{name}" here.'
    return Problem(shown, 0, "RE26", said, hint or "No visit kept here names any.")


# -- runs --------------------------------------------------------------------------------------------------------------


def _told(run: Run, settings: YardSettings) -> bool:
    if run.count < settings.share * run.of:
        return False
    return bool(run.side) or run.count > run.usual * run.of


class _Elsewhere:
    """What all horses show by their last visit anywhere, counted once; a group is taken out of it, horse by horse."""

    def __init__(self, last: Mapping[str, KnownVisit], answers: Sided) -> None:
        self.last, self.answers = last, answers
        self.all = self._counted(last) if answers.seen else Counter()

    def _counted(self, horses: Iterable[str]) -> Counter[tuple[Question, str]]:
        """How many lean to each side by question, and how many have each conclusion (no side)."""
        found: Counter[tuple[Question, str]] = Counter()
        for horse in horses:
            version = self.last[horse].version
            found.update((question, seen.side) for question, seen in self.answers.seen[version].items() if seen.side)
            found.update(((CONCLUDED, key), "") for key in self.answers.concluded[version])
        return found

    def without(self, horses: Mapping[str, KnownVisit]) -> tuple[Counter[tuple[Question, str]], int]:
        """The counts of all other horses, and how many these are."""
        others = self.all.copy()
        others.subtract(self._counted(horses))
        return others, len(self.last) - len(horses)


def _looked(group: Group, usual: _Elsewhere, answers: Sided, settings: YardSettings) -> Iterator[Run]:
    """A run for each question that was answered on horses enough, whether it is told or not."""
    others, other_horses = usual.without(group[2])
    asked: dict[Question, list[tuple[KnownVisit, Seen]]] = {}
    concluded: dict[str, list[tuple[KnownVisit, Seen]]] = {}
    for visit in group[2].values():
        for question, seen in answers.seen[visit.version].items():
            asked.setdefault(question, []).append((visit, seen))
        for key, seen in answers.concluded[visit.version].items():
            concluded.setdefault(key, []).append((visit, seen))
    for question, mine in sorted(asked.items(), key=itemgetter(0)):
        # A place that is quiet on every horse could lean to no side, and is no question here.
        if len(mine) >= settings.horses and any(seen.side for _, seen in mine):
            yield _to_a_side(group, question, mine, {side: others[question, side] for side in SIDES}, settings)
    if other_horses >= settings.others:
        for key, mine in sorted(concluded.items(), key=itemgetter(0)):
            yield _the_same(group, key, mine, others[(CONCLUDED, key), ""], other_horses)


def _to_a_side(
    group: Group, question: Question, mine: Sequence[tuple[KnownVisit, Seen]], leaning: Mapping[str, int],
    settings: YardSettings,
) -> Run:  # fmt: skip
    sides = Counter(seen.side for _, seen in mine)
    side = max(SIDES, key=lambda one: sides[one])
    both, elsewhere = sum(sides[one] for one in SIDES), sum(leaning.values())
    enough = elsewhere >= settings.others
    # Laplace's rule of succession: a side that no other horse shows is rare, and not impossible.
    usual = (leaning[side] + 1) / (elsewhere + 2) if enough else 0.5
    horses = _horses([(visit, seen) for visit, seen in mine if seen.side == side])
    return Run(
        kind=group[0], name=group[1], question=question, side=side, count=sides[side], of=len(mine),
        to_the_other=both - sides[side], neither=len(mine) - both, in_group=len(group[2]), usual=usual,
        usual_of=elsewhere if enough else 0, chance=_chance(sides[side], both, usual), after_all=1.0, horses=horses,
        shared=_shared(group[0], horses),
    )  # fmt: skip


def _the_same(group: Group, key: str, mine: Sequence[tuple[KnownVisit, Seen]], theirs: int, others: int) -> Run:
    horses, of = _horses(mine), len(group[2])
    return Run(
        kind=group[0], name=group[1], question=(CONCLUDED, key), side="", count=len(mine), of=of, to_the_other=0,
        neither=of - len(mine), in_group=of, usual=theirs / others, usual_of=others,
        chance=chance_of_more(len(mine), of, theirs, others), after_all=1.0, horses=horses, shared=_shared(group[0], horses),
    )  # fmt: skip


def _horses(found: Sequence[tuple[KnownVisit, Seen]]) -> tuple[Horse, ...]:
    """The horses of a run by name."""
    horses = (Horse(visit=visit, seen=seen) for visit, seen in found)
    return tuple(sorted(horses, key=lambda one: (one.visit.name, one.visit.day)))


def _shared(kind: str, horses: Sequence[Horse]) -> tuple[tuple[str, str], ...]:
    """What else all horses of a run have in common: a run under one rider may be that of the one saddle all of them wear."""
    out = []
    for other in KINDS:
        names = {_name(other, one.visit) for one in horses}
        if other != kind and len(names) == 1 and (name := names.pop()) and not _erased(name):
            out.append((other, name))
    return tuple(out)


@lru_cache(maxsize=4096)
def _chance(count: int, of: int, usual: float) -> float:
    return chance_of_run(count, of, usual) if of else 1.0
