"""The end of a lesson: what would make one doubt it, what to look at next, what to take home.

In: a `Lesson` and its answer. Out: chapters.
Not here: finding the turning points (teaching.turning), ranking the looks (questions.next_check).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from reasoner.questions.next_check import Left, rank
from reasoner.questions.telling import EITHER, Effect
from reasoner.rendering import both_sides, phrases, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.lesson_opens import anatomy_of, each_once, rule_at_work, seen
from reasoner.rendering.lesson_said import quoted
from reasoner.rendering.lesson_shapes import Chapter, Point, Rule, Seen, Step, Words
from reasoner.rendering.lesson_weighed import OTHER_WAY
from reasoner.rendering.next_text import NOTHING_ALLOWED, NOTHING_LEFT, reason_words
from reasoner.rendering.overturn_text import SAYS_WHAT, how_many
from reasoner.rendering.visit_rows import WHEN
from reasoner.teaching.lesson import Lesson
from reasoner.teaching.turning import Otherwise, Turn, Turning

HANGS_ON = "An account hangs on a few findings. Ask yourself which ones, and look at those twice."
WOULD_HAVE = "No cause leads today. Which reading would have brought one up?"
SIDE_ONLY = (
    "Left and right are so nearly alike that one of these readings decides which side leads: {names}. The cause stays the same "
    "either way."
)
FIRST_LOOKS, FIRST_HOME = 3, 2
NOTHING_STANDS_UNLOOKED = "No examination is whole. These looks could still change what is said."
LEFT_OVER = "The account leaves this over. Do not bend the story to fit it; write it down and look again."
FIRST_SIGHT = (
    "Before any pressing: of the first sixty seconds nobody looked at this. Any of it may mean the veterinarian."
)
NOT_PROPOSED = "Left alone today:"


def turns_chapter(lesson: Lesson, answer: Answered, words: Words) -> Chapter | None:
    """What would make one doubt it; none where nothing leads and no small change would have brought anything up."""
    turning = lesson.turning
    if turning is None:
        return None
    leads = bool(answer.explanation.leading)
    if not (leads or turning.turns):
        return None
    title = "What would make you doubt this?" if leads else "What would have changed the picture?"
    steps = _mirrored([_turn(turn, lesson, answer, words) for turn in turning.turns if not turn.side_only])
    steps += _sides(turning.turns, answer)
    opening = [HANGS_ON if leads else WOULD_HAVE]
    if not any(turn.otherwise for turn in turning.turns):
        opening.append(_none(turning, words))
    folded = sum(step.folded for step in steps)
    return Chapter(
        key="turns", title=title, opening=tuple(opening), steps=tuple(steps),
        rest=phrases.counted(folded, "more turning point") if folded else "", closing=(SAYS_WHAT,),
    )  # fmt: skip


def _none(turning: Turning, words: Words) -> str:
    """How far the search for a turning point went without one."""
    found = turning.found
    if words == "technical" or not turning.units:
        return phrases.sentence(how_many(found, turning.units))
    most = found.readings if found.whole else found.readings - 1
    return f"No change of up to {phrases.counted(most, 'reading')} of those written down brings another."


def _mirrored(steps: Sequence[Step]) -> list[Step]:
    """Turning points that are each other's mirror image are told once."""
    told: list[Step] = []
    for step in steps:
        twin = next((n for n, one in enumerate(told) if one.says == both_sides.turned(step.says) != step.says), None)
        if twin is None:
            told.append(step)
            continue
        one = told[twin]
        told[twin] = replace(
            one, key=f"{one.key}/both", says=f"{one.says} {OTHER_WAY}", about=(*one.about, *step.about),
            seen=tuple(dict.fromkeys((*one.seen, *step.seen))), rules=each_once((*one.rules, *step.rules)),
        )  # fmt: skip
    return told


