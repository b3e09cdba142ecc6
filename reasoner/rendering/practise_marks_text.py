"""An ended practice session set beside the reasoner; and a table of how often causes are found again.

In: `Marked`, `Recovered`, a record. Out: lines.
Not here: the session before its end (practise_text), marking.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from reasoner.explanation.from_record import filled
from reasoner.questions.next_check import EMERGENCY
from reasoner.rendering import phrases
from reasoner.rendering.book_links import anchor
from reasoner.rendering.phrases import listed, plain, sentence
from reasoner.rendering.practise_beside import BY_THE_STORY
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rendering.wording import basis
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.marked import Cause, Marked, Step, Told
from reasoner.teaching.offered import STOPPED
from reasoner.teaching.practice_record import LATELY, Record, by_skill, coming
from reasoner.teaching.recovery import Recovered
from reasoner.teaching.session import NONE

RULES_SHOWN = 4
CLOSED_SHOWN = 4
NOT_MADE = "a look that would have shown it was not made"
CLOSED_TO_YOU = "no look that was open would have shown it"
NONE_ASKED = "At an emergency no cause is asked for: the call is the whole of it."
HOW_MARKED = (
    "Everything here is beside what these rules make of the case, which is no verdict on any horse. Causes are held "
    "against the whole "
    "case, and one that a case was made from is right whatever the rules make of it; referral and plan are held against what "
    "you had seen, and a call that looks left open would have shown weighs half. What an error weighs is our own setting "
    "(rules/measures/practise.yaml); calling "
    "the veterinarian too late weighs most. Certainty is scored over every cause and side there is (Brier 1950: the sum "
    "of squared "
    "differences; Good 1952: minus the logarithm of the share given to what came); less is better, and nobody does better "
    "by saying "
    "other than they think."
)
NO_HORSE = (
    "A case made from a cause is a story and no horse: this shows whether rules and links say the same, and never how "
    "often the reasoner "
    "is right."
)


def marked_lines(marks: Marked, book: Rulebook) -> Iterator[Line]:
    """The whole session beside the reasoner."""
    yield Line(f"The end of the case: {marks.points:.0f} of 100 points", "title")
    yield from (Line(f"{points:g} points: {what}", indent=2, mark="-") for what, points in marks.lost)
    if marks.truth is not None:
        yield GAP
        yield Line(f"It was made from this: {filled(book.conclusions[marks.truth[0]].says, marks.truth[1])}", "strong")
    yield from _referral(marks, book)
    yield from heading("causes")
    begins = listed(f'"{one.words.rstrip(".")}"' for one in marks.starting_points)
    yield Line(f"The reasoner's account of the whole case begins with {begins}." if begins else
               "The reasoner's account of the whole case begins nowhere: too little speaks.")  # fmt: skip
    if marks.referral.seen == EMERGENCY:
        yield Line(NONE_ASKED, "strong")
    elif marks.out_of_reach:
        names = listed(f'"{one.words.rstrip(".")}"' for one in marks.out_of_reach)
        yield Line(f"Not counted as missed, for {CLOSED_TO_YOU}: {names}.")
    first = {(one.key, one.side) for one in marks.starting_points}
    begun = tuple(one for one in marks.found if (one.key, one.side) in first)
    told = tuple(one for one in marks.found if (one.key, one.side) not in first)
    for title, causes, why in (
        ("right", begun, "what speaks for it"),
        (f"right: {BY_THE_STORY}", told, "what speaks for it"),
        ("the wrong side", marks.other_side, "what speaks for the other side"),
        ("missed", marks.missed, "what would have told you"), ("part of the same chain, and not where it "
                                                               "begins", marks.on_the_way,
         "what speaks for it"), ("something speaks for it, and the account does without", marks.supported, "what speaks for it"),
        ("jumped to", marks.jumped_to, "what speaks against it"),
    ):  # fmt: skip
        for cause in causes:
            yield from _cause(title, cause, why, book)
    yield from _looks(marks, book)
    yield from _steps(marks)
    yield from _sureness(marks)
    yield from heading("what this rests on")
    yield Line(HOW_MARKED, "faint")
    yield Line(f"Rulebook {book.stamp}.", "faint")


def _referral(marks: Marked, book: Rulebook) -> Iterator[Line]:
    said = marks.referral
    yield from heading("the veterinarian")
    if said.low:
        yield Line(
            f"You said {said.said}; after what you had seen {said.seen} stands. This is the error that weighs most.",
            "alarm",
        )
    elif said.high:
        yield Line(f"You said {said.said}; after what you had seen {said.seen} stands.")
    else:
        seen = "by these rules nothing you had seen is a reason to call" if said.seen == NONE else "that is what stands"
        yield Line(f"You said {said.said}; {seen}.")
    if said.whole != said.seen:
        degrees = (NONE, *book.scales.calls)
        short = degrees.index(said.said) < degrees.index(said.whole)
        why = f": {NOT_MADE}" if said.not_seen else f": {CLOSED_TO_YOU}" if short and not said.low else ""
        yield Line(f"With everything seen it is {said.whole}{why}.", "alarm")
    yield from (line for told in said.told for line in _told(told, book))


def _cause(title: str, cause: Cause, why: str, book: Rulebook) -> Iterator[Line]:
    held = f", held for {cause.share:.0%}" if cause.share else ""
    yield GAP
    entry = (("its page", anchor("conclusion", cause.key)),)
    yield Line(f"{title}: {cause.words.rstrip('.')}{held}", "strong", links=entry)
    yield Line(
        f"certainty after what you had seen {phrases.certainty(cause.seen)}, with everything {phrases.certainty(cause.whole)}",
        "faint",
        2,
    )
    if cause.told:
        yield Line(f"{why}:", indent=2)
    yield from (line for told in cause.told[:RULES_SHOWN] for line in _told(told, book))


def _told(told: Told, book: Rulebook) -> Iterator[Line]:
    at = f"{told.file}:{told.line}"
    calls = told.rule in book.concerns
    entry = (("this reason to call" if calls else "this rule", anchor("concern" if calls else "rule", told.rule)),)
    found = listed(dict.fromkeys(f"{phrases.at_side(one.name, one.side)} {one.value}" for one in told.findings))
    yield Line(f"{told.name}: {found}" if found else told.name, indent=4, mark="-", tail=at, links=entry)
    yield Line(f"{told.because} ({basis(told.basis, book)})", "faint", 6)
    if told.unseen:
        names = listed(dict.fromkeys(one.name for one in told.unseen))
        entries = dict.fromkeys(link for one in told.unseen for link in _entry(one.where, one.name, book))
        yield Line(f"you did not look at {names}", indent=6, links=tuple(entries))


def _entry(key: str, name: str, book: Rulebook) -> tuple[tuple[str, str], ...]:
    """The entry of the handbook on something that is looked at; none for the light stroke along the spines."""
    for kind, known in (("place", book.vocabulary.places), ("observation", book.vocabulary.observations)):
        if key in known:
            return ((name, anchor(kind, key)),)
    return ()


def _looks(marks: Marked, book: Rulebook) -> Iterator[Line]:
    yield from heading("looks")
    for number, look in enumerate(marks.looks, 1):
        worth = (
            "could change nothing"
            if not look.effect.matters
            else "telling"
            if look.telling
            else "told less than others"
        )
        had = "" if look.had else "; it could not be had that day"
        yield Line(f"{look.effect.check.name}: {worth}{_could(look.effect.level, look.effect.plan)}; "
                   f"number {look.place} of {look.of} then{had}", indent=2, mark=f"{number}.",
                   links=_entry(look.effect.check.key, look.effect.check.name, book))  # fmt: skip
    if not marks.looks:
        yield Line("You made none.", indent=2)
    yield from _closed(marks)
    if marks.looks_missed:
        yield Line("left unmade, and telling to the end:", "strong", 2)
        for effect in marks.looks_missed:
            yield Line(f"{effect.check.name}{_could(effect.level, effect.plan)}", indent=4, mark="-",
                       links=_entry(effect.check.key, effect.check.name, book))  # fmt: skip


def _closed(marks: Marked) -> Iterator[Line]:
    """What stood in the way of looks at the end: held back as long as to name it would have answered for the apprentice."""
    if marks.referral.seen == EMERGENCY:
        yield Line(f"{sentence(STOPPED)} The call above is why.", "strong", 2)
    elif marks.closed:
        yield Line("not looked at, because something seen stood in the way:", "strong", 2)
    for because, checks in marks.closed_by:
        names = [check.name for check in checks[:CLOSED_SHOWN]]
        more = len(checks) - len(names)
        yield Line(
            f"{sentence(because)} So not: {', '.join(names)}{f', and {more} more' if more else ''}.", indent=4, mark="-"
        )


def _could(level: int, plan: bool) -> str:
    could = [*(["the reasons to call"] if level else []), *(["the plan"] if plan else [])]
    return f", could change {listed(could)}" if could else ""


def _steps(marks: Marked) -> Iterator[Line]:
    yield from heading("the plan, after what you had seen")
    for title, steps in (
        ("stopped by something that stands", marks.steps_stopped), ("as the rules", marks.steps_right),
        ("not in the plan of the rules", marks.steps_other), ("in the plan of the rules and not in yours", marks.steps_missed),
    ):  # fmt: skip
        yield from _some(title, steps)
    if not (marks.steps_stopped or marks.steps_right or marks.steps_other or marks.steps_missed):
        yield Line("No step stands, and you proposed none.", indent=2)


def _some(title: str, steps: Sequence[Step]) -> Iterator[Line]:
    if steps:
        yield Line(f"{title}:", "strong", 2)
    for step in steps:
        yield Line(step.words, indent=4, mark="-", links=(("the step", anchor("action", step.key)),))
        yield from (Line(why, "alarm", 6) for why in step.stopped)


def _sureness(marks: Marked) -> Iterator[Line]:
    sure = marks.sureness
    yield from heading("how well your certainty matched")
    if sure.came is None:
        stopped = marks.referral.seen == EMERGENCY
        yield Line(
            f"Not scored: {'an emergency stood' if stopped else 'the account of this visit does not begin with one cause'}."
        )
        return
    yield Line(f"You gave {sure.share:.0%} to what came." if sure.share else "You did not name what came.")
    yield Line(f"Brier score {sure.brier:.2f} (0 best, 2 worst; every cause alike: {sure.alike_brier:.2f}); logarithmic score "
               f"{sure.logarithmic:.2f} (0 best; every cause alike: {sure.alike_logarithmic:.2f})")  # fmt: skip


def progress_lines(record: Record, at: datetime) -> Iterator[Line]:
    """Progress by skill, the last sessions beside those before; and how many kinds of case come again when."""
    yield from heading(f"your record: {phrases.counted(len(record.done), 'session')}")
    yield from (Line(f"{skill}: {words}", indent=2, mark="-") for skill, _, words in skill_words(record))
    yield from (Line(words, indent=2, mark="-") for words in score_words(record, at))


def skill_words(record: Record) -> Iterator[tuple[str, float, str]]:
    """(skill, how it goes lately from 0 to 1, the same in words beside how it went before) of every skill ever shown."""
    for skill, now, before, count in by_skill(record):
        earlier = f", {before:.0%} before" if count > LATELY else ""
        yield skill, now, f"{now:.0%} lately{earlier} ({phrases.counted(count, 'session')})"


def score_words(record: Record, at: datetime) -> Iterator[str]:
    """How well certainty matched, and how many kinds of case come again when."""
    scored = [one for one in record.done if one.brier is not None and one.logarithmic is not None]
    if scored:
        mean = (
            sum(one.brier or 0.0 for one in scored) / len(scored),
            sum(one.logarithmic or 0.0 for one in scored) / len(scored),
        )
        yield f"mean scores of certainty: Brier {mean[0]:.2f}, logarithmic {mean[1]:.2f}; less is better"
    if record.cards:
        yield f"comes again: {listed(coming_words(record, at))}"


def coming_words(record: Record, at: datetime) -> Iterator[str]:
    """How many kinds of case come again when; which, the record keeps to itself."""
    before = 0
    for days, kinds in coming(record, at):
        when = "now" if not days else f"later than in {before} days" if days < 0 else f"within {days} days"
        before = days
        if kinds:
            yield f"{phrases.counted(kinds, 'kind of case', 'kinds of case')} {when}"


def recovered_lines(rows: Iterable[Recovered], book: Rulebook) -> Iterator[Line]:
    """How often each cause is found again in the cases made from it."""
    yield Line("How often a cause is found again in the cases made from it", "title")
    yield Line(NO_HORSE, "faint")
    yield Line(
        "Found: it is a starting point of the account. First: the first. Led to: another begins the account and leads to it.",
        "faint",
    )
    sums: dict[str, list[int]] = {}
    never: list[str] = []
    for cause, kinds in _by_cause(rows):
        yield GAP
        yield Line(plain(cause), "strong")
        instead: Counter[str] = Counter()
        for one in kinds:
            side = f", {one.side}" if one.side else ""
            yield Line(f"{one.difficulty}{side}: found {one.found} of {one.cases}, first {one.first}, led to {one.led}; a "
                       f"reason to call in "
                       f"{one.calls}", indent=2)  # fmt: skip
            total = sums.setdefault(one.difficulty, [0, 0, 0, 0])
            for at, number in enumerate((one.cases, one.found, one.first, one.led)):
                total[at] += number
            for (key, other), number in one.instead:
                where = (
                    ""
                    if not (other and one.side)
                    else " on the same side"
                    if other == one.side
                    else " on the other side"
                )
                instead[f"{plain(key)}{where}"] += number
        if instead:
            yield Line(f"taken for {listed(f'{name} ({number})' for name, number in instead.most_common(3))}", indent=2)
        if not sum(one.found for one in kinds if one.difficulty == kinds[0].difficulty):
            never.append(cause)
    yield from heading("all causes")
    for difficulty, (cases, found, first, led) in sums.items():
        yield Line(
            f"{difficulty}: found {found / cases:.0%}, first {first / cases:.0%}, found or led to "
            f"{(found + led) / cases:.0%} of {cases} cases",
            indent=2,
        )
    if never:
        yield Line(f"Not found even where the case is clearest: {listed(map(plain, never))}.", "strong", 2)


def _by_cause(rows: Iterable[Recovered]) -> Iterator[tuple[str, list[Recovered]]]:
    found: dict[str, list[Recovered]] = {}
    for row in rows:
        found.setdefault(row.cause, []).append(row)
    yield from found.items()
