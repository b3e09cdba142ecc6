"""The page of `reasoner track`: how often what was promised came true, certainty beside outcome, opinions, proposals.

In: a `Track`, proposals, the rules' words. Out: lines for the terminal.
Not here: counting. A share is told with its interval, and only where there are cases enough.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.records.outcomes import NOT_EXAMINED
from reasoner.records.rates import Rate
from reasoner.records.reweigh import Proposal, Proposals
from reasoner.records.track import ACTION, CAUSE, RULE, Case, CertaintyStep, Judged, Tally, Track
from reasoner.rendering import phrases
from reasoner.rendering.phrases import counted, listed
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.practice import TrackSettings
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.place import Place

HEADINGS = {
    CAUSE: "what a step answers: how often its promises came true",
    ACTION: "steps: how often their promises came true",
    RULE: "rules: how often the promises came true where each spoke",
}
FOLDED = 8
"""How many of each view the short page tells."""
NOT_THE_TRUTH = (
    "That a place is quieter by the day set says that something helped, or that time passed; it does not show that the cause was "
    "the right one."
)
CERTAINTY_IS = (
    "A certainty adds up pointers and is not a probability: 0.6 does not mean six in ten. What can be asked of it is that more "
    "of it goes with more promises come true."
)
NEVER_BY_ITSELF = (
    "A proposal, never done by itself. Paste the lines into the changes.yaml of your own layer if you agree."
)


def track_lines(
    place: Place, track: Track, proposals: Proposals, views: Sequence[str], book: Rulebook, settings: TrackSettings, *,
    examiner: str = "", since: str = "", full: bool = False,
) -> Iterator[Line]:  # fmt: skip
    """The page; `views` are those asked for, `examiner` and `since` (a day in words) what it was narrowed to."""
    yield Line("Track record", "title", tail=place.shown)
    narrowed = [f"examined by {examiner}" if examiner else "", f"since {since}" if since else ""]
    of = ", ".join(filter(None, (f"{counted(track.visits, 'visit')} to {counted(track.horses, 'horse')}", *narrowed)))
    yield Line(f"{of}.")
    yield Line(steps_counted(track, settings))
    if not track.carried_out:
        yield Line("Nothing to count yet: a step counts once the owner has said that it was carried out (`reasoner records told`;"
                   ' at the desk below the visit, "What was really done") and the place was felt again.')  # fmt: skip
    for view in views:
        yield from _view(view, track.views[view], book, settings, full)
    if track.carried_out:
        yield from _certainty(track.certainty, settings)
    yield from _judged(track.judged, book)
    if RULE in views:
        yield from _proposals(proposals, book, settings)
    yield from heading("what this rests on")
    for line in rests_on(settings, track.within_days):
        yield Line(line, "faint", mark="-")


def steps_counted(track: Track, settings: TrackSettings) -> str:
    """How many steps were carried out and how many were not, in a sentence."""
    done = " or ".join(settings.carried_out)
    parts = [f"{counted(track.carried_out, 'step')} told as {done}"]
    parts += [f"{track.in_part} done only in part (counted apart, in no share)"] if track.in_part else []
    parts += [f"{track.not_carried_out} not carried out", f"{track.not_told} of which nobody told"]
    said = f"Steps that promised something: {', '.join(parts)}. Only what was carried out is counted; the rest did not fail."
    more = counted(track.promised_nothing, "step")
    return said + (f" {more} promised nothing that could be felt or seen again." if track.promised_nothing else "")


def rests_on(settings: TrackSettings, within_days: int) -> tuple[str, ...]:
    """What the figures mean and what they do not."""
    lines = (
        f"Intervals: Wilson's (1927), {settings.interval:.0%} sure. They reckon with chance alone, as if every "
        "case were a fresh one; the same horse again is not, so beside them each horse is counted once.",
        f"A rate is told from {settings.enough.cases} cases of {settings.enough.horses} horses on ({settings.basis}).",
        "It came true where the place is down to what was promised and fell by more than a hand wavers between two days; partly "
        "where it is one of the two. What is seen and not felt came true where it reads as was looked for, and partly where it "
        f"is nearer to it. A visit more than {within_days} days after the day set tells nothing, here as in progress.",
        _in_part(settings),
        NOT_THE_TRUTH,
        "Horses that came back are counted; those that did not may have fared otherwise.",
    )
    return tuple(filter(None, lines))


def _in_part(settings: TrackSettings) -> str:
    """Why what was done only in part stands apart; nothing where the settings know no such answer."""
    if not settings.in_part:
        return ""
    told = " or ".join(settings.in_part)
    return (
        f"What was told as {told} is counted apart: what was missing may be why nothing came of it ({settings.basis})."
    )


# -- tallies -----------------------------------------------------------------------------------------------------------


def _view(view: str, tallies: Sequence[Tally], book: Rulebook, settings: TrackSettings, full: bool) -> Iterator[Line]:
    yield from heading(HEADINGS[view])
    if view == CAUSE:
        yield Line(
            "Causes, and whatever else a step answers. One case is one conclusion on one side at one visit.",
            "faint",
        )
    if not tallies:
        yield Line("None yet.")
    able = [one for one in tallies if one.enough]
    few = [one for one in tallies if not one.enough]
    for one in able if full else able[:FOLDED]:
        yield from _tally(one, book, full)
    if not full and len(able) > FOLDED:
        yield Line(f"(and {len(able) - FOLDED} more with cases enough: --full)", "faint")
    if few:
        least = f"{settings.enough.cases} cases of {counted(settings.enough.horses, 'horse')}"
        yield Line(f"Too few to say ({least} are asked for): {counted(len(few), 'entry', 'entries')}.", "open")
    for one in few if full else ():
        yield Line(f"{name_of(one, book)}: {_counts(one)}", mark="-", hang=2)


def _tally(one: Tally, book: Rulebook, full: bool) -> Iterator[Line]:
    yield Line(name_of(one, book), "strong", mark="-", hang=2)
    yield Line(f"came true {share(one.true_rate)}; at least partly {share(one.partly_rate)}", indent=2)
    if one.horses < one.examined:
        yield Line(f"each horse once, by its last: {share(one.by_horse)}", indent=2)
    yield Line(_counts(one), "faint", indent=2)
    for case in one.cases if full else ():
        yield Line(_traced(case), "faint", indent=4, mark="-", hang=2)


def _counts(one: Tally) -> str:
    parts = [f"{one.came_true} came true", f"{one.partly} partly", f"{one.not_so} not"]
    parts += [f"{one.not_examined} not examined again"] if one.not_examined else []
    parts += [f"{one.in_part} done only in part ({one.in_part_true} came true)"] if one.in_part else []
    parts += [f"{one.not_carried_out} not carried out"] if one.not_carried_out else []
    parts += [f"{one.not_told} not told"] if one.not_told else []
    return f"{', '.join(parts)}; {counted(one.horses, 'horse')}"


def _traced(case: Case) -> str:
    visit = case.steps[0].visit
    told = listed(dict.fromkeys(word for word in case.told if word)) or "nobody told"
    came = {"": "not counted", NOT_EXAMINED: "not examined again"}.get(case.outcome, case.outcome)
    if case.in_part:
        came = f"done only in part, counted apart: {'not examined again' if case.in_part == NOT_EXAMINED else case.in_part}"
    late = [days for one in case.steps for promise in one.promises if (days := promise.days_late) > 0]
    looked = f", looked at {counted(max(late), 'day')} after the day set" if late else ""
    return f"{phrases.at_side(visit.name, case.side)}, {phrases.day(case.day)}: told {told}; {came}{looked}"


def name_of(one: Tally, book: Rulebook) -> str:
    """The key of a tally in the words of its page, as far as it still stands in the rules."""
    if one.view == ACTION:
        page = book.actions.get(one.key)
        return f"{phrases.plain(one.key)}" + ("" if page is not None else " (no longer in the rules)")
    key, _, rule = one.key.partition("/")
    known = key in book.conclusions and (not rule or any(one.key == found for found, _, _ in book.rules()))
    said = f"{phrases.plain(rule)} (for: {phrases.plain(key)})" if rule else phrases.plain(key)
    return said + (f" ({one.kind})" if one.kind and not rule else "") + ("" if known else " (no longer in the rules)")


def share(rate: Rate) -> str:
    """A share with its interval.

    >>> share(Rate(count=6, of=10, share=0.6, low=0.3127, high=0.8318))
    '6 of 10 (60%, between 31 and 84%)'
    >>> share(Rate(count=0, of=0, share=None, low=None, high=None))
    'none of 0'
    """
    if rate.share is None or rate.low is None or rate.high is None:
        return "none of 0"
    # Rounded outwards: an interval told is never narrower than the one worked out.
    low, high = int(rate.low * 100 + 1e-9), -int(-(rate.high * 100 - 1e-9) // 1)
    return f"{rate.count} of {rate.of} ({rate.share * 100:.0f}%, between {low} and {high}%)"


# -- certainty, opinions, proposals ------------------------------------------------------------------------------------


def _certainty(steps: Sequence[CertaintyStep], settings: TrackSettings) -> Iterator[Line]:
    yield from heading("certainty beside outcome")
    yield Line(CERTAINTY_IS)
    for one in steps:
        said = share(one.true_rate) if one.enough else f"{one.true_rate.count} of {one.true_rate.of}, too few to say"
        yield Line(f"{range_of(one)}: {said}", mark="-", hang=2)
    yield Line(rising(steps))
    yield Line("--picture FILE.svg draws it.", "faint")


def range_of(one: CertaintyStep) -> str:
    """From which certainty to which.

    >>> range_of(CertaintyStep(low=0.4, high=0.55, horses=0, true_rate=Rate(count=0, of=0, share=None, low=None, high=None),
    ...                        enough=False))
    '0.40 to 0.55'
    """
    return f"{one.low:.2f} to {min(one.high, phrases.MOST_SHOWN):.2f}"


def rising(steps: Sequence[CertaintyStep]) -> str:
    """Whether more certainty went with more promises come true, in a sentence."""
    able = [one.true_rate for one in steps if one.enough]
    shares = [one.share or 0.0 for one in able]
    if len(able) < 2:
        return "Too few cases to say whether more certainty goes with more promises come true."
    apart = (able[-1].low or 0.0) > (able[0].high or 0.0)
    if shares == sorted(shares) and shares[0] < shares[-1]:
        firm = "do not meet" if apart else "meet, so that this says little"
        return f"More certainty went with more promises come true; the intervals of the lowest and the highest {firm}."
    return "More certainty did not go with more promises come true throughout."


def _judged(judged: Sequence[Judged], book: Rulebook) -> Iterator[Line]:
    if not judged:
        return
    yield from heading("judged by practitioners themselves")
    for one in judged:
        people = counted(one.people, "person", "people")
        gone = "" if one.key in book.conclusions else " (no longer in the rules)"
        said = f"{phrases.plain(one.key)}{gone}: agreed {one.agreed}, disagreed {one.disagreed}, by {people}"
        yield Line(said, mark="-", hang=2)


def _proposals(proposals: Proposals, book: Rulebook, settings: TrackSettings) -> Iterator[Line]:
    yield from heading("proposed to be weighed anew")
    least = f"{settings.reweigh.cases} cases of {settings.reweigh.horses} horses"
    yield Line(
        f"{counted(proposals.looked_at, 'rule')} had cases enough ({least}), and {proposals.too_few} too few. Of those looked at "
        f"together, at most about {settings.false_alarms:.0%} of what is proposed may be chance alone ({settings.basis})."
    )
    if not proposals.every:
        yield Line("Nothing is proposed.")
        return
    yield Line(NEVER_BY_ITSELF)
    for one in proposals.every:
        yield GAP
        yield Line(proposal(one), mark="-", hang=2)
        if one.alike:
            yield Line(
                f"It spoke in just the same cases as {listed(one.alike)}; this record cannot tell them apart.", indent=2
            )
        for row in one.paste.splitlines():
            yield Line(row.strip(), indent=4 + len(row) - len(row.lstrip()))


def proposal(one: Proposal) -> str:
    """A proposal in a sentence."""
    seen = (
        f"came true on {one.count} of {one.of} horses where it spoke, and on {one.others} of {one.of_others} elsewhere"
    )
    what = (
        f"from {one.strength} to {one.wanted}" if one.wanted
        else f"it is {one.strength} already, where the scale ends; look whether it should stand so"
    )  # fmt: skip
    return f"{one.rule}: {what}. What was promised {seen} ({counted(one.cases, 'case')})."
