"""The page of `reasoner which-of`: two conclusions side by side.

In: a `WhichOf` and the answer it came from. Out: lines for the terminal.
Not here: finding what would part them.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.explanation.model import Finding
from reasoner.questions.which_of import WhichOf
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.next_text import STOP_AND_PHONE
from reasoner.rendering.text_page import GAP, Line, heading


def which_of_lines(told: WhichOf, answer: Answered) -> Iterator[Line]:
    """The page."""
    yield Line("Which of the two?", "title", tail=answer.visit.file)
    for concern in shared_text.each_once(answer.referral.concerns):
        yield Line(f"{phrases.called(concern.call, concern.when)}: {concern.words}", "alarm")
    for concluded in (told.one, told.two):
        yield GAP
        yield Line(f"{shared_text.how_firm(concluded)}: {concluded.words}", "strong", tail=concluded.file)
        yield from shared_text.evidence(concluded, answer.ready.book, 2, bases=True)
        if not concluded.supporting and not concluded.opposing:
            yield Line("No rule speaks of it yet.", indent=2)
        if concluded.can_mislead:
            yield Line(f"can mislead: {concluded.can_mislead}", "faint", 2)
    yield from heading("what they account for")
    yield _found("both", told.both, answer)
    yield _found("only the first", told.only_one, answer)
    yield _found("only the second", told.only_two, answer)
    yield from heading("what would part them best")
    if told.stop:
        yield Line(STOP_AND_PHONE, "alarm")
    elif not told.partings:
        yield Line("No look that is open today would part them.")
    for number, parting in enumerate(told.partings, 1):
        check = parting.check
        name = wording.full_name(check.key, check.name, answer.ready.book.vocabulary)
        asks = f": {check.question}" if check.question else ""
        yield Line(f"{name}{asks}", "strong", mark=f"{number}.", tail=f"{check.minutes:g} min", hang=4)
        towards = ((parting.towards_one, "the first"), (parting.towards_two, "the second"))
        said = [f'"{reading.words}" tips it towards {which}' for reading, which in towards if reading is not None]
        yield Line(", ".join(said), indent=4)
        if check.how:
            yield Line(f"how: {check.how}", "faint", 4)
        if check.safety:
            yield Line(f"take care: {check.safety}", indent=4)
    yield from heading("what this rests on")
    yield Line(
        "Both may be true at once. Where published work and the trade differ, both stand, each with its basis.", "faint"
    )
    yield Line(f"Rulebook {answer.ready.book.stamp}. {phrases.NOT_A_PROBABILITY}", "faint")
    yield from (Line(phrases.sentence(line), "faint", mark="-") for line in shared_text.always(answer.ready.book))


def _found(who: str, found: tuple[Finding, ...], answer: Answered) -> Line:
    words = answer.ready.book.vocabulary
    tail = wording.places_in_file(found) if found else ""
    return Line(
        wording.findings(found, words) if found else "nothing that was written down", mark=f"{who}:", tail=tail, hang=17
    )
