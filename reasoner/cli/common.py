"""What every command shares: options, reading a visit, telling what is wrong, writing whole files.

In: click's values. Out: an `Answer`, or an exit with code 2 and every problem named.
Not here: any one command.
"""

from __future__ import annotations

import contextlib
import functools
import json
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from datetime import date

    from reasoner.consult import Answer
    from reasoner.records.of_day import Taken
    from reasoner.records.progress import Progress
    from reasoner.records.since_then import SinceThen
    from reasoner.rendering.text_page import Line
    from reasoner.rulebook.rulebook import Rulebook
    from reasoner.rules_cache import Ready
    from reasoner.visit.model import Visit

register(
    {
        "CL01": "no place of that name",
        "CL02": "a side that does not belong",
        "CL03": "a file that will not be written over",
        "CL04": "a file that cannot be written",
        "RE61": "a visit of a day, counted without records",
    }
)

PROBLEMS_VERSION = "1"
Command = TypeVar("Command", bound=Callable[..., Any])
#: What tells an earlier file of ours: words near its start, a question asked of its bytes, or None where nothing is replaced.
Over = str | Callable[[bytes], bool] | None


def shared(function: Command) -> Command:
    """The options every command has: --rules and --json."""
    for option in (
        click.option("--json", "as_json", is_flag=True, help="Print JSON (schema in the package) instead of words."),
        click.option(
            "--rules", "folders", multiple=True, type=click.Path(path_type=Path), metavar="DIR",
            help="A rules folder instead of the shipped one. Given twice or more, later folders lie over earlier ones; "
            "the word `shipped` stands for the shipped rules.",
        ),
    ):  # fmt: skip
        function = option(function)
    return function


visit_argument = click.argument("visit", type=click.Path(path_type=Path))


def answering(function: Callable[..., None]) -> Callable[..., None]:
    """Turn BadInput into its problems on standard error (or as JSON on standard output) and exit code 2."""

    @functools.wraps(function)
    def wrapped(*args: Any, as_json: bool, **kwargs: Any) -> None:
        try:
            function(*args, as_json=as_json, **kwargs)
        except BadInput as bad:
            refuse(bad.problems, as_json)
        except KeyboardInterrupt:
            sys.exit(130)

    return wrapped


def refuse(problems: Sequence[Problem], as_json: bool) -> NoReturn:
    """Tell every problem and leave with exit code 2."""
    if as_json:
        click.echo(
            json.dumps({"schema_version": PROBLEMS_VERSION, "problems": [as_plain(p) for p in problems]}, indent=2)
        )
    else:
        for problem in problems:
            click.echo(str(problem), err=True)
        errors = sum(p.severity == "error" for p in problems)
        click.echo(f"{errors} thing{'s' if errors != 1 else ''} to mend; nothing was written.", err=True)
    sys.exit(2)


def as_plain(problem: Problem) -> dict[str, Any]:
    """A problem as JSON-ready data."""
    return {
        "code": problem.code, "severity": problem.severity, "file": problem.file, "line": problem.line,
        "sentence": problem.sentence, "hint": problem.hint,
    }  # fmt: skip


def warn(problems: Sequence[Problem]) -> None:
    """Tell warnings on standard error; they change no exit code."""
    for problem in problems:
        click.echo(f"note: {problem}", err=True)


def ready(folders: Sequence[Path]) -> Ready:
    """The rulebook the options ask for."""
    from reasoner.consult import load_rulebook

    return load_rulebook(rules_folders(folders))


def rules_folders(folders: Sequence[Path]) -> list[Path] | None:
    """The folders the options ask for; None for the shipped rules alone."""
    from reasoner.rulebook.layers import shipped_rules

    return [shipped_rules() if str(f) == "shipped" else f for f in folders] or None


def with_records(function: Command) -> Command:
    """The options --store and --part of the commands that judge a visit with what the visits before it say."""
    for option in (
        click.option(
            "--part", type=click.IntRange(1, 9),
            help="With --store: which visit of its day the file is, where several are kept. Default: the kept one of the same "
            "words, else the last of that day.",
        ),
        click.option(
            "--store", "store_at", metavar="[FILE|URL]", is_flag=False, flag_value="",
            help="Judge with what the visits before it say, from these records; alone at the end of the line, from the usual "
            "ones ($REASONER_STORE, else this platform's own place). Left out, the visit is judged by itself, whatever "
            "$REASONER_STORE says.",
        ),
    ):  # fmt: skip
        function = option(function)
    return function


