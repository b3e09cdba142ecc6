"""How people talk: the table `speech` of the vocabulary, in a shape.

In: the vocabulary's facts. Out: `Speech`; BadInput (LN01) where the table is missing or lacks something.
Not here: the words themselves (they are data), names of places and entries.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.rulebook.vocabulary import Vocabulary

register(
    {
        "LN01": "the words for spoken lines are missing, or cannot be read",
        "LN02": "an answer is not one of those that a question offers",
        "LN03": "a visit file already says something else there",
        "LN04": "a visit file cannot take what was understood",
        "LN05": "a line has open questions, and nobody is there to answer them",
        "LN06": "a line is too long",
        "LN07": "the place that is open is no place",
    }
)
FILE = "rules/vocabulary/speech.yaml"
_LISTS = (
    "half", "point", "out_of", "range", "nothing", "vague", "sore", "same", "minus", "other_side", "not_done",
    "left_verb_before", "left_verb_after", "left_over", "right_filler_with", "negations", "comment_openers", "breaks",
    "joins", "fillers", "both", "side_doubts", "right_before", "left_verb_end", "alone", "one_is", "turning", "somebodys",
    "not_now", "told_by_others", "talk", "good", "beside_it", "not_alone", "whole", "compared", "goes_to_a_side",
    "by_how_much", "more_or_less", "another_day", "held_against", "tellers", "telling", "hearsay", "asking", "asked_of", "bounds",
    "shares", "parts_of", "apart", "and_more", "on_the_way", "between", "sides_by_ear", "supposed",
    "not_supposed", "nothing_or_slip",
)  # fmt: skip
_TABLES = (
    "numbers",
    "number_slips",
    "heard",
    "heard_beside",
    "several",
    "corrections",
    "near",
    "units",
    "number_doubts",
    "side_slips",
    "steps",
    "months",
    "when",
    "either",
    "either_counted",
    "legs",
    "legs_said",
    "not_done_because",
    "letters",
    "reasons",
    "also_named",
    "ends",
)


@frozen(kw_only=True)
class Near:
    """How near a word must be to a name (likeness of 0 to 100): from `least` on it is taken, if it has `shortest` letters and
    the next name is `ahead` behind; from `doubtful` on it is asked for. Basis: own setting."""

    least: float
    doubtful: float
    ahead: float
    shortest: int


@frozen(kw_only=True)
class Speech:
    """Phrases by what they do in a line, and slips of dictation by what was said."""

    lists: Mapping[str, tuple[str, ...]]
    numbers: Mapping[str, int]
    number_slips: Mapping[str, int]
    heard: Mapping[str, str]
    heard_beside: Mapping[str, str]
    several: Mapping[str, tuple[str, ...]]
    corrections: Mapping[str, tuple[str, ...]]
    units: Mapping[str, str]
    number_doubts: Mapping[str, int]
    side_slips: Mapping[str, str]
    steps: Mapping[str, tuple[str, ...]]
    months: Mapping[str, int]
    when: Mapping[str, tuple[str, ...]]
    either: Mapping[str, tuple[str, ...]]
    either_counted: Mapping[str, tuple[str, ...]]
    legs: Mapping[str, tuple[str, ...]]
    legs_said: Mapping[str, str]
    not_done_because: Mapping[str, str]
    reasons: Mapping[str, str]
    also_named: Mapping[str, str]
    ends: Mapping[str, str]
    letters: Mapping[str, tuple[str, ...]]
    near: Near


def speech_of(vocabulary: Vocabulary) -> Speech:
    """The table. Raises BadInput (LN01)."""
    table = vocabulary.facts.get("speech")
    if not isinstance(table, Mapping):
        raise BadInput([Problem(FILE, 0, "LN01", "the vocabulary has no table `speech`, which spoken lines are read with.",
                                "A layer of your own lies on the shipped rules: --rules shipped --rules DIR.")])  # fmt: skip
    missing = [name for name in (*_LISTS, *_TABLES) if name not in table]
    if missing:
        raise BadInput([Problem(FILE, 0, "LN01", f"the table `speech` lacks {', '.join(missing)}.")])
    try:
        return _filled(table)
    except (ValueError, TypeError, KeyError, AttributeError) as fault:
        raise BadInput([Problem(FILE, 0, "LN01", f"the table `speech` cannot be read: {fault}.")]) from None


def _filled(table: Mapping[str, Any]) -> Speech:
    near = table["near"]
    return Speech(
        lists={name: tuple(map(str, table[name])) for name in _LISTS},
        numbers={word: int(number) for word, number in table["numbers"].items()},
        number_slips={word: int(number) for word, number in table["number_slips"].items()},
        heard={str(k): str(v) for k, v in table["heard"].items()},
        heard_beside={str(k): str(v) for k, v in table["heard_beside"].items()},
        several={str(k): tuple(v) for k, v in table["several"].items()},
        corrections={str(k): tuple(v) for k, v in table["corrections"].items()},
        number_doubts={word: int(number) for word, number in table["number_doubts"].items()},
        side_slips={str(k): str(v) for k, v in table["side_slips"].items()},
        steps={str(k): tuple(v) for k, v in table["steps"].items()},
        when={str(k): tuple(v) for k, v in table["when"].items()},
        months={str(k): int(v) for k, v in table["months"].items()},
        either={str(k): tuple(v) for k, v in table["either"].items()},
        either_counted={str(k): tuple(v) for k, v in table["either_counted"].items()},
        legs={str(k): tuple(v) for k, v in table["legs"].items()},
        legs_said={str(k): str(v) for k, v in table["legs_said"].items()},
        not_done_because={str(k): str(v) for k, v in table["not_done_because"].items()},
        reasons={str(k): str(v) for k, v in table["reasons"].items()},
        ends={str(k): str(v) for k, v in table["ends"].items()},
        also_named={str(k): str(v) for k, v in table["also_named"].items()},
        letters={str(k): tuple(v) for k, v in table["letters"].items()},
        units={str(k): str(v) for k, v in table["units"].items()},
        near=Near(
            least=float(near["least"]), doubtful=float(near["doubtful"]), ahead=float(near["ahead"]),
            shortest=int(near["shortest"]),
        ),
    )  # fmt: skip
