"""An ended practice session set beside the reasoner, choice by choice.

In: a `Session` that has ended, the rulebook. Out: `Marked`.
Not here: what an error weighs (rules/measures/practise.yaml), looks (marking_looks), sentences.

Everything is judged by the same reasoner twice: on what the apprentice had seen, and on the whole case. A cause is right
where the account of the whole case begins with it, or where the case was made from it; a referral is right where it is what
stands on what was seen. Nobody is marked down for a sign that they had no way of knowing; a call that looks left open would
have shown is one they could have known of. So is a cause; at an emergency none is asked for, for nothing more is looked at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import cast

from reasoner.consult import Answer, judge
from reasoner.explanation.from_record import OTHER, filled
from reasoner.explanation.model import Chain, Finding, Item
from reasoner.plan.selection import CALL, Wanted, stopped_by_referral
from reasoner.problems import BadInput, Problem
from reasoner.questions.next_check import EMERGENCY
from reasoner.rulebook.measures.practise import Practise
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rules_cache import Ready
from reasoner.teaching.marked import Cause, LookMade, Marked, Referred, Step, Sureness, Told
from reasoner.teaching.marking_looks import looks_made, looks_missed
from reasoner.teaching.offered import offered
from reasoner.teaching.recovery import first_points, starting_points
from reasoner.teaching.scoring_rules import brier, logarithmic
from reasoner.teaching.session import NONE, Key, Session, outcomes, seen_by

TABLE = "practise"
SKILLS = ("looking", "causes", "sides", "referral", "plan", "certainty")


def table_of(book: Rulebook) -> Practise:
    """The table of practice. Raises BadInput (TE44) where the rules in use hold none."""
    if TABLE not in book.measures:
        raise BadInput([Problem("--rules", 0, "TE44", "these rules hold no measures/practise.yaml, so a session cannot be "
                                                      "marked.",
                                "Lay them over the shipped ones: --rules shipped --rules DIR.")])  # fmt: skip
    return cast(Practise, book.measures[TABLE])


def marked(session: Session, ready: Ready, looks: Sequence[LookMade] | None = None) -> Marked:
    """The session beside the reasoner; `looks` are its looks where they have been judged already (marking_looks). Raises BadInput
    (TE52) where it has not ended: nothing is told before."""
    if not session.ended:
        raise BadInput(
            [Problem("practise", 0, "TE52", "this session has not ended, and nothing is told before it has.")]
        )
    table, book = table_of(ready.book), ready.book
    seen, whole = seen_by(session, ready), judge(session.case.visit, ready)
    looks = tuple(looks_made(session, ready, table.looks)) if looks is None else tuple(looks)
    missed_looks = tuple(looks_missed(session, seen, whole, table.looks))
    offer = offered(session, seen)
    could = seen_by(replace(session, looks=(*session.looks, *(check.key for check in offer.checks))), ready)
    thinks = _Thoughts(session, seen, whole, could)
    referral = _referral(session, seen, whole, could)
    steps = _steps(session, seen)
    right, other, stopped, missed_steps = steps
    sureness = _sureness(session, seen, whole)
    weights = table.weights
    lost = tuple((what, points) for what, points in (
        ("referral too low", weights.referral_too_low * referral.low),
        ("a call that looks left open would have shown", weights.referral_not_seen * referral.not_seen),
        ("referral too high", weights.referral_too_high * referral.high),
        ("a step that something standing stops", weights.stopped_step * len(stopped)),
        ("causes missed", weights.cause_missed * len(thinks.missed)),
        ("the wrong side", weights.wrong_side * len(thinks.other_side)),
        ("jumped to", weights.jumped_to * len(thinks.jumped_to)),
        ("looks missed", weights.look_missed * len(missed_looks)),
        ("steps missed", weights.step_missed * len(missed_steps)),
        ("steps that nothing seen asks for", weights.step_beside * len(other)),
    ) if points)  # fmt: skip
    truth = (session.case.cause, session.case.side) if session.case.cause else None
    return Marked(
        truth=truth, starting_points=thinks.causes(starting_points(whole)), looks=looks, looks_missed=missed_looks,
        closed=offer.left, found=thinks.found, on_the_way=thinks.on_the_way, supported=thinks.supported,
        jumped_to=thinks.jumped_to,
        other_side=thinks.other_side, missed=thinks.missed, out_of_reach=thinks.out_of_reach,
        referral=referral, steps_right=right, steps_other=other,
        steps_stopped=stopped, steps_missed=missed_steps, sureness=sureness, lost=lost,
        points=max(0.0, 100.0 - sum(points for _, points in lost)),
        skills=_skills(looks, missed_looks, thinks, referral, steps, sureness, len(outcomes(book))),
    )  # fmt: skip


class _Thoughts:
    """The causes held last, sorted by how they stand beside the account of the whole case; `could` is the answer to what was
    seen and everything that was open to the end."""

    def __init__(self, session: Session, seen: Answer, whole: Answer, could: Answer) -> None:
        self.thinks, self.seen, self.whole = session.thinks, seen, whole
        self.known = {(t.place, t.side or "") for t in seen.visit.touches} | {
            (n.key, n.side or "") for n in seen.visit.noted
        }
        self.known |= {(n.key, n.side or "") for n in seen.facts.worked_out}
        kinds = whole.ready.book.conclusions
        starts = [key for key in starting_points(whole) if kinds[key[0]].kind == "cause"]
        chain = {key for one in whole.explanation.account.starting_points for key in _chain(one)}
        held, sides = list(self.thinks), {key: (key[0], OTHER[key[1]]) for key in self.thinks}
        # What a case was made from is right, whatever the rules make of it; who holds it has missed nothing.
        truth = (session.case.cause, session.case.side)
        right = {*starts, truth}
        self.found = self.causes(key for key in held if key in right)
        turned = [key for key in held if key not in right and key[1] and sides[key] in right]
        self.other_side = self.causes(turned, by={key: sides[key] for key in turned})
        rest = [key for key in held if key not in right and key not in turned]
        self.on_the_way = self.causes(key for key in rest if key in chain)
        rest = [key for key in rest if key not in chain]
        speaks = {key for key in rest if _supported(seen, key) or _supported(whole, key)}
        self.supported = self.causes(key for key in rest if key in speaks)
        self.jumped_to = self.causes((key for key in rest if key not in speaks), against=True)
        turned_to = {sides[key] for key in turned}
        left = [] if truth in held else [key for key in starts if key not in held and key not in turned_to]
        within = [key for key in left if seen.referral.level != EMERGENCY and _supported(could, key)]
        self.missed = self.causes(within)
        self.out_of_reach = self.causes([key for key in left if key not in within])

    def causes(
        self, keys: Iterator[Key] | Sequence[Key], *, against: bool = False, by: dict[Key, Key] | None = None
    ) -> tuple[Cause, ...]:
        """Each cause with the rules that speak for it, or against; `by`: those of another in its place."""
        return tuple(self._cause(key, (by or {}).get(key, key), against) for key in keys)

    def _cause(self, key: Key, told_by: Key, against: bool) -> Cause:
        page = self.whole.ready.book.conclusions[key[0]]
        shown = self.whole.explanation.concluded[told_by]
        items = shown.opposing if against else shown.supporting
        return Cause(
            key=key[0], side=key[1], words=filled(page.says, key[1]), share=self.thinks.get(key, 0.0),
            seen=self.seen.record.certainty(*key), whole=self.whole.record.certainty(*key),
            told=tuple(self._told(item) for item in items),
        )  # fmt: skip

    def _told(self, item: Item) -> Told:
        unseen = tuple(one for one in item.findings if (one.where, one.side) not in self.known)
        return Told(item.rule, item.name, item.because, item.basis, item.file, item.line, item.findings, unseen)


def _chain(chain: Chain) -> Iterator[Key]:
    yield chain.key, chain.side
    yield from chain.loop
    for one in chain.leads:
        yield from _chain(one)


def _supported(answer: Answer, key: Key) -> bool:
    return answer.ready.book.scales.band(answer.record.certainty(*key)) not in ("none", "against")


def _referral(session: Session, seen: Answer, whole: Answer, could: Answer) -> Referred:
    degrees = (NONE, *seen.ready.book.scales.calls)
    said = session.referral or NONE
    off = degrees.index(seen.referral.level) - degrees.index(said)
    known = {(n.key, n.side or "") for n in seen.visit.noted} | {(t.place, t.side or "") for t in seen.visit.touches}

    def unseen(findings: Sequence[Finding]) -> tuple[Finding, ...]:
        return tuple(one for one in findings if (one.where, one.side) not in known)

    told = tuple(
        Told(concern.key, sign, because, basis, concern.file, concern.line, concern.findings, unseen(concern.findings))
        for concern in whole.referral.concerns
        for sign, because, basis in concern.signs
    )
    not_seen = degrees.index(could.referral.level) - max(degrees.index(said), degrees.index(seen.referral.level))
    return Referred(said, seen.referral.level, whole.referral.level, max(off, 0), max(-off, 0), max(not_seen, 0), told)


def _steps(
    session: Session, seen: Answer
) -> tuple[tuple[Step, ...], tuple[Step, ...], tuple[Step, ...], tuple[Step, ...]]:
    """(right, other, stopped, missed): the steps proposed beside the plan that stands on what was seen."""
    book, standing = seen.ready.book, seen.plan.standing
    right: list[Step] = []
    other: list[Step] = []
    stopped: list[Step] = []
    for key, side in session.steps:
        because = what_stops((key, side), seen)
        step = Step(key, side, filled(book.actions[key].says, side), because)
        (stopped if because else right if (key, side) in standing else other).append(step)
    missed = tuple(
        Step(one.key, one.side, one.words)
        for one in seen.plan.steps
        if not {(part.key, part.side) for part in one.parts} & set(session.steps)
    )
    return tuple(right), tuple(other), tuple(stopped), missed


def what_stops(step: Key, answer: Answer) -> tuple[str, ...]:
    """Why something standing in this answer stops a step; empty where nothing does."""
    page, book = answer.ready.book.actions[step[0]], answer.ready.book
    wanted = Wanted(page, step[1], (), (), _works_on(page.works_on, step[1]))
    return () if page.kind == CALL else tuple(stopped_by_referral(wanted, answer.referral, book))


def _works_on(entries: Sequence[dict[str, object]], side: str) -> tuple[Key, ...]:
    """The places a step works on; where no side says which, both."""
    found: list[Key] = []
    for entry in entries:
        for place in entry:
            if place != "line":
                found += [(place, one) for one in ((side,) if side else ("left", "right", ""))]
    return tuple(found)


def _sureness(session: Session, seen: Answer, whole: Answer) -> Sureness:
    """The last thought scored by what the case was made from; of a real visit by where the account begins, if it begins with one
    cause and no emergency kept everybody from looking for it."""
    book = whole.ready.book
    every = outcomes(book)
    came: Key | None = (session.case.cause, session.case.side)
    if came not in every and seen.referral.level == EMERGENCY:
        came = None
    elif came not in every:
        first = [key for key in first_points(whole) if key in every]
        came = first[0] if len(first) == 1 else None
    if came is None:
        return Sureness(None, 0.0, 0.0, 0.0, 0.0, 0.0)
    thinks, count = dict(session.thinks), len(every)
    return Sureness(
        came, thinks.get(came, 0.0), brier(thinks, count, came), logarithmic(thinks, count, came), brier({}, count, came),
        logarithmic({}, count, came),
    )  # fmt: skip


def _skills(
    looks: Sequence[LookMade], missed_looks: Sequence[object], thinks: _Thoughts, referral: Referred,
    steps: tuple[Sequence[Step], Sequence[Step], Sequence[Step], Sequence[Step]], sureness: Sureness, count: int,
) -> tuple[tuple[str, float | None], ...]:  # fmt: skip
    """Each skill as a share of what could have been right; None where there was nothing to show."""
    right, other, stopped, missed = steps
    good = sum(look.telling for look in looks)
    held = len(thinks.found) + len(thinks.other_side) + len(thinks.jumped_to) + len(thinks.missed)
    sided = [cause for cause in (*thinks.found, *thinks.other_side) if cause.side]
    wanted = len(right) + len(other) + len(stopped) + len(missed)
    shares: tuple[float | None, ...] = (
        _share(good, len(looks) + len(missed_looks)), _share(len(thinks.found), held),
        _share(len(sided) - len(thinks.other_side), len(sided)),
        0.0 if referral.low or referral.not_seen else 0.5 if referral.high else 1.0,
        _share(len(right), wanted),
        None if sureness.came is None else max(0.0, 1.0 - sureness.logarithmic / sureness.alike_logarithmic),
    )  # fmt: skip
    return tuple(zip(SKILLS, shares, strict=True))


def _share(part: int, whole: int) -> float | None:
    return part / whole if whole else None
