"""What to do while waiting, of several reasons to call at once: nothing said twice, nothing that speaks against another.

In: the "while you wait" and "tell the veterinarian" lines of the concerns of one call. Out: the lines to show.
Not here: the lines themselves. A strict line stands before a mild one of the same subject; no subject is ever lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from reasoner.frozen import frozen
from reasoner.rendering.phrases import clause, sentence

#: What such lines speak of. Only a sentence wholly about subjects that a stricter or earlier one has told is left out.
SUBJECTS = {
    "feed": r"\bfeed\b|\beat\b|\bhay\b|\bgrass\b|bedding",
    "water": r"\bwater\b",
    "moving": r"\bwalk it\b|\bwalking\b|\bmove the\b|\bload it\b|\bstill\b",
    "riding": r"\briding\b|\bride\b|\brider up\b",
    "lungeing": r"\blung\w+",
    "strengthening": r"\bstrengthen\w*|\bstronger\b|\bpoles\b|\bhills\b",
    "trot-up": r"\btrot-up\b|\btrotted up\b",
    "saddle": r"\bsaddle as it is\b|\bleave saddle\b",
    "numbers": r"\btemperature\b|\bpulse\b|\bbreaths\b|\bnumbers?\b",
    "droppings": r"\bdroppings\b",
    "boots": r"\bboots?\b|\bbandage\b",
    "ringing": r"\bring now\b",
}
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


def merged(lists: Sequence[Sequence[str]], tell: Iterable[str]) -> Waiting:
    """The lines of several concerns as one list, in their order; with a single concern, its own lines."""
    told = [(n, line, _CUT.split(line)) for n, lines in enumerate(lists) for line in lines]
    every = [(n, _without_ringing(one) if len(lists) > 1 else one) for n, _, cut in told for one in cut]
    kept = [not _said_elsewhere(place, every) for place in range(len(every))]
    lines, place, left_out = [], 0, 0
    for _, _, cut in told:
        own = range(place, place + len(cut))
        place += len(cut)
        lines.append(" ".join(sentence(every[n][1]) for n in own if kept[n] and every[n][1]))
        left_out += sum(not kept[n] for n in own)
    return Waiting(tuple(dict.fromkeys(line for line in lines if line)), left_out, tuple(_telling(tell)))


def _without_ringing(text: str) -> str:
    """The call itself stands in the line above, once."""
    return _RING.sub("", text)


def _subjects(text: str) -> set[str]:
    return {name for name, pattern in SUBJECTS.items() if re.search(pattern, text, re.IGNORECASE)}


def _strict(text: str) -> int:
    return 3 if _FORBIDS.search(text) else 2 if _ONLY.search(text) else 1 if _LIMITS.search(text) else 0


def _said_elsewhere(place: int, every: Sequence[tuple[int, str]]) -> bool:
    """Whether other concerns' sentences cover it: word for word before it, or every subject at least as strictly
    (of two as strict, the shorter).

    A sentence that says when to ring again, or in which event to do what, always stays.
    """
    concern, text = every[place]
    if any(other == text for _, other in every[:place]):
        return bool(text)
    subjects = _subjects(text)
    if not subjects or text.casefold().startswith(("if ", "ring ")) or _RING_IF.search(text):
        return False

    def told(subject: str, *, stricter: bool) -> bool:
        own = (_strict(text), -len(text), -place)
        return any(
            n != concern
            and subject in _subjects(other)
            and not other.casefold().startswith("if ")
            and (_strict(other) > own[0] if stricter else (_strict(other), -len(other), -where) > own)
            for where, (n, other) in enumerate(every)
        )

    if all(told(subject, stricter=True) for subject in subjects):
        return True
    return not _says_more(text) and all(told(subject, stricter=False) for subject in subjects)


def _says_more(text: str) -> bool:
    """Whether a part of the sentence is about something else: "keep it still, in shade and air"."""
    return any(len(part.split()) > MOST_BY_THE_WAY and not _subjects(part) for part in re.split(r"[,;]", text))


def _telling(tell: Iterable[str]) -> list[str]:
    """What to say on the telephone; a thing that another names more fully is not named again."""
    every = list(dict.fromkeys(clause(line) for line in tell))
    words = [frozenset(re.findall(r"\w+", line.casefold())) - _SMALL for line in every]
    return [
        line
        for n, line in enumerate(every)
        if not any(words[n] < words[k] or (words[n] == words[k] and k < n) for k in range(len(every)) if k != n)
    ]
