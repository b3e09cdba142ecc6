"""One page for one reader: the owner, the veterinarian, the saddle fitter or the farrier.

In: an answer, for whom, and who has approved it. Out: one self-contained HTML file as text: style and drawing inside,
no script, nothing fetched. Not here: what a reader is told (report_parts.py, the templates), writing the file, a clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from reasoner.rendering import phrases
from reasoner.rendering.answered import Answered
from reasoner.rendering.beside_lines import judgements
from reasoner.rendering.report_parts import parts_for

if TYPE_CHECKING:
    from reasoner.records.progress import Progress
    from reasoner.store.afterwards import Opinion  # a report alone need not bring in the records

#: Stands near the top of every report, so that an earlier one is known for what it is.
MARK = '<meta name="generator" content="hands-on visit report">'


def report_html(
    answer: Answered, audience: str, approved_by: str | None = None, *, opinions: Sequence[Opinion] = (),
    countersigned_by: str = "", progress: Progress | None = None,
) -> str:  # fmt: skip
    """The report. Without `approved_by` it is marked a draft on the screen and on every printed page.

    `opinions` are what practitioners judged of this visit themselves; readers who have no part in it are not told.
    `countersigned_by` answers for an apprentice's visit. `progress` up to this visit, where earlier ones are kept: what
    changed is then told as well.
    """
    reader = answer.ready.book.scales.readers[audience]
    approved = " ".join((approved_by or "").split())
    template = environment().get_template(f"report_{audience.replace('-', '_')}.html")
    judged = judgements(opinions, _words(answer)) if reader.judgements else []
    since: list[str] = []
    if progress is not None:  # brings in the records, which a report by itself does without
        from reasoner.rendering.since_last import since_lines

        since = since_lines(progress, reader, answer.ready.book.vocabulary)
    return template.render(
        mark=MARK, approved=approved, judged=judged, countersigned=countersigned_by, since=since,
        **parts_for(answer, reader),
    )  # fmt: skip


def _words(answer: Answered) -> dict[tuple[str, str], str]:
    """The tool's own words of each conclusion, by key and side."""
    return {key: phrases.sentence(one.words) for key, one in answer.explanation.concluded.items()}


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
