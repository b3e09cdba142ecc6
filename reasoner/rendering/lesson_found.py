"""The first two chapters of a lesson: the veterinarian first, then what was found and what each finding makes one think of.

In: a `Lesson` and its answer. Out: chapters.
Not here: what is weighed against what (lesson_weighed), doubts and looks (lesson_doubts).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.plan.concerns import RaisedConcern
from reasoner.rendering import both_sides, phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.lesson_opens import LESS, anatomy_of, each_once, loudness, rule_at_work, rules_that_call, seen
from reasoner.rendering.lesson_said import said_of
from reasoner.rendering.lesson_shapes import Chapter, Point, Step, Words
from reasoner.rendering.next_text import STOP_AND_PHONE
from reasoner.teaching.lesson import Lesson
from reasoner.teaching.noticed import Noticed, Thought

BEGIN = "Begin here with every horse, whatever else you think."
WEIGHS_MORE = "A reason to call is not weighed against anything. It stands, however well the rest is explained."
WAITS = "What follows is for the desk. On the horse the veterinarian comes first."
STOPPED = "Today nothing else is weighed. Learn the signs, learn what to do while you wait, and leave the rest for another day."
READ_ON = "Walk round the horse with me. At each thing stop for a moment: what would you think of, before you read on?"
ALSO_FOUND = "This was written down as well. While the call stands it changes nothing."
TOLD_ABOVE = "What calls the veterinarian is told above; nothing else that was written down matters today."
NOTHING = "Nothing that was written down asks for a reason."
QUIET = "{entries} {speak} only against something, or for what does not stand. What is quiet, or as usual, is a finding too."
THINK, AGAINST, DOUBT = "think of", "not of", "but not"
BY_ITSELF = "by itself too little"
MOST_THOUGHTS = 2
URGENT = ("prompt", "emergency")


def first_chapter(lesson: Lesson, answer: Answered, words: Words) -> Chapter:
    """The reasons to call the veterinarian, each with why it is one."""
    raised = answer.referral.concerns
    if not raised:
        opening = (BEGIN, f"{phrases.NO_CONCERN} {phrases.NO_CONCERN_MEANS}")
        return Chapter(key="first", title="First, the veterinarian", opening=opening)
    steps: list[Step] = []
    for call, concerns in shared_text.by_call(raised):
        told: set[str] = set()
        for number, concern in enumerate(concerns):
            key = "/".join(part for part in ("call", concern.key, concern.place, concern.side) if part)
            says = concern.words if number else f"{phrases.called(call, concern.when)}. {concern.words}"
            new = [line for line in dict.fromkeys(concern.while_you_wait) if line not in told]
            told.update(new)
            steps.append(_call(key, says, concern, new, answer, words, brief=bool(steps)))
    opening = (STOP_AND_PHONE, STOPPED) if lesson.stop else (BEGIN, WEIGHS_MORE)
    return Chapter(
        key="first", title="First, the veterinarian", opening=opening, steps=tuple(steps),
        closing=(*(shared_text.release_words(one) for one in answer.referral.releases), *(() if lesson.stop else (WAITS,))),
    )  # fmt: skip


def _call(
    key: str, says: str, concern: RaisedConcern, wait: Sequence[str], answer: Answered, words: Words, *, brief: bool
) -> Step:  # fmt: skip
    """One reason to call. The first is explained outright; of the others what was seen and what they stop is."""
    book, urgent = answer.ready.book, concern.call in URGENT
    why = [concern.plain] if words == "plain" and concern.plain != concern.words else []
    why += [phrases.first_sentence(because) for _, because, _ in concern.signs[:1]]
    why = [phrases.sentence(line) for line in why]
    points = [
        Point(mark="seen", text=wording.findings(concern.findings, book.vocabulary)),
        Point(mark="stops", text=shared_text.stopped(concern, book)),
        *(Point(mark="while you wait", text=phrases.sentence(line), folded=not urgent) for line in wait),
        *(Point(mark="that is", text=line, folded=True) for line in why if brief),
    ]
    if concern.tell_the_vet:
        tell = phrases.sentence("; ".join(map(phrases.clause, concern.tell_the_vet)))
        points.append(Point(mark="tell the veterinarian", text=tell, folded=True))
    points += [Point(mark="told with it", text=milder.words, folded=True) for milder in concern.folds]
    return Step(
        key=key, says=says, seen=seen(concern.findings, book), more=() if brief else tuple(why),
        points=tuple(p for p in points if p.text),
        rules=rules_that_call(concern, book), alarm=urgent,
        anatomy=anatomy_of((f.where for f in concern.findings), answer, words),
    )  # fmt: skip


# -- what was found --------------------------------------------------------------------------------------------------------


def found_chapter(lesson: Lesson, answer: Answered, words: Words) -> Chapter:
    """What was found, in the order of the walk, and what each finding makes one think of."""
    steps = tuple(_noticed(one, answer, words) for one in lesson.noticed)
    opening = [NOTHING]
    if lesson.stop:
        opening = [ALSO_FOUND if any(not step.folded for step in steps) else TOLD_ABOVE]
    elif steps:
        opening = [READ_ON]
    count = lesson.untold
    entries = ("more entry", "more entries") if steps else ("entry", "entries")
    quiet = QUIET.format(entries=phrases.counted(count, *entries), speak="speaks" if count == 1 else "speak")
    folded = sum(step.folded for step in steps)
    return Chapter(
        key="found", title="What was found, and what does it make you think of?", opening=tuple(opening), steps=steps,
        rest=phrases.counted(folded, "more finding") if folded else "", closing=(quiet,) if count and not lesson.stop else (),
    )  # fmt: skip


def _noticed(one: Noticed, answer: Answered, words: Words) -> Step:
    book = answer.ready.book
    points = tuple(_thoughts(one.thoughts, answer, words))
    keys = tuple(dict.fromkeys(thought.key for thought in one.thoughts))
    rules = each_once(
        rule_at_work(item, phrases.clause(wording.conclusion_words(answer.explanation, *thought.key)), answer, words)
        for thought in one.thoughts
        for item in thought.items
    )
    return Step(
        key=f"found/{one.where}", says=wording.findings(one.findings, book.vocabulary), about=keys,
        seen=seen(one.findings, book), points=_calls_first(one, points), rules=rules,
        anatomy=anatomy_of([one.where], answer, words), folded=not one.leading,
    )  # fmt: skip


def _calls_first(one: Noticed, points: tuple[Point, ...]) -> tuple[Point, ...]:
    """What a reason to call rests on makes one think of that before anything else."""
    if one.calls:
        return (Point(mark=THINK, text="a reason to call the veterinarian, told above"), *points)
    return points or (Point(mark=THINK, text="nothing yet: no rule that was heard rests on it"),)


def _thoughts(thoughts: Sequence[Thought], answer: Answered, words: Words) -> Iterator[Point]:
    """What it makes one think of, and what it turns one away from; a pair of sides once. First what stands at the end."""
    told = sorted(_paired(thoughts, answer), key=lambda some: not some[0].speaks_for)
    first = [n for n, some in enumerate(told) if some[0].speaks_for][:MOST_THOUGHTS]
    first += [n for n, some in enumerate(told) if not some[0].speaks_for and some[0].supported][:1]
    for n, some in enumerate(told):
        lead, strengths = some[0], answer.ready.book.scales.strengths
        loud = loudness(lead.items[0].contribution, strengths, words)
        little = lead.speaks_for and not lead.supported and not loud.startswith(LESS)
        after = f", {BY_ITSELF}" if little else ""
        mark = THINK if lead.speaks_for else DOUBT if lead.supported else AGAINST
        yield Point(
            mark=mark,
            text=f"{phrases.clause(said_of([t.key for t in some], answer))} ({loud}{after})",
            folded=n not in first,
        )


def _paired(thoughts: Sequence[Thought], answer: Answered) -> Iterator[tuple[Thought, ...]]:
    def same(one: Thought, other: Thought) -> bool:
        sides = [wording.conclusion_words(answer.explanation, *t.key) for t in (one, other)]
        return (
            (one.key[0], one.speaks_for, one.supported) == (other.key[0], other.speaks_for, other.supported)
            and round(one.items[0].contribution - other.items[0].contribution, 6) == 0.0
            and both_sides.same_of_both(*sides)
        )

    yield from both_sides.paired(thoughts, same)
