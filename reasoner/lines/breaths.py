"""Where a breath ends that nobody wrote: pauses set into a run of tokens where only one way of taking its sides is possible.

In: tokens. Out: the same tokens with pauses among them.
Not here: pauses that were written or said, what a side belongs to where both ways are possible (grammar, asked).

INVARIANT: a pause is only set where every place then has the sides that were said beside it; no side is made, moved or lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reasoner.lines.lexicon import Lexicon, Meaning
from reasoner.lines.said import Said, SideSaid

_PAUSES = ("PAUSE", "STOP")
_VALUES = ("NUMBER", "RANGE", "NOTHING", "WORD", "SORE")
_RUNS = (*_VALUES, "SAME", "WHEN")
_COUNTED = ("NUMBER", "RANGE", "NOTHING")
#: So many values in a row, with no place or side among them, are no speech; the parser's work on them grows with their cube (own
#: setting).
_MOST_IN_A_ROW = 12
REFUSAL = "would_not_allow"


def with_breaths(tokens: Sequence[Said], lexicon: Lexicon) -> list[Said]:
    """The tokens, each stretch from pause to pause with the pauses that belong into it."""
    out: list[Said] = []
    stretch: list[Said] = []
    for token in [*_with_times(tokens), None]:
        if token is None or token.kind in _PAUSES:
            out += _breathed(stretch, lexicon, out)
            stretch = []
            if token is not None:
                out.append(token)
        else:
            stretch.append(token)
    return out


def _with_times(tokens: Sequence[Said]) -> list[Said]:
    """ "After work left loin two, right one": what was said before place and side is the time of every reading behind it, up to
    the next time or the end of the sentence. "Before work" is what a reading is anyway."""
    out: list[Said] = []
    time: Said | None = None
    opens = True  # nothing was said yet that a time could be of
    leads = False  # "before work" stood before what it is said of, and so does the next time
    idle: list[
        tuple[int, Said]
    ] = []  # a time of which no reading came yet: where none comes, its words are kept like any others
    for at, token in enumerate(tokens):
        ahead = tokens[at + 1].kind if at + 1 < len(tokens) else ""
        if token.kind == "WHEN" and (opens or leads) and (_first(token) or ahead in ("PLACE", "SIDE", *_PAUSES)):
            if not opens and out[-1].kind not in _PAUSES:
                out.append(_pause(token))
            _put_back(idle, out)
            time, leads, opens, idle = (None if _first(token) else token), True, True, [(len(out), token)]
            continue
        if token.kind == "WHEN" and _first(token):
            time = None  # "left four before work": a reading is that anyway
            continue
        if token.kind == "STOP":
            alone = not out or out[-1].kind in _PAUSES  # "After work. Left loin two."
            if not alone:
                _put_back(idle, out)
            time, opens, leads = time if alone else None, True, False
        elif token.kind == "PAUSE":
            opens = opens or time is not None
        else:
            opens = False
        if token.kind == "WHEN":
            time = None
        if token.kind in _VALUES:
            idle.clear()
        if time is not None and token.kind in _VALUES and (not out or out[-1].kind not in _RUNS):
            out.append(replace(time, first=token.first, last=token.first, pause=""))
        out.append(token)
    _put_back(idle, out)
    return out


def _put_back(idle: list[tuple[int, Said]], out: list[Said]) -> None:
    """Its words where they were said, as words that nobody knows."""
    for at, time in idle:
        out.insert(at, replace(time, kind="UNKNOWN", value=None))
    idle.clear()


def _first(token: Said) -> bool:
    return isinstance(token.value, Meaning) and token.value.key == "first"


def _breathed(stretch: list[Said], lexicon: Lexicon, before: Sequence[Said]) -> list[Said]:
    if headed := _headed(stretch):
        return headed
    if not any(token.kind == "PLACE" for token in before):
        stretch = _named_last(stretch)
    ends = {*_side_behind(stretch), *_words_of_both(stretch), *_refused(stretch), *_of_no_side(stretch, lexicon)}
    ends |= {*_out_of_breath(stretch)}
    out: list[Said] = []
    for at, token in enumerate(stretch):
        if at in ends:
            out.append(_pause(token))
        out.append(token)
    return out


def _pause(before: Said) -> Said:
    return Said("PAUSE", ",", before.first, before.first)


def _headed(stretch: Sequence[Said]) -> list[Said]:
    """ "On the near side poll two trap four now the off side poll one": a long side before two places or more, none of which has
    a side of its own, is the heading of them. The sides must then be headings all of them."""
    at = [n for n, token in enumerate(stretch) if token.kind == "SIDE"]
    if not at or at[0] != 0 or any(token.kind not in ("SIDE", "PLACE", *_VALUES) for token in stretch):
        return []
    out: list[Said] = []
    for begin, end in zip(at, [*at[1:], len(stretch)], strict=True):
        side, inside = stretch[begin].value, stretch[begin + 1 : end]
        kinds = "".join("p" if token.kind == "PLACE" else "v" for token in inside)
        if not isinstance(side, SideSaid) or side.bare or side.side not in ("left", "right") or kinds.count("p") < 2:
            return []
        if not kinds.startswith("pv") or "pp" in kinds or kinds.endswith("p"):
            return []
        out += [*([_pause(stretch[begin])] if out else []), replace(stretch[begin], value=replace(side, heading=True))]
        out += [_pause(inside[0]), *inside]
    return out


def _named_last(stretch: list[Said]) -> list[Said]:
    """ "One left, two right on the gaskin" without its pause: each number has its side, and the place is that of both. It is
    read as if the place had been said first."""
    kinds = [token.kind for token in stretch]
    sides = {token.value.side for token in stretch if isinstance(token.value, SideSaid)}
    pairs = len(kinds) == 5 and kinds[1] == kinds[3] == "SIDE" and {kinds[0], kinds[2]} <= {"NUMBER", "NOTHING"}
    return [stretch[4], *stretch[:4]] if pairs and kinds[4] == "PLACE" and sides == {"left", "right"} else stretch


def _side_behind(stretch: Sequence[Said]) -> list[int]:
    """ "TMJ nothing both sides poll left four": the place behind the side has one of its own, the one before it none."""
    out = []
    for at in range(1, len(stretch) - 3):
        side = stretch[at].value
        if not isinstance(side, SideSaid) or (side.bare and side.side == "right") or side.side == "doubt":
            continue
        if [token.kind for token in stretch[at + 1 : at + 3]] != ["PLACE", "SIDE"]:
            continue
        if stretch[at + 3].kind not in _VALUES:
            continue
        begin = at
        while begin and stretch[begin - 1].kind in _VALUES:
            begin -= 1
        named = begin and begin < at and stretch[begin - 1].kind == "PLACE"
        if named and (begin < 2 or stretch[begin - 2].kind != "SIDE"):
            out.append(at + 1)
    return out


def _words_of_both(stretch: Sequence[Said]) -> list[int]:
    """ "Girth left five right four pinned ears on both": the words at the end are said of both sides."""
    if len(stretch) < 5 or not isinstance(stretch[-1].value, SideSaid) or stretch[-1].value.side != "both":
        return []
    begin = len(stretch) - 1
    while begin and stretch[begin - 1].kind == "WORD":
        begin -= 1
    sides = {t.value.side for t in stretch[:begin] if isinstance(t.value, SideSaid)}
    fits = begin < len(stretch) - 1 and begin and stretch[begin - 1].kind in _COUNTED and {"left", "right"} <= sides
    return [begin] if fits else []


def _refused(stretch: Sequence[Said]) -> list[int]:
    """ "Croup left ten would not let me on the right": a number is no refusal, so the refusal is of the other side."""
    return [
        at for at in range(2, len(stretch) - 1)
        if _refusal(stretch[at].value) and stretch[at + 1].kind == "SIDE" and at + 2 == len(stretch)
        and stretch[at - 1].kind in _COUNTED and stretch[at - 2].kind == "SIDE"
    ]  # fmt: skip


def _of_no_side(stretch: Sequence[Said], lexicon: Lexicon) -> list[int]:
    """ "Trot up uneven left hind slight": an entry without sides leaves the side to the one behind it."""
    observations = lexicon.vocabulary.observations

    def sides(token: Said) -> str:
        held = token.value
        return observations[held.key].sides if token.kind == "STATED" and isinstance(held, Meaning) else ""

    return [
        at for at in range(1, len(stretch) - 1)
        if sides(stretch[at - 1]) == "none" and stretch[at].kind == "SIDE" and sides(stretch[at + 1]) == "each"
    ]  # fmt: skip


def _out_of_breath(stretch: Sequence[Said]) -> list[int]:
    """Where a run of values goes on and on."""
    out, run = [], 0
    for at, token in enumerate(stretch):
        run = run + 1 if token.kind in _RUNS else 0
        if run > _MOST_IN_A_ROW:
            out.append(at)
            run = 1
    return out


def _refusal(value: object) -> bool:
    return isinstance(value, Meaning) and value.kind == "response" and value.key == REFUSAL
