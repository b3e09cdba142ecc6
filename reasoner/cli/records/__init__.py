"""`reasoner records ...`: the commands of the practice's records.

In: the words after `reasoner records`. Out: the command of that name. A new command is one file here and one line in `RECORDS`.
Not here: any one command.
"""

from __future__ import annotations

import click

from reasoner.cli import Late

#: Each command, and its line in the help; it stands in the module of its name beside this file.
RECORDS = {
    "save": "Keep one visit or many, with the answer and the plan of today's rules.",
    "correct": "Keep a new version of a visit; the old one stays readable.",
    "move": "A visit kept under the wrong horse counts at the right one.",
    "withdraw": "A visit counts nowhere any more, or counts again; it stays readable.",
    "horse": "Where a horse stands and whose it is, from which day on.",
    "list": "Every horse, or every visit to one.",
    "show": "One visit as it was kept: its file, or what was said of it then.",
    "enclose": "Keep photographs and tables of tracings with a visit.",
    "consent": "What was agreed about a horse: by whom, from when, for how long.",
    "contact": "How an owner is reached; or take that out for good.",
    "export": "Everything as files: visits byte for byte, and a table a kind.",
    "import": "Read an export back into records that are still empty.",
    "backup": "Copy everything into one file, while others work.",
    "restore": "Make records from a backup, under a name where nothing is.",
    "check": "Look whether everything kept is still what was kept.",
    "told": "What the owner says was really done of a step of the plan.",
    "judge": "The practitioner's own judgement of a conclusion, beside the tool's.",
    "countersign": "Who answers for an apprentice's visit puts a name to it.",
    "upgrade": "Bring records of an older version up to date; a copy is kept.",
}
EPILOG = """\b
Example:
  reasoner records save examples/bramble.yaml --store practice.db
  reasoner records list --store practice.db
  reasoner records show Bramble --store practice.db
"""


class _Records(Late):
    table = RECORDS
    package = "reasoner.cli.records"


@click.group("records", cls=_Records, epilog=EPILOG)
def command() -> None:
    """Keep visits, find them again, correct, export, back up. Nothing once kept is changed or lost."""
