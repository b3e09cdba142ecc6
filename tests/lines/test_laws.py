"""Laws of spoken lines, on lines made at random and on the test lines: mirror, grounds, nonsense, letters.

In: hypothesis. Out: failures.
Not here: the share of lines that are right.
"""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from reasoner.lines import Understood, understood
from reasoner.lines.lexicon import lexicon_of
from reasoner.lines.speech import speech_of
from reasoner.lines.words import joined
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rules_cache import ready_rulebook
from tests.lines.cases import Case, cases

BOOK: Rulebook = ready_rulebook().book
CASES = cases()
OTHER = {"left": "right", "right": "left", "near": "off", "off": "near", "l": "r", "r": "l", "n/s": "o/s", "o/s": "n/s",
         "nearside": "offside", "offside": "nearside"}  # fmt: skip
SLIPS = {slip: OTHER[side] for slip, side in speech_of(BOOK.vocabulary).side_slips.items()}
PLACES = st.sampled_from(
    ["loin", "trap", "stifle", "wither pocket", "glutes", "poll", "long back", "girth", "tail head"]
)
SIDES = st.sampled_from(["left", "right", "on the left", "right side", "both sides", "near side", "off side"])
VALUES = st.sampled_from(
    ["three", "4", "six", "nothing", "flinched", "tight", "four bit tight", "2.5", "ate", "to", "sore"]
)
FILLERS = st.sampled_from(["", "um", "then", "right", "so", "no", "and", "make that", "same", "left", ","])
WORDS = st.lists(st.one_of(PLACES, SIDES, VALUES, FILLERS), min_size=1, max_size=9).map(
    lambda some: " ".join(filter(None, some))
)
NONSENSE = st.lists(st.text(alphabet="bcdfghjklmnpqrstvwxz", min_size=6, max_size=10), min_size=1, max_size=6).map(
    " ".join
)


def mirrored(line: str) -> str:
    """The line with left and right changed, in words, in letters and in slips of the thumb."""
    line = (
        re.sub(r"\b([lr])(\d)\b", r"\1 \2", line, flags=re.IGNORECASE)
        if re.search(r"\br\d", line, re.IGNORECASE)
        else line
    )
    both = OTHER | SLIPS
    words = "|".join(map(re.escape, sorted(both, key=len, reverse=True)))
    return re.sub(rf"(?<![\w/])({words})(?![\w/])", lambda m: both[m[0].lower()], line, flags=re.IGNORECASE)


def sides_in(told: Understood) -> dict[tuple[str, str], set[str]]:
    """Place or entry and reading, to the sides it was found on."""
    out: dict[tuple[str, str], set[str]] = {}
    for finding in told.findings:
        if finding.kind == "place" and finding.side:
            out.setdefault((finding.key, str(finding.reading)), set()).add(finding.side)
    return out


def swaps_or_asks(line: str, looking_at: str | None) -> bool:
    """Whether what the mirror image of a line enters lies on the other side, or one of the two asks."""
    one, other = understood(line, BOOK, looking_at), understood(mirrored(line), BOOK, looking_at)
    mine, theirs = sides_in(one), sides_in(other)
    asked = {key for told in (one, other) for q in told.questions for key in (*q.places, *q.about)}
    left_out = {p.key for told in (one, other) for p in told.not_examined}
    for spot in {*mine} & {*theirs}:
        if spot[0] in asked | left_out:
            continue
        if {OTHER[side] for side in mine[spot]} != theirs[spot]:
            return False
    return True


@given(WORDS)
def test_the_mirror_image_of_a_line_lies_on_the_other_side_or_asks(line: str) -> None:
    assert swaps_or_asks(line, None)


@given(st.sampled_from(CASES))
def test_so_does_that_of_every_test_line(case: Case) -> None:
    assert swaps_or_asks(case.line, case.looking_at or None)


@given(WORDS)
def test_nothing_is_found_of_which_no_word_stands_in_the_line(line: str) -> None:
    """Each place that is entered is named in the line, by some name or slip for it, and so is its side."""
    told = understood(line, BOOK)
    lexicon = lexicon_of(BOOK.vocabulary)
    letters = joined(line)
    named = {
        meaning.key
        for phrases in (lexicon.phrases, lexicon.beside)
        for phrase, meanings in phrases.items()
        if phrase in letters
        for meaning in meanings
        if meaning.kind == "place"
    }
    for finding in told.findings:
        assert finding.kind == "entry" or finding.key in named, (line, finding)
        assert finding.words in line
        if finding.side is not None:
            assert re.search(r"left|right|both|near|off|same|and", line), (line, finding)


@given(NONSENSE)
def test_words_that_mean_nothing_enter_nothing(line: str) -> None:
    told = understood(line, BOOK)
    assert not told.findings
    assert not told.not_examined
    assert not told.questions or all(q.ask == "place" for q in told.questions)


@given(NONSENSE, st.sampled_from(["left three", "right four flinched", "left", "four", "nothing"]))
def test_an_unknown_name_is_never_taken_for_another(name: str, said: str) -> None:
    """Behind another place, too: what was said of a name nobody knows is not entered at the place before it."""
    told = understood(f"loin left two, {name} {said}", BOOK)
    assert {(f.key, f.side, str(f.reading.soreness)) for f in told.findings} <= {("loin", "left", "2")}


@given(WORDS)
def test_large_letters_and_blanks_change_nothing(line: str) -> None:
    one, other = understood(line, BOOK), understood(line.upper().replace(" ", "  "), BOOK)
    assert sides_in(one) == sides_in(other)
    assert [q.ask for q in one.questions] == [q.ask for q in other.questions]


@given(WORDS)
def test_a_full_stop_at_the_end_changes_nothing(line: str) -> None:
    one, other = understood(line, BOOK), understood(f"{line}.", BOOK)
    assert sides_in(one) == sides_in(other)
