"""What `reasoner track` prints with --json.

In: a `Track` and proposals. Out: JSON-ready data (schemas/track.json).
Not here: counting, words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from reasoner.records.rates import Rate
from reasoner.records.reweigh import Proposals
from reasoner.records.track import Case, Tally, Track
from reasoner.rendering.records_json import RECORDS_VERSION
from reasoner.rendering.track_text import CERTAINTY_IS, rests_on
from reasoner.rulebook.practice import TrackSettings
from reasoner.store.place import Place


def track_json(
    place: Place, track: Track, proposals: Proposals, views: Sequence[str], settings: TrackSettings, *,
    examiner: str, since: str, stamp: str,
) -> dict[str, Any]:  # fmt: skip
    """The record; only the views asked for."""
    return {
        "schema_version": RECORDS_VERSION, "store": place.shown, "rulebase": stamp, "examiner": examiner or None,
        "since": since or None, "visits": track.visits, "horses": track.horses,
        "last": track.last.isoformat() if track.last else None,
        "steps": {
            "carried_out": track.carried_out, "in_part": track.in_part,
            "not_carried_out": track.not_carried_out, "not_told": track.not_told,
            "promised_nothing": track.promised_nothing,
        },
        "tallies": [_tally(one) for view in views for one in track.views[view]],
        "certainty": [
            {"from": one.low, "to": one.high, "horses": one.horses, "came_true": rate_json(one.true_rate),
             "enough": one.enough}
            for one in track.certainty
        ],
        "judged": [
            {"conclusion": one.key, "agreed": one.agreed, "disagreed": one.disagreed, "people": one.people,
             "agreement": rate_json(one.agree_rate)}
            for one in track.judged
        ],
        "proposals": [
            {"rule": one.rule, "strength": one.strength, "proposed": one.wanted or None, "came_true": one.count,
             "horses": one.of, "elsewhere_came_true": one.others, "elsewhere_horses": one.of_others, "cases": one.cases,
             "chance": one.chance, "alike": list(one.alike), "paste": one.paste or None}
            for one in proposals.every
        ],
        "rules_looked_at": proposals.looked_at, "rules_with_too_few": proposals.too_few,
        "enough": asdict(settings.enough), "interval": settings.interval, "basis": settings.basis,
        "rests_on": [CERTAINTY_IS, *rests_on(settings, track.within_days)],
    }  # fmt: skip


def rate_json(rate: Rate) -> dict[str, Any]:
    """A share with its interval; null where there is no case."""
    return {"count": rate.count, "of": rate.of, "share": rate.share, "low": rate.low, "high": rate.high}


def _tally(one: Tally) -> dict[str, Any]:
    return {
        "view": one.view, "key": one.key, "kind": one.kind or None, "came_true": one.came_true, "partly": one.partly,
        "not": one.not_so, "not_examined": one.not_examined, "in_part": one.in_part, "in_part_true": one.in_part_true,
        "not_carried_out": one.not_carried_out,
        "not_told": one.not_told, "horses": one.horses, "true_rate": rate_json(one.true_rate),
        "partly_rate": rate_json(one.partly_rate), "by_horse": rate_json(one.by_horse), "enough": one.enough,
        "cases": [_case(case) for case in one.cases],
    }  # fmt: skip


def _case(case: Case) -> dict[str, Any]:
    return {
        "visit": case.visit, "horse": case.steps[0].visit.name, "date": case.day.isoformat(), "side": case.side or None,
        "outcome": case.outcome or None, "outcome_in_part": case.in_part or None, "steps": [_step(one) for one in case.steps],
    }  # fmt: skip


def _step(one: Any) -> dict[str, Any]:
    return {
        "step": one.step, "side": one.side or None, "told": one.told or None,
        "promises": [
            {"place": p.place, "side": p.side or None, "from": p.was, "to": p.to, "by": p.by.isoformat(),
             "outcome": p.outcome or None, "seen_on": p.seen.isoformat() if p.seen else None}
            for p in one.promises if p.to is not None
        ],
        "looked_for": [
            {"entry": p.place, "side": p.side or None, "was": p.was_word or None, "to": list(p.words), "by": p.by.isoformat(),
             "outcome": p.outcome or None, "seen_on": p.seen.isoformat() if p.seen else None}
            for p in one.promises if p.to is None
        ],
    }  # fmt: skip
