"""The steps of many plans at once: which actions stand, and which are wanted and not for today.

In: the result of a pass over visits without a veterinarian's word. Out: flags, actions x visits.
Not here: one plan with its reasons, and what a veterinarian's word opens (plan/): a law of tests/bulk holds the two equal.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from reasoner.frozen import frozen
from reasoner.inference.evaluate import Result
from reasoner.inference.program import Flags, Ints, Program
from reasoner.plan.referral import stop_key
from reasoner.plan.riding import answers_against
from reasoner.plan.selection import CALL, stops_of
from reasoner.plan.told_with import same_deed
from reasoner.rulebook.pages import words_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import THIS_PLACE

ROUTINE = "routine"
Stop = tuple[str, str, str]
"""A stop, and the place and side it is for, empty where it is for all."""


@frozen
class Steps:
    """`step`: taken today; `put_off`: wanted, and not for today. Both (actions x visits), actions in the program's order."""

    step: Flags
    put_off: Flags


@frozen
class _Action:
    """One ground action: `stops` hold it back; `changes` are what only one change may be made of in a day, as numbers; `unridden`
    are the answers about riding beside which it does not stand."""

    number: int
    page: int
    kind: str
    stops: tuple[Stop, ...]
    changes: tuple[int, ...]
    unridden: tuple[str, ...]


class Planner:
    """What a rulebook says of its plans, laid out for many visits."""

    def __init__(self, program: Program, book: Rulebook) -> None:
        self.most = dict(book.scales.most_a_day)
        pages = {key: n for n, key in enumerate(book.actions)}
        said = dict.fromkeys(word for page in book.actions.values() for word in words_of(page.one_at_a_time))
        words = {word: n for n, word in enumerate(said)}
        self.words = len(words)
        # Whether a page may stand beside the first change made, by their numbers; the last column is for none made yet.
        self.beside = np.ones((len(pages), len(pages) + 1), dtype=np.bool_)
        for one, number in pages.items():
            for other, first in pages.items():
                self.beside[number, first] = one == other or same_deed(book.actions[one], book.actions[other])
        found = []
        for number, (key, side, *_, works_on) in enumerate(program.meta["actions"]):
            page = book.actions[key]
            stops: list[Stop] = []
            for stop in stops_of(page, book):
                stops.append((stop, "", ""))
                stops += [(stop, place, s) for place, s in works_on] if stop == THIS_PLACE else []
            order = (book.scales.action_order.index(page.kind), page.rank, page.id, side)
            changes = tuple(words[word] for word in words_of(page.one_at_a_time))
            unridden = tuple(answers_against(page, stops_of(page, book)))
            found.append((order, _Action(number, pages[key], page.kind, tuple(stops), changes, unridden)))
        self.actions = [action for _, action in sorted(found, key=lambda pair: pair[0])]
        self.riding: dict[str, list[int]] = {}
        for number, (key, *_) in enumerate(program.meta["actions"]):
            if book.actions[key].riding:
                self.riding.setdefault(book.actions[key].riding, []).append(number)
        self.pressing: list[int] = []
        self.stopping: dict[Stop, list[int]] = {}
        for number, (key, side, place, _) in enumerate(program.meta["concerns"]):
            concern = book.concerns[key]
            if concern.call != ROUTINE:
                self.pressing.append(number)
                continue
            for stop in dict.fromkeys(stop_key(s, book) for s in concern.stops):
                here = (stop, place, side) if stop == THIS_PLACE and place else (stop, "", "")
                self.stopping.setdefault(here, []).append(number)

    def steps(self, result: Result) -> Steps:
        """Each visit's steps, as `plan_of` takes them: in order, stopped by concerns, one change at a time, so many a day."""
        visits = result.wanted.shape[1]
        raised: Flags = np.any(result.concern, axis=1)
        pressing = _any(result.concern, self.pressing, raised)
        stopped = {stop: _any(result.concern, numbers, raised) for stop, numbers in self.stopping.items()}
        asked = result.wanted & ~result.held
        riding = {answer: np.any(asked[numbers], axis=0) for answer, numbers in self.riding.items()}
        step, put_off = np.zeros_like(result.wanted), np.zeros_like(result.wanted)
        used: Ints = np.full((self.words, visits), -1, dtype=np.int64)
        kept: dict[str, Ints] = {}
        taken: dict[int, Flags] = {}
        wanted_at_all: Flags = np.any(result.wanted, axis=1)
        for action in self.actions:
            if not wanted_at_all[action.number]:
                continue
            wanted = result.wanted[action.number]
            free = asked[action.number] & ~pressing
            for one in self._stops(action, stopped):
                free &= ~one
            for answer in action.unridden:
                if answer in riding:
                    free &= ~riding[answer]
            for word in action.changes:
                free &= self.beside[action.page][used[word]]
            before = taken.setdefault(action.page, np.zeros(visits, dtype=np.bool_))
            if action.kind in self.most:
                count = kept.setdefault(action.kind, np.zeros(visits, dtype=np.int64))
                free &= before | (count < self.most[action.kind])
                count += free & ~before
            before |= free
            for word in action.changes:
                used[word][free & (used[word] == -1)] = action.page
            step[action.number] = free
            # Where a concern presses it sends for the veterinarian already.
            put_off[action.number] = wanted & ~free & ~pressing if action.kind == CALL else wanted & ~free
        return Steps(step, put_off)

    def _stops(self, action: _Action, stopped: dict[Stop, Flags]) -> Iterator[Flags]:
        for stop in action.stops:
            one = stopped.get(stop)
            if one is not None:
                yield one


def _any(concern: Flags, numbers: list[int], raised: Flags) -> Flags:
    """Where any of these concerns is raised."""
    some = [n for n in numbers if raised[n]]
    found: Flags = np.any(concern[some], axis=0) if some else np.zeros(concern.shape[1], dtype=np.bool_)
    return found
