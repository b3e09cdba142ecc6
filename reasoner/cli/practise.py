"""`reasoner practise`: a case that is uncovered as it is examined, and at the end every choice beside the reasoner's.

In: lines typed, or read from a file; a session file to stop and take up; a record. Out: words or JSON.
Not here: what a choice does, marking (teaching), wording (rendering).
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

import click

from reasoner.cli.common import answering, may_be_written, print_json, ready, shared, write_all_whole
from reasoner.cli.practise_cases import case_for, kept_case_for, record_of
from reasoner.cli.practise_handed_out import handed_out_at, work_on
from reasoner.problems import BadInput, Problem
from reasoner.rules_cache import Ready
from reasoner.teaching.marked import Marked
from reasoner.teaching.practice_record import Record
from reasoner.teaching.session import Session

EPILOG = """\b
Example:
  reasoner practise                             a plain case; type `end` when you have made up your mind
  reasoner practise my.json --record me.json    stop with `stop`, take it up with the same words
  reasoner practise my.json --answers lines.txt --json
  reasoner practise --from examples/bramble.yaml
  reasoner practise case-3.json --name "Tam Orrin"   a case that your teacher handed out
  reasoner practise --recovered 10              how often the rules find a cause again in cases made from it

Lines: look girth line | think girth presses, left = 60 % | refer none | step girth back in its groove |
drop girth back in its groove | end
"""
NAMED = ("causes", "steps")
LISTS = ("looks", *NAMED, "seen", "help")
STOP = "stop"


@click.command("practise", epilog=EPILOG)
@click.argument("place", type=click.Path(path_type=Path), required=False, metavar="[SESSION]")
@click.option(
    "--seed", type=click.IntRange(0), help="The same seed makes the same case again. Left out, it falls by chance."
)
@click.option(
    "--difficulty",
    default="",
    metavar="WORD",
    help="How clear the case is: plain, usual or hard. Left out, your record says.",
)
@click.option("--from", "visit", type=click.Path(path_type=Path), metavar="VISIT",
              help="Practise on this visit, or one of a folder by chance, its names taken out, not on a case that is "
                   "made.")  # fmt: skip
@click.option("--store", "store_at", metavar="FILE|URL",
              help="Practise on a visit kept in these records, by chance, its names taken out.")  # fmt: skip
@click.option("--horse", default="", metavar="NAME", help="With --store: on a visit to this horse.")
@click.option("--record", "record_at", type=click.Path(path_type=Path), metavar="FILE",
              help="Keep your progress here; it says how hard the next case is, and what comes again.")  # fmt: skip
@click.option(
    "--answers",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Read the lines from this file and not from the keyboard.",
)
@click.option(
    "--name", default="", metavar="NAME", help="Your name, where SESSION is a case that a teacher handed out."
)
@click.option("--recovered", type=click.IntRange(1, 1000), metavar="N",
              help="No practice: make N cases of every kind, and tell how often the rules find their cause again.")  # fmt: skip
@shared
@answering
def command(
    place: Path | None, seed: int | None, difficulty: str, visit: Path | None, store_at: str | None, horse: str,
    record_at: Path | None, answers: Path | None, name: str, recovered: int | None, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Practise on a case that is uncovered as it is examined: choose the next look, see the reading, say what you think and
    how sure, say whether the veterinarian is called, and propose steps. At the end each choice is set beside what the rules
    make of it."""
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.teaching import practice_record, session_file
    from reasoner.teaching.next_case import counted
    from reasoner.teaching.session import begun

    rules = ready(folders)
    if recovered is not None:
        _recovered(rules, recovered, seed or 0, as_json)
        return
    if name or (place is not None and handed_out_at(place)):
        own = (seed, visit, store_at, record_at, difficulty or None, horse or None)
        work_on(place, name, rules, answers, as_json, _played, alone=own.count(None) == len(own))
        return
    if horse and store_at is None:
        raise click.UsageError("--horse says which horse of the records; name them with --store.")
    if visit is not None and store_at is not None:
        raise click.UsageError("--from and --store are two ways to begin; name one of them.")
    record = record_of(record_at)
    for file, what in ((place, session_file.WHAT), (record_at, practice_record.WHAT)):
        if file is not None:
            may_be_written(file, over=f'"what": "{what}"')  # told now, and not after an hour's work
    if place is not None and place.exists():
        if visit is not None or store_at is not None or seed is not None or difficulty:
            raise click.UsageError(f"{place} holds a session with its own case; name another file to begin a new one.")
        session = session_file.session_from(read_bytes(place), str(place), rules.book)
    else:
        chance = random.Random(seed) if seed is not None else random.SystemRandom()
        if store_at is not None:
            session = begun(kept_case_for(rules, store_at, horse, chance))
        else:
            session = begun(case_for(rules, record, visit, difficulty, chance, now()))
    over = session.ended
    session, stopped = _played(session, rules, answers, as_json)
    marks = None
    if session.ended:
        from reasoner.teaching.marking import marked

        marks = marked(session, rules)
        record = record if over else counted(record, marks, session, rules, now())
    _keep(session, place, None if over or marks is None else record, record_at)
    _tell(session, marks, record if record_at is not None else None, rules, as_json, stopped, place)


