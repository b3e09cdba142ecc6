"""Breaths of which nothing is entered: what somebody else told ("owner says the left loin is a four"), what is asked ("is the
saddle straight"), and what is only supposed, wanted or of another day ("if the right loin is still five").

In: pieces whose entries are settled, words. Out: the same pieces, each such breath as one that nobody knows, so that it is kept.
Not here: entries said by others one by one (hearsay.py), which words tell and ask (rules/vocabulary/speech.yaml).

INVARIANT: nothing here makes a finding; words only become a note.
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.lines.hearsay import tellings
from reasoner.lines.lexicon import Lexicon
from reasoner.lines.pieces import Piece
from reasoner.lines.said import ANSWER_WORDS, SPOTS
from reasoner.lines.words import SMALL, Word

_ENTRIES = ("entry", "stated", "unread")
_VALUES = ("nothing", "sore", "vague", "same", *ANSWER_WORDS)
#: Of what was left out, and of a correction, somebody else's word is the reason, and is read as it is.
_OTHERWISE = ("not_done", "reason", "correct_doubted")
Breath = list[Piece]


def without_withheld(pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> list[Piece]:
    """Every breath that is told by others or asked as one piece without a meaning."""
    breaths = _breaths(pieces)
    held = [_held_from(breath, words, lexicon) for breath in breaths]
    for at, breath in enumerate(breaths):
        if _only_told(breath, words, lexicon):
            for beside in _told_beside(at, breaths, lexicon):
                held[at], held[beside] = 0, 0  # "owner says, left loin four", "left loin four, she reckons"
    for at in range(1, len(breaths)):
        named = held[at - 1] is not None and any(piece.may_be(*SPOTS) for piece in breaths[at - 1])
        bare = not any(piece.may_be(*SPOTS, *_ENTRIES, *_OTHERWISE) for piece in breaths[at])
        if named and bare and breaths[at][0].pause == "," and _says(breaths[at]):
            held[at] = 0  # "owner says left loin four, right three": both were told
    return [piece for breath, begin in zip(breaths, held, strict=True) for piece in _with_note(breath, begin)]


def _breaths(pieces: Sequence[Piece]) -> list[Breath]:
    out: list[Breath] = []
    for piece in pieces:
        if not out or piece.pause in (",", "."):
            out.append([])
        out[-1].append(piece)
    return out


def _with_note(breath: Breath, begin: int | None) -> Breath:
    if begin is None:
        return breath
    note = Piece(breath[begin].first, breath[-1].last, (), pause=breath[begin].pause)
    return [*breath[:begin], note]


def _told_beside(at: int, breaths: Sequence[Breath], lexicon: Lexicon) -> list[int]:
    """The breaths that "owner says" by itself is said of: the one behind it; at the end those before it, back to the place."""
    if at + 1 < len(breaths) and breaths[at + 1][0].pause == ",":
        return [at + 1] if _says(breaths[at + 1]) and not _free(breaths[at + 1], lexicon) else []
    out: list[int] = []
    for one in range(at - 1, -1, -1):
        if breaths[one + 1][0].pause != "," or not _says(breaths[one]) or _free(breaths[one], lexicon):
            break
        out.append(one)
        if any(piece.may_be(*SPOTS) for piece in breaths[one]):
            break
    return out


def _held_from(breath: Breath, words: Sequence[Word], lexicon: Lexicon) -> int | None:
    """The piece from which on this breath is a note; None where it is none."""
    left_out = any(piece.may_be("not_done", "correct_doubted") for piece in breath)
    if not left_out and (supposed := _supposed(breath, words, lexicon)) is not None:
        return supposed if _says(breath[:supposed]) else 0
    if _free(breath, lexicon):
        return None
    if _asks(breath, words, lexicon):
        return 0
    told = _told(breath, words, lexicon)
    if told is None:
        return None
    first, last = told
    begin = next((n for n, piece in enumerate(breath) if piece.last > first), 0)
    behind = [piece for piece in breath if piece.first >= last]
    if _says(behind):
        little = not _says(breath[:begin])
        return 0 if little else begin  # "the vet said left hock warm", "loin left four owner says right is worse"
    ends = all(piece.may_be("filler", "comment") for piece in behind)
    return 0 if ends and _says(breath[:begin]) else None  # "left loin is a five according to the groom"


def _free(breath: Breath, lexicon: Lexicon) -> bool:
    """Whether others' words are what is wanted here: why something was left out, or the time before the visit."""
    by_others = lexicon.speech.lists["told_by_others"]
    observations = lexicon.vocabulary.observations
    stated = [m.key for piece in breath for m in piece.meanings if m.kind in ("stated", "unread")]
    return any(piece.may_be(*_OTHERWISE) for piece in breath) or any(
        observations[key].section in by_others for key in stated if key in observations
    )


