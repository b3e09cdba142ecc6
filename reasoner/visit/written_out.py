"""What was touched and seen, written out as a visit file.

In: a `Draft`, plain words by key, as a page or a table collects them. Out: the text of a visit file, headings in walking order.
Not here: whether the words are right; the reader of visit files says that of the text, with its line.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from reasoner.frozen import frozen
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.reader import plain
from reasoner.visit.reading import VISIT
from reasoner.visit.touches import PALPATION, SPACES, is_space
from reasoner.visit.walk import TOP, Heading, Line, walk_round

#: What is said of one place on one side: a bare reading, or several things by name (a list is several words; what was felt at a
#: later time stands under its name in the same way).
Pressed = str | Mapping[str, str | Sequence[str] | Mapping[str, str | Sequence[str]]]
NOTES = "notes"
#: Marks that no keyboard writes and that end lines, or the file, for one reader and not for another.
_UNSEEN = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\ud800-\udfff\ufffe\uffff]")
_BARE = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ./+°'-]*[A-Za-z0-9./+°'])?")


@frozen(kw_only=True)
class Draft:
    """One visit, before it is a file. `entries`: what was read, by entry, or by side of an entry. `palpation`: by place, then by
    side (`middle` on the middle line). `quiet`: left, right or both, by region."""

    day: date
    entries: Mapping[str, str | Mapping[str, str]]
    palpation: Mapping[str, Mapping[str, Pressed]]
    quiet: Mapping[str, str]
    notes: tuple[str, ...] = ()
    opening: tuple[str, ...] = ()


def written_out(draft: Draft, vocabulary: Vocabulary) -> str:
    """The visit file. A key of no entry or place is written at the end, where the reader names it and its nearest word."""
    left = {canonical(key) for key in (*draft.entries, *draft.palpation)}
    lines = [f"# {_one_line(line)}" for line in draft.opening]
    lines.append(f"{VISIT}: {draft.day.isoformat()}")
    for heading in walk_round(vocabulary):
        lines += _heading(heading, draft, left)
    lines += _palpation(draft, vocabulary, left)
    if draft.quiet:
        lines += ["quiet:", *(f"  {plain(region)}: {_scalar(side)}" for region, side in draft.quiet.items())]
    said = [one for one in map(_one_line, (_note(draft, left), *draft.notes)) if one]
    if said:
        lines.append(f"{NOTES}: {_scalar(' / '.join(said))}")
    for key, value in draft.entries.items():
        if canonical(key) in left:
            lines.append(f"{_scalar(key)}: {_reading(value)}")
    return "\n".join(lines) + "\n"


def _note(draft: Draft, left: set[str]) -> str:
    left.discard(NOTES)
    value = draft.entries.get(NOTES, "")
    return value if isinstance(value, str) else ""


def _heading(heading: Heading, draft: Draft, left: set[str]) -> Iterator[str]:
    """The lines under a heading of which something was read; nothing where nothing was."""
    edge = "" if heading.key == TOP else "  "
    inside = [f"{edge}{text}" for line in heading.lines if (text := _line(line, draft, left))]
    for inner in heading.inner:
        inside += [f"{edge}{text}" for text in _heading(inner, draft, left)]
    if inside and edge:
        yield f"{heading.name}:"
    yield from inside


def _line(line: Line, draft: Draft, left: set[str]) -> str:
    if line.kind == "touch" or line.name == VISIT or line.key == NOTES or line.key not in draft.entries:
        return ""
    value = draft.entries[line.key]
    left.discard(canonical(line.key))
    if line.kind == "leg" and line.side:
        one = value.get(line.side, "") if not isinstance(value, str) else value
        return f"{line.name}: {_scalar(one)}" if one else ""
    return f"{line.name}: {_reading(value)}"


def _palpation(draft: Draft, vocabulary: Vocabulary, left: set[str]) -> Iterator[str]:
    places = sorted(draft.palpation, key=lambda key: vocabulary.places[key].walk if key in vocabulary.places else 0)
    for heading, spaces in ((PALPATION, False), (SPACES, True)):
        inside = []
        for key in places:
            place = vocabulary.places.get(key)
            if (place is not None and is_space(place)) is spaces and draft.palpation[key]:
                left.discard(canonical(key))
                inside.append(f"  {_scalar(place.name if place is not None else key)}: {_sides(draft.palpation[key])}")
        if inside:
            yield f"{plain(heading)}:"
            yield from inside


def _sides(sides: Mapping[str, Pressed]) -> str:
    if set(sides) == {"middle"}:
        return _pressed(sides["middle"])
    return "{" + ", ".join(f"{_scalar(side)}: {_pressed(one)}" for side, one in sides.items()) + "}"


def _pressed(one: Pressed) -> str:
    if isinstance(one, str):
        return _scalar(one)
    return "{" + ", ".join(f"{plain(name)}: {_words(value)}" for name, value in one.items()) + "}"


def _words(value: str | Sequence[str] | Mapping[str, str | Sequence[str]]) -> str:
    if isinstance(value, Mapping):
        return _pressed(value)
    return _scalar(value) if isinstance(value, str) else "[" + ", ".join(map(_scalar, value)) + "]"


def _reading(value: str | Mapping[str, str]) -> str:
    if isinstance(value, str):
        return _scalar(value)
    return "{" + ", ".join(f"{_scalar(side)}: {_scalar(one)}" for side, one in value.items()) + "}"


def _scalar(text: str) -> str:
    """Text as YAML: bare where nothing in it means something to YAML, else between quotation marks on one line."""
    if _BARE.fullmatch(text):
        return text
    return json.dumps(_one_line(text), ensure_ascii=False)


def _one_line(text: str) -> str:
    return " ".join(_UNSEEN.sub(" ", text).split())
