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

from reasoner.problems import BadInput, Problem, register
from reasoner.rendering import phrases
from reasoner.rendering.answered import Answered
from reasoner.rendering.beside_lines import signing_words
from reasoner.rendering.consent_lines import OnThePage
from reasoner.rendering.report_parts import parts_for
from reasoner.rendering.wording import in_account

if TYPE_CHECKING:
    from datetime import date

    from reasoner.records.progress import Progress
    from reasoner.records.since_then import SinceThen
    from reasoner.rendering.photographs import Album
    from reasoner.rulebook.wording import Wording
    from reasoner.store.afterwards import Opinion  # a report alone need not bring in the records
    from reasoner.store.enclosing import Enclosed

register({"RE64": "a page of a visit that is not countersigned"})

UNSIGNED = "The visit of {day} is not countersigned yet; what is compared with it is a draft."
#: Stands near the top of every report, so that an earlier one is known for what it is.
MARK = '<meta name="generator" content="hands-on visit report">'


def report_html(
    answer: Answered, audience: str, approved_by: str | None = None, *, opinions: Sequence[Opinion] = (),
    progress: Progress | None = None, unsigned: Sequence[date] = (), consent: OnThePage | None = None, to: str = "",
    told_since: SinceThen | None = None, enclosed: Sequence[Enclosed] = (), changed: Sequence[str] = (),
    wording: Wording | None = None,
) -> str:  # fmt: skip
    """The report. Without `approved_by` it is marked a draft on the screen and on every printed page.

    `opinions` are what practitioners judged of this visit themselves; readers who have no part in it are not told.
    `progress` up to this visit, where earlier ones are kept: what changed is then told as well; `unsigned` are the days of
    those that wait for a countersignature. `told_since`: what owners told after that day, beside the answer of the day; their
    own words for it stand in the owner's page alone.
    `consent` is what the page says of it (None: no records were asked), `to` the person it goes to. `enclosed` are the files
    kept with the visit, with their bytes: the photographs among them stand in the page as far as they concern the reader.
    `changed` says whose sentences in it are not the tool's own (edited_lines.told). A judgement or a caption that was kept with a
    word nobody may use (`wording`: the words of these rules; the shipped ones always) is held back, and that is said.
    Raises BadInput (RE64) where an apprentice's visit is not countersigned: no caller writes such a page; and (ST41) where a
    photograph is missing or changed.
    """
    signing = _signed(answer)
    reader = answer.ready.book.scales.readers[audience]
    approved = " ".join((approved_by or "").split())
    template = environment().get_template(f"report_{audience.replace('-', '_')}.html")
    judged: list[str] = []
    if opinions and reader.judgements:
        from reasoner.rendering.held_words import judgements_that_leave

        told = _owners_words(answer) if reader.key == "owner" else _words(answer)
        known = [one for one in opinions if reader.key != "owner" or (one.conclusion, one.side) in told]
        judged = judgements_that_leave(known, told, wording or _shipped_words())
    since: list[str] = []
    if progress is not None:  # brings in the records, which a report by itself does without
        from reasoner.rendering.since_last import since_lines

        since = since_lines(progress, reader, answer.ready.book.vocabulary)
        since += [UNSIGNED.format(day=phrases.day(day)) for day in unsigned] if since else []
    if told_since is not None:
        from reasoner.rendering.since_then_text import since_then_sentences

        since += map(phrases.sentence, since_then_sentences(told_since, reason=reader.key == "owner"))
    photographs: Album | None = None
    if enclosed:
        from reasoner.rendering.held_words import captions_that_leave
        from reasoner.rendering.photographs import album

        photographs = album(captions_that_leave(enclosed, wording or _shipped_words()), reader)
    return template.render(
        mark=MARK, approved=approved, judged=judged, countersigned=signing, since=since, to=to, changed=list(changed),
        consent=consent or OnThePage(), photographs=photographs, **parts_for(answer, reader),
    )  # fmt: skip


def _signed(answer: Answered) -> str:
    """Who countersigned; empty where nobody else has to sign. Raises BadInput (RE64)."""
    if answer.visit.noted_value("checked_by") is None:
        return ""
    from reasoner.records.signing import signing_of

    signing = signing_of(answer.visit, answer.signature)
    if signing is None:
        return ""
    if signing.signature is None:
        raise BadInput([Problem(answer.visit.file, 0, "RE64", f"{signing_words(signing)}",
                                "`reasoner records countersign` puts a name to it.")])  # fmt: skip
    return signing.checked_by


def _words(answer: Answered) -> dict[tuple[str, str], str]:
    """The tool's own words of each conclusion, by key and side."""
    return {key: phrases.sentence(one.words) for key, one in answer.explanation.concluded.items()}


def _owners_words(answer: Answered) -> dict[tuple[str, str], str]:
    """The same of what the owner's page tells, as it tells it."""
    concluded = answer.explanation.concluded
    return {key: concluded[key].plain for key in in_account(answer.explanation.account.starting_points)}


@cache
def _shipped_words() -> Wording:
    from reasoner.rulecare.check import wording_of

    return wording_of()


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
