"""What was said is taken back or said otherwise: "no, left", "make that five", "scratch that", "swap those".

In: a statement and what was heard before it, in this line or in the visit's last lines. Out: the drafts, changed.
Not here: how a visit file is changed.

INVARIANT: a correction only ever changes the last thing said, or what it names; where it could mean two things, it is asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reasoner.lines.drafts import Draft, Values, values_of
from reasoner.lines.grammar import Statement
from reasoner.lines.heard import Heard, LeftOut, narrowed, parts_of, span, tokens_in
from reasoner.lines.lexicon import Meaning
from reasoner.lines.model import Finding
from reasoner.lines.said import Said, SideSaid, Spot
from reasoner.lines.statements import add_drafts, add_stated, side_of

_OTHER = {"left": "right", "right": "left"}


def corrected(heard: Heard, statement: Statement) -> None:
    """The last finding, with what was said otherwise in its place."""
    tokens = [t for t in tokens_in(statement) if t.kind not in ("NO", "MAKE")]
    last = _last(heard)
    if any(t.kind in ("STATED", "UNREAD") for t in tokens):
        _entry(heard, statement, last)
        return
    sides, spots, value_tokens = parts_of(statement)
    values = values_of(value_tokens)
    side, _, contradict, _ = side_of(heard, sides, None) if sides else (None, False, False, False)
    if any(_says_other(t) for t in sides) and last is not None:
        side = last.side if _said_of_the_other(heard, last) else _OTHER.get(last.side or "")
    if not tokens:
        return
    if passed := _last_left_out(heard):
        if values.empty and not contradict:
            _left_out_instead(heard, passed, spots, side, any(_says_other(t) for t in sides))
            return
        if not spots:
            heard.junk.append(
                (*span(tokens_in(statement)), heard.clause)
            )  # "croup not done, no, four": of which is not said
            return
        last = None  # "right not done, sorry, croup left four": nothing that was found before is meant
    no = next((t for t in tokens_in(statement) if t.kind == "NO"), None)
    denied = no is not None and any(word.text == "not" for word in heard.words[no.first : no.last])
    if denied and sides and values.empty and not spots and last is not None:
        last.asked = last.asked or side in (None, last.side)  # "no, not the left"
        return
    if last is None:
        if values.empty and spots and not sides:  # "sorry, not the loin": nothing had been said of it
            heard.junk.append((*span(tokens_in(statement)), heard.clause))
            return
        add_drafts(heard, spots, side, values, tokens, asked=contradict)
        return
    place = [narrowed(spot, heard.looking_at) for spot in spots]
    if values.empty and place and not sides and last.spot is not None and {*place[0].keys} == {*last.spot.keys}:
        _drop(heard, last)  # "no, not the loin"
        return
    new = last.values.instead(values)
    spot: Spot | None = place[0] if place else last.spot
    same = next((d for d in heard.drafts if side and d.spot == spot and d.side == side and not last.entry), None)
    other = any(_says_other(t) for t in sides)
    if same is not None and same is not last and other and not values.empty and last.side in _OTHER:
        last.values, last.torn, same.torn = new, True, True  # "left two right two, no, three on the other": of which?
        return
    if same is not None and same is not last:
        if values.empty:
            last.asked = True  # "left 4, right 3, no, left": which of the two was wrong is not said
            return
        same.values = same.values.instead(values)
        heard.group = [same]
        return
    added = other or _made_of_it(heard, statement)
    if added and side in _OTHER and last.side == _OTHER[side] and values.counted and not place:
        draft = replace(
            last, side=side, values=new, first=tokens[0].first, last=tokens[-1].last, origin=None, clause=heard.clause
        )
        # "Left three, make the right four": whether the left stays is not said; what an earlier line entered does.
        last.torn = draft.torn = last in heard.drafts
        draft.asked = True
        heard.drafts.append(draft)
        heard.group = [draft]
        return
    told_anew = heard.beside in ("graded", "behind")  # "both three, no, left three right one": both of them
    if last.side == "both" and side in _OTHER and not values.empty and not (place or last.entry or told_anew):
        last.side = _OTHER[side]  # "both four, no, right five": the left stays a four
        heard.drafts.append(
            replace(last, side=side, values=new, first=tokens[0].first, last=tokens[-1].last, asked=contradict)
        )
        heard.group = heard.drafts[-1:]
        return
    kept_side = None if place and not values.empty and not sides else last.side
    first, end = span([*tokens_in(statement)])
    changed = replace(
        last, spot=spot, side=side or kept_side, values=new, first=min(last.first, first), last=end, asked=contradict,
        opens=False, verb=False, clause=heard.clause if last.origin else last.clause,
    )  # fmt: skip
    if last.entry and side and not values.counted:
        changed.value = _sided_value(heard, last, side)
    _instead(heard, last, changed)


def _said_of_the_other(heard: Heard, last: Draft) -> bool:
    """Whether its own side was said as "the other": then "the other" behind it is that one still."""
    words = heard.words[last.first : last.last]
    return any(m.kind == "other_side" for word in words for m in heard.lexicon.meanings(word.text))


def _made_of_it(heard: Heard, statement: Statement) -> bool:
    """ "Make it", with no "no" right before it."""
    tokens = tokens_in(statement)
    if tokens[0].kind != "MAKE" or any(t.kind == "NO" for t in tokens):
        return False
    before = heard.words[tokens[0].first - 1].text if tokens[0].first else ""
    return not any(m.kind == "correct_no" for m in heard.lexicon.meanings(before))


def _says_other(token: Said) -> bool:
    return isinstance(token.value, SideSaid) and token.value.side == "other"


def _left_out_instead(
    heard: Heard, passed: Sequence[LeftOut], spots: Sequence[Spot], side: str | None, other: bool
) -> None:
    """ "Left the right stifle, no, the left", "no, the other side", "sorry, the loin": said of what was left out."""
    for one in passed:
        if spots:
            one.spot, one.entry = narrowed(spots[0], heard.looking_at), ""
        one.side = _OTHER.get(one.side or "", one.side) if other else side or one.side


def _sided_value(heard: Heard, last: Draft, side: str) -> str:
    """The reading of an entry whose reading is a side; any other keeps its own."""
    entry = heard.lexicon.vocabulary.observations[last.entry]
    return side if entry.kind == "side" and side in _OTHER else last.value


def _entry(heard: Heard, statement: Statement, last: Draft | None) -> None:
    tokens = [t for t in tokens_in(statement) if t.kind not in ("NO", "MAKE")]
    held = next(t.value for t in tokens if t.kind in ("STATED", "UNREAD"))
    if not isinstance(held, Meaning):
        return
    sides = [t for t in tokens if t.kind == "SIDE"]
    if last is not None and last.entry in (held.key, *held.keys) and not any(t.kind == "STATED" for t in tokens):
        side, _, contradict, _ = side_of(heard, sides, None)
        _instead(
            heard, last, replace(last, side=side or last.side, asked=contradict, opens=False, last=tokens[-1].last)
        )
        return
    if last is not None:
        _drop(heard, last)
    made = add_stated(heard, tokens)
    if made is not None and last is not None and last.entry == made.entry and not sides:
        made.side = last.side


def taken_back(heard: Heard, statement: Statement) -> None:
    """The last thing said is as if it had not been."""
    if passed := _last_left_out(heard):
        heard.left_out = [one for one in heard.left_out if one not in passed]
        return
    last = _last(heard)
    if last is None:
        heard.junk.append((*span(tokens_in(statement)), heard.clause))
        return
    spot = last.spot
    _drop(heard, last)
    heard.group = [Draft(spot, None, Values(), last.first, last.last, last.clause, own=False)] if spot else []
    heard.corrected = True


def swapped(heard: Heard, statement: Statement) -> None:
    """Left and right of the last place change."""
    last = _last(heard)
    if last is None:
        heard.junk.append((*span(tokens_in(statement)), heard.clause))
        return
    for draft in [d for d in heard.drafts if d.about == last.about]:
        draft.side = _OTHER.get(draft.side or "", draft.side)
    if last.origin is not None:
        for finding in heard.earlier[-2:]:
            if finding.key == last.origin.key and finding not in heard.withdrawn:
                one = _from_finding(heard, finding)
                one.side = _OTHER.get(one.side or "", one.side)
                heard.drafts.append(one)
                heard.withdrawn.append(finding)


def doubted(heard: Heard, statement: Statement) -> None:
    """ "Wrong side", "or was it the left?", "except the left": the sides of what was said last are asked."""
    last = _last(heard)
    (token,) = tokens_in(statement)
    other = isinstance(token.value, Meaning) and token.value.kind == "correct_except"
    if last is None:
        heard.doubt_next = not other  # "the left (or is it right?) loin, four"
        heard.junk.append((*span(tokens_in(statement)), heard.clause))
        return
    if other and heard.following in ("graded", "trailing", "fronted", "behind", "backward"):
        return  # "except the left, a two": beside the nothing of both it is asked
    if last not in heard.drafts:
        _instead(heard, last, replace(last, asked=True))
    for draft in heard.group or [last]:
        draft.asked = True


def _last_left_out(heard: Heard) -> list[LeftOut]:
    """What was said to be left out, where that was the last thing said in this line."""
    found = max((draft.last for draft in heard.drafts), default=0)
    last = heard.left_out[-1] if heard.left_out and heard.left_out[-1].first >= found else None
    return [one for one in heard.left_out if last and (one.first, one.last) == (last.first, last.last)]


def _last(heard: Heard) -> Draft | None:
    """The last thing said: of this line, or else of the visit's last lines."""
    if heard.drafts:
        return heard.drafts[-1]
    return _from_finding(heard, heard.earlier[-1]) if heard.earlier and not heard.corrected else None


def _from_finding(heard: Heard, finding: Finding) -> Draft:
    reading = finding.reading
    values = Values(
        numbers=[] if reading.soreness is None else [reading.soreness], responses=[*reading.responses],
        felt=[*reading.felt], depth=reading.depth, touch=reading.touch,
    )  # fmt: skip
    place = finding.kind == "place"
    return Draft(
        Spot((finding.key,), "", finding.key) if place else None, finding.side, values, 0, 0, heard.clause,
        entry="" if place else finding.key, value=reading.value, origin=finding,
    )  # fmt: skip


def _instead(heard: Heard, last: Draft, changed: Draft) -> None:
    if last.origin is not None and last not in heard.drafts:
        heard.withdrawn.append(last.origin)
        heard.drafts.append(changed)
    else:
        heard.drafts[heard.drafts.index(last)] = changed
    heard.group = [changed]


def _drop(heard: Heard, last: Draft) -> None:
    if last in heard.drafts:
        heard.drafts.remove(last)
    if last.origin is not None and last.origin not in heard.withdrawn:
        heard.withdrawn.append(last.origin)
