"""`reasoner report VISIT -o FILE`: one page for one reader, or with --all a page for each.

In: a visit file, for whom, and whether it is approved. Out: self-contained HTML files, or PDFs.
Not here: the page (rendering.report), its layout on paper (rendering.pdf).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import (
    answering,
    print_json,
    progress_kept,
    rules_folders,
    shared,
    told_since,
    visit_argument,
    with_records,
    write_all_whole,
)
from reasoner.cli.consent import pages_that_may_go, with_consent
from reasoner.cli.paper import as_asked, is_pdf, with_paper
from reasoner.cli.signing import answer_that_may_leave, note_unheard
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from reasoner.consult import Answer

register(
    {
        "RE43": "where reports are to be written, and for whom",
        "RE69": "a report approved by the apprentice who examined",
    }
)

READERS = ("owner", "vet", "saddle-fitter", "farrier")
EPILOG = """\b
Example:
  reasoner report examples/bramble.yaml -o bramble.html
  reasoner report examples/bramble.yaml -o bramble.pdf --paper Letter
  reasoner report examples/rook.yaml --for vet -o rook-vet.html --approved-by "Wren Aldous"
  reasoner report examples/rook.yaml --all reports --pdf
  reasoner report bramble-may.yaml -o bramble-may.html --store practice.db
  reasoner report bramble-may.yaml --for vet --to "Dr Mossop" -o vet.pdf --store practice.db
"""


@click.command("report", epilog=EPILOG)
@visit_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The file to write: a page for a screen where it ends in .html, a PDF where it ends in .pdf.",
)
@click.option(
    "--all",
    "folder",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Instead of -o: write the reports of every reader into this folder, all of them or none.",
)
@click.option("--pdf", is_flag=True, help="With --all: write PDFs.")
@click.option(
    "--for",
    "reader",
    type=click.Choice(READERS, case_sensitive=False),
    help="Who will read it.  [default: owner]",
)
@click.option(
    "--approved-by", metavar="NAME", help="Your name, once you have read it. Until then it is marked a draft."
)
@with_consent
@with_paper
@with_records
@shared
@answering
def command(
    visit: Path, output: Path | None, folder: Path | None, pdf: bool, reader: str | None, approved_by: str | None,
    to: str, own_eyes: bool, paper: str | None, store_at: str | None, part: int | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Write one self-contained page that prints on A4 or Letter and reads on a phone (HTML), or a PDF. An earlier report of
    that name is replaced; any other file is not, nor a PDF that somebody has written remarks into.

    What practitioners judged of this visit themselves stands in the page for the veterinarian and the saddle fitter, and
    photographs in all but the farrier's, as far as the records hold them. With --store, what was changed of the plan and the
    owner's sentences is in the page, and marked. An apprentice's visit (`checked by` another name) gives no page before it is
    countersigned there.

    Where the records are asked, a report goes to a veterinarian, saddle fitter or farrier only if the owner agreed (`reasoner
    records consent`); the owner's own page needs no consent, and in an emergency the veterinarian's waits for none.
    """
    targets = _targets(visit, output, folder, pdf, reader)
    for path in targets.values():
        is_pdf(path, paper)
    answer, beside = answer_that_may_leave(visit, folders, as_json, store_at, part)
    _approved_by_another(answer, approved_by or "")
    consent = pages_that_may_go(answer, list(targets), to, own_eyes, store_at)
    note_unheard(answer, store_at)
    from reasoner.rendering.report import report_html

    approved = (approved_by or "").strip() or None
    (progress, unsigned), since = progress_kept(answer, store_at), told_since(answer, store_at)
    changed: list[str] = []
    if store_at is not None:
        from reasoner.cli.editing import with_edits
        from reasoner.rendering.edited_lines import told

        edited = with_edits(answer, visit, store_at, quiet=as_json)
        answer, changed = edited.answer, told(edited)
    wording = None
    if beside.opinions or any(one.caption for one in beside.enclosed):
        from reasoner.rulecare.check import wording_of

        wording = wording_of(rules_folders(folders))
    files = [
        as_asked(
            report_html(
                answer, name, approved, opinions=beside.opinions, progress=progress, unsigned=unsigned,
                consent=consent[name], to=" ".join(to.split()), told_since=since, enclosed=beside.enclosed, changed=changed,
                wording=wording,
            ), path, paper,
        )
        for name, path in targets.items()
    ]  # fmt: skip
    write_all_whole(files)
    if as_json:
        print_json({
            "schema_version": "1", "written": [str(path) for path in targets.values()],
            "for": None if folder is not None else next(iter(targets)), "readers": list(targets), "approved_by": approved,
            "own_eyes": own_eyes, "consent": {name: list(page.lines) for name, page in consent.items()},
        })  # fmt: skip
        return
    for name, path in targets.items():
        eyes = ", for your own eyes" if own_eyes else ""
        click.echo(f"written: {path} (for the {name.replace('-', ' ')}, {'approved' if approved else 'draft'}{eyes})")


def _approved_by_another(answer: Answer, by: str) -> None:
    """Whether the report of an apprentice's visit is approved by somebody else. Raises BadInput (RE69)."""
    if not by.strip() or answer.visit.noted_value("checked_by") is None:
        return
    from reasoner.records.signing import signing_of
    from reasoner.store.names import same_name

    signing = signing_of(answer.visit)
    if signing is not None and same_name(by, signing.examined_by):
        raise BadInput([Problem("--approved-by", 0, "RE69", f'"{by}" was read, who examined this horse as an apprentice; '
                                f"{signing.checked_by} answers for the visit.",
                                f'Write --approved-by "{signing.checked_by}", or another '
                                "practitioner who has read it.")])  # fmt: skip


def _targets(visit: Path, output: Path | None, folder: Path | None, pdf: bool, reader: str | None) -> dict[str, Path]:
    """Each reader and the file for that reader. Raises BadInput (RE43)."""
    if (output is None) == (folder is None):
        read = "neither was read" if output is None else "both were read"
        raise _unclear(f"one of -o FILE and --all FOLDER was expected; {read}.",
                       "-o writes the page of one reader, --all those of every reader.")  # fmt: skip
    if folder is None:
        assert output is not None
        if pdf and output.suffix.lower() != ".pdf":
            raise _unclear(
                "--pdf goes with --all; with -o the ending of the name decides.", "Let the name end in .pdf."
            )
        return {reader or "owner": output}
    if reader is not None:
        raise _unclear(f'"--for {reader}" was read beside --all, which writes for every reader.',
                       "Use -o FILE for one reader.")  # fmt: skip
    ending = "pdf" if pdf else "html"
    return {name: folder / f"{visit.stem}-{name}.{ending}" for name in READERS}


def _unclear(sentence: str, hint: str) -> BadInput:
    return BadInput([Problem("report", 0, "RE43", sentence, hint)])
