"""One visit file, read from the top: the day first, then heading by heading.

In: a path, or a piece of parsed YAML (the example of a page). Out: a `Visit`, or `BadInput` with everything wrong.
Not here: how the lines under a heading are read; each idea has its own module beside this one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

from reasoner.problems import BadInput, Problem, nearest
from reasoner.rulebook import strict_yaml
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.dates import read_visit_day
from reasoner.visit.model import DateSpan, Noted, Outline, VetsWord, Visit, Worked
from reasoner.visit.noted import GRADE_WORDS, Notes, home_of, read_entry, read_section
from reasoner.visit.quiet import add_quiet
from reasoner.visit.reader import Reader, fields, plain, quote
from reasoner.visit.steps import STEPS, read_steps
from reasoner.visit.touches import PALPATION, SPACES, Touches, read_palpation, read_spaces

QUIET, WORKED, VETS_WORD, VISIT = "quiet", "worked_on", "veterinarians_word", "visit"
BACK_TRACINGS, SADDLE_TRACINGS = "back_tracings", "saddle_tracings"
#: Headings whose shape is fixed by the visit file itself; every other heading comes from the vocabulary.
OWN_HEADINGS = fields(
    palpation="", between_the_spinous_processes="", quiet="", worked_on="",
    veterinarians_word="vets_word word_of_the_veterinarian",
    back_tracings="back_tracing tracings tracing tracings_of_the_back",
    saddle_tracings="saddle_tracing tracings_of_the_saddle tree_tracings panel_tracings",
)  # fmt: skip


def read_visit(path: Path, vocabulary: Vocabulary) -> Visit:
    """The visit in a file. Raises BadInput with every problem at once."""
    return visit_from_bytes(strict_yaml.read_bytes(path), str(path), vocabulary)


def visit_from_bytes(
    data: bytes, file: str, vocabulary: Vocabulary, beside: Mapping[str, bytes] | None = None
) -> Visit:
    """The visit in the bytes of a file, with the files `beside` it (None: those of its folder). Raises BadInput with every
    problem at once."""
    noticed: list[Problem] = []
    return _read(strict_yaml.parse(data, file, noticed), file, vocabulary, None, noticed, beside)


def visit_from_node(node: Node, file: str, vocabulary: Vocabulary, *, default_day: date | None = None) -> Visit:
    """The visit in a piece of YAML; `default_day` stands in where no day is written. Raises BadInput."""
    return _read(node, file, vocabulary, default_day, [])


def _read(
    node: Node, file: str, vocabulary: Vocabulary, default_day: date | None, noticed: list[Problem],
    beside: Mapping[str, bytes] | None = None,
) -> Visit:  # fmt: skip
    if not isinstance(node.value, dict):
        read = quote(node.text) if node.text is not None else "a list"
        raise BadInput([Problem(file, node.line, "YM10", f"a visit was expected, line by line, and {read} was read.",
                                "It begins with visit: and the day.")])  # fmt: skip
    reader = Reader(file, vocabulary, beside)
    reader.problems += [one for one in noticed if one.severity == "error"]
    day = _day(reader, node, default_day)
    reader.day = day or date.max  # with no day to compare with, no date is called late
    notes, touches = Notes(reader), Touches(reader)
    quiet: list[Node] = []
    words: list[VetsWord] = []
    worked: list[Worked] = []
    outlines: list[Outline] = []
    own: dict[str, Callable[[Node], object]] = {
        PALPATION: lambda value: read_palpation(touches, value),
        SPACES: lambda value: read_spaces(touches, value),
        QUIET: quiet.append,
        WORKED: lambda value: worked.extend(_worked(reader, value)),
        VETS_WORD: lambda value: words.extend(_vets_words(reader, value)),
        BACK_TRACINGS: lambda value: outlines.extend(_outlines(reader, BACK_TRACINGS, value)),
        SADDLE_TRACINGS: lambda value: outlines.extend(_outlines(reader, SADDLE_TRACINGS, value)),
        STEPS: lambda value: read_steps(notes, value),
    }
    lines: dict[str, int] = {}
    for key, key_node, value in node.items():
        heading = heading_of(vocabulary, key)
        if heading == "":
            _top_entry(notes, key_node, value)
            _look_inside(reader, key, value, own, lines)
        elif heading in lines:
            reader.twice(key_node.line, f"the heading {quote(plain(heading))}", lines[heading])
        else:
            lines[heading] = key_node.line
            if heading in own:
                own[heading](value)
            else:
                read_section(notes, heading, value)
    if worked:
        from reasoner.visit.worked import add_after

        add_after(touches, tuple(worked))
    for value in quiet:
        add_quiet(touches, value)
    if reader.problems or day is None:
        raise BadInput(reader.problems)
    return Visit(
        file=file, day=day, touches=tuple(touches.entries), noted=tuple(notes.entries), vets_words=tuple(words),
        worked=tuple(worked), outlines=tuple(outlines),
        beside=tuple(reader.read_beside.items()), warnings=(*noticed, *reader.warnings),
    )  # fmt: skip


def _look_inside(
    reader: Reader, key: str, value: Node, own: dict[str, Callable[[Node], object]], lines: dict[str, int]
) -> None:
    """What stands under a mistyped heading is read as if under the nearest one, so that its mistakes are told at once."""
    if not isinstance(value.value, dict) or not reader.problems:
        return
    sections = reader.vocabulary.sections.values()
    names = {s.name: s.key for s in sections if s.key != "top" and "/" not in s.key}
    names |= {plain(heading): heading for heading in (PALPATION, SPACES)}
    heading = names.get(nearest(plain(canonical(key[:200])), names, at_least=75.0), "")
    if not heading or heading in lines:
        return
    lines[heading] = value.line
    if heading in own:
        own[heading](value)
    else:
        read_section(Notes(reader), heading, value)


def _worked(reader: Reader, value: Node) -> tuple[Worked, ...]:
    """Work done; its module is read only for a visit that tells of some, as with a veterinarian's word."""
    from reasoner.visit.worked import read_worked

    return tuple(read_worked(reader, value))


