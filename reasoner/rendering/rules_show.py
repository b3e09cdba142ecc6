"""One thing of the rulebook and everything that leans on it, as lines for a terminal and as JSON.

In: an `Entry`, the rulebook, what leans on what. Out: `Line`s, or JSON-ready data (schemas/rules_show.json).
Not here: looking it up (rulecare.names), finding what leans on it (rulecare.leaning).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from reasoner.rendering.condition_words import by_side, one_line, said
from reasoner.rendering.phrases import counted, listed, plain, sentence
from reasoner.rendering.text_page import Line, heading
from reasoner.rendering.wording import basis
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Evidence, bases
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulecare.leaning import WAYS, Lean, Named
from reasoner.rulecare.names import Entry

SHOW_VERSION = "1"
Told = tuple[str, str]
"""A label and what stands beside it."""


def show_lines(
    entry: Entry, book: Rulebook, leans: Mapping[Named, Sequence[Lean]], *, full: bool = False
) -> list[Line]:
    """The page for a terminal. Without `full`, cases that merely record a thing are counted and not named."""
    head = f"{entry.key} ({'page, ' if entry.kind == 'conclusion' else ''}{_kind(entry, book)})"
    lines = [Line(head, "title", tail=f"{entry.file}:{entry.line}"), Line(_sentence(entry))]
    lines += [Line(f"{label}: {text}", indent=2, hang=2) for label, text in about(entry, book)]
    on_it = leans.get((entry.kind, entry.key), ())
    lines += heading(f"What leans on it ({len(on_it)})" if on_it else "Nothing leans on it")
    for way, group in groupby(on_it, key=lambda lean: lean.way):
        members = list(group)
        lines.append(Line(f"{sentence(_ways(way)).rstrip('.')} ({len(members)})", "strong"))
        if way == "records" and not full:
            lines.append(Line("--full names them.", "faint", indent=2))
            continue
        for lean in members:
            lines.append(Line(f"{lean.key}{f' ({lean.note})' if lean.note else ''}", indent=2, hang=2,
                              tail=f"{lean.file}:{lean.line}"))  # fmt: skip
    if entry.kind in ("conclusion", "concern", "action", "circumstance"):
        mine = [(on, lean) for on, all_ in leans.items() for lean in all_ if _of_page(lean, entry) and _told_of(lean)]
        lines += heading("What it leans on")
        for on in dict.fromkeys(on for on, _ in sorted(mine, key=lambda m: m[1].line)):
            ways = dict.fromkeys(lean.way for other, lean in mine if other == on)
            lines.append(Line(f"{on[1]} ({on[0]}): {listed(plain(way) for way in ways)}", indent=2, hang=2))
    return lines


def show_json(entry: Entry, book: Rulebook, leans: Mapping[Named, Sequence[Lean]]) -> dict[str, Any]:
    """The same as data."""
    return {
        "schema_version": SHOW_VERSION,
        "rulebase": book.stamp,
        "kind": entry.kind,
        "key": entry.key,
        "name": entry.name,
        "file": entry.file,
        "line": entry.line,
        "about": [{"label": label, "text": text} for label, text in about(entry, book)],
        "leans_on_it": [
            {"way": e.way, "kind": e.kind, "key": e.key, "file": e.file, "line": e.line, "note": e.note}
            for e in leans.get((entry.kind, entry.key), ())
        ],
        "leans_on": [
            {"kind": on[0], "key": on[1], "way": e.way, "file": e.file, "line": e.line, "note": e.note}
            for on, all_ in leans.items()
            for e in all_
            if _of_page(e, entry) and _told_of(e)
        ],
    }


def about(entry: Entry, book: Rulebook) -> list[Told]:
    """What the thing itself says, each with its label, in the order of reading."""
    if entry.kind == "rule":
        rule = next(r for key, _, r in book.rules() if key == entry.key)
        number = next(n for n, r in enumerate(book.conclusions[entry.key.split("/")[0]].evidence) if r is rule)
        return list(_rule(entry.key, rule, number, book))
    page = (
        book.conclusions.get(entry.key) or book.concerns.get(entry.key) or book.actions.get(entry.key)
        or book.circumstances.get(entry.key)
    )  # fmt: skip
    if page is not None and entry.kind not in ("source", "place", "observation"):
        return [told for told in _page(page, book) if told[1]]
    return [told for told in _word(entry, book) if told[1]]


def _rule(key: str, rule: Evidence, number: int, book: Rulebook) -> Iterator[Told]:
    page = key.split("/")[0]
    way, strength = ("for", rule.points) if rule.points else ("against", rule.against or "")
    yield "speaks", f"{way} {page}: {strength} ({book.scales.strengths.get(strength, 0.0):g})"
    yield "when", one_line(said(book.parsed[page, f"evidence {number} when"], book))
    if rule.only_if is not None:
        yield "listened to only if", one_line(said(book.parsed[page, f"evidence {number} only_if"], book))
    yield "because", by_side(rule.because)
    yield "rests on", f"{basis(bases(rule.basis), book)} (how sure: {rule.sure})"
    if rule.group:
        yield "one witness with the others of", plain(rule.group)


def _page(page: Conclusion | Concern | Action | Circumstance, book: Rulebook) -> Iterator[Told]:
    yield "status", page.status
    if isinstance(page, Conclusion):
        for number, rule in enumerate(page.evidence):
            way = f"for, {rule.points}" if rule.points else f"against, {rule.against}"
            text = one_line(said(book.parsed[page.id, f"evidence {number} when"], book))
            yield f"{rule_id(page.id, rule.rule)} ({way}), line {rule.line}", text
        yield "leads to", listed(key for entry in page.leads_to for key in entry if key != "line")
        yield "accounts for", listed(plain(key) for entry in page.accounts_for for key in entry if key != "line")
    elif isinstance(page, Concern):
        yield "call", f"{page.call}, {book.scales.calls[page.call]}"
        yield "stops", listed(page.stops)
        for number, sign in enumerate(page.signs):
            yield f"sign, line {sign.line}", one_line(said(book.parsed[page.id, f"sign {number}"], book))
    elif isinstance(page, Action):
        parts = (
            ("wanted by", "wanted", page.wanted_by), ("only after", "need", page.only_after),
            ("forbidden by", "forbid", page.forbidden_by),
        )  # fmt: skip
        for label, where, conditions in parts:
            for number in range(len(conditions)):
                yield label, one_line(said(book.parsed[page.id, f"{where} {number}"], book))
        yield "dose", by_side(page.dose)
        yield "because", by_side(page.because)
        yield "rests on", f"{basis(bases(page.basis), book)} (how sure: {page.sure})"
    else:
        yield "when", one_line(said(book.parsed[page.id, "when"], book))
        yield f"makes {page.lessens} weigh less by", f"{page.by:g}"
        yield "at", listed(plain(word) for word in bases(page.of))
        yield "rests on", f"{basis(bases(page.basis), book)} (how sure: {page.sure})"
    yield "can mislead", by_side(page.can_mislead)
    yield "lesson", by_side(page.lesson)
    yield "cases", counted(len(page.examples), "case") if page.examples else ""


def _word(entry: Entry, book: Rulebook) -> Iterator[Told]:
    if entry.kind == "source":
        source = book.sources[entry.key]
        yield "published", f"{source.authors} {source.year}. {source.where}"
        yield "DOI", source.doi
        yield "seen", plain(source.seen)
        yield "trust", f"{source.trust}: {source.why}"
        yield "used for", source.used_for
    elif entry.kind == "place":
        place = book.vocabulary.places[entry.key]
        yield "Latin", place.latin
        yield "also written", listed(place.also)
        yield "region and groups", listed([plain(place.region), *map(plain, place.groups)])
        yield "where the hand goes", place.hand
        yield "mind", place.safety
    else:
        observation = book.vocabulary.observations[entry.key]
        yield "also written", listed(observation.also)
        yield "readings", listed((plain(word.key) for word in observation.readings), "or")
        yield "question", observation.question
        yield "how", observation.how
        yield "mind", observation.safety


def _sentence(entry: Entry) -> str:
    return sentence(by_side(entry.name))


def _kind(entry: Entry, book: Rulebook) -> str:
    return book.conclusions[entry.key].kind if entry.kind == "conclusion" else entry.kind


def _ways(way: str) -> str:
    return WAYS[way]


def _of_page(lean: Lean, entry: Entry) -> bool:
    return (lean.kind == entry.kind and lean.key == entry.key) or lean.key.startswith(f"{entry.key}/")


def _told_of(lean: Lean) -> bool:
    """Cases and shared witnesses say nothing of what a page leans on."""
    return lean.way not in ("example", "records", "one_voice")
