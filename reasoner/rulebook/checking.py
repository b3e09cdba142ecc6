"""How the next check is chosen: the table `checking` of rules/scales/, read and held against the words of the rulebook.

In: the table as plain data; later the whole book. Out: `Checking`, and a problem for every word that names nothing.
Not here: choosing. A misspelt stop would let a look be proposed that it was meant to take away, so nothing is passed over.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, get_args

from reasoner.problems import Problem, near_hint, register
from reasoner.rulebook.pages import ActionKind
from reasoner.rulebook.scales import Bring, Checking
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical

if TYPE_CHECKING:
    from reasoner.rulebook.rulebook import Rulebook

register({"RB62": "a word in the table of checks names nothing"})

PALPATION, SPACES = "palpation", "between_the_spinous_processes"


def checking_from(table: Mapping[str, Any]) -> Checking:
    """The table as it is written. Raises KeyError, ValueError, TypeError or AttributeError where it cannot be read."""

    def lists(name: str) -> dict[str, tuple[str, ...]]:
        return {canonical(key): tuple(map(canonical, words)) for key, words in table[name].items()}

    return Checking(
        scores=tuple(float(score) for score in table["scores_tried"]), minutes_a_side=float(table["minutes_a_side"]),
        minutes_to_begin={canonical(key): float(value) for key, value in table.get("minutes_to_begin", {}).items()},
        first=canonical(table["first"]), asks=lists("asks"), back=tuple(map(canonical, table["back"])),
        no_trot_after=lists("no_trot_after"), by_telephone=tuple(map(canonical, table["by_telephone"])),
        not_asked_after={
            canonical(key): {canonical(of): tuple(map(canonical, words)) for of, words in other.items()}
            for key, other in table.get("not_asked_after", {}).items()
        },
        ridden_for=tuple(map(canonical, table.get("ridden_for", ()))),
        not_ridden_while=tuple(map(canonical, table.get("not_ridden_while", ()))),
        bring=tuple(_bring(what, dict(needs)) for what, needs in table.get("bring", {}).items()),
        how_the_spaces=" ".join(table.get("how_the_spaces", "").split()),
        minutes_for_the_spaces=float(table.get("minutes_for_the_spaces", 1)),
        asked_again=tuple(map(canonical, table.get("asked_again", ()))),
        pressed_for={canonical(key): canonical(region) for key, region in table.get("pressed_for", {}).items()},
        moved_for=lists("moved_for") if "moved_for" in table else {},
        guarding=tuple(map(canonical, table.get("guarding", ()))),
        walked_for=tuple(map(canonical, table.get("walked_for", ()))), basis=table.get("basis", ""),
    )  # fmt: skip


def _bring(what: str, needs: dict[str, Any]) -> Bring:
    """One thing to bring. Raises TypeError where an unknown key stands there."""
    looks, steps = (tuple(map(canonical, needs.pop(name, ()))) for name in ("looks", "steps"))
    return Bring(what=" ".join(what.split()), looks=looks, steps=steps,
                 **{canonical(key): canonical(value) for key, value in needs.items()})  # fmt: skip


def slips_of_checking(book: Rulebook, files: Iterable[tuple[str, Node]]) -> Iterator[Problem]:
    """A problem for each heading, entry, reading, region and stop of the table that is not there.

    `files` are the files of scales as parsed, in the order of their layers: the last table is the one in force.
    """
    checking = book.scales.checking
    tables = [(file, table) for file, root in files if (table := root.get("checking")) is not None]
    if checking is None or not tables:
        return
    words, (file, table) = book.vocabulary, tables[-1]
    lines = dict(_lines(table))
    headings = {canonical(key) for key in words.sections} | {PALPATION, SPACES}
    stops = {
        stop.key for stop in book.scales.stops
    }  # keys are compared, and another spelling of one would stop nothing
    wanted: list[tuple[Iterable[str], Iterable[str], str]] = [
        ((*checking.asks, *checking.minutes_to_begin, checking.first), headings, "heading"),
        ([stop for some in (*checking.asks.values(), *checking.moved_for.values()) for stop in some], stops, "stop"),
        (checking.moved_for, set(words.observations), "entry"),
        (checking.pressed_for, set(words.observations), "entry"),
        (checking.pressed_for.values(), set(map(canonical, words.regions)), "region"),
        (checking.back, set(map(canonical, words.regions)), "region"),
        (checking.guarding, {w.key for w in words.qualities.get("responses", ())}, "answer"),
        (checking.asked_again, {w.key for w in words.qualities.get("not_examined_reasons", ())}, "reason"),
        (checking.no_trot_after, set(words.observations), "entry"),
        (checking.walked_for, set(words.observations), "entry"),
        (checking.ridden_for, headings, "heading"),
        (checking.not_ridden_while, set(book.actions), "action"),
        ([look for one in checking.bring for look in one.looks], headings, "heading"),
        (
            [kind for one in checking.bring for kind in one.steps],
            get_args(ActionKind),
            "kind of step",
        ),
        ([one.named_by for one in checking.bring if one.named_by], set(words.observations), "entry"),
        (checking.by_telephone, headings | set(words.observations), "heading or entry"),
    ]
    others = [(of, some) for other in checking.not_asked_after.values() for of, some in other.items()]
    wanted += [((*checking.not_asked_after, *(of for of, _ in others)), set(words.observations), "entry")]
    for key, readings in [*checking.no_trot_after.items(), *others]:
        if key in words.observations:
            seen = words.observations[key]
            wanted.append((readings, {word.key for word in seen.readings}, f"reading of {seen.name}"))
    for some, known, what in wanted:
        for word in dict.fromkeys(some):
            if word not in known:
                said = f'"{word.replace("_", " ")}" is no {what}.'
                yield Problem(file, lines.get(word, table.line), "RB62", said, near_hint(word, known))
    if not checking.scores or not all(0.0 <= score <= 10.0 for score in checking.scores):
        yield Problem(file, table.line, "RB62", "`scores_tried` holds numbers from 0 to 10, at least one.")
    if not min(checking.minutes_a_side, checking.minutes_for_the_spaces) > 0.0 or not all(
        minutes >= 0.0 for minutes in checking.minutes_to_begin.values()
    ):
        yield Problem(file, table.line, "RB62", "a number of minutes lies above 0.")


def _lines(node: Node) -> Iterator[tuple[str, int]]:
    """Every word of the table, with a line it stands on."""
    if isinstance(node.value, list):
        for each in node.value:
            yield from _lines(each)
    elif isinstance(node.value, dict):
        for key, key_node, value in node.items():
            yield canonical(key), key_node.line
            yield from _lines(value)
    elif node.text:
        yield canonical(node.text), node.line
