"""A veterinarian's word of an earlier visit, written into the file of the next one: an entry to see and to strike.

In: what is carried over. Out: the lines of the file, and what is told of it in words.
Not here: what still holds (records.carried).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from reasoner.records.carried import Carried
from reasoner.rendering import phrases
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import VetsWord
from reasoner.visit.reader import plain

NAME = "veterinarian's word"


def carried_lines(every: Sequence[Carried], words: Vocabulary) -> list[str]:
    """The lines of the file; none where nothing is carried over."""
    holding = [one for one in every if one.state == "holds"]
    offered = [one for one in every if one.state == "left out"]
    lines = [f"{NAME}:"] if holding else []
    for one in holding:
        lines += [f"  # {from_words(one)}; strike it if it no longer holds", f"  - {written(one, words)}"]
    if offered and not holding:
        lines.append(f"# {NAME}:")
    for one in offered:
        lines += [f"  # {from_words(one)}, and not written again at the last visit; take the # away if it holds",
                  f"  # - {written(one, words)}"]  # fmt: skip
    return lines


def from_words(one: Carried) -> str:
    """Where it comes from, and what of it is over: "from the visit of 4 April 2026"."""
    return f"from the visit of {phrases.day(one.since)}" + (f"; what it allowed is over: {one.why}" if one.why else "")


def written(one: Carried, words: Vocabulary) -> str:
    """The word as a visit file holds it; the visit it comes from stands in its note."""
    word = one.word
    parts = [f"who: {json.dumps(word.who, ensure_ascii=False)}", f"seen: {word.seen.isoformat()}"]
    parts += [f"about: [{', '.join(_about(word))}]"] if word.about else []
    for name, keys in (("allows", word.allows), ("forbids", word.forbids)):
        parts += [f"{name}: [{', '.join(map(plain, keys))}]"] if keys else []
    parts += [f"until: {word.until.isoformat()}"] if word.until else []
    if word.grades:
        legs = ", ".join(f"{g.side} {plain(g.limb)}: {json.dumps(g.grade)}" for g in word.grades)
        parts.append(f"grade: {{scale: {json.dumps(word.grades[0].scale, ensure_ascii=False)}, {legs}}}")
    parts.append(f"note: {json.dumps(f'carried over from the visit of {one.since.isoformat()}')}")
    return f"{{{', '.join(parts)}}}"


def _about(word: VetsWord) -> Iterator[str]:
    sides = word.sides or (None,) * len(word.about)
    degrees = word.degrees or (None,) * len(word.about)
    for about, side, degree in zip(word.about, sides, degrees, strict=True):
        yield " ".join(plain(part) for part in (side, about, degree) if part)


def word_line(one: Carried) -> str:
    """The word in a line for people."""
    word = one.word
    said = [f"{word.who or 'a veterinarian'}, seen {phrases.day(word.seen)}"]
    if word.about:
        said.append(f"about {', '.join(_about(word))}")
    for label, keys in (("allows", word.allows), ("forbids", word.forbids)):
        said += [f"{label} {', '.join(map(phrases.plain, keys))}"] if keys else []
    said.append(f"until {phrases.day(word.until)}" if word.until else "no last day")
    return "; ".join(said)


def opening_lines(every: Sequence[Carried]) -> Iterator[str]:
    """What the opening of the new file says of them."""
    holding = [one for one in every if one.state == "holds"]
    if holding:
        yield "A veterinarian's word that still holds is written at the end; strike it if it does not. A new sign closes it."
    for one in holding:
        yield f"  {word_line(one)} ({from_words(one)})"
    offered = [one for one in every if one.state == "left out"]
    if offered:
        yield "A veterinarian's word not written again at the last visit stands at the end with a #; without it, it counts."
    for one in offered:
        yield f"  {word_line(one)} ({from_words(one)})"
    over = [one for one in every if one.state in ("run out", "unread")]
    if over:
        yield "A veterinarian's word that has run out, or cannot be carried over, and does not count today:"
    for one in over:
        yield f"  {word_line(one)} (from the visit of {phrases.day(one.since)}; {one.why})"
