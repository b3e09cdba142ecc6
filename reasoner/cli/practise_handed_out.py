"""`reasoner practise FILE --name NAME`: work on a case that a teacher handed out.

In: the handed-out file, a name, lines. Out: the apprentice's answer as a file beside it, written after every choice; words or
JSON.
Not here: the lines themselves (practise), links and seals (teaching.handed_in, teaching.handing_out), wording (rendering)."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import may_be_written, print_json, write_whole
from reasoner.problems import BadInput, Problem
from reasoner.rules_cache import Ready
from reasoner.teaching.session import Session

if TYPE_CHECKING:
    from reasoner.teaching.handed_in import Work

Played = Callable[..., tuple[Session, bool]]
MARK_BYTES = 400


def handed_out_at(place: Path) -> bool:
    """Whether a handed-out case lies at this place, or an answer to one, which is easily named in its stead."""
    from reasoner.teaching.handed_in import is_work
    from reasoner.teaching.handing_out import is_handed_out

    data = _begins(place)
    return is_handed_out(data) or is_work(data)


def _begins(place: Path) -> bytes:
    try:
        with place.open("rb") as file:
            return file.read(MARK_BYTES)
    except OSError:
        return b""


def work_on(
    place: Path | None, name: str, rules: Ready, answers: Path | None, as_json: bool, played: Played, *, alone: bool
) -> None:
    """Begin or take up the work of this person on the case at `place`. Raises BadInput (TE83 to TE89); UsageError where other
    options (`alone` false) ask for another case."""
    from reasoner import __version__
    from reasoner.rendering.handed_in_text import other_rules
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.teaching import handed_in
    from reasoner.teaching.handing_out import case_of, handed_out_from

    if place is None or not handed_out_at(place):
        if place is not None and place.exists():
            handed_out_from(read_bytes(place), str(place))  # says what it is instead
        raise click.UsageError("--name is your name on a case that was handed out; name its file as well.")
    if handed_in.is_work(_begins(place)):
        raise BadInput([Problem(str(place), 0, "TE83", "this is an answer to a case; the case itself was expected.",
                                "Name the file that your teacher handed out: it finds your answer beside it.")])  # fmt: skip
    if not alone:
        raise click.UsageError(f"{place} is a case that was handed out, and brings everything with it; only --name, --answers, "
                               "--rules and --json go with it.")  # fmt: skip
    case = handed_out_from(read_bytes(place), str(place))
    if not name and answers is None and sys.stdin.isatty():
        name = click.prompt("Your name", err=True)
    stamp = rules.book.stamp
    work = handed_in.work_begun(case, name, at=_now(), stamp=stamp, made_by=__version__)
    mark = f'"what": "{handed_in.WHAT}"'
    file, held = _answer_of(work.by, place, mark)
    shown = case_of(case, str(place), rules.book)
    if held is not None:
        work = held
        handed_in.must_be_of(work, case, str(file))
    session = handed_in.session_of(work, shown, rules, str(file))
    if case.stamp != stamp:
        click.echo(f"note: {other_rules(case.stamp, stamp)}", err=True)

    def each(before: Session, after: Session) -> None:
        nonlocal work
        work = handed_in.with_choices(work, before, after, _now())
        if answers is None:  # at the keyboard nothing is lost; of a file of lines all is written, or nothing
            write_whole(file, handed_in.work_text(work), over=mark)

    if not as_json and answers is None:
        click.echo(f'"{case.title}", worked on by {work.by}; every choice is kept at once in {file}.', err=True)
    session, _ = played(session, rules, answers, as_json, each)
    write_whole(file, handed_in.work_text(work), over=mark)
    _tell(work, case.marks, session, file, rules, as_json)


def _tell(work: Work, marks_shown: bool, session: Session, file: Path, rules: Ready, as_json: bool) -> None:
    """Where the work stands. What the rules make of it is told once it has ended, and only if the teacher lets it be."""
    from reasoner.rendering.handed_in_text import handed_in_lines
    from reasoner.rendering.practise_marks_text import marked_lines
    from reasoner.rendering.practise_text import state_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.teaching.marking import marked
    from reasoner.teaching.offered import offered
    from reasoner.teaching.session import seen_by

    marks = marked(session, rules) if session.ended and marks_shown else None
    if as_json:
        from reasoner.rendering.handed_in_json import handed_in_json

        offer = offered(session, seen_by(session, rules))
        print_json(handed_in_json(work, str(file), marks_shown, session, offer, marks, rules.book))
        return
    if not session.ended:
        print_page(state_lines(session, offered(session, seen_by(session, rules)), rules.book))
        click.echo(f"Kept in {file}; the same words take it up again.", err=True)
        return
    print_page(handed_in_lines(work, str(file), marks_shown))
    if marks is not None:
        print_page(marked_lines(marks, rules.book))


def _answer_of(name: str, place: Path, mark: str) -> tuple[Path, Work | None]:
    """The file of this person's answer, and the work in it; None where there is none yet. Two names may be alike in the letters
    that a file is called by ("Åsa Berg", "Sa Berg"): nobody takes up another's work. Raises BadInput."""
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.store.names import folded
    from reasoner.teaching.handed_in import work_from

    part, number = _part(name), 1
    while True:
        file = place.with_name(f"{place.stem}.{part}{f'-{number}' if number > 1 else ''}.answer.json")
        may_be_written(file, over=mark)
        if not file.exists():
            return file, None
        held = work_from(read_bytes(file), str(file))
        if folded(held.by) == folded(name):
            return file, held
        number += 1


def _part(name: str) -> str:
    """A name as a part of a file's name. Raises BadInput (TE89)."""
    from reasoner.teaching.class_folder import slug

    found = slug(name)
    if not found:
        raise BadInput([Problem("--name", 0, "TE89", f'"{name}" was read as your name; letters from a to z were expected in it, '
                                "because the file of your answer is called by it.", "Write it in such letters.")])  # fmt: skip
    return found


def _now() -> str:
    return datetime.now(UTC).replace(microsecond=0).isoformat()
