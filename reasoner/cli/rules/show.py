"""`reasoner rules show KEY`: a thing of the rulebook and everything that leans on it.

In: a key, name or synonym. Out: words or JSON.
Not here: finding what leans on what (rulecare.leaning), wording (rendering.rules_show).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, rules_folders, shared

EPILOG = """\b
Example:
  reasoner rules show withers_pinch/sore_on_this_side
  reasoner rules show von_peinen_2010
  reasoner rules show behind the shoulder blade
"""


@click.command("show", epilog=EPILOG)
@click.argument("key", nargs=-1, required=True)
@click.option("--full", is_flag=True, help="Name also every case that merely records a place or an observation.")
@shared
@answering
def command(key: Sequence[str], full: bool, folders: Sequence[Path], as_json: bool) -> None:
    """A rule, page, action, concern, circumstance, source, place or observation; then, with file and line, all that
    leans on it: the rules that read it, the pages that lead to it, the actions that want it or are forbidden by it, what
    cites it, and the cases that name it."""
    from reasoner.rendering.rules_show import show_json, show_lines
    from reasoner.rulebook.loading import load_rulebook
    from reasoner.rulecare.leaning import leanings
    from reasoner.rulecare.names import look_up

    book = load_rulebook(rules_folders(folders))
    entry = look_up(" ".join(key), book)
    if as_json:
        print_json(show_json(entry, book, leanings(book)))
        return
    from reasoner.rendering.terminal import print_page

    print_page(show_lines(entry, book, leanings(book), full=full))
