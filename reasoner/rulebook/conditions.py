"""The grammar of a condition: what a `when` may say, and what each leaf asks.

In: a condition as written on a page, and the names known. Out: `All`, `Any`, `Not`, `AtLeast` over `Leaf`, or problems.
Not here: filling in sides and places (grounding) and evaluation.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Literal

from reasoner.frozen import frozen
from reasoner.problems import Problem, near_hint, register
from reasoner.rulebook.vocabulary import Observation, Vocabulary, canonical

register(
    {
        "RB10": "a condition is not of the grammar",
        "RB11": "a name in a condition is not known",
        "RB12": "a word in a condition is not in the vocabulary",
        "RB13": "a side is missing, or does not belong",
        "RB14": "a quantity in a condition is not possible",
    }
)

SIDE_WORDS = ("this", "other", "both", "either", "left", "right")
READINGS = ("effective", "first", "settled", "worst", "after_work")
LIMITS = ("at_least", "above", "at_most", "below")


@frozen
class Leaf:
    """One question to one thing.

    `of` says what is asked: a place, a group of places, an observation by its kind, or an earlier conclusion. `test` is
    the question ("at_least", "ramp", "more_than_other", "response", "felt", "depth", "guarded", "unsettled", "is",
    "above", "at_most", "below", "within", "longer_ago_than", "held", "certainty"). `words` are its words (any one is
    enough), `value` its number in base units.
    """

    subject: str
    of: Literal["place", "places", "choice", "side", "number", "date", "conclusion"]
    test: str
    side: str = ""
    words: tuple[str, ...] = ()
    value: float | None = None
    reading: str = "effective"
    how_many: int = 1
    line: int = 0


@frozen
class All:
    """Every part."""

    parts: tuple[Condition, ...]


@frozen
class AtLeast:
    """At least `k` of the parts; any-of is k = 1."""

    k: int
    parts: tuple[Condition, ...]


@frozen
class Not:
    """The part turned round: support and opposition change places."""

    part: Condition


Condition = All | AtLeast | Not | Leaf


def leaves(condition: Condition) -> Iterator[Leaf]:
    """Every leaf of a condition, in the order written."""
    if isinstance(condition, Leaf):
        yield condition
    elif isinstance(condition, Not):
        yield from leaves(condition.part)
    else:
        for part in condition.parts:
            yield from leaves(part)


@frozen
class Names:
    """What a condition may name.

    `conclusions` maps a key to "each" or "none" (its sides); `ramps` holds the words of the soreness and difference
    ramps; `certainties` the words of the certainty bands; `quantity` reads "38.5 °C" into base units for an observation
    and raises ValueError. `unread` holds the ids of pages that could not be read: a question to one of them is no
    mistake, and cannot be parsed either.
    """

    vocabulary: Vocabulary
    conclusions: Mapping[str, str]
    ramps: Mapping[str, str]
    certainties: Mapping[str, float]
    quantity: Callable[[str, Observation], float]
    days: Callable[[str], float]
    unread: frozenset[str] = frozenset()


class _Bad(Exception):
    """What is wrong with a condition: one fault, or those of each of its parts."""

    def __init__(self, code: str, sentence: str, hint: str = "", line: int = 0) -> None:
        self.faults = [(code, sentence, hint, line)]


_UNREAD = ""  # the code of what is no mistake of this page: it asks a page that could not be read


def parse_condition(raw: Any, names: Names, file: str, line: int, problems: list[Problem]) -> Condition | None:
    """Parse a condition. Everything wrong is added to `problems`; None is returned if anything was."""
    try:
        return _parse(raw, names, line)
    except _Bad as bad:
        for code, sentence, hint, at in bad.faults:
            if code != _UNREAD:
                problems.append(Problem(file, at or line, code, sentence, hint))
        return None


def _parse(raw: Any, names: Names, line: int) -> Condition:
    if not isinstance(raw, Mapping):
        raise _Bad("RB10", f"a condition is a mapping with one key; read: {_shown(raw)}.", line=line)
    line = raw.get("line", line)
    keys = [key for key in raw if key != "line"]
    if len(keys) != 1:
        raise _Bad("RB10", f"a condition has exactly one key; read: {', '.join(keys) or 'none'}.",
                   "Join several with `all:` or `any:`.", line)  # fmt: skip
    key, body = keys[0], raw[keys[0]]
    word = canonical(key)
    if word in ("all", "any") or (word.startswith("at_least_") and word.endswith("_of")):
        if not isinstance(body, (list, tuple)) or not body:
            raise _Bad("RB10", f"`{key}` takes a list of conditions.", line=line)
        parts = _parts(body, names, line)
        if word == "all":
            return All(parts)
        if word == "any":
            return AtLeast(1, parts)
        number = word.removeprefix("at_least_").removesuffix("_of")
        if not number.isdigit() or not 1 <= int(number) <= len(parts):
            raise _Bad("RB10", f"`{key}` asks for {number} of {len(parts)}.", line=line)
        return AtLeast(int(number), parts)
    if word == "not":
        return Not(_parse(body, names, line))
    # The line where the question stands: what it asks may begin a line lower.
    return dataclasses.replace(_leaf(word, key, body, names, line), line=line)


def _parts(body: Sequence[Any], names: Names, line: int) -> tuple[Condition, ...]:
    """Every part parsed; what is wrong with one does not hide what is wrong with the next."""
    parts: list[Condition] = []
    faults = _Bad("", "")
    faults.faults.clear()
    for part in body:
        try:
            parts.append(_parse(part, names, line))
        except _Bad as bad:
            faults.faults += bad.faults
    if faults.faults:
        raise faults
    return tuple(parts)


def _leaf(word: str, written: str, body: Any, names: Names, line: int) -> Leaf:
    vocabulary = names.vocabulary
    if word == "this_place":
        return _place("this_place", body, names, line, sides=None)
    if word == "places":
        return _places(body, names, line)
    if word in vocabulary.place_of:
        key = vocabulary.place_of[word]
        return _place(key, body, names, line, sides=vocabulary.places[key].sides)
    if word in names.conclusions:
        return _conclusion(word, body, names, line)
    if word in vocabulary.observations:
        return _observation(vocabulary.observations[word], body, names, line)
    if word in names.unread:
        raise _Bad(_UNREAD, "")
    known = [*vocabulary.places, *vocabulary.observations, *names.conclusions]
    raise _Bad("RB11", f'"{written}" is no place, observation or conclusion.', near_hint(word, known), line)


def _mapping(body: Any, line: int) -> tuple[dict[str, Any], int]:
    if not isinstance(body, Mapping):
        raise _Bad("RB10", f"a mapping was expected, such as {{side: this, at_least: sore}}; read: {_shown(body)}.",
                   line=line)  # fmt: skip
    line = body.get("line", line)
    return {canonical(k): v for k, v in body.items() if k != "line"}, line


def _side(tests: dict[str, Any], sides: str | None, line: int) -> str:
    side = canonical(str(tests.pop("side", "")))
    if side and side not in SIDE_WORDS:
        raise _Bad("RB13", f'"{side}" is no side.', f"Sides here: {', '.join(SIDE_WORDS)}.", line)
    if sides == "each" and not side:
        raise _Bad("RB13", "this has a left and a right: say which side.", "side: this, other, both or either.", line)
    if sides in ("midline", "none") and side:
        raise _Bad("RB13", "this has no left and right: leave the side out.", line=line)
    return side


def _place(key: str, body: Any, names: Names, line: int, sides: str | None) -> Leaf:
    tests, line = _mapping(body, line)
    side = _side(tests, sides, line)
    return _touch_test(key, "place", side, tests, names, line)


def _places(body: Any, names: Names, line: int) -> Leaf:
    tests, line = _mapping(body, line)
    group = canonical(str(tests.pop("group", "")))
    members = names.vocabulary.group(group)
    if not members:
        known = {canonical(g) for p in names.vocabulary.places.values() for g in p.groups} | set(
            names.vocabulary.regions
        )
        raise _Bad("RB11", f'"{group}" is no group or region of places.', near_hint(group, known), line)
    how_many = str(tests.pop("how_many", "1"))
    if not how_many.isdecimal() or not 1 <= int(how_many) <= len(members):
        raise _Bad("RB10", f"`how_many` asks for {how_many} of the {len(members)} places of {group}.", line=line)
    paired = any(names.vocabulary.places[m].sides == "each" for m in members)
    side = _side(tests, "each" if paired else "midline", line)
    return dataclasses.replace(_touch_test(group, "places", side, tests, names, line), how_many=int(how_many))


def _touch_test(
    key: str, of: Literal["place", "places"], side: str, tests: dict[str, Any], names: Names, line: int
) -> Leaf:
    reading = canonical(str(tests.pop("reading", "effective")))
    if reading not in READINGS:
        raise _Bad("RB12", f'"{reading}" is no kind of reading.', f"Known: {', '.join(READINGS)}.", line)
    if len(tests) != 1:
        raise _Bad("RB10", f"one test is expected here; read: {', '.join(tests) or 'none'}.",
                   "at_least, more_than_other, response, felt, depth, touch, guarded.", line)  # fmt: skip
    test, value = next(iter(tests.items()))
    if test not in ("at_least", "more_than_other", "response") and reading not in ("effective", "worst"):
        raise _Bad("RB12", f"`{test}` is kept once for all readings; `reading: {reading}` asks for one of them.",
                   "Ask for a response instead, such as would_not_allow.", line)  # fmt: skip
    if test in ("at_least", "more_than_other"):
        of_what = "difference" if test == "more_than_other" else "soreness"
        if test == "more_than_other" and side not in ("this", "other", "left", "right"):
            raise _Bad("RB13", "`more_than_other` asks one side: this, other, left or right.", line=line)
        word = canonical(str(value))
        if names.ramps.get(word) == of_what:
            return Leaf(key, of, "ramp", side, (word,), None, reading)
        if test == "more_than_other" or not _is_number(value):
            fitting = [w for w, kind in names.ramps.items() if kind == of_what]
            raise _Bad("RB12", f'"{value}" is no word of the {of_what} scale.', f"Known: {', '.join(fitting)}.", line)
        number = _number(value, line)
        if not 0 < number <= 10:
            raise _Bad("RB14", f"soreness runs from 0 to 10; read: {value}.", line=line)
        return Leaf(key, of, "at_least", side, (), number, reading)
    if test in ("response", "felt", "depth", "touch"):
        quality = "responses" if test == "response" else test
        words = tuple(_word(w, names.vocabulary.quality(quality), line) for w in _list(value))
        return Leaf(key, of, test, side, words, None, reading)
    if test in ("guarded", "unsettled"):
        if canonical(str(value)) != "yes":
            raise _Bad("RB10", f"`{test}` takes `yes`; turn it round with `not:`.", line=line)
        return Leaf(key, of, test, side, (), None, reading)
    places_tests = ("at_least", "more_than_other", "response", "felt", "depth", "touch", "guarded", "unsettled")
    hint = near_hint(test, places_tests) or f"Known: {', '.join(places_tests)}."
    raise _Bad("RB10", f'"{test}" is no test of a place.', hint, line)


def _conclusion(key: str, body: Any, names: Names, line: int) -> Leaf:
    sides = names.conclusions[key]
    if isinstance(body, str):
        word = canonical(body)
        if sides == "none":
            if word != "yes":
                raise _Bad("RB10", f"`{key}` takes `yes` or {{at_least: ...}}; turn it round with `not:`.", line=line)
            return Leaf(key, "conclusion", "held")
        if word not in SIDE_WORDS:
            raise _Bad("RB13", f'"{body}" is no side.', f"Sides here: {', '.join(SIDE_WORDS)}.", line)
        return Leaf(key, "conclusion", "held", word)
    tests, line = _mapping(body, line)
    side = _side(tests, sides, line)
    if set(tests) != {"at_least"}:
        raise _Bad("RB10", f"`{key}` takes a side or {{side:, at_least:}}; read: {', '.join(tests)}.", line=line)
    word = canonical(str(tests["at_least"]))
    if word not in names.certainties:
        raise _Bad("RB12", f'"{word}" is no word of certainty.', f"Known: {', '.join(names.certainties)}.", line)
    return Leaf(key, "conclusion", "certainty", side, (word,), names.certainties[word])


def _observation(observation: Observation, body: Any, names: Names, line: int) -> Leaf:
    side = ""
    if observation.sides == "each":
        body, line = _mapping(body, line)
        side = _side(body, "each", line)
        if set(body) == {"is"}:
            body = body["is"]
    elif isinstance(body, Mapping) and set(body) - {"line"} == {"is"}:
        body = body["is"]
    key = observation.key
    if observation.kind in ("choice", "side"):
        allowed = dict(observation.reading_of)
        if observation.kind == "side":
            allowed |= {w: w for w in ("this", "other", "left", "right")}
        words = tuple(_word(w, allowed, line) for w in _list(body))
        return Leaf(key, observation.kind, "is", side, words)
    tests, line = _mapping(body, line)
    if len(tests) != 1:
        raise _Bad("RB10", f"one limit is expected for `{key}`; read: {', '.join(tests) or 'none'}.", line=line)
    test, value = next(iter(tests.items()))
    try:
        if observation.kind in ("number", "count") and test in LIMITS:
            return Leaf(key, "number", test, side, (), names.quantity(str(value), observation))
        if observation.kind == "date" and test in ("within", "longer_ago_than"):
            return Leaf(key, "date", test, side, (), names.days(str(value)))
    except ValueError as fault:
        raise _Bad("RB14", f'"{value}" does not read: {fault}', line=line) from None
    raise _Bad("RB10", f'"{test}" is no test of {observation.name} (a {observation.kind}).', line=line)


def _list(value: Any) -> list[str]:
    return [str(v) for v in value] if isinstance(value, (list, tuple)) else [str(value)]


def _word(written: str, allowed: Mapping[str, str], line: int) -> str:
    if isinstance(written, str) and canonical(written) in allowed:
        return allowed[canonical(written)]
    raise _Bad("RB12", f'"{written}" is not a word that can be recorded here.', near_hint(str(written), allowed), line)


def _is_number(value: Any) -> bool:
    try:
        float(value)
    except (TypeError, ValueError):
        return False
    return True


def _number(value: Any, line: int) -> float:
    if not _is_number(value):
        raise _Bad("RB14", f"a number was expected; read: {_shown(value)}.", line=line)
    return float(value)


def _shown(value: Any) -> str:
    text = str(value)
    return text if len(text) < 60 else text[:57] + "..."