def _vets_words(reader: Reader, value: Node) -> tuple[VetsWord, ...]:
    from reasoner.visit.vets_word import read_vets_words

    return read_vets_words(reader, value)


def _outlines(reader: Reader, heading: str, value: Node) -> tuple[Outline, ...]:
    from reasoner.visit.outlines import read_outlines

    return read_outlines(reader, heading, value)


def heading_of(vocabulary: Vocabulary, key: str) -> str:
    """The heading a key at the left edge names, or an empty string."""
    word = canonical(key)
    own = OWN_HEADINGS.get(word.replace("'", "").replace("’", ""))
    if own is not None:
        return own
    section = vocabulary.section_of.get(word, "")
    return "" if section == "top" or "/" in section or word in vocabulary.within("top") else section


def _day(reader: Reader, node: Node, default_day: date | None) -> date | None:
    """The day of the visit, wherever in the file it stands."""
    known = reader.vocabulary.within("top")
    for key, _, value in node.items():
        if canonical(key) == VISIT or known.get(canonical(key)) == VISIT:
            return default_day if value.text == "" and default_day else read_visit_day(reader, value)
    if default_day is None:
        what = "the day of the visit is missing." if node.value else "nothing is written in this file."
        reader.say(1, "VF01", what, "Write visit: and the day, such as visit: 2026-04-18.")
    return default_day


def _visit_noted(day: date, value: Node) -> Noted:
    return Noted(key=VISIT, value=DateSpan(first=day, last=day), written=value.text or "", line=value.line, kind="date")


def _top_entry(notes: Notes, key_node: Node, value: Node) -> None:
    """A line at the left edge that is no heading."""
    reader, key = notes.reader, key_node.text or ""
    word, vocabulary = canonical(key), notes.reader.vocabulary
    known = vocabulary.within("top")
    if word == VISIT or known.get(word) == VISIT:
        notes.add(_visit_noted(reader.day, value))  # read first of all; a second one is noticed here
        return
    if reader.split_side(word, known.__contains__)[1] in known or word in GRADE_WORDS:
        read_entry(notes, "top", "the visit", key_node, value)
        return
    home = home_of(reader, reader.split_side(word, vocabulary.place_of.__contains__)[1], "top")
    inner = vocabulary.section_of.get(word, "")
    if "/" in inner:
        home = quote(plain(inner.rpartition("/")[0]))
    if home:
        reader.say(key_node.line, "VF27", f"{quote(key)} does not stand at the left edge.", f"Write it under {home}.")
        return
    headings = [s.name for s in vocabulary.sections.values() if s.key != "top" and "/" not in s.key]
    names = [*headings, "palpation", "quiet", "between the spinous processes", "worked on", "veterinarian's word",
             "back tracings", "saddle tracings"]  # fmt: skip
    names += [*known, *vocabulary.place_of]
    reader.unknown(key_node.line, "VF03", key, f"{quote(key)} is no heading of a visit.", names)
