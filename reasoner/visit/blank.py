"""A blank visit file: every line a visit may hold, commented out, in the order of one walk round the horse.

In: the vocabulary, and for another visit what the last one leaves (`Before`). Out: the text; with its date filled in it reads as
a visit at which nothing was examined.
Not here: what the lines are (they come from the walk), what stays from one visit to the next, the printed sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from reasoner.frozen import frozen
from reasoner.quantities import UNITS_READ, dimension_of
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.reader import plain
from reasoner.visit.reading import VISIT
from reasoner.visit.touches import PALPATION, SPACES
from reasoner.visit.walk import TOP, Heading, Line, walk_round

_OPENING = """\
# One visit to one horse. Fill in the day; take the # away from each line you write, and leave the others as they are:
# a line with a # was not looked at, which is not the same as quiet.
# Left is always the horse's own left (near side); near and off read as well. {both: 4} is the same on both sides.
# Anything may also be written {is: ..., note: "free words"}.
"""
_PALPATION = """\
  # Soreness from 0 (quiet) to 10, before any work, in whole or half steps. Where there is more to say:
  #   {left: {soreness: 5, response: RESPONSES, felt: [FELT], depth: DEPTH, once settled: 3, after work: 2}, right: 0}
  # Or: would not allow touch. Or, where you could not: not examined - REASONS.
  # response: @responses
  # felt: @felt
"""
_QUIET = """\
# Regions (or places) of your own round that were examined and all 0: left, right or both. What is written above wins.
quiet:
"""
_WORKED = """\
# worked on:
#   - {place: , side: , how: , minutes: , after: }   # after: soreness from 0 to 10 once the work was done
"""
_VETS_WORD = """\
# veterinarian's word:   # only what a veterinarian said on a day; a grade of lameness stands nowhere else
#   {who: , seen: , about: [], allows: [], forbids: [], until: , grade: {scale: , left hind: }}
"""
_TRACINGS = """\
# back tracings:   # a flexible curve or a profile gauge over the bare back, from the midline outwards: out/down, in mm
#   units: mm   # or cm, in
#   T13: {left: 0/0 30/4 60/15, right: 0/0 30/5 60/17}   # the same at withers, T8, T10, T18, or where you like
#   along the back: {left: 0/0 100/5, right: 0/0 100/5}   # backwards from the first point, and down from it
#   file: tracing.csv   # or a table beside this file: of, plane, station, side, out_mm, down_mm
# saddle tracings:   # the underside of the tree or the panels, written the same way
#   T13: {left: 20/0 60/15, right: 20/0 60/17}
"""
_WIDTH = 34


@frozen(kw_only=True)
class Before:
    """What the last visit leaves. `opening` stands at the top, each line a comment; `stays` is written as it was, by entry;
    `last` stands beside an empty place as a comment, by entry or place and the side of a leg; `vets_words` are the lines of what
    veterinarians said before. None of it is a reading of the new day, save what stays and a word that is written."""

    opening: tuple[str, ...] = ()
    vets_words: tuple[str, ...] = ()
    stays: Mapping[str, str]
    last: Mapping[tuple[str, str], str]


_NOTHING = Before(stays={}, last={})


def blank_visit(vocabulary: Vocabulary, before: Before = _NOTHING) -> str:
    """The blank file. Every line of the vocabulary is in it once."""
    parts = [_OPENING, *(["\n".join(f"# {line}".rstrip() for line in before.opening) + "\n"] if before.opening else [])]
    last = ""
    for heading in walk_round(vocabulary):
        if heading.key == TOP and any(line.kind == "text" and line.name == "notes" for line in heading.lines):
            last = "\n".join(_top_lines(heading, before)) + "\n"  # the notes close the file
            continue
        parts.append("\n".join(_heading(heading, vocabulary, before)) + "\n")
        if heading.key == PALPATION:
            parts.append(_QUIET + "\n".join(f"  # {plain(r)}:" for r in _quiet_regions(vocabulary)) + "\n")
    said = "".join(f"{line}\n" for line in before.vets_words)
    return "\n".join([*parts, _TRACINGS, _WORKED, _VETS_WORD + said, *([last] if last else [])])


def _quiet_regions(vocabulary: Vocabulary) -> list[str]:
    return [region for region, places in vocabulary.regions.items() if set(places) & set(vocabulary.round)]


def _heading(heading: Heading, vocabulary: Vocabulary, before: Before) -> Iterator[str]:
    if heading.key == TOP:
        yield from _top_lines(heading, before)
        return
    if heading.says:
        yield f"# {heading.says}"
    yield f"{heading.name}:"
    if heading.key == PALPATION:
        yield _palpation_words(vocabulary).rstrip("\n")
    if heading.key == SPACES:
        yield "  # Light touch only; an answer once more after the horse has settled: {soreness: 4, once settled: 4}"
    region, caution = "", ""
    for line in heading.lines:
        if line.region != region and heading.key == PALPATION:
            yield f"  # -- {line.region}"
        text = _line(line, before, told=line.safety != caution)
        region, caution = line.region, line.safety
        yield "  " + text
    for inner in heading.inner:
        yield f"  {inner.name}:" + (f"   # {inner.says}" if inner.says else "")
        for line in inner.lines:
            yield "    " + _line(line, before)


def _top_lines(heading: Heading, before: Before) -> Iterator[str]:
    for line in heading.lines:
        text = _line(line, before)
        yield text.removeprefix("# ") if line.name == VISIT else text


def _line(line: Line, before: Before, told: bool = True) -> str:
    """A line with what may be written behind it; for a place the first sentence of its caution, if `told`. What stays is written;
    what was read last time stands beside the empty place."""
    if line.key in before.stays:
        return f"{line.name}: {before.stays[line.key]}"
    value = {"each": " {left: , right: }", "none": "", "midline": ""}[line.sides]
    last = before.last.get((line.key, line.side), "")
    say = _told(line) if told or line.kind != "touch" else ""
    say = "; ".join(filter(None, (f"last time {last}" if last else "", say)))
    text = f"# {line.name}:{value}"
    return f"{text:<{_WIDTH}}  # {say}" if say else text


def _told(line: Line) -> str:
    """What may be written: the readings, the units, or the form of a date."""
    if line.from_records:
        return "filled in from the records"
    if line.kind == "touch":
        return " ".join(line.safety.split()).partition(". ")[0].rstrip(".")
    if line.kind in ("word", "leg"):
        return " | ".join(line.words)
    if line.name == VISIT:
        return "the day, such as 2026-04-18"
    if line.kind == "date":
        return " | ".join(("2026-04-18", "2026-04", "2026", *line.words))
    if line.kind == "number":
        return f"with its unit: {UNITS_READ[dimension_of(line.unit)]}"
    return "a whole number" if line.kind == "count" else ""


def _palpation_words(vocabulary: Vocabulary) -> str:
    def words(quality: str) -> list[str]:
        return [plain(word.key) for word in vocabulary.qualities.get(quality, ())]

    text = _PALPATION  # each mark becomes a word of the vocabulary, so that the example reads
    for mark, quality in (("RESPONSES", "responses"), ("FELT", "felt"), ("DEPTH", "depth")):
        text = text.replace(mark, (words(quality) or [".."])[:3][-1])
    text = text.replace("REASONS", " | ".join(words("not_examined_reasons")))
    return text.replace("@responses", " | ".join(words("responses"))).replace("@felt", " | ".join(words("felt")))
