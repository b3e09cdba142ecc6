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
    from reasoner.store.afterwards import Done, Opinion, Signature

TOLD = {"done": "done", "partly": "done partly", "not": "not done", "stopped": "stopped"}


def signing_lines(signing: Signing | None) -> Iterator[Line]:
    """The line above an apprentice's page."""
    if signing is None:
        return
    who = f"examined by {signing.examined_by or 'nobody named'}, to be checked by {signing.checked_by}"
    if signing.signature is None:
        yield Line(f"Not countersigned: {who}. A draft for the screen; no report leaves before.", "alarm")
    else:
        yield Line(
            f"Countersigned by {signing.signature.who} on {_moment(signing.signature.saved_at)} ({who}).", "strong"
        )
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
    words: Mapping[tuple[str, str], str], steps: Mapping[tuple[str, str], str],
) -> Iterator[Line]:  # fmt: skip
    """What was told of one visit afterwards, for its page in the records."""
    if opinions:
        yield from heading("judged by practitioners")
    for sentence in judgements(opinions, words):
        yield Line(sentence, mark="-", hang=2)
    if done:
        yield from heading("what was really done")
    for one in done:
        because = f", because {phrases.clause(one.because)}" if one.because else ""
        said = f"{steps.get((one.step, one.side)) or phrases.sentence(_named(one.step, one.side))}"
        yield Line(f"{said} {phrases.sentence(TOLD[one.answer] + because)}", mark="-", hang=2,
                   tail=f"{one.told_by}, {phrases.day(one.told_on)}")  # fmt: skip
    if signatures:
        yield from heading("countersigned")
    for signature in signatures:
        yield Line(f"by {signature.who} on {_moment(signature.saved_at)}", mark="-", hang=2)


def _named(key: str, side: str) -> str:
    return phrases.at_side(phrases.plain(key), side)


def _moment(saved_at: str) -> str:
    return f"{phrases.iso_day(saved_at[:10])}, {saved_at[11:16]} UTC"
