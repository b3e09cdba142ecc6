"""Fifty people at the page at once: a touch beside an empty route of the same page, under the same load, in one run.

In: nothing. Out: a table; with --gate, exit code 1 where the ratio misses or a request failed.
Not here: the people (page_people.py), a browser.

The page is served as `reasoner serve` serves it, on this machine's loopback, with the records of a made practice. A load tool
(locust) lets each person touch one place after the other, and between two touches ask an empty route, so that both meet the same
queue at the same time. What is compared is the 99th percentile of each.
Run `python tests/bench/page_bench.py` from anywhere.
"""

from __future__ import annotations

import argparse
import json
import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from reasoner.consult import load_rulebook

PEOPLE, SECONDS = 50, 40
LIMIT, BUDGET_MS = 5.0, 100.0


def main() -> int:
    """Run it and print it."""
    words = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    words.add_argument("--gate", action="store_true", help="end with 1 where the ratio misses")
    words.add_argument("--people", type=int, default=PEOPLE)
    words.add_argument("--seconds", type=int, default=SECONDS)
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        port = _free_port()
        serve = [sys.executable, "-m", "reasoner", "serve", "--port", str(port), "--store", f"{folder}/practice.db"]
        with subprocess.Popen(
            serve, cwd=HOME, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=_environment()
        ) as server:
            try:
                _wait_for(port)
                times, failed = _people(port, Path(folder), asked.people, asked.seconds)
            finally:
                server.terminate()
    return _told(times, failed, asked.people, asked.gate)


def _environment() -> dict[str, str]:
    one_thread = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
    return {**os.environ, **one_thread}


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def _wait_for(port: int) -> None:
    for _ in range(200):
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/api/here", timeout=1):
                return
        except OSError:
            time.sleep(0.1)
    raise SystemExit("the page did not start")


def _people(port: int, folder: Path, people: int, seconds: int) -> tuple[dict[str, list[float]], list[str]]:
    """The milliseconds of every request by name, and what failed."""
    vocabulary = load_rulebook().book.vocabulary
    places = [key for key in vocabulary.round if vocabulary.places[key].sides == "each"]
    out = folder / "times.json"
    tool = [
        sys.executable, "-m", "locust", "-f", str(Path(__file__).with_name("page_people.py")), "--headless",
        "--users", str(people), "--spawn-rate", str(people), "--run-time", f"{seconds}s", "--reset-stats",
        "--host", f"http://127.0.0.1:{port}", "--only-summary", "--loglevel", "ERROR", "--exit-code-on-error", "0",
    ]  # fmt: skip
    environment = {**_environment(), "REASONER_LOAD_OUT": str(out), "REASONER_LOAD_PLACES": json.dumps(places)}
    subprocess.run(tool, check=True, env=environment, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    found = json.loads(out.read_text())
    return found["times"], found["failed"]


def _told(times: dict[str, list[float]], failed: list[str], people: int, gate: bool) -> int:
    print(f"{people} people at once; milliseconds on loopback\n")
    print(f"{'':<28}{'requests':>9}{'middle':>9}{'99 %':>9}")
    last: dict[str, float] = {}
    for name, some in times.items():
        if len(some) > 1:
            last[name] = statistics.quantiles(some, n=100)[98]
            print(f"{name:<28}{len(some):>9}{statistics.median(some):>9.1f}{last[name]:>9.1f}")
    ratio = last["touch"] / last["here"]
    print(f"\na touch beside an empty route, 99 %: {ratio:.1f} (gate: at most {LIMIT:g}); budget {BUDGET_MS:g} ms")
    if failed:
        print(f"{len(failed)} requests failed, such as {failed[0]}")
    return int(gate and (ratio > LIMIT or bool(failed)))


if __name__ == "__main__":
    sys.exit(main())