def consulted(
    visit: Path, folders: Sequence[Path], as_json: bool, store_at: str | None = None, part: int | None = None
) -> Answer:
    """The answer for a visit file; with `store_at` judged with the visits kept there. Warnings are told unless they go into the
    JSON. Raises BadInput (RE60, RE61 where `part` is none of that day's, or no records were named)."""
    from reasoner.cli.signing import with_signature

    answer, text = judged(visit, folders, store_at, part)
    if not as_json:
        tell_aside(answer)
    return with_signature(answer, text, store_at)


def tell_aside(answer: Answer) -> None:
    """Which visit of its day the file is taken for, and warnings, on standard error; in JSON both stand in the answer."""
    if answer.taken is not None and answer.taken.says:
        click.echo(f"note: {answer.taken.says}", err=True)
    warn(answer.visit.warnings)


def judged(visit: Path, folders: Sequence[Path], store_at: str | None, part: int | None) -> tuple[Answer, bytes]:
    """The answer for a visit file and the bytes it was read from, once, so that what is looked for in the records is what is
    judged. Raises BadInput as `consulted` does."""
    from reasoner.consult import judge
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.visit.reading import visit_from_bytes

    rules = ready(folders)
    text = read_bytes(visit)
    seen = visit_from_bytes(text, str(visit), rules.book.vocabulary)
    if store_at is not None:
        seen, taken = remembered(seen, text, rules.book, store_at, part)
        return replace(judge(seen, rules), taken=taken), text
    if part is not None:
        raise BadInput([Problem("--part", 0, "RE61", f'"--part {part}" was read, and no records were named; it counts the visits '
                                "kept of one day.", "Name the records with --store.")])  # fmt: skip
    return judge(seen, rules), text


def remembered(visit: Visit, text: bytes, book: Rulebook, store_at: str, part: int | None) -> tuple[Visit, Taken]:
    """The visit with what earlier ones kept there say, and which visit of its day it is taken for. Raises BadInput (RE60)."""
    from reasoner.cli.records.common import opened
    from reasoner.records.before import horse_of, with_history
    from reasoner.records.of_day import taken_for
    from reasoner.store.place import place_of

    place = place_of(store_at)
    with opened(place).reading() as connection:
        if horse_of(connection, visit) is None:
            click.echo(f'note: no horse "{visit.horse_name}" of this yard is kept in {place.shown}; '
                       "the visit is judged by itself.", err=True)  # fmt: skip
        taken = taken_for(connection, visit, text, part, place.shown)
        return with_history(connection, visit, book, taken.part), taken


def progress_kept(answer: Answer, store_at: str | None) -> tuple[Progress | None, tuple[date, ...]]:
    """The progress of the horse up to this visit, and the days of visits in it that wait for a countersignature; None without
    records, or where nothing before it is kept in them."""
    if store_at is None:
        return None, ()
    from reasoner.cli.records.common import opened
    from reasoner.records.before import progress_until
    from reasoner.records.signing import waiting
    from reasoner.store.place import place_of

    with opened(place_of(store_at)).reading() as connection:
        found = progress_until(connection, answer, answer.taken.part if answer.taken is not None else 1)
        earlier = [held.known for held in found.held[:-1]] if found is not None else []
        return found, tuple(one.day for one in waiting(connection, earlier))


def told_since(answer: Answer, store_at: str | None) -> SinceThen | None:
    """What owners told after the day of this visit; None without records, or where nothing was."""
    if store_at is None:
        return None
    from reasoner.cli.records.common import opened
    from reasoner.records.before import since_of
    from reasoner.store.place import place_of

    with opened(place_of(store_at)).reading() as connection:
        return since_of(connection, answer, answer.taken.part if answer.taken is not None else 1)


