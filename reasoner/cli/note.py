"""`reasoner note "right trap three, left four"`: a spoken or typed line as findings of a visit.

In: a line, or many on standard input. Out: what was understood, shown for a yes; with --to a visit file with it in.
Not here: understanding (lines), wording (rendering).
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import answering, print_json, ready, shared, write_whole
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from reasoner.lines import Understood
    from reasoner.lines.replaced import Spot
    from reasoner.rulebook.rulebook import Rulebook

register(
    {
        "LN08": "nobody said yes to what was understood",
        "LN09": "a line has no words",
    }
)
#: The most lines read at once (own setting): more is no dictation.
MOST_LINES = 500
EPILOG = """\
What is not understood is kept as a note and never guessed at; where a side, a place or a number is in doubt, it asks.
Exit codes: 0 understood (and written); 2 a question is open, or something needs mending, and nothing was written.

\b
Example:
  reasoner note "right trap three, left four, bit tight"
  reasoner note "loin left six flinched, right nothing" --to bramble-may.yaml
  reasoner note - --to bramble-may.yaml --yes < spoken.txt
"""


@click.command("note", epilog=EPILOG)
@click.argument("line")
@click.option("--at", "looking_at", metavar="PLACE", help="The place you are at, for a line that names none.")
@click.option("--to", "visit", type=click.Path(path_type=Path), metavar="VISIT",
              help="The visit file to add it to. Its comments and its order stay.")  # fmt: skip
@click.option("--yes", is_flag=True, help="Write without asking whether it was understood rightly.")
@shared
@answering
def command(
    line: str, looking_at: str | None, visit: Path | None, yes: bool, folders: Sequence[Path], as_json: bool
) -> None:
    """Turn LINE (or, with -, each line of standard input) into findings, and show what was understood."""
    from reasoner.lines.gathering import together, understood_in_turn
    from reasoner.lines.into_file import written_into
    from reasoner.rulebook.strict_yaml import read_bytes

    book = ready(folders).book
    spoken = _lines(line)
    every = understood_in_turn(spoken, book, _place(looking_at, book))
    whole = together(every)
    data = read_bytes(visit) if visit is not None else b""
    stands = _standing(data, str(visit), book) if visit is not None else {}
    can_ask = line != "-" and not as_json and sys.stdin.isatty() and sys.stdout.isatty()
    if not as_json:
        _show(every, whole, book, stands)
    if whole.questions and can_ask:
        whole = _asked(whole, book)
        _show([whole], whole, book, stands)
    if whole.questions:
        _leave(every, whole, book, as_json)
    new = written_into(data, str(visit), whole, book.vocabulary) if visit is not None else b""
    if (
        visit is not None
        and not yes
        and not (can_ask and click.confirm("Is that right? It is then written", default=False))
    ):
        raise BadInput([Problem(str(visit), 0, "LN08", "nobody said yes to what was understood.",
                                "Say yes on a terminal, or give --yes.")])  # fmt: skip
    if visit is not None:
        write_whole(visit, new, over=lambda now: now == data)  # what somebody wrote meanwhile is not written over
    if as_json:
        from reasoner.rendering.note_json import note_json

        print_json(note_json(every, whole, book, str(visit) if visit else None))
    elif visit is not None:
        click.echo(f"written: {visit}")


def _lines(line: str) -> list[str]:
    """The line, or those of standard input that are not empty. Raises BadInput (LN09)."""
    spoken = [line]
    if line == "-":
        data = sys.stdin.buffer.read(1_000_000)
        try:
            spoken = data.decode("utf-8-sig").splitlines()
        except UnicodeDecodeError:
            raise BadInput([Problem("standard input", 0, "YM09", "the lines are not UTF-8.")]) from None
    spoken = [" ".join(one.split()) for one in spoken if one.strip()]
    if not spoken or not any(letter.isalnum() for one in spoken for letter in one):
        raise BadInput([Problem("the line", 0, "LN09", "there are no words in it.",
                                'Say such as "loin left four, right two".')])  # fmt: skip
    if len(spoken) > MOST_LINES:
        raise BadInput(
            [Problem("standard input", 0, "LN06", f"{len(spoken)} lines; at most {MOST_LINES} are read at once.")]
        )
    return spoken


def _place(looking_at: str | None, book: Rulebook) -> str | None:
    """The key of the place the option names. Raises BadInput (LN07)."""
    if looking_at is None:
        return None
    from reasoner.problems import near_hint
    from reasoner.rulebook.vocabulary import canonical

    key = book.vocabulary.place_of.get(canonical(looking_at))
    if key is None:
        hint = near_hint(looking_at.casefold(), (word.replace("_", " ") for word in book.vocabulary.place_of))
        raise BadInput([Problem("--at", 0, "LN07", f'"{looking_at[:60]}" is not a place of the vocabulary.', hint)])
    return key


def _standing(data: bytes, file: str, book: Rulebook) -> dict[Spot, str]:
    """What the file says already. Raises BadInput where it does not read."""
    from reasoner.lines.replaced import standing_in
    from reasoner.visit.reading import visit_from_bytes

    return standing_in(visit_from_bytes(data, file, book.vocabulary))


def _show(every: Sequence[Understood], whole: Understood, book: Rulebook, stands: dict[Spot, str]) -> None:
    from reasoner.lines.replaced import QUIET, with_line
    from reasoner.rendering.note_text import note_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.rendering.text_page import GAP

    fixed = {spot for spot, words in stands.items() if words != QUIET}
    for number, told in enumerate(every):
        print_page([*([GAP] if number else []), *note_lines(told, book.vocabulary, stands, fixed)])
        stands = with_line(stands, told.findings, told.withdrawn)
    if len(every) > 1 and whole.questions:
        from reasoner.rendering.note_text import question_words
        from reasoner.rendering.text_page import Line, heading

        rows = [Line(question_words(q, book.vocabulary), "open", 0, "?") for q in whole.questions]
        print_page([*heading("open over all lines"), *rows])


def _asked(whole: Understood, book: Rulebook) -> Understood:
    """Every question put on the terminal until it is answered; an answer that is none is told and asked again."""
    from reasoner.lines import KEEP, answered
    from reasoner.rendering.note_text import question_words

    while whole.questions:
        question = whole.questions[0]
        said = click.prompt(f"{question_words(question, book.vocabulary)}\n  (or: {KEEP})")
        try:
            whole = answered(whole, question, str(said), book)
        except BadInput as bad:
            click.echo(str(bad.problems[0]), err=True)
    return whole


def _leave(every: Sequence[Understood], whole: Understood, book: Rulebook, as_json: bool) -> None:
    """Open questions and nobody to answer: exit code 2."""
    if as_json:
        from reasoner.rendering.note_json import note_json

        print_json(note_json(every, whole, book, None))
    else:
        some = len(whole.questions)
        click.echo(f"LN05: {some} question{'s' if some != 1 else ''} to answer first; nothing was written.", err=True)
    sys.exit(2)
