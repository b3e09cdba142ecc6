"""What was said not to have been examined: the places, regions and entries, their sides, and the reason.

In: a statement such as "didn't do the hind legs, rug on", and what was heard before it. Out: `LeftOut`s.
Not here: whether "left" was a verb at all (sides.py), the lines of a visit file.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lark import Token, Tree

from reasoner.lines.heard import LeftOut, narrowed, parts_of, span, tokens_in
from reasoner.lines.lexicon import Meaning
from reasoner.lines.said import Said, SideSaid, Spot

if TYPE_CHECKING:
    from reasoner.lines.grammar import Statement
    from reasoner.lines.heard import Heard

_PRONOUNS = ("it", "that", "this", "them", "those")


def reason_of(tokens: Sequence[Said], heard: Heard) -> str:
    """The reason that these tokens give for leaving something out, or an empty string."""
    for token in tokens:
        if token.kind in ("REASON", "WORD") and isinstance(token.value, Meaning):
            if token.value.kind == "reason":
                return token.value.key
            words = {w.key: (w.key, *w.also) for w in heard.lexicon.vocabulary.qualities["not_examined_reasons"]}
            responses = {w.key: {w.key, *w.also} for w in heard.lexicon.vocabulary.qualities["responses"]}
            said = responses.get(token.value.key, set())
            if found := next((key for key, some in words.items() if said & {*some}), ""):
                return found
    return ""


def passed(heard: Heard, statement: Statement) -> None:
    """A statement that something was left out."""
    tokens = tokens_in(statement)
    first, last = span(tokens)
    held = [t.value.key for t in tokens if t.kind == "NOT_DONE" and isinstance(t.value, Meaning)]
    reason = next(filter(None, held), "") or reason_of([t for t in tokens if t.kind == "REASON"], heard)
    if not reason and heard.reasons and heard.reasons[-1][1][2] >= heard.clause - 1:
        reason, used = heard.reasons.pop()  # "rug on, so I couldn't do the back"
        heard.junk.remove(used)
        heard.handled.add(used[2])
    doubt = any(t.kind == "VERB" for t in tokens)
    aims = [*statement.find_data("aim")]
    aims.sort(key=lambda aim: tokens_in(aim)[0].first)
    for aim in aims:
        _aim(heard, aim, first, last, reason, doubt)
    if not aims:
        if heard.beside == "junk" and not _pronoun_behind(heard, last):
            heard.junk.append((first, last, heard.clause))  # "skipped everything else": it names what nobody knows
            return
        spots: list[Spot | None] = [*([heard.looking_at] if heard.looking_at else [None])]
        pronoun = _pronoun_behind(heard, last)
        heard.left_out += [LeftOut(s, "", None, first, last, heard.clause, reason, doubt, pronoun) for s in spots]


def _pronoun_behind(heard: Heard, last: int) -> str:
    after = heard.words[last].text if last < len(heard.words) and not heard.words[last].pause else ""
    return after if after in _PRONOUNS else ""


def _aim(heard: Heard, aim: Tree[Token], first: int, last: int, reason: str, doubt: bool) -> None:
    sides, spots, _ = parts_of(aim)
    entries = [t.value.key for t in tokens_in(aim) if t.kind == "UNREAD" and isinstance(t.value, Meaning)]
    said = [t.value.side for t in sides if isinstance(t.value, SideSaid)]
    side = said[0] if len({*said}) == 1 else None
    if side == "other":
        side = {"left": "right", "right": "left"}.get((heard.group[-1].side or "") if heard.group else "")
    for entry in entries:
        heard.left_out.append(LeftOut(None, entry, side, first, last, heard.clause, reason, doubt))
    if entries:
        return
    nowhere: list[Spot | None] = [None]
    named = [narrowed(s, heard.looking_at) if len(s.keys) > 1 and not s.region else s for s in spots]
    for spot in named or heard.spots or nowhere:
        heard.left_out.append(LeftOut(spot, "", side, first, last, heard.clause, reason, doubt))


def listed(heard: Heard, spots: Sequence[Spot], tokens: Sequence[Said]) -> bool:
    """One more of a list of what was left out, behind a colon: "not done: belly, groin"."""
    last = heard.left_out[-1] if heard.left_out else None
    if heard.following in ("loose", "behind"):
        return False  # "not done: belly, loin, left four"
    if last is None or not last.listed or heard.drafts or last.clause + last.listed != heard.clause:
        return False
    first, end = span(tokens)
    last.listed = 0
    heard.left_out.append(LeftOut(spots[0], "", None, first, end, heard.clause, last.reason, listed=1))
    return True


def side_left_out(heard: Heard, side: str | None, tokens: Sequence[Said]) -> bool:
    """The side of what was left out, said behind it: "left that hock alone, the near one". Without it both would be left out."""
    last = heard.left_out[-1] if heard.left_out else None
    if last is None or last.side is not None or last.clause != heard.clause - 1 or side not in ("left", "right"):
        return False
    end = tokens[-1].last
    one = end < len(heard.words) and heard.words[end].text == "one"
    if any(d.last > last.first for d in heard.drafts) or not (one or end == len(heard.words)):
        return False
    last.side, heard.heading = side, None
    heard.handled.add(heard.clause)
    return True
