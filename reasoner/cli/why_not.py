"""`reasoner why-not VISIT CONCLUSION`: why a conclusion was not drawn.

In: a visit file and a conclusion's name. Out: its silent rules and what is missing, as words or JSON.
Not here: wording (rendering), finding what is missing (questions.why_not).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.asked import conclusion_meant
from reasoner.cli.common import answering, consulted, print_json, shared, visit_argument, with_records

EPILOG = """\b
Example:
  reasoner why-not examples/bramble.yaml "tree too narrow"
  reasoner why-not examples/bramble.yaml "hind pushes off less" --side left
"""


@click.command("why-not", epilog=EPILOG)
@visit_argument
@click.argument("conclusion", nargs=-1, required=True)
@click.option("--side", metavar="SIDE", help="left (near) or right (off). Without it, the side for which more speaks.")
@click.option("--full", is_flag=True, help="Show every rule; the short page shows those that would bring it up most.")
@with_records
@shared
@answering
def command(
    visit: Path,
    conclusion: Sequence[str],
    side: str | None,
    full: bool,
    store_at: str | None,
    part: int | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """Each rule that could have spoken for a conclusion, and the least that kept it silent: not examined, quiet or otherwise,
    too weak and by how much, discounted; what the conclusion would then come to; and the strongest evidence against it."""
    answer = consulted(visit, folders, as_json, store_at, part)
    from reasoner.questions.why_not import why_not

    told = why_not(answer, conclusion_meant(" ".join(conclusion), side, answer))
    if as_json:
        from reasoner.rendering.asked_json import why_not_json

        print_json(why_not_json(told, answer))
        return
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.why_not_text import why_not_lines

    print_page(why_not_lines(told, answer, full=full))
