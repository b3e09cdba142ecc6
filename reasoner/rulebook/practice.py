"""The settings of the track record and of the yard's view.

In: the tables `track` and `yard` of rules/scales/. Out: frozen shapes, checked for what could not mean anything.
Not here: the numbers (they are data), counting.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reasoner.frozen import frozen

ANSWERS = ("done", "partly", "not", "stopped")
"""What an owner can say of a step of the plan."""


@frozen(kw_only=True)
class Enough:
    """How many cases, and of how many horses, are enough."""

    cases: int
    horses: int


@frozen(kw_only=True)
class TrackSettings:
    """What counts in the track record.

    `carried_out` are the owner's answers after which a step is looked at, `in_part` those counted apart; `waver` how many
    standard errors of a difference of two readings a fall must exceed (how late a visit tells: measures/progress.yaml);
    `interval` the confidence of the intervals (0 to 1); `steps_of_certainty` where the groups of certainty begin, rising;
    `false_alarms` the share of wrong proposals that is borne (0 to 1).
    """

    carried_out: tuple[str, ...]
    in_part: tuple[str, ...]
    waver: float
    interval: float
    enough: Enough
    steps_of_certainty: tuple[float, ...]
    reweigh: Enough
    false_alarms: float
    basis: str


@frozen(kw_only=True)
class YardSettings:
    """What is told of several horses together.

    `horses` must have been looked at, and the `share` (0 to 1) of them agree; `others` horses elsewhere make a usual share;
    `rare` is a probability (0 to 1) after all that was looked at; `told` how many runs the short page tells.
    """

    horses: int
    share: float
    others: int
    rare: float
    told: int
    basis: str


def track_from(said: Any) -> TrackSettings:
    """The table `track`. Raises KeyError, ValueError or TypeError where it lacks something."""
    again = said["reweigh"]
    return TrackSettings(
        carried_out=tuple(said["carried_out"]), in_part=tuple(said.get("in_part") or ()), waver=float(said["waver"]),
        interval=float(said["interval"]),
        enough=_enough(said["enough"]), steps_of_certainty=tuple(float(s) for s in said["steps_of_certainty"]),
        reweigh=_enough(again), false_alarms=float(again["false_alarms"]), basis=said["basis"],
    )  # fmt: skip


def yard_from(said: Any) -> YardSettings:
    """The table `yard`. Raises KeyError, ValueError or TypeError where it lacks something."""
    return YardSettings(
        horses=int(said["horses"]), share=float(said["share"]), others=int(said["others"]), rare=float(said["rare"]),
        told=int(said["told"]), basis=said["basis"],
    )  # fmt: skip


def _enough(said: Any) -> Enough:
    return Enough(cases=int(said["cases"]), horses=int(said["horses"]))


def impossible(track: TrackSettings | None, yard: YardSettings | None) -> Iterator[tuple[str, str]]:
    """(table, sentence) for each setting that could not mean what it says; every comparison is false for "nan" as well."""
    if track is not None:
        if not 0.5 <= track.interval < 1.0:
            yield "track", f"`interval` is {track.interval:g}; it lies between 0.5 and 1."
        if not 0.0 <= track.waver < 10.0:
            yield "track", f"`waver` is {track.waver:g}; it lies between 0 and 10."
        if not 0.0 < track.false_alarms < 1.0:
            yield "track", f"`false_alarms` is {track.false_alarms:g}; it lies between 0 and 1."
        for name, words in (("carried_out", track.carried_out), ("in_part", track.in_part)):
            for word in sorted({*words} - {*ANSWERS}):
                yield "track", f'`{name}` names "{word}"; an owner answers {", ".join(ANSWERS)}.'
        for word in sorted({*track.carried_out} & {*track.in_part}):
            yield "track", f'"{word}" stands under `carried_out` and under `in_part`; it is one of the two.'
        steps = track.steps_of_certainty
        if not steps or list(steps) != sorted(set(steps)) or not all(0.0 <= s < 1.0 for s in steps):
            yield "track", "`steps_of_certainty` rise from 0 or above to below 1."
        for name, enough in (("enough", track.enough), ("reweigh", track.reweigh)):
            if enough.cases < 1 or enough.horses < 1:
                yield "track", f"`{name}` asks for at least one case of one horse."
    if yard is not None:
        if yard.horses < 2:
            yield "yard", f"`horses` is {yard.horses}; what several horses show takes at least two."
        if not 0.5 < yard.share <= 1.0:
            yield "yard", f"`share` is {yard.share:g}; it lies above one half, at most 1."
        if not 0.0 < yard.rare < 1.0:
            yield "yard", f"`rare` is {yard.rare:g}; it lies between 0 and 1."
