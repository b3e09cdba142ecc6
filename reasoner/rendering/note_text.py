"""The page of `reasoner note`: what was understood of a line, shown back for a yes.

In: what was understood, and the vocabulary. Out: lines for the terminal.
Not here: understanding, asking, writing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from reasoner.lines import Finding, PassedOver, Question, Understood
from reasoner.lines.called import rest_of_region
from reasoner.lines.replaced import Spot, spot_of
from reasoner.lines.writing import plain_reading
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.reader import listed, plain

NOTHING = "Nothing was understood of it."


def note_lines(
    told: Understood, vocabulary: Vocabulary, stands: Mapping[Spot, str] | None = None, fixed: Collection[Spot] = ()
) -> Iterator[Line]:
    """What was understood, what is asked, and what is kept as a note. `stands`: what is written already, of a file or of the
    lines before; what a line says otherwise is told beside it. `fixed` are those that a line may not change."""
    called, stands = dict(told.called), stands or {}
    new = {spot_of(one) for one in told.findings}
    yield Line(f'"{told.line}"', "title")
    if not (told.findings or told.not_examined or told.questions or told.kept or told.withdrawn):
        yield Line(NOTHING)
    for finding in told.withdrawn:
        if spot_of(finding) not in new:
            yield Line(f"taken back: {finding_words(finding, vocabulary)}", "against", 0, "-")
    for finding in told.findings:
        was = stands.get(spot_of(finding), "") if finding.reading.when == "first" else ""
        held = was if spot_of(finding) in fixed else ""
        yield Line(finding_words(finding, vocabulary, called, "" if held else was), "strong", 0, "-")
        if held and held != reading_words(finding):
            yield Line(f"the file says {held}, and a line does not change that", "against", 2)
    for one in told.not_examined:
        yield Line(passed_words(one, vocabulary, called), "body", 0, "-")
        if rest := rest_of_region(one, vocabulary):
            yield Line(
                f"said of this one place; still open: {listed((name_of(key, vocabulary) for key in rest), 'and')}",
                "faint",
                2,
            )
    if told.questions:
        yield from heading("to be answered first")
        for question in told.questions:
            yield Line(question_words(question, vocabulary, called), "open", 0, "?")
    if told.kept:
        yield from heading("kept as a note")
        yield from (Line(f'"{piece}"', "faint", 0, "-") for piece in told.kept)


def name_of(key: str, vocabulary: Vocabulary, called: Mapping[str, str] | None = None) -> str:
    """A place or an entry by its name, with what it was called in the line, `withers (trap, trapezius)`; other words as they
    are."""
    place, entry = vocabulary.places.get(key), vocabulary.observations.get(key)
    name = place.name if place else entry.name if entry else plain(key)
    return f"{name} ({called[key]})" if called and key in called else name


def finding_words(
    finding: Finding, vocabulary: Vocabulary, called: Mapping[str, str] | None = None, was: str = ""
) -> str:
    """`LEFT loin: 6, response flinches`, or `LEFT loin: was 2, becomes 6`. The side stands first and large, so that a wrong one
    is seen."""
    side, reading = f"{finding.side.upper()} " if finding.side else "", reading_words(finding)
    if was and was != reading:
        reading = f"was {was}, becomes {reading}"
    return f"{side}{name_of(finding.key, vocabulary, called)}: {reading}"


def reading_words(finding: Finding) -> str:
    """`6, response flinches`."""
    reading = plain_reading(finding)
    if isinstance(reading, str):
        return reading
    parts = []
    for name, value in reading.items():
        said = value if isinstance(value, str) else listed(value, "and")
        parts.append(said if name == "soreness" else f"{name} {said}")
    return ", ".join(parts)


def passed_words(one: PassedOver, vocabulary: Vocabulary, called: Mapping[str, str] | None = None) -> str:
    """`loin, both sides: not examined (no time)`."""
    side = {"both": ", both sides", "left": ", LEFT", "right": ", RIGHT", None: ""}[one.side]
    reason = f" ({plain(one.reason)})" if one.reason else ""
    return f"{name_of(one.key, vocabulary, called)}{side}: not examined{reason}"


def question_words(question: Question, vocabulary: Vocabulary, called: Mapping[str, str] | None = None) -> str:
    """The question with its answers."""
    about = listed((name_of(key, vocabulary, called) for key in question.about), "and")
    offers = listed(name_of(offer, vocabulary) for offer in question.offers)
    if question.ask == "verb":
        return f'{about}: did you mean the left side, or that it was left out? ("{question.words}") {offers}'
    if question.ask == "place":
        asked = f'"{about}" may be several places' if question.offers else f'"{about}": no place was named'
        return f"{asked}: which? {offers}".rstrip()
    if question.ask == "side":
        known = [_known(question, n, vocabulary) for n in range(len(question.parts))]
        said = "; ".join(dict.fromkeys(filter(None, known)))
        return f"{about}: which side? {offers}" + (f" ({said})" if said else "")
    side = question.parts[0].side
    where = f"{side.upper()} {about}" if side else about
    return f'{where}: what exactly? ("{question.words}") {offers}'


def _known(question: Question, number: int, vocabulary: Vocabulary) -> str:
    part = question.parts[number]
    if part.reading.empty:
        return ""
    kind = "entry" if question.entry else "place"
    finding = Finding(kind="entry" if kind == "entry" else "place", key=question.about[0], side=None, reading=part.reading,
                      words=question.words)  # fmt: skip
    return finding_words(finding, vocabulary).partition(": ")[2]
