"""The track record: over all horses, how often what a rule, a cause or an action promised came true.

In: the steps that promised something, with what came of them. Out: `Track`: a tally of each, certainty beside outcome, opinions.
Not here: the store (cases.py), intervals (rates.py), proposals (reweigh.py), words. Nothing here changes a rule.

One case is one step, or one conclusion on one side, at one visit: what it promised of several places stands or falls together and
counts once. Only steps told as carried out are counted; those done only in part are looked at and counted apart, in no share, and
the rest is listed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date

from reasoner.frozen import frozen
from reasoner.records.cases import StepCase, Steps
from reasoner.records.outcomes import CAME_TRUE, NOT, NOT_EXAMINED, PARTLY, together
from reasoner.records.rates import Rate, rate
from reasoner.rulebook.practice import TrackSettings

ACTION, CAUSE, RULE = "action", "cause", "rule"
VIEWS = (CAUSE, ACTION, RULE)


@frozen(kw_only=True)
class Case:
    """One case: of which horse, on which day, and what came of it; `told` says what the owner told of its steps, `in_part` what
    came of it where none of them was done in whole and one in part."""

    horse: str
    day: date
    visit: str
    side: str
    outcome: str
    in_part: str
    told: tuple[str, ...]
    steps: tuple[StepCase, ...]

    @property
    def carried_out(self) -> bool:
        """Whether any of its steps was."""
        return bool(self.outcome)

    @property
    def examined(self) -> bool:
        """Whether it was carried out and looked at afterwards."""
        return self.outcome not in ("", NOT_EXAMINED)


@frozen(kw_only=True)
class Tally:
    """How often the promises of one rule, cause or action came true.

    `came_true`, `partly`, `not_so` and `not_examined` count cases that were carried out; `in_part` those done only in part, of
    which `in_part_true` came true: they are in no other number and no rate. `not_carried_out` those whose steps were told as not
    done or stopped, `not_told` those of which nobody told. `horses` counts those of the examined cases. `true_rate`
    is of all examined; `by_horse` counts each horse once, by its last examined day, for the same horse again is no fresh horse.
    `enough`: whether there are as many as the settings ask for before a rate is shown.
    """

    view: str
    key: str
    kind: str
    came_true: int
    partly: int
    not_so: int
    not_examined: int
    in_part: int
    in_part_true: int
    not_carried_out: int
    not_told: int
    horses: int
    true_rate: Rate
    partly_rate: Rate
    by_horse: Rate
    enough: bool
    cases: tuple[Case, ...]

    @property
    def examined(self) -> int:
        """How many cases were carried out and looked at afterwards."""
        return self.came_true + self.partly + self.not_so


@frozen(kw_only=True)
class CertaintyStep:
    """The examined cases whose conclusion had a certainty from `low` to below `high` (the first: above `low`)."""

    low: float
    high: float
    horses: int
    true_rate: Rate
    enough: bool


@frozen(kw_only=True)
class Judged:
    """How often practitioners agreed with one conclusion and disagreed, each person once a visit."""

    key: str
    agreed: int
    disagreed: int
    people: int
    agree_rate: Rate


@frozen(kw_only=True)
class Track:
    """The whole record; `carried_out`, `in_part`, `not_carried_out`, `not_told` and `promised_nothing` count steps; `within_days`
    is how long after the day set a visit still tells."""

    views: Mapping[str, tuple[Tally, ...]]
    certainty: tuple[CertaintyStep, ...]
    judged: tuple[Judged, ...]
    visits: int
    horses: int
    last: date | None
    carried_out: int
    in_part: int
    not_carried_out: int
    not_told: int
    promised_nothing: int
    within_days: int


def track_of(steps: Steps, settings: TrackSettings) -> Track:
    """The record of these steps."""
    conclusions = _by_conclusion(steps)
    by_action: dict[str, list[Case]] = {}
    for one in steps.cases:
        by_action.setdefault(one.step, []).append(_case(one.side, [one]))
    by_cause: dict[str, list[Case]] = {}
    by_rule: dict[str, list[Case]] = {}
    for (version, key, side), case in conclusions.items():
        by_cause.setdefault(key, []).append(case)
        for rule, _ in steps.spoke.get((version, key, side), ()):
            by_rule.setdefault(rule, []).append(case)
    return Track(
        views={
            CAUSE: _tallies(CAUSE, by_cause, lambda key: steps.kinds.get(key, ""), settings),
            ACTION: _tallies(ACTION, by_action, lambda _: "", settings),
            RULE: _tallies(RULE, by_rule, lambda key: steps.kinds.get(key.partition("/")[0], ""), settings),
        },
        certainty=_certainty(steps, conclusions, settings),
        judged=_judged(steps, settings),
        visits=steps.visits, horses=steps.horses, last=steps.last,
        carried_out=sum(1 for one in steps.cases if one.outcome),
        in_part=sum(1 for one in steps.cases if one.in_part),
        not_carried_out=sum(1 for one in steps.cases if one.told and not one.outcome and not one.in_part),
        not_told=sum(1 for one in steps.cases if not one.told), promised_nothing=steps.promised_nothing,
        within_days=steps.within_days,
    )  # fmt: skip


def _by_conclusion(steps: Steps) -> dict[tuple[str, str, str], Case]:
    """One case for each conclusion and side of a version that steps with promises answer."""
    held: dict[tuple[str, str, str], list[StepCase]] = {}
    for one in steps.cases:
        for key, side in one.answers:
            held.setdefault((one.visit.version, key, side), []).append(one)
    return {at: _case(at[2], found) for at, found in held.items()}


def _case(side: str, steps: Sequence[StepCase]) -> Case:
    visit = steps[0].visit
    promises = [promise.outcome for one in steps if one.outcome for promise in one.promises]
    partly = [] if promises else [promise.outcome for one in steps if one.in_part for promise in one.promises]
    return Case(
        horse=visit.horse, day=visit.day, visit=visit.uid, side=side, outcome=together(promises) if promises else "",
        in_part=together(partly) if partly else "",
        told=tuple(one.told for one in steps), steps=tuple(steps),
    )  # fmt: skip


# -- tallies -----------------------------------------------------------------------------------------------------------


def _tallies(
    view: str, cases: Mapping[str, Sequence[Case]], kind: Callable[[str], str], settings: TrackSettings
) -> tuple[Tally, ...]:
    """A tally of each key; first those with enough to say, the most often true before the others, then by number and name."""
    every = [tally(view, key, kind(key), found, settings) for key, found in cases.items()]
    return tuple(sorted(every, key=lambda one: (not one.enough, -(one.true_rate.share or 0.0) if one.enough else 0.0,
                                                -one.examined, one.key)))  # fmt: skip


def tally(view: str, key: str, kind: str, cases: Sequence[Case], settings: TrackSettings) -> Tally:
    """The tally of some cases."""
    examined = [case for case in cases if case.examined]
    count = {word: sum(1 for case in cases if case.outcome == word) for word in (CAME_TRUE, PARTLY, NOT, NOT_EXAMINED)}
    horses = len({case.horse for case in examined})
    last = last_of_each_horse(examined)
    return Tally(
        view=view, key=key, kind=kind, came_true=count[CAME_TRUE], partly=count[PARTLY], not_so=count[NOT],
        not_examined=count[NOT_EXAMINED],
        in_part=sum(1 for case in cases if case.in_part), in_part_true=sum(1 for case in cases if case.in_part == CAME_TRUE),
        not_carried_out=sum(1 for case in cases if not case.carried_out and not case.in_part and any(case.told)),
        not_told=sum(1 for case in cases if not any(case.told)), horses=horses,
        true_rate=rate(count[CAME_TRUE], len(examined), settings.interval),
        partly_rate=rate(count[CAME_TRUE] + count[PARTLY], len(examined), settings.interval),
        by_horse=rate(last.count(CAME_TRUE), len(last), settings.interval),
        enough=len(examined) >= settings.enough.cases and horses >= settings.enough.horses, cases=tuple(cases),
    )  # fmt: skip


def last_of_each_horse(examined: Iterable[Case]) -> list[str]:
    """One outcome a horse: that of its last visit; both sides of that day together."""
    days: dict[str, dict[date, list[str]]] = {}
    for case in examined:
        days.setdefault(case.horse, {}).setdefault(case.day, []).append(case.outcome)
    return [together(held[max(held)]) for held in days.values()]


# -- certainty, opinions -----------------------------------------------------------------------------------------------


def _certainty(
    steps: Steps, conclusions: Mapping[tuple[str, str, str], Case], settings: TrackSettings
) -> tuple[CertaintyStep, ...]:
    edges = settings.steps_of_certainty
    bounds = list(zip(edges, (*edges[1:], 1.0), strict=True))
    groups: list[list[Case]] = [[] for _ in bounds]
    for at, case in conclusions.items():
        sure = steps.certainty.get(at)
        if sure is None or not case.examined:
            continue
        for group, (low, high) in zip(groups, bounds, strict=True):
            if (low < sure < high) or (sure == low != edges[0]) or (sure >= high == 1.0):
                group.append(case)
    out = []
    for group, (low, high) in zip(groups, bounds, strict=True):
        horses = len({case.horse for case in group})
        true = sum(1 for case in group if case.outcome == CAME_TRUE)
        enough = len(group) >= settings.enough.cases and horses >= settings.enough.horses
        out.append(
            CertaintyStep(
                low=low, high=high, horses=horses, true_rate=rate(true, len(group), settings.interval), enough=enough
            )
        )
    return tuple(out)


def _judged(steps: Steps, settings: TrackSettings) -> tuple[Judged, ...]:
    keys = sorted({one.conclusion for one in steps.opinions})
    out = []
    for key in keys:
        mine = [one for one in steps.opinions if one.conclusion == key]
        agreed = sum(1 for one in mine if one.agrees)
        out.append(
            Judged(
                key=key, agreed=agreed, disagreed=len(mine) - agreed, people=len({one.who.casefold() for one in mine}),
                agree_rate=rate(agreed, len(mine), settings.interval),
            )
        )  # fmt: skip
    return tuple(sorted(out, key=lambda one: (-(one.agreed + one.disagreed), one.key)))
