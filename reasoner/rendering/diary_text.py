"""The page of `reasoner diary`.

In: what is due. Out: lines for the terminal; words that the day sheet shares.
Not here: what is due, the day sheet (day_sheet_text).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from reasoner.records.diary import Due
from reasoner.records.strictest import AskedBy, Awaited
from reasoner.rendering import phrases
from reasoner.rendering.phrases import at_side, counted, of_ten
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.store.history import number_of

MOST_NAMED = 3
#: As many horses are told whole, however long overdue; of more, those overdue for longer than `LONG_DAYS` take a line each.
WHOLE, LONG_DAYS = 12, 28
#: As many of these lines the short page has, those missed last before the others.
MOST_LINES = 20
NO_CALL, ROUTINE = "none", "routine"
UNPRESSING = (NO_CALL, ROUTINE)
DRAWN_FROM = (
    "From the last visit to each horse that looked at something, and the plan kept with it. What an earlier visit asked for is "
    "not listed."
)


def diary_lines(
    dues: Sequence[Due], today: date, words: Vocabulary, shown: str, *, full: bool = False
) -> Iterator[Line]:
    """What is due, overdue first; of a long list those long overdue stand behind the others, in a line each."""
    overdue = [due for due in dues if due.day < today]
    yield Line(f"{counted(len(dues), 'horse')} due, {len(overdue)} of them overdue", "title", tail=shown)
    late_by_far = [due for due in overdue if (today - due.day).days > LONG_DAYS and due.why != "call"]
    long = late_by_far if len(dues) > WHOLE and not full else []
    for due in dues if not long else [due for due in dues if due not in long]:
        yield GAP
        yield Line(f"{phrases.day(due.day)}{late(due, today)}: {who(due)}", "strong")
        yield Line(f"last seen {phrases.day(due.visit.day)}{by_whom(due)}", indent=2)
        if due.visit.level != NO_CALL:
            yield Line(
                f"{phrases.a_call(due.visit.level)} to the veterinarian stood then; ask what was said", "alarm", 2
            )
        if due.word_ends is not None:
            yield Line(f"a veterinarian's word ends on {phrases.day(due.word_ends)}", indent=2)
        for awaited in due.awaited[:MOST_NAMED]:
            yield Line(awaited_words(awaited, words), indent=2, mark="expected", hang=2)
        if due.awaited[MOST_NAMED:]:
            yield Line(f"and {counted(len(due.awaited[MOST_NAMED:]), 'more expectation')}", "faint", 2)
    if long:
        yield from heading(f"overdue for more than {LONG_DAYS} days, the last missed first")
        yield from in_lines(long, today, "--full")
    yield GAP
    yield Line(DRAWN_FROM, "faint")


def in_lines(long: Sequence[Due], today: date, more: str) -> Iterator[Line]:
    """The last missed first, in a line each; `more` says where the rest is told. A pressing call is never among the rest."""
    short = long[:-MOST_LINES]
    rest = [due for due in short if due.visit.level in UNPRESSING]
    for due in [*long[-MOST_LINES:], *(due for due in short if due.visit.level not in UNPRESSING)][::-1]:
        call = f"; {phrases.a_call(due.visit.level)} stood" if due.visit.level != NO_CALL else ""
        yield Line(f"{who(due)}: {phrases.day(due.day)}{late(due, today)}{call}", mark="-", hang=2)
    if rest:
        calls = sum(1 for due in rest if due.visit.level != NO_CALL)
        stood = f", a routine call to the veterinarian stood for {calls} of them" if calls else ""
        yield Line(f"(and {len(rest)} more{stood}: {more})", "faint")


def who(due: Due) -> str:
    """A horse and where it stands."""
    return f"{due.visit.name}{f', {due.visit.yard}' if due.visit.yard else ''}"


def awaited_words(awaited: Awaited, words: Vocabulary) -> str:
    """An expectation in a line."""
    where, hoped = hoped_for(awaited, words)
    was = f" (it was {phrases.plain(awaited.was)})" if awaited.was else ""
    said = f"{where}: {hoped}{was}, by {phrases.day(awaited.by)}"
    return f"{said} ({asked_by_words(awaited)})" if len(awaited.asked_by) > 1 else said


def hoped_for(awaited: Awaited, words: Vocabulary) -> tuple[str, str]:
    """(where, what is hoped for): points of a place, or the readings of an entry."""
    known = words.places.get(awaited.place) or words.observations.get(awaited.place)
    name = known.name if known else phrases.plain(awaited.place)
    points = number_of(awaited.to)
    hoped = " or ".join(map(phrases.plain, awaited.to.split())) if points is None else f"{of_ten(points)} or less"
    return at_side(name, awaited.side), hoped


def asked_by_words(awaited: Awaited, numbers: Mapping[tuple[str, str], int] | None = None) -> str:
    """Which steps an expectation comes from, by number where the steps are numbered, else by name; those that would do with more
    say so."""

    def named(one: AskedBy) -> str:
        number = (numbers or {}).get((one.step, one.side))
        name = f'"{phrases.plain(one.step)}"' if number is None else f"step {number}"
        asks, least = number_of(one.to), number_of(awaited.to)
        milder = asks is not None and least is not None and asks > least
        return f"{name}, which by itself asks for {asks:g} or less" if milder else name

    return "from " + phrases.listed([named(one) for one in awaited.asked_by])


def late(due: Due, today: date) -> str:
    """How long it is overdue, in brackets."""
    if due.why == "named":
        return ""
    days = (today - due.day).days
    return f" ({counted(days, 'day')} overdue)" if days > 0 else ""


def by_whom(due: Due) -> str:
    """Whose hands it was under last."""
    return f" by {due.visit.examiner}" if due.visit.examiner else ""
