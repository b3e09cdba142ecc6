"""Every phrase that means something in a line, looked up by its letters alone.

In: the vocabulary and its table of speech. Out: `Lexicon`: phrase to `Meaning`s, and the names for near words.
Not here: lines, which of several meanings holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

from reasoner.frozen import frozen
from reasoner.lines.speech import Speech, speech_of
from reasoner.lines.spoken import Spoken, spoken_of
from reasoner.lines.words import joined
from reasoner.rulebook.vocabulary import Vocabulary

#: Longest phrase looked for, in words.
MOST_WORDS = 8
_SIDES = {"left", "right", "both", "side", "sides"}
_BEFORE_A_PLACE = ("on", "under", "near", "at", "in", "behind", "over", "beside", "along")
_QUALITIES = {
    "responses": "response",
    "felt": "felt",
    "depth": "depth",
    "touch": "touch",
    "not_examined_reasons": "reason",
}


@frozen
class Meaning:
    """What a phrase may be: its kind, and the key, number or side it stands for. `keys` are the places of one that is several."""

    kind: str
    key: str = ""
    keys: tuple[str, ...] = ()


@frozen
class Lexicon:
    """Phrases by their letters. `beside` are slips that count only beside a side or a number; `names` are the letters of all
    names of places and entries, and `answers` those of words for what was felt or answered, for near words."""

    vocabulary: Vocabulary
    speech: Speech
    phrases: Mapping[str, tuple[Meaning, ...]]
    beside: Mapping[str, tuple[Meaning, ...]]
    names: Mapping[str, tuple[Meaning, ...]]
    answers: Mapping[str, tuple[Meaning, ...]]
    spoken: Spoken

    @property
    def loin(self) -> int:
        """How many vertebrae the loin has by the vocabulary's formula; 0 where it has none."""
        table = self.vocabulary.facts.get("vertebrae")
        formula = table.get("formula", {}) if isinstance(table, Mapping) else {}
        return int(formula.get("L", 0))

    def meanings(self, letters: str) -> tuple[Meaning, ...]:
        """All that these letters may mean; empty where they mean nothing."""
        return self.phrases.get(letters, ())


