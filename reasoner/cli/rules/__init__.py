"""`reasoner rules ...`: the commands of those who keep the rules.

In: the words after `reasoner rules`. Out: the command of that name. A new command is one file here and one line in `RULES`.
Not here: any one command; nothing here is imported by a command that answers a visit.
"""

from __future__ import annotations

import gc

import click

from reasoner.cli import Late

#: Each command, and its line in the help; it stands in the module of its name beside this file.
RULES = {
    "check": "Everything that is wrong with a rulebook, with file and line, and what it holds in numbers.",
    "new": "A page to fill in, of the kind you name.",
    "test": "Do the examples come true, what do they not show, which slips of the pen would nobody notice.",
    "show": "A rule, page, place, observation or source, and everything that leans on it.",
    "book": "The whole rulebook as a handbook: one page (HTML) to read, search and print.",
    "impact": "What would change, visit by visit, if this rulebook replaced another.",
    "fence": "Small cases on either side of the limits that no example guards yet.",
}
EPILOG = """\b
Example:
  reasoner rules check
  reasoner rules check --rules shipped --rules my-practice/
  reasoner rules new cause rug_rubs --into my-practice/
  reasoner rules show withers_pinch
  reasoner rules book -o rules.html
  reasoner rules impact --rules shipped --rules my-practice/ --against shipped
"""


class _Rules(Late):
    table = RULES
    package = "reasoner.cli.rules"


@click.group("rules", cls=_Rules, epilog=EPILOG)
def command() -> None:
    """For those who keep the rules: check them, begin a page, look things up, compare two."""
    gc.enable()  # a command that answers one visit leaves its garbage; these work through whole rulebooks
