"""The pages of `reasoner next`: what to look at next, an examination by the clock, the questions before a visit.

In: an answer and what was found to tell. Out: lines for the terminal.
Not here: ranking, and what a standing sign takes away.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from reasoner.plan.referral import concern_words
from reasoner.questions.minutes import Planned
from reasoner.questions.next_check import EMERGENCY, Next
from reasoner.questions.telephone import Question
from reasoner.questions.telling import EITHER, Call, Effect
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import counted, sentence
from reasoner.rendering.text_page import GAP, Line, heading

STOP_AND_PHONE = "Stop here and telephone the veterinarian now. Nothing more is looked at or pressed first."
NOTHING_LEFT = "Nothing left to look at would change the call or the plan, by these rules."
NOTHING_ALLOWED = "Nothing is proposed while the reasons to call above stand."
ALIKE, FEW = 6, 2  # readings of one look that are named side by side; of sides and places a few stand for the rest
HOW_CHOSEN = (
    "Chosen by running every listed reading of every look not yet made through the rules: first what could change the "
    "reasons to call, then what could change the plan, then what narrows most. The order is one walk round the horse, the "
    "back late and then once along its middle line, the sorest region last. Which readings are tried, and the minutes, are "
    "our own setting."
)
MORE_FLAGS = (
    "The most pressing are asked here; answers to others may mean the veterinarian too: --most {most} shows more."
)
HOW_ASKED = (
    "Chosen by running every listed answer to every question an owner can answer through the rules: first the answers that "
    "mean the veterinarian, the most pressing first, then what could change the plan, then what narrows most. Which "
    "questions an owner can answer is our own setting."
)
BY_THE_CLOCK = (
    "Filled up look by look, each time the one that narrows most for each minute; that is a good way and not always the best "
    "one. What looks narrow together was worked out on {draws} sets of findings drawn at random (seed {seed})."
)


def next_lines(told: Next, answer: Answered) -> Iterator[Line]:
    """What to look at next."""
    yield from _head(answer, "What to check next")
    if told.stop:
        yield from _stopped(answer)
        return
    yield from _standing(answer)
    if told.first_look:
        yield from heading("first, at first sight, before any pressing")
        yield from _looks(told.first_look, answer, short=True)
    if told.proposed:
        yield from heading("then, on one walk round the horse" if told.first_look else "on one walk round the horse")
        yield from _looks(told.proposed, answer)
    if not told.first_look and not told.proposed:
        yield GAP
        yield Line(NOTHING_ALLOWED if told.left else NOTHING_LEFT, "strong")
    if told.others:
        yield GAP
        more = counted(
            told.others, "other look would tell something, if less", "other looks would tell something, if less"
        )
        yield Line(f"{sentence(more)} --most {told.others + len(told.proposed)} shows all.", "faint")
    yield from _left(told, answer)
    yield from _basis(answer, HOW_CHOSEN)


def planned_lines(planned: Planned, minutes: float, draws: int, answer: Answered) -> Iterator[Line]:
    """An examination by the clock."""
    yield from _head(answer, f"An examination of {minutes:g} minutes")
    if planned.stop:
        yield from _stopped(answer)
        return
    yield from _standing(answer)
    yield GAP
    if planned.steps:
        share = f"; it narrows {planned.narrows / planned.of:.0%} of what all of them would" if planned.of > 0.0 else ""
        yield Line(f"{counted(len(planned.steps), 'look')}, about {planned.minutes:g} minutes{share}.", "strong")
        yield from _looks(planned.steps, answer)
    else:
        yield Line(NOTHING_LEFT, "strong")
    yield from _basis(answer, BY_THE_CLOCK.format(draws=draws, seed=planned.seed))


def telephone_lines(questions: Sequence[Question], answer: Answered) -> Iterator[Line]:
    """The few questions to ask before a visit is booked."""
    yield from _head(answer, "On the telephone, before the visit")
    if answer.referral.level == EMERGENCY:
        yield from _stopped(answer)
        return
    yield from _standing(answer)
    flagged = [q for q in questions if q.flags]
    others = [q for q in questions if not q.flags]
    if flagged:
        yield from heading("ask these first; one such answer means the veterinarian, and no booking")
    for number, question in enumerate(flagged, 1):
        check = question.effect.check
        yield Line(check.question, "strong", mark=f"{number}.", hang=4)
        for level in dict.fromkeys(call.level for call in question.flags):
            answers = _or(call.reading.words for call in question.flags if call.level == level)
            yield Line(f'"{answers}": the veterinarian, {_when(level, answer)}', "alarm", 4)
    if others:
        yield from heading("then these, which tell what to look at")
    for number, question in enumerate(others, len(flagged) + 1):
        yield Line(question.effect.check.question, "strong", mark=f"{number}.", hang=4)
        yield Line(reason_words(question.effect, answer), indent=4)
    if flagged and not others:
        yield GAP
        yield Line(MORE_FLAGS.format(most=3 * len(flagged)))
    if not questions:
        yield GAP
        yield Line("Nothing that can be asked on the telephone would change anything.", "strong")
    yield from _basis(answer, HOW_ASKED)


def _head(answer: Answered, title: str) -> Iterator[Line]:
    name = answer.visit.horse_name
    yield Line(f"{title}: {name}" if name else title, "title", tail=answer.visit.file)


def _stopped(answer: Answered) -> Iterator[Line]:
    yield GAP
    yield Line(STOP_AND_PHONE, "alarm")
    yield from shared_text.referral(answer)


def _standing(answer: Answered) -> Iterator[Line]:
    """A reason to call stands above every list of looks."""
    for call, concerns in shared_text.by_call(answer.referral.concerns):
        yield Line(phrases.called(call, concerns[0].when), "alarm")
        for concern in shared_text.each_once(concerns):
            yield Line(concern.words, indent=2, mark="-")


def _looks(effects: Sequence[Effect], answer: Answered, *, short: bool = False) -> Iterator[Line]:
    everywhere = _everywhere(effects)
    if everywhere:
        yield Line(_call_everywhere(everywhere[0], answer), "alarm")
    for number, effect in enumerate(effects, 1):
        check = effect.check
        sides = " (both sides)" if len(check.sides) > 1 else f", {check.sides[0]}" if check.sides[0] else ""
        name = wording.full_name(check.key, check.name, answer.ready.book.vocabulary)
        asks = f": {check.question}" if check.question else ""
        yield Line(f"{name}{sides}{asks}", "strong", mark=f"{number}.", tail=_minutes(check.minutes), hang=4)
        said = {key for call in everywhere for key, _, _ in call.concerns}
        own = [call for call in effect.calls if not {key for key, _, _ in call.concerns} <= said]
        yield from _calls(effect, own, answer)
        if short and own:
            continue
        yield Line(reason_words(effect, answer), indent=4)
        if check.how:
            yield Line(f"how: {check.how}", "faint", 4)
        if check.safety:
            yield Line(f"take care: {check.safety}", indent=4)


def _everywhere(effects: Sequence[Effect]) -> tuple[Call, ...]:
    """The most pressing calls that a strong answer would raise at every one of several places: told once, above them all."""
    pressed = [effect for effect in effects if effect.check.pressing and effect.calls]
    if len(pressed) < 2:
        return ()
    keys = [{key for call in effect.calls for key, _, _ in call.concerns} for effect in pressed]
    common = set.intersection(*keys)
    return tuple(
        c for c in pressed[0].calls if {key for key, _, _ in c.concerns} <= common and c.level == pressed[0].level
    )


def _calls(effect: Effect, calls: Sequence[Call], answer: Answered) -> Iterator[Line]:
    """Which readings would be a reason to call, and which reason: the most pressing, each reason with its own readings.

    Of reasons that differ in side or place alone the first stands for the rest.
    """
    book, check = answer.ready.book, effect.check
    level = max((call.level for call in calls), default=0)
    of_reason: dict[str, dict[str, list[str]]] = {}
    for call in calls:
        if call.level == level:
            key, side, place = call.concerns[0]
            name = book.vocabulary.places[place].name if place else ""
            words = concern_words(book.concerns[key].says, side, name).rstrip(".")
            of_reason.setdefault(key, {}).setdefault(words, []).append(call.reading.words)
    most = FEW if check.pressing or check.sides != ("",) else ALIKE
    for said in of_reason.values():
        words, readings = next(iter(said.items()))
        text = f'"{_or(readings[:most])}" would be a reason to call the veterinarian, {_when(level, answer)}: {words}.'
        yield Line(text, "alarm" if level > 1 else "body", 4)


def _call_everywhere(call: Call, answer: Answered) -> str:
    says = answer.ready.book.concerns[call.concerns[0][0]].says
    words, when = concern_words(says, "", "place").rstrip("."), _when(call.level, answer)
    return f"At any of these places, this is a reason to call the veterinarian, {when}: {words}."


def reason_words(effect: Effect, answer: Answered) -> str:
    """What the look would tell, in one sentence."""
    if effect.raises is not None:
        first = phrases.clause(_conclusion(effect.raises, answer))
        if effect.tells_from is not None:
            second = phrases.clause(_conclusion(effect.tells_from, answer))
            return sentence(f'tells "{first}" from "{second}"')
        return sentence(f'speaks for or against "{first}"')
    if effect.narrows > 0.0:
        return "Narrows what is still open."
    return "Could change the plan." if effect.plan else "Could change the reasons to call."


def _conclusion(key: tuple[str, str], answer: Answered) -> str:
    if key[1] == EITHER:
        says = answer.ready.book.conclusions[key[0]].says
        return says.replace("{side}", "left or right").replace("{other}", "other").rstrip(".")
    return wording.conclusion_words(answer.explanation, *key).rstrip(".")


def _when(level: int, answer: Answered) -> str:
    return list(answer.ready.book.scales.calls.values())[level - 1]


def _left(told: Next, answer: Answered) -> Iterator[Line]:
    """What would tell something and is not proposed, by what keeps it back."""
    if not told.left:
        return
    yield from heading("not proposed today")
    by_reason: dict[str, list[str]] = {}
    for one in told.left:
        by_reason.setdefault(one.because, []).append(one.check.name)
    for because, names in by_reason.items():
        shown = ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
        yield Line(f"{shown}: because of this: {because}.", mark="-")


def _basis(answer: Answered, how: str) -> Iterator[Line]:
    yield from heading("what this rests on")
    yield Line(how, "faint")
    yield Line(f"Rulebook {answer.ready.book.stamp}. Nothing here says what the horse will show.", "faint")
    yield from (Line(sentence(line), "faint", mark="-") for line in shared_text.always(answer.ready.book))


def _minutes(minutes: float) -> str:
    return f"{minutes:g} min"


def _or(words: Iterable[str]) -> str:
    *first, last = dict.fromkeys(words)
    return '" or "'.join(['", "'.join(first), last] if first else [last])
