"""The page of `reasoner progress`: what was expected and what came of it, what changed, which conclusions came, went and stayed.

In: a `Progress` and the rulebook. Out: lines for the terminal.
Not here: comparing, pictures.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from reasoner.records.course import Compared, Seen, examiner
from reasoner.records.expectations import Outcome
from reasoner.records.progress import Progress, Site, Turn, quiet, sides_of
from reasoner.records.since_then import SinceThen
from reasoner.records.tried import BETTER, NO_CHANGE, RELAPSED
from reasoner.rendering import phrases
from reasoner.rendering.again import told_words
from reasoner.rendering.progress_words import CAME, CHANGES, compared_words, days_of, outcome_words, place_words
from reasoner.rendering.rested_lines import rested_lines
from reasoner.rendering.since_then_text import since_then_lines
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.rulebook import Rulebook

ALONE = "One visit is kept; there is nothing yet to lay beside it."
#: Of how many plans and visits the short page tells one by one.
MOST_PLANS, MOST_VISITS = 2, 6
#: What came of the remedy of a cause. Worse again is a question, and nobody's fault.
CAME_OF = {
    NO_CHANGE: "nothing changed after its remedy: it loses ground",
    BETTER: "better after its remedy",
    RELAPSED: "better after its remedy, and worse again. Is what helped still carried out? Has the fit changed again? Does "
    "something else feed it? Look again",
}
#: How a conclusion stands beside the visit before.
STATES: Mapping[str, str] = {
    "came": "came", "went": "went", "not_looked_at": "not looked at again", "stayed": "stayed",
}  # fmt: skip
#: A pair of readings of which at least one is missing; where all are, nothing can be said to be the same.
UNSEEN = ("not_examined", "not_measured")
NONE_AT_BOTH = "No place told here was examined at both visits, so nothing can be said of what changed"
NOT_TOLD = "nobody has told whether it was done, so nothing is learnt from it"
NOT_DONE = "not carried out, so it is not counted as failed"


def progress_lines(
    progress: Progress, book: Rulebook, *, full: bool = True, since: Sequence[SinceThen] = (), at_the_desk: bool = False
) -> Iterator[Line]:
    """The page, line by line; short of `full` older plans and visits are counted. `since`: what was told after the answers to
    the last two visits were given. `at_the_desk`: it names no commands."""
    visits, horse = progress.comparing.visits, progress.horse
    first, last = phrases.day(visits[0].day), phrases.day(visits[-1].day)
    span = f"{first} to {last}" if first != last else first
    yield Line(
        f"{horse.name}{f', {horse.yard}' if horse.yard else ''}: {phrases.counted(len(visits), 'visit')}, {span}",
        "title",
    )
    yield Line(f"{phrases.SCALE_IS} {phrases.LEFT_IS}", "faint")
    if len(visits) == 1:
        yield Line(ALONE)
    else:
        yield from _expected(progress, book, full)
        yield from _since(progress, book, full)
        yield from _courses(progress, book, full)
        yield from _turns(progress.turns)
        yield from _causes(progress, book)
        for one in since:
            yield from since_then_lines(one, title=f"told since the answer to the visit of {phrases.day(one.day)}")
    yield from _rests_on(progress, full, at_the_desk)


def _expected(progress: Progress, book: Rulebook, full: bool) -> Iterator[Line]:
    yield from heading("what was expected, and what came of it")
    if not progress.outcomes:
        yield Line("No plan looked for anything that could be judged by now.")
    steps: dict[tuple[int, str, str], list[Outcome]] = {}
    since = 0 if full else len(progress.held) - 1 - MOST_PLANS
    for outcome in progress.outcomes:
        if outcome.plan < since:
            continue
        steps.setdefault((outcome.plan, outcome.step.key, outcome.step.side), []).append(outcome)
    for (plan, _, _), some in steps.items():
        step = some[0].step
        day = days_of(progress.comparing.visits)[plan]
        yield Line(f"{step.words.rstrip('.')} (plan of {day})", "strong", mark="-", hang=2)
        done = told_words(step.told)
        yield Line(_done_words(done, some[0].carried_out, progress), indent=2)
        for outcome in some:
            yield Line(outcome_words(outcome, book.vocabulary), indent=2, mark=">", hang=2)
    older = Counter(outcome.came for outcome in progress.outcomes if outcome.plan < since)
    if older:
        counts = ", ".join(f"{older[came]} {CAME[came].partition(':')[0]}" for came in CAME if older[came])
        yield Line(f"Of older plans {phrases.counted(older.total(), 'thing')} looked for: {counts} (--full).", "faint")


def _done_words(done: str, answer: str, progress: Progress) -> str:
    """What was told of a step, and what that means for learning from it."""
    table = progress.comparing.table
    if not done or answer in table.carried_out:
        return done or NOT_TOLD
    return f"{done}: {table.in_part.says if answer in table.in_part.answers else NOT_DONE}"


def _since(progress: Progress, book: Rulebook, full: bool) -> Iterator[Line]:
    yield from heading(f"since the visit of {days_of(progress.comparing.visits)[-2]}")
    pairs = [site.since_last for site in progress.sites]
    shown = False
    for change in ("worse", "refused", "better", "freed"):
        some = [pair for pair in pairs if pair.change == change]
        shown = shown or bool(some)
        if some:
            yield Line(f"{CHANGES[change]}:", "strong")
        for pair in some:
            yield Line(compared_words(pair, book.vocabulary), mark="-", indent=2, hang=2)
    if not shown:
        both = any(pair.change not in UNSEEN for pair in pairs)
        yield Line("Nothing differs by more than the hand's own error." if both else f"{NONE_AT_BOTH}.")
    yield from _alike(
        [s.since_last for s in progress.sites if s.since_last.change == "within_the_hand" and not s.quiet], book, full
    )
    yield from _gaps(progress, book)


def _alike(pairs: Sequence[Compared], book: Rulebook, full: bool) -> Iterator[Line]:
    if pairs:
        yield Line(f"{CHANGES['within_the_hand']}:", "strong")
        loud = [pair for pair in pairs if full or not quiet((pair.earlier, pair.later), book)]
        if loud:
            yield Line("; ".join(compared_words(pair, book.vocabulary) for pair in loud), indent=2)
        if len(pairs) > len(loud):
            rest = phrases.counted(len(pairs) - len(loud), "place")
            yield Line(f"{'and ' if loud else ''}{rest} quiet both times (each side counts; --full)", "faint", 2)


def _gaps(progress: Progress, book: Rulebook) -> Iterator[Line]:
    """What was found before and not examined now; other gaps are no news."""
    last = len(progress.comparing.visits) - 1
    lost = [
        site for site in progress.sites
        if not site.course.examined(last) and any(site.course.examined(at) for at in range(last))
    ]  # fmt: skip
    found = [place_words(site.course.place, site.course.side, book.vocabulary) for site in lost if not site.quiet]
    if found:
        yield Line("not examined now, though it answered before:", "strong")
        yield Line("; ".join(found), "open", indent=2)
    if len(lost) > len(found):
        yield Line(
            f"and {phrases.counted(len(lost) - len(found), 'place')} quiet before and not examined now", "faint", 2
        )


def _courses(progress: Progress, book: Rulebook, full: bool) -> Iterator[Line]:
    """Every place that ever answered: its readings in the order of the visits, and the whole way."""
    yield from heading("the course, before work")
    since = 0 if full else max(0, len(progress.held) - MOST_VISITS)
    days = days_of(progress.comparing.visits)
    before = f"{phrases.counted(since, 'earlier visit')} (--full), then " if since else ""
    yield Line(
        f"visits: {before}{', '.join(days[since:])}; - not examined, ! would not allow touch, w no number; where nothing "
        "stands behind a row, it is no more than the hand's own error since the first",
        "faint",
    )
    never = lately = 0
    for place, sides in sides_of(progress).items():
        shown = [site for site in sides.values() if not site.quiet]
        never += 0 if shown else len(sides)
        if shown and since and all(quiet(site.course.seen[since:], book) for site in shown):
            lately += len(sides)
            continue
        if shown:
            yield Line(place_words(place, "", book.vocabulary), "strong", mark="-", hang=2)
        for site in sides.values() if shown else ():
            yield from _course(site, days, since)
    if lately:
        yield Line(
            f"{phrases.counted(lately, 'place')} quiet at all of these visits (each side counts; --full)", "faint"
        )
    if never:
        yield Line(f"{phrases.counted(never, 'place')} never answered to speak of (each side counts)", "faint")


def _course(site: Site, days: Sequence[str], since: int) -> Iterator[Line]:
    side = f"{site.course.side or 'middle'}: "
    change = site.since_first.change if site.since_first is not None else "within_the_hand"
    way = f"{CHANGES[change]} since the first" if change != "within_the_hand" else ""
    yield Line(side + " ".join(map(short, site.course.seen[since:])), indent=2, tail=way)
    after = [
        f"{score:g} on {days[at]}"
        for at, score in enumerate(site.course.after_work)
        if at >= since and score is not None
    ]
    if after:
        yield Line(f"after work that day, not laid beside the others: {', '.join(after)}", "faint", 4)


def short(seen: Seen | None) -> str:
    """A reading in a row of readings."""
    if seen is None or seen.mark == "not_examined":
        return "-"
    return "!" if seen.mark == "refused" else "w" if seen.score is None else f"{seen.score:g}"


def _turns(turns: Iterable[Turn]) -> Iterator[Line]:
    every = list(turns)
    yield from heading("conclusions that came, went and stayed")
    if not every:
        yield Line("None was drawn at either of the last two visits.")
    for state in STATES:
        some = [turn for turn in every if turn.state == state]
        if some:
            yield Line(f"{STATES[state]}:", "strong")
        for turn in some:
            yield Line(turn.words, mark="-", indent=2, hang=2, tail=turn_words(turn))


def turn_words(turn: Turn) -> str:
    """How firm a conclusion was and is: "fair, then slight"."""
    if turn.state == "stayed":
        return turn.now if turn.now == turn.before else f"{turn.before}, then {turn.now}"
    return turn.now or turn.before


def _causes(progress: Progress, book: Rulebook) -> Iterator[Line]:
    yield from heading("what that says of the causes")
    for one in progress.tried:
        says = (
            book.conclusions[one.cause].says.replace("{side}", one.side) if one.cause in book.conclusions else one.cause
        )
        yield Line(f"{says.rstrip('.')}: {CAME_OF[one.key]}.", "strong", mark="-", hang=2)
        yield Line(phrases.days_in_words(one.written), indent=2)
    for one in progress.in_part:
        says = (
            book.conclusions[one.cause].says.replace("{side}", one.side) if one.cause in book.conclusions else one.cause
        )
        yield Line(f"{says.rstrip('.')}: {progress.comparing.table.in_part.says}.", mark="-", hang=2)
        yield Line(phrases.days_in_words(one.written), indent=2)
    if not progress.tried:
        yield Line(
            "No remedy of a cause was told as done with its places examined again; nothing is learnt about a cause."
        )
    counted = progress.without_change
    if counted is not None:
        yield Line(
            f"Visits in a row without anything better, after which something agreed was done: "
            f"{phrases.days_in_words(counted.written)}."
        )
    back = progress.worse_again
    if back is not None and back.value:
        yield Line(
            f"Times the same place was better after a remedy and worse again: {phrases.days_in_words(back.written)}."
        )
    for step in progress.done_before:
        words = book.actions[step.step].says if step.step in book.actions else step.step.replace("_", " ")
        said = words.replace("{side}", step.side).replace("{other}", "other").rstrip(".")
        yield Line(f"{said}: {phrases.days_in_words(step.told)}.", mark="-", hang=2)


def _rests_on(progress: Progress, full: bool, at_the_desk: bool) -> Iterator[Line]:
    yield from heading("what it rests on")
    shown = progress.held if full else progress.held[-MOST_VISITS:]
    if len(shown) < len(progress.held):
        yield Line(f"{phrases.counted(len(progress.held) - len(shown), 'earlier visit')} (--full), and", "faint")
    for held, day in zip(shown, days_of(progress.comparing.visits)[-len(shown) :], strict=True):
        hands = examiner(held.visit)
        by = f", examined by {hands}" if hands else ", by nobody named"
        examined = sum(touch.not_examined is None for touch in held.visit.touches)
        yield Line(
            f"{day}{by}: {phrases.counted(examined, 'reading')} by hand; judged then by rulebase "
            f"{held.known.rulebook[:12]}", mark="-", hang=2,
        )  # fmt: skip
    yield from map(Line, hand_lines(progress, at_the_desk=at_the_desk))
    if progress.outcomes:
        within = phrases.counted(progress.comparing.table.looked_at.within_days, "day")
        yield Line(f"What was expected is told by a visit up to {within} after the day set, and by none later.")
    yield Line("Conclusions stand as they were drawn at each visit. Places that changed with the work, the weather or the day "
               "are no proof that a step did it.", "faint")  # fmt: skip


def hand_lines(progress: Progress, *, at_the_desk: bool = False) -> Iterator[str]:
    """How far the hand wavers, and what makes the last two visits unlike each other. `at_the_desk`: it names no commands."""
    last = len(progress.comparing.visits) - 1
    if last:
        error, beyond = progress.comparing.error(last - 1, last), progress.comparing.table.better_or_worse.beyond
        if error is None:
            yield "Nothing says how far the hand wavers (reading_error in scales/), so no difference is called a change."
        else:
            bases = {hand.basis for hand in progress.comparing.hands[-2:] if hand is not None}
            yield (
                f"Two gradings of an unchanged horse by these hands differ by {error:.1f} points (one standard deviation, "
                f"{phrases.listed(sorted(bases))}); a change is told beyond {beyond:g} times that, {beyond * error:.1f} points."
            )
    for said in progress.unlike:
        yield f"Not alike: {said}. Differences stand as written, and nothing is said of a cause from them."
    if progress.two_hands:
        one, other = progress.two_hands
        yield f"Two different examiners, {one} and then {other}: part of any difference may be theirs."
    for day in progress.kept_late:
        yield f"The visit of {phrases.iso_day(day)} was kept after a later one, which was judged without it."
    yield from rested_lines(progress.rested, progress.horse.name, at_the_desk=at_the_desk)
