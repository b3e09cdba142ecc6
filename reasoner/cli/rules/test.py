"""`reasoner rules test`: do the examples come true, what do they not show, and which slips of the pen would nobody notice?

In: rules folders. Out: what came out, as words or JSON; exit code 0 nothing, 1 something is not shown, 2 an example fails.
Not here: the trials themselves (rulecare).
"""

from __future__ import annotations

import dataclasses
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, rules_folders, shared
from reasoner.cli.rules.counting import counter

EPILOG = """\
Every example of every page is judged as written and with left and right exchanged, every fence as written. Then every condition
is written wrongly in every small way (a part left out, a word turned round, a limit moved by one step, the other side read) and
at least one example of its page must notice.
Exit codes: 0 everything comes true and nothing is left over; 1 something is not shown or not noticed; 2 an example fails.

\b
Example:
  reasoner rules test
  reasoner rules test --rules shipped --rules my-practice/ --json
"""
VERSION = "1"


@click.command("test", epilog=EPILOG)
@shared
@answering
def command(folders: Sequence[Path], as_json: bool) -> None:
    """Judge all examples, name what none of them shows, and which slips of the pen none would notice."""
    from reasoner.rulecare.testing import tested

    found = tested(rules_folders(folders), counter("pages"))
    if as_json:
        print_json({"schema_version": VERSION, "rulebase": found.stamp, **_counts(found)} | {
            name: [dataclasses.asdict(one) for one in getattr(found, name)] for name in ("failed", "gaps", "unnoticed")
        })  # fmt: skip
    else:
        for failed in found.failed:
            click.echo(f"{failed.file}:{failed.line}: {failed.name}: {'; '.join(failed.complaints)}")
        for gap in found.gaps:
            click.echo(f"{gap.file}:{gap.line}: no example in which {gap.name} {gap.never}")
        for slip in found.unnoticed:
            click.echo(f"{slip.file}:{slip.line}: {slip.page}, {slip.rule}: nobody notices: {slip.what}")
        click.echo(
            f"{found.examples} examples, each both ways round, and {found.fences} fences on {found.pages} pages: "
            f"{len(found.failed)} fail. Not shown: {len(found.gaps)}. "
            f"Slips of the pen: {found.slips}, not noticed: {len(found.unnoticed)}."
        )
    sys.exit(2 if found.failed else 1 if found.gaps or found.unnoticed else 0)


def _counts(found: object) -> dict[str, int]:
    return {name: getattr(found, name) for name in ("pages", "examples", "fences", "slips")}
