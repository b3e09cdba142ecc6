"""The handbook's entries for pages: conclusions, reasons to call, actions, circumstances.

In: a `Rulebook` and its links. Out: plain data for the template, in the order of reading.
Not here: places, signs and sources (book_words.py), layout.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from reasoner.rendering.book_chain import Names, draw_chain, in_words
from reasoner.rendering.book_links import Links, also, rest_on
from reasoner.rendering.condition_words import by_side, said
from reasoner.rendering.phrases import clause, plain
from reasoner.rendering.wording import full_name
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Example, words_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.chains import Spot, chain_of

Entry = dict[str, Any]
Part = tuple[str, str, list[Entry]]
"""A heading, a sentence under it, and the entries that follow."""

KINDS = (
    ("cause", "Causes", "Only these can be where an account starts and is called the cause."),
    ("mechanism", "What one thing does to another", ""),
    ("trait", "How this horse is", ""),
    ("pattern", "Findings that go together", ""),
)
ACTION_KINDS = {
    "call": "Whom to call", "riding": "Riding", "tack": "Tack", "rider": "The rider", "feet_and_teeth": "Feet and teeth",
    "bodywork": "Hands", "exercise": "Exercise", "look": "Look further", "recheck": "Look again",
}  # fmt: skip


def conclusions(book: Rulebook, links: Links) -> list[Part]:
    """Causes first, then mechanisms, traits and patterns."""
    out = []
    for kind, heading, says in KINDS:
        some = [_conclusion(page, book, links) for page in book.conclusions.values() if page.kind == kind]
        if some:
            out.append((heading, says, some))
    return out


def _conclusion(page: Conclusion, book: Rulebook, links: Links) -> Entry:
    rules = []
    for number, rule in enumerate(page.evidence):
        gate = book.parsed.get((page.id, f"evidence {number} only_if"))
        strength = rule.points or rule.against or ""
        rules.append({
            "id": links.rule_anchor(page.id, rule.rule), "name": rule.rule, "for": bool(rule.points),
            "strength": strength, "number": book.scales.strengths.get(strength, 0.0),
            "when": said(book.parsed[page.id, f"evidence {number} when"], book),
            "only_if": said(gate, book) if gate is not None else None, "group": plain(rule.group),
            **_why(rule, links), "line": rule.line,
        })  # fmt: skip
    chain = chain_of(page.id, book)
    names = Names(
        lambda key, side: clause(_on_side(book.conclusions[key].says, side)), lambda spot: _spot_name(spot, book)
    )
    words = in_words(chain, names)
    return {
        **_entry("conclusion", page, links),
        "chain": Markup(draw_chain(chain, names, words))
        if chain.spots or chain.leads
        else "",  # escaped in the drawing
        "leads_to": [links.link("conclusion", key) for entry in page.leads_to for key in entry if key != "line"],
        "rules": sorted(rules, key=lambda r: not r["for"]),
        "groups": links.groups("conclusion", page.id),
    }


def calls(book: Rulebook, links: Links) -> list[Part]:
    """Reasons to call the veterinarian, the most pressing first."""
    out = []
    for call, when in reversed(list(book.scales.calls.items())):
        some = [_concern(page, book, links) for page in book.concerns.values() if page.call == call]
        if some:
            out.append((f"{call.capitalize()}: {when}", "", some))
    return out


def _concern(page: Concern, book: Rulebook, links: Links) -> Entry:
    signs = [
        {"name": sign.sign, "when": said(book.parsed[page.id, f"sign {number}"], book), **_why(sign, links)}
        for number, sign in enumerate(page.signs)
    ]
    read_for = {"place": "every place", "spinous_space": "every space between the spines"}.get(page.for_each, "")
    return {
        **_entry("concern", page, links), "stops": page.stops, "signs": signs, "read_for": read_for,
        "while_you_wait": page.while_you_wait, "tell_the_vet": page.tell_the_vet, "family": plain(page.family),
        "groups": links.groups("concern", page.id),
    }  # fmt: skip


def actions(book: Rulebook, links: Links) -> list[Part]:
    """Actions by kind, in the order a plan has them."""
    out = []
    for kind in book.scales.action_order:
        pages = sorted((p for p in book.actions.values() if p.kind == kind), key=lambda p: (p.rank, p.id))
        if pages:
            out.append((ACTION_KINDS.get(kind, plain(kind)), "", [_action(page, book, links) for page in pages]))
    return out


def _action(page: Action, book: Rulebook, links: Links) -> Entry:
    def read(where: str, count: int) -> list[Any]:
        return [said(book.parsed[page.id, f"{where} {n}"], book) for n in range(count)]

    stops = page.stopped_by if page.stopped_by is not None else book.scales.stopped_by.get(page.kind, ())
    expects = [
        {
            "place": links.link("place", one.place), "side": {"this": "this side", "other": "the other side"}.get(one.side, ""),
            "to": one.to, "days": one.by_days,
        }
        for one in page.expects
    ]  # fmt: skip
    looks_for = [
        {
            "entry": links.link("observation", one.entry),
            "side": {"this": "this side", "other": "the other side"}.get(one.side, ""),
            "to": " or ".join(map(plain, words_of(one.to))), "days": one.by_days,
        }
        for one in page.looks_for
    ]  # fmt: skip
    return {
        **_entry("action", page, links), **_why(page, links), "dose": page.dose,
        "wanted": read("wanted", len(page.wanted_by)),
        "needs": list(zip(read("need", len(page.only_after)), (n.otherwise for n in page.only_after), strict=True)),
        "forbids": list(zip(read("forbid", len(page.forbidden_by)), (f.because for f in page.forbidden_by), strict=True)),
        "stops": [plain(stop) for stop in stops], "riding": page.riding, "expects": expects, "looks_for": looks_for,
        "recheck": page.recheck_days, "one_at_a_time": words_of(page.one_at_a_time), "task": page.owner_task,
        "works_on": [links.link("place", key) for entry in page.works_on for key in entry if key != "line"],
    }  # fmt: skip


def circumstances(book: Rulebook, links: Links) -> list[Entry]:
    """What makes readings weigh less."""
    return [_circumstance(page, book, links) for page in book.circumstances.values()]


def _circumstance(page: Circumstance, book: Rulebook, links: Links) -> Entry:
    of = [page.of] if isinstance(page.of, str) else page.of
    places = book.vocabulary.places
    return {
        **_entry("circumstance", page, links), **_why(page, links),
        "when": said(book.parsed[page.id, "when"], book), "lessens": page.lessens, "by": page.by,
        "of": [links.link("place", word) if word in places else {"text": plain(word), "to": "", "note": ""} for word in of],
    }  # fmt: skip


def _entry(kind: str, page: Conclusion | Concern | Action | Circumstance, links: Links) -> Entry:
    """What every page has."""
    return {
        "id": links.anchor(kind, page.id), "says": page.says, "status": page.status,
        "plain": getattr(page, "plain", ""), "can_mislead": page.can_mislead, "lesson": page.lesson, "file": page.file,
        "line": page.line, "reviewed": page.reviewed, "also": also(page.id), "cases": list(_cases(page.examples)),
    }  # fmt: skip


def _why(one: Any, links: Links) -> Entry:
    """A reason, what it rests on and how sure: alike on rules, signs, actions and circumstances."""
    return {
        "because": one.because, "basis": links.rests_on(one.basis), "rests": rest_on(one.basis), "sure": one.sure,
    }  # fmt: skip


def _cases(examples: Iterable[Example]) -> Iterable[tuple[str, str]]:
    for example in examples:
        yield example.name, _expected(example.expect)


def _expected(expect: Any) -> str:
    if isinstance(expect, Mapping):
        return ", ".join(f"{key} {_expected(word)}" for key, word in expect.items() if key != "line")
    if isinstance(expect, (list, tuple)):
        return ", ".join(map(_expected, expect)) or "none"
    return str(expect)


def _on_side(says: str, side: str) -> str:
    """A page's sentence as seen from the start of a chain, where the page itself is on `side`."""
    if side == "other":
        says = says.replace("{side}", "{}").replace("{other}", "{side}").replace("{}", "{other}")
    told = by_side(says)
    return told.replace("this side", "both sides").replace("This side", "Both sides") if side == "both" else told


def _spot_name(spot: Spot, book: Rulebook) -> str:
    words = book.vocabulary
    known = words.places.get(spot.key) or words.observations[spot.key]
    return full_name(spot.key, known.name, words)
