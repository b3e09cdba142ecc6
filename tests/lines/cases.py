"""The test lines as cases, and their meaning in the words of the vocabulary.

In: the YAML files beside this one. Out: `Case`, and from it what would be entered, left out, asked and kept, in one form
that any reader of lines can be compared with. Not here: any reader of lines.

How the expectations were set, where a line could be taken in more than one way:

- A place name wins over the region of the same name (loin, croup, withers, belly, poll); `region:` stands only for words that
  are no place, and is spread over its places: for findings over those of the round, for what was left out over all of them.
- A reading is written as in a visit file. Any bare word for "no answer" (nothing, quiet, no reaction, zero) is 0.
- `right` at the start of a line, with nothing but a place and a reading behind it, is asked about. It is decided by "right
  side", "the right", a doubled "right", R, the other side of the same place further on, or "right" again before the next
  place; in front of a side, an entry without sides or, behind a comma, a middle place it is a filler.
- `left` before a place and a reading is a side; "left the", "I've left", "left out", "left it" with no reading is the verb where
  the rest of the line says so (another side, a plural, "alone", "for now", "out"); else it is asked about.
- A side that stands as a heading ("on the left", "left side") holds until the next side; one that belongs to a place does not.
- A middle place with a side is asked about. A number over 10, below 0, finer than halves, or a range is asked about.
- What is asked about is not entered; the rest of the line is. `about` holds the key of the place or entry whose side or reading
  is missing, or the words as they were said. `offers` must all be among the answers offered; more may be.
- A leg or a side said of an entry that has no sides is kept as a note, with the piece of the line it stands in.
- A number between two sides belongs to one of them only where every number then has a side of its own; else it is asked about.
- `reason` is a word of the vocabulary's reasons, where the line gives one.
- `kept` holds the words as they were said; commas at the ends and the size of letters do not count.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput
from reasoner.rulebook import strict_yaml
from reasoner.rulebook.loading import load_vocabulary
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.noted import read_value
from reasoner.visit.one_touch import read_touch
from reasoner.visit.reader import Reader

HERE = Path(__file__).resolve().parent
SIDES = ("left", "right")
#: The day on which the lines are said; dates behind it would be refused.
DAY = date(2026, 6, 1)
KINDS = ("side", "place", "reading", "verb")
#: Key of a place or entry, side (left, right, middle, or empty for an entry without sides), what is written there.
Entered = tuple[str, str, object]
#: Key, side, reason (empty where none was given).
LeftOut = tuple[str, str, str]


@frozen(kw_only=True)
class Target:
    """A place, a region or an entry, and the side said with it ("" where none is)."""

    kind: str  # at, region or entry
    key: str
    side: str = ""
    reading: Node | None = None
    reason: str = ""


@frozen(kw_only=True)
class Question:
    """A question that has to be asked before anything of it is entered."""

    kind: str
    about: tuple[str, ...]
    offers: tuple[str, ...] = ()


@frozen(kw_only=True)
class Case:
    """A line, the place that was open when it was said, and everything it gives."""

    line: str
    looking_at: str = ""
    finds: tuple[Target, ...] = ()
    not_examined: tuple[Target, ...] = ()
    asks: tuple[Question, ...] = ()
    kept: tuple[str, ...] = ()
    file: str = ""
    at_line: int = 0
    whole: str = ""  # the case as canonical JSON, for its sha256

    @property
    def said(self) -> str:
        """sha256 of the words alone."""
        return _sha(json.dumps([self.line, self.looking_at]))

    @property
    def sha(self) -> str:
        """sha256 of the words with the whole expectation."""
        return _sha(self.whole)


def cases(pattern: str = "lines_*.yaml") -> tuple[Case, ...]:
    """Every case in the files of that name, in the order of the files. Raises ValueError at a shape that is none."""
    return tuple(case for path in sorted(HERE.glob(pattern)) for case in of_file(path))


@cache
def vocabulary() -> Vocabulary:
    """The shipped words."""
    return load_vocabulary()


def entered(case: Case, words: Vocabulary) -> frozenset[Entered]:
    """What the line enters, each reading read as the visit itself reads it. Raises BadInput at a reading that is none."""
    return frozenset(one for find in case.finds for one in _entered(find, words))


def left_out(case: Case, words: Vocabulary) -> frozenset[LeftOut]:
    """What the line says was not examined, place by place and side by side."""
    out = set()
    for target in case.not_examined:
        for key in places_of(target, words, all_of_region=True):
            for side in sides_at(target, key, words):
                out.add((key, side, target.reason))
    return frozenset(out)


def places_of(target: Target, words: Vocabulary, *, all_of_region: bool) -> tuple[str, ...]:
    """The keys a target stands for: its own, or those of its region (`all_of_region`: also outside the round)."""
    if target.kind != "region":
        return (target.key,)
    return tuple(key for key in words.regions[target.key] if all_of_region or key in words.round)


def sides_at(target: Target, key: str, words: Vocabulary) -> tuple[str, ...]:
    """The sides of one key that the target's side stands for; ("",) for an entry without sides."""
    if target.kind == "entry":
        sided = words.observations[key].sides == "each"
        return (SIDES if target.side == "both" else (target.side,)) if sided else ("",)
    if words.places[key].sides == "midline":
        return ("middle",) if target.side in ("middle", "both") else ()
    return SIDES if target.side == "both" else (target.side,)


