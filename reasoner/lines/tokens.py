"""What each piece is in its place: the tokens the grammar is written in.

In: pieces whose entries and doubtful sides are settled. Out: `Token`s, and which words nothing was made of.
Not here: the grammar, what statements mean.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from reasoner.lines.entries import STATED, UNREAD
from reasoner.lines.hearsay import of_another_day
from reasoner.lines.lexicon import Lexicon
from reasoner.lines.measured_by import a_share, apart, measured_by, more_of_it, or_more
from reasoner.lines.pieces import Piece
from reasoner.lines.said import ANSWER_WORDS, SPOTS, Said, SideSaid, Spot, spot_of, this_clause
from reasoner.lines.side_said import side_said
from reasoner.lines.slips import (
    also_said,
    between_two,
    heard_beside,
    is_slip,
    my_mistake,
    no_number,
    nothing_or_slip,
    slip_of,
    two_of_them,
)
from reasoner.lines.words import SMALL, Word

#: The key of the answer "none": said of a place by itself it is a 0.
NO_ANSWER = "none"
_PLAIN = {
    "not_done": "NOT_DONE", "left_verb": "VERB", STATED: "STATED", UNREAD: "UNREAD", "nothing": "NOTHING",
    "same": "SAME", "sore": "SORE", "vague": "SORE", "correct_scratch": "SCRATCH",
    "correct_make": "MAKE", "correct_no": "NO", "correct_swap": "SWAP", "correct_doubted": "DOUBTED", "correct_except": "DOUBTED",
    "reason": "REASON", "break": "PAUSE", "join": "JOIN",
}  # fmt: skip


def tokens_of(pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> list[Said]:
    """The tokens of a line, pauses among them. Fillers are left out; words that nobody knows are not."""
    out: list[Said] = []
    at = 0
    while at < len(pieces):
        if (at == 0 or pieces[at].pause in (",", ".")) and (end := _only_left_over(at, pieces)):
            first, pause = pieces[at].first, pieces[at].pause
            if out:
                out.append(Said("STOP" if pause == "." else "PAUSE", pause, first, first))
            out.append(Said("UNKNOWN", None, first, pieces[end - 1].last, pause))
            at = end
            continue
        if no_number(at, pieces, words, lexicon, out):
            if isinstance(out[-1].value, SideSaid):
                out[-1] = replace(out[-1], value=replace(out[-1].value, one=True))
            at += 1
            continue
        token, used = _token(at, pieces, words, lexicon, out)
        pause = pieces[at].pause
        if pause in (",", ".") and out and out[-1].kind not in ("PAUSE", "STOP", "NO", "MAKE"):
            out.append(Said("STOP" if pause == "." else "PAUSE", pause, pieces[at].first, pieces[at].first))
        if token is not None and token.kind == "NO" and out and out[-1].kind == "NO":
            out[-1] = replace(token, first=out[-1].first, pause=out[-1].pause)  # "hang on, I mean four": one correction
        elif token is not None:
            out.append(token)
        at += used
    return out


def _only_left_over(at: int, pieces: Sequence[Piece]) -> int:
    """Where a breath ends that only says what is left to do: it names a place, and says nothing of it. 0 where it is none."""
    end = at + 1
    while end < len(pieces) and pieces[end].pause not in (",", "."):
        end += 1
    inside = pieces[at:end]
    left = any(piece.may_be("left_over") for piece in inside) and (
        any(piece.may_be(*SPOTS) for piece in inside)
        or all(piece.may_be("left_over", "filler", "comment") for piece in inside)
    )
    said = any(piece.number is not None or piece.may_be("nothing", *ANSWER_WORDS) for piece in inside)
    return end if left and not said else 0


def _token(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon, before: Sequence[Said]
) -> tuple[Said | None, int]:
    """The token of a piece and how many pieces it takes; None for a filler."""
    piece = pieces[at]
    if my_mistake(piece, words):
        return Said("NO", piece.may_be("correct_no"), piece.first, piece.last, piece.pause), 1
    if (between := between_two(at, pieces, words, lexicon)) is not None:
        return between, 4
    if two_of_them(at, pieces, words, lexicon):
        return Said("SIDE", SideSaid("both"), piece.first, piece.last, piece.pause), 1
    if end := a_share(at, pieces, words, lexicon):
        return Said("UNKNOWN", None, piece.first, pieces[end - 1].last, piece.pause), end - at
    if more_of_it(at, pieces):
        return Said("SORE", None, piece.first, piece.last, piece.pause), 1
    if piece.number is not None:
        if of_another_day(at, pieces, words, lexicon):
            return Said("UNKNOWN", None, piece.first, piece.last, piece.pause), 1
        if (told := apart(at, pieces, before)) is not None:
            return told, next(n for n in range(at, len(pieces) + 1) if pieces[n - 1].last == told.last) - at
        if end := or_more(at, pieces, words, lexicon):
            return Said("RANGE", (piece.number,), piece.first, pieces[end - 1].last, piece.pause), end - at
        return _number(at, pieces, lexicon)
    if (heard := heard_beside(at, pieces, words, lexicon, before)) is not None:
        return heard
    if piece.may_be("join") and _two_words(at, pieces, before):
        return None, 1
    slip = slip_of(at, pieces, words, lexicon, before)
    if slip is not None and nothing_or_slip(at, pieces, words, lexicon):
        return Said("RANGE", (Decimal(0), slip), piece.first, piece.last, piece.pause), 1
    if (
        slip is not None
        and (also := also_said(words, piece, before, lexicon.speech.number_slips))
        and words[before[-1].first].text not in lexicon.speech.lists["sides_by_ear"]
    ):
        return Said("RANGE" if also[0] != slip else "NUMBER", (slip, *also) if also[0] != slip else slip, piece.first, piece.last,
                    piece.pause), 1  # fmt: skip
    if slip is not None:
        return Said("NUMBER", slip, piece.first, piece.last, piece.pause), 1
    if number := _half(piece):
        return Said("NUMBER", number, piece.first, piece.last, piece.pause), 1
    counted = bool(before) and before[-1].kind in ("NUMBER", "NOTHING")
    if word := piece.may_be("either", *(["either_counted"] if counted else [])):
        return Said("WORD", word, piece.first, piece.last, piece.pause), 1
    if piece.may_be("compared") and (end := measured_by(at, pieces)):
        kind = "UNKNOWN" if not before or before[-1].kind not in ("WORD", "NUMBER") else ""
        return Said(kind, None, piece.first, pieces[end - 1].last, piece.pause) if kind else None, end - at
    if piece.may_be("talk"):
        return Said("UNKNOWN", None, piece.first, piece.last, piece.pause), 1
    if doubt := piece.may_be("number_doubt"):
        return Said("RANGE", (Decimal(doubt.key),), piece.first, piece.last, piece.pause), 1
    if piece.may_be("right_filler") and piece.first > 0 and not piece.pause and at + 1 < len(pieces):
        following = pieces[at + 1]  # "left so right glute": in the middle of a breath it may be the side after all
        if not following.pause and (
            following.number is not None or following.may_be(*SPOTS, "side", "nothing", *ANSWER_WORDS)
        ):
            if words[piece.first].text == "right":  # "loin three right then croup left two"
                return Said("PAUSE", ",", piece.first, piece.last), 1
            return Said("SIDE", SideSaid("doubt"), piece.first, piece.last), 1
    if piece.may_be("beside_it") and (hind := _end_of_it(at, pieces, words, lexicon, before)):
        return Said("PLACE", hind, piece.first, piece.last, piece.pause), 1
    if piece.may_be("unsure", "beside_it"):
        beside = at + 1
        near = piece.may_be("beside_it") is None
        while beside < len(pieces) and pieces[beside].may_be("filler") and not pieces[beside].pause:
            if not near and words[pieces[beside].first].text not in SMALL:
                break  # "bandages on behind, so the hind tendons ..."
            beside += 1
        if beside < len(pieces) and not pieces[beside].pause and spot_of(pieces[beside], words):
            return Said(
                "UNKNOWN", None, piece.first, pieces[beside].last, piece.pause
            ), beside + 1 - at  # near it, not on it
    if piece.may_be("negation") and not _not_done(at, pieces) and (turned := _turned_round(at, pieces)):
        return Said("UNKNOWN", None, piece.first, pieces[at + turned - 1].last, piece.pause), turned
    if piece.near and not _beside_a_reading(at, pieces, words, lexicon):
        return Said("UNKNOWN", None, piece.first, piece.last, piece.pause), 1
    if spot := spot_of(piece, words):
        more = pieces[at + 1] if at + 1 < len(pieces) and not pieces[at + 1].pause else None
        if len(spot.keys) > 1 and more is not None:
            inner = spot_of(more, words)
            if inner is not None and {*inner.keys} & {*spot.keys}:
                return None, 1  # "off hind hock": the second name says which
            if _named_behind(at, pieces, words, spot):
                return None, 1  # "off fore's warm at the knee"
            if more.unknown and (one := _narrowed(spot, words[more.first].text, lexicon)):
                return Said("PLACE", one, piece.first, more.last, piece.pause), 2
        spot = _of_the_limb(at, pieces, words, spot)
        return Said("PLACE", spot, piece.first, piece.last, piece.pause), 1
    if piece.may_be("side", "other_side", "side_doubt") and not piece.may_be("felt", "response", "touch"):
        return Said("SIDE", side_said(at, pieces, words, before, lexicon), piece.first, piece.last, piece.pause), 1
    if (meaning := piece.may_be("response")) and meaning.key == NO_ANSWER and not piece.may_be("nothing"):
        return Said("NOTHING", meaning, piece.first, piece.last, piece.pause), 1
    if when := piece.may_be("when"):
        return Said("WHEN", when, piece.first, piece.last, piece.pause), 1
    for kind, token in _PLAIN.items():
        if meaning := piece.may_be(kind):
            if kind == "vague" and not any(t.kind in ("PLACE", "SIDE") for t in this_clause(before)):
                break  # "ok, right loin": no reading, only a word to begin with
            if kind == "correct_no" and meaning.key.startswith("my "):
                continue  # without "my", which is no word to the matcher, it is any mistake
            if kind == "reason" and piece.may_be("felt", "response"):
                continue
            return Said(token, meaning, piece.first, piece.last, piece.pause), 1
    if meaning := piece.may_be("felt", "response", "depth", "touch"):
        return Said("WORD", meaning, piece.first, piece.last, piece.pause), 1
    if piece.unknown or piece.may_be("unsure", "beside_it", "half", "point", "entry"):
        return Said("UNKNOWN", None, piece.first, piece.last, piece.pause), 1
    return None, 1


def _named_behind(at: int, pieces: Sequence[Piece], words: Sequence[Word], spot: Spot) -> bool:
    """Whether one of these several places is named further on in the same breath, behind "at" or "in"."""
    for piece in pieces[at + 1 :]:
        if piece.pause or piece.may_be("side", "join", "break") or piece.number is not None:
            return False
        inner = spot_of(piece, words)
        if inner is not None:
            near = {word.text for word in words[piece.first - 2 : piece.first]}
            return bool({*inner.keys} & {*spot.keys} and near & {"at", "in", "round", "around", "on"})
    return False


def _two_words(at: int, pieces: Sequence[Piece], before: Sequence[Said]) -> bool:
    """ "Hard and hot on the left": two words of one spot, with no place named before them."""
    behind = pieces[at + 1] if at + 1 < len(pieces) and not pieces[at + 1].pause else None
    clause = this_clause(before)
    only = bool(clause) and all(token.kind == "WORD" for token in clause) and not pieces[at].pause
    return only and behind is not None and behind.may_be("felt", "response") is not None


def _end_of_it(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon, before: Sequence[Said]
) -> Spot | None:
    """ "All quiet behind": the region that this word is at the end of a breath in which nothing was found."""
    ends = at + 1 == len(pieces) or pieces[at + 1].pause in (",", ".")
    kinds = {token.kind for token in this_clause(before)} if not pieces[at].pause else set()
    said = " ".join(word.text for word in words[pieces[at].first : pieces[at].last])
    region = lexicon.speech.ends.get(said, "")
    half = (
        at > 0 and pieces[at - 1].may_be("join") is not None
    )  # "in front and behind": of the other half nothing is entered
    if not ends or half or "NOTHING" not in kinds or kinds - {"NOTHING", "SIDE", "JOIN"} or not region:
        return None
    return Spot(lexicon.vocabulary.regions[region], region, said)


def _of_the_limb(at: int, pieces: Sequence[Piece], words: Sequence[Word], spot: Spot) -> Spot:
    """ "The left hind's puffy round the fetlock": of several places the one on the limb that was named before, in one breath."""
    for before in reversed(range(at)):
        if len(spot.keys) == 1 or pieces[before + 1].pause or pieces[before].may_be("join", "break"):
            break
        limb = spot_of(pieces[before], words)
        if limb is not None:
            both = tuple(key for key in spot.keys if key in limb.keys)
            return Spot(both, "", spot.said) if len(both) == 1 else spot
    return spot


def _half(piece: Piece) -> Decimal | None:
    """Half a point, where it is a number of its own."""
    return Decimal("0.5") if piece.may_be("half") else None


def _narrowed(spot: Spot, word: str, lexicon: Lexicon) -> Spot | None:
    """ "Hamstring outer": the one of several places in whose name the word behind stands."""
    keys = [k for k in spot.keys if word in lexicon.vocabulary.places[k].name.split()]
    return Spot((keys[0],), "", spot.said) if len(keys) == 1 else None


def _number(at: int, pieces: Sequence[Piece], lexicon: Lexicon) -> tuple[Said, int]:
    """A number, or two with "or" or "to" between them: which of them is asked."""
    piece = pieces[at]
    if at + 2 < len(pieces):
        between, other = pieces[at + 1], pieces[at + 2]
        if between.may_be("range") and other.number is not None and not (between.pause or other.pause):
            return Said("RANGE", (piece.number, other.number), piece.first, other.last, piece.pause), 3
    return Said("NUMBER", piece.number, piece.first, piece.last, piece.pause), 1


def _beside_a_reading(at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> bool:
    """Whether from pause to pause around it a side, a number or a word for what was found is said, or that it was left out:
    else a word that is near to a name is any word."""
    first, last = at, at + 1
    while first and pieces[first].pause not in (",", "."):
        first -= 1
    while last < len(pieces) and pieces[last].pause not in (",", "."):
        last += 1
    around = pieces[first:last]
    return any(
        p.number is not None or p.may_be("side", "other_side", "not_done", "left_verb", "nothing", "same", *ANSWER_WORDS)
        or is_slip(p, words, lexicon) for p in around
    ) or (pieces[at].may_be("place") is not None and len(around) == 1)  # fmt: skip


def _not_done(at: int, pieces: Sequence[Piece]) -> bool:
    """Whether "didn't" says that something was left out: a name follows, and no word that could be turned round."""
    if not pieces[at].may_be("not_done"):
        return False
    for piece in pieces[at + 1 :]:
        if piece.may_be(*SPOTS, UNREAD):
            return True
        if not piece.may_be("filler", "side"):
            return False
    return False


def _turned_round(at: int, pieces: Sequence[Piece]) -> int:
    """How many pieces a negation takes with it: up to the word it turns round; 0 where "no" is a correction."""
    correction = pieces[at].may_be("correct_no")
    for taken, piece in enumerate(pieces[at + 1 :], 1):
        if piece.pause in (",", "."):
            return 0
        if piece.may_be("filler", "comment") and not piece.may_be("sore", *ANSWER_WORDS):
            continue
        if correction and piece.may_be(STATED):
            return 0
        if piece.may_be(*ANSWER_WORDS, "sore", "vague", STATED, UNREAD, "entry", "nothing"):
            return taken + 1
        if correction:
            return 0
        if piece.may_be("side", *SPOTS) or piece.number is not None or piece.unknown:
            return taken + 1
        return 0
    return 0 if correction else 1
