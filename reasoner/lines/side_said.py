"""What the words for a side say where they stand: a side, the other one, or a doubt that is asked about.

In: a piece that may be a side, the pieces round it, the tokens before it. Out: `SideSaid`.
Not here: what becomes of a side (statements, sides).
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.lines.lexicon import Lexicon
from reasoner.lines.pieces import Piece
from reasoner.lines.said import SPOTS, Said, SideSaid, the_before
from reasoner.lines.slips import where_it_went
from reasoner.lines.words import Word, joined


def side_said(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], before: Sequence[Said], lexicon: Lexicon
) -> SideSaid:
    """The side that the words of a piece say, whether they could be any words, and whether what follows is told of it."""
    piece = pieces[at]
    meaning = piece.may_be("side")
    slips = lexicon.speech.side_slips  # "rite loin four" opens the mouth as "right loin four" does
    said = [slips.get(word.text, word.text) for word in words[piece.first : piece.last]]
    opens = not before or before[-1].kind == "STOP" or piece.pause == "."
    if piece.first and not piece.pause and words[piece.first - 1].text in lexicon.speech.lists["somebodys"]:
        return SideSaid("doubt")  # "with my left hand"
    if meaning is not None and meaning.key != "both" and where_it_went(at, pieces, words, before, lexicon):
        return SideSaid("doubt")
    if meaning is None:
        return SideSaid("other" if piece.may_be("other_side") else "doubt")
    bare = len(said) == 1 and said[0] in ("left", "right", "near", "off") and not the_before(piece, words)
    begins = opens or bool(piece.pause) or before[-1].kind in ("PAUSE", "JOIN")
    heading = begins and not bare and len(joined("".join(said))) > 2 and meaning.key != "both"
    heading = heading and not _of_something_else(at, pieces)
    heading = heading and not said[-1].endswith("'s")  # "the left's a two" is said of one place
    if (
        at + 1 < len(pieces)
        and not pieces[at + 1].pause
        and pieces[at + 1].may_be(*SPOTS)
        and not said[-1].endswith("side")
    ):
        heading = False  # "the left loin's a two" is said of the loin alone
    return SideSaid(meaning.key, bare, heading, piece.first == 0 and said == ["right"])


def _of_something_else(at: int, pieces: Sequence[Piece]) -> bool:
    """Whether this breath began with what is no place, and the side is told of that: "the horse on the left"."""
    while at and pieces[at].pause not in (",", "."):
        at -= 1
        if pieces[at].unknown or (pieces[at].may_be("comment") and not pieces[at].may_be("filler")):
            return True
    return False
