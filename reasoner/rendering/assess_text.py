"""The page of `reasoner assess`: call the veterinarian first?, then the working account.

In: an answer. Out: lines for the terminal, or plain text.
Not here: judging or ordering anything; the order is the explanation's own.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.explanation.model import Chain, Concluded, Explanation, Key
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import sentence
from reasoner.rendering.text_page import GAP, USUAL, Line, heading, plain_text
from reasoner.rendering.visit_rows import examined
from reasoner.rulebook.rulebook import Rulebook


def assess_text(answer: Answered, width: int = USUAL) -> str:
    """The page as plain text."""
    return plain_text(assess_lines(answer), width)


def assess_lines(answer: Answered) -> Iterator[Line]:
    """The page, line by line."""
    explanation, book = answer.explanation, answer.ready.book
    yield from shared_text.opening(answer)
    yield from shared_text.referral(answer)
    yield from _account(explanation, book)
    yield from _the_rest(explanation, book)
    yield from _unexplained(answer)
    yield from _not_checked(answer)
    yield from shared_text.rests_on(answer, examined(answer.visit))
    yield from shared_text.cautions()


def _account(explanation: Explanation, book: Rulebook) -> Iterator[Line]:
    account = explanation.account
    yield from heading("the working account")
    if account.too_little:
        yield Line(phrases.TOO_LITTLE)
        yield from look_at(explanation, book)
    elif not account.starting_points:
        found = phrases.NO_STARTING_POINT if explanation.notable else phrases.NOTHING_FOUND
        names = wording.unchecked(explanation.not_checked, book.vocabulary)
        yield Line(sentence(found + (f"; not checked: {names}" if names and not explanation.notable else "")))
    told: set[Key] = set()
    for number, chain in enumerate(account.starting_points, 1):
        yield GAP
        yield from _chain(chain, explanation, book, told, 0, f"{number}.")
    if len(account.ties) > 1:
        yield GAP
        yield Line(phrases.TIES)
        for choice in account.ties:
            words = " ".join(wording.conclusion_words(explanation, key, side) for key, side in choice)
            yield Line(words, indent=2, mark="-")


def look_at(explanation: Explanation, book: Rulebook) -> Iterator[Line]:
    """What to look at first: what is asked or watched with its question, places of the body by region."""
    words = book.vocabulary
    asked = [u for u in explanation.account.look_at if u.where not in words.places]
    for name, first in wording.unchecked_names(asked, words):
        yield Line(f"{name}: {first.question}" if first.question else name, "open", 2, "-")
    felt = [u for u in explanation.account.look_at if u.where in words.places]
    for region, names in wording.unchecked_by_region(felt, words):
        yield Line(f"by hand, {region}: {names}", "open", 2, "-")


def _chain(
    chain: Chain, explanation: Explanation, book: Rulebook, told: set[Key], depth: int, mark: str
) -> Iterator[Line]:
    indent = 3 * depth
    key = (chain.key, chain.side)
    concluded = explanation.concluded[key]
    if key in told:
        yield Line(f"{concluded.words} (told above)", indent=indent, mark=mark, hang=3)
        return
    told.add(key)
    yield Line(concluded.words, "strong", indent, mark, hang=3)
    yield from _one(concluded, book, indent + 3)
    if chain.loop:
        others = " ".join(wording.conclusion_words(explanation, *other) for other in chain.loop)
        yield Line(f"one circle with, each leading to the other: {others}", indent=indent + 3)
        told.update(chain.loop)
    if chain.leads:
        yield Line("this leads to", "faint", indent + 3)
        for lead in chain.leads:
            yield from _chain(lead, explanation, book, told, depth + 1, "->")


def _one(concluded: Concluded, book: Rulebook, indent: int) -> Iterator[Line]:
    yield Line(shared_text.how_firm(concluded), indent=indent)
    yield from shared_text.evidence(concluded, book, indent)
    yield from shared_text.left_open(concluded, book, indent)
    if concluded.can_mislead:
        yield Line(f"can mislead: {concluded.can_mislead}", "faint", indent)


def _the_rest(explanation: Explanation, book: Rulebook) -> Iterator[Line]:
    """What is supported and not needed for the account, what is spoken against, what stays open."""
    told = set(wording.in_account(explanation.account.starting_points))
    others = [c for c in explanation.supported() if (c.key, c.side) not in told]
    if others:
        yield from heading("also supported, not needed for the account")
        for concluded in others:
            yield Line(concluded.words, "strong", mark="-")
            yield from _one(concluded, book, 2)
    rest = [c for c in explanation.concluded.values() if (c.key, c.side) not in told and c not in others]
    against = [c for c in rest if c.band == "against"]
    if against:
        yield from heading("spoken against by what was found")
        for concluded in against:
            yield Line(concluded.words, mark="-", tail=phrases.certainty(concluded.certainty))
    still_open = [c for c in rest if c.band == "none" and c.open]
    if still_open and not explanation.account.too_little:
        yield from heading("still open: what was not checked could bring it up")
        for concluded in still_open:
            yield Line(concluded.words, mark="-", tail=f"up to {phrases.pointers(concluded.upper_band)}")
            yield from shared_text.left_open(concluded, book, 2)


def _unexplained(answer: Answered) -> Iterator[Line]:
    explanation, words = answer.explanation, answer.ready.book.vocabulary
    yield from heading("not accounted for")
    if not explanation.notable:
        yield Line(phrases.NOTHING_NOTABLE)
    elif not explanation.account.unexplained:
        yield Line(phrases.ALL_ACCOUNTED_FOR)
    for found in explanation.account.unexplained:
        yield Line(wording.finding(found, words), mark="-", tail=f"{found.file}:{found.line}")


def _not_checked(answer: Answered) -> Iterator[Line]:
    explanation, words = answer.explanation, answer.ready.book.vocabulary
    yield from heading("not checked today, and it would tell more")
    groups = wording.unchecked_by_region(explanation.not_checked, words)
    if not groups:
        yield Line("Nothing that these conclusions listen to was left out.")
    for group, names in groups:
        yield Line(names, "open", mark=f"{group}:")
    passed_over = [t for t in answer.visit.touches if t.not_examined is not None]
    if passed_over:
        names = "; ".join(
            phrases.at_side(words.places[t.place].name, t.side or "") + f" ({phrases.plain(t.not_examined or '')})"
            for t in passed_over
        )
        yield Line(f"Could not be examined, which says nothing either way: {names}.")
    if explanation.circumstances:
        said = wording.findings(explanation.circumstances, words)
        yield Line(f"Some readings count for less today, because of: {said}.")
