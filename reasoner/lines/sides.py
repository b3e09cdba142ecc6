"""Where "left" is something somebody did, where "right" only opens the mouth, and where near and off are no sides.

In: pieces. Out: the same pieces, each doubtful side as what it is: a side, a word for "left out", filler, or a doubt.
Not here: which finding a side belongs to (grammar), questions.

INVARIANT: nothing here makes a side out of a word that is none; it only takes sides away, or marks them as in doubt.
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.lines.lexicon import Lexicon, Meaning
from reasoner.lines.pieces import Piece
from reasoner.lines.words import ASKED_RIGHT, SMALL, Word, joined

FILLER, NOT_DONE, VERB, DOUBT, UNSURE = "filler", "not_done", "left_verb", "side_doubt", "unsure"
_SPOTS = ("place", "region", "several", "legs")
_VALUES = ("response", "felt", "nothing", "sore", "vague", "same", "number_doubt")


def without_doubtful_sides(pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> list[Piece]:
    """Every side piece, judged by what stands beside it."""
    out = list(pieces)
    for at, piece in enumerate(pieces):
        kind = _kind(at, out, words, lexicon) if piece.may_be("side") and piece.last - piece.first == 1 else ""
        if kind:
            out[at] = Piece(piece.first, piece.last, (Meaning(kind),), pause=piece.pause)
        if kind in (NOT_DONE, VERB):
            _drop_tail(at, out, words, lexicon)
    return out


def _drop_tail(at: int, pieces: list[Piece], words: Sequence[Word], lexicon: Lexicon) -> None:
    """Words that only belong to "left": "left it out", "left the loin for now"."""
    lists = lexicon.speech.lists
    tails = {*lists["left_verb_end"], *lists["left_verb_after"], "this", "this one", "one"}
    clause = _clause_after(at, pieces)
    for begin in range(len(clause)):
        for size in (4, 3, 2, 1):
            run = clause[begin : begin + size]
            text = " ".join(word.text for word in words[run[0].first : run[-1].last])
            named = (
                begin + size < len(clause) and not clause[begin + size].pause and clause[begin + size].may_be(*_SPOTS)
            )
            if len(run) == size and text in tails and not (run[0].may_be("side") and named):
                for place in range(at + 1 + begin, at + 1 + begin + size):
                    pieces[place] = Piece(
                        pieces[place].first, pieces[place].last, (Meaning(FILLER),), pause=pieces[place].pause
                    )


def _kind(at: int, pieces: list[Piece], words: Sequence[Word], lexicon: Lexicon) -> str:
    piece = pieces[at]
    bare = lexicon.speech.side_slips.get(words[piece.first].text, words[piece.first].text)
    before = words[piece.first - 1].text if piece.first and not piece.pause else ""
    after = words[piece.last].text if piece.last < len(words) and not words[piece.last].pause else ""
    if bare == ASKED_RIGHT:
        return DOUBT
    if bare == "left":
        return _left(at, pieces, words, lexicon, before, after)
    if bare == "right":
        return _right(at, pieces, words, lexicon, after)
    if bare in ("near", "off"):
        return "" if _near_or_off(at, pieces, words, before, after) else UNSURE
    return ""


def _left(at: int, pieces: list[Piece], words: Sequence[Word], lexicon: Lexicon, before: str, after: str) -> str:
    """not_done, left_verb (a doubt), or "" for the side."""
    lists = lexicon.speech.lists
    if before in ("the", "on", "my", "to") or (
        before and pieces[at - 1].may_be(*_SPOTS) and after not in lists["left_verb_after"]
    ):
        return ""
    own = before in lists["left_verb_before"]  # "I've left the poll and I've left the jaw": each somebody's doing
    if not own and any(p.may_be(NOT_DONE, VERB) for p in _clause_before(at, pieces)):
        return ""  # "left his left hock alone": the second is the side
    clause = _clause_after(at, pieces)
    valued = any(p.number is not None or p.may_be(*_VALUES) for p in clause)
    named = [p for p in clause if p.may_be(*_SPOTS, "entry", "unread", "side")]
    if before in lists["left_verb_before"] and (named or after in lists["left_verb_after"]):
        return VERB if valued else NOT_DONE
    if after == "this":
        return VERB
    if valued:
        return ""
    if not named and any(p.may_be("more_or_less") for p in clause):
        return ""  # "left a touch more"
    if after in ("a", "an", "some"):
        return UNSURE  # "left a mark on the right shoulder"
    if named and clause[0].may_be("side") and any(p.number is not None for p in _clause_before(at, pieces)):
        return ""  # "loin three five left right"
    end = pieces[at + len(clause)].last
    tail = [" ".join(w.text for w in words[end - size : end]) for size in (1, 2, 3) if end - size > pieces[at].first]
    if after in lists["left_verb_after"] or (named and any(text in lists["left_verb_end"] for text in tail)):
        return NOT_DONE
    if after in SMALL or after == "both" or (named and clause[0].may_be("side")):
        return NOT_DONE if named and _decided(named, words, lexicon) else VERB
    return ""


def _decided(named: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> bool:
    """Whether what was left cannot be on the left side: it has a side of its own, is more than one, or has no sides."""
    first = named[0]
    if first.may_be("side"):
        return True
    if first.may_be("entry", "unread") and not first.may_be(*_SPOTS):
        keys = [m.key for m in first.meanings if m.kind in ("entry", "unread")]
        return all(lexicon.vocabulary.observations[key].sides == "none" for key in keys)
    keys = [m.key for m in first.meanings if m.kind == "place"]
    if keys and all(lexicon.vocabulary.places[key].sides == "midline" for key in keys):
        return True
    letters = joined(" ".join(word.text for word in words[first.first : first.last]))
    names = {joined(lexicon.vocabulary.places[key].name) for key in keys}
    return letters.endswith("s") and letters not in names and bool(lexicon.meanings(letters[:-1]))


def _clause_after(at: int, pieces: Sequence[Piece]) -> list[Piece]:
    out: list[Piece] = []
    for piece in pieces[at + 1 :]:
        if piece.pause in (",", "."):
            break
        out.append(piece)
    return out


def _clause_before(at: int, pieces: Sequence[Piece]) -> list[Piece]:
    out: list[Piece] = []
    for place in range(at - 1, -1, -1):
        if pieces[place + 1].pause in (",", "."):
            break
        out.append(pieces[place])
    return out


def _right(at: int, pieces: list[Piece], words: Sequence[Word], lexicon: Lexicon, after: str) -> str:
    """filler where a side or, at the start, a pause follows it; a doubt where it says "just there"."""
    following = pieces[at + 1] if at + 1 < len(pieces) else None
    if following is None:
        return ""
    read_next = following.number is not None or following.may_be("nothing", "response", "felt")
    opens = at == 0 or (pieces[at].pause == "." and not read_next)
    if opens and after in SMALL and any(piece.may_be("side") for piece in _clause_after(at, pieces)):
        return FILLER  # "right, the loin's a four on the left" without its pause: nobody says "right the loin" for the side
    if opens and (following.pause or following.may_be("break", "side", "not_done")):
        return FILLER
    if (
        opens
        and following.may_be("stated", "entry")
        and not following.may_be(*_SPOTS, "stated_sided")
        and _unsided(following, lexicon)
    ):
        return FILLER
    if following.may_be("side") and not following.pause:
        return FILLER if words[following.first].text == "right" else ""
    if _second_of_two(at, pieces):
        return ""
    if after in lexicon.speech.lists["right_before"] and following.may_be("filler", "unknown"):
        # "Right at the top of the croup left three": its side is said, and this is only "just there"
        return FILLER if opens and any(p.may_be("side") for p in _clause_after(at, pieces)) else DOUBT
    return ""


def _second_of_two(at: int, pieces: Sequence[Piece]) -> bool:
    """ "One left, two right on the gaskin": behind a number, where the left had its own number behind it, too."""
    if at < 3 or any(piece.pause == "." for piece in pieces[at - 2 : at + 1]):
        return False
    number, other, before = pieces[at - 1], pieces[at - 2], pieces[at - 3]
    left = other.may_be("side")
    return number.number is not None and before.number is not None and left is not None and left.key == "left"


def _unsided(piece: Piece, lexicon: Lexicon) -> bool:
    keys = [m.key for m in piece.meanings if m.kind in ("stated", "entry")]
    return all(lexicon.vocabulary.observations[key].sides == "none" for key in keys)


def _near_or_off(at: int, pieces: list[Piece], words: Sequence[Word], before: str, after: str) -> bool:
    """Whether a bare "near" or "off" is a side: a name or a reading stands right behind it, or one right before it."""
    if after in SMALL:  # "off a three" at the beginning of a breath; "near a four" is about as much
        counted = at + 2 < len(pieces) and pieces[at + 2].number is not None and not pieces[at + 2].pause
        begins = at == 0 or bool(pieces[at].pause)
        return begins and counted and after in ("a", "an") and words[pieces[at].first].text == "off"
    if after in ("one", "one's"):
        return True
    following = pieces[at + 1] if at + 1 < len(pieces) and not pieces[at + 1].pause else None
    side, other = (piece.may_be("side") if piece else None for piece in (pieces[at], following))
    if side and other and other.key in ("left", "right") and other.key != side.key:
        return False  # "jumps off left hind"
    if following is not None and (
        following.number is not None or following.may_be(*_SPOTS, "entry", "stated", "unread", "side", "join", *_VALUES)
    ):
        return True
    preceding = pieces[at - 1] if at else None
    if preceding is None:
        return False
    return preceding.number is not None or preceding.may_be(*_SPOTS, "nothing") is not None or before == "the"
