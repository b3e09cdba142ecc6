"""What to do while waiting, of several reasons to call at once: nothing said twice, nothing that speaks against another.

In: the "while you wait" and "tell the veterinarian" lines of the concerns of one call, and the words by which such lines say
what they are about. Out: the lines to show.
Not here: the lines, and those words (rules/scales/waiting.yaml). A strict line stands before a mild one of the same subject;
no subject is ever lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from reasoner.frozen import frozen
from reasoner.rendering.phrases import clause, sentence
from reasoner.rulebook.word_patterns import pattern_of

Subjects = Mapping[str, re.Pattern[str]]

#: A part of so few words ("with the time") says nothing of its own.
MOST_BY_THE_WAY = 3
_FORBIDS = re.compile(r"\b(?:no|not|never|nothing|neither|take away|take all)\b", re.IGNORECASE)
_ONLY = re.compile(r"\bonly\b", re.IGNORECASE)
_LIMITS = re.compile(r"\b(?:own|safe)\b", re.IGNORECASE)
_RING_IF = re.compile(r"\bring (?:again |at once|the same day)|; if ", re.IGNORECASE)
_CUT = re.compile(r"(?<=[.!?])\s+")
_RING = re.compile(r"^ring now(?:, and |\.$)", re.IGNORECASE)
_SMALL = frozenset(
    """a an and at by each every for has if in is it its of on or the to was what when with""".split()  # noqa: SIM905
)


@frozen
class Waiting:
    """The lines to show, the number of sentences left out because another says as much, and what to tell."""

    lines: tuple[str, ...]
    left_out: int
    telling: tuple[str, ...]


def merged(lists: Sequence[Sequence[str]], tell: Iterable[str], words: Mapping[str, Sequence[str]]) -> Waiting:
    """The lines of several concerns as one list, in their order; with a single concern, its own lines.

    `words` are those by which a sentence is known to be about a subject; a sentence about none is never left out.
    """
    subjects = {name: pattern_of(of) for name, of in words.items()}
    told = [(n, line, _CUT.split(line)) for n, lines in enumerate(lists) for line in lines]
    every = [(n, _without_ringing(one) if len(lists) > 1 else one) for n, _, cut in told for one in cut]
    kept = [not _said_elsewhere(place, every, subjects) for place in range(len(every))]
    lines, place, left_out = [], 0, 0
    for _, _, cut in told:
        own = range(place, place + len(cut))
        place += len(cut)
        lines.append(" ".join(sentence(every[n][1]) for n in own if kept[n] and every[n][1]))
        left_out += sum(not kept[n] for n in own)
    return Waiting(tuple(dict.fromkeys(line for line in lines if line)), left_out, telling(tell))


def _without_ringing(text: str) -> str:
    """The call itself stands in the line above, once."""
    return _RING.sub("", text)


def _about(text: str, subjects: Subjects) -> set[str]:
    return {name for name, pattern in subjects.items() if pattern.search(text)}


def _strict(text: str) -> int:
    return 3 if _FORBIDS.search(text) else 2 if _ONLY.search(text) else 1 if _LIMITS.search(text) else 0


def _said_elsewhere(place: int, every: Sequence[tuple[int, str]], subjects: Subjects) -> bool:
    """Whether other concerns' sentences cover it: word for word before it, or every subject at least as strictly
    (of two as strict, the shorter).

    A sentence that says when to ring again, or in which event to do what, always stays.
    """
    concern, text = every[place]
    if any(other == text for _, other in every[:place]):
        return bool(text)
    about = _about(text, subjects)
    if not about or text.casefold().startswith(("if ", "ring ")) or _RING_IF.search(text):
        return False

    def told(subject: str, *, stricter: bool) -> bool:
        own = (_strict(text), -len(text), -place)
        return any(
            n != concern
            and subject in _about(other, subjects)
            and not other.casefold().startswith("if ")
            and (_strict(other) > own[0] if stricter else (_strict(other), -len(other), -where) > own)
            for where, (n, other) in enumerate(every)
        )

    if all(told(subject, stricter=True) for subject in about):
        return True
    return not _says_more(text, subjects) and all(told(subject, stricter=False) for subject in about)


def _says_more(text: str, subjects: Subjects) -> bool:
    """Whether a part of the sentence is about something else: "keep it still, in shade and air"."""
    return any(len(part.split()) > MOST_BY_THE_WAY and not _about(part, subjects) for part in re.split(r"[,;]", text))


def telling(tell: Iterable[str]) -> tuple[str, ...]:
    """What to say on the telephone; a thing that another names more fully is not named again."""
    every = list(dict.fromkeys(clause(line) for line in tell))
    words = [frozenset(re.findall(r"\w+", line.casefold())) - _SMALL for line in every]
    return tuple(
        line
        for n, line in enumerate(every)
        if not any(words[n] < words[k] or (words[n] == words[k] and k < n) for k in range(len(every)) if k != n)
    )
