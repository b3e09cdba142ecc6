"""What may stand as the reading of an entry: one of its words, a near one, a number with its unit, a side.

In: an entry, pieces, words, lexicon. Out: the reading as a visit file writes it, or None.
Not here: where in the line a reading is looked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import lru_cache

from reasoner.lines.lexicon import Lexicon
from reasoner.lines.near import turned_round
from reasoner.lines.pieces import Piece, letters_of
from reasoner.lines.words import Word, joined
from reasoner.quantities import NotAQuantity, dimension_of, read_quantity
from reasoner.rulebook.vocabulary import Observation
from reasoner.visit.dates import parse_date
from reasoner.visit.model import DateSpan

#: The readings of an entry that only says whether something was there.
SEEN_OR_NONE = {"none", "seen", "not_seen"}


def value_said(entry: Observation, run: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> str | None:
    """The reading these pieces say, as a visit file writes it; None where they say none."""
    if any(piece.pause in (",", ".") for piece in run[1:]):
        return None
    if entry.kind == "date":
        return _date(entry, run, words, lexicon)
    if entry.kind in ("number", "count"):
        return _amount(entry, run, words, lexicon)
    spellings = letters_of_readings(entry)
    letters = letters_of(words, run[0].first, run[-1].last, lexicon)
    heard = lexicon.speech.heard.get(" ".join(word.text for word in words[run[0].first : run[-1].last]), "")
    digits = letters_of(words, run[0].first, run[-1].last, lexicon, digits=True)
    found = (
        spellings.get(letters)
        or spellings.get(digits)
        or spellings.get(joined(heard), "")
        or _near(letters, spellings, run, lexicon)
    )
    if found:
        return found.replace("_", " ")
    if letters in ("yes", "yep", "no") and {word.key for word in entry.readings} <= SEEN_OR_NONE:
        return {"yes": "seen", "yep": "seen"}.get(letters, "none" if "none" in spellings else None)
    side = run[0].may_be("side") if len(run) == 1 else None
    return side.key if side and entry.kind == "side" and side.key in ("left", "right") else None


def _date(entry: Observation, run: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> str | None:
    """A date as exact as it was said: "March 2025", "2026-03-02", "2024"."""
    texts = [word.text for word in words[run[0].first : run[-1].last] if word.text != "in"]
    months = lexicon.speech.months
    if entry.none_word and " ".join(texts) in ("never", "none", "no", "not", joined(entry.none_word)):
        return entry.none_word
    if len(texts) == 2 and texts[0] in months:
        texts = [texts[1], f"{months[texts[0]]:02}"]
    elif len(texts) == 3 and texts[1] in months and texts[0].isdecimal():
        texts = [texts[2], f"{months[texts[1]]:02}", f"{int(texts[0]):02}"]
    if not (1 <= len(texts) <= 3 and len(texts[0]) == 4 and all(t.isdecimal() and len(t) == 2 for t in texts[1:])):
        return None
    return "-".join(texts) if isinstance(parse_date("-".join(texts)), DateSpan) else None


def letters_of_readings(entry: Observation) -> Mapping[str, str]:
    """The letters of every spelling of its readings, to their keys."""
    return _letters(tuple(entry.reading_of.items()))


@lru_cache(maxsize=512)
def _letters(readings: tuple[tuple[str, str], ...]) -> Mapping[str, str]:
    return {joined(spelling.replace("_", " ")): key for spelling, key in readings}


def _near(letters: str, spellings: Mapping[str, str], run: Sequence[Piece], lexicon: Lexicon) -> str:
    """The reading an unknown word is near to, where no other comes close. A side is never near."""
    near = lexicon.speech.near
    if len(letters) < near.shortest - 1 or not all(piece.unknown for piece in run):
        return ""
    from rapidfuzz import fuzz, process

    found = process.extract(letters, [*spellings], scorer=fuzz.ratio, score_cutoff=near.doubtful - 2, limit=4)
    found = [one for one in found if not turned_round(letters, one[0], lexicon)]
    found = [one for one in found if spellings[one[0]] not in ("left", "right", "both")]
    if not found:
        return ""
    keys = {spellings[name] for name, likeness, _ in found if found[0][1] - likeness < near.ahead}
    return keys.pop() if len(keys) == 1 else ""


def _amount(entry: Observation, run: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> str | None:
    """A number within what is possible for this entry, in its own unit where none is said. "Fourteen two hands" has its inches
    behind the hands."""
    number = run[0].number
    if number is None:
        return None
    rest = list(run[1:])
    inches = rest.pop(0).number if rest and rest[0].number is not None and not rest[0].pause else None
    said = " ".join(word.text for piece in rest for word in words[piece.first : piece.last])
    unit = lexicon.speech.units.get(said, "")
    if rest and not unit:
        return None
    shown = f"{number.normalize():f}"
    if inches is not None:
        if unit != "hh" or "." in shown:
            return None
        shown = f"{shown}.{inches.normalize():f}"
    written = f"{shown} {unit or entry.unit}".strip()
    try:
        amount = read_quantity(written, "count" if entry.kind == "count" else dimension_of(entry.unit))
    except NotAQuantity:
        return None
    low, high = entry.range or (float("-inf"), float("inf"))
    return written if Decimal(str(low)) <= amount <= Decimal(str(high)) else None
