"""`reasoner teach collect CLASS PLACES...`: take in what apprentices handed in.

In: the folder of a class; answer files, or folders of them. Out: what became of each; the taken ones in the class, letter for
letter. Exit code 0 where nothing is left to do, 3 where a file was set aside. Not here: deciding (teaching.collecting).
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, print_json, ready, shared
from reasoner.cli.teach.common import class_argument
from reasoner.problems import BadInput, Problem

SET_ASIDE = 3
EPILOG = """\b
Example:
  reasoner teach collect my-class received/
  reasoner teach collect my-class case-3.tam-orrin.answer.json case-3.ida-fenn.answer.json

\b
Exit codes: 0 everything was taken, or was taken before; 3 a file was set aside and stays where it lies.
"""


@click.command("collect", epilog=EPILOG)
@class_argument
@click.argument("places", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PLACES...")
@shared
@answering
def command(folder: Path, places: tuple[Path, ...], folders: Sequence[Path], as_json: bool) -> None:
    """Take answer files into the class. A file that is unfinished, was changed, or is of another case is told and stays where it
    lies; collecting the same one twice changes nothing. Each new answer takes some seconds: every look in it is weighed."""
    from reasoner.rendering.class_json import collected_json
    from reasoner.rendering.collected_text import collected_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.teaching.class_folder import class_in
    from reasoner.teaching.collecting import collected, needs_somebody

    rules, room = ready(folders), class_in(folder)
    files = [file for place in places for file in _files(place)]
    verdicts = list(collected(room, files, rules))
    if as_json:
        print_json(collected_json(verdicts))
    else:
        print_page(collected_lines(verdicts))
    if needs_somebody(verdicts):
        sys.exit(SET_ASIDE)


def _files(place: Path) -> list[tuple[str, bytes | BadInput]]:
    """The file, or the JSON files of a folder. Raises BadInput: YM01 or YM02 where the file that was named cannot be read, TE90
    where a folder has none."""
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.teaching.collecting import bytes_of

    if not place.is_dir():
        return [(str(place), read_bytes(place))]
    found = sorted(place.glob("*.json"))
    if not found:
        raise BadInput([Problem(str(place), 0, "TE90", "no answer (*.json) lies in this folder.",
                                "Put the files that apprentices sent into it.")])  # fmt: skip
    return [(str(path), bytes_of(path)) for path in found]
