"""A line cut into words: where each stands, and whether a pause was written before it.

In: text as typed or dictated. Out: `Word`s; `joined`, the form under which phrases are looked up.
Not here: what any word means.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem

#: Longer is no line but a page: each of its lines is read by itself (own setting).
MOST_LETTERS = 600
#: "Right" with a question mark behind it: it may only ask for a yes.
ASKED_RIGHT = "right?"
#: What "+" or "?" right at a digit is read as: that number is in doubt.
PLUS = "plus"
#: Words of a phrase that say nothing in it, in any trade.
SMALL = frozenset({"the", "a", "an", "his", "her", "him", "its", "my", "their"})
_GLUED = r"[lr]\d+(?:\.\d+)?(?:-\d+(?:\.\d+)?)?(?![\w/])"
_PIECE = re.compile(
    rf"(?P<glued>\b{_GLUED})|(?P<both>\b(?:l/r|r/l)\b)|"
    r"(?P<number>\d+(?:\.\d+)?(?![\w.]*[a-z]))|(?P<word>[^\W\d_]*\d*[^\W_]+(?:['’][^\W\d_]+)*\.?(?<!\.)|&)|(?P<plus>(?<=\d)(?:\+(?!\d)|\?))|(?P<pause>[.,;:!?…—–]+|\s-\s|/)",
    re.IGNORECASE,
)


@frozen
class Word:
    """One word in lower case, its place in the line, and the pause written before it: "" for none, "," for a light one, "." for
    the end of a sentence."""

    text: str
    start: int
    end: int
    pause: str


def words_of(line: str, letters: Mapping[str, tuple[str, ...]], loin: int) -> tuple[Word, ...]:
    """The words. `letters` are those that stand for a side, or for a side with its leg; `loin` is how many vertebrae the loin has
    (L1, L2 ...). Raises BadInput (LN06) for what is longer than a line."""
    if len(line) > MOST_LETTERS:
        raise BadInput([Problem("the line", 0, "LN06", f"it has {len(line)} letters; at most {MOST_LETTERS} are read at once.",
                                "Say it in several lines.")])  # fmt: skip
    out: list[Word] = []
    pause = ""
    sided = _letters_are_sides(line, loin)
    for found in _PIECE.finditer(line):
        text = found[0]
        if found.lastgroup == "pause":
            pause = _pause(text.strip(), pause)
            continue
        text = "and" if text == "&" else text.casefold().replace("’", "'")
        if text == "right" and line[found.end() :].lstrip().startswith("?"):
            text = ASKED_RIGHT
        if found.lastgroup == "plus":
            text = PLUS
        said = letters.get(text, ())
        if found.lastgroup == "glued" and sided:
            out += _glued(found[0], found.start(), letters, pause)
        elif len(said) > 1 and found[0] not in (text, text.upper()):
            out.append(Word(text, found.start(), found.end(), pause))
        elif len(said) > 1:  # "LH": one word for the eye, two for the ear
            middle = found.start() + 1
            out += (Word(said[0], found.start(), middle, pause), Word(said[1], middle, found.end(), ""))
        elif said and sided:
            out.append(Word(said[0], found.start(), found.end(), pause))
        else:
            out.append(Word(text, found.start(), found.end(), pause))
        pause = "." if found[0] == "?" else ""
    return tuple(out)


def is_in_doubt(mark: int, words: Sequence[Word]) -> bool:
    """Whether the word here is such a mark right at the number before it."""
    return 0 < mark < len(words) and words[mark].text == PLUS and words[mark].start == words[mark - 1].end


def _letters_are_sides(line: str, loin: int) -> bool:
    """Whether L and R with a number are sides: "L3 R2", "L13", "L2.5"; alone, L3 is a vertebra of the loin."""
    numbers = re.findall(r"\bl(\d+(?:\.\d+)?)\b", line, re.IGNORECASE)
    no_vertebra = any("." in number or int(number) > loin for number in numbers)
    return no_vertebra or re.search(r"\br ?\d", line, re.IGNORECASE) is not None


def _glued(text: str, start: int, letters: Mapping[str, tuple[str, ...]], pause: str) -> Iterator[Word]:
    """ "R3.5" as a side and a number, "L2-3" as a side and two numbers of which it is one."""
    yield Word(letters[text[0].casefold()][0], start, start + 1, pause)
    first, dash, second = text[1:].partition("-")
    at = start + 1 + len(first)
    yield Word(first, start + 1, at, "")
    if dash:
        yield Word("to", at, at + 1, "")
        yield Word(second, at + 1, start + len(text), "")


def _pause(mark: str, before: str) -> str:
    """What a mark, after the marks before it, is as a pause."""
    if mark == "/":
        return before or mark
    return "." if set(mark) & set(".;!?…") or before == "." else ","


def joined(text: str) -> str:
    """The letters and digits of a phrase alone, without small words such as "the" and "his": how it is looked up.

    >>> joined("Point of the hip"), joined("T13-T14"), joined("wither's")
    ('pointofhip', 't13t14', 'withers')
    """
    words = re.findall(r"[^\W_]+(?:['’][^\W_]+)*", text.casefold())
    kept = [word for word in words if word not in SMALL] or words
    return re.sub(r"[^a-z0-9à-ÿ]", "", "".join(kept))
