"""Words heard for a number or for a place, and numbers that count nothing, by what stands beside them.

In: pieces, and the tokens before them. Out: a number, a place, or that there is none.
Not here: the slips themselves (they are data), all other tokens.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from decimal import Decimal

from reasoner.lines.lexicon import Lexicon
from reasoner.lines.pieces import Piece, letters_of
from reasoner.lines.said import SPOTS, Said, SideSaid, Spot, spot_of, the_before, this_clause
from reasoner.lines.words import Word, joined


def no_number(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon, before: Sequence[Said]
) -> bool:
    """ "The right one is a four", "left that hock, the near one": this "one" counts nothing."""
    piece = pieces[at]
    text = words[piece.first].text
    if text not in ("one", "one's") or piece.pause or piece.last - piece.first > 1:
        return False
    if before and before[-1].kind == "STATED" and pieces[at - 1].last == piece.first:
        return words[piece.first - 1].text in ("left", "right", "near", "off")  # "the weaker hind is the right one"
    if not before or before[-1].kind != "SIDE":
        return False
    after = words[piece.last] if piece.last < len(words) else None
    if text == "one's" or (after is not None and not after.pause and after.text in lexicon.speech.lists["one_is"]):
        return True
    if _said_of_the_other(at, pieces, before):
        return True
    kinds = {token.kind for token in before}
    return "NOT_DONE" in kinds and "NUMBER" not in kinds and the_before(pieces[at - 1], words)


def _said_of_the_other(at: int, pieces: Sequence[Piece], before: Sequence[Said]) -> bool:
    """ "Left loin four, right one three", "four on the left loin, three on the right one": behind the second of two sides, with a
    number of its own behind it or before it."""
    sides = [t.value.side for t in before if t.kind == "SIDE" and isinstance(t.value, SideSaid)]
    if len(sides) < 2 or {sides[-2], sides[-1]} != {"left", "right"} or not any(t.kind == "PLACE" for t in before):
        return False
    ends = [n for n in (at + 1, at + 2) if n >= len(pieces) or pieces[n].pause in (",", ".")]
    if at + 1 in ends:
        return [token.kind for token in this_clause(before)] == ["SIDE", "NUMBER"]
    return at + 2 in ends and (pieces[at + 1].number is not None or pieces[at + 1].may_be("nothing") is not None)


def two_of_them(at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> bool:
    """ "The two stifles": both of them."""
    piece = pieces[at]
    if (
        words[piece.first].text != "two"
        or not the_before(piece, words)
        or at + 1 == len(pieces)
        or pieces[at + 1].pause
    ):
        return False
    behind = pieces[at + 1]
    keys = [m.key for m in behind.meanings if m.kind == "place"]
    letters = letters_of(words, behind.first, behind.last, lexicon)
    names = {joined(lexicon.vocabulary.places[key].name) for key in keys}
    return bool(keys) and letters.endswith("s") and letters not in names and bool(lexicon.meanings(letters[:-1]))


def heard_beside(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon, before: Sequence[Said]
) -> tuple[Said, int] | None:
    """An ordinary word that is heard for a place, where a side stands before it, or a side or a number behind."""
    for size in (2, 1):
        run = pieces[at : at + size]
        if len(run) < size or any(p.pause for p in run[1:]):
            continue
        meanings = lexicon.beside.get(letters_of(words, run[0].first, run[-1].last, lexicon))
        if not meanings:
            continue
        behind = pieces[at + size] if at + size < len(pieces) and not pieces[at + size].pause else None
        named = before[-1].kind == "SIDE" and not run[0].pause if before else False
        counted = behind is not None and bool(
            behind.number is not None or behind.may_be("side", "nothing", "sore") or is_slip(behind, words, lexicon)
        )
        if named or counted:
            spot = spot_of(Piece(run[0].first, run[-1].last, meanings), words)
            if spot:
                return Said("PLACE", spot, run[0].first, run[-1].last, run[0].pause), size
    return None


def is_slip(piece: Piece, words: Sequence[Word], lexicon: Lexicon) -> bool:
    """Whether this one word may be heard for a number."""
    return piece.last - piece.first == 1 and words[piece.first].text in lexicon.speech.number_slips


def nothing_or_slip(at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> bool:
    """ "Loin right free": a three, or nothing held there; beside another number ("left four, right free") it is one as well."""
    if words[pieces[at].first].text not in lexicon.speech.lists["nothing_or_slip"]:
        return False
    others = (piece for n, piece in enumerate(pieces) if n != at)
    return not any(piece.number is not None or is_slip(piece, words, lexicon) for piece in others)


def slip_of(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon, before: Sequence[Said]
) -> Decimal | None:
    """A word heard for a number: right behind a place or a side, with no number of their own behind it."""
    piece = pieces[at]
    if not is_slip(piece, words, lexicon) or not before or before[-1].kind not in ("PLACE", "SIDE"):
        return None
    if piece.may_be("several") and before[-1].kind == "SIDE" and any(t.kind in ("STATED", "UNREAD") for t in before):
        return None  # "lost shoe off fore" is a leg: of no place was a number due
    if (legs := piece.may_be("several")) and before[-1].kind == "SIDE":
        last = next((t.value for t in reversed(before) if t.kind == "PLACE"), None)
        if (
            isinstance(last, Spot)
            and {*last.keys} & {*legs.keys}
            and not (at + 1 == len(pieces) or pieces[at + 1].pause)
        ):
            return None  # "near fore fetlock filled, off fore clean" speaks of the legs
    behind = pieces[at + 1] if at + 1 < len(pieces) and not pieces[at + 1].pause else None
    if piece.may_be("several") and behind is not None and behind.may_be(*SPOTS):
        return None  # "off fore fetlock" is a leg as well
    if piece.pause == "." or any(token.kind in ("VERB", "NOT_DONE") for token in this_clause(before)):
        return None
    rest = pieces[at + 1 :]
    for follower in rest:
        if follower.pause in (",", "."):
            break
        if (
            follower.number is not None
            or follower.may_be("nothing")
            or (piece.may_be("several") and (is_slip(follower, words, lexicon) or follower.may_be("response", "felt")))
        ):
            return None
        if follower.may_be("side", *SPOTS, "join", "break", "response", "felt", "correct_no", "out_of"):
            break
        if not follower.may_be("filler"):
            return None
    else:
        follower = None
    if rest and not rest[0].pause and rest[0].may_be(*SPOTS) and words[piece.first].text in ("for", "to"):
        run = [token.kind for token in before[-3:]]  # "left four right for loin left six": each side with its number
        own_side = len(rest) > 1 and rest[1].may_be("side") is not None and not rest[1].pause
        if not (own_side and run[::2] == ["SIDE", "SIDE"] and run[1] in ("NUMBER", "NOTHING")):
            return None
    return Decimal(lexicon.speech.number_slips[words[piece.first].text])


def also_said(
    words: Sequence[Word], piece: Piece, before: Sequence[Said], slips: Container[str]
) -> tuple[Decimal, ...] | None:
    """ "Left too" behind another number may also mean "the same": which of the two is asked."""
    if words[piece.first].text != "too" or not before or before[-1].kind != "SIDE":
        return None
    place = max((n for n, t in enumerate(before) if t.kind == "PLACE"), default=0)
    earlier = [
        t.value for t in before[place:]
        if t.kind == "NUMBER" and isinstance(t.value, Decimal) and not (t.last - t.first == 1 and words[t.first].text in slips)
    ]  # fmt: skip
    return (earlier[-1:] and (earlier[-1],)) or None


def where_it_went(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], before: Sequence[Said], lexicon: Lexicon
) -> bool:
    """ "Stepped left when I pressed", "moved away to the right": the horse went there, and was pressed anywhere. With a number
    before or behind it in one breath it is the side of that."""
    if pieces[at].pause or any(token.kind in ("NUMBER", "RANGE", "NOTHING") for token in this_clause(before)):
        return False
    last = at - 1
    while last > 0 and words[pieces[last].first].text in lexicon.speech.lists["on_the_way"] and not pieces[last].pause:
        last -= 1
    went = pieces[last].may_be("response") if last >= 0 else None
    if went is None or went.key not in lexicon.speech.lists["goes_to_a_side"]:
        return False
    behind = pieces[at + 1] if at + 1 < len(pieces) and not pieces[at + 1].pause else None
    return behind is None or (behind.number is None and not behind.may_be(*SPOTS))


def between_two(at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> Said | None:
    """ "Between three and four": which of them is asked."""
    if words[pieces[at].first].text not in lexicon.speech.lists["between"] or at + 3 >= len(pieces):
        return None
    low, join, high = pieces[at + 1 : at + 4]
    if low.number is None or high.number is None or not join.may_be("join", "range") or high.pause or low.pause:
        return None
    return Said("RANGE", (low.number, high.number), pieces[at].first, high.last, pieces[at].pause)


def my_mistake(piece: Piece, words: Sequence[Word]) -> bool:
    """ "My mistake", "my bad": a correction, where "my" stands before it."""
    said = piece.may_be("correct_no")
    return said is not None and said.key.startswith("my ") and piece.first > 0 and words[piece.first - 1].text == "my"
