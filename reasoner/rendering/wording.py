"""Findings, things not checked and bases in words, with the names of the rulebook in use.

In: pieces of an explanation or a visit, and the rulebook. Out: short texts.
Not here: layout, fixed sentences (phrases.py), any choice of what matters.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from reasoner.explanation.model import Chain, Explanation, Finding, Unchecked
from reasoner.rendering import phrases
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import at_side, counted, day, listed, plain
from reasoner.rendering.short_sources import short_source
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Place, Vocabulary
from reasoner.visit.model import DateSpan, Visit

SPACES, BETWEEN, MOST_SPACES = "spinous_spaces", "between the spines", 6


def full_name(key: str, name: str, words: Vocabulary) -> str:
    """A name that can stand alone.

    Entries written inside a smaller heading carry that heading ("saddle: front"). A space between the spines is counted
    by hand, and a number counted by hand is an estimate.
    """
    place, observation = words.places.get(key), words.observations.get(key)
    if place is not None:
        return f"about {name}" if SPACES in place.groups else name
    if observation is None or ("/" not in observation.section and observation.section != "horse"):
        return name
    section = words.sections.get(observation.section)
    return f"{section.name}: {name}" if section else name


def finding(found: Finding, words: Vocabulary) -> str:
    """Where and what: "withers, left: 5, flinches"."""
    name = at_side(full_name(found.where, found.name, words), found.side)
    return f"{name}, {found.value}" if ": " in name else f"{name}: {found.value}"


def no_starting_point(answer: Answered) -> str:
    """What to say where the account is empty. That nothing was found is only said where nothing answered."""
    explanation, words = answer.explanation, answer.ready.book.vocabulary
    if explanation.notable:
        return phrases.NO_STARTING_POINT
    if explanation.mild:
        return phrases.ONLY_MILD.format(found=findings(explanation.mild, words))
    if explanation.doubtful_quiet:
        return phrases.QUIET_IN_DOUBT.format(circumstances=findings(explanation.doubtful_quiet, words))
    return phrases.NOTHING_FOUND


def findings(found: Iterable[Finding], words: Vocabulary) -> str:
    """Several findings in one line; two sides of one place stand together, and each value is said once."""
    rows: dict[str, list[Finding]] = {}
    for one in found:
        rows.setdefault(one.where, []).append(one)
    said = []
    for same in rows.values():
        if len(same) == 1:
            said.append(finding(same[0], words))
        else:
            name = full_name(same[0].where, same[0].name, words)
            said.append(f"{name}: {'; '.join(_values(same))}")
    return "; ".join(said)


def _values(same: Iterable[Finding]) -> list[str]:
    """The values of one place or entry, each once: several signs may rest on one entry, each with its own readings of it.

    What also says more ("5, flinches") is not said again in short ("5").
    """
    every = list(dict.fromkeys((f.side, f.value) for f in same))
    return [
        f"{side} {value}".strip()
        for side, value in every
        if not any(side == other and more.startswith(f"{value}, ") for other, more in every)
    ]


def places_in_file(found: Iterable[Finding]) -> str:
    """The file and lines of some findings: "visit.yaml:24, 28"."""
    files: dict[str, list[int]] = {}
    for one in found:
        lines = files.setdefault(one.file, [])
        if one.line not in lines:
            lines.append(one.line)
    return "; ".join(f"{file}:{', '.join(map(str, lines))}" for file, lines in files.items())


Touched = frozenset[tuple[str, str]]
"""Places and sides that were felt today; what is missing there is more than the number."""


def touched(visit: Visit) -> Touched:
    """The places and sides felt at this visit."""
    return frozenset((t.place, t.side or "") for t in visit.touches if t.not_examined is None)


def unchecked(left_out: Iterable[Unchecked], words: Vocabulary, felt: Touched = frozenset()) -> str:
    """What was not checked, by heading or region: "croup: croup (both sides); in hand: trot in hand"."""
    return "; ".join(f"{group}: {names}" for group, names in unchecked_by_region(left_out, words, felt))


def unchecked_by_region(
    left_out: Iterable[Unchecked], words: Vocabulary, felt: Touched = frozenset(), *, most: int = 99
) -> list[tuple[str, str]]:
    """(heading or region, names) of what was not checked, in the order given.

    Runs of spinous spaces are counted; so are the places of a region of which more than `most` were left out.
    """
    groups: dict[str, list[Unchecked]] = {}
    for one in left_out:
        groups.setdefault(group_of(one.where, words), []).append(one)
    return [(group, _names(members, words, felt, most)) for group, members in groups.items()]


def sided_names(left_out: Iterable[Unchecked]) -> list[tuple[str, Unchecked]]:
    """(name with its sides, first entry) of each thing not checked, each name once."""
    return [(_with_sides(same), same[0]) for same in _by_name(left_out)]


def _by_name(left_out: Iterable[Unchecked]) -> list[list[Unchecked]]:
    same: dict[str, list[Unchecked]] = {}
    for one in left_out:
        same.setdefault(one.where, []).append(one)
    return list(same.values())


def _with_sides(same: Sequence[Unchecked]) -> str:
    sides = [u.side for u in same if u.side]
    return same[0].name + (" (both sides)" if len(sides) == 2 else f" ({sides[0]})" if sides else "")


def group_of(key: str, words: Vocabulary) -> str:
    """The heading or region under which a thing not checked is told."""
    place = words.places.get(key)
    if place is not None:
        return BETWEEN if SPACES in place.groups else plain(place.region)
    observation = words.observations.get(key)
    section = words.sections.get(observation.section) if observation else None
    return section.name if section else "other"


def _names(members: Sequence[Unchecked], words: Vocabulary, felt: Touched, most: int) -> str:
    """Names within their group, so without the heading they carry elsewhere."""
    more = [u for u in members if (u.where, u.side) in felt]
    missing = [u for u in members if u not in more]
    places = [u for u in missing if u.where in words.places]
    if places and len(missing) > MOST_SPACES and all(SPACES in words.places[u.where].groups for u in places):
        said = [counted(len(missing), "space")]
    elif len(places) == len(missing) > most:
        said = [counted(len(missing), "place")]
    else:
        said = [_with_sides(same) for same in _by_name(missing)]
    if more:
        said.append("how it answered and what was felt at " + listed(_with_sides(same) for same in _by_name(more)))
    return ", ".join(said)


def passed_over(visit: Visit, words: Vocabulary, wanted: Callable[[Place], bool]) -> list[str]:
    """Places that could not be examined, with the reason: "withers (both sides, covered)"."""
    sides: dict[tuple[str, str], list[str]] = {}
    for touch in visit.touches:
        place = words.places.get(touch.place)
        if touch.not_examined is not None and place is not None and wanted(place):
            sides.setdefault((place.key, plain(touch.not_examined)), []).append(touch.side or "")
    out = []
    for (key, reason), at in sides.items():
        where = "both sides, " if len(at) == 2 else f"{at[0]}, " if at[0] else ""
        out.append(f"{full_name(key, words.places[key].name, words)} ({where}{reason})")
    return out


def basis(bases: Iterable[str], book: Rulebook, *, named: bool = True) -> str:
    """What a rule rests on: "common practice; published work (Greve and Dyson 2013)", or only how many sources."""
    own, published = [], []
    for one in bases:
        source = book.sources.get(one)
        if source is None:
            own.append(plain(one))
        else:
            published.append(short_source(source.authors, source.year, source.title))
    if published:
        each = dict.fromkeys(published)
        told = ", ".join(each) if named else counted(len(each), "source")
        own.append(f"published work ({told})")
    return "; ".join(own)


def all_bases(answer: Answered) -> tuple[str, ...]:
    """Every basis behind what the answer says: concerns, supported conclusions, steps; each once, in that order."""
    found = list(concern_bases(answer))
    for concluded in answer.explanation.supported():
        found += concluded.basis
    for step in answer.plan.steps:
        found += step.basis
    return tuple(dict.fromkeys(found))


def concern_bases(answer: Answered) -> tuple[str, ...]:
    """Every basis behind the reasons to call, each once."""
    every = (one for concern in answer.referral.concerns for _, _, bases in concern.signs for one in bases)
    return tuple(dict.fromkeys(every))


def conclusion_words(explanation: Explanation, key: str, side: str) -> str:
    """A conclusion's sentence, or its key where the rulebook has no such conclusion."""
    concluded = explanation.concluded.get((key, side))
    return concluded.words if concluded else at_side(plain(key), side)


def in_account(chains: Iterable[Chain]) -> list[tuple[str, str]]:
    """Every conclusion of the account, each once, from the starting points down."""
    found: dict[tuple[str, str], None] = {}
    for chain in chains:
        for key in ((chain.key, chain.side), *chain.loop, *in_account(chain.leads)):
            found[key] = None
    return list(found)


def span(written: DateSpan, never: str = "never") -> str:
    """A date as exact as it was written."""
    if written.never:
        return never
    if written.first == written.last:
        return day(written.first)
    if (written.first.year, written.first.month) == (written.last.year, written.last.month):
        return day(written.first).split(" ", 1)[1]
    if written.first.year == written.last.year:
        return str(written.first.year)
    return f"between {day(written.first)} and {day(written.last)}"


def circumstances(keys: Iterable[str], book: Rulebook) -> str:
    """What lessened a reading, in the words of its pages."""
    pages = [book.circumstances[key].says if key in book.circumstances else plain(key) for key in keys]
    return listed(pages)