def _turn(turn: Turn, lesson: Lesson, answer: Answered, words: Words) -> Step:
    said = [_reading(one, answer) for one in turn.otherwise]
    found: list[Seen] = [
        Seen(words=f"{_name(one.where, '', answer)}: {one.before}", file=answer.visit.file, line=one.line)
        for one in turn.otherwise
    ]
    if turn.missing is not None:
        name = phrases.at_side(_name(turn.missing.where, turn.missing.name, answer), turn.missing.side)
        said = [f"{said[0]}, or if nobody had looked"] if said else [f"if nobody had looked at {name}"]
        found = found or list(seen([turn.missing], answer.ready.book))
    then = f"{quoted(turn.leads, answer)} would lead" if turn.leads else "no cause would lead"
    spots = [(one.where, one.side) for one in turn.otherwise]
    if turn.missing is not None and not spots:
        spots = [(turn.missing.where, turn.missing.side)]
    afters = [after for one in turn.otherwise for after in one.afters]
    key = "/".join(filter(None, ["turn", *(part for spot in spots for part in spot), *afters]))
    wheres = [where for where, _ in spots]
    return Step(
        key=key.replace(" ", "_"), says=f"And {phrases.listed(said)}? {phrases.sentence(f'Then {then}')}", about=turn.leads,
        seen=tuple(found), rules=each_once(_hanging(wheres, turn, lesson, answer, words)),
        anatomy=anatomy_of(wheres, answer, words), folded=not turn.leading,
    )  # fmt: skip


def _hanging(wheres: Sequence[str], turn: Turn, lesson: Lesson, answer: Answered, words: Words) -> Iterator[Rule]:
    """The rules that rest on these entries: of the account, and of what would lead."""
    explanation = answer.explanation
    for key in dict.fromkeys((*(strand.weighed.key for strand in lesson.strands), *turn.leads)):
        concluded = explanation.concluded[key]
        for item in (*concluded.supporting, *concluded.opposing):
            if item.share and any(f.where in wheres for f in item.findings):
                yield rule_at_work(item, phrases.clause(concluded.words), answer, words)


def _reading(one: Otherwise, answer: Answered) -> str:
    name = phrases.at_side(_name(one.where, "", answer), one.side)
    if one.about is not None:
        leg = answer.ready.book.vocabulary.observations.get(one.about[0])
        name += f" (said of {one.about[1]} {leg.name if leg else phrases.plain(one.about[0])})"
    if one.when not in ("", "first"):
        name += f", {WHEN[one.when]}"
    afters = phrases.listed((f'"{after}"' for after in one.afters), "or")
    return f'if {name} had been {afters} and not "{one.before}"'


def _sides(turns: Sequence[Turn], answer: Answered) -> list[Step]:
    """What only decides which side leads, in one step."""
    some = [turn for turn in turns if turn.side_only]
    if not some:
        return []
    wheres = dict.fromkeys(
        where
        for t in some
        for where in (*(one.where for one in t.otherwise), *([t.missing.where] if t.missing else []))
    )
    names = phrases.listed(_name(where, "", answer) for where in wheres)
    about = tuple(dict.fromkeys(key for turn in some for key in turn.leads))
    return [Step(key="turn/sides", says=SIDE_ONLY.format(names=names), about=about)]


def _name(where: str, name: str, answer: Answered) -> str:
    words = answer.ready.book.vocabulary
    place, observation = words.places.get(where), words.observations.get(where)
    known = name or (place.name if place else observation.name if observation else phrases.plain(where))
    return wording.full_name(where, known, words)


# -- what remains open -----------------------------------------------------------------------------------------------------


