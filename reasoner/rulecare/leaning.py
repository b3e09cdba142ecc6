"""What leans on what in a rulebook: for every name, all that reads it, leads to it, cites it or works on it.

In: a `Rulebook` with its conditions parsed. Out: `Lean`s by (kind, key), each with the file and line where it stands.
Not here: wording and layout (rendering), whether the rules are good ones (checks), any visit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.rulebook.conditions import Leaf, leaves
from reasoner.rulebook.measures import bases_in
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Example, bases
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulebook.vocabulary import Vocabulary, canonical

Named = tuple[str, str]
"""What kind of thing and its key: "rule", "conclusion", "concern", "action", "circumstance", "source", "place",
"observation", "measure" (a table)."""

#: Each way of leaning, in the order they are told, and how it is said of the thing that leans.
WAYS = {
    "speaks_for": "speaks for its page by reading it",
    "speaks_against": "speaks against its page by reading it",
    "gated": "is listened to only if",
    "raises": "raises its concern by reading it",
    "leads_to": "leads to it",
    "accounts_for": "accounts for it",
    "wanted": "is wanted because of it",
    "needed": "is done only after",
    "forbidden": "is forbidden by it",
    "held": "is held back by it until a veterinarian has spoken",
    "works_on": "works on it",
    "expects": "expects a change there",
    "lessened_by": "reads it and makes other readings weigh less",
    "lessens": "makes its readings weigh less",
    "cites": "rests on it",
    "one_voice": "is heard as one witness with it",
    "example": "has a case that names it",
    "records": "has a case that records it",
}


@frozen
class Lean:
    """One thing that leans on another: in which way, which kind of thing, its key, where; `note` says through what."""

    way: str
    kind: str
    key: str
    file: str
    line: int
    note: str = ""


def leanings(book: Rulebook) -> Mapping[Named, tuple[Lean, ...]]:
    """Everything that leans on each name, in the order of `WAYS`, then by kind, key and line; nothing told twice."""
    found: dict[Named, dict[Lean, None]] = {}
    for on, lean in _all(book):
        found.setdefault(on, {})[lean] = None
    order = list(WAYS)
    return {
        on: tuple(sorted(all_, key=lambda e: (order.index(e.way), e.kind, e.key, e.line, e.note)))
        for on, all_ in found.items()
    }


def _all(book: Rulebook) -> Iterator[tuple[Named, Lean]]:
    for page in book.conclusions.values():
        yield from _conclusion(book, page)
    for concern in book.concerns.values():
        yield from _concern(book, concern)
    for action in book.actions.values():
        yield from _action(book, action)
    for circumstance in book.circumstances.values():
        yield from _circumstance(book, circumstance)
    for place in book.vocabulary.places.values():
        for source in place.anatomy_basis:
            yield ("source", source), Lean("cites", "place", place.key, place.file, place.line, "anatomy")
    for name, table in book.measures.items():
        for source in dict.fromkeys(bases_in(table)):
            if source in book.sources:
                yield ("source", source), Lean("cites", "measure", name, f"rules/measures/{name}.yaml", 0)


def _conclusion(book: Rulebook, page: Conclusion) -> Iterator[tuple[Named, Lean]]:
    groups: dict[tuple[str, bool], list[tuple[str, int]]] = {}
    for number, rule in enumerate(page.evidence):
        key = rule_id(page.id, rule.rule)
        way = "speaks_for" if rule.points else "speaks_against"
        yield from _read(book, page, f"evidence {number} when", way, "rule", key)
        yield from _read(book, page, f"evidence {number} only_if", "gated", "rule", key)
        yield from _cited(rule.basis, Lean("cites", "rule", key, page.file, rule.line))
        if rule.group:
            groups.setdefault((canonical(rule.group), bool(rule.points)), []).append((key, rule.line))
    for (group, _), members in groups.items():
        for one, _ in members:
            for other, line in members:
                if one != other:
                    yield ("rule", one), Lean("one_voice", "rule", other, page.file, line, group.replace("_", " "))
    for entry in page.leads_to:
        for target in _keys(entry):
            yield ("conclusion", target), Lean("leads_to", "conclusion", page.id, page.file, _line(entry, page.line))
    for entry in page.accounts_for:
        for target in _keys(entry):
            at = Lean("accounts_for", "conclusion", page.id, page.file, _line(entry, page.line))
            yield (_recorded(book.vocabulary, target), target), at
    yield from _examples(book, page, "conclusion")


def _concern(book: Rulebook, page: Concern) -> Iterator[tuple[Named, Lean]]:
    for number, sign in enumerate(page.signs):
        yield from _read(book, page, f"sign {number}", "raises", "concern", page.id, sign.sign)
        yield from _cited(sign.basis, Lean("cites", "concern", page.id, page.file, sign.line, sign.sign))
    yield from _examples(book, page, "concern")


def _action(book: Rulebook, page: Action) -> Iterator[tuple[Named, Lean]]:
    for number in range(len(page.wanted_by)):
        yield from _read(book, page, f"wanted {number}", "wanted", "action", page.id)
    for number in range(len(page.only_after)):
        yield from _read(book, page, f"need {number}", "needed", "action", page.id)
    for number in range(len(page.forbidden_by)):
        yield from _read(book, page, f"forbid {number}", "forbidden", "action", page.id)
    for entry in page.works_on:
        for target in _keys(entry):
            yield ("place", target), Lean("works_on", "action", page.id, page.file, _line(entry, page.line))
    for expected in page.expects:
        yield ("place", expected.place), Lean("expects", "action", page.id, page.file, expected.line)
    for looked in page.looks_for:
        yield ("observation", looked.entry), Lean("expects", "action", page.id, page.file, looked.line)
    yield from _cited(page.basis, Lean("cites", "action", page.id, page.file, page.line))
    own = page.stopped_by if page.stopped_by is not None else book.scales.stopped_by.get(page.kind, ())
    mine = {_stop(book, word) for word in own}
    for concern in book.concerns.values():
        shared = [stop for stop in (_stop(book, word) for word in concern.stops) if stop in mine]
        if shared:
            note = ", ".join(stop.replace("_", " ") for stop in shared)
            yield ("concern", concern.id), Lean("held", "action", page.id, page.file, page.line, note)
    yield from _examples(book, page, "action")


def _circumstance(book: Rulebook, page: Circumstance) -> Iterator[tuple[Named, Lean]]:
    yield from _read(book, page, "when", "lessened_by", "circumstance", page.id)
    yield from _cited(page.basis, Lean("cites", "circumstance", page.id, page.file, page.line))
    for word in [page.of] if isinstance(page.of, str) else page.of:
        members = [canonical(word)] if canonical(word) in book.vocabulary.places else book.vocabulary.group(word)
        for place in members:
            note = "" if place == canonical(word) else word.replace("_", " ")
            yield ("place", place), Lean("lessens", "circumstance", page.id, page.file, page.line, note)
    yield from _examples(book, page, "circumstance")


def _read(
    book: Rulebook, page: Conclusion | Concern | Action | Circumstance, where: str, way: str, kind: str, key: str,
    note: str = "",
) -> Iterator[tuple[Named, Lean]]:  # fmt: skip
    condition = book.parsed.get((page.id, where))
    if condition is None:
        return
    for leaf in leaves(condition):
        for on, through in _asked(book, leaf):
            said = "; ".join(part for part in (note, through) if part)
            yield on, Lean(way, kind, key, page.file, leaf.line or page.line, said)


def _asked(book: Rulebook, leaf: Leaf) -> Iterator[tuple[Named, str]]:
    """What a leaf asks, and through which group it does so. A page read for every place is told once, not place by place."""
    if leaf.of == "places":
        for place in book.vocabulary.group(leaf.subject):
            yield ("place", place), f"one of {leaf.subject.replace('_', ' ')}"
    elif leaf.of == "place":
        if leaf.subject != "this_place":
            yield ("place", leaf.subject), ""
    elif leaf.of == "conclusion":
        yield ("concern" if leaf.subject in book.concerns else "conclusion", leaf.subject), ""
    else:
        yield ("observation", leaf.subject), ""


def _cited(basis: str | tuple[str, ...], lean: Lean) -> Iterator[tuple[Named, Lean]]:
    for one in bases(basis):
        yield ("source", one), lean


def _examples(
    book: Rulebook, page: Conclusion | Concern | Action | Circumstance, kind: str
) -> Iterator[tuple[Named, Lean]]:
    rules = {canonical(rule.rule): rule.rule for rule in page.evidence} if isinstance(page, Conclusion) else {}
    for example in page.examples:
        for word in (*example.thanks_to, *example.stopped_by):
            lean = Lean("example", kind, page.id, page.file, example.line, example.name)
            if canonical(word) in rules:
                yield ("rule", rule_id(page.id, word)), lean
            elif canonical(word) in book.conclusions:
                yield ("conclusion", canonical(word)), lean
            elif canonical(word) in book.concerns:
                yield ("concern", canonical(word)), lean
        for on in _recorded_in(book.vocabulary, example):
            yield on, Lean("records", kind, page.id, page.file, example.line, example.name)


def _recorded_in(vocabulary: Vocabulary, example: Example) -> Iterator[Named]:
    names = {canonical(w): o.key for o in vocabulary.observations.values() for w in (o.key, o.name)}
    stack = [example.recorded]
    while stack:
        at = stack.pop()
        if isinstance(at, Mapping):
            stack += at.values()
            for key in at:
                word = canonical(str(key))
                if word in vocabulary.place_of:
                    yield "place", vocabulary.place_of[word]
                elif word in names:
                    yield "observation", names[word]
        elif isinstance(at, (list, tuple)):
            stack += at


def _stop(book: Rulebook, word: str) -> str:
    plain = canonical(word)
    return next((s.key for s in book.scales.stops if plain in {canonical(w) for w in (s.key, *s.also)}), plain)


def _recorded(vocabulary: Vocabulary, key: str) -> str:
    return "place" if key in vocabulary.places else "observation"


def _keys(entry: Mapping[str, Any]) -> Iterator[str]:
    yield from (canonical(key) for key in entry if key != "line")


def _line(entry: Mapping[str, Any], otherwise: int) -> int:
    line: int = entry.get("line", otherwise)
    return line
