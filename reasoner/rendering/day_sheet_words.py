"""What stands on a day sheet, horse by horse, as plain words in the order a tired person needs them.

In: a day's horses. Out: `OneHorse`, the same for the terminal and for paper; how each check is made, each once.
Not here: laying out (day_sheet_text, day_sheet_page), what is due, what to check.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from reasoner.frozen import frozen
from reasoner.questions.checks import Check
from reasoner.records.day_sheet import Sheet
from reasoner.records.diary import Due
from reasoner.records.strictest import Awaited
from reasoner.rendering import phrases, shared_text
from reasoner.rendering.again import told_words, vets_word_said
from reasoner.rendering.diary_text import asked_by_words, by_whom, hoped_for, late, who
from reasoner.rendering.phrases import at_side, counted
from reasoner.rulebook.vocabulary import Vocabulary

STOP = "An emergency stood at the last visit. Nothing is planned here before the veterinarian has spoken."
ASK = "Ask of each: done, partly, not done, or stopped because ..?"
HOW = "How each is made stands at the end of the sheet, once."
BOTH = 2
#: So many places that would not allow touch are named; a horse with more is handled with care everywhere.
MOST_REFUSED = 6


@frozen(kw_only=True)
class OneHorse:
    """One horse of the day in words; every part may be empty.

    `cautions`: reasons to call, the owner's refusal, places that would not allow touch, a visit not countersigned. `vet`: what
    veterinarians said. `expected`: what was to be reached by this day; `later` what by another. `told`: steps with what the
    owner told since; `ask` those nobody told of. `first` and `then`: checks by name. `bring`: things and people.
    """

    who: str
    at: str
    seen: str
    cautions: tuple[str, ...]
    vet: tuple[str, ...]
    expected: tuple[str, ...]
    later: tuple[str, ...]
    told: tuple[tuple[str, str], ...]
    ask: tuple[str, ...]
    first: tuple[str, ...]
    then: tuple[str, ...]
    held_back: str
    bring: tuple[str, ...]


def one_horse(sheet: Sheet, day: date, words: Vocabulary) -> OneHorse:
    """The words of one sheet."""
    due, numbers = sheet.due, {(s.key, s.side): n for n, s in enumerate(sheet.held.steps, 1)}
    by, later = sheet.expected(day)
    told, ask = sheet.steps()

    def numbered(key: str, side: str, said: str) -> str:
        return f"{numbers[key, side]}. {said.rstrip('.')}"

    return OneHorse(
        who=who(due), at=sheet.at,
        seen=f"last seen {phrases.day(due.visit.day)}{by_whom(due)}; {_due_on(due, day)}",
        cautions=tuple(_cautions(sheet, words)), vet=tuple(_vets_words(sheet, day)),
        expected=tuple(awaited_today(one, words, numbers) for one in by),
        later=tuple(f"by {phrases.day(one.by)}: {awaited_today(one, words, numbers)}" for one in later),
        told=tuple((numbered(s.key, s.side, s.words), told_words(s.told)) for s in told),
        ask=tuple(numbered(s.key, s.side, s.words) for s in ask),
        first=tuple(_named(e.check) for e in sheet.next.first_look), then=tuple(_named(e.check) for e in sheet.next.proposed),
        held_back=_held_back(sheet), bring=tuple(_bring(sheet)),
    )  # fmt: skip


def _due_on(due: Due, day: date) -> str:
    return "nothing due by a day" if due.why == "named" else f"due {phrases.day(due.day)}{late(due, day)}"


def awaited_today(awaited: Awaited, words: Vocabulary, numbers: dict[tuple[str, str], int]) -> str:
    """An expectation without its day, and the steps it comes from."""
    where, hoped = hoped_for(awaited, words)
    was = f"was {phrases.plain(awaited.was)}, " if awaited.was else ""
    return f"{where}: {was}{hoped} ({asked_by_words(awaited, numbers)})"


def how_to(sheets: Iterable[Sheet]) -> tuple[Check, ...]:
    """Every check of the day, each once, in the order of the walk."""
    every = {check.key: check for sheet in sheets if not sheet.next.stop for check in sheet.looks}
    return tuple(sorted(every.values(), key=lambda check: (check.walk, check.key)))


def how_words(check: Check) -> tuple[str, str]:
    """(its name, how it is made and what to take care of)."""
    return check.name, " ".join(filter(None, (check.how, check.safety)))


def cautions_of(sheets: Sequence[Sheet]) -> tuple[str, ...]:
    """The cautions that always hold."""
    return tuple(shared_text.always(sheets[0].answer.ready.book)) if sheets else ()


def _cautions(sheet: Sheet, words: Vocabulary) -> Iterator[str]:
    if sheet.next.stop:
        yield STOP
    for call, concerns in shared_text.by_call(shared_text.each_once(sheet.answer.referral.concerns)):
        said = " ".join(phrases.sentence(concern.words) for concern in concerns)
        a_call = phrases.a_call(call)
        yield f"{a_call[:1].upper()}{a_call[1:]} to the veterinarian stood: {said} Ask what was said."
    if (word := sheet.disagrees) is not None:
        over = "agreement of the owner is over; ask again" if word.given else "owner does not agree to the work"
        day = phrases.day(word.until or word.on if word.given else word.on)
        if word.another_since is not None:
            day = f"{phrases.day(word.on)}; another owner's since {phrases.day(word.another_since)}"
        yield f"The {over} ({word.who}, {day})."
    if sheet.unsigned:
        yield f"That visit is not countersigned by {sheet.due.visit.checked_by}."
    touched = [(t, words.places.get(t.place)) for t in sheet.answer.visit.touches if t.refused]
    refused = list(
        dict.fromkeys(at_side(place.name, touch.side or "") for touch, place in touched if place is not None)
    )
    if refused:
        more = refused[MOST_REFUSED:]
        and_more = f" and {counted(len(more), 'more place')}" if more else ""
        yield f"Would not allow touch: {', '.join(refused[:MOST_REFUSED])}{and_more}."


def _vets_words(sheet: Sheet, day: date) -> Iterator[str]:
    for word in sheet.vets_words:
        over = " (over by this day: ask)" if word.until is not None and word.until < day else ""
        yield f"{vets_word_said(word)}{over}"


def _named(check: Check) -> str:
    return f"{check.name} ({check.sides[0]})" if len(check.sides) < BOTH and check.sides[0] else check.name


def _held_back(sheet: Sheet) -> str:
    left = sheet.next.left
    if not left:
        return ""
    more = f" ({counted(len(left), 'look')} in all)" if len(left) > 1 else ""
    return f"Not proposed while a sign stands: {left[0].check.name}: {phrases.clause(left[0].because)}{more}."


def _bring(sheet: Sheet) -> Iterator[str]:
    for one in sheet.needed:
        yield f"{one.bring.what}{f' ({one.named})' if one.named else ''}"
