"""What every part of the reader shares: the words, the day, and the list of what is wrong.

In: problems as they are met. Out: one `BadInput` with all of them, nearest words filled in.
Not here: any part of the visit file itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from functools import cached_property
from typing import Literal, cast

from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.model import Side

register(
    {
        "VF01": "the day of the visit is missing",
        "VF02": "the day of the visit is not a possible day",
        "VF03": "a heading is not known",
        "VF04": "an entry is not known under its heading",
        "VF05": "a place is not known",
        "VF06": "a word is not a reading of its entry",
        "VF07": "a word is refused, because it means opposite things",
        "VF08": "a side is missing",
        "VF09": "a side stands where there is none",
        "VF10": "one thing is written twice",
        "VF11": "a soreness is not a number from 0 to 10",
        "VF12": "a word for what was felt, or how the horse answered, is not known",
        "VF13": "not examined, but without a known reason",
        "VF14": "two words contradict each other",
        "VF15": "a quiet region or place is not of the round",
        "VF16": "a number or its unit cannot be read",
        "VF17": "a number is outside what is possible",
        "VF18": "a date cannot be read",
        "VF19": "a date is too early or too late",
        "VF20": "a list or a mapping stands where a word belongs, or the reverse",
        "VF21": "nothing is written behind an entry",
        "VF22": "a grade of lameness stands outside the veterinarian's word",
        "VF23": "a veterinarian's word is not complete, or cannot be read",
        "VF24": "an entry of the work done is not complete, or cannot be read",
        "VF25": "a text holds control characters",
        "VF26": "too many problems; reading stopped",
        "VF27": "an entry stands under the wrong heading",
        "VF28": "a veterinarian's word is about something that is no reason to call, place, region, heading or entry",
        "VF29": "a veterinarian's word had ended before the visit",
        "VF30": "free text holds a word that is refused elsewhere",
        "VF51": "a traced point is not two numbers",
        "VF52": "traced points do not go on from one to the next",
        "VF53": "a tracing has no station, no side or too few points",
        "VF54": "the unit of a tracing is not read",
        "VF55": "the two sides of a tracing do not meet on the midline",
        "VF56": "only one side is traced",
        "VF57": "a traced point is further away than any tracing reaches",
        "VF58": "the table of a tracing is not there",
    }
)

#: A file with more mistakes than this is not a visit file; reading on would only cost time.
MOST_PROBLEMS = 200
#: Looking for the nearest word is the slow part; beyond this many the list is read, not the hints.
MOST_HINTS = 60

Sided = Literal["left", "right", "both"]

_MUSCLE = r"^(?:mm?|musculus|musculi)_"
_GAP = r"[\s_\-‐-―]+"
#: Control and text-direction characters: they could repaint a terminal or turn a printed line round.
_UNPRINTABLE = "[\x00-\x08\x0b-\x1f\x7f-\x84\x86-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff]"


def quote(text: str) -> str:
    """The text in quotation marks on one line, shortened, unprintable characters shown as a dot."""
    text = " ".join(re.sub(_UNPRINTABLE, "·", text[:200]).split())
    return f'"{text[:60]}..."' if len(text) > 60 else f'"{text}"'


def listed(words: Iterable[str], joiner: str = "or") -> str:
    """`a, b or c`."""
    known = list(words)
    return ", ".join(known[:-1]) + f" {joiner} {known[-1]}" if len(known) > 1 else "".join(known)


def one_of(words: Iterable[str]) -> str:
    """The readings to choose from; some hold an `or` of their own, so none is set between them."""
    return "one of: " + ", ".join(words)


def plain(key: str) -> str:
    """A key as a person writes it."""
    return key.replace("_", " ")


def fields(**spellings: str) -> dict[str, str]:
    """Spelling to field, for mappings whose shape is fixed by the visit file itself: `fields(note="notes")`."""
    out: dict[str, str] = {}
    for field, others in spellings.items():
        for word in (field, *others.split()):
            out[word] = field
    return out


class Reader:
    """The desk on which one visit is read. `day` is set before anything else is.

    `beside` holds the files that lie beside the visit file, by name; None: they lie in its folder. `read_beside` gathers those
    that were read.
    """

    def __init__(self, file: str, vocabulary: Vocabulary, beside: Mapping[str, bytes] | None = None) -> None:
        self.file, self.vocabulary, self.beside = file, vocabulary, beside
        self.read_beside: dict[str, bytes] = {}
        self.day = date(2000, 1, 1)
        self.problems: list[Problem] = []
        self.warnings: list[Problem] = []

    # -- saying what is wrong

    def say(self, line: int, code: str, sentence: str, hint: str = "") -> None:
        """Note a mistake and read on; raises BadInput only when there are far too many."""
        self.problems.append(Problem(self.file, line, code, sentence, hint))
        if len(self.problems) >= MOST_PROBLEMS:
            self.problems.append(
                Problem(self.file, 0, "VF26", f"{MOST_PROBLEMS} problems were met; reading stopped here.")
            )
            raise BadInput(self.problems)

    def warn(self, line: int, code: str, sentence: str, hint: str = "") -> None:
        """Note something that is worth a look and is no mistake."""
        if len(self.warnings) < MOST_PROBLEMS:
            self.warnings.append(Problem(self.file, line, code, sentence, hint, "warning"))

    def unknown(self, line: int, code: str, word: str, sentence: str, known: Iterable[str], hint: str = "") -> None:
        """Note a word that is not known: as refused if it is one of those, else with the nearest valid word."""
        because = self.refusal(word)
        if because:
            self.say(line, "VF07", f"{quote(word)} is not read here: {because}.")
        elif hint or len(self.problems) >= MOST_HINTS or not word:
            self.say(line, code, sentence, hint)
        else:
            self.say(line, code, sentence, near_hint(plain(canonical(word[:200])), (plain(k) for k in known)))

    def refusal(self, text: str, *, free: bool = False) -> str:
        """Why the text is refused, or an empty string. In free text only expressions of several words are refused."""
        low = text.casefold()
        if not any(stem in low for stem in self._stems):  # most texts hold none of them: nothing to compile for
            return ""
        for pattern, several, because in self._refused:
            if (several or not free) and pattern.search(text):
                return because
        return ""

    @cached_property
    def _stems(self) -> set[str]:
        """The first word of every refused expression: where none of them stands, nothing is refused."""
        return {re.split(_GAP, w.strip())[0].casefold() for refused in self.vocabulary.refused for w in refused.words}

    @cached_property
    def _refused(self) -> list[tuple[re.Pattern[str], bool, str]]:
        return [
            (pattern, several, " ".join(refused.because.split()).rstrip("."))
            for refused in self.vocabulary.refused
            for several in (True, False)
            if (pattern := _any_of(w for w in refused.words if (len(re.split(_GAP, w.strip())) > 1) is several))
        ]

    # -- reading the small things

    def word(self, node: Node, what: str) -> str | None:
        """The text of a scalar, or None (and a problem) where a list, a mapping or nothing stands."""
        text = node.text
        if text is None:
            shape = "a list" if isinstance(node.value, list) else "a mapping"
            self.say(node.line, "VF20", f"{what}: one word or number was expected, and {shape} was read.")
            return None
        if not text:
            self.say(node.line, "VF21", f"{what}: nothing is written behind it.", "Leave the line out, or fill it in.")
            return None
        return text

    def free_text(self, node: Node, what: str) -> str:
        """Text kept as written; empty (and a problem) if it cannot be kept."""
        text = self.word(node, what)
        if text is None:
            return ""
        if not text.isprintable() and re.search(_UNPRINTABLE, text):
            self.say(node.line, "VF25", f"{what}: the text holds control characters.", "Type it again.")
            return ""
        because = self.refusal(text, free=True)
        if because:
            self.say(node.line, "VF07", f"{what}: {quote(text)} holds a refused word: {because}.")
            return ""
        because = self.refusal(text)
        if because:
            self.warn(node.line, "VF30", f"{what}: look at the wording of {quote(text)}: {because}.")
        return text

    def mapping(
        self, node: Node, known: Mapping[str, str], what: str, expected: str = "", code: str = "VF04"
    ) -> dict[str, tuple[Node, Node]]:
        """Field to (key node, value node), by any spelling in `known`. Unknown and repeated fields are noted."""
        out: dict[str, tuple[Node, Node]] = {}
        if not isinstance(node.value, dict):
            read = quote(node.text) if node.text is not None else "a list"
            expected = expected or listed((plain(f) for f in dict.fromkeys(known.values())), "and")
            self.say(node.line, "VF20", f"{what}: a mapping was expected ({expected}), and {read} was read.")
            return out
        for key, key_node, value in node.items():
            field = known.get(canonical(key))
            if field is None:
                expected = expected or listed((plain(f) for f in dict.fromkeys(known.values())), "and")
                sentence = f"{what}: {quote(key)} is not known here; expected {expected}."
                self.unknown(key_node.line, code, key, sentence, known)
            elif field in out:
                self.twice(key_node.line, f"{what}: {plain(field)}", out[field][0].line)
            else:
                out[field] = (key_node, value)
        return out

    def twice(self, line: int, what: str, first: int) -> None:
        """Note that one thing is written twice."""
        where = f"on line {first} and on line {line}" if first != line else f"on line {line}"
        self.say(line, "VF10", f"{what} is written twice, {where}.", "Keep one of them.")

    def place_key(self, word: str) -> str | None:
        """The place a canonical spelling names; a Latin name also reads without its M., commas and what follows a ;."""
        return self.vocabulary.place_of.get(word) or self._loosely.get(_loose(word)) or None

    @cached_property
    def _loosely(self) -> Mapping[str, str]:
        out: dict[str, str] = {}
        for place in self.vocabulary.places.values():
            for spelling in {_loose(canonical(place.latin)), _loose(canonical(place.latin.partition(";")[0]))} - {""}:
                out[spelling] = place.key if out.get(spelling, place.key) == place.key else ""  # two places: neither
        return out

    # -- sides

    def side(self, word: str) -> Sided | None:
        """left, right or both, by any spelling; None if it is no side."""
        return cast("Sided | None", self.vocabulary.side_of.get(canonical(word)))

    def split_side(self, key: str, known: Callable[[str], bool]) -> tuple[Sided | None, str]:
        """`left loin` or `loin left` into ("left", "loin"); (None, key) if the key itself is known or there is no side."""
        if known(key) or "_" not in key:
            return None, key
        tokens = key.split("_")
        for size in range(min(len(tokens) - 1, 4), 0, -1):
            for before, rest in ((tokens[:size], tokens[size:]), (tokens[-size:], tokens[:-size])):
                side = self.vocabulary.side_of.get("_".join(before))
                if side and known("_".join(rest)):
                    return cast(Sided, side), "_".join(rest)
        return None, key

    def by_side(self, node: Node, what: str) -> dict[Side, Node]:
        """Each side's value of `{left: .., right: ..}` or `{both: ..}`. Anything else is noted."""
        out: dict[Side, Node] = {}
        lines: dict[Side, int] = {}
        for key, key_node, value in node.items():
            sided = self.side(key)
            if sided is None:
                sentence = f"{what}: {quote(key)} is no side; expected left, right or both."
                # In {left: 3,5, right: 2} the comma ends the 3, and the 5 is left over as a side.
                hint = "Decimals are written with a point: 3.5." if key.isdigit() else ""
                self.unknown(key_node.line, "VF04", key, sentence, self.vocabulary.side_of, hint)
                continue
            for side in sides_of(sided):
                if side in out:
                    self.twice(key_node.line, f"{what}, {side}", lines[side])
                else:
                    out[side], lines[side] = value, key_node.line
        return out


def sides_of(sided: Sided) -> tuple[Side, ...]:
    """The one side, or the two of `both`."""
    return ("left", "right") if sided == "both" else (sided,)


def _loose(word: str) -> str:
    return re.sub(_MUSCLE, "", word.replace(".", "").replace(",", "").replace(";", ""))


def _any_of(words: Iterable[str]) -> re.Pattern[str] | None:
    """Any of the expressions, whatever stands between their words, not inside a longer word."""
    alternatives = [_GAP.join(map(re.escape, re.split(_GAP, word.strip()))) for word in words]
    if not alternatives:
        return None
    return re.compile(r"(?<![^\W_])(?:" + "|".join(alternatives) + r")(?![^\W_])", re.IGNORECASE)
