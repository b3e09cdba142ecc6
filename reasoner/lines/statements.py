"""One statement after another, each with what the ones before it left open: the place, the side of a heading, the last finding.

In: the statements of a line. Out: `Heard`: drafts, what was left out, which words nothing came of.
Not here: corrections (their own module), questions, findings.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from reasoner.lines.drafts import Draft, Values, values_of
from reasoner.lines.grammar import Statement
from reasoner.lines.heard import Heard, narrowed, of_something_else, parts_of, span, stops, tokens_in
from reasoner.lines.leaving_out import listed, passed, reason_of, side_left_out
from reasoner.lines.lexicon import Meaning
from reasoner.lines.said import Said, SideSaid, Spot


def heard_in(statements: Iterable[Statement], heard: Heard) -> Heard:
    """The statements taken in, in order."""
    from reasoner.lines.correcting import corrected, doubted, swapped, taken_back

    takers = {
        "graded": _graded, "trailing": _graded, "behind": _graded, "backward": _backward, "fronted": _fronted, "named": _named,
        "loose": _loose, "passed": passed,
        "stated": _stated, "unread": _unread, "junk": _junk, "correction": corrected, "taken_back": taken_back,
        "swapped": swapped, "doubted": doubted,
    }  # fmt: skip
    every = [*statements]
    for at, statement in enumerate(every):
        rule = str(statement.data)
        heard.following = next((str(one.data) for one in every[at + 1 :] if one.data != "sep"), "")
        heard.beside = str(every[at + 1].data) if at + 1 < len(every) else ""
        heard.preceding = str(every[at - 1].data) if at else ""
        heard.by_itself = stops(every[:at][-1:]) and stops(every[at + 1 : at + 2])
        if rule == "sep":
            kind = tokens_in(statement)[0].kind
            heard.joined = kind == "JOIN"
            heard.clause += kind != "JOIN"
            idle = any(clause == heard.clause - 1 for *_, clause in heard.junk)  # the talk went somewhere else
            if kind == "STOP" and (idle or not heard.standing):
                heard.heading = None
            continue
        takers[rule](heard, statement)
        if rule in ("correction", "taken_back", "swapped", "doubted"):
            heard.handled.add(heard.clause)
        heard.joined = False
    return heard


def side_of(heard: Heard, sides: Sequence[Said], place_at: int | None) -> tuple[str | None, bool, bool, bool]:
    """The side that was said; whether it opens the line as a bare "right"; whether two sides contradict each other; and whether
    it stands right before the place."""
    said = [token.value for token in sides if isinstance(token.value, SideSaid)]
    if not said:
        return heard.heading, False, False, False
    if any(one.side == "doubt" for one in said):
        return None, False, True, False
    if len(said) > 1 and said[0].opens and said[0].bare and said[0].side == "right":
        sides, said = sides[1:], said[1:]  # "right trap left four": the first only opened the mouth
    names = {one.side for one in said}
    if len(names) > 1:
        return None, False, True, False
    one = said[0]
    if one.heading and (place_at is None or sides[0].first < place_at):
        heard.heading, heard.standing = one.side, place_at is None and heard.by_itself
    elif one.side in ("left", "right", "both"):
        heard.heading = None
    side: str | None = one.side
    if side == "other":
        last = heard.group[-1].side if heard.group else heard.earlier[-1].side if heard.earlier else None
        side = {"left": "right", "right": "left"}.get(last or "")
    before = place_at is not None and sides[0].first < place_at and one.bare
    return side, one.opens and one.bare and one.side == "right", False, before


def _graded(heard: Heard, statement: Statement) -> None:
    sides, spots, value_tokens = parts_of(statement)
    tokens = tokens_in(statement)
    values = values_of(value_tokens)
    place_at = next((t.first for t in tokens if t.kind == "PLACE"), None)
    side, opens, contradict, before = side_of(heard, sides, place_at)
    add_drafts(heard, spots, side, values, tokens, opens=opens, asked=contradict, before=before)


def _fronted(heard: Heard, statement: Statement) -> None:
    """ "Left four on the loin". Where another place was being spoken of, it may still be that one, unless "on" says otherwise."""
    spots = parts_of(statement)[1]
    known = [spot for spot in heard.spots if spot is not heard.looking_at]
    if _given_place(heard, spots):
        known = []
    _either_place(heard, spots)
    _graded(heard, statement)
    place_at = next(t.first for t in tokens_in(statement) if t.kind == "PLACE")
    if known and not heard.said_before(place_at, ("on", "in", "at", "the")):
        for draft in heard.group:
            both = dict.fromkeys(key for spot in (*known, *spots) for key in spot.keys)
            draft.spot = Spot(tuple(both), "", spots[0].said)


def _backward(heard: Heard, statement: Statement) -> None:
    """ "Four left loin". Several joined places behind a reading may be the last of it, and the first of what comes next."""
    spots = parts_of(statement)[1]
    _either_place(heard, spots)
    _graded(heard, statement)
    heard.both_ways = heard.clause if len(spots) > 1 else -1


def _either_place(heard: Heard, spots: Sequence[Spot]) -> None:
    """ "Near stifle five, five off six left trap": what was said before the second side in the same breath may be of the place
    before it or of the one behind: which is asked."""
    last = heard.drafts[-1] if heard.drafts else None
    if last is None or last.own or last.clause != heard.clause or last.spot is None or last.entry or len(spots) != 1:
        return
    keys = dict.fromkeys((*last.spot.keys, *spots[0].keys))
    if len(keys) > len(last.spot.keys):
        last.spot = Spot(tuple(keys), "", " ".join(word.text for word in heard.words[last.first : last.last]))


def add_drafts(
    heard: Heard, spots: Sequence[Spot], side: str | None, values: Values, tokens: Sequence[Said], *, opens: bool = False,
    asked: bool = False, before: bool = False,
) -> None:  # fmt: skip
    """A draft for each place; where none is named, for the one that is open."""
    first, last = span(tokens)
    shared = [d for d in heard.group if heard.joined and d.own and d.values.empty and d.clause == heard.clause]
    entry = next((d for d in reversed(heard.group) if d.entry), None)
    if not spots and entry is not None and heard.group[-1] is entry:
        made = [Draft(None, side, values, first, last, heard.clause, entry=entry.entry, own=False, opens=opens)]
        heard.drafts += made
        heard.group = made
        return
    if values.same and not values.counted and side is None and spots and heard.drafts:
        _same_again(heard, spots, first, last)
        return
    if values.same and not values.counted:
        values = _same_as_last(heard, values)
    asked, heard.doubt_next = asked or heard.doubt_next, heard.doubt_next and not spots
    own = [narrowed(spot, heard.looking_at) for spot in spots]
    one = any(isinstance(t.value, SideSaid) and t.value.one for t in tokens)
    if one and not own and not heard.spots and heard.left_out and heard.left_out[-1].spot:
        own = [heard.left_out[-1].spot]  # "left the loin alone, the left one is a four"
    nowhere: list[Spot | None] = [None]
    waits = [d for d in heard.drafts if own and d.spot is None and not d.entry and d.clause == heard.clause]
    # "trap three right, two near triceps and poll left six": it may be the end of one reading and the name of the next
    torn = heard.preceding in ("behind", "loose") and tokens[0].kind == "PLACE" and bool(heard.drafts)
    unclear = (bool(waits) or torn) and len(
        own
    ) > 1  # "one right loin and croup six left": the one may be of the loin alone
    if unclear:
        heard.both_ways = heard.clause
    for waiting in waits:
        crossed = (
            values.empty and side is not None and waiting.side not in (None, side)
        )  # "five left, on the right loin"
        waiting.asked = waiting.asked or unclear or crossed
        waiting.spot, waiting.own = own[0], True  # "two right, loin four left", in one breath
    made = [
        Draft(spot, side, values.copy(), first, last, heard.clause, own=bool(spots), opens=opens, asked=asked or unclear,
              before=before)
        for spot in own or heard.spots or nowhere
    ]  # fmt: skip
    if not spots and heard.both_ways == heard.clause and len(heard.group) > 1:
        for draft in (*heard.group, *made):
            draft.asked = True
    for draft in shared:
        draft.values = values.copy()
    heard.drafts += made
    heard.group = [*shared, *made]


def _same_as_last(heard: Heard, values: Values) -> Values:
    source = next((d.values for d in reversed(heard.drafts) if not d.values.empty and not d.entry), None)
    if source is None:
        return values
    out = source.copy().instead(values)
    out.same = False
    return out


def _same_again(heard: Heard, spots: Sequence[Spot], first: int, last: int) -> None:
    """ "Croup the same": each side of the place before it, said of this one."""
    source = [d for d in heard.drafts if d.spot is not None and d.about == heard.drafts[-1].about]
    made = [
        Draft(narrowed(spot, heard.looking_at), one.side, one.values.copy(), first, last, heard.clause, opens=one.opens)
        for spot in spots for one in source
    ]  # fmt: skip
    heard.drafts += made
    heard.group = made


def _named(heard: Heard, statement: Statement) -> None:
    """A place or a side with no reading: what comes next may be its reading."""
    sides, spots, _ = parts_of(statement)
    tokens = tokens_in(statement)
    place_at = next((t.first for t in tokens if t.kind == "PLACE"), None)
    side, opens, contradict, before = side_of(heard, sides, place_at)
    bare = [t.value for t in sides if isinstance(t.value, SideSaid)]
    only = tokens[0]
    if not spots and side_left_out(heard, side, tokens):
        return
    if not spots and any(one.heading for one in bare):
        heard.idle.append((only.first, tokens[-1].last, heard.clause))
        if not heard.group and heard.looking_at is None:
            return
    if spots and (not sides or _waiting_for_both(heard, side, bare, contradict)) and _given_place(heard, spots, side):
        return
    if spots and not sides and listed(heard, spots, tokens):
        return
    last = heard.group[-1] if heard.group else None
    if last is not None and last.value and last.clause == heard.clause and spots and spots[0].limb:
        heard.whole_notes.add(heard.clause)
        return
    if not spots and _given_side(heard, side, bare, tokens):
        return
    add_drafts(heard, spots, side, Values(), tokens, opens=opens, asked=contradict, before=before)
    if heard.group[-1].spot is None and not heard.group[-1].entry:  # a side of nothing
        heard.drafts = [d for d in heard.drafts if d not in heard.group]
        heard.junk += [(d.first, d.last, d.clause) for d in heard.group]
        heard.group = []
        return
    opening = only.kind == "SIDE" and bare[0].side == "left" and bare[0].bare
    begins = not any(d.clause == heard.clause for d in heard.drafts if d not in heard.group)
    for draft in heard.group:
        draft.verb = opening and begins and (bool(spots) or heard.looking_at is not None)


def _waiting_for_both(heard: Heard, side: str | None, said: Sequence[SideSaid], contradict: bool) -> bool:
    """Whether one reading, of which neither place nor side was said, waits for both: "a six, on the near loin"."""
    waiting = [d for d in heard.drafts if d.spot is None and not d.entry]
    plain = side in ("left", "right", "both") and not contradict and not (said[0].bare and side == "right")
    return plain and len(waiting) == 1 and waiting[0].side is None


def _given_place(heard: Heard, spots: Sequence[Spot], side: str | None = None) -> bool:
    """A place behind its readings: "left four, right six, on the loin"; with its side where none was said."""
    if heard.left_out and heard.left_out[-1].spot is None and not heard.left_out[-1].entry and not heard.drafts:
        heard.left_out[-1].spot = spots[0]  # "owner did not want it done, girth"
        heard.left_out[-1].listed = heard.clause - heard.left_out[-1].clause + 1
        return True
    waiting = [d for d in heard.drafts if d.spot is None and not d.entry]
    for draft in waiting:
        draft.spot, draft.own = narrowed(spots[0], heard.looking_at), True
        draft.side = side if draft.side is None and side else draft.side
    if waiting:
        heard.group = waiting
    return bool(waiting)


def _given_side(heard: Heard, side: str | None, said: Sequence[SideSaid], tokens: Sequence[Said]) -> bool:
    """A side behind a pause, at the end: "loin four, near". A bare "right" there may only be a question."""
    last = heard.group[-1] if heard.group else None
    ends = tokens[-1].last == len(heard.words)
    if last is None or not ends or last.side is not None or last.values.empty or last.clause == heard.clause:
        return False
    tag = said[0].bare and heard.words[tokens[0].first].text == "right"
    last.side, last.asked, last.last = side, last.asked or tag, tokens[-1].last
    return True


def _loose(heard: Heard, statement: Statement) -> None:
    """Values alone: of what was said last, where nothing unknown stands between; else of the place that is open."""
    tokens = tokens_in(statement)
    values = values_of(tokens)
    first, last = span(tokens)
    if heard.left_out and heard.left_out[-1].last >= max((d.last for d in heard.drafts), default=-1):
        reason = reason_of(tokens, heard)
        if reason and not values.counted:
            heard.left_out[-1].reason = reason
            return
    if heard.group:
        if heard.group[-1].entry or of_something_else(heard, first):
            heard.junk.append((first, last, heard.clause))
            return
        for draft in heard.group:
            if draft.side is None and draft.values.counted and values.counted and not draft.asked:
                draft.asked = True  # "loin 3 and 4"
            draft.values.add(_same_as_last(heard, values) if values.same and not values.counted else values)
            draft.last = last
            draft.verb = False
        return
    if heard.looking_at is not None:
        add_drafts(heard, (), heard.heading, values, tokens)
    elif values.counted and heard.heading is None:
        heard.drafts.append(Draft(None, None, values, first, last, heard.clause, own=False))
    else:
        heard.junk.append((first, last, heard.clause))


def _stated(heard: Heard, statement: Statement) -> None:
    add_stated(heard, tokens_in(statement))


def add_stated(heard: Heard, tokens: Sequence[Said]) -> Draft | None:
    """An entry with its reading, on the side that was said where it has sides."""
    sides = [t for t in tokens if t.kind == "SIDE"]
    held = next((t.value for t in tokens if t.kind == "STATED"), None)
    if not isinstance(held, Meaning):
        return None
    side, opens, contradict, before = side_of(heard, sides, next(t.first for t in tokens if t.kind == "STATED"))
    if len(held.keys) > 1:  # "both forelegs even", "short on the near fore": its own side, whatever was the heading
        contradict = contradict or (bool(sides) and side != held.keys[1])
        side, opens = held.keys[1], False
    sided = heard.lexicon.vocabulary.observations[held.key].sides == "each"
    first, last = span(tokens)
    draft = Draft(
        None, side if sided else None, Values(), first, last, heard.clause, entry=held.key, value=held.keys[0],
        opens=opens and sided, asked=contradict and sided, before=before,
    )  # fmt: skip
    if not sided and heard.lexicon.vocabulary.observations[held.key].kind == "choice":
        limbs = [d for d in heard.drafts if d.clause == heard.clause and d.spot and d.spot.limb and d.values.empty]
        heard.drafts = [d for d in heard.drafts if d not in limbs]
        if (
            limbs or (sides and not opens) or len(held.keys) > 1
        ):  # the leg or the side is not lost: the piece is kept as it was said
            heard.whole_notes.add(heard.clause)
    heard.drafts.append(draft)
    heard.group = [draft]
    return draft


def _unread(heard: Heard, statement: Statement) -> None:
    tokens = tokens_in(statement)
    first, last = span(tokens)
    held = next((t.value for t in tokens if t.kind == "UNREAD"), None)
    if isinstance(held, Meaning):
        side, opens, _, before = side_of(heard, [t for t in tokens if t.kind == "SIDE"], first)
        side = held.keys[1] if held.keys[1:] and held.keys[1] in ("left", "right", "both") else side
        sided = heard.lexicon.vocabulary.observations[held.key].sides == "each"
        draft = Draft(None, side if sided else None, Values(), first, last, heard.clause, entry=held.key, opens=opens and sided,
                      before=before, unread=True)  # fmt: skip
        heard.drafts.append(draft)
        heard.group = [draft]


def _junk(heard: Heard, statement: Statement) -> None:
    tokens = tokens_in(statement)
    first, last = span(tokens)
    reason = reason_of(tokens, heard)
    if reason and tokens[0].kind == "REASON":
        if heard.left_out:
            heard.left_out[-1].reason = reason
            return
        heard.reasons.append((reason, (first, last, heard.clause)))
    if tokens[0].kind == "UNKNOWN" and tokens[0].value == "side":
        for draft in heard.group:
            if draft.clause == heard.clause and draft.side is None:
                draft.asked = True
                return
    heard.junk.append((first, last, heard.clause))