def _says(pieces: Sequence[Piece]) -> bool:
    """Whether something could be entered from these: a number, a side, a place, or a word for what was found."""
    return any(piece.number is not None or piece.may_be("side", "other_side", *SPOTS, *_VALUES) for piece in pieces)


def _told(breath: Breath, words: Sequence[Word], lexicon: Lexicon) -> tuple[int, int] | None:
    """First and last word of "owner says" in this breath."""
    plain = [n for n in range(breath[0].first, breath[-1].last) if words[n].text not in SMALL]
    texts = [words[n].text for n in plain]
    for size in (4, 3, 2, 1):
        for n in range(len(texts) - size + 1):
            if (*texts[n : n + size],) in tellings(lexicon.speech):
                return plain[n], plain[n + size - 1] + 1
    return None


def _only_told(breath: Breath, words: Sequence[Word], lexicon: Lexicon) -> bool:
    told = _told(breath, words, lexicon)
    if told is None:  # "owner: left loin four"
        said = " ".join(word.text for word in words[breath[0].first : breath[-1].last] if word.text not in SMALL)
        return said in lexicon.speech.lists["tellers"]
    rest = [piece for piece in breath if piece.last <= told[0] or piece.first >= told[1]]
    return all(piece.may_be("filler", "comment", "join") for piece in rest)


def _asks(breath: Breath, words: Sequence[Word], lexicon: Lexicon) -> bool:
    """ "Is the saddle straight", "does he toe drag": a word that asks, and what it is asked of behind it."""
    texts = [words[n].text for n in range(breath[0].first, breath[-1].last)]
    asking = [tuple(phrase.split()) for phrase in lexicon.speech.lists["asking"]]
    size = max((len(phrase) for phrase in asking if (*texts[: len(phrase)],) == phrase), default=0)
    behind = [piece for piece in breath if piece.first >= breath[0].first + size]
    subject = next((p for p in behind if not p.may_be("filler") or p.may_be("side", *SPOTS, *_ENTRIES)), None)
    of_it = size < len(texts) and texts[size] in lexicon.speech.lists["asked_of"]
    if (
        not size
        or breath[0].may_be("correct_no")
        or not (of_it or (subject is not None and subject.may_be("side", "comment", *SPOTS, *_ENTRIES)))
    ):
        return False
    stated = any(piece.may_be("stated") for piece in behind)
    return stated or any(piece.number is not None or piece.may_be(*_VALUES) for piece in behind)


def _supposed(breath: Breath, words: Sequence[Word], lexicon: Lexicon) -> int | None:
    """The piece with which begins what is only supposed, wanted or of another day; None where nothing is said of that."""
    texts = [words[n].text for n in range(breath[0].first, breath[-1].last)]
    covered = {n for at, size in _phrases(texts, lexicon.speech.lists["not_supposed"]) for n in range(at, at + size)}
    begins = [at for at, size in _phrases(texts, lexicon.speech.lists["supposed"]) if at not in covered]
    if not begins:
        return None
    first = breath[0].first + min(begins)
    begin = next(n for n, piece in enumerate(breath) if piece.last > first)
    return begin if _says(breath[begin:]) else None


def _phrases(texts: Sequence[str], phrases: Sequence[str]) -> list[tuple[int, int]]:
    """Where each of these phrases stands in a run of words: its first word and how many it has."""
    split = [tuple(phrase.split()) for phrase in phrases]
    return [(at, len(one)) for one in split for at in range(len(texts)) if (*texts[at : at + len(one)],) == one]
