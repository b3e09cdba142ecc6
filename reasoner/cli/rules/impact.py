"""`reasoner rules impact --against DIR [VISITS...]`: what would change if this rulebook replaced that one.

In: two rulebooks and visit files. Out: the differences, visit by visit, as words or JSON; how far it is on standard error.
Not here: the comparison (differences), wording (rendering.impact_text).
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, print_json, ready, shared
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.rendering.impact_text import Judged
    from reasoner.rules_cache import Ready

register({"CL07": "no visits to compare"})

MANY, CHANGED = 20, 3
EPILOG = """\
Exit codes: 0 compared, whatever it found; 2 something in the input needs mending;
with --must-agree, 3 where anything changes.

\b
Example:
  reasoner rules impact --rules shipped --rules my-practice/ --against shipped
  reasoner rules impact --against ../older/rules visits/ --json
"""


@click.command("impact", epilog=EPILOG)
@click.argument("visits", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--against", "others", multiple=True, required=True, type=click.Path(path_type=Path), metavar="DIR",
    help="The rulebook that would be replaced; given twice or more, later folders lie over earlier ones. The word "
    "`shipped` stands for the shipped rules.",
)  # fmt: skip
@click.option("--must-agree", is_flag=True, help="Leave with exit code 3 where anything changes.")
@shared
@answering
def command(
    visits: Sequence[Path], others: Sequence[Path], must_agree: bool, folders: Sequence[Path], as_json: bool
) -> None:
    """What would change in the answers if the rulebook of --rules (or the shipped one) took the place of the one of
    --against: when to call the veterinarian and why, may it be ridden, the steps and what is held back, where the account
    starts, and how strongly each conclusion stands. VISITS are visit files, or folders of them; without any, those of the
    folder `examples` beside the rules."""
    from reasoner.rendering.impact_text import Stamps, impact_json, impact_lines

    files = list(_files(visits, folders))
    new, old = ready(folders), ready(others)
    judged = [_compared(file, old, new, number, len(files)) for number, file in enumerate(files)]
    stamps = Stamps(old.book.stamp, old.book.folders, new.book.stamp, new.book.folders)
    if as_json:
        print_json(impact_json(judged, stamps))
    else:
        from reasoner.rendering.terminal import print_page

        print_page(impact_lines(judged, stamps))
    if must_agree and any(visit.changes for visit in judged):
        sys.exit(CHANGED)


def _files(visits: Sequence[Path], folders: Sequence[Path]) -> Iterator[Path]:
    """The visit files meant, folders opened. Raises BadInput (CL07) where there are none."""
    if not visits:
        from reasoner.rulebook.layers import shipped_rules

        rules = [shipped_rules() if str(f) == "shipped" else f for f in folders] or [shipped_rules()]
        beside = [folder.resolve().parent / "examples" for folder in rules]
        visits = [folder for folder in dict.fromkeys(beside) if folder.is_dir()]
        if not visits:
            raise BadInput([Problem("VISITS", 0, "CL07", "no visit was named, and there is no folder `examples` beside "
                                    "the rules.", "Name visit files, or a folder of them.")])  # fmt: skip
    for path in visits:
        if not path.is_dir():
            yield path
            continue
        inside = sorted(path.glob("*.yaml"))
        if not inside:
            raise BadInput([Problem(str(path), 0, "CL07", "this folder holds no visit files (*.yaml).")])
        yield from map(_shown, inside)


def _shown(path: Path) -> Path:
    """A path as a person in this folder would write it."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


def _compared(file: Path, old: Ready, new: Ready, number: int, of: int) -> Judged:
    """One visit under both. Raises BadInput only where neither rulebook can read it."""
    from reasoner.differences import changes_between, reads_only_with
    from reasoner.rendering.impact_text import Judged

    if of >= MANY and number % max(of // 10, 1) == 0:
        click.echo(f"{number} of {of} visits judged", err=True)
    before, after = _answer(file, old), _answer(file, new)
    if isinstance(before, BadInput) and isinstance(after, BadInput):
        raise after
    if isinstance(before, BadInput) or isinstance(after, BadInput):
        read, bad = (after, before) if isinstance(before, BadInput) else (before, after)
        assert not isinstance(read, BadInput)
        assert isinstance(bad, BadInput)
        return Judged(str(file), _horse(read), (reads_only_with(read is after, str(bad.problems[0])),))
    return Judged(str(file), _horse(after), changes_between(before, after))


def _answer(file: Path, rules: Ready) -> Answer | BadInput:
    from reasoner.consult import consult

    try:
        return consult(file, rules)
    except BadInput as bad:
        return bad


def _horse(answer: Answer) -> str:
    return answer.visit.horse_name
