"""One page for one reader: the owner, the veterinarian, the saddle fitter or the farrier.

In: an answer, for whom, and who has approved it. Out: one self-contained HTML file as text: style and drawing inside,
no script, nothing fetched. Not here: what a reader is told (report_parts.py, the templates), writing the file, a clock.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from reasoner.rendering import phrases
from reasoner.rendering.answered import Answered
from reasoner.rendering.report_parts import parts_for

if TYPE_CHECKING:
    from reasoner.records.progress import Progress

#: Stands near the top of every report, so that an earlier one is known for what it is.
MARK = '<meta name="generator" content="hands-on visit report">'


def report_html(
    answer: Answered, audience: str, approved_by: str | None = None, *, progress: Progress | None = None
) -> str:
    """The report. Without `approved_by` it is marked a draft on the screen and on every printed page.

    `progress` up to this visit, where earlier ones are kept: what changed is then told as well.
    """
    reader = answer.ready.book.scales.readers[audience]
    approved = " ".join((approved_by or "").split())
    template = environment().get_template(f"report_{audience.replace('-', '_')}.html")
    since: list[str] = []
    if progress is not None:  # brings in the records, which a report by itself does without
        from reasoner.rendering.since_last import since_lines

        since = since_lines(progress, reader, answer.ready.book.vocabulary)
    return template.render(mark=MARK, approved=approved, since=since, **parts_for(answer, reader))


@cache
def environment() -> Environment:
    """Where the templates are found and what they may call."""
    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["sentence"] = phrases.sentence
    environment.filters["rest"] = phrases.rest
    environment.filters["listed"] = phrases.listed
    environment.filters["stop"] = phrases.stop
    environment.globals["phrases"] = phrases
    return environment
