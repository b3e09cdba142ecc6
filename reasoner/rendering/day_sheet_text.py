"""The page of `reasoner day-sheet` in the terminal.

In: a day's horses. Out: lines; the checks by name at each horse, how they are made once at the end.
Not here: the words of a horse (day_sheet_words), paper (day_sheet_page).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from reasoner.records.day_sheet import Sheet
from reasoner.records.diary import Due
from reasoner.rendering import phrases, shared_text
from reasoner.rendering.day_sheet_words import ASK, HOW, OneHorse, cautions_of, how_to, how_words, one_horse
from reasoner.rendering.diary_text import DRAWN_FROM, in_lines
from reasoner.rendering.phrases import counted
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.vocabulary import Vocabulary

NO_TIME = "__:__"
NO_BREAK = "\u00a0"  # a box and its name stay on one row


def sheet_lines(
    sheets: Sequence[Sheet], day: date, words: Vocabulary, shown: str, *, long: Sequence[Due] = ()
) -> Iterator[Line]:
    """A day's horses, one after another; `long` are those without a sheet, overdue for too long to be that day's."""
    yield Line(f"{phrases.day(day)}: {counted(len(sheets), 'horse')}", "title", tail=shown)
    for sheet in sheets:
        yield from _horse(one_horse(sheet, day, words))
    if checks := how_to(sheets):
        yield from heading("how each check is made")
        for check in checks:
            name, how = how_words(check)
            yield Line(f"{name}. {how}", mark="-", hang=2)
    if long:
        yield from heading("without a sheet: overdue for longer")
        yield from in_lines(long, day, "reasoner diary --full")
        yield Line("--horse NAME makes a sheet for one of them, --overdue DAYS for those of more days.", "faint")
    yield GAP
    yield Line(DRAWN_FROM, "faint")
    if sheets:
        yield from shared_text.cautions(cautions_of(sheets))


def _horse(one: OneHorse) -> Iterator[Line]:
    yield from heading(f"{one.at or NO_TIME}  {one.who}")
    yield Line(phrases.sentence(one.seen), "faint")
    for caution in one.cautions:
        yield Line(caution, "alarm", mark="!", hang=2)
    for said in one.vet:
        yield Line(said, "strong", mark="veterinarian's word:", hang=2)
    if one.bring:
        yield Line("; ".join(one.bring), "strong", mark="Bring or ask for:", hang=2)
    if one.expected:
        yield Line("Expected by today; grade again.", "strong")
    for expected in one.expected:
        yield Line(f"{expected} today: ____", mark="[ ]", hang=4)
    for later in one.later:
        yield Line(later, "faint", mark="-", hang=4)
    if one.told:
        yield Line("Told since.", "strong")
    for step, told in one.told:
        yield Line(f"{step}: {told}", mark="-", hang=4)
    if one.ask:
        yield Line(f"Nobody told yet. {ASK}", "strong")
    for step in one.ask:
        yield Line(f"{step}: ____", mark="[ ]", hang=4)
    if one.first or one.then:
        yield Line(f"Not looked at last time, and it would tell something. {HOW}", "strong")
    for title, names in (("First look, before any hand:", one.first), ("Then:", one.then)):
        if names:
            boxes = "   ".join(f"[\u00a0]\u00a0{name.replace(' ', NO_BREAK)}" for name in names)
            yield Line(f"{title} {boxes}", indent=2)
    if one.held_back:
        yield Line(one.held_back, "faint")
