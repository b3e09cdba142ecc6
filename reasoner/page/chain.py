"""Why: the chain behind a conclusion as steps inside steps, each with its rule, what that rests on, and the finding.

In: an answer, and a conclusion or a place. Out: `Node`s for a template.
Not here: wording (rendering's phrases and wording), HTML. A conclusion met again below itself is named and not opened again.
"""

from __future__ import annotations

from collections.abc import Iterable

from reasoner.consult import Answer
from reasoner.explanation.model import Chain, Concluded, Finding, Item, Key
from reasoner.frozen import frozen
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.book_links import anchor
from reasoner.rulebook.rulebook import Rulebook


@frozen(kw_only=True)
class Found:
    """Something recorded: in words, where it stands in the visit's file, and the place it is about (empty: no place)."""

    words: str
    line: int
    place: str
    side: str


@frozen(kw_only=True)
class Step:
    """One rule at work. `by_way` are the earlier conclusions it read; `basis` pairs what it rests on with its entry in the
    handbook (empty: none)."""

    name: str
    weight: str
    because: str
    basis: tuple[tuple[str, str], ...]
    sure: str
    where: str
    entry: str
    found: tuple[Found, ...]
    by_way: tuple[Node, ...]
    lessened: str
    gated: bool


@frozen(kw_only=True)
class Node:
    """A conclusion and what speaks for and against it. `opened` is false where it stands above already, or has nothing below."""

    key: str
    side: str
    words: str
    firm: str
    entry: str
    speaks_for: tuple[Step, ...]
    against: tuple[Step, ...]
    counted_already: tuple[str, ...]
    not_met: tuple[str, ...]
    not_checked: str
    can_mislead: str
    opened: bool


@frozen(kw_only=True)
class Branch:
    """A conclusion of the working account, with what it leads to. `circle`: those that lead to each other with it. `again`: it
    stands above already, with what it leads to."""

    key: str
    side: str
    words: str
    firm: str
    circle: tuple[tuple[str, str, str], ...]
    leads: tuple[Branch, ...]
    again: bool


def node_of(answer: Answer, key: Key, above: frozenset[Key] = frozenset()) -> Node:
    """A conclusion with everything below it."""
    one, book = answer.explanation.concluded[key], answer.ready.book
    opened = key not in above
    speaking = [item for item in (*one.supporting, *one.opposing) if item.share] if opened else []
    return Node(
        key=one.key, side=one.side, words=one.words, firm=shared_text.how_firm(one),
        entry=anchor("conclusion", one.key), opened=opened,
        speaks_for=tuple(_step(answer, item, {*above, key}) for item in speaking if item.share > 0),
        against=tuple(_step(answer, item, {*above, key}) for item in speaking if item.share < 0),
        counted_already=tuple(i.name for i in (*one.supporting, *one.opposing) if not i.share),
        not_met=tuple(rule.name for rule in one.silent if rule.state == "below"),
        not_checked=wording.unchecked(one.not_checked, book.vocabulary, wording.touched(answer.visit)),
        can_mislead=one.can_mislead,
    )  # fmt: skip


def _step(answer: Answer, item: Item, above: set[Key]) -> Step:
    book, concluded = answer.ready.book, answer.explanation.concluded
    return Step(
        name=item.name, weight=phrases.signed(item.contribution), because=item.because, basis=rests_on(item.basis, book),
        sure=item.sure, where=f"{item.file}:{item.line}", entry=anchor("rule", item.rule),
        found=tuple(_found(one, book) for one in item.findings),
        by_way=tuple(node_of(answer, key, frozenset(above)) for key in item.via if key in concluded),
        lessened=wording.circumstances(item.lessened_by, book) if item.lessened_by else "", gated=item.gated,
    )  # fmt: skip


def _found(one: Finding, book: Rulebook) -> Found:
    place = one.where if one.where in book.vocabulary.places else ""
    return Found(words=wording.finding(one, book.vocabulary), line=one.line, place=place, side=one.side)


def rests_on(bases: Iterable[str], book: Rulebook) -> tuple[tuple[str, str], ...]:
    """(what a rule rests on in words, its entry in the handbook or an empty string) of each basis."""
    return tuple(
        (wording.basis([one], book), anchor("source", one) if one in book.sources else "")
        for one in dict.fromkeys(bases)
    )


def account_of(answer: Answer) -> tuple[Branch, ...]:
    """The working account with what each starting point leads to."""
    told: set[Key] = set()
    return tuple(_branch(answer, chain, told) for chain in answer.explanation.account.starting_points)


def _branch(answer: Answer, chain: Chain, told: set[Key]) -> Branch:
    key = (chain.key, chain.side)
    one, again = answer.explanation.concluded[key], key in told
    told.update((key, *chain.loop))
    circle = (answer.explanation.concluded[other] for other in chain.loop)
    return Branch(
        key=one.key, side=one.side, words=one.words, firm=shared_text.firmness(one),
        circle=() if again else tuple((c.key, c.side, c.words) for c in circle),
        leads=() if again else tuple(_branch(answer, c, told) for c in chain.leads), again=again,
    )  # fmt: skip


def supported(answer: Answer) -> list[Concluded]:
    """Every supported conclusion that is not in the working account, strongest first."""
    inside = set(wording.in_account(answer.explanation.account.starting_points))
    return [one for one in answer.explanation.supported() if (one.key, one.side) not in inside]
