"""The page of `reasoner assess`: call the veterinarian first?, then the working account, then what stands behind it.

In: an answer. Out: lines for the terminal, or plain text.
Not here: judging or ordering anything; the order is the explanation's own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from reasoner.explanation.model import Chain, Concluded, Key
from reasoner.rendering import both_sides, first_seconds, phrases, shared_text, short_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.measured import measured, said_once
from reasoner.rendering.measured_text import measured_lines
from reasoner.rendering.phrases import sentence
from reasoner.rendering.text_page import GAP, USUAL, Line, heading, plain_text


def assess_text(answer: Answered, width: int = USUAL) -> str:
    """The page as plain text."""
    return plain_text(assess_lines(answer), width)


def assess_lines(answer: Answered, *, full: bool = True, firm: Sequence[Line] = ()) -> Iterator[Line]:
    """The page, line by line; short of `full` only the account and what it rests on, with how much was left out.

    `firm`: how firm the account is, where somebody has asked (firm_text.leading_lines).
    """
    yield from shared_text.opening(answer)
    if not full:
        yield from _short(answer, firm)
        return
    yield from shared_text.referral(answer)
    yield from _account(answer)
    yield from firm
    yield from _unexplained(answer)
    yield from _for_and_against(answer)
    yield from _can_mislead(answer)
    yield from _the_rest(answer)
    for told in said_once(measured(answer.visit, answer.ready.book)):
        yield from measured_lines(told, answer.ready.book)
    yield from _not_checked(answer)
    yield from shared_text.why_on_the_list(answer)
    yield from shared_text.rests_on(answer)
    yield from shared_text.cautions(shared_text.always(answer.ready.book))


def _short(answer: Answered, firm: Sequence[Line]) -> Iterator[Line]:
    """About one screen: call the veterinarian first?, the account, for and against it, what was not checked."""
    explanation = answer.explanation
    inside = [explanation.concluded[key] for key in wording.in_account(explanation.account.starting_points)]
    yield from short_text.referral(answer)
    yield from _account(answer, named=False)
    yield from firm
    if inside:
        yield from heading("for and against")
        yield from short_text.for_and_against(inside[: short_text.MOST_CONCLUSIONS], answer)
        if inside[short_text.MOST_CONCLUSIONS :]:
            more = phrases.counted(len(inside) - short_text.MOST_CONCLUSIONS, "conclusion")
            yield Line(f"(and {more} of the account, further down its chains: --full)", "faint")
    yield from _unexplained(answer, full=False)
    yield from _measured(answer)
    yield from short_text.not_checked(answer, "not checked today")
    yield from short_text.rests_on(answer, inside)
    yield from _left_out(answer)
    yield from short_text.cautions(answer, shared_text.always(answer.ready.book))


def _measured(answer: Answered) -> Iterator[Line]:
    """What was measured, a line each."""
    every = measured(answer.visit, answer.ready.book)
    if every:
        yield from heading("measured")
    for told in every:
        yield Line(told.lines[0], mark="-")


def _account(answer: Answered, *, named: bool = True) -> Iterator[Line]:
    explanation = answer.explanation
    account = explanation.account
    yield from heading("the working account")
    if account.too_little:
        yield Line(phrases.TOO_LITTLE if account.look_at else phrases.TOO_LITTLE_BUT_STOP)
        yield from _look_at(answer)
    elif not account.starting_points:
        felt = wording.touched(answer.visit)
        names = wording.unchecked(explanation.not_checked, answer.ready.book.vocabulary, felt)
        names = names if named or not names else "see below"
        yield Line(
            sentence(wording.no_starting_point(answer).rstrip(".") + (f"; not checked: {names}" if names else ""))
        )
    elif account.starting_points:
        yield Line("Most likely starting points, and what each leads to:")
    told: set[Key] = set()
    yield from _chains(account.starting_points, answer, told, 0, numbered=True)
    if len(account.ties) > 1:
        yield Line(phrases.TIES)
        for choice in account.ties:
            words = " ".join(wording.conclusion_words(explanation, key, side) for key, side in choice)
            yield Line(words, indent=3, mark="-")


def _look_at(answer: Answered) -> Iterator[Line]:
    """What to look at first: what is asked or watched with its question, places of the body by region."""
    words, look_at = answer.ready.book.vocabulary, answer.explanation.account.look_at
    if unseen := first_seconds.unseen_line(answer):
        yield Line(unseen, "open", 2, "-")
    for name, first in wording.sided_names(u for u in look_at if u.where not in words.places):
        yield Line(f"{name}: {first.question}" if first.question else name, "open", 2, "-")
    felt = [u for u in look_at if u.where in words.places]
    for region, names in wording.unchecked_by_region(felt, words, wording.touched(answer.visit)):
        yield Line(f"by hand, {region}: {names}", "open", 2, "-")


def _chains(
    chains: Iterable[Chain], answer: Answered, told: set[Key], indent: int, *, numbered: bool = False
) -> Iterator[Line]:
    """Neighbouring chains; two that tell the same of both sides are told once."""
    for number, pair in enumerate(both_sides.paired(chains, partial(_same_story, answer)), 1):
        yield from _chain(pair, answer, told, indent, f"{number}." if numbered else "->")


def _same_story(answer: Answered, one: Chain, other: Chain) -> bool:
    """Whether two chains without anything below them say the same of the two sides, as firmly."""
    first, second = (answer.explanation.concluded[c.key, c.side] for c in (one, other))
    return (
        (one.key, one.leads, one.loop, {one.side, other.side}) == (other.key, other.leads, (), {"left", "right"})
        and both_sides.same_of_both(first.words, second.words)
        and shared_text.firmness(first) == shared_text.firmness(second)
    )


def _chain(pair: Sequence[Chain], answer: Answered, told: set[Key], indent: int, mark: str) -> Iterator[Line]:
    """The story only: each conclusion with how firm it is; a second mention is short."""
    chain, keys = pair[0], [(c.key, c.side) for c in pair]
    concluded = answer.explanation.concluded[keys[0]]
    words = both_sides.of_both(concluded.words) if len(pair) > 1 else concluded.words
    if told.issuperset(keys):
        yield Line(words, "faint", indent, mark, "as above", 3)
        return
    told.update((*keys, *chain.loop))
    yield Line(words, "strong", indent, mark, shared_text.firmness(concluded), 3)
    for other in chain.loop:
        circle = answer.explanation.concluded[other]
        yield Line(f"in a circle with: {circle.words}", "body", indent + 3, tail=shared_text.firmness(circle))
    yield from _chains(chain.leads, answer, told, indent + 3)


def _unexplained(answer: Answered, *, full: bool = True) -> Iterator[Line]:
    explanation, words = answer.explanation, answer.ready.book.vocabulary
    yield from heading("not accounted for")
    if not explanation.notable and explanation.mild:
        yield Line(phrases.ONLY_MILD_NOTABLE.format(found=wording.findings(explanation.mild, words)))
    elif not explanation.notable:
        yield Line(phrases.NOTHING_NOTABLE)
    elif not explanation.account.unexplained:
        yield Line(phrases.ALL_ACCOUNTED_FOR)
    for found in explanation.account.unexplained:
        yield Line(
            wording.finding(found, words), mark="-", tail=f"{found.file}:{found.line}" if full else f"line {found.line}"
        )


def _shown(answer: Answered) -> list[Concluded]:
    """The conclusions of the account from the starting points down, then the other supported ones."""
    explanation = answer.explanation
    keys = wording.in_account(explanation.account.starting_points)
    others = [c for c in explanation.supported() if (c.key, c.side) not in keys]
    return [explanation.concluded[key] for key in keys] + others


def _for_and_against(answer: Answered) -> Iterator[Line]:
    inside = wording.in_account(answer.explanation.account.starting_points)
    shown = _shown(answer)
    if shown:
        yield from heading("for and against, one by one")
    for number, concluded in enumerate(shown):
        if number:
            yield GAP
        yield Line(concluded.words, "strong", tail=concluded.file)
        firm = shared_text.how_firm(concluded)
        beside = "" if (concluded.key, concluded.side) in inside else "; supported, and not needed for the account"
        yield Line(firm + beside, indent=2)
        yield from shared_text.evidence(concluded, answer.ready.book, 2)
        yield from shared_text.left_open(concluded, answer, 2)
        yield Line(f"rests on {wording.basis(concluded.basis, answer.ready.book)}", "faint", 2)


def _left_out(answer: Answered) -> Iterator[Line]:
    """What the short page folds away: counted, never hidden."""
    explanation = answer.explanation
    inside = wording.in_account(explanation.account.starting_points)
    rest = [c for c in explanation.concluded.values() if c.band in ("none", "against")]
    beside = sum((c.key, c.side) not in inside for c in explanation.supported())
    against = sum(c.band == "against" for c in rest)
    still_open = sum(c.upper_band not in ("none", "against") for c in rest)
    counts = [
        (beside, "supported beside the account"),
        (against, "spoken against"),
        (still_open, "still open"),
    ]
    said = phrases.listed(f"{count} {what}" for count, what in counts if count)
    yield GAP
    yield Line(sentence(phrases.FOLDED.format(counts=f"conclusions {said}; " if said else "")), "faint")


def _can_mislead(answer: Answered) -> Iterator[Line]:
    said = dict.fromkeys((c.can_mislead, phrases.plain(c.key)) for c in _shown(answer) if c.can_mislead)
    if said:
        yield from heading("what can mislead here")
    for text, name in said:
        yield Line(f"{name}: {text}", mark="-")


def _the_rest(answer: Answered) -> Iterator[Line]:
    """What is spoken against, and what stays open."""
    explanation = answer.explanation
    rest = [c for c in explanation.concluded.values() if c.band in ("none", "against")]
    against = [c for c in rest if c.band == "against"]
    if against:
        yield from heading("spoken against by what was found")
    for concluded in against:
        yield Line(concluded.words, mark="-", tail=phrases.certainty(concluded.certainty))
    still_open = [c for c in rest if c.upper_band not in ("none", "against")]
    if still_open and not explanation.account.too_little:
        yield from heading("still open: what was not checked could bring it up")
        for concluded in still_open:
            yield Line(concluded.words, mark="-", tail=f"up to {phrases.pointers(concluded.upper_band)}")
            yield from shared_text.left_open(concluded, answer, 2)


def _not_checked(answer: Answered) -> Iterator[Line]:
    explanation, words = answer.explanation, answer.ready.book.vocabulary
    yield from heading("not checked today")
    left_out = first_seconds.later(answer, explanation.not_checked)
    groups = first_seconds.unseen_group(answer)
    groups += wording.unchecked_by_region(left_out, words, wording.touched(answer.visit))
    if not groups:
        yield Line("Nothing that these conclusions listen to was left out.")
    for group, names in groups:
        yield Line(names, "open", mark=f"{group}:")
    passed_over = wording.passed_over(answer.visit, words, lambda place: True)
    if passed_over:
        yield Line(f"{phrases.NOT_POSSIBLE}: {'; '.join(passed_over)}.")
    if explanation.circumstances:
        said = wording.findings(explanation.circumstances, words)
        yield Line(f"Some readings count for less today, because of {said}.")
