"""`reasoner teach ...`: a teacher's desk: write a case, lock the answer, hand it out, collect answers, see the class.

In: the words after `reasoner teach`. Out: the command of that name. A new command is one file here and one line in `TEACH`.
Not here: any one command; working on a case (practise).
"""

from __future__ import annotations

import click

from reasoner.cli import Late

#: Each command, and its line in the help; it stands in the module of its name beside this file.
TEACH = {
    "case": "Begin a case: a file for your own answer, with what the rules say below it.",
    "check": "Your own answer beside the rules', before it is handed out.",
    "hand-out": "Lock the answer, and write the file that apprentices are given.",
    "collect": "Take in what apprentices handed in.",
    "show": "The class: who found what, which look was left, what it was taken for.",
    "give-back": "One apprentice's answer beside yours and the rules', to give back.",
}
EPILOG = """\b
Example:
  reasoner teach case examples/bramble.yaml -o case-3.yaml      fill in what you hold for right
  reasoner teach check case-3.yaml
  reasoner teach hand-out case-3.yaml --class my-class -o case-3.json
  (each apprentice: reasoner practise case-3.json --name "Tam Orrin", and sends the answer file back)
  reasoner teach collect my-class received/
  reasoner teach show my-class -o class.pdf
  reasoner teach give-back my-class --of "Tam Orrin" -o tam.pdf
"""


class _Teach(Late):
    table = TEACH
    package = "reasoner.cli.teach"


@click.group("teach", cls=_Teach, epilog=EPILOG)
def command() -> None:
    """A teacher's desk: write a case, lock the answer, hand it out as a file, collect answers, see the class.

    A class is a folder on your own machine. It holds the key to your answers: give apprentices the files that are written for
    them, and never the folder.
    """
