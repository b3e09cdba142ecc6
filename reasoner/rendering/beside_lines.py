"""What stands beside an answer: whether it is countersigned, what practitioners judge themselves, what owners told.

In: rows of the records. Out: lines and sentences.
Not here: reading the records, the tool's own words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from reasoner.rendering import phrases
from reasoner.rendering.text_page import GAP, Line, heading

if TYPE_CHECKING:
    from reasoner.records.signing import Signing
    from reasoner.rulebook.wording import Wording
    from reasoner.store.afterwards import Done, Opinion, Signature
    from reasoner.store.reading import KnownVisit

#: What is done about a judgement that no report takes along.
JUDGE_ANEW = (
    "Judge it again in other words (`reasoner records judge`, or below the visit at the desk): the last one stands."
)
TOLD = {"done": "done", "partly": "done partly", "not": "not done", "stopped": "stopped"}


def signing_lines(signing: Signing | None) -> Iterator[Line]:
    """The line above an apprentice's page."""
    if signing is None:
        return
    yield Line(signing_words(signing), "alarm" if signing.signature is None else "strong")
    yield GAP


def signing_words(signing: Signing) -> str:
    """Whether an apprentice's visit is countersigned, in a sentence."""
    who = f"examined by {signing.examined_by or 'nobody named'}, to be checked by {signing.checked_by}"
    if signing.signature is None:
        return f"Not countersigned: {who}. A draft for the screen; no report leaves before."
    return f"Countersigned by {signing.signature.who} on {phrases.moment(signing.signature.saved_at)} ({who})."


def waiting_lines(waiting: Iterable[KnownVisit]) -> Iterator[Line]:
    """The line above a page that shows kept visits which wait for a countersignature."""
    every = [f"{phrases.day(one.day)}, to be checked by {one.checked_by}" for one in waiting]
    if every:
        yield Line(f"Not countersigned: {'; '.join(every)}. A draft for the screen; no page leaves before.", "alarm")
        yield GAP


def judgement(opinion: Opinion, words: str) -> str:
    """One judgement in a sentence, beside the tool's own words.

    >>> from reasoner.store.afterwards import Opinion
    >>> judgement(Opinion(visit="", conclusion="girth_presses", side="", agrees=False, because="The girth was new",
    ...                   who="Wren Aldous", saved_at=""), "The girth presses.")
    'Wren Aldous does not see it so: "The girth presses." Because: the girth was new.'
    """
    view = "sees it so too" if opinion.agrees else "does not see it so"
    because = opinion.because[:1].lower() + opinion.because[1:] if opinion.because[1:2].islower() else opinion.because
    return f'{opinion.who} {view}: "{words}" Because: {phrases.rest(because)}'


def judgements(opinions: Iterable[Opinion], words: Mapping[tuple[str, str], str]) -> list[str]:
    """Every judgement in a sentence; `words` are the tool's, by conclusion and side."""
    return [
        judgement(one, words.get((one.conclusion, one.side)) or phrases.sentence(_named(one.conclusion, one.side)))
        for one in opinions
    ]


def afterwards_lines(
    done: Sequence[Done], opinions: Sequence[Opinion], signatures: Sequence[Signature],
    words: Mapping[tuple[str, str], str], steps: Mapping[tuple[str, str], str], wording: Wording | None = None,
) -> Iterator[Line]:  # fmt: skip
    """What was told of one visit afterwards, for its page in the records; by `wording` what of it no report takes along."""
    if opinions:
        yield from heading("judged by practitioners")
    for opinion in opinions:
        yield judgement_line(opinion, words)
        if held := _held(opinion.because, wording, JUDGE_ANEW):
            yield Line(held, "open", indent=2)
    if done:
        yield from heading("what was really done")
    for one in done:
        yield done_line(one, steps)
    if signatures:
        yield from heading("countersigned")
    for signature in signatures:
        yield Line(f"by {signature.who} on {phrases.moment(signature.saved_at)}", mark="-", hang=2)


def judgement_line(opinion: Opinion, words: Mapping[tuple[str, str], str]) -> Line:
    """One judgement, and when it was kept."""
    (sentence,) = judgements([opinion], words)
    return Line(sentence, mark="-", hang=2, tail=phrases.moment(opinion.saved_at))


def done_line(one: Done, steps: Mapping[tuple[str, str], str]) -> Line:
    """What was told of one step, by whom and when."""
    because = f", {phrases.owners_words(one.because)}" if one.because else ""
    said = f"{steps.get((one.step, one.side)) or phrases.sentence(_named(one.step, one.side))}"
    tail = f"{one.told_by}, {phrases.day(one.told_on)}"
    return Line(f"{said} {phrases.sentence(TOLD[one.answer] + because)}", mark="-", hang=2, tail=tail)


def _held(text: str, wording: Wording | None, how: str) -> str:
    if wording is None:
        return ""
    from reasoner.rendering.held_words import what_to_do

    return what_to_do(text, wording, how)


def _named(key: str, side: str) -> str:
    return phrases.at_side(phrases.plain(key), side)
