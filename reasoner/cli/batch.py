"""`reasoner batch IN -o OUT`: many visits at once.

In: a folder of visit files or a table. Out: two tables beside each other, a summary, an honest exit code.
Not here: judging, cutting, joining (bulk/).
"""

from __future__ import annotations

import gc
import os
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from reasoner.cli.common import answering, print_json, ready, rules_folders, shared
from reasoner.problems import BadInput, Problem

if TYPE_CHECKING:
    from reasoner.bulk.batch import Summary
    from reasoner.bulk.work import Done

VERSION = "1"
SOME_SET_ASIDE = 3
EPILOG = """\
IN is a folder of visit files, or a table (.parquet, .csv) with one row a finding.
Columns: visit, date, finding, value; if need be side, when, response, felt, depth,
touch, leg. The rows of a visit stand together. `value` as in a visit file.

OUT has one row for each referral, concern, conclusion and action of each visit.
What cannot be read is set aside in a second table beside it (OUT.aside...), with
its row, its reason and the nearest valid word.

Stopped on the way, the same command goes on where it stopped.

Exit codes: 0 every visit was judged; 3 done, and some visits were set aside;
2 the input needs mending (nothing was written); 1 the program itself failed;
130 stopped.

\b
Example:
  reasoner batch examples/ -o judged.parquet
  reasoner batch findings.csv -o judged.csv --workers 4
"""


def _cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@click.command("batch", epilog=EPILOG)
@click.argument("source", metavar="IN", type=click.Path(path_type=Path))
@click.option("-o", "--output", "out", required=True, type=click.Path(path_type=Path), metavar="OUT",
              help="Where the results go: a new .parquet or .csv file.")  # fmt: skip
@click.option("--workers", type=click.IntRange(1), default=None, metavar="N",
              help="How many processes work (default: as many as there are cores). Results do not depend on it.")  # fmt: skip
@click.option("--ranges", is_flag=True, help="Also how far each certainty could still move (lower, upper); slower.")
@shared
@answering
def command(
    source: Path, out: Path, workers: int | None, ranges: bool, folders: Sequence[Path], as_json: bool
) -> None:  # fmt: skip
    """Judge many visits: a folder of visit files, or a table with one row a finding."""
    from concurrent.futures.process import BrokenProcessPool

    from reasoner.bulk.batch import aside_name, run, work_folder

    gc.enable()  # unlike other commands this one may live for hours
    for path in (out, aside_name(out)):
        if path.exists():
            raise BadInput([Problem(str(path), 0, "CL03", "this file exists and will not be written over.",
                                    "Choose another name.")])  # fmt: skip
    if not out.parent.is_dir():
        raise BadInput([Problem(str(out), 0, "CL04", f'there is no folder "{out.parent}" to write into.',
                                "Make the folder first, or choose another.")])  # fmt: skip
    started = time.monotonic()
    stamp = ready(folders).book.stamp
    with _Progress() as progress:
        try:
            done = run(source, out, rules_folders(folders), stamp, workers=workers or _cores(), ranges=ranges,
                       told=progress.told)  # fmt: skip
        except KeyboardInterrupt:
            click.echo(f"stopped; what is done is kept in {work_folder(out)}, and the same command goes on.", err=True)
            raise
        except BrokenProcessPool:
            click.echo("a working process ended unexpectedly, perhaps for want of memory; the same command goes on where "
                       "it stopped (with fewer --workers it needs less).", err=True)  # fmt: skip
            sys.exit(1)
    if as_json:
        print_json(summary_json(done, time.monotonic() - started))
    else:
        for line in _lines(done):
            click.echo(line)
    sys.exit(SOME_SET_ASIDE if done.set_aside else 0)


def summary_json(done: Summary, seconds: float) -> dict[str, Any]:
    """The summary as JSON-ready data (schema batch.json)."""
    plain = asdict(done)
    return {"schema_version": VERSION, **plain, "judged": done.visits - done.set_aside, "seconds": round(seconds, 2)}


def _lines(done: Summary) -> list[str]:
    judged = done.visits - done.set_aside
    levels = ", ".join(f"{count:,} {level}" for level, count in done.levels.items() if count)
    lines = [f"{judged:,} of {done.visits:,} visits judged" + (f"; referrals: {levels}." if levels else ".")]
    if done.set_aside:
        lines.append(f"{done.set_aside:,} set aside, with the reasons: {done.aside}")
    lines.append(f"written: {done.results} ({done.rows_written:,} rows)")
    return lines


class _Progress:
    """How far it is, on standard error where that is a terminal."""

    def __init__(self) -> None:
        self._bar: Any = None
        self.visits = self.set_aside = 0

    def __enter__(self) -> _Progress:
        if sys.stderr.isatty():
            from rich.console import Console
            from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

            self._bar = Progress(TextColumn("parts"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(),
                                 TextColumn("{task.description}"), console=Console(stderr=True))  # fmt: skip
            self._task = self._bar.add_task("", total=None)
            self._bar.start()
        return self

    def told(self, done: Done, parts: int, at: int) -> None:
        """One more part is done."""
        self.visits += done.visits
        self.set_aside += done.set_aside
        if self._bar is not None:
            aside = f", {self.set_aside:,} set aside" if self.set_aside else ""
            self._bar.update(self._task, total=parts, completed=at, description=f"{self.visits:,} visits{aside}")

    def __exit__(self, *fault: object) -> None:
        if self._bar is not None:
            self._bar.stop()