class _Holder:
    """Carries a vocabulary through the cache, which knows it by where it lies in memory."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary

    def __hash__(self) -> int:
        return id(self.vocabulary)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Holder) and other.vocabulary is self.vocabulary


@lru_cache(maxsize=4)
def _kept(holder: _Holder) -> Lexicon:
    return _made(holder.vocabulary)


def lexicon_of(vocabulary: Vocabulary) -> Lexicon:
    """The lexicon of a vocabulary, made once. Raises BadInput (LN01) without a table of speech."""
    return _kept(_Holder(vocabulary))


def _made(vocabulary: Vocabulary) -> Lexicon:
    speech = speech_of(vocabulary)
    phrases: dict[str, list[Meaning]] = {}
    names: dict[str, list[Meaning]] = {}
    for phrase, meaning in (*_places(vocabulary), *_entries(vocabulary)):
        _add(phrases, phrase, meaning)
        if meaning.kind in ("place", "region") or (meaning.kind == "entry" and len(joined(phrase)) > 6):
            _add(names, phrase, meaning)
    for phrase, key in speech.also_named.items():
        if key in vocabulary.observations:
            _add(phrases, phrase, Meaning("entry", key))
    for word, several in speech.several.items():
        keys = tuple(vocabulary.place_of[_under(name)] for name in several if _under(name) in vocabulary.place_of)
        phrases[joined(word)] = [m for m in phrases.get(joined(word), []) if m.kind == "entry"]
        _add(phrases, word, Meaning("several", word, keys))
        _add(names, word, Meaning("several", word, keys))
    for phrase, meaning in _small_words(vocabulary, speech):
        _add(phrases, phrase, meaning)
    for phrase, meaning in _lone_readings(vocabulary, frozenset(speech.lists["alone"])):
        refused = meaning.key in speech.lists["not_alone"] or phrase in speech.lists["not_alone"]
        if (joined(phrase) not in phrases and not refused) or meaning.kind == "alone":
            _add(phrases, phrase, meaning)
    for letters in [*names]:
        other = letters.removesuffix("s") if letters.endswith("s") else letters + "s"
        if other not in phrases and len(other) > 2:
            phrases[other] = [m for m in phrases[letters] if m.kind in ("place", "region", "several", "entry")]
    for phrase, said in speech.heard.items():
        if found := phrases.get(joined(said)):
            known = phrases.setdefault(joined(phrase), list(found))
            if all(meaning.kind == "reason" for meaning in known):
                known += found  # "kicked at me" answers as well, and may be why something was left out
    for phrase in speech.lists["fillers"]:
        _add(phrases, phrase, Meaning("filler"))
    long = {joined(phrase) for phrase in speech.heard if len(phrase.split()) > 2}  # too much for a slip of a word
    beside = {joined(p): tuple(phrases.get(joined(said), ())) for p, said in speech.heard_beside.items()}
    return Lexicon(
        vocabulary,
        speech,
        {k: tuple(v) for k, v in phrases.items()},
        beside,
        {k: tuple(v) for k, v in names.items()},
        {
            k: tuple(v)
            for k, v in phrases.items()
            if v and v[0].kind in ("response", "felt") and len(k) > 5 and k not in long
        },
        spoken_of(vocabulary, speech.side_slips),
    )


def _under(name: str) -> str:
    return name.replace(" ", "_").replace("-", "_").casefold()


def _add(table: dict[str, list[Meaning]], phrase: str, meaning: Meaning) -> None:
    letters = joined(phrase)
    if letters and meaning not in table.setdefault(letters, []):
        table[letters].append(meaning)


def _places(vocabulary: Vocabulary) -> Iterator[tuple[str, Meaning]]:
    for place in vocabulary.places.values():
        for name in (place.name, place.key.replace("_", " "), place.latin, *place.also):
            yield name, Meaning("place", place.key)
    for region, places in vocabulary.regions.items():
        yield region, Meaning("region", region, places)


def _entries(vocabulary: Vocabulary) -> Iterator[tuple[str, Meaning]]:
    for entry in vocabulary.observations.values():
        if not entry.from_records and entry.kind in ("choice", "side", "number", "count", "date"):
            for name in (entry.name, entry.key.replace("_", " "), *entry.also):
                yield name, Meaning("entry", entry.key)
                if entry.kind == "side" and len(name.split()) == 2:
                    yield " ".join(reversed(name.split())), Meaning("entry", entry.key)  # "shoulder bigger"


def _lone_readings(vocabulary: Vocabulary, alone: frozenset[str]) -> Iterator[tuple[str, Meaning]]:
    """Readings of several words that only one entry has: said by themselves they say the entry as well."""
    names = {joined(word) for place in vocabulary.places.values() for word in (place.name, *place.also)}
    whose: dict[str, dict[tuple[str, str], str]] = {}
    for entry in vocabulary.observations.values():
        if entry.kind in ("choice", "side") and not entry.from_records:
            for spelling, key in entry.reading_of.items():
                whose.setdefault(joined(spelling.replace("_", " ")), {})[entry.key, key] = spelling
    for some in whose.values():
        if len(some) == 1:
            (((entry_key, key), spelling),) = some.items()
            if spelling.split("_")[0] in _BEFORE_A_PLACE and names & {*spelling.split("_")}:
                continue  # "on the loin" says where, before it says how long a saddle is
            words = {w for name in (vocabulary.observations[entry_key].name, *vocabulary.observations[entry_key].also)
                     for w in name.split() if len(w) > 3 and w not in _SIDES}  # fmt: skip
            if "_" not in spelling and len(spelling) > 4 and spelling not in _SIDES:
                for word in sorted(words):
                    yield f"{spelling} {word}", Meaning("reading", entry_key, (key.replace("_", " "),))
            if spelling in alone:
                yield spelling, Meaning("alone", entry_key, (key.replace("_", " "),))
            if spelling.count("_") >= 1 and not _SIDES & {*spelling.split("_")}:
                yield spelling.replace("_", " "), Meaning("reading", entry_key, (key.replace("_", " "),))


def _small_words(vocabulary: Vocabulary, speech: Speech) -> Iterator[tuple[str, Meaning]]:
    for side, spellings in vocabulary.sides.items():
        names = (side, *spellings)
        plain = [name for name in names if len(joined(name)) > 3 or name == "off"]
        for phrase in (*names, *(f"{name}{more}" for name in plain for more in (" hand side", " hand", " side"))):
            for said in (phrase, f"on {phrase}", f"down {phrase}", f"on the {phrase}"):
                yield said, Meaning("side", side)
    for when, phrases in speech.when.items():
        for phrase in phrases:
            yield phrase, Meaning("when", when)
    for phrase in speech.lists["both"]:
        yield phrase, Meaning("side", "both")
    for word, side in speech.side_slips.items():
        yield word, Meaning("side", side)
    for phrase in speech.lists["side_doubts"]:
        yield phrase, Meaning("side_doubt", phrase)
    for word, number in speech.number_doubts.items():
        yield word, Meaning("number_doubt", str(number))
    for phrase, reason in speech.not_done_because.items():
        yield phrase, Meaning("not_done", reason)
    for phrase, reason in speech.reasons.items():
        yield phrase, Meaning("reason", reason)
    for word, several in speech.legs.items():
        keys = tuple(vocabulary.place_of[_under(name)] for name in several)
        for phrase in (word, *(said for said, meant in speech.legs_said.items() if meant == word)):
            yield phrase, Meaning("legs", word, keys)
    either = {joined(phrase) for phrase in speech.either}
    for phrase, keys in speech.either.items():
        yield phrase, Meaning("either", phrase, keys)
    for phrase, keys in speech.either_counted.items():
        yield phrase, Meaning("either_counted", phrase, keys)
    for quality, kind in _QUALITIES.items():
        for entry in vocabulary.qualities.get(quality, ()):
            for phrase in (entry.key.replace("_", " "), *entry.also):
                if joined(phrase) not in either:
                    yield phrase, Meaning(kind, entry.key)
                    if kind == "touch":
                        yield f"{phrase} touch", Meaning(kind, entry.key)
    for name, kind in (
        ("nothing", "nothing"), ("vague", "vague"), ("sore", "sore"), ("same", "same"), ("minus", "minus"),
        ("other_side", "other_side"), ("not_done", "not_done"), ("left_over", "left_over"), ("negations", "negation"),
        ("comment_openers", "comment"), ("breaks", "break"), ("joins", "join"), ("right_filler_with", "right_filler"),
        ("out_of", "out_of"), ("half", "half"), ("talk", "talk"),
        ("beside_it", "beside_it"), ("compared", "compared"), ("by_how_much", "by_how_much"),
        ("more_or_less", "more_or_less"), ("apart", "apart"), ("point", "point"), ("range", "range"),
    ):  # fmt: skip
        for phrase in speech.lists[name]:
            yield phrase, Meaning(kind, "" if kind == "not_done" else phrase)
    for kind, some in speech.corrections.items():
        for phrase in some:
            yield phrase, Meaning(f"correct_{kind}", phrase)
    for word, number in speech.numbers.items():
        yield word, Meaning("number", str(number))
