"""The pages of `reasoner diary` and `reasoner day-sheet`.

In: what is due, and a day's horses. Out: lines for the terminal.
Not here: what is due, what to check.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from datetime import date

from reasoner.questions.checks import Check
from reasoner.records.day_sheet import Sheet
from reasoner.records.diary import Awaited, Due
from reasoner.rendering import phrases, shared_text
from reasoner.rendering.phrases import at_side, counted, of_ten
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.vocabulary import Vocabulary

MOST_NAMED = 3
#: As many horses are told whole, however long overdue; of more, those overdue for longer than `LONG_DAYS` take a line each.
WHOLE, LONG_DAYS = 12, 28
#: As many of these lines the short page has, those missed last before the others.
MOST_LINES = 20
NO_CALL, ROUTINE = "none", "routine"
UNPRESSING = (NO_CALL, ROUTINE)
DRAWN_FROM = (
    "From the last visit to each horse and the plan kept with it. What an earlier visit asked for is not listed."
)
ASK_FIRST = "Ask before touching: which of these were done, partly, not, or stopped, and why."


def diary_lines(
    dues: Sequence[Due], today: date, words: Vocabulary, shown: str, *, full: bool = False
) -> Iterator[Line]:
    """What is due, overdue first; of a long list those long overdue stand behind the others, in a line each."""
    late = [due for due in dues if due.day < today]
    yield Line(f"{counted(len(dues), 'horse')} due, {len(late)} of them overdue", "title", tail=shown)
    long = [due for due in late if (today - due.day).days > LONG_DAYS] if len(dues) > WHOLE and not full else []
    for due in dues[len(long) :]:  # they come by day
        yield GAP
        yield Line(f"{phrases.day(due.day)}{_late(due, today)}: {who(due)}", "strong")
        yield Line(f"last seen {phrases.day(due.visit.day)}{_by(due)}", indent=2)
        if due.visit.level != NO_CALL:
            yield Line(f"a {due.visit.level} call to the veterinarian stood then; ask what was said", "alarm", 2)
        if due.word_ends is not None:
            yield Line(f"a veterinarian's word ends on {phrases.day(due.word_ends)}", indent=2)
        for awaited in due.awaited[:MOST_NAMED]:
            yield Line(awaited_words(awaited, words), indent=2, mark="expected", hang=2)
        if due.awaited[MOST_NAMED:]:
            yield Line(f"and {counted(len(due.awaited[MOST_NAMED:]), 'more expectation')}", "faint", 2)
    if long:
        yield from heading(f"overdue for more than {LONG_DAYS} days, the last missed first")
        yield from _in_lines(long, today, "--full")
    yield GAP
    yield Line(DRAWN_FROM, "faint")


def _in_lines(long: Sequence[Due], today: date, more: str) -> Iterator[Line]:
    """The last missed first, in a line each; `more` says where the rest is told. A pressing call is never among the rest."""
    short = long[:-MOST_LINES]
    rest = [due for due in short if due.visit.level in UNPRESSING]
    for due in [*long[-MOST_LINES:], *(due for due in short if due.visit.level not in UNPRESSING)][::-1]:
        call = f"; a {due.visit.level} call stood" if due.visit.level != NO_CALL else ""
        yield Line(f"{who(due)}: {phrases.day(due.day)}{_late(due, today)}{call}", mark="-", hang=2)
    if rest:
        calls = sum(1 for due in rest if due.visit.level != NO_CALL)
        stood = f", a routine call to the veterinarian stood for {calls} of them" if calls else ""
        yield Line(f"(and {len(rest)} more{stood}: {more})", "faint")


def sheet_lines(
    sheets: Sequence[Sheet], day: date, words: Vocabulary, shown: str, *, long: Sequence[Due] = ()
) -> Iterator[Line]:
    """A day's horses, one after another; `long` are those without a sheet, overdue for too long to be that day's. How to make
    the first look is told once where several horses need it."""
    yield Line(f"{phrases.day(day)}: {counted(len(sheets), 'horse')}", "title", tail=shown)
    looks = [effect.check for sheet in sheets if not sheet.next.stop for effect in sheet.next.first_look]
    horses = Counter(check.key for check in looks)
    told_once = {check.key: check for check in looks if horses[check.key] > 1}
    if told_once:
        yield from heading("the first look")
        yield Line(
            "Before any hand is laid on. Each horse below has a line for those that nobody wrote down last time."
        )
    for check in told_once.values():
        yield _how(check, "-", 2)
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
        yield from _still_open(sheet, told_once)
    if long:
        yield from heading("without a sheet: overdue for longer")
        yield from _in_lines(long, day, "reasoner diary --full")
        yield Line("--horse NAME makes a sheet for one of them, --overdue DAYS for those of more days.", "faint")
    yield GAP
    yield Line(DRAWN_FROM, "faint")
    if sheets:
        yield from shared_text.cautions(shared_text.always(sheets[0].answer.ready.book))


def _still_open(sheet: Sheet, told_once: Collection[str]) -> Iterator[Line]:
    told = sheet.next
    if told.stop:
        yield Line(
            "An emergency stood at the last visit. Nothing is planned here before the veterinarian has spoken.", "alarm"
        )
        return
    looks = [*told.first_look, *told.proposed]
    if looks:
        yield Line("Not looked at last time, and it would tell something.", "strong")
    above = [effect.check.name for effect in looks if effect.check.key in told_once]
    if above:
        yield Line(f"The first look, as told above: {'; '.join(above)}.", mark="[ ]", hang=4)
    for effect in looks:
        if effect.check.key not in told_once:
            yield _how(effect.check, "[ ]", 4)
    for left in told.left[:1]:
        more = f" ({counted(len(told.left), 'look')} in all)" if len(told.left) > 1 else ""
        yield Line(f"Not proposed while a sign stands: {left.check.name}: {left.because}{more}", "faint")


def _how(check: Check, mark: str, hang: int) -> Line:
    safety = f" {check.safety}" if check.safety else ""
    return Line(f"{check.name}. {check.how}{safety}", mark=mark, hang=hang)


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
