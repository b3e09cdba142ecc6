"""The middle of a lesson: where the account begins and where it goes, and what else would look like it.

In: a `Lesson` and its answer. Out: chapters.
Not here: what was found (lesson_found), doubts and looks (lesson_doubts).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.explanation.model import Finding, Key
from reasoner.questions.which_of import WhichOf
from reasoner.rendering import both_sides, phrases, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.lesson_opens import anatomy_of, wheres
from reasoner.rendering.lesson_said import firm, plainly, points_of, quoted, rules_of, said_of
from reasoner.rendering.lesson_shapes import Chapter, Point, Step, Words
from reasoner.teaching.lesson import Lesson
from reasoner.teaching.rivals import Rival
from reasoner.teaching.threads import Strand, weighed

ONE_START = "Now put it together. The account begins with one thing, and the rest follows from it."
ONE_ALONE = "Now put it together. The account is one thing."
SEVERAL = "Now put it together. No one thing explains it, so the account begins with {count} things. Keep them apart."
FEWEST = "They are the fewest and firmest that explain what was found; nobody chose them by liking."
FROM_THERE = "From there: "
SAME_TIME = "Others would explain it just as well: "
COULD_BE = "It could be one of these. Nothing tells yet, and a good examiner says so."
LOOK_ALIKE = "Never believe the first story because it fits. Name another that would fit as well, before you read on."
MOST = 2  # rivals told outright
NO_RIVAL = "No other cause that the rules know would account for the same findings."
OTHER_WAY = "The same the other way round."
WHY = {
    "as good": "It would explain what was found just as well.",
    "stands": "It stands beside the account.",
    "would lead": "It would lead if something had been written otherwise; see below.",
    "open": "It is open. What nobody looked at could bring it up.",
    "ruled out": "It would fit some of this. Something else speaks against it.",
}


def thread_chapter(lesson: Lesson, answer: Answered, words: Words) -> Chapter:
    """Where the account begins, and where it goes from there."""
    title = "Where does it begin?"
    if not lesson.strands:
        return _no_start(lesson, answer, words, title)
    groups = _gathered(lesson.strands)
    starts = sum(some[0].start for some in groups)
    opening = [ONE_START if len(groups) > 1 else ONE_ALONE] if starts == 1 else [SEVERAL.format(count=starts), FEWEST]
    if lesson.ties:
        opening.append(SAME_TIME + "; or ".join(quoted(choice, answer) for choice in lesson.ties) + ".")
    before: list[tuple[Key, ...]] = [(), *(tuple(strand.weighed.key for strand in some) for some in groups)]
    steps = tuple(_strand(some, last, answer, words) for some, last in zip(groups, before, strict=False))
    folded = sum(step.folded for step in steps)
    rest = f"{phrases.counted(folded, 'more conclusion')} further down the account" if folded else ""
    return Chapter(key="thread", title=title, opening=tuple(opening), steps=steps, rest=rest)


def _no_start(lesson: Lesson, answer: Answered, words: Words, title: str) -> Chapter:
    account = answer.explanation.account
    says = phrases.TOO_LITTLE_SO_FAR if account.too_little else phrases.sentence(wording.no_starting_point(answer))
    if says.startswith(phrases.NOTHING_FOUND) and lesson.noticed:
        says = phrases.NO_STARTING_POINT  # something was, if nothing that a starting point rests on
    steps = []
    for one in lesson.possible:
        key = (one.key, one.side)
        up = phrases.pointers(one.upper_band)
        number = f", {phrases.certainty(one.upper)}" if words == "technical" else ""
        steps.append(Step(
            key=_key("possible", key), says=one.words, about=(key,),
            more=tuple(filter(None, [
                plainly([key], answer) if words == "plain" else "", f"What nobody looked at could bring it up to {up}{number}.",
            ])),
            points=tuple(points_of([weighed(one)], answer, words)),
            rules=rules_of([weighed(one)], answer, words),
            anatomy=anatomy_of((f.where for f in one.accounts_for), answer, words),
        ))  # fmt: skip
    opening = (says, COULD_BE) if steps else (says,)
    return Chapter(key="thread", title=title, opening=opening, steps=tuple(steps))


def _gathered(strands: Sequence[Strand]) -> list[list[Strand]]:
    """Strands in their order; left and right of one page together where the same rules speak for both."""
    found: list[list[Strand]] = []
    for strand in strands:
        same = next((some for some in found if len(some) == 1 and _alike(some[0], strand)), None)
        if same is None:
            found.append([strand])
        else:
            same.append(strand)
    return found


def _alike(one: Strand, other: Strand) -> bool:
    def shape(strand: Strand) -> tuple[object, ...]:
        w = strand.weighed
        sides = [[item.rule for item in some] for some in (w.rules_in, w.rules_out)]
        return w.key[0], strand.start, strand.leading, strand.circle, sides

    return shape(one) == shape(other)


def _strand(some: Sequence[Strand], last: Sequence[Key], answer: Answered, words: Words) -> Step:
    first = some[0]
    keys = tuple(strand.weighed.key for strand in some)
    above = list(dict.fromkeys(key for strand in some for key in strand.under))
    before = "" if first.start else FROM_THERE if set(above) & set(last) else f"From {quoted(above, answer)}: "
    more = [firm(first.weighed.key, answer, words)]
    if words == "plain":
        more = [plainly(keys, answer), *more]
    elif above:
        more.append(f"It follows from {quoted(above, answer)}.")
    if first.circle:
        more.append(f"It stands in a circle with {quoted(first.circle, answer)}: each leads to the other.")
    items = [item for strand in some for item in strand.weighed.rules_in]
    scales = [strand.weighed for strand in some]
    return Step(
        key=_key("start" if first.start else "follows", *keys), says=f"{before}{said_of(keys, answer)}",
        about=(*keys, *above, *first.circle), more=tuple(filter(None, more)),
        points=tuple(points_of(scales, answer, words)), rules=rules_of(scales, answer, words),
        anatomy=anatomy_of(wheres(items), answer, words), folded=not first.leading,
    )  # fmt: skip


# -- what else -------------------------------------------------------------------------------------------------------------


def rivals_chapter(lesson: Lesson, answer: Answered, words: Words) -> Chapter | None:
    """What else would look like it; none where nothing leads."""
    if not answer.explanation.leading or lesson.stop:
        return None
    steps = tuple(_rival(some, answer, words, folded=n >= MOST) for n, some in enumerate(_both(lesson.rivals)))
    opening = (LOOK_ALIKE,) if steps else (LOOK_ALIKE, NO_RIVAL)
    rest = phrases.counted(len(steps) - MOST, "more rival") if len(steps) > MOST else ""
    return Chapter(key="rivals", title="What else would look like this?", opening=opening, steps=steps, rest=rest)


def _both(rivals: Sequence[Rival]) -> list[list[Rival]]:
    """Left and right of one page together where the same rules speak."""
    found: list[list[Rival]] = []
    for rival in rivals:
        same = next((s for s in found if len(s) == 1 and _rules(s[0]) == _rules(rival)), None)
        if same is None:
            found.append([rival])
        else:
            same.append(rival)
    return found


def _rules(rival: Rival) -> tuple[object, ...]:
    w = rival.weighed
    return w.key[0], rival.why, [i.rule for i in w.rules_in], [i.rule for i in w.rules_out]


def _rival(some: Sequence[Rival], answer: Answered, words: Words, *, folded: bool) -> Step:
    keys = tuple(rival.weighed.key for rival in some)
    leading = tuple(dict.fromkeys((w.one.key, w.one.side) for rival in some for w in rival.beside))
    more = [WHY[some[0].why]]
    if words == "technical":
        more.append(firm(keys[0], answer, words))
    scales = [rival.weighed for rival in some]
    items = [item for one in scales for item in (*one.rules_in, *one.rules_out)]
    return Step(
        key=_key("rival", *keys), says=said_of(keys, answer), about=(*keys, *leading), more=tuple(filter(None, more)),
        points=(*_beside(some, leading, answer), *points_of(scales, answer, words)),
        rules=rules_of(scales, answer, words), anatomy=anatomy_of(wheres(items), answer, words), folded=folded,
    )  # fmt: skip


def _beside(some: Sequence[Rival], leading: Sequence[Key], answer: Answered) -> Iterator[Point]:
    """What both explain, what only one does, and the look that would part them best."""
    words = answer.ready.book.vocabulary
    beside = [w for rival in some for w in rival.beside]
    for mark, findings in (
        ("both explain", [f for w in beside for f in w.both]),
        ("only the account explains", [f for w in beside for f in w.only_one]),
        ("only this would explain", [f for w in beside for f in w.only_two]),
    ):
        if findings:
            yield Point(mark=mark, text=wording.findings(_once(findings), words), folded=mark != "both explain")
    partings: dict[str, WhichOf] = {}
    for which in beside:
        if which.partings:
            partings.setdefault(which.partings[0].check.key, which)
    for which in partings.values():
        yield Point(mark="what parts them", text=_parting(which, leading, len(some) > 1, answer))


def _once(findings: Sequence[Finding]) -> list[Finding]:
    return list(dict.fromkeys(findings))


def _parting(which: WhichOf, leading: Sequence[Key], both: bool, answer: Answered) -> str:
    """What parts them, and what tips it towards which. `both`: two sides are told as one, and a reading that differs by side
    tips it towards one of them."""
    parting = which.partings[0]
    check = parting.check
    told = [one.words for one in (parting.towards_one, parting.towards_two) if one is not None]
    sided = both and any(both_sides.turned(words) != words for words in told)
    lead = [(which.one.key, which.one.side)] if sided else leading
    name = wording.full_name(check.key, check.name, answer.ready.book.vocabulary)
    asks = check.question or phrases.first_sentence(check.how)
    said = [phrases.sentence(f"{name}: {asks}" if asks else name)]
    if parting.towards_two is not None:
        said.append(f'"{parting.towards_two.words}" would tip it towards this one.')
    if parting.towards_one is not None:
        said.append(f'"{parting.towards_one.words}" would tip it towards {quoted(lead, answer)}.')
    if sided:
        said.append(OTHER_WAY)
    if check.safety:
        said.append(phrases.sentence(f"Take care: {check.safety}"))
    return " ".join(said)


def _key(kind: str, *keys: Key) -> str:
    sides = [side for _, side in keys if side]
    return "/".join([kind, keys[0][0], *(["both"] if len(sides) > 1 else sides)])
