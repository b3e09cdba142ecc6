"""The pages of `reasoner diary` and `reasoner day-sheet`.

In: what is due, and a day's horses. Out: lines for the terminal.
Not here: what is due, what to check.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from reasoner.records.day_sheet import Sheet
from reasoner.records.diary import Awaited, Due
from reasoner.rendering import phrases, shared_text
from reasoner.rendering.phrases import at_side, counted, of_ten
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.vocabulary import Vocabulary

MOST_NAMED = 3
DRAWN_FROM = (
    "From the last visit to each horse and the plan kept with it. What an earlier visit asked for is not listed."
)
ASK_FIRST = "Ask before touching: which of these were done, partly, not, or stopped, and why."


def diary_lines(dues: Sequence[Due], today: date, words: Vocabulary, shown: str) -> Iterator[Line]:
    """What is due, overdue first."""
    late = [due for due in dues if due.day < today]
    yield Line(f"{counted(len(dues), 'horse')} due, {len(late)} of them overdue", "title", tail=shown)
    for due in dues:
        yield GAP
        yield Line(f"{phrases.day(due.day)}{_late(due, today)}: {who(due)}", "strong")
        yield Line(f"last seen {phrases.day(due.visit.day)}{_by(due)}", indent=2)
        if due.visit.level != "none":
            yield Line(f"a {due.visit.level} call to the veterinarian stood then; ask what was said", "alarm", 2)
        if due.word_ends is not None:
            yield Line(f"a veterinarian's word ends on {phrases.day(due.word_ends)}", indent=2)
        for awaited in due.awaited[:MOST_NAMED]:
            yield Line(awaited_words(awaited, words), indent=2, mark="expected", hang=2)
        if due.awaited[MOST_NAMED:]:
            yield Line(f"and {counted(len(due.awaited[MOST_NAMED:]), 'more expectation')}", "faint", 2)
    yield GAP
    yield Line(DRAWN_FROM, "faint")


def sheet_lines(sheets: Sequence[Sheet], day: date, words: Vocabulary, shown: str) -> Iterator[Line]:
    """A day's horses, one after another."""
    yield Line(f"{phrases.day(day)}: {counted(len(sheets), 'horse')}", "title", tail=shown)
    for sheet in sheets:
        due = sheet.due
        yield from heading(who(due))
        yield Line(f"due {phrases.day(due.day)}{_late(due, day)}; last seen {phrases.day(due.visit.day)}{_by(due)}")
        for concern in sheet.answer.referral.concerns:
            yield Line(f"{concern.call} call then: {concern.words}", "alarm", 0, "-", hang=2)
        if due.word_ends is not None:
            yield Line(f"A veterinarian's word ends on {phrases.day(due.word_ends)}.", mark="-", hang=2)
        if due.steps:
            yield Line(ASK_FIRST, "strong")
        for step in due.steps:
            yield Line(step.words, mark="[ ]", hang=4)
        if due.awaited:
            yield Line("Grade again, and compare with what was expected.", "strong")
        for awaited in due.awaited:
            yield Line(awaited_words(awaited, words), mark="[ ]", hang=4)
        yield from _still_open(sheet)
    yield GAP
    yield Line(DRAWN_FROM, "faint")
    if sheets:
        yield from shared_text.cautions(shared_text.always(sheets[0].answer.ready.book))


def _still_open(sheet: Sheet) -> Iterator[Line]:
    told = sheet.next
    if told.stop:
        yield Line(
            "An emergency stood at the last visit. Nothing is planned here before the veterinarian has spoken.", "alarm"
        )
        return
    looks = [*told.first_look, *told.proposed]
    if looks:
        yield Line("Not looked at last time, and it would tell something.", "strong")
    for effect in looks:
        safety = f" {effect.check.safety}" if effect.check.safety else ""
        yield Line(f"{effect.check.name}. {effect.check.how}{safety}", mark="[ ]", hang=4)
    for left in told.left[:1]:
        more = f" ({counted(len(told.left), 'look')} in all)" if len(told.left) > 1 else ""
        yield Line(f"Not proposed while a sign stands: {left.check.name}: {left.because}{more}", "faint")


def who(due: Due) -> str:
    """A horse and where it stands."""
    return f"{due.visit.name}{f', {due.visit.yard}' if due.visit.yard else ''}"


def awaited_words(awaited: Awaited, words: Vocabulary) -> str:
    """An expectation in a line."""
    place = words.places[awaited.place].name if awaited.place in words.places else phrases.plain(awaited.place)
    was = f" (it was {awaited.was})" if awaited.was else ""
    return f"{at_side(place, awaited.side)}: {of_ten(float(awaited.to))} or less{was}, by {phrases.day(awaited.by)}"


def _late(due: Due, today: date) -> str:
    days = (today - due.day).days
    return f" ({counted(days, 'day')} overdue)" if days > 0 else ""


def _by(due: Due) -> str:
    return f" by {due.visit.examiner}" if due.visit.examiner else ""
