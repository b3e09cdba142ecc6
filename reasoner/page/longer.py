"""What takes longer than a touch may, in a process of its own, so that it never stands in a touch's way.

In: a function of the rules, and what else it needs. Out: its answer, once it is worked out.
Not here: what is worked out, the routes. Python works out one thing at a time in a process: beside many touches even one long
answer would be felt under every thumb.
"""

from __future__ import annotations

import gc
import os
import threading
from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context, parent_process
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

from reasoner.consult import load_rulebook
from reasoner.problems import BadInput, Problem, register
from reasoner.rules_cache import Ready

P = ParamSpec("P")
R = TypeVar("R")
Work = Callable[Concatenate[Ready, P], R]
"""A function of a module, not of another function, so that the other process finds it by its name."""
MOST_KEPT = 2_000
"""Answers that are kept until they are asked for; own setting: the looks of ten whole examinations."""
_ready: Ready | BadInput | None = None

register({"PG67": "rules that were changed while the page runs"})


class Longer:
    """The process, begun with the first question and ended with the page. It works on one thing after the other. `stamp` is that
    of the rules the page began with (empty: whatever the folders hold): nobody is answered by others in the same page."""

    def __init__(self, folders: Sequence[Path] | None, stamp: str = "") -> None:
        self._rules = (folders and list(folders), stamp)
        self._kept: dict[Hashable, Future[Any]] = {}
        self._turn = threading.RLock()
        self._pool = self._begun()

    def ask(self, work: Work[P, R], *args: P.args, **words: P.kwargs) -> Future[R]:
        """Have it worked out there, with the rules of the page; what is no longer wanted may be taken back before its turn. The
        answer raises BadInput (PG67, and what is wrong in the rules) where they were changed since the page began."""
        with self._turn:
            try:
                return self._pool.submit(_worked_out, work, args, words)
            except BrokenProcessPool:  # ended from outside, as where memory runs short: what comes next has another
                self._pool = self._begun()
                return self._pool.submit(_worked_out, work, args, words)

    def _begun(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=_begin, initargs=self._rules)

    def once(self, key: Hashable, work: Work[P, R], *args: P.args, **words: P.kwargs) -> Future[R]:
        """The same, but worked out once for this key: asked for early, it is there when it is wanted."""
        with self._turn:
            found = self._kept.get(key)
            if found is None or found.cancelled() or (found.done() and found.exception() is not None):
                found = self._kept[key] = self.ask(work, *args, **words)
                while len(self._kept) > MOST_KEPT:
                    del self._kept[next(iter(self._kept))]
            return found

    def close(self) -> None:
        """End it, whatever still waits."""
        self._pool.shutdown(wait=False, cancel_futures=True)


def _begin(folders: Sequence[Path] | None, stamp: str) -> None:
    global _ready
    threading.Thread(target=_end_with_the_page, daemon=True).start()
    try:
        _ready = load_rulebook(folders)
        if stamp and _ready.book.stamp != stamp:
            said = "the rules were changed since this page was started; it still answers by those before."
            _ready = BadInput([Problem("the rules", 0, "PG67", said, "Stop the page and start it again.")])
    except BadInput as bad:
        _ready = bad
    gc.freeze()
    gc.enable()


def _end_with_the_page() -> None:
    """A page that is stopped from outside, or falls, says no goodbye; nobody would ask here any more."""
    page = parent_process()
    assert page is not None
    page.join()
    os._exit(0)


def _worked_out(work: Callable[..., R], args: tuple[Any, ...], words: dict[str, Any]) -> R:
    if isinstance(_ready, BadInput):
        raise _ready
    assert _ready is not None
    return work(_ready, *args, **words)
