"""The page of a horse's progress as one self-contained HTML file: the words, the small multiples, the body map before and after.

In: a `Progress` and the rulebook. Out: the file as text; no script, nothing fetched.
Not here: the words (progress_text), the pictures, writing the file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from markupsafe import Markup

from reasoner.records.progress import Progress
from reasoner.records.since_then import SinceThen
from reasoner.rendering import phrases, visit_rows
from reasoner.rendering.body_map import draw_body_map
from reasoner.rendering.progress_picture import LEGEND, panels, the_rest
from reasoner.rendering.progress_text import progress_lines
from reasoner.rendering.progress_words import days_of
from reasoner.rendering.report import MARK, environment
from reasoner.rendering.text_page import Line
from reasoner.rulebook.rulebook import Rulebook


def progress_html(progress: Progress, book: Rulebook, since: Sequence[SinceThen] = ()) -> str:
    """The page."""
    words, visits = book.vocabulary, progress.comparing.visits
    first, last = phrases.day(visits[0].day), phrases.day(visits[-1].day)
    several = len(visits) > 1
    told = list(zip(visits, days_of(visits), strict=True))
    ends = (told[0], told[-1]) if several else told
    return environment().get_template("progress.html").render(
        mark=MARK, horse=progress.horse.name, yard=progress.horse.yard, span=f"{first} to {last}" if first != last else first,
        visits=phrases.counted(len(visits), "visit"),
        before=_sections(progress_lines(progress, book, full=False, since=since)),
        legend=" ".join(LEGEND), rest=the_rest(progress, words) if several else "",
        panels=[Markup(svg) for _, svg in panels(progress, words)] if several else [],
        maps=[
            (
                day,
                Markup(draw_body_map(visit_rows.map_points(words), visit_rows.marks(visit, words),
                                     title=f"{progress.horse.name}, {day}")),
            )
            for visit, day in ends
        ],
    )  # fmt: skip


def _sections(lines: Iterable[Line]) -> list[tuple[str, list[Line]]]:
    """The words, gathered under their headings; the title stands in the page's own."""
    found: list[tuple[str, list[Line]]] = []
    for line in lines:
        if line.role == "heading":
            found.append((_title(line.text), []))
        elif found and line.text:  # what is folded is told by the command
            found[-1][1].append(replace(line, text=line.text.replace("--full", "`reasoner progress --full`")))
    return found


def _title(text: str) -> str:
    """A heading of the terminal as one of the page: a capital in front, and those of the months."""
    text = text.capitalize()
    for month in phrases.MONTHS:
        text = text.replace(month.lower(), month)
    return text
