"""`reasoner which-of VISIT A B`: which of the two.

In: a visit file and two conclusions' names. Out: both side by side, and what would part them, as words or JSON.
Not here: wording (rendering), finding what parts them (questions.which_of).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.asked import conclusion_meant
from reasoner.cli.common import answering, consulted, print_json, shared, visit_argument, with_records
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner which-of examples/bramble.yaml "saddle to one side" "saddle follows the hind limb"
  reasoner which-of examples/bramble.yaml "tree too narrow" "tree too wide"
"""


@click.command("which-of", epilog=EPILOG)
@visit_argument
@click.argument("one")
@click.argument("two")
@click.option("--most", type=click.IntRange(1, 50), default=3, show_default=True, help="How many looks to propose.")
@with_records
@shared
@answering
def command(
    visit: Path,
    one: str,
    two: str,
    most: int,
    store_at: str | None,
    part: int | None,
    folders: Sequence[Path],
    as_json: bool,
) -> None:
    """What speaks for each of two conclusions, what both and what only one accounts for, and which look would part them best.
    A side is written behind the name, as in "hind pushes off less, left"; without one, the side for which more speaks."""
    answer = consulted(visit, folders, as_json, store_at, part)
    from reasoner.questions.which_of import which_of

    first = conclusion_meant(one, None, answer)
    second = conclusion_meant(two, None, answer, otherwise=first[1])
    if first == second:
        raise BadInput([Problem("CONCLUSION", 0, "CL09", "both names mean the same conclusion.", "Name two.")])
    told = which_of(answer, first, second, most)
    if as_json:
        from reasoner.rendering.asked_json import which_of_json

        print_json(which_of_json(told, answer))
        return
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.which_of_text import which_of_lines

    print_page(which_of_lines(told, answer))
