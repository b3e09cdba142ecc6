"""Words that the pages "how firm is it" and "what would change my mind" share: leading causes, calls, first steps, shares.

In: keys of an answer. Out: text.
Not here: the pages, counting.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.explanation.from_record import filled
from reasoner.explanation.model import Key
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.both_sides import of_both
from reasoner.rendering.phrases import clause, counted
from reasoner.rendering.text_page import Line
from reasoner.rulebook.rulebook import Rulebook

NO_CAUSE = "no cause leads"
VETERINARIAN_FIRST = "the veterinarian comes first, and no step of ours before that"
NO_STEP = "no step of ours"
NO_CALL = "none of the listed reasons to call the veterinarian"


def of_hundred(count: int, rows: int) -> str:
    """A share of readings, never rounded up to all or down to none.

    >>> of_hundred(1863, 2000), of_hundred(1999, 2000), of_hundred(3, 2000), of_hundred(2000, 2000), of_hundred(0, 2000)
    ('93 of 100', '99 of 100', 'fewer than 1 of 100', 'all', 'none')
    """
    if count in (0, rows):
        return "all" if count else "none"
    whole = 100 * count // rows
    return f"{whole} of 100" if whole else "fewer than 1 of 100"


def leading(keys: Sequence[Key], answer: Answered) -> str:
    """The leading causes; several lead side by side."""
    words = [clause(wording.conclusion_words(answer.explanation, *key)) for key in keys]
    return " / ".join(words) if words else NO_CAUSE


def call(level: str, book: Rulebook) -> str:
    """How pressing the call is.

    The word alone for machines and pages that know it; here with when.
    """
    when = book.scales.calls.get(level)
    return f"{level} (the veterinarian, {when})" if when else NO_CALL


def first_step(first: Sequence[tuple[str, str]], book: Rulebook) -> str:
    """The first step of a plan; one that stands for both sides is told once."""
    if not first:
        return NO_STEP
    key, side = first[0]
    page = book.actions.get(key)
    if page is None:
        return VETERINARIAN_FIRST
    words = filled(page.says, side)
    return clause(of_both(words) if len(first) > 1 else words)


def calls_first(answer: Answered) -> Iterator[Line]:
    """A page that answers something else never hides that a veterinarian is to be called."""
    concerns = answer.referral.concerns
    for level, group in shared_text.by_call(concerns)[:1]:
        yield Line(phrases.called(level, group[0].when), "alarm")
        for concern in shared_text.each_once(group):
            yield Line(concern.words, indent=2, mark="-")
        if len(group) < len(concerns):
            yield Line(f"and {counted(len(concerns) - len(group), 'milder reason')}: reasoner assess", "faint", 2)
