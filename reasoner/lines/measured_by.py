"""What is measured by another side: "warmer than the right", "two more than the left". Of that other side nothing is said.

In: pieces of a line, its tokens so far. Out: where the comparison ends, 0 where there is none; what it says of a side.
Not here: which words compare (rules/vocabulary/speech.yaml), what becomes of them (tokens.py), other days (hearsay.py).
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.lines.lexicon import Lexicon
from reasoner.lines.pieces import Piece
from reasoner.lines.said import Said, SideSaid, this_clause
from reasoner.lines.words import SMALL, Word, is_in_doubt


def measured_by(at: int, pieces: Sequence[Piece]) -> int:
    """ "Warmer than the right": where what it was compared with ends, if that is a side and nothing else; 0 where it is not."""
    end = at + 1
    while end < len(pieces) and pieces[end].may_be("filler") and not pieces[end].pause:
        end += 1
    if end == len(pieces) or pieces[end].pause or not pieces[end].may_be("side", "other_side"):
        return 0
    end += 1
    if end < len(pieces) and not pieces[end].pause and pieces[end].may_be("filler"):
        end += 1
    return end if end == len(pieces) or pieces[end].pause else 0


def a_distance(at: int, pieces: Sequence[Piece]) -> int:
    """ "Left five, two more than the right", "right two more": where it ends, if the number says how far apart two sides are and
    not how sore one is; 0 where it does not."""
    word = at + 1
    while word < len(pieces) and pieces[word].may_be("filler") and not pieces[word].may_be("more_or_less"):
        if pieces[word].pause:
            return 0
        word += 1
    if word == len(pieces) or pieces[word].pause:
        return 0
    if pieces[word].may_be("more_or_less") and (word + 1 == len(pieces) or pieces[word + 1].pause):
        return word + 1
    return measured_by(word, pieces) if pieces[word].may_be("by_how_much") else 0


def apart(at: int, pieces: Sequence[Piece], before: Sequence[Said]) -> Said | None:
    """What a number says that tells how far apart two sides are: nothing, where its side has no reading yet ("left five, two more
    than the right"); else that this side hurts and nobody said how much ("both two, right one more", "three more on the
    right")."""
    end, kind = a_distance(at, pieces), "UNKNOWN"
    sided = any(token.kind == "SIDE" for token in this_clause(before))
    both = any(isinstance(token.value, SideSaid) and token.value.side == "both" for token in before)
    if end and both and sided:
        kind = "SORE"
    more = at + 1
    while more < len(pieces) and pieces[more].may_be("filler") and not pieces[more].may_be("more_or_less", "apart"):
        more += 1
    earlier = any(token.kind in ("NUMBER", "NOTHING") for token in before)
    earlier = earlier or (more < len(pieces) and pieces[more].may_be("more_or_less") is not None)
    if not end and earlier and more < len(pieces) and not any(piece.pause for piece in pieces[at + 1 : more + 1]):
        side = _past_fillers(more + 1, pieces)
        if pieces[more].may_be("more_or_less", "apart") and measured_by(more, pieces) and pieces[side].may_be("side"):
            end, kind = side, "SORE"
        elif pieces[more].may_be("apart") and sided and (more + 1 == len(pieces) or pieces[more + 1].pause):
            end, kind = more + 1, "SORE"  # "right two higher"
    return Said(kind, None, pieces[at].first, pieces[end - 1].last, pieces[at].pause) if end else None


def more_of_it(at: int, pieces: Sequence[Piece]) -> bool:
    """ "Right a bit more", "less on the left", "both two, right more than that": a breath that says of a side only that it is
    more or less."""
    if not pieces[at].may_be("more_or_less"):
        return False
    first, last = at, at + 1
    while first and pieces[first].pause not in (",", ".") and not pieces[first].may_be("break", "join"):
        first -= 1
    while (
        last < len(pieces)
        and pieces[last].pause not in (",", ".")
        and not pieces[last].may_be("break", "join", "compared")
    ):
        last += 1
    breath = pieces[first:last]
    sides = [piece for piece in breath if piece.may_be("side", "other_side")]
    return len(sides) == 1 and all(
        piece.may_be("side", "other_side", "filler", "more_or_less", "join", "break", "range") for piece in breath
    )


def a_share(at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> int:
    """ "Half of the left", "two thirds of that", "three times": where it ends, if it is a part or a multiple of what was said; 0
    where it is none. All of its breath belongs to it, unless a number of its own stands there."""
    more = at + 1
    if more == len(pieces) or pieces[more].pause:
        return 0
    lists = lexicon.speech.lists
    half = pieces[at].number is None and pieces[at].may_be("half")
    if words[pieces[more].first].text not in lists["parts_of" if half else "shares"]:
        return 0
    end = more + 1
    while end < len(pieces) and pieces[end].pause not in (",", "."):
        if pieces[end].number is not None or pieces[end].may_be("nothing", "place"):
            return more + 1
        end += 1
    return end


def or_more(at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> int:
    """ "Ten plus", "seven or more", "4+", "more than four": where it ends, if more was said than the number; 0 if not."""
    first = pieces[at].first
    for size in (2, 1):
        said = " ".join(word.text for word in [w for w in words[:first] if w.text not in SMALL][-size:])
        if said in lexicon.speech.lists["bounds"] and not pieces[at].pause:
            return at + 1
    if is_in_doubt(pieces[at].last, words):
        return at + 2
    for end in (at + 2, at + 3):
        run = pieces[at + 1 : end]
        if len(run) < end - at - 1 or any(piece.pause for piece in run):
            return 0
        said = " ".join(word.text for word in words[run[0].first : run[-1].last])
        if said in lexicon.speech.lists["and_more"] and (end == len(pieces) or pieces[end].pause):
            return end
    return 0


def _past_fillers(at: int, pieces: Sequence[Piece]) -> int:
    while at < len(pieces) and pieces[at].may_be("filler") and not pieces[at].pause:
        at += 1
    return at
