"""Answers for machines: the same data the pages are made from, as plain dicts in a fixed order of keys.

In: an answer, or a `WhyHere` with its answer. Out: dicts ready for json.dumps; floats to nine decimals, no clock.
Not here: the schemas (answer_schema.py), sentences, choosing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reasoner.explanation.model import Chain, Concluded, Explanation, Finding, Item, Key, Silent, Unchecked
from reasoner.explanation.why import WhyHere
from reasoner.plan.concerns import RaisedConcern, Referral, Release
from reasoner.rendering import riding_words
from reasoner.rendering.answer_head import head
from reasoner.rendering.answered import Answered
from reasoner.rendering.measured import measured
from reasoner.rendering.measured_json import measured_json
from reasoner.rendering.numbers import number
from reasoner.rendering.step_json import step_json


def answer_json(answer: Answered) -> dict[str, Any]:
    """The whole answer: referral, conclusions, account, plan."""
    return {**told_json(answer), "conclusions": [concluded_json(c) for c in answer.explanation.concluded.values()]}


def told_json(answer: Answered) -> dict[str, Any]:
    """The answer but for its conclusions one by one."""
    explanation = answer.explanation
    account = explanation.account
    return {
        **head(answer),
        "referral": referral_json(answer.referral),
        "leading": [key_json(key) for key in explanation.leading],
        "account": [_chain(chain, explanation) for chain in account.starting_points],
        "account_ties": [[key_json(key) for key in choice] for choice in account.ties],
        "too_little_to_say": account.too_little,
        "look_at": [_unchecked(u) for u in account.look_at],
        "notable": [finding_json(f) for f in explanation.notable],
        "unexplained": [finding_json(f) for f in account.unexplained],
        "not_checked": [_unchecked(u) for u in explanation.not_checked],
        "circumstances": [finding_json(f) for f in explanation.circumstances],
        "measured": [measured_json(told) for told in measured(answer.visit, answer.ready.book)],
        "plan": _plan(answer),
    }


def plan_json(answer: Answered) -> dict[str, Any]:
    """The referral and the plan."""
    return {**head(answer), "referral": referral_json(answer.referral), "plan": _plan(answer)}


def why_json(answer: Answered, places: Sequence[WhyHere]) -> dict[str, Any]:
    """What lies behind one place, for each side asked about."""
    return {**head(answer), "places": [_why(why) for why in places]}


def _why(why: WhyHere) -> dict[str, Any]:
    return {
        "where": why.where,
        "name": why.name,
        "side": why.side or None,
        "finding": None if why.finding is None else finding_json(why.finding),
        "not_examined": why.not_examined or None,
        "notable": why.notable,
        "reasons": [
            {"path": [key_json(key) for key in reason.path], **concluded_json(reason.concluded)}
            for reason in why.reasons
        ],
        "others": [concluded_json(c) for c in why.others],
        "not_checked": [_unchecked(u) for u in why.not_checked],
    }


def key_json(key: Key) -> dict[str, Any]:
    """A conclusion and its side."""
    return {"key": key[0], "side": key[1] or None}


def finding_json(finding: Finding) -> dict[str, Any]:
    """Something recorded."""
    return {
        "where": finding.where,
        "name": finding.name,
        "side": finding.side or None,
        "value": finding.value,
        "file": finding.file,
        "line": finding.line,
        "degree": number(finding.degree),
    }


def _missing(unchecked: Unchecked) -> dict[str, Any]:
    """Short, because it stands under every conclusion; how to look at it is told once, at the top."""
    return {"where": unchecked.where, "name": unchecked.name, "side": unchecked.side or None}


def _unchecked(unchecked: Unchecked) -> dict[str, Any]:
    return {
        **_missing(unchecked),
        "question": unchecked.question,
        "how": unchecked.how,
        "safety": unchecked.safety,
        "tells": list(unchecked.tells),
    }


# -- conclusions -------------------------------------------------------------------------------------------------------


def concluded_json(concluded: Concluded) -> dict[str, Any]:
    """One conclusion with its evidence."""
    return {
        "key": concluded.key,
        "kind": concluded.kind,
        "side": concluded.side or None,
        "certainty": number(concluded.certainty),
        "lower": number(concluded.lower),
        "upper": number(concluded.upper),
        "band": concluded.band,
        "lower_band": concluded.lower_band,
        "upper_band": concluded.upper_band,
        "words": concluded.words,
        "plain": concluded.plain,
        "supporting": [item_json(item) for item in concluded.supporting],
        "opposing": [item_json(item) for item in concluded.opposing],
        "silent": [_silent(rule) for rule in concluded.silent],
        "not_checked": [_missing(u) for u in concluded.not_checked],
        "accounts_for": [finding_json(f) for f in concluded.accounts_for],
        "leads_to": [key_json(key) for key in concluded.leads_to],
        "basis": list(concluded.basis),
        "can_mislead": concluded.can_mislead,
        "file": concluded.file,
    }


def item_json(item: Item) -> dict[str, Any]:
    """One rule at work."""
    return {
        "rule": item.rule,
        "name": item.name,
        "strength": number(item.strength),
        "degree": number(item.degree),
        "contribution": number(item.contribution),
        "share": number(item.share),
        "because": item.because,
        "basis": list(item.basis),
        "sure": item.sure,
        "file": item.file,
        "line": item.line,
        "findings": [finding_json(f) for f in item.findings],
        "via": [key_json(key) for key in item.via],
        "lessened_by": list(item.lessened_by),
        "gated": item.gated,
    }


def _silent(rule: Silent) -> dict[str, Any]:
    return {
        "rule": rule.rule,
        "name": rule.name,
        "strength": number(rule.strength),
        "state": rule.state,
        "support": number(rule.support),
        "findings": [finding_json(f) for f in rule.findings],
        "waiting_on": [_missing(u) for u in rule.waiting_on],
    }


def _chain(chain: Chain, explanation: Explanation) -> dict[str, Any]:
    concluded = explanation.concluded[chain.key, chain.side]
    return {
        **key_json((chain.key, chain.side)),
        "words": concluded.words,
        "band": concluded.band,
        "certainty": number(concluded.certainty),
        "loop": [key_json(key) for key in chain.loop],
        "leads_to": [_chain(lead, explanation) for lead in chain.leads],
    }


# -- referral and plan -------------------------------------------------------------------------------------------------


def referral_json(referral: Referral) -> dict[str, Any]:
    """The reasons to call and what a veterinarian's word opens."""
    return {
        "level": referral.level,
        "concerns": [_concern(concern) for concern in referral.concerns],
        "releases": [_release(release) for release in referral.releases],
    }


