"""One row of a table, read as a visit file would read it; and a whole visit made of such rows.

In: the texts of a row. Out: `Touch` and `Noted` entries, a `Visit`, or `BadInput` with everything wrong and its row.
Not here: many rows at once (fill): that road must come to what is said here, and goes back to it where anything is unusual.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.questions.written import Named, Names
from reasoner.rulebook import strict_yaml
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.model import DateSpan, Noted, Touch, Visit
from reasoner.visit.reader import plain, quote
from reasoner.visit.reading import QUIET, VISIT, visit_from_node
from reasoner.visit.steps import STEPS

register(
    {
        "BT01": "a row without the name of its visit",
        "BT02": "a row without a finding",
        "BT03": "the rows of one visit name different days",
        "BT04": "a column says something that does not belong to this finding",
        "BT05": "the day of the visit stands among its findings",
    }
)

FIRST, SETTLED, AFTER = "first", "settled", "after_work"
WHEN = {
    **dict.fromkeys(("", "first", "before", "before_work", "before_any_work"), FIRST),
    **dict.fromkeys(("settled", "once_settled", "when_settled"), SETTLED),
    **dict.fromkeys(("after_work", "after", "afterwards"), AFTER),
}
_FIELD = {SETTLED: "once settled", AFTER: "after work"}
QUALITIES = ("response", "felt", "depth", "touch")
EXTRAS = ("when", *QUALITIES, "leg")
Extras = tuple[str, str, str, str, str, str]
NO_EXTRAS: Extras = ("", "", "", "", "", "")
Entry = Touch | Noted


@frozen
class Row:
    """One row: its number in the table (the first is 1) and its texts, empty where nothing stands. `extras` as in EXTRAS."""

    number: int
    finding: str
    side: str
    value: str
    extras: Extras = NO_EXTRAS
    day: str = ""


@frozen
class Found:
    """What the finding of a row names. `quiet` is the region or place of a row that is marked quiet."""

    named: Named
    sides: tuple[str, ...]
    place: bool


def is_quiet(value: str) -> bool:
    """Whether the value marks a place or region as examined and quiet."""
    return canonical(value) == QUIET


class RowReader:
    """Reads rows by the words of one vocabulary, through the reader of visit files itself."""

    def __init__(self, vocabulary: Vocabulary, file: str = "table") -> None:
        self.vocabulary, self.file = vocabulary, file
        self.names = Names(vocabulary)

    def find(self, finding: str, side: str, row: int = 0) -> Found:
        """The place or entry a row names, with its sides. Raises BadInput (BT02, BT05, QU02, QU03)."""
        if not finding.strip():
            raise self._bad(row, "BT02", "no finding is written in this row.", "Name a place or an entry.")
        words = f"{finding}, {side}" if side.strip() else finding
        if side.strip() and self.names.reader.side(side) is None:
            raise self._bad(row, "QU03", f"{quote(side)} is no side; expected left, right or both.",
                            near_hint(side, self.vocabulary.side_of))  # fmt: skip
        try:
            named, sides = self.names.find(words, self.file)
        except BadInput as bad:
            raise BadInput(Problem(self.file, row, p.code, p.sentence, p.hint) for p in bad.problems) from None
        if named.key == VISIT:
            raise self._bad(row, "BT05", "the day of the visit is no finding.", "Write it in the column date.")
        return Found(named, sides, named.key in self.vocabulary.places)

    def read(self, row: Row, day: date) -> tuple[Entry, ...]:
        """What one row writes into a visit of that day. Raises BadInput."""
        try:
            node = self._quiet(row) if is_quiet(row.value) else self._node(row)
            read = visit_from_node(node, self.file, self.vocabulary, default_day=day)
        except BadInput as bad:
            raise BadInput(Problem(self.file, row.number, p.code, p.sentence, p.hint) for p in bad.problems) from None
        if row.extras[-1] and not is_quiet(row.value):
            return tuple(n for n in read.noted if n.about is not None)
        return (*read.touches, *read.noted)

    def _node(self, row: Row) -> Node:
        found = self.find(row.finding, row.side, row.number)
        node = self._place(row) if found.place else self._entry(row, found)
        if found.named.sided:
            node = _mapping(row.number, dict.fromkeys(found.sides, node))
        node = _mapping(row.number, {found.named.name: node})
        if row.extras[-1]:
            return self._of_leg(row, found, node)
        for heading in reversed(found.named.headings):
            node = _mapping(row.number, {heading: node})
        return node

    def _place(self, row: Row) -> Node:
        when = WHEN.get(canonical(row.extras[0]))
        if when is None:
            raise self._bad(row.number, "BT04", f"when: {quote(row.extras[0])} is not known; expected first, once settled "
                            "or after work.", near_hint(row.extras[0], map(plain, WHEN)))  # fmt: skip
        if row.extras[-1]:
            raise self._bad(row.number, "BT04", "leg: a place has no leg.", "Leave the column empty.")
        parts = {name: self._words(row, said) for name, said in zip(QUALITIES, row.extras[1:5], strict=True) if said}
        node = self._value(row)
        if parts:
            whole = node.value if isinstance(node.value, dict) else {}
            own = _mapping(row.number, parts).value
            assert isinstance(own, dict)
            if not whole and row.value.strip():
                own = {"soreness": (Node("soreness", row.number), node), **own}
            node = Node({**own, **whole}, row.number)
        return _mapping(row.number, {_FIELD[when]: node}) if when in _FIELD else node

    def _entry(self, row: Row, found: Found) -> Node:
        for name, said in zip(EXTRAS[:-1], row.extras, strict=False):
            # "after work" beside an entry of the heading after work says what is so.
            if said and not (name == "when" and canonical(said) in map(canonical, found.named.headings)):
                raise self._bad(row.number, "BT04", f"{name}: {quote(said)} stands beside {found.named.name}, which is no "
                                "place under the hand.", "Leave the column empty.")  # fmt: skip
        return self._value(row)

    def _of_leg(self, row: Row, found: Found, node: Node) -> Node:
        if found.named.headings != (STEPS,) or found.named.sided:
            raise self._bad(row.number, "BT04", f"leg: {found.named.name} is not said of one leg.",
                            "Leave the column empty.")  # fmt: skip
        # How uneven that leg was stands in a row of its own; any degree does for reading this one.
        steps = (o for o in self.vocabulary.observations.values() if o.section == STEPS and o.sides == "each")
        degree = next(word.key for step in steps for word in step.readings)
        inside = _mapping(row.number, {"is": Node(degree, row.number)}).value
        assert isinstance(inside, dict)
        assert isinstance(node.value, dict)
        leg = Node({**inside, **node.value}, row.number)
        return _mapping(row.number, {STEPS: _mapping(row.number, {row.extras[-1]: leg})})

    def _quiet(self, row: Row) -> Node:
        if any(row.extras):
            raise self._bad(row.number, "BT04", "quiet says all there is to say of a place.",
                            "Leave the other columns empty.")  # fmt: skip
        side, finding = self._quiet_name(row)
        return _mapping(row.number, {QUIET: _mapping(row.number, {finding: Node(side, row.number)})})

    def _quiet_name(self, row: Row) -> tuple[str, str]:
        """(side, place or region) of a row that marks something quiet; without a side it is both."""
        if row.side.strip():
            return row.side.strip(), row.finding
        before, rest = self.names.reader.split_side(canonical(row.finding), self._has_quiet)
        return (before, rest) if before else ("both", row.finding)

    def _has_quiet(self, word: str) -> bool:
        return word in self.vocabulary.regions or self.names.reader.place_key(word) is not None

    def _value(self, row: Row) -> Node:
        return self._flow(row, row.value) if row.value.lstrip()[:1] in ("{", "[") else Node(row.value, row.number)

    def _words(self, row: Row, said: str) -> Node:
        if said.lstrip()[:1] == "[":
            return self._flow(row, said)
        words = [Node(word, row.number) for word in said.split(",")]
        return Node(list(words), row.number) if len(words) > 1 else words[0]

    def _flow(self, row: Row, text: str) -> Node:
        return strict_yaml.parse(text.encode(errors="surrogatepass"), self.file)

    def nameless(self, row: int) -> Problem:
        """What is said of rows that name no visit."""
        return Problem(self.file, row, "BT01", "the name of the visit is missing.", "Fill in the column visit.")

    def _bad(self, row: int, code: str, sentence: str, hint: str = "") -> BadInput:
        return BadInput([Problem(self.file, row, code, sentence, hint)])

    # -- a whole visit

    def day(self, rows: Iterable[Row]) -> date:
        """The one day that the rows name. Raises BadInput."""
        said = {row.day.strip(): row.number for row in reversed(tuple(rows))}
        first = min(said.values(), default=0)
        said.pop("", None)
        if len(said) > 1:
            one, two = sorted(said, key=said.__getitem__)[:2]
            raise self._bad(said[two], "BT03", f"the day of the visit is {quote(one)}, and {quote(two)} further down.",
                            "One visit is one day.")  # fmt: skip
        top = _mapping(first, {VISIT: Node(next(iter(said)), first)} if said else {"date": Node("", first)})
        try:
            return visit_from_node(top, self.file, self.vocabulary).day
        except BadInput as bad:
            dated = (p for p in bad.problems if said or p.code == "VF01")
            raise BadInput(Problem(self.file, first, p.code, p.sentence, p.hint) for p in dated) from None

    def visit(self, rows: tuple[Row, ...]) -> Visit:
        """The visit these rows write. Raises BadInput with everything wrong in them."""
        problems: list[Problem] = []
        day = date.max
        try:
            day = self.day(rows)
        except BadInput as bad:
            problems += bad.problems
        written: dict[object, Entry] = {}
        quiet: list[Touch] = []
        marked: dict[object, int] = {}
        for row in rows:
            try:
                entries = self.read(row, day)
            except BadInput as bad:
                problems += bad.problems
                continue
            if is_quiet(row.value):
                problems += self._marked_twice(row, marked)
                quiet += [entry for entry in entries if isinstance(entry, Touch)]
                continue
            for entry in entries:
                first = written.setdefault(claim(entry), replace(entry, line=row.number))
                if first.line != row.number:
                    problems.append(self._twice(row.number, first))
        problems += self._general_and_leg(written.values())
        if problems:
            raise BadInput(problems)
        touches = [entry for entry in written.values() if isinstance(entry, Touch)]
        touched = {(t.place, t.side) for t in touches}
        for touch in quiet:
            if (touch.place, touch.side) not in touched:
                touched.add((touch.place, touch.side))
                touches.append(touch)
        noted = (entry for entry in written.values() if isinstance(entry, Noted))
        return Visit(file=self.file, day=day, touches=tuple(touches), noted=(day_noted(day), *noted))

    def marks(self, row: Row) -> tuple[object, ...]:
        """What a row marks quiet, by whatever spelling: its places and each of its sides; neither may be marked again."""
        _, rest = self._quiet_name(row)
        both = self.read(replace(row, finding=rest, side="both"), date.max)
        places = frozenset(t.place for t in both if isinstance(t, Touch))
        return tuple((places, side) for side in dict.fromkeys(e.side or "left" for e in self.read(row, date.max)))

    def _marked_twice(self, row: Row, marked: dict[object, int]) -> Iterator[Problem]:
        for mark in self.marks(row):
            first = marked.setdefault(mark, row.number)
            if first != row.number:
                yield Problem(
                    self.file, row.number, "VF10", f"{row.finding} is marked quiet twice.", "Keep one of them."
                )
                return

    def _twice(self, row: int, first: Entry) -> Problem:
        # Which rows these are is told by their numbers alone: the part that is read does not know where in the table it stands.
        back = row - first.line
        where = "in the row above" if back == 1 else f"{back} rows above"
        return Problem(
            self.file, row, "VF10", f"{self._called(first)} is written twice, here and {where}.", "Keep one of them."
        )

    def _called(self, entry: Entry) -> str:
        if isinstance(entry, Touch):
            when = "" if entry.when == FIRST else f", {_FIELD[entry.when]}"
            name = self.vocabulary.places[entry.place].name
            return (f"{name}, {entry.side}" if entry.side else name) + when
        name = self.vocabulary.observations[entry.key].name
        return f"{name}, {entry.side}" if entry.side else name

    def _general_and_leg(self, entries: Iterable[Entry]) -> Iterator[Problem]:
        noted = [n for n in entries if isinstance(n, Noted)]
        general = {n.key: n for n in noted if n.about is None}
        yield from (self._twice(n.line, general[n.key]) for n in noted if n.about is not None and n.key in general)


def claim(entry: Entry) -> object:
    """What can be written once in a visit: a place, side and time; an entry, side and leg."""
    if isinstance(entry, Touch):
        return entry.place, entry.side, entry.when
    return entry.key, entry.side, entry.about


def day_noted(day: date) -> Noted:
    """The line of a visit file that names its day."""
    return Noted(key=VISIT, value=DateSpan(first=day, last=day), written=day.isoformat(), line=1, kind="date")


def _mapping(line: int, parts: dict[str, Node]) -> Node:
    return Node({key: (Node(key, line), value) for key, value in parts.items()}, line)