def read_reading(find: Target, words: Vocabulary) -> object:
    """The reading by the visit's own readers. Raises BadInput if it is none."""
    assert find.reading is not None
    reader = Reader("line", words)
    reader.day = DAY
    value: object
    if find.kind == "entry":
        value = read_value(reader, words.observations[find.key], find.reading, find.key)
    else:
        value = tuple(
            (touch.when, touch.soreness, frozenset(touch.responses or ()), frozenset(touch.felt or ()), touch.depth,
             touch.touch, touch.refused, touch.not_examined)
            for touch in read_touch(reader, find.reading, find.key, find.key)
        )  # fmt: skip
    if reader.problems:
        raise BadInput(reader.problems)
    return value


def _entered(find: Target, words: Vocabulary) -> Iterator[Entered]:
    value = read_reading(find, words)
    for key in places_of(find, words, all_of_region=False):
        for side in sides_at(find, key, words):
            yield key, side, value


def of_file(path: Path) -> Iterator[Case]:
    """The cases of one file. Raises ValueError at a shape that is none."""
    top = strict_yaml.parse(path.read_bytes(), path.name)
    if not isinstance(top.value, list):
        raise ValueError(f"{path.name}: a list of lines was expected")
    for node in top.value:
        yield _case(node, path.name)


def _case(node: Node, file: str) -> Case:
    plain = _plain(node)
    unknown = set(plain) - {"line", "looking_at", "finds", "not_examined", "asks", "kept"}
    where = f"{file}, line {node.line}"
    if unknown or "line" not in plain or len(plain) < 2:
        raise ValueError(f"{where}: a case has a line and what it gives, and {sorted(plain)} was read")
    line = node.get("line")
    assert line is not None
    return Case(
        line=str(line.value), looking_at=plain.get("looking_at", ""), file=file, at_line=node.line,
        finds=tuple(_target(one, where, "reading") for one in _list(node, "finds")),
        not_examined=tuple(_target(one, where, "reason") for one in _list(node, "not_examined")),
        asks=tuple(_question(one, where) for one in _list(node, "asks")),
        kept=tuple(str(one.value) for one in _list(node, "kept")),
        whole=json.dumps(plain, sort_keys=True, ensure_ascii=False),
    )  # fmt: skip


def _list(node: Node, name: str) -> list[Node]:
    found = node.get(name)
    if found is None:
        return []
    assert isinstance(found.value, list), f"line {found.line}: {name} is a list"
    return found.value


def _target(node: Node, where: str, more: str) -> Target:
    parts: Mapping[str, Any] = _plain(node)
    kinds = [kind for kind in ("at", "region", "entry") if kind in parts]
    if len(kinds) != 1 or set(parts) - {kinds[0], "side", more}:
        raise ValueError(f"{where}: at, region or entry, a side and a {more} were expected, and {dict(parts)} was read")
    return Target(
        kind=kinds[0], key=canonical(parts[kinds[0]]), side=parts.get("side", ""), reading=node.get("reading"),
        reason=parts.get("reason", ""),
    )  # fmt: skip


def _question(node: Node, where: str) -> Question:
    parts: Mapping[str, Any] = _plain(node)
    if set(parts) != {"kind", "about", "offers"} or parts["kind"] not in KINDS:
        raise ValueError(f"{where}: a question has kind ({', '.join(KINDS)}), about and offers")
    return Question(kind=parts["kind"], about=tuple(parts["about"]), offers=tuple(parts["offers"]))


def _plain(node: Node) -> Any:
    if isinstance(node.value, list):
        return [_plain(one) for one in node.value]
    if isinstance(node.value, dict):
        return {key: _plain(value) for key, _, value in node.items()}
    return node.value


def _sha(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