def open_chapter(lesson: Lesson, answer: Answered, words: Words) -> Chapter | None:
    """What the account leaves over, and what was not looked at that could still change it; nothing at an emergency."""
    told = lesson.next
    if told.stop:
        return None
    steps: list[Step] = []
    if lesson.unexplained and lesson.strands:
        over = wording.findings(lesson.unexplained, answer.ready.book.vocabulary)
        steps.append(Step(key="open/over", says=f"{phrases.sentence(over)} {LEFT_OVER}",
                          seen=seen(lesson.unexplained, answer.ready.book),
                          anatomy=anatomy_of((f.where for f in lesson.unexplained), answer, words)))  # fmt: skip
    if told.first_look:
        steps.append(_first_sight(told.first_look, answer))
    best = {effect.check.key for effect in sorted(told.proposed, key=rank)[:FIRST_LOOKS]}
    steps += [_look(effect, answer, words, folded=effect.check.key not in best) for effect in told.proposed]
    opening = [NOTHING_STANDS_UNLOOKED] if steps else [NOTHING_ALLOWED if told.left else NOTHING_LEFT]
    if told.left:
        steps.append(_left(told.left))
    folded = sum(effect.check.key not in best for effect in told.proposed)
    closing: tuple[str, ...] = ()
    if told.others:
        more = phrases.counted(told.others, "look that nobody made", "looks that nobody made")
        closing = (f"And {more} would tell something, if less.",)
    return Chapter(
        key="open", title="What would you look at next?", opening=tuple(opening), steps=tuple(steps),
        rest=phrases.counted(folded, "more look") if folded else "", closing=closing,
    )  # fmt: skip


def _first_sight(effects: Sequence[Effect], answer: Answered) -> Step:
    names = phrases.listed(_name(effect.check.key, effect.check.name, answer) for effect in effects)
    points = tuple(
        Point(
            mark="ask",
            text=phrases.sentence(f"{_name(e.check.key, e.check.name, answer)}: {e.check.question}"),
            folded=True,
        )
        for e in effects
        if e.check.question
    )
    return Step(key="open/first_sight", says=f"{FIRST_SIGHT} {phrases.sentence(names)}", points=points)


def _look(effect: Effect, answer: Answered, words: Words, *, folded: bool) -> Step:
    check = effect.check
    sides = " (both sides)" if len(check.sides) > 1 else f", {check.sides[0]}" if check.sides[0] else ""
    name = f"{_name(check.key, check.name, answer)}{sides}"
    points = [Point(mark="how", text=check.how), Point(mark="take care", text=check.safety)]
    told = [key for key in (effect.raises, effect.tells_from) if key is not None]
    about = [(key, at) for key, side in told for at in (("left", "right") if side == EITHER else (side,))]
    return Step(
        key=f"look/{check.key}", says=phrases.sentence(f"{name}: {check.question}" if check.question else name),
        about=tuple(about),
        more=(reason_words(effect, answer),), points=tuple(p for p in points if p.text),
        anatomy=anatomy_of([check.key], answer, words), folded=folded,
    )  # fmt: skip


def _left(left: Sequence[Left]) -> Step:
    because: dict[str, list[str]] = {}
    for one in left:
        because.setdefault(one.because, []).append(one.check.name)
    points = tuple(
        Point(mark="because", text=f"{phrases.sentence(why)} So not: {', '.join(names)}.", folded=n > 0)
        for n, (why, names) in enumerate((why, _few(names)) for why, names in because.items())
    )
    return Step(key="open/not", says=f"{NOT_PROPOSED} {phrases.counted(len(left), 'look')}.", points=points)


def _few(names: Sequence[str], most: int = 6) -> list[str]:
    return [*names[:most], *([f"and {len(names) - most} more"] if len(names) > most else [])]


# -- what to take home -----------------------------------------------------------------------------------------------------


def home_chapter(lesson: Lesson, answer: Answered) -> Chapter | None:
    """What the pages of the starting points say an apprentice should take home, and where they can mislead."""
    steps: list[Step] = []
    for key in lesson.home:
        concluded, page = answer.explanation.concluded[key], answer.ready.book.conclusions[key[0]]
        if not page.lesson:
            continue
        misleads = (Point(mark="can mislead", text=page.can_mislead, folded=True),) if page.can_mislead else ()
        steps.append(Step(key=f"home/{key[0]}", says=phrases.sentence(page.lesson), about=(key,), points=misleads,
                          more=(f"From the page {concluded.file}.",), folded=len(steps) >= FIRST_HOME))  # fmt: skip
    if not steps:
        return None
    more = len(steps) - FIRST_HOME
    rest = phrases.counted(more, "more page has", "more pages have") + " something to say" if more > 0 else ""
    return Chapter(key="home", title="What to take home", steps=tuple(steps), rest=rest)
