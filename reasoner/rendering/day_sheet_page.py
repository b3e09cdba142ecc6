"""The day sheet as one self-contained HTML page to print: a page a horse at most, how the checks are made at the end.

In: a day's horses. Out: the file as text; no script, nothing fetched.
Not here: the words of a horse (day_sheet_words), PDF (pdf), writing the file.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from reasoner.records.day_sheet import Sheet
from reasoner.records.diary import Due
from reasoner.rendering import phrases
from reasoner.rendering.day_sheet_text import NO_TIME
from reasoner.rendering.day_sheet_words import ASK, HOW, cautions_of, how_to, how_words, one_horse
from reasoner.rendering.diary_text import DRAWN_FROM, in_lines
from reasoner.rendering.phrases import counted
from reasoner.rendering.report import MARK, environment
from reasoner.rulebook.vocabulary import Vocabulary


def sheet_html(sheets: Sequence[Sheet], day: date, words: Vocabulary, *, long: Sequence[Due] = ()) -> str:
    """The page."""
    return environment().get_template("day_sheet.html").render(
        mark=MARK, day=phrases.day(day), count=counted(len(sheets), "horse"), no_time=NO_TIME, ask=ASK, how_at=HOW,
        horses=[one_horse(sheet, day, words) for sheet in sheets], how=[how_words(check) for check in how_to(sheets)],
        long=[line.text for line in in_lines(long, day, "reasoner diary --full")], drawn_from=DRAWN_FROM,
        cautions=cautions_of(sheets),
    )  # fmt: skip
