"""`reasoner rules fence`: small cases on either side of the limits that no example of a page guards yet.

In: rules folders, the ids of pages (default: all), the folder to write into. Out: files under fences/, and what is left over.
Not here: finding the cases (rulecare.fences).
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, as_plain, folder_in, print_json, rules_folders, shared, warn, write_whole
from reasoner.cli.rules.counting import counter
from reasoner.problems import Problem, register

register({"CL08": "fences are written where the rules they were found for do not lie"})

EPILOG = """\
A fence is found by trying: it says what the page answers today, so that a later change of it is seen. Read the difference
before you keep it. The files of an earlier run are written over; no other file is.
Exit codes: 0 every slip is noticed now; 1 for some no fence was found; 2 something in the input needs mending.

\b
Example:
  reasoner rules fence withers_pinch --into rules
  reasoner rules fence --rules shipped --rules my-practice/ --into my-practice/ --seed 7
"""
VERSION = "1"


@click.command("fence", epilog=EPILOG)
@click.argument("ids", nargs=-1, metavar="[PAGE]...")
@click.option("--into", type=click.Path(path_type=Path), required=True, metavar="DIR",
              help="The rules folder whose fences/ is written.")  # fmt: skip
@click.option("--seed", type=int, default=0, show_default=True, help="Another seed draws other cases.")
@click.option("--add", is_flag=True, help="Keep the fences that are there, and find some for what they do not notice.")
@click.option("--tries", type=click.IntRange(1), default=600, show_default=True, help="How often each slip is tried.")
@shared
@answering
def command(
    ids: Sequence[str], into: Path, seed: int, tries: int, add: bool, folders: Sequence[Path], as_json: bool
) -> None:
    """Write fences for the pages named (default: all), beside their examples."""
    from reasoner.problems import BadInput, near_hint
    from reasoner.rulebook.loading import load_rulebook
    from reasoner.rulecare.examples import pages
    from reasoner.rulecare.fence_files import FOLDER, entries_in, read_fences, text_of
    from reasoner.rulecare.fences import fences_of
    from reasoner.rulecare.trials import Trials

    fences = folder_in(into, FOLDER)
    elsewhere = _elsewhere(into, folders)
    book = load_rulebook(rules_folders(folders))
    known = {page.id: page for page in pages(book)}
    strange = [name for name in ids if name not in known]
    if strange:
        raise BadInput(
            Problem("PAGE", 0, "CL01", f'"{name}" is no page with examples.', near_hint(name, known))
            for name in strange
        )
    trials = Trials(book, read_fences([into]) if add else None)
    show = counter("pages")
    report: list[tuple[str, int, list[str]]] = []
    wanted = list(ids) or list(known)
    for number, name in enumerate(wanted):
        show(number, len(wanted))
        found, left = fences_of(trials, known[name], seed, read_fences([into]), tries)
        target = fences / f"{name}.yaml"
        before = entries_in(target) if add else []
        if found:
            write_whole(target, text_of(name, found, before), over="# Fences of ")
        elif target.exists() and not before:
            target.unlink()
        report.append((name, len(found), [f"line {slip.line}: {slip.what}" for slip in left]))
    show(len(wanted), len(wanted))
    if as_json:
        rows = [{"page": page, "fences": count, "left": left} for page, count, left in report]
        told = [as_plain(problem) for problem in elsewhere]
        print_json({"schema_version": VERSION, "rulebase": book.stamp, "pages": rows, "warnings": told})
    else:
        warn(elsewhere)
        for page, _, over in report:
            for line in over:
                click.echo(f"{page}: no fence found for {line}")
        made = sum(count for _, count, _ in report)
        click.echo(f"{made} fence{'s' * (made != 1)} on {len(report)} page{'s' * (len(report) != 1)}.")
    sys.exit(1 if any(left for _, _, left in report) else 0)


def _elsewhere(into: Path, folders: Sequence[Path]) -> list[Problem]:
    """A warning where the folder written into is none of the rules folders: `rules test` would not read what is put there."""
    from reasoner.rulebook.layers import shipped_rules

    used = rules_folders(folders) or [shipped_rules()]
    if into.resolve() in [folder.resolve() for folder in used]:
        return []
    what = "this folder is none of --rules: what is put there was found for other rules, and no test of those reads it."
    hint = f"Add --rules {into} if its pages belong to them."
    return [Problem(str(into), 0, "CL08", what, hint, "warning")]
