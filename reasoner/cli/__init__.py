"""The command line: arguments, exit codes, printing what rendering returns.

In: the words after `reasoner`. Out: text or JSON on standard output, problems on standard error, an honest exit code.
Not here: reading YAML, wording. One file a command; a command is imported only when it is called.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Mapping
from importlib import import_module

import click

from reasoner import __version__
from reasoner.cli.epilogs import folded

#: Each command, the module that holds it, and its line in the help.
COMMANDS = {
    "assess": "What likely makes this horse sore: for, against, not checked; reasons to call the veterinarian first.",
    "why": "Why is it sore at this one place.",
    "plan": "The draft plan: may it be ridden, steps, owner's tasks, when to look again.",
    "next": "What to check next, and in what order; or the questions to ask before a visit.",
    "why-not": "Why was a conclusion not drawn: what kept each rule silent.",
    "suppose": "Suppose some readings were otherwise: before and after.",
    "which-of": "Two conclusions side by side, and the look that would part them.",
    "firm": "How firm is it, if the same hand graded every place again.",
    "overturn": "What would change my mind: the fewest readings that bring another answer.",
    "explain": "A case told as a lesson: what each finding makes one think of, what rules it in and out, where it turns.",
    "report": "A page for the owner, the veterinarian, the saddle fitter or the farrier.",
    "measure": "Tape, tracing and scales: one thing worked out from numbers, with its error and what it rests on.",
    "batch": "Many visits at once: a folder of visit files, or a table with one row a finding.",
    "again": "Begin another visit: the same as last time except, with what was expected and what to ask.",
    "note": "A spoken or typed line as findings: shown for a yes, and written into a visit.",
    "progress": "One horse over its visits: what changed beyond the hand's own error, and what came of the plans.",
    "records": "Keep visits, find them again, correct, export, back up.",
    "diary": "Which horses are due to be seen again; also as a calendar file.",
    "day-sheet": "A day's horses, each with the checks it needs.",
    "track": "How often what was promised came true, over all horses: each rule, cause and action.",
    "yard": "What several horses show together: under one rider, in one saddle, in one examiner's hands.",
    "serve": "The page in a browser: at the horse on a telephone, and at the desk.",
    "people": "Who may come in when the page is reached from nearby, besides the practitioner.",
    "agree": "Two hands on one horse, or one hand twice: how well they agree, and which reading moved which conclusion.",
    "press": "Practise with a floor scale: how steady a push is, how near to what was aimed at.",
    "practise": "Practise on a case that is uncovered as it is examined; every choice is set beside the rules' at the end.",
    "teach": "A teacher's desk: write a case, lock the answer, hand it out, collect answers, see the class.",
    "new": "A blank visit file, and a sheet to print.",
    "rules": "For those who keep the rules: check them, begin a page, and more.",
}
EPILOG = """\
Exit codes: 0 answered; 2 something in the input needs mending (nothing was written);
1 the program itself failed.

\b
Example:
  reasoner assess examples/bramble.yaml
"""


class Late(click.Group):
    """A group whose commands are imported when they are asked for, so that one command pays only for itself.

    `table` maps the name of a command to its line in the help; the command stands in the module `package`.name.
    """

    table: Mapping[str, str] = COMMANDS
    package = "reasoner.cli"

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names, in the order of the table."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of this name, imported now."""
        if cmd_name not in self.table:
            return None
        found: click.Command = import_module(f"{self.package}.{cmd_name.replace('-', '_')}").command
        found.epilog = folded(found.epilog) if found.epilog else None
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The table itself: asking each command for its help would import them all."""
        with formatter.section("Commands"):
            formatter.write_dl(list(self.table.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command meant, or the nearest name there is."""
        if args and args[0] not in self.table and not args[0].startswith("-"):
            from reasoner.problems import near_hint

            hint = near_hint(args[0], self.table) or f"Known: {', '.join(self.table)}."
            ctx.fail(f'there is no command "{args[0]}". {hint}')
        return super().resolve_command(ctx, args)


@click.group(cls=Late, epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="reasoner")
def cli() -> None:
    """Hands-on findings of one visit to one horse in; likely causes, the why, and a draft plan out.

    It does not diagnose and does not take the place of a veterinarian.
    """


def main() -> None:
    """Run the command line. A reader that goes away (`| head`) is no error."""
    os.environ.setdefault(
        "OPENBLAS_NUM_THREADS", "1"
    )  # no matrix is ever multiplied here; its threads only cost a start
    gc.disable()  # a command lives for a moment: collecting its garbage takes longer than leaving it
    code: object = 0
    try:
        cli(prog_name="reasoner")
    except SystemExit as leaving:
        code = leaving.code
    except BrokenPipeError:
        os._exit(0)
    except OSError as fault:
        _not_written(fault)
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:
        os._exit(0)
    except OSError as fault:
        _not_written(fault)
    # Every file is closed by now; taking a whole rulebook apart piece by piece would be a tenth of the command's time.
    os._exit(code if isinstance(code, int) else 1)


def _not_written(fault: OSError) -> None:
    """A full disk, say, where the answer was to go: told in one line, exit code 1."""
    why = (fault.strerror or "it cannot be written").lower()
    os.write(2, f"the answer could not be written: {why}.\n".encode())
    os._exit(1)
