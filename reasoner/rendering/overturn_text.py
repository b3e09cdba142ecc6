"""The page of `reasoner overturn`: the smallest changes of what was written down that would change the answer.

In: an `Overturned` and the answer it is about. Out: lines for the terminal.
Not here: finding the changes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from reasoner.rendering import firmness_words, phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import counted, listed, sentence
from reasoner.rendering.text_page import Line, heading
from reasoner.rendering.visit_rows import WHEN
from reasoner.rulebook.rulebook import Rulebook

if TYPE_CHECKING:
    from reasoner.questions.edits import Edit
    from reasoner.questions.overturn import Found, Overturned, Overturning

MOST = 6  # how many of the smallest changes are shown for each question, scores and words each; the rest are counted
AS_WRITTEN = (
    "Measurements, dates, what was felt, how the horse answered, and places that were refused stay as written; so this says "
    "nothing of a slip there."
)
RECORDED_ONLY = "Only what was examined and written down is changed; --unexamined also tries what was not."
UNEXAMINED_TOO = "What was not examined is tried as well; a place not touched counts its points from 0."
A_WORD = "A word counts as one reading and has no points, so that it is neither smaller nor larger than a number."
SAYS_WHAT = (
    "This tells which readings are worth a second look. It does not say that any of them is wrong, and it is no reason to "
    "press a sore place again today, nor to put off a call that stands."
)


def overturn_lines(told: Overturned, answer: Answered, most: int = MOST) -> Iterator[Line]:
    """The page, line by line."""
    book, explanation = answer.ready.book, answer.explanation
    yield from shared_text.opening(answer)
    yield from firmness_words.calls_first(answer)
    yield from heading("what would change my mind")
    yield Line(
        f"The fewest readings, and of those the fewest points, of {counted(told.units, 'reading')} that a rule hears."
    )
    now = firmness_words.leading(explanation.leading, answer)
    yield from _question("the leading cause", now, told.leading, told, most, answer, lambda one: _leading(one, answer))
    now = firmness_words.call(answer.referral.level, book)
    yield from _question(
        "the call, or a reason for it", now, told.referral, told, most, answer, lambda one: _call(one, book)
    )
    now = firmness_words.first_step(_now_first(answer), book)
    yield from _question("the first step of the plan", now, told.first_step, told, most, answer,
                         lambda one: firmness_words.first_step(_keys(one.becomes), book))  # fmt: skip
    yield from heading("what this rests on")
    yield Line(f"{UNEXAMINED_TOO if told.unexamined else RECORDED_ONLY} {A_WORD} {AS_WRITTEN}")
    stamp = f"Rulebook {book.stamp}. {SAYS_WHAT} {phrases.VET_SENTENCE}"
    yield Line(stamp, "faint")


def _now_first(answer: Answered) -> tuple[tuple[str, str], ...]:
    from reasoner.questions.first_steps import first_of

    return first_of(answer.plan, answer.referral)


def _keys(value: object) -> Any:
    return value if isinstance(value, tuple) else ()


def _question(
    name: str,
    now: str,
    found: Found,
    told: Overturned,
    most: int,
    answer: Answered,
    becomes: Callable[[Overturning], str],
) -> Iterator[Line]:
    yield from heading(f"{name}")
    yield Line(f"now: {now}", "strong")
    yield Line(sentence(how_many(found, told.units)))
    for words in sorted({_words_in(one) for one in found.changes}):
        alike = [one for one in found.changes if _words_in(one) == words]
        yield Line(_kind(alike[0], words), indent=2)
        for one in alike[:most]:
            yield from _change(one, answer, becomes(one))
        if alike[most:]:
            yield Line(f"and {len(alike) - most} more as small as these (--most {len(alike)} shows them)", "faint", 4)


def _words_in(one: Overturning) -> int:
    return sum(edit.word for edit in one.edits)


def how_many(found: Found, units: int) -> str:
    """How small the smallest changes are, or how far the search went without one; `units` readings were open to change."""
    if not units:
        return "nothing was written down that a rule hears and that could have been otherwise"
    tried = f"of {found.sets:,} sets of {found.readings} readings {found.tried:,} were tried, those with the most room first"
    if found.changes:
        done = f"changed by {counted(found.readings, 'reading')}"
        return done if found.whole else f"{done}; {tried}, so that a change as small or smaller may be missing here"
    if found.whole:
        return f"no change of up to {counted(found.readings, 'reading')} brings another"
    return (
        f"no change of up to {counted(found.readings - 1, 'reading')} brings another; {tried}, and none of those does"
    )


def _kind(one: Overturning, words: int) -> str:
    """What this many words and that many points are called."""
    scores = len(one.edits) - words
    said = []
    if scores:
        points = f"{one.points:g} point{'' if one.points == 1 else 's'}"
        said.append(f"{counted(scores, 'score')} by {points}{' in all' if scores > 1 else ''}")
    if words:
        said.append(counted(words, "word"))
    return f"{listed(said)}:"


def _change(one: Overturning, answer: Answered, becomes: str) -> Iterator[Line]:
    for number, edit in enumerate(one.edits):
        line = f"line {edit.line}" if edit.line else ""
        yield Line(_edit(edit, answer.ready.book), indent=4, mark="-" if not number else "and", tail=line, hang=2)
    yield Line(becomes, "faint", 6, mark="then", hang=5)


def _edit(edit: Edit, book: Rulebook) -> str:
    words = book.vocabulary
    place, observation = words.places.get(edit.key), words.observations.get(edit.key)
    name = place.name if place else observation.name if observation else edit.key
    said = phrases.at_side(wording.full_name(edit.key, name, words), edit.side)
    if edit.about:
        leg = words.observations.get(edit.about[0])
        said += f" (said of {edit.about[1]} {leg.name if leg else phrases.plain(edit.about[0])})"
    when = f" {WHEN[edit.when]}" if edit.when not in ("", "first") else ""
    if not edit.before:
        return f"{said}{when}: {edit.after}, where nothing is written"
    return f"{said}{when}: {edit.after} instead of {edit.before}"


def _leading(one: Overturning, answer: Answered) -> str:
    return firmness_words.leading(_keys(one.becomes), answer)


def _call(one: Overturning, book: Rulebook) -> str:
    level = firmness_words.call(str(one.becomes), book)
    parts = [f"{word}: {'; '.join(_reason(key, side, place, book) for key, side, place in some)}"
             for word, some in (("new", one.raised), ("gone", one.gone)) if some]  # fmt: skip
    return ". ".join([level, *parts])


def _reason(key: str, side: str, place: str, book: Rulebook) -> str:
    """A reason to call by its page's name and where."""
    where: Sequence[str] = [book.vocabulary.places[place].name] if place else []
    return ", ".join([phrases.plain(key), *where, *([side] if side else [])])
