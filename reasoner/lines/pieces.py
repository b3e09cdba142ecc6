"""Words of a line into pieces: the longest phrase that means something, numbers, near names, and words that mean nothing.

In: words and the lexicon. Out: `Piece`s in order, each with everything it may mean.
Not here: which meaning holds in its place (deciding), grammar.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from reasoner.frozen import frozen
from reasoner.lines.lexicon import MOST_WORDS, Lexicon, Meaning
from reasoner.lines.near import near_names
from reasoner.lines.spoken import ASKED, spoken_at
from reasoner.lines.words import SMALL, Word, joined

_HALF = Decimal("0.5")
_OWNERS = ("place", "several", "region", "side", "entry", "legs", "other_side")
_LONG = 10  # letters of a name that may be heard as four words or five (own setting)


@frozen
class Piece:
    """Words `first` up to `last` (not included). `number` where it is one; `near` says that its meaning was only near."""

    first: int
    last: int
    meanings: tuple[Meaning, ...]
    number: Decimal | None = None
    pause: str = ""
    near: bool = False

    def may_be(self, *kinds: str) -> Meaning | None:
        """Its meaning of one of these kinds, or None."""
        for kind in kinds:
            for meaning in self.meanings:
                if meaning.kind == kind:
                    return meaning
        return None

    @property
    def unknown(self) -> bool:
        """Whether nobody knows this word."""
        return not self.meanings and self.number is None


def pieces_of(words: Sequence[Word], lexicon: Lexicon) -> list[Piece]:
    """The line as pieces, from left to right, each as long as it goes."""
    out: list[Piece] = []
    at = 0
    while at < len(words):
        number, phrase = _number(words, at, lexicon), _phrase(words, at, lexicon)
        longer = (
            number is not None and phrase.last > number.last and not phrase.may_be("range", "half", "out_of", "filler")
        )
        piece = phrase if number is None or longer else number
        if (said := _spoken(words, at, lexicon)) is not None:
            if said.last > piece.last or piece.unknown:
                piece = said
            elif said.last == piece.last and (own := said.may_be("reading")) and _named(piece, own.key):
                piece = replace(piece, meanings=(*piece.meanings, Meaning("own", own.key, own.keys)))
            elif said.last == piece.last and said.may_be("alone"):
                piece = replace(piece, meanings=(*piece.meanings, *said.meanings))
        out.append(piece)
        at = piece.last
    return _with_near(out, words, lexicon)


def letters_of(words: Sequence[Word], first: int, last: int, lexicon: Lexicon, digits: bool = False) -> str:
    """The letters of some words; with `digits` number words as digits, for "T thirteen fourteen"."""
    numbers = lexicon.speech.numbers
    texts = (word.text for word in words[first:last])
    return joined(" ".join(str(numbers[t]) if digits and t in numbers else t for t in texts))


def _phrase(words: Sequence[Word], at: int, lexicon: Lexicon) -> Piece:
    for last in range(min(len(words), at + MOST_WORDS), at, -1):
        if any(word.pause in (",", ".") for word in words[at + 1 : last]):
            continue
        if last - at > 1 and (words[at].text in SMALL or words[last - 1].text in SMALL):
            continue
        letters = letters_of(words, at, last, lexicon)
        meanings = _owned(words[last - 1], letters, lexicon) or lexicon.meanings(letters)
        if not meanings and last - at > 1:
            spoken = letters_of(words, at, last, lexicon, digits=True)
            meanings = tuple(m for m in lexicon.meanings(spoken) if m.kind == "place") if spoken != letters else ()
        behind = words[last].text if last < len(words) and not words[last].pause else ""
        if words[last - 1].text == "right" and behind in ("side", "hand"):
            meanings = tuple(m for m in meanings if m.kind != "right_filler")  # "so right side" names one
        if last - at > 1 and words[last - 1].text in ("near", "off") and words[last - 2].text in SMALL:
            meanings = tuple(
                m for m in meanings if m.kind == "side"
            )  # "left the off hock": of its two sides one is none
        if words[last - 1].text in lexicon.speech.lists["bounds"] and _counted(words, last, lexicon):
            meanings = tuple(m for m in meanings if m.kind != "left_over")  # "left over a five"
        if any(
            word.text in SMALL for word in words[at:last]
        ):  # "that's the right" names a side, "that's right" does not
            meanings = tuple(m for m in meanings if m.kind != "right_filler")
        if meanings:
            return Piece(at, last, meanings, pause=words[at].pause)
    return Piece(at, at + 1, (), pause=words[at].pause)


def _counted(words: Sequence[Word], at: int, lexicon: Lexicon) -> bool:
    """Whether a number follows, small words aside."""
    while at < len(words) and words[at].text in SMALL and not words[at].pause:
        at += 1
    return at < len(words) and not words[at].pause and _whole(words, at, lexicon)[0] is not None


def _named(piece: Piece, entry: str) -> bool:
    return any(m.kind == "entry" and m.key == entry for m in piece.meanings)


def _spoken(words: Sequence[Word], at: int, lexicon: Lexicon) -> Piece | None:
    """An entry with its reading in everyday words. A single one says it only where nothing else is said, and a bare "right" that
    opens the line may only open the mouth: then the entry is named, and its reading is asked."""
    found = spoken_at(words, at, lexicon.spoken)
    if found is None:
        return None
    said, last = found
    meaning = Meaning("reading", said.entry, (said.reading.replace("_", " "),))
    sided = lexicon.vocabulary.observations[said.entry].kind == "side"
    if said.side == "both" and lexicon.vocabulary.observations[said.entry].sides != "each":
        return None
    if said.side and sided:
        meaning = Meaning("reading", said.entry, (said.side,))
    elif said.side:
        meaning = Meaning("reading", said.entry, (said.reading.replace("_", " "), said.side))
    if last - at == 1:
        meaning = Meaning("alone", meaning.key, meaning.keys)
    if said.reading == ASKED:
        meaning = Meaning("unread", said.entry, (said.entry, *([said.side] if said.side else [])))
    if said.side and at == 0 and words[0].text == "right":
        if not sided:
            return None  # read word by word: its side may be said again further on
        meaning = Meaning("unread", said.entry, (said.entry,))
    return Piece(at, last, (meaning,), pause=words[at].pause)


def _owned(word: Word, letters: str, lexicon: Lexicon) -> tuple[Meaning, ...]:
    """ "The loin's a three": the name without its "is", where what is left is a name or a side."""
    if not word.text.endswith("'s"):
        return ()
    found = lexicon.meanings(letters.removesuffix("s"))
    return found if any(m.kind in _OWNERS for m in found) else ()


def _number(words: Sequence[Word], at: int, lexicon: Lexicon) -> Piece | None:
    """A number with its half, its point and its "out of ten"."""
    minus = _kind(words, at, at + 1, lexicon, "minus") and at + 1 < len(words)
    number, last = _whole(words, at + 1 if minus else at, lexicon)
    if number is None:
        return None
    if minus:
        return Piece(at, last, (), -number, words[at].pause)
    if last < len(words) and words[last].pause == "/" and words[last].text in ("10", "ten"):
        return Piece(at, last + 1, (), number, words[at].pause)
    if last + 1 < len(words) and _kind(words, last, last + 1, lexicon, "point") and not words[last].pause:
        after, end = _whole(words, last + 1, lexicon)
        if after is not None and after < 10 and not words[last + 1].pause:
            number, last = number + after / 10, end
    for size in (4, 3, 2, 1):
        if number == int(number) and _said_here(words, last, size, lexicon, "half"):
            number, last = number + _HALF, last + size
            break
    for size in (3, 2):
        if _said_here(words, last, size, lexicon, "out_of"):
            last += size
            break
    return Piece(at, last, (), number, words[at].pause)


def _whole(words: Sequence[Word], at: int, lexicon: Lexicon) -> tuple[Decimal | None, int]:
    text = words[at].text
    if text.removesuffix("ish").isdecimal():
        text = text.removesuffix("ish")
    if text.replace(".", "", 1).isdigit() and text.isascii():
        return Decimal(text), at + 1
    numbers = lexicon.speech.numbers
    text = next((t for t in (text, *(text.removesuffix(end) for end in ("s", "es", "ish"))) if t in numbers), "")
    if not text:
        return None, at
    number, last = numbers[text], at + 1
    if number < 10 and last < len(words) and not words[last].pause and numbers.get(words[last].text) == 100:
        number, last = number * 100, last + 1
        more = last + 1 if last < len(words) and words[last].text == "and" else last
        rest, end = _whole(words, more, lexicon) if more < len(words) and not words[more].pause else (None, last)
        if rest is not None and rest < 100:
            number, last = number + int(rest), end
    ones = _ones(words, last, lexicon) if 20 <= number < 100 and number % 10 == 0 else 0
    if ones:
        number, last = number + ones, last + 1
    return Decimal(number), last


def _ones(words: Sequence[Word], at: int, lexicon: Lexicon) -> int:
    """The eight of "thirty eight", or of "thirty ate point one"; 0 where none is said."""
    if at >= len(words) or words[at].pause:
        return 0
    said = lexicon.speech.numbers.get(words[at].text, 0)
    if not said and at + 1 < len(words) and _kind(words, at + 1, at + 2, lexicon, "point"):
        said = lexicon.speech.number_slips.get(words[at].text, 0)
    return said if 0 < said < 10 else 0


def _said_here(words: Sequence[Word], first: int, size: int, lexicon: Lexicon, kind: str) -> bool:
    """Whether so many words from here on, with no pause before any, are a phrase of this kind."""
    run = words[first : first + size]
    return len(run) == size and not any(word.pause for word in run) and _kind(words, first, first + size, lexicon, kind)


def _kind(words: Sequence[Word], first: int, last: int, lexicon: Lexicon, kind: str) -> bool:
    return any(m.kind == kind for m in lexicon.meanings(letters_of(words, first, last, lexicon)))


def _with_near(pieces: list[Piece], words: Sequence[Word], lexicon: Lexicon) -> list[Piece]:
    """Words nobody knows, read as the names they are near to; with the known part of a name beside them first ("shoulder
    bled"), then by themselves."""
    out: list[Piece] = []
    at = 0
    while at < len(pieces):
        found = pieces[at]
        size = 1
        for size in (5, 4, 3, 2, 1):
            run = pieces[at : at + size]
            if len(run) < size or any(p.pause in (",", ".") for p in run[1:]) or not any(p.unknown for p in run):
                continue
            if size > 3 and not (run[0].unknown or run[0].may_be("place")):
                continue
            if (near := _near(run, words, lexicon)) is not None:
                found = near
                break
        out.append(found)
        at += size
    return out


def _near(run: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> Piece | None:
    """A run of pieces as one near name. Known words may be part of it only where they are names themselves, or stand inside."""
    first, last = run[0].first, run[-1].last
    letters = letters_of(words, first, last, lexicon)
    if len(run) > 1 and any(word.text in lexicon.speech.number_slips for word in words[first:last]):
        return None
    named = any(piece.may_be("place", "region", "several") for piece in run)
    for place, piece in enumerate(run):
        if named and piece.number is not None:
            return None  # "shoulder blade six looked": the number is a reading of the name that is known
        inside = 0 < place < len(run) - 1
        small = inside and (piece.may_be("filler", "negation") or piece.number is not None)
        if not (piece.unknown or piece.may_be("place", "region", "several") or small):
            return None
    if len(run) > 3 and len(letters) < _LONG:
        return None
    sure = not all(p.unknown for p in run)
    meanings = near_names(letters, lexicon, sure=sure)
    every = "".join(word.text for word in words[first:last])
    if not meanings and len(run) > 1 and every != letters:  # "long is a mess": the small word was part of the name
        meanings = near_names(every, lexicon, sure=sure)
    return Piece(first, last, meanings, pause=run[0].pause, near=True) if meanings else None
