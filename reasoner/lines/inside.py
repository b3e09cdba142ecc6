"""A side said in the middle of a name: "in front of the left shoulder blade", "outer right hamstring".

In: the words of a line. Out: the same words, such a side moved before its name.
Not here: which name it is in the end (pieces.py, tokens.py).

INVARIANT: a side moves only out of a name that is known without it, and only where its two halves are not two names.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reasoner.lines.lexicon import MOST_WORDS, Lexicon
from reasoner.lines.words import SMALL, Word, joined

_NAMES = ("place", "several", "region")
_SIDES = ("left", "right")


def with_sides_before_names(words: Sequence[Word], lexicon: Lexicon) -> tuple[Word, ...]:
    """The words, each side that stands inside a name before that name. It is written out ("left hand"), so that it is no bare
    "left" or "right", which might be a verb or open the mouth."""
    out = list(words)
    at = 0
    while at < len(out):
        found = _name_around_a_side(out, at, lexicon)
        if found is not None:
            place, last, side = found
            moved = replace(out[place], text=f"{side} hand", pause=out[at].pause)
            out[at:last] = [moved, replace(out[at], pause=""), *out[at + 1 : place], *out[place + 1 : last]]
            at = last
        at += 1
    return tuple(out)


def _name_around_a_side(words: Sequence[Word], at: int, lexicon: Lexicon) -> tuple[int, int, str] | None:
    """Where the side stands, where the name that begins here ends, and which side it is."""
    if words[at].text in SMALL or _side(words[at], lexicon):
        return None
    for last in range(min(len(words), at + MOST_WORDS + 1), at + 2, -1):
        run = words[at:last]
        if any(word.pause for word in run[1:]) or words[last - 1].text in SMALL:
            continue
        places = [n for n, word in enumerate(run) if _side(word, lexicon)]
        if len(places) != 1 or not 0 < places[0] < len(run) - 1:
            continue
        (n,) = places
        before, after = run[:n], run[n + 1 :]
        if _name([*before, *after], lexicon) and not _name(run, lexicon) and not (
            _name(before, lexicon) and _name(after, lexicon)
        ):  # fmt: skip
            return at + n, last, _side(run[n], lexicon)
    return None


def _side(word: Word, lexicon: Lexicon) -> str:
    """The side that this one word is, or nothing."""
    return next((m.key for m in lexicon.meanings(joined(word.text)) if m.kind == "side" and m.key in _SIDES), "")


def _name(run: Sequence[Word], lexicon: Lexicon) -> bool:
    """Whether these words are the name of a place, of several or of a region."""
    text = " ".join(word.text for word in run)
    letters = joined(text.removesuffix("'s"))
    return any(m.kind in _NAMES for m in lexicon.meanings(letters))
