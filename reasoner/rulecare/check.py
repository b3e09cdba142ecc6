"""Everything that is wrong with a rulebook, all at once, and what it holds in numbers.

In: folders of rules, layered. Out: a `Report`.
Not here: the checks themselves (rulebook.checks, never, inference.voices, inference.circles), printing.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from reasoner.frozen import frozen
from reasoner.inference.circles import refuse_circles
from reasoner.inference.from_rulebook import ground
from reasoner.inference.voices import counted_twice, overlapping
from reasoner.problems import BadInput, Problem
from reasoner.rulebook.checks.filler import unwritten
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.checks.part import files_left_out, part_of
from reasoner.rulebook.checks.runner import found_on_pages
from reasoner.rulebook.checks.waivers import heeded
from reasoner.rulebook.filling import LEFT_OUT
from reasoner.rulebook.layers import read_layers, shipped_rules
from reasoner.rulebook.loading import Read, read_book
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.strict_yaml import Node, parse
from reasoner.rulebook.wording import TABLE, Wording, wording_from
from reasoner.rulecare.never import never_fires, never_taken, nothing_speaks_for
from reasoner.rulecare.possible import Possible

WORDING = "scales/wording.yaml"


@frozen
class Report:
    """What is wrong, sorted by file and line; what there is, counted; and the pages whose author has more to say.

    `complete` is False where pages or references did not read: those pages, and what leans on them, were not judged as part
    of the whole.
    """

    problems: tuple[Problem, ...]
    counts: Mapping[str, int]
    sketches: tuple[str, ...]
    stamp: str
    complete: bool

    @property
    def errors(self) -> int:
        """How many problems are errors."""
        return sum(p.severity == "error" for p in self.problems)


def check(folders: Sequence[Path] | None = None) -> Report:
    """Check these folders (default: the shipped rules). Raises BadInput only where a folder itself cannot be read."""
    read = read_book(read_layers(folders or [shipped_rules()]))
    problems = list(read.problems)
    if read.book is None:
        return Report(_sorted(problems), counts_of(None), (), "", False)
    unread = files_left_out(read.files.keys(), read.book, read.book, read.unread)
    given = Given(read.book, read.files, _wording(read.files.values()), unread)
    part = _part(given, read)
    more, twice = _compiled(part)
    found = [*found_on_pages(given, part), *more]
    problems += [_milder(p, given.sketches) for p in heeded(given, found, twice if read.whole else None)]
    sketches = sorted({*given.sketches, *unwritten(given)})
    return Report(_sorted(problems), counts_of(read.book), tuple(sketches), read.book.stamp, read.whole)


def counts_of(book: Rulebook | None) -> dict[str, int]:
    """How many pages of each kind, and on what the rules rest.

    The last three add up to the rules: a rule that names a source rests on published work whatever else it names, one of
    common practice rests on that, and the rest are own settings. A rule whose basis was left out is none of the three.
    """
    based = [set(bases(rule.basis)) - {LEFT_OUT} for _, _, rule in book.rules()] if book else []
    own, common = {"own setting"}, {"common practice"}
    return {
        "conclusions": len(book.conclusions) if book else 0,
        "rules": len(based),
        "actions": len(book.actions) if book else 0,
        "concerns": len(book.concerns) if book else 0,
        "sources": len(book.sources) if book else 0,
        "rules_published": sum(bool(b - own - common) for b in based),
        "rules_common_practice": sum(not b - own - common and bool(b & common) for b in based),
        "rules_own_setting": sum(b == own for b in based),
    }


def _part(given: Given, read: Read) -> Given:
    """Of a rulebook that did not read whole, the pages that can be judged all the same."""
    if read.whole:
        return given
    part = part_of(given.book, read.problems)
    return dataclasses.replace(
        given, book=part, left_out=files_left_out(read.files.keys(), given.book, part, read.unread)
    )


def _compiled(given: Given) -> tuple[list[Problem], frozenset[str]]:
    """What only the grounded rulebook shows, and the rules of every pair that rests on one finding."""
    network = ground(given.book)
    problems = counted_twice(network, given.book)
    twice = frozenset(
        f"{rule.page}/{given.book.conclusions[rule.page].evidence[rule.number].rule}"
        for one, other, _ in overlapping(network)
        for rule in (one, other)
    )
    try:
        refuse_circles(network, {key: page.file for key, page in given.book.conclusions.items()})
    except BadInput as circle:
        rest = dataclasses.replace(given, book=part_of(given.book, circle.problems))
        return [*problems, *circle.problems, *_compiled(rest)[0]], twice
    possible = Possible(network, given.book)
    for ask in (never_fires, nothing_speaks_for, never_taken):
        problems += ask(given, network, possible)
    return problems, twice


def wording_of(folders: Sequence[Path] | None = None) -> Wording:
    """The words no page may use, of these folders (default: the shipped rules) and always of the shipped ones."""
    layers = read_layers(folders) if folders else []
    return _wording(parse(data, name) for _, name, data in layers if name.startswith("scales/"))


def _wording(files: Iterable[Node]) -> Wording:
    """The shipped words first: a layer of one's own, or a rulebook without any, never takes one away."""
    return wording_from([_shipped_wording(), *(node for node in files if node.get(TABLE) is not None)])


def _shipped_wording() -> Node:
    path = shipped_rules() / WORDING
    return parse(path.read_bytes(), str(path))


def _milder(problem: Problem, sketches: frozenset[str]) -> Problem:
    """On a sketch what is not good yet is a warning; what would keep the rulebook from being read stays an error."""
    if problem.file in sketches and problem.code not in ("RB30", "RB31"):
        return dataclasses.replace(problem, severity="warning")
    return problem


def _sorted(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted(set(problems)))
