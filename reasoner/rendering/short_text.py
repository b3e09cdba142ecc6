"""The short forms of what the pages of the terminal share: about one screen, and everything folded away is counted.

In: an answer. Out: lines.
Not here: the full forms (shared_text.py), the order of a page, choosing or judging.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from reasoner import __version__
from reasoner.explanation.model import Concluded, Finding, Item, Unchecked
from reasoner.plan.concerns import RaisedConcern
from reasoner.rendering import both_sides, first_seconds, phrases, shared_text, waiting_lines, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import counted, listed, sentence
from reasoner.rendering.text_page import GAP, Line, Role, heading

#: How many of the things not checked are named; the rest are counted.
MOST_NOT_CHECKED = 6
#: How many rules are named for a conclusion, and how many against it; the rest are counted.
MOST_RULES = 4
#: How many while-you-wait lines of a routine call are shown; the rest are counted.
MOST_WAITING = 6
#: How many conclusions of the account are laid out, starting points and strongest consequences first.
MOST_CONCLUSIONS = 4
#: Where the text of "for" and "against" begins.
_BESIDE = 8


# -- reasons to call ---------------------------------------------------------------------------------------------------


def referral(answer: Answered) -> Iterator[Line]:
    """Every reason to call with what was seen; one line of stops; while-you-wait lines of the most pressing call."""
    raised = answer.referral.concerns
    yield from heading("first: reasons to call the veterinarian")
    if not raised:
        yield Line(f"{phrases.NO_CONCERN} {phrases.NO_CONCERN_MEANS}")
    fresh = shared_text.telling_something(raised)
    for number, (call, concerns) in enumerate(shared_text.by_call(fresh)):
        yield Line(phrases.called(call, concerns[0].when) if not number else phrases.as_well(call), "alarm")
        yield from _concerns(concerns, answer)
    if len(fresh) < len(raised):
        more = counted(len(raised) - len(fresh), "milder reason")
        yield Line(f"(and {more} on nothing but findings told above: --full)", "faint", 2)
    if raised:
        yield from _until_then(answer)
    for release in answer.referral.releases:
        yield Line(shared_text.release_words(release), mark="veterinarian's word:")


def _concerns(concerns: Sequence[RaisedConcern], answer: Answered) -> Iterator[Line]:
    words = answer.ready.book.vocabulary
    for pair in both_sides.paired(
        concerns, lambda a, b: a.key == b.key and bool(a.side) and both_sides.same_of_both(a.words, b.words)
    ):
        said = both_sides.of_both(pair[0].words) if len(pair) > 1 else pair[0].words
        found = [f for concern in pair for f in concern.findings]
        yield Line(said, "strong", 2, "-")
        if found:
            yield Line(f"({wording.findings(found, words)})", indent=4, tail=_lines(found, answer.visit.file))


def _until_then(answer: Answered) -> Iterator[Line]:
    book, raised = answer.ready.book, answer.referral.concerns
    call, top = shared_text.by_call(raised)[0]
    stops = dict.fromkeys(w for c in raised for w in shared_text.stop_words(c, c.standing_stops, book))
    opened = dict.fromkeys(w for c in raised for w in shared_text.stop_words(c, c.released, book))
    said = listed(stops) or "nothing by itself"
    again = f" (a veterinarian's word opened {listed(opened)} again)" if opened else ""
    yield Line(f"{said}{again}", "strong", 2, "stopped until then:")
    same = list({c.while_you_wait: c for c in top}.values())
    tell = [t for c in top for t in c.tell_the_vet]
    waiting = waiting_lines.merged([c.while_you_wait for c in same], tell, book.scales.waiting_subjects)
    if waiting.lines:
        yield Line("while you wait", "strong", 2)
    most = MOST_WAITING if call == "routine" else len(waiting.lines)  # where it is pressing every line is for now
    for line in waiting.lines[:most]:
        yield Line(line, indent=4, mark="-")
    if waiting.telling:
        yield Line(sentence("tell the veterinarian: " + "; ".join(waiting.telling)), indent=2, hang=2)
    less = sum(len(set(c.while_you_wait)) for c in {c.key: c for c in raised if c not in top}.values())
    folded = [f"{counted(waiting.left_out, 'sentence')} that say the same"] if waiting.left_out else []
    beyond = len(waiting.lines[most:])
    folded += [f"{counted(beyond, 'more line')} of the same call"] if beyond else []
    folded += [f"{counted(less, 'line')} of the less pressing calls"] if less else []
    if folded:
        yield Line(f"({listed(folded)}: --full)", "faint", 2)


# -- for and against ---------------------------------------------------------------------------------------------------


def for_and_against(shown: Iterable[Concluded], answer: Answered) -> Iterator[Line]:
    """Each conclusion of the account with what speaks for and against it and the lines of the visit."""
    for number, pair in enumerate(both_sides.paired(shown, _same_conclusion)):
        if number:
            yield GAP
        yield Line(both_sides.of_both(pair[0].words) if len(pair) > 1 else pair[0].words, "strong")
        more = 0
        for mark in ("for", "against"):
            items = [i for c in pair for i in (c.supporting if mark == "for" else c.opposing)]
            rules = {item.rule: [i for i in items if i.rule == item.rule and i.share] for item in items}
            speaking = [same for same in rules.values() if same]
            for same in speaking[:MOST_RULES]:
                yield _item(same, mark, answer)
            more += len(rules) - len(speaking[:MOST_RULES])
        if more:
            yield Line(f"({counted(more, 'weaker rule')} at work here: --full)", "faint", 2)


def _same_conclusion(one: Concluded, other: Concluded) -> bool:
    return (
        one.key == other.key
        and {one.side, other.side} == {"left", "right"}
        and both_sides.same_of_both(one.words, other.words)
        and {i.rule for i in one.supporting} == {i.rule for i in other.supporting}
        and {i.rule for i in one.opposing} == {i.rule for i in other.opposing}
    )


def _item(same: Sequence[Item], mark: str, answer: Answered) -> Line:
    found = [f for item in same for f in item.findings]
    seen = f" ({wording.findings(found, answer.ready.book.vocabulary)})" if found else ""
    role: Role = "for" if mark == "for" else "against"
    return Line(f"{same[0].name}{seen}", role, 2, mark, _lines(found, answer.visit.file), _BESIDE)


def _lines(found: Iterable[Finding], file: str) -> str:
    """The lines of the visit, whose file stands at the head of the page; what an earlier visit says has its day in its words."""
    lines = list(dict.fromkeys(f.line for f in found if f.line and f.file == file))
    return f"line{'s' if len(lines) > 1 else ''} {', '.join(map(str, lines))}" if lines else ""


# -- not checked -------------------------------------------------------------------------------------------------------


def by_weight(answer: Answered) -> list[Unchecked]:
    """What was not checked: first what could move the account, then what could bring something up; walking order last."""
    explanation = answer.explanation
    inside = set(wording.in_account(explanation.account.starting_points))
    weight: dict[tuple[str, str], float] = {}
    for key, concluded in explanation.concluded.items():
        could = concluded.upper - concluded.lower
        if key not in inside and concluded.upper_band in ("none", "against"):
            could = 0.0
        for one in concluded.not_checked:
            at = (one.where, one.side)
            weight[at] = weight.get(at, 0.0) + could * (100 if key in inside else 1)
    return sorted(explanation.not_checked, key=lambda one: -weight.get((one.where, one.side), 0.0))


def not_checked(answer: Answered, title: str) -> Iterator[Line]:
    """The few that matter most by name, the others counted by heading or region."""
    words, felt = answer.ready.book.vocabulary, wording.touched(answer.visit)
    yield from heading(title)
    every = first_seconds.later(answer, by_weight(answer))
    unseen = first_seconds.unseen_line(answer)
    if unseen:
        yield Line(f"{sentence(unseen)}", "open")
    if not every and not unseen:
        yield Line("Nothing that these conclusions listen to was left out.")
    if not every:
        return
    names = list(dict.fromkeys(one.where for one in every))
    first = set(names[:MOST_NOT_CHECKED])
    told = wording.unchecked([one for one in every if one.where in first], words, felt)
    yield Line(f"{'What matters most: ' if len(names) > MOST_NOT_CHECKED else ''}{told}.", "open")
    rest = [one for one in every if one.where not in first]
    if rest:
        by_group = Counter(wording.group_of(where, words) for where in names[MOST_NOT_CHECKED:])
        said = ", ".join(f"{group} {count}" for group, count in by_group.items())
        yield Line(f"And {len(names) - MOST_NOT_CHECKED} more: {said}.", "faint")
    passed_over = wording.passed_over(answer.visit, words, lambda place: True)
    if passed_over:
        yield Line(f"{phrases.NOT_POSSIBLE}: {'; '.join(passed_over)}.")
    if answer.explanation.circumstances:
        said = wording.findings(answer.explanation.circumstances, words)
        yield Line(f"Some readings count for less today, because of {said}.")


# -- what it rests on, cautions ----------------------------------------------------------------------------------------


def rests_on(answer: Answered, shown: Sequence[Concluded]) -> Iterator[Line]:
    """Findings, rules and their basis in one short block."""
    book, visit = answer.ready.book, answer.visit
    yield from heading("what this rests on")
    rules = {i.rule: i.basis for c in shown for i in (*c.supporting, *c.opposing) if i.share}
    for concern in answer.referral.concerns:
        rules |= {f"{concern.key}/{sign}": basis for sign, _, basis in concern.signs}
    kinds: Counter[str] = Counter()
    for basis in rules.values():
        kinds.update({"published work" if one in book.sources else phrases.plain(one) for one in basis})
    found = (
        f"{counted(len(wording.touched(visit)), 'place')} felt by hand (each side counts) and "
        f"{counted(len(visit.noted), 'other entry', 'other entries')} of {visit.file}"
    )
    at_work = counted(len(rules), "rule")
    on = listed(f"{kind} ({count})" for kind, count in sorted(kinds.items()))
    yield Line(sentence(f"{found}; {at_work} at work here" + (f", resting on {on}" if on else "")))
    yield Line(f"Rulebook {book.stamp}, engine {__version__}. {phrases.NOT_A_PROBABILITY}", "faint")


def cautions(answer: Answered, sentences: Iterable[str]) -> Iterator[Line]:
    """What this is not, and the cautions that belong to today's steps; those that always hold are counted."""
    always = list(dict.fromkeys(shared_text.always(answer.ready.book)))
    own = [line for line in dict.fromkeys(sentences) if line not in always]
    yield from heading("cautions")
    for line in (*always[:1], *own):
        yield Line(sentence(line), "faint", mark="-" if own else "")
    if always[1:]:
        yield Line(f"(and {counted(len(always) - 1, 'caution')} that always hold: --full)", "faint")
