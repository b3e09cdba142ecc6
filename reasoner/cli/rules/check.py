"""`reasoner rules check`: everything that is wrong with a rulebook, and what it holds in numbers.

In: rules folders. Out: problems and counts as words or JSON; exit code 0 clean, 1 warnings only, 2 errors.
Not here: the checks (rulecare.check).
"""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, as_plain, print_json, rules_folders, shared

EPILOG = """\
Exit codes: 0 nothing is wrong; 1 warnings only; 2 errors.
A page with `status: sketch` may be unfinished: on it, what is not good yet is a warning. What would keep the rulebook
from being read at all is an error on a sketch as well.

\b
Example:
  reasoner rules check
  reasoner rules check --rules shipped --rules my-practice/ --json
"""
VERSION = "1"


@click.command("check", epilog=EPILOG)
@shared
@answering
def command(folders: Sequence[Path], as_json: bool) -> None:
    """Check a rulebook: unknown words, loops, rules that can never fire, pages that lead nowhere, findings counted
    twice, sides forgotten, blanks and filler, and words that are not ours to say."""
    from reasoner.rulecare.check import check

    report = check(rules_folders(folders))
    if as_json:
        print_json(
            {
                "schema_version": VERSION,
                "rulebase": report.stamp,
                "complete": report.complete,
                "counts": dict(report.counts),
                "errors": report.errors,
                "warnings": len(report.problems) - report.errors,
                "sketches": list(report.sketches),
                "problems": [as_plain(p) for p in report.problems],
            }
        )
    else:
        for problem in report.problems:
            click.echo(f"{'warning: ' if problem.severity == 'warning' else ''}{problem}")
        _summary(report.counts, report.errors, len(report.problems) - report.errors, report.sketches, report.complete)
    sys.exit(2 if report.errors else 1 if report.problems else 0)


def _summary(c: Mapping[str, int], errors: int, warnings: int, sketches: Sequence[str], complete: bool) -> None:
    """What there is, and how many things to mend."""
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.text_page import Line

    counts = (
        f"{c['conclusions']} conclusions with {c['rules']} rules ({c['rules_published']} on published work, "
        f"{c['rules_common_practice']} on common practice, {c['rules_own_setting']} on own settings), {c['concerns']} reasons "
        f"to call, {c['actions']} actions, {c['sources']} sources."
    )
    print_page([Line(counts)])
    for file in sketches:
        click.echo(f"a sketch, still to be written: {file}")
    if not complete:
        click.echo("Not everything could be read; once that is mended, more may be found.")
    click.echo(f"{errors} error{'s' * (errors != 1)}, {warnings} warning{'s' * (warnings != 1)}.")
