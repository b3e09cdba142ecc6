"""What the handbook calls each thing, where its entry is, and what leans on it, as rows of links.

In: a `Rulebook`. Out: `Link`s and groups of them.
Not here: the entries themselves (book_pages.py, book_words.py), layout.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from reasoner.frozen import frozen
from reasoner.rendering.condition_words import by_side
from reasoner.rendering.phrases import clause, plain
from reasoner.rendering.short_sources import short_source
from reasoner.rendering.wording import full_name
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, bases
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulecare.leaning import Lean, leanings
from reasoner.rulecare.tally import resting

#: The headings under which an entry lists what leans on it, and the ways of leaning each takes in.
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Calls the veterinarian", ("raises",)),
    ("Speaks for", ("speaks_for",)),
    ("Speaks against", ("speaks_against",)),
    ("Lets a rule be heard", ("gated",)),
    ("Is brought about by", ("leads_to",)),
    ("Accounted for by", ("accounts_for",)),
    ("Asks for", ("wanted",)),
    ("Must be known before", ("needed",)),
    ("Forbids", ("forbidden",)),
    ("Hands or tack at work here", ("works_on",)),
    ("Expected to change through", ("expects",)),
    ("Makes readings weigh less", ("lessened_by", "lessens")),
)


@frozen
class Link:
    """Words with the entry they lead to (empty: none) and a note behind them."""

    text: str
    to: str = ""
    note: str = ""


@frozen
class Group:
    """Links under one heading."""

    heading: str
    links: tuple[Link, ...]


class Links:
    """Names and links of one rulebook."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book
        self.leans = leanings(book)
        self.rules = {key: (page, rule) for key, page, rule in book.rules()}

    def anchor(self, kind: str, key: str) -> str:
        """The id of an entry. A rule's is on its page."""
        return anchor(kind, key)

    def name(self, kind: str, key: str) -> str:
        """What a thing is called where a link leads to it."""
        book = self.book
        if kind == "rule":
            page, rule = self.rules[key]
            return f"{clause(by_side(page.says))}: {rule.rule}"
        if kind == "place":
            return full_name(key, book.vocabulary.places[key].name, book.vocabulary)
        if kind == "observation":
            return full_name(key, book.vocabulary.observations[key].name, book.vocabulary)
        if kind == "measure":
            return f"measures of {plain(key)}"
        if kind == "source":
            source = book.sources[key]
            return short_source(source.authors, source.year, source.title)
        pages: dict[str, Mapping[str, Conclusion | Concern | Action | Circumstance]] = {
            "conclusion": book.conclusions, "concern": book.concerns, "action": book.actions,
            "circumstance": book.circumstances,
        }  # fmt: skip
        return clause(by_side(pages[kind][key].says))

    def link(self, kind: str, key: str, note: str = "") -> Link:
        """A link to an entry."""
        return Link(self.name(kind, key), self.anchor(kind, key), note)

    def groups(self, kind: str, key: str) -> list[Group]:
        """Everything that leans on a thing, under headings; nothing twice under one heading."""
        found = self.leans.get((kind, key), ())
        out = []
        for heading, ways in GROUPS:
            notes: dict[tuple[str, str], dict[str, None]] = {}
            for link in (self._leaning(lean) for lean in found if lean.way in ways):
                notes.setdefault((link.text, link.to), {})[link.note] = None
            if notes:
                links = [Link(text, to, "; ".join(filter(None, some))) for (text, to), some in notes.items()]
                out.append(Group(heading, tuple(links)))
        return out

    def _leaning(self, lean: Lean) -> Link:
        notes = [lean.note] if lean.note else []
        if lean.kind == "rule":
            _, rule = self.rules[lean.key]
            notes.insert(0, rule.points or rule.against or "")
        elif lean.kind == "concern":
            notes = [self.book.concerns[lean.key].call]
        return self.link(lean.kind, lean.key, "; ".join(notes))

    def citing(self, source: str) -> list[Link]:
        """Everything that rests on a source."""
        return [
            self.link(lean.kind, lean.key, lean.note)
            for lean in self.leans.get(("source", source), ())
            if lean.way == "cites"
        ]

    def rests_on(self, basis: str | tuple[str, ...]) -> list[Link]:
        """A basis, the published ones with a link to their entry."""
        return [self.link("source", one) if one in self.book.sources else Link(plain(one)) for one in bases(basis)]

    def rule_anchor(self, page: str, rule: str) -> str:
        """The id of a rule on its page."""
        return self.anchor("rule", rule_id(page, rule))


def anchor(kind: str, key: str) -> str:
    """The id of an entry of the handbook.

    >>> anchor("rule", "saddle_to_one_side/comes_over")
    'rule-saddle_to_one_side--comes_over'
    """
    return f"{kind}-{key.replace('/', '--')}"


def rest_on(basis: str | tuple[str, ...]) -> str:
    """The class of a basis, for the mark beside a rule: published, common practice, own setting."""
    return plain(resting(basis))


def also(*words: str | Iterable[str]) -> str:
    """Every other name of an entry in one text, for the search."""
    flat = [one for word in words for one in ([word] if isinstance(word, str) else word)]
    return " ".join(dict.fromkeys(word for one in flat if one for word in (one, plain(one))))
