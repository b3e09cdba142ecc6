"""`loin, left = 0`: a reading as it would be written down, in one line.

In: the words of such a line and the visit it is about. Out: a `Change`, read by the reader of visit files itself.
Not here: making the change, asking what it does.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from functools import cached_property

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.questions.changes import Change, Spot, spot_of
from reasoner.rulebook import strict_yaml
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.model import Visit
from reasoner.visit.reader import Reader, quote
from reasoner.visit.reading import visit_from_node
from reasoner.visit.touches import PALPATION, SPACES, is_space

register(
    {
        "QU01": "a reading to suppose that cannot be read",
        "QU02": "a name that is no place and no entry",
        "QU03": "a side that does not belong, or is missing",
        "QU04": "a reading supposed twice",
        "QU05": "an entry that cannot be supposed",
    }
)

DAY = "visit"  # the entry that holds the day
NOT_EXAMINED = ("not_examined", "nothing", "left_out")
EXAMPLE = 'Write it as "loin, left = 4" or "withers, both = not examined".'


@frozen
class Named:
    """A place or an entry of a visit file: its key, the headings it stands under, the name to write, whether it has sides."""

    key: str
    headings: tuple[str, ...]
    name: str
    sided: bool


class Names:
    """Every place and entry of a visit file, by any of its spellings."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.reader = Reader("", vocabulary)

    def find(self, words: str, line: str) -> tuple[Named, tuple[str, ...]]:
        """What the words name and the sides they speak of, ("",) where there are none. Raises BadInput (QU02, QU03)."""
        *name_words, last = [part.strip() for part in words.split(",")]
        sided = self.reader.side(last) if name_words else None
        name = ", ".join(name_words) if sided else words.strip()
        before, rest = self.reader.split_side(canonical(name), lambda word: bool(self._of(word)))
        if sided and before and sided != before:
            hint = "Write one of them."
            raise BadInput([Problem(line, 0, "QU03", f"{quote(words.strip())} names two different sides.", hint)])
        sided = sided or before
        found = self._of(rest)
        if not found:
            because = self.reader.refusal(name)
            hint = f"{because}." if because else near_hint(name, sorted(self._names)) or EXAMPLE
            raise BadInput([Problem(line, 0, "QU02", f"{quote(name)} is no place and no entry of a visit.", hint)])
        if len(found) > 1:
            where = " or ".join(f'"{one.headings[-1]}: {one.name}"' for one in found if one.headings)
            raise BadInput(
                [Problem(line, 0, "QU02", f"{quote(name)} stands under several headings.", f"Write {where}.")]
            )
        one = found[0]
        if one.sided and sided is None:
            raise BadInput([Problem(line, 0, "QU03", f"{one.name} has two sides, and none was read.",
                                    f'Write "{one.name}, left", "{one.name}, right" or "{one.name}, both".')])  # fmt: skip
        if sided and not one.sided:
            raise BadInput([Problem(line, 0, "QU03", f"{one.name} has no sides.", f'Write "{one.name}" alone.')])
        return one, ("left", "right") if sided == "both" else (sided or "",)

    def _of(self, word: str) -> list[Named]:
        key = self.reader.place_key(word)
        if key is not None:
            place = self.vocabulary.places[key]
            heading = SPACES if is_space(place) else PALPATION
            return [Named(key, (heading,), place.name, place.sides == "each")]
        return self._entries.get(word, [])

    @cached_property
    def _entries(self) -> dict[str, list[Named]]:
        found: dict[str, list[Named]] = {}
        for one in self.vocabulary.observations.values():
            headings = tuple(one.section.split("/")) if one.section != "top" else ()
            named = Named(one.key, headings, one.name, one.sides == "each")
            words = {canonical(w) for w in (one.key, one.name, *one.also)}
            # A heading written before the name says which of several it is.
            words |= {f"{canonical(heading)}:_{word}" for word in words for heading in headings}
            for word in words:
                found.setdefault(word, []).append(named)
        return found

    @cached_property
    def _names(self) -> set[str]:
        places = {place.name for place in self.vocabulary.places.values()}
        return places | {one.name for one in self.vocabulary.observations.values()}


def change_from(lines: Iterable[str], visit: Visit, vocabulary: Vocabulary) -> Change:
    """What these lines write into the visit together. Raises BadInput with everything wrong in them; two lines that speak of
    one thing are refused (QU04), because both would be told and only one would count."""
    names, whole = Names(vocabulary), Change()
    problems: list[Problem] = []
    said: dict[Spot, str] = {}
    for line in lines:
        try:
            one = _one(line, visit, names)
        except BadInput as bad:
            problems += bad.problems
            continue
        for spot in one.without:
            if said.setdefault(spot, line) != line:
                problems.append(Problem(f"--set {quote(line)}", 0, "QU04",
                                        f"{quote(said[spot])} speaks of the same thing.", "Suppose one of the two."))  # fmt: skip
                break
        whole += one
    if problems:
        raise BadInput(problems)
    return whole


def _one(line: str, visit: Visit, names: Names) -> Change:
    words, equals, value = line.partition("=")
    said = f"--set {quote(line)}"
    if not equals or not words.strip() or not value.strip():
        raise BadInput([Problem(said, 0, "QU01", "a name, = and a reading were expected.", EXAMPLE)])
    named, sides = names.find(words, said)
    if named.key == DAY:
        # Every number of days, and every date written down, hangs on it: that is another visit.
        hint = "Change it in a copy of the file."
        raise BadInput([Problem(said, 0, "QU05", "the day of the visit cannot be supposed to be another.", hint)])
    spots: tuple[Spot, ...] = tuple((named.key, side) for side in sides)
    if canonical(value) in NOT_EXAMINED:
        return Change(without=spots)
    try:
        text = "\n".join(_as_file(named, sides, value))
        read = visit_from_node(strict_yaml.parse(text.encode(), said), said, names.vocabulary, default_day=visit.day)
    except BadInput as bad:
        raise BadInput(Problem(said, 0, p.code, p.sentence, p.hint) for p in bad.problems) from None
    touches = tuple(t for t in read.touches if spot_of(t) in spots)
    noted = tuple(n for n in read.noted if n.key == named.key)
    return Change(touches, noted, without=spots)


def _as_file(named: Named, sides: tuple[str, ...], value: str) -> Iterator[str]:
    """The lines of a visit file that hold this one reading."""
    keys = [*named.headings, named.name]
    for depth, key in enumerate(keys):
        last = depth == len(keys) - 1 and not named.sided
        yield "  " * depth + json.dumps(key) + (f": {value.strip()}" if last else ":")
    if named.sided:
        yield from ("  " * len(keys) + f"{side}: {value.strip()}" for side in sides)