def _concern(concern: RaisedConcern) -> dict[str, Any]:
    return {
        "key": concern.key,
        "side": concern.side or None,
        "place": concern.place or None,
        "call": concern.call,
        "when": concern.when,
        "words": concern.words,
        "plain": concern.plain,
        "stops": list(concern.stops),
        "released": list(concern.released),
        "while_you_wait": list(concern.while_you_wait),
        "tell_the_vet": list(concern.tell_the_vet),
        "signs": [{"sign": s, "because": because, "basis": list(bases)} for s, because, bases in concern.signs],
        "findings": [finding_json(f) for f in concern.findings],
        "folds": [
            {"key": f.key, "call": f.call, "words": f.words, "file": f.file, "line": f.line} for f in concern.folds
        ],
        "file": concern.file,
        "line": concern.line,
    }


def _release(release: Release) -> dict[str, Any]:
    return {
        "who": release.who,
        "seen": release.seen,
        "until": release.until or None,
        "about": list(release.about),
        "allows": list(release.allows),
        "forbids": list(release.forbids),
        "holds": release.holds,
        "closed_because": release.closed_because,
        "line": release.line,
    }


def _plan(answer: Answered) -> dict[str, Any]:
    plan, explanation = answer.plan, answer.explanation
    return {
        "riding": plan.riding.answer,
        "riding_says": riding_words.riding(answer),
        "riding_because": list(plan.riding.because),
        "steps": [step_json(step) for step in plan.steps],
        "withheld": [
            {
                "key": held.key,
                "side": held.side or None,
                "kind": held.kind,
                "words": held.words,
                "because": list(held.because),
            }
            for held in plan.withheld
        ],
        "owner_tasks": [
            {
                "key": task.key,
                "side": task.side or None,
                "words": task.words,
                "stop_and_ring_me_if": task.stop_and_ring_me_if,
                "ring_the_vet_if": task.ring_the_vet_if,
            }
            for task in plan.owner_tasks
        ],
        "recheck_days": plan.recheck_days,
        "recheck_on": plan.recheck_on or None,
        "cautions": list(plan.cautions),
        "not_checked": list(dict.fromkeys(u.name for u in explanation.not_checked)),
    }
