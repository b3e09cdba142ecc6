"""How long one spoken line takes: `python tests/bench/lines_bench.py`.

In: the test lines. Out: a table: mean, middle and slowest processor time of a line after the first, and what the first costs.
Not here: a gate; speed is no matter here beyond "far below 50 ms a line".
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from reasoner.lines import understood
from reasoner.rules_cache import ready_rulebook
from tests.lines.cases import cases


def main() -> None:
    """Every test line once to warm up, and once timed."""
    book = ready_rulebook().book
    began = time.process_time()
    understood("loin left four", book)
    first = time.process_time() - began
    some = cases()
    for case in some:
        understood(case.line, book, case.looking_at or None)
    times = []
    for case in some:
        began = time.process_time()
        understood(case.line, book, case.looking_at or None)
        times.append(1000 * (time.process_time() - began))
    print(f"{len(some)} lines; the first of all {1000 * first:.0f} ms (lexicon and grammar are made)")
    print(
        f"mean {statistics.mean(times):.1f} ms, middle {statistics.median(times):.1f} ms, slowest {max(times):.1f} ms"
    )


if __name__ == "__main__":
    main()