def _played(
    session: Session,
    rules: Ready,
    answers: Path | None,
    as_json: bool,
    each: Callable[[Session, Session], None] | None = None,
) -> tuple[Session, bool]:
    """The session after the lines, and whether it was stopped. With --answers whatever is wrong ends it; at the keyboard it
    is told. `each` is told of the session before and after every line that changes it."""
    from reasoner.rendering.practise_text import looks_lines, names_lines, shown_lines, state_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.teaching.choices import chosen
    from reasoner.teaching.offered import offered
    from reasoner.teaching.session import seen_by

    quiet = as_json or answers is not None
    answer = seen_by(session, rules)
    if not quiet and not session.ended:
        print_page(state_lines(session, offered(session, answer), rules.book))
    for number, line in _lines(session, answers):
        word = line.strip().casefold()
        if word == STOP:
            return session, True
        if word in LISTS:
            offer = offered(session, answer)
            if word == "looks":
                lines = looks_lines(offer, rules.book)
            elif word in NAMED:
                lines = names_lines(rules.book, word)
            else:
                lines = state_lines(session, offer, rules.book)
            print_page(lines, file=sys.stderr if as_json else None)
            continue
        try:
            new = chosen(line, session, answer)
        except BadInput as bad:
            if answers is not None:
                raise BadInput(
                    [Problem(str(answers), number, p.code, p.sentence, p.hint) for p in bad.problems]
                ) from None
            for problem in bad.problems:
                click.echo(f"{problem.sentence} {problem.hint}".strip(), err=True)
                if problem.code == "TE54":
                    click.echo(f"`{STOP}` keeps it for later, `help` shows what can be done.", err=True)
            continue
        if each is not None:
            each(session, new)
        if new.looks != session.looks:
            answer = seen_by(new, rules)
            if not as_json:
                print_page(shown_lines(new, new.looks[-1], rules.book))
        session = new
        if session.ended:
            break
    return session, False


def now() -> datetime:
    """This moment; the one clock of this command."""
    return datetime.now(UTC)


def _lines(session: Session, answers: Path | None) -> Iterator[tuple[int, str]]:
    """The lines and their numbers; empty ones, and those that begin with #, say nothing."""
    if session.ended:
        return
    if answers is not None:
        from reasoner.rulebook.strict_yaml import read_bytes

        try:
            lines = read_bytes(answers).decode("utf-8").splitlines()
        except UnicodeDecodeError:
            raise BadInput(
                [Problem(str(answers), 0, "TE54", 'this is no text; lines such as "look girth line" were expected.')]
            ) from None
        yield from ((n, line) for n, line in enumerate(lines, 1) if line.strip() and not line.lstrip().startswith("#"))
        return
    asks = sys.stdin.isatty()
    number = 0
    while True:
        if asks:
            click.echo("> ", nl=False, err=True)
        line = sys.stdin.readline()
        number += 1
        if not line:
            return
        if line.strip():
            yield number, line


def _keep(session: Session, place: Path | None, record: Record | None, record_at: Path | None) -> None:
    """Session and record are written together, or neither is."""
    from reasoner.teaching import practice_record, session_file

    files: list[tuple[Path, str | bytes, str | None]] = []
    if place is not None:
        files.append((place, session_file.session_text(session), f'"what": "{session_file.WHAT}"'))
    if record_at is not None and record is not None:
        files.append((record_at, practice_record.record_text(record), f'"what": "{practice_record.WHAT}"'))
    if files:
        write_all_whole(files)


def _tell(
    session: Session,
    marks: Marked | None,
    record: Record | None,
    rules: Ready,
    as_json: bool,
    stopped: bool,
    place: Path | None,
) -> None:
    from reasoner.rendering import practise_json
    from reasoner.rendering.practise_marks_text import marked_lines, progress_lines
    from reasoner.rendering.practise_text import state_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.teaching.offered import offered
    from reasoner.teaching.session import seen_by

    if as_json:
        offer = offered(session, seen_by(session, rules))
        print_json(practise_json.practise_json(session, offer, marks, record, rules.book, now()))
        return
    if marks is None:
        print_page(state_lines(session, offered(session, seen_by(session, rules)), rules.book))
        if place is not None:
            click.echo(f"Kept in {place}; the same words take it up again.", err=True)
        elif stopped or session.looks:
            click.echo("Not kept: no file was named for this session.", err=True)
        return
    print_page(marked_lines(marks, rules.book))
    if record is not None:
        print_page(progress_lines(record, now()))


def _recovered(rules: Ready, count: int, seed: int, as_json: bool) -> None:
    from reasoner.teaching.recovery import recovered

    rows = recovered(rules, count, seed)
    if as_json:
        from reasoner.rendering.practise_json import recovered_json

        print_json(recovered_json(list(rows), seed, rules.book))
        return
    from reasoner.rendering.practise_marks_text import recovered_lines
    from reasoner.rendering.terminal import print_page

    print_page(recovered_lines(rows, rules.book))
