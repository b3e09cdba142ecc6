"""The page of `reasoner firm`: how often the answer stays as it is when every score is read again by a hand that wavers.

In: a `Firmness` and the answer it is about. Out: lines for the terminal.
Not here: reading again, counting.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from reasoner.explanation.model import Key
from reasoner.rendering import firmness_words, phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.firmness_words import of_hundred
from reasoner.rendering.phrases import counted, sentence
from reasoner.rendering.text_page import Line, heading

if TYPE_CHECKING:
    from reasoner.questions.firm import Firmness, Hand, Stays

MOST_OTHERS = 3  # how many other outcomes are named beside each that stays; the rest are counted
COMES_UP = 5  # of a hundred readings: from here on a conclusion that is not drawn today is named as coming up
WHOSE = {
    "the rules": "the usual error of a hand in these rules ({basis})",
    "this examiner": "the error kept for {examiner} in these rules ({basis})",
    "given here": "the error given with the question",
}
NOT_READ_AGAIN = (
    "Read again were the scores only. What was felt, how the horse answered, what was seen, measured or told, and places "
    "that were refused or not examined stay as written; so this says nothing of an error there."
)
NO_SCORES = "No score was written down, so there is nothing to read again."
SAYS_WHAT = (
    "This tells how much hangs on a number or two under the hand. It is not a probability that the answer is true: readings that "
    "agree can be wrong together."
)


def firm_lines(firmness: Firmness, answer: Answered) -> Iterator[Line]:
    """The page, line by line."""
    yield from shared_text.opening(answer)
    yield from firmness_words.calls_first(answer)
    yield from heading("how firm is it")
    if not firmness.scores:
        yield Line(NO_SCORES)
        yield from heading("what this rests on")
        yield Line(phrases.VET_SENTENCE, "faint")
        return
    yield from _answer(firmness, answer)
    yield from _bands(firmness, answer)
    yield from heading("what this rests on")
    yield Line(
        sentence(
            f"{_reread(firmness)}, by {hand(firmness.hand, answer)}; the scores drawn belong to seed {firmness.seed}"
        )
    )
    yield Line(f"The shares are good to about {_give_or_take(firmness.rows)} of 100. {NOT_READ_AGAIN}")
    yield Line(f"{SAYS_WHAT} {phrases.VET_SENTENCE}", "faint")


def leading_lines(stays: Stays | None, rows: int, hand: Hand, answer: Answered) -> Iterator[Line]:
    """One line for the page of the assessment; none where nothing could be counted."""
    if stays is not None:
        causes = "these lead side by side" if len(_keys(stays.now)) > 1 else "this leads"
        whose = "this examiner's error" if hand.whose == "this examiner" else "the usual error of a hand"
        share = {rows: "in all of them", 0: "in none of them"}.get(stays.kept, f"in {of_hundred(stays.kept, rows)}")
        error = f"{whose}, {wording.basis([hand.error.basis], answer.ready.book)}"
        words = firmness_words.leading(_keys(stays.now), answer)
        said = f"With every score read again {rows:,} times ({error}), {causes} {share}: {words}. More: reasoner firm."
        yield Line(said, "faint")


def hand(hand: Hand, answer: Answered) -> str:
    """The error, in points, and whose it is."""
    examiner = answer.visit.noted_value("examined_by")
    basis = wording.basis([hand.error.basis], answer.ready.book)
    whose = WHOSE[hand.whose].format(basis=basis, examiner=examiner)
    points = f"{hand.error.shared:g} points shared by the visit and {hand.error.noise:g} of each place"
    return f"{whose}: {points} (standard deviations)"


def _reread(firmness: Firmness) -> str:
    return f"{counted(firmness.scores, 'score')} read again {firmness.rows:,} times on the scale's own steps"


def _give_or_take(rows: int) -> int:
    """Two standard errors of a half, for the rows that are surely independent: one of each pair."""
    return max(1, math.ceil(100 / math.sqrt(rows / 2) - 0.5))


def _keys(value: object) -> Sequence[Key]:
    return value if isinstance(value, tuple) else ()


def _answer(firmness: Firmness, answer: Answered) -> Iterator[Line]:
    book = answer.ready.book
    several = len(_keys(firmness.leading.now)) > 1
    name = "the leading causes, level with each other" if several else "the leading cause"
    yield from _stays(name, firmness.leading, firmness.rows,
                      lambda v: firmness_words.leading(_keys(v), answer))  # fmt: skip
    yield from _stays("how pressing the call is", firmness.call, firmness.rows,
                      lambda v: firmness_words.call(str(v), book))  # fmt: skip
    same = of_hundred(firmness.reasons.kept, firmness.rows)
    yield Line("the very same reasons to call stand", indent=2, tail=f"in {same}")
    yield from _stays("the first step of the plan", firmness.first, firmness.rows,
                      lambda v: firmness_words.first_step(_keys(v), book))  # fmt: skip


def _stays(name: str, stays: Stays, rows: int, words: Callable[[object], str]) -> Iterator[Line]:
    yield Line(f"{name}: {words(stays.now)}", "strong", tail=f"stays in {of_hundred(stays.kept, rows)}")
    others = [(value, count) for value, count in stays.values if value != stays.now]
    for value, count in others[:MOST_OTHERS]:
        yield Line(words(value), indent=2, mark="else", tail=f"in {of_hundred(count, rows)}", hang=5)
    rest = sum(count for _, count in others[MOST_OTHERS:])
    if rest:
        more = counted(len(others) - MOST_OTHERS, "other outcome")
        yield Line(f"and {more}", "faint", 2, tail=f"in {of_hundred(rest, rows)} together")


def _bands(firmness: Firmness, answer: Answered) -> Iterator[Line]:
    explanation = answer.explanation
    drawn = [(c.key, c.side) for c in explanation.supported()]
    yield from heading("how often each conclusion keeps its band")
    if not drawn:
        yield Line(phrases.NO_STARTING_POINT)
    for key in drawn:
        yield from _band(wording.conclusion_words(explanation, *key), firmness.bands[key], firmness.rows)
    rising = {key: _drawn(stays) for key, stays in firmness.bands.items() if key not in drawn and _drawn(stays)}
    named = [key for key, count in rising.items() if 100 * count >= COMES_UP * firmness.rows]
    if rising:
        yield from heading("not drawn today, and coming up in some readings")
    for key in sorted(named, key=lambda key: (-rising[key], key)):
        words = wording.conclusion_words(explanation, *key)
        yield Line(words, mark="-", tail=f"in {of_hundred(rising[key], firmness.rows)}")
    if len(named) < len(rising):
        more = counted(len(rising) - len(named), "conclusion")
        yield Line(
            f"and {more} in fewer than {COMES_UP} of 100" if named else f"{more}, each in fewer than {COMES_UP} of 100",
            "faint",
        )


def _band(words: str, stays: Stays, rows: int) -> Iterator[Line]:
    yield Line(words, mark="-", tail=f"{phrases.pointers(str(stays.now))} in {of_hundred(stays.kept, rows)}")
    others: Mapping[Any, int] = {value: count for value, count in stays.values if value != stays.now}
    if others:
        said = "; ".join(f"{phrases.pointers(value)} in {of_hundred(count, rows)}" for value, count in others.items())
        yield Line(f"else {said}", "faint", 2)


def _drawn(stays: Stays) -> int:
    """In how many rows it is supported."""
    return sum(count for value, count in stays.values if value not in ("none", "against"))
