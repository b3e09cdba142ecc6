"""What was heard, sorted: findings that may be entered, what was left out, questions, and pieces kept as a note.

In: `Heard` and the words of the line. Out: `Understood`.
Not here: how a line is heard, how an answer to a question is taken in.

INVARIANT: a finding comes out only with a known place and side, and a reading the visit can hold; all else becomes a question or
stays as a piece of text.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal, cast

from reasoner.lines.drafts import Draft
from reasoner.lines.heard import Heard, LeftOut
from reasoner.lines.keeping import Clauses
from reasoner.lines.model import Finding, Part, PassedOver, Question, Understood
from reasoner.lines.questions import asked_of, possible, quiet_region
from reasoner.lines.words import Word
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Side

NO_REASON = "other"
SideOrBoth = Literal["left", "right", "both"]


def outcome_of(line: str, words: Sequence[Word], heard: Heard, clauses: Clauses) -> Understood:
    """The line, understood."""
    vocabulary = heard.lexicon.vocabulary
    _decide_opening_right(heard)
    for draft in heard.drafts:
        draft.torn = draft.torn or (
            any(first <= draft.first and draft.last <= last for first, last in clauses.torn()) and not draft.entry
        )
    for draft in heard.drafts:
        if (
            draft.side is None
            and quiet_region(draft, vocabulary)
            and clauses.says(draft.clause, heard.lexicon.speech.lists["whole"])
        ):
            draft.side = "both"  # "whole neck quiet": all of it has both sides
    kept, silent = clauses.kept(heard)
    for number in silent & clauses.corrections():
        for draft in [d for d in heard.drafts if d.clause < number][-1:]:
            draft.asked = True  # "loin right six, that's his left, sorry": said otherwise, and nobody knows how
    drafts = _merged([d for d in heard.drafts if d.clause not in silent])
    for draft in drafts:
        if draft.of_both and draft.side in clauses.sides_kept_behind(draft, heard.drafts, silent):
            draft.values = replace(draft.values, numbers=[], nothing=False, sore=True)  # "both two, right twice that"
    left_out = [one for one in heard.left_out if one.clause not in silent]
    drafts = [d for d in drafts if not (d.values.empty and not d.value and _told_elsewhere(d, drafts, left_out, heard))]
    passing = [d for d in drafts if _in_passing(d, drafts)]
    drafts = [d for d in drafts if d not in passing]
    kept += [clauses.of(d.clause) for d in passing]
    _doubt_beside(drafts)
    findings: list[Finding] = []
    questions: list[Question] = []
    nowhere = [d for d in drafts if d.spot is None and not d.entry]
    if nowhere:
        said = clauses.text(min(d.first for d in nowhere), max(d.last for d in nowhere))
        parts = tuple(Part(side=cast("SideOrBoth | None", d.side), reading=d.values.reading()) for d in nowhere)
        questions.append(Question(ask="place", about=(said,), offers=(), words=said, parts=parts))
    torn = [d for d in drafts if d.torn and d.spot is not None and len(d.spot.keys) == 1]
    for key in dict.fromkeys(d.about[0] for d in torn):
        questions.append(_torn(key, [d for d in torn if d.about[0] == key], clauses))
    for draft in [d for d in drafts if d not in nowhere and d not in torn]:
        said = clauses.text(draft.first, draft.last) or (draft.origin.words if draft.origin else line)
        for one in asked_of(draft, said, vocabulary):
            if isinstance(one, Question):
                questions.append(one)
            else:
                findings.append(one)
    passed: list[PassedOver] = []
    for passed_by in left_out:
        _but_for(passed_by, drafts)
        said = clauses.text(passed_by.first, passed_by.last)
        told = _passed_over(passed_by, said, vocabulary)
        if isinstance(told, Question):
            questions.append(told)
        else:
            passed += told
    return Understood(
        line=line, findings=_once(findings), not_examined=tuple(dict.fromkeys(passed)), questions=_joined(questions),
        kept=tuple(kept), withdrawn=tuple(heard.withdrawn),
    )  # fmt: skip


def _once(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    out: dict[tuple[str, Side | None, str], Finding] = {}
    for finding in findings:
        out[finding.key, finding.side, finding.reading.when] = finding
    return tuple(out.values())


def _joined(questions: Sequence[Question]) -> tuple[Question, ...]:
    """Questions about the same, as one."""
    out: dict[tuple[str, tuple[str, ...], str], Question] = {}
    for question in questions:
        key = (question.ask, question.about, question.entry)
        known = out.get(key)
        if known is None or known.parts == question.parts:
            out[key] = question
        else:
            offers = tuple(dict.fromkeys((*known.offers, *question.offers)))
            out[key] = replace(known, offers=offers, parts=(*known.parts, *question.parts))
    return tuple(out.values())


def _decide_opening_right(heard: Heard) -> None:
    """ "Right" at the start of a line may only open the mouth. It is the side where the same place gets its other side further
    on, or where a side stands before a place again."""
    for at, draft in enumerate(heard.drafts):
        if not draft.opens:
            continue
        later = heard.drafts[at + 1 :]
        other = any(d.about == draft.about and d.side == "left" for d in later)
        again = any(d.before and d.side in ("left", "right") for d in later)
        if draft.spot and all(heard.lexicon.vocabulary.places[k].sides == "midline" for k in draft.spot.keys):
            continue  # a place on the middle line with a side: asked
        if not (other or again):
            draft.side = None
        draft.opens = False


def _merged(drafts: Sequence[Draft]) -> list[Draft]:
    """Drafts of one place on one side as one; "both" as two."""
    out: list[Draft] = []
    for draft in [one for each in drafts for one in _each_side(each)]:
        twin = next((d for d in out if d.about == draft.about and d.side == draft.side and not d.entry
                     and d.asked == draft.asked and d.spot is not None), None)  # fmt: skip
        if twin is not None and draft.side is not None:
            if (twin.of_both or draft.values.more) and draft.values.sore and not draft.values.counted:
                twin.values.numbers, twin.values.nothing = (
                    [],
                    False,
                )  # "both two, right a bit more": two of the left alone
            twin.values.add(draft.values)
            twin.verb = twin.verb and draft.verb
            continue
        out.append(draft)
    return out


def _each_side(draft: Draft) -> list[Draft]:
    if draft.side != "both" or draft.entry or draft.spot is None or len(draft.spot.keys) > 1 or draft.asked:
        return [draft]
    return [replace(draft, side=side, values=draft.values.copy(), of_both=True) for side in ("left", "right")]


def _torn(key: str, drafts: Sequence[Draft], clauses: Clauses) -> Question:
    """Numbers and sides that do not go together: what was said is asked for anew."""
    numbers = dict.fromkeys(n for d in drafts for n in (*d.values.numbers, *d.values.maybe) if possible(n))
    said = clauses.text(min(d.first for d in drafts), max(d.last for d in drafts))
    offers = tuple(f"{n.normalize():f}" for n in numbers)
    return Question(ask="reading", about=(key,), offers=offers, words=said, places=(key,), parts=(Part(),))


def _doubt_beside(drafts: Sequence[Draft]) -> None:
    """Where one place gets two numbers on a side, the numbers of that breath may belong to the places beside it as well: their
    sides are asked, too."""
    here = [d for d in drafts if d.spot is not None and not d.entry]
    crowded = {
        d.clause: d for d in here if len({*d.values.numbers}) + (d.values.nothing and not d.values.unanswered) > 1
    }
    for draft in here:
        draft.asked = draft.asked or crowded.get(draft.clause, draft) is not draft


def _but_for(one: LeftOut, drafts: Sequence[Draft]) -> None:
    """What was left out of a place with no side said is the other side, where one of them was graded in the same line."""
    if one.side is not None or one.spot is None or len(one.spot.keys) != 1:
        return
    sides = {d.side for d in drafts if d.about == one.spot.keys and not d.values.empty and not d.asked}
    if sides in ({"left"}, {"right"}):
        one.side = "right" if "left" in sides else "left"


def _told_elsewhere(draft: Draft, drafts: Sequence[Draft], left_out: Sequence[LeftOut], heard: Heard) -> bool:
    """Whether more was said of the same place, so that naming it asks nothing."""
    strange = draft.side in ("left", "right") and any(clause == draft.clause for *_, clause in heard.junk)
    if strange and not any(d is not draft and d.about == draft.about and d.side == draft.side for d in drafts):
        return False  # something was said of this side, and nobody knows what
    ends = draft.last == len(heard.words) and not draft.own and draft.side in ("left", "right")
    if ends and not any(d.side == draft.side and d is not draft for d in drafts if d.about == draft.about):
        return False  # "poll right three, silly me, left": the other side, said last, and nothing of it
    twins = [d for d in drafts if d is not draft and d.entry == draft.entry and d.side == draft.side]
    if draft.unread and draft.side in ("left", "right") and not any(d.value for d in twins):
        return False  # "dry patch left, right none": the left has its own reading
    if any(d is not draft and d.about == draft.about and not (d.values.empty and not d.value) for d in drafts):
        return True
    return any(one.spot is not None and one.spot.keys == draft.about for one in left_out)


def _in_passing(draft: Draft, drafts: Sequence[Draft]) -> bool:
    """ "Glutes not too bad, left two, right two": said of a place in passing, where its sides have readings of their own."""
    vague = draft.values.sore and not draft.values.counted and not draft.values.later and not draft.entry
    if not vague or draft.side is not None or draft.asked or draft.values.responses or draft.values.felt:
        return False
    return any(d.about == draft.about and d.side is not None and d.values.counted and not d.asked for d in drafts)


def _passed_over(one: LeftOut, said: str, vocabulary: Vocabulary) -> list[PassedOver] | Question:
    reason = one.reason
    side = cast("SideOrBoth | None", one.side)
    spot = one.spot
    if one.doubt:
        about = (one.entry,) if one.entry else (_about(spot.keys, spot.said) if spot else said,)
        places = spot.legs or spot.keys if spot else ()
        return Question(ask="verb", about=about, offers=("left side", "not examined"), words=said, places=places,
                        entry=one.entry)  # fmt: skip
    if one.entry:
        sided = vocabulary.observations[one.entry].sides == "each"
        return [
            PassedOver(kind="entry", key=one.entry, side=(side or "both") if sided else None, reason=reason, words=said)
        ]
    if spot is None:
        return Question(
            ask="place", about=(one.pronoun or said,), offers=(), words=said, parts=(Part(side=side),), left_out=True
        )
    if spot.region and len(spot.keys) > 1 and not spot.legs:
        return [PassedOver(kind="region", key=spot.region, side=side or "both", reason=reason, words=said)]
    return [
        PassedOver(kind="place", key=key, side=None if vocabulary.places[key].sides == "midline" else side or "both",
                   reason=reason, words=said)
        for key in spot.legs or spot.keys
    ]  # fmt: skip


def _about(keys: tuple[str, ...], said: str) -> str:
    return keys[0] if len(keys) == 1 else said
