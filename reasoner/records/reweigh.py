"""Which rules the record proposes to weigh anew, and on how many cases. Nothing is ever changed by itself.

In: a track record, and the rules as they now stand. Out: `Proposal`s, each with lines for a changes.yaml to paste.
Not here: tallies (track.py), reading rule pages.

A rule's cases are held against all other cases, each horse counted once in each by its last day. A proposal is one step on the
scale of strengths, for a rule whose share of promises come true differs more than chance would have it after all rules looked at.
"""

from __future__ import annotations

from collections.abc import Mapping

from reasoner.frozen import frozen
from reasoner.records.outcomes import CAME_TRUE
from reasoner.records.rates import after_many, chance_of_difference
from reasoner.records.track import RULE, Case, Tally, Track, last_of_each_horse
from reasoner.rulebook.practice import TrackSettings
from reasoner.rulebook.rulebook import Rulebook


@frozen(kw_only=True)
class Proposal:
    """Another strength for one rule. `wanted` is "" where the scale ends: then only that it stands out is told.

    `count` of `of` horses are the rule's, `others` of `of_others` the other cases'; `chance` after all rules looked at; `alike`
    are rules that spoke in just the same cases, so that the record cannot tell them apart.
    """

    rule: str
    name: str
    strength: str
    wanted: str
    count: int
    of: int
    others: int
    of_others: int
    cases: int
    chance: float
    alike: tuple[str, ...]
    paste: str


@frozen(kw_only=True)
class Proposals:
    """What is proposed, out of how many rules that had cases enough, and how many had too few."""

    every: tuple[Proposal, ...]
    looked_at: int
    too_few: int


def proposals_of(track: Track, book: Rulebook, settings: TrackSettings) -> Proposals:
    """What this record proposes for the rules of this rulebook that speak for a conclusion."""
    points = {rule: (evidence.rule, evidence.points) for rule, _, evidence in book.rules() if evidence.points}
    tallies = [one for one in track.views[RULE] if one.key in points]
    able = [one for one in tallies if _able(one, settings)]
    every = {id(case): case for one in track.views[RULE] for case in one.cases if case.examined}
    counts = {one.key: _counts(one, every) for one in able}
    held = [one for one in able if counts[one.key][3] >= settings.reweigh.horses]
    chances = after_many([chance_of_difference(*counts[one.key]) for one in held])
    out = [
        _proposal(one, counts[one.key], chance, points[one.key], tallies, track, book)
        for one, chance in zip(held, chances, strict=True) if chance <= settings.false_alarms
    ]  # fmt: skip
    out.sort(key=lambda one: (one.chance, one.rule))
    return Proposals(every=tuple(out), looked_at=len(held), too_few=len(tallies) - len(held))


def _able(one: Tally, settings: TrackSettings) -> bool:
    return one.examined >= settings.reweigh.cases and one.horses >= settings.reweigh.horses


def _counts(one: Tally, every: Mapping[int, Case]) -> tuple[int, int, int, int]:
    mine = {id(case) for case in one.cases}
    here = last_of_each_horse(case for at, case in every.items() if at in mine)
    elsewhere = last_of_each_horse(case for at, case in every.items() if at not in mine)
    return here.count(CAME_TRUE), len(here), elsewhere.count(CAME_TRUE), len(elsewhere)


def _proposal(
    one: Tally, counts: tuple[int, int, int, int], chance: float, said: tuple[str, str | None], tallies: list[Tally],
    track: Track, book: Rulebook,
) -> Proposal:  # fmt: skip
    name, strength = said[0], said[1] or ""
    count, of, others, of_others = counts
    scale = sorted(book.scales.strengths, key=lambda word: book.scales.strengths[word])
    place = scale.index(strength) + (1 if count * of_others > others * of else -1)
    wanted = scale[place] if 0 <= place < len(scale) else ""
    mine = {id(case) for case in one.cases if case.examined}
    alike = [
        other.key for other in tallies
        if other.key != one.key and {id(case) for case in other.cases if case.examined} == mine
    ]  # fmt: skip
    return Proposal(
        rule=one.key, name=name, strength=strength, wanted=wanted, count=count, of=of, others=others,
        of_others=of_others, cases=one.examined, chance=chance, alike=tuple(alike),
        paste=_paste(one, wanted, counts, track) if wanted else "",
    )  # fmt: skip


def _paste(one: Tally, wanted: str, counts: tuple[int, int, int, int], track: Track) -> str:
    count, of, others, of_others = counts
    until = f" Visits up to {track.last.isoformat()}." if track.last is not None else ""
    return (
        f"- rule: {one.key}\n  points: {wanted}\n  because: >-\n"
        f"    Our own record, each horse counted once. What was promised where this rule spoke came true\n"
        f"    on {count} of {of} horses, and elsewhere on {others} of {of_others}.{until}\n"
    )