def since_told(answer: Answer, store_at: str | None) -> tuple[dict[str, Any], list[Line]]:
    """The same for the JSON and for the end of a page; nothing, and nothing imported, without records."""
    if store_at is None:
        return {"since_then": None}, []
    from reasoner.rendering.since_then_text import since_then_json, since_then_lines

    found = told_since(answer, store_at)
    return {"since_then": since_then_json(found)}, list(since_then_lines(found))


def print_json(data: Any) -> None:
    """JSON on standard output, readable, in the given order."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


def width() -> int:
    """How wide to write: the terminal, between 40 and 100 columns; 80 where there is none."""
    try:
        columns = int(os.environ.get("COLUMNS") or os.get_terminal_size(1).columns)
    except (ValueError, OSError):
        columns = 80
    return max(40, min(100, columns or 80))


def write_whole(path: Path, text: str | bytes, *, over: Over) -> None:
    """Write a file whole or not at all.

    An existing file is replaced only if it is one of ours, as `over` tells; None never replaces one.
    Raises BadInput (CL03, CL04).
    """
    write_all_whole([(path, text, over)])


def write_all_whole(files: Sequence[tuple[Path, str | bytes, Over]]) -> None:
    """Write several files, each whole, and all of them or none: where one cannot be written, those before it are put back.

    Only a machine that stops between two of them can leave some new and some as they were. Raises BadInput (CL03, CL04).
    """
    for path, _, over in files:
        may_be_written(path, over=over)
    waiting: list[tuple[str, Path]] = []
    before: list[tuple[Path, bytes | None]] = []
    path = Path()
    try:
        for path, content, _ in files:
            waiting.append((_beside(path, content), path))
        for temporary, path in waiting:
            was = path.read_bytes() if path.exists() and len(files) > 1 else None
            os.replace(temporary, path)
            before.append((path, was))
    except OSError as fault:
        for done, was in before:
            _put_back(done, was)
        for temporary, _ in waiting:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        why = (fault.strerror or "it cannot be written").lower()
        raise BadInput([Problem(str(path), 0, "CL04", f"the file cannot be written: {why}.")]) from None


def _beside(path: Path, content: str | bytes) -> str:
    """The content in a temporary file of the same folder, and its name; none is left where it cannot be written."""
    import tempfile

    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content.encode("utf-8") if isinstance(content, str) else content)
        os.chmod(temporary, 0o644)
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    return temporary


def _put_back(path: Path, content: bytes | None) -> None:
    with contextlib.suppress(OSError):
        if content is None:
            os.unlink(path)
        else:
            os.replace(_beside(path, content), path)


def may_be_written(path: Path, *, over: Over) -> None:
    """Whether `write_whole` may begin: the folder is there, and nothing of anybody's stands in the way.

    Raises BadInput (CL03, CL04).
    """
    if path.is_dir():
        raise BadInput([Problem(str(path), 0, "CL04", "this is a folder; the name of a file was expected.")])
    if not path.parent.is_dir():
        raise BadInput([Problem(str(path), 0, "CL04", f'there is no folder "{path.parent}" to write into.',
                                "Make the folder first, or choose another."), ])  # fmt: skip
    if path.exists() and not (over and path.is_file() and _is_ours(path, over)):  # a pipe would be waited on
        raise BadInput([Problem(str(path), 0, "CL03", "this file exists and will not be written over.",
                                "Choose another name."), ])  # fmt: skip


def folder_in(top: Path, name: str) -> Path:
    """The folder `name` inside an existing folder, made if need be. Raises BadInput (CL04)."""
    if not top.is_dir():
        what = "this is a file; a folder was expected." if top.exists() else "there is no such folder."
        raise BadInput([Problem(str(top), 0, "CL04", what, "Make it first, or choose another.")])
    try:
        (top / name).mkdir(exist_ok=True)
    except OSError as fault:
        why = (fault.strerror or "it cannot be made").lower()
        raise BadInput([Problem(str(top / name), 0, "CL04", f"the folder cannot be made: {why}.")]) from None
    return top / name


def _is_ours(path: Path, over: str | Callable[[bytes], bool]) -> bool:
    try:
        if callable(over):
            return over(path.read_bytes())
        with path.open(encoding="utf-8", errors="replace") as handle:
            return over in handle.read(len(over) + 200)
    except OSError:
        return False
