"""Entries with their readings as people say them: phrases found by their bare words, with a place in them for a side.

In: the vocabulary's table `spoken`, and words of a line. Out: `Spoken`; the longest phrase that begins at a word.
Not here: the phrases themselves (they are data), entries named by their own names (entries.py).

INVARIANT: a side comes out of a phrase only where a word for it stands in the line, at the place the phrase keeps for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from typing import Any

from reasoner.frozen import frozen
from reasoner.lines.words import Word
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.vocabulary import Vocabulary

register({"LN15": "the phrases for spoken readings are missing, or cannot be read"})
FILE = "rules/vocabulary/spoken.yaml"
#: The place of a side in a phrase, and the reading that is that side.
PLACE, ITSELF = "{side}", "side"
#: The place of a word such as "a bit", and the reading that has to be asked for.
DEGREE, ASKED = "{bit}", "asked"
#: Longest phrase looked for, in words as they are said (own setting).
MOST_SAID = 14
#: These are a side only where they cannot be "near it" and "off it".
_DOUBTFUL = ("near", "off")
_BOTH = ("both", "either", "each")
_BEFORE_A_SIDE = ("the", "on", "to")
_AFTER_A_SIDE = ("hand", "side", "sides")


_ByFirst = Mapping[str, tuple[tuple[str, ...], ...]]


@frozen
class SpokenReading:
    """An entry and its reading; `side` is the one that was said, "both" where both were, or empty."""

    entry: str
    reading: str
    side: str = ""


@frozen
class Spoken:
    """Phrases by their bare words, the first words of all of them, and the small words that do not count."""

    phrases: Mapping[tuple[str, ...], tuple[str, str]]
    firsts: frozenset[str]
    small: frozenset[str]
    inner: _ByFirst
    degrees: _ByFirst
    sides: Mapping[str, str]


def spoken_of(vocabulary: Vocabulary, slips: Mapping[str, str]) -> Spoken:
    """The table, made ready; empty where a vocabulary has none. Raises BadInput (LN15) where a phrase is of no entry or reading,
    or says two things."""
    table = vocabulary.facts.get("spoken")
    if table is None:
        return Spoken({}, frozenset(), frozenset(), {}, {}, {})
    try:
        small = frozenset(map(str, _field(table, "small")))
        inner, degrees = _by_first(_field(table, "inner")), _by_first(_field(table, "degrees"))
        readings: dict[str, dict[str, list[str]]] = _field(table, "readings")
    except (KeyError, TypeError, AttributeError) as fault:
        raise _fault(f"the table `spoken` cannot be read: {fault}") from None
    out: dict[tuple[str, ...], tuple[str, str]] = {}
    for entry, some in readings.items():
        for reading, phrases in some.items():
            _known(vocabulary, entry, reading)
            for phrase in phrases:
                for words in _written_out(str(phrase)):
                    bare = _bare(words, small, inner)
                    if PLACE not in bare and (reading == ITSELF or vocabulary.observations[entry].sides == "each"):
                        raise _fault(f'"{" ".join(words)}" says {entry} and has no place for the side')
                    if out.setdefault(bare, (entry, reading)) != (entry, reading):
                        raise _fault(f'"{" ".join(words)}" is said both of {out[bare][0]} and of {entry}')
    sides = {
        said: side for side in ("left", "right") for said in (side, *vocabulary.sides[side]) if len(said.split()) == 1
    }
    sides |= {word: side for word, side in slips.items() if side in ("left", "right")} | dict.fromkeys(_BOTH, "both")
    sides = {word: side for word, side in sides.items() if len(word) > 1}
    return Spoken(out, frozenset(bare[0] for bare in out), small, inner, degrees, sides)


def spoken_at(words: Sequence[Word], at: int, spoken: Spoken) -> tuple[SpokenReading, int] | None:
    """The longest phrase that begins at this word, and where it ends; None where none does."""
    first = _plain(words[at].text)
    if first not in spoken.firsts and first not in spoken.sides and first not in spoken.degrees:
        return None
    end = at + 1
    while end < min(len(words), at + MOST_SAID) and words[end].pause not in (",", ".", "/"):
        end += 1
    for last in range(end, at, -1):
        run = words[at:last]
        if _plain(run[-1].text) in spoken.small:
            continue
        if found := next(_found(run, spoken), None):
            return found, last
    return None


def _found(run: Sequence[Word], spoken: Spoken) -> Iterator[SpokenReading]:
    texts = [_plain(word.text) for word in run]
    if held := _held(texts, spoken):
        yield SpokenReading(*held)
    for place, text in enumerate(texts):
        side = spoken.sides.get(text)
        if side is None or not _is_a_side(place, texts, run):
            continue
        after = place + 1
        while after < len(texts) and texts[after] in _AFTER_A_SIDE:
            after += 1
            if held := _held([*texts[:place], PLACE, *texts[after:]], spoken):
                yield SpokenReading(held[0], held[1], side)
        if held := _held([*texts[:place], PLACE, *texts[place + 1 :]], spoken):
            yield SpokenReading(held[0], held[1], side)


def _held(texts: Sequence[str], spoken: Spoken) -> tuple[str, str] | None:
    """What these words say: with the word that says how much, or without it."""
    some = _with_degrees(texts, spoken.degrees)
    less = [text for n, text in enumerate(some) if text != DEGREE or not n]
    ways = (texts, some, less) if len(some) < len(texts) or some != [*texts] else (texts,)
    return next((h for way in ways if (h := spoken.phrases.get(_bare(way, spoken.small, spoken.inner)))), None)


def _with_degrees(texts: Sequence[str], degrees: _ByFirst) -> list[str]:
    """ "A bit", "slightly" and the like as one mark; the last word is left as it is."""
    out: list[str] = []
    at = 0
    while at < len(texts):
        size = _begins(texts, at, degrees)
        out.append(DEGREE if size else texts[at])
        at += size or 1
    return out


def _begins(texts: Sequence[str], at: int, phrases: _ByFirst) -> int:
    """How many words the longest of these phrases has that begins here and does not end the words; 0 where none does."""
    some = phrases.get(texts[at], ())
    return next((len(p) for p in some if at + len(p) < len(texts) and (*texts[at : at + len(p)],) == p), 0)


def _is_a_side(place: int, texts: Sequence[str], run: Sequence[Word]) -> bool:
    """Whether "near" or "off" is said of the horse here: "to the off", "the near hind", and not "slipping off"."""
    if texts[place] not in _DOUBTFUL:
        return True
    return (place > 0 and run[place - 1].text in _BEFORE_A_SIDE) or (place + 1 < len(texts))


def _plain(text: str) -> str:
    """A word without its "'s" ("the saddle's bridging"), unless it is small with it ("he's")."""
    return text.removesuffix("'s") if text not in ("he's", "she's", "it's", "that's", "there's") else text


def _by_first(some: Iterable[object]) -> _ByFirst:
    """Phrases by their first word, the longest first."""
    out: dict[str, tuple[tuple[str, ...], ...]] = {}
    for phrase in sorted((tuple(str(one).split()) for one in some), key=len, reverse=True):
        out[phrase[0]] = (*out.get(phrase[0], ()), phrase)
    return out


def _bare(texts: Sequence[str], small: frozenset[str], inner: _ByFirst) -> tuple[str, ...]:
    """The words that count: the first always, of the others those that say something."""
    kept: list[str] = []
    at = 0
    while at < len(texts):
        if size := _begins(texts, at, inner) if at else 0:
            at += size
            continue
        if not at or texts[at] not in small:
            kept.append(texts[at])
        at += 1
    return tuple(kept)


def _written_out(phrase: str) -> Iterable[list[str]]:
    """ "saddle slips/slides over/- to {side}": every way to say it."""
    for way in product(*(token.split("/") for token in phrase.split())):
        yield [word for some in way if some != "-" for word in some.split("_")]


def _known(vocabulary: Vocabulary, entry: str, reading: str) -> None:
    seen = vocabulary.observations.get(entry)
    if seen is None:
        raise _fault(f'"{entry}" is no entry of the vocabulary')
    if reading == ASKED or (reading == ITSELF and seen.kind == "side"):
        return
    if reading not in {word.key for word in seen.readings}:
        raise _fault(f'"{reading}" is no reading of {entry}; it has {", ".join(word.key for word in seen.readings)}')


def _field(table: Any, name: str) -> Any:
    found = table[name]
    if not found:
        raise KeyError(name)
    return found


def _fault(text: str) -> BadInput:
    return BadInput([Problem(FILE, 0, "LN15", f"{text}.")])
