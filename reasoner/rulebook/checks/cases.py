"""The table behind practice cases names what there is: conclusions, places, entries, their sides and readings; each line a basis.

In: the table of cases and the vocabulary. Out: a problem for each line that could not stand in a visit.
Not here: whether a case made from it is found again (teaching/recovery).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import cast

from reasoner.problems import Problem, near_hint, register
from reasoner.quantities import NotAQuantity, dimension_of, read_quantity
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.measures.cases import Cases, Sign
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Observation

register(
    {
        "TE40": "a line of the table of cases that could not stand in a visit",
        "TE45": "a line of the table of cases without a basis, or a number out of its range",
    }
)

FILE = "measures/cases.yaml"
THIS_OR_OTHER = ("this", "other")
SIDED = (*THIS_OR_OTHER, "both", "either")
Path = tuple[str | int, ...]


def cases_that_fit(given: Given) -> Iterator[Problem]:
    """Everything wrong with the table of cases; nothing where there is none."""
    table = given.book.measures.get("cases")
    if table is not None:
        yield from _Looked(given, cast(Cases, table)).problems()


class _Looked:
    def __init__(self, given: Given, table: Cases) -> None:
        self.given, self.table, self.words = given, table, given.book.vocabulary
        files = [name for name in given.files if name.endswith(FILE)]
        self.file = files[-1] if files else FILE

    def problems(self) -> Iterator[Problem]:
        table = self.table
        for number, sign in enumerate(table.everyday.shows):
            yield from self._sign(sign, ("everyday", "shows", number), sided=False)
        for number, sign in enumerate(table.beside.shows):
            yield from self._sign(sign, ("beside", "shows", number), sided=True, basis=True)
        conclusions = self.given.book.conclusions
        for key, ways in table.shows.items():
            if key not in conclusions:
                if not self.given.may_be_asked(key):
                    yield self._say(("shows", key), "TE40", f'"{key}" is no conclusion.', near_hint(key, conclusions))
                continue
            for at, way in enumerate(ways):
                for number, sign in enumerate(way.shows):
                    line = ("shows", key, at, "shows", number)
                    yield from self._sign(sign, line, sided=conclusions[key].sides == "each", basis=True, seen=True)
        for number, rule in enumerate(table.goes_with):
            where = ("goes_with", number)
            for entry, words in ((rule.where, rule.has), (rule.then, (rule.word, *rule.unless))):
                seen = self.words.observations.get(entry)
                if seen is None:
                    yield self._say(where, "TE40", f'"{entry}" is no entry.', near_hint(entry, self.words.observations))
                else:
                    yield from (problem for word in words for problem in self._word(seen, word, where, sided=False))
        yield from self._steps()
        yield from self._numbers()

    def _steps(self) -> Iterator[Problem]:
        """Each entry is there and is an amount or a date, and its step is more than nothing in its own unit."""
        if self.table.from_a_visit is None:
            return
        for entry, step in self.table.from_a_visit.steps.items():
            where, seen = ("from_a_visit", "steps", entry), self.words.observations.get(entry)
            if seen is None:
                yield self._say(where, "TE40", f'"{entry}" is no entry.', near_hint(entry, self.words.observations))
            elif seen.kind not in ("number", "date"):
                yield self._say(where, "TE40", f'"{entry}" is neither an amount nor a date, and takes no steps.')
            else:
                try:
                    size = read_quantity(step, "days" if seen.kind == "date" else dimension_of(seen.unit))
                except NotAQuantity as bad:
                    yield self._say(where, "TE45", bad.sentence, bad.hint)
                else:
                    if size <= 0:
                        yield self._say(where, "TE45", f'"{step}" was read; a step of more than nothing was expected.')

    def _sign(
        self, sign: Sign, where: Path, *, sided: bool, basis: bool = False, seen: bool = False
    ) -> Iterator[Problem]:
        if basis and not sign.basis:
            yield self._say(
                where, "TE45", "this line says not on what it rests.", "Add basis: common practice, or a source."
            )
        if seen and not sign.seen:
            yield self._say(
                where, "TE40", "this line says not how often it shows.", f"Add seen: {', '.join(self.table.chances)}."
            )
        if sign.seen:
            yield from self._listed(sign.seen, self.table.chances, where, "seen")
        if bool(sign.place) == bool(sign.entry):
            yield self._say(where, "TE40", "a line names one place or one entry.")
        elif sign.place:
            yield from self._place(sign, where, sided)
        else:
            yield from self._entry(sign, where, sided)

    def _place(self, sign: Sign, where: Path, sided: bool) -> Iterator[Problem]:
        place = self.words.places.get(sign.place)
        if place is None:
            yield self._say(where, "TE40", f'"{sign.place}" is no place.', near_hint(sign.place, self.words.places))
            return
        yield from self._side(sign, place.sides == "each", where, sided)
        yield from self._listed(sign.sore, self.table.soreness, where, "sore")
        depths = [word.key for word in self.words.qualities.get("depth", ())]
        if sign.depth:
            yield from self._listed(sign.depth, dict.fromkeys(depths, 0.0), where, "depth")

    def _entry(self, sign: Sign, where: Path, sided: bool) -> Iterator[Problem]:
        seen = self.words.observations.get(sign.entry)
        if seen is None:
            yield self._say(
                where, "TE40", f'"{sign.entry}" is no entry.', near_hint(sign.entry, self.words.observations)
            )
            return
        yield from self._side(sign, seen.sides == "each", where, sided)
        if (sign.days_ago is not None) == bool(sign.word) or (sign.days_ago is not None and seen.kind != "date"):
            yield self._say(where, "TE40", f'"{sign.entry}" takes a word, or days_ago if it is a date.')
        elif sign.days_ago is not None and not 0 <= sign.days_ago[0] <= sign.days_ago[1]:
            yield self._say(where, "TE45", "days_ago are two numbers of days, the smaller first.")
        elif sign.word:
            yield from self._word(seen, sign.word, where, sided)

    def _side(self, sign: Sign, has_sides: bool, where: Path, sided: bool) -> Iterator[Problem]:
        """A side where there are two, none on the middle line, and this or other only where the conclusion has a side."""
        good = (SIDED if sided else SIDED[2:]) if has_sides else ("",)
        if sign.side not in good:
            expected = ", ".join(good) if has_sides else "no side"
            yield self._say(where, "TE40", f'"{sign.side}" was read as the side of {sign.place or sign.entry}; {expected} '
                            "was expected.")  # fmt: skip

    def _word(self, seen: Observation, word: str, where: Path, sided: bool) -> Iterator[Problem]:
        permitted = [one.key for one in seen.readings]
        if seen.kind == "side":
            permitted += ["left", "right", "either", *(THIS_OR_OTHER if sided else ())]
        if seen.kind == "date" and seen.none_word:
            permitted.append(seen.none_word)
        if word not in permitted:
            yield self._say(where, "TE40", f'"{word}" is no reading of {seen.key}; one of {", ".join(permitted)} was expected.',
                            near_hint(word, permitted))  # fmt: skip

    def _listed(self, word: str, scale: Mapping[str, float], where: Path, what: str) -> Iterator[Problem]:
        if word not in scale:
            yield self._say(where, "TE40", f'"{word}" was read under {what}; one of {", ".join(scale)} was expected.',
                            near_hint(word, scale))  # fmt: skip

    def _numbers(self) -> Iterator[Problem]:
        table = self.table
        shares: list[tuple[Path, float]] = [(("chances",), one) for one in table.chances.values()]
        shares += [(("soreness",), one) for one in table.soreness.values()]
        shares.append((("links",), table.links.fades))
        for number, level in enumerate(table.difficulties):
            where: Path = ("difficulties", number)
            shares += [(where, level.clear), (where, level.left_out)]
            if not 0 < level.worst[0] <= level.worst[1] <= 10 or level.beside < 0:
                yield self._say(
                    where, "TE45", "worst are two numbers up to 10, the smaller first; beside is a number of findings."
                )
        for where, share in shares:
            if not 0.0 <= share <= 1.0:
                yield self._say(where, "TE45", f"{share:g} was read; a share from 0 to 1 was expected.")
        for word, scale, what in (
            (table.links.seen, table.chances, "seen"), (table.links.leads, table.chances, "leads"),
            (table.links.sore, table.soreness, "sore"), (table.spreads.seen, table.chances, "seen"),
            (table.spreads.sore, table.soreness, "sore"), (table.beside.sore, table.soreness, "sore"),
        ):  # fmt: skip
            yield from self._listed(word, scale, (), what)
        groups = {group for place in self.words.places.values() for group in place.groups}
        for group in table.spreads.groups:
            if group not in groups:
                yield self._say(("spreads",), "TE40", f'"{group}" is no group of places.', near_hint(group, groups))
        if not table.difficulties:
            yield self._say((), "TE45", "at least one difficulty is needed.")

    def _say(self, where: Path, code: str, sentence: str, hint: str = "") -> Problem:
        return Problem(self.file, self._line(where), code, sentence, hint)

    def _line(self, where: Path) -> int:
        """The line of a part of the table, or of what holds it; 0 where the file is not at hand."""
        node: Node | None = self.given.files.get(self.file)
        line = node.line if node is not None else 0
        for step in where:
            if node is None:
                break
            if isinstance(step, int):
                node = node.value[step] if isinstance(node.value, list) and step < len(node.value) else None
            else:
                node = node.get(step)
            line = node.line if node is not None else line
        return line
