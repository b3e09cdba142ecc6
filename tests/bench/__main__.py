"""All benchmarks one after the other: `python -m tests.bench`, with the words of each, such as --gate.

In: nothing. Out: their tables; exit code 1 where a ratio of any of them misses.
Not here: what is measured. Each is a process of its own, as a peer that one has fed is slower for the next.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

BENCHES = ("bench", "questions_bench", "bulk_bench", "records_bench", "page_bench")


def main() -> int:
    """Run them all, whatever one of them says."""
    here = Path(__file__).parent
    codes = []
    for name in BENCHES:
        print(f"\n== {name}", flush=True)
        codes.append(subprocess.run([sys.executable, str(here / f"{name}.py"), *sys.argv[1:]], check=False).returncode)
    return max(codes)


if __name__ == "__main__":
    sys.exit(main())
