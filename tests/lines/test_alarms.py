"""Lines on which a side was once taken that nobody had said: each with the sides that may come out of it, and no other.

In: the shipped rulebook. Out: failures. Not here: how many lines are right (test_lines.py).
"""

from __future__ import annotations

import pytest

from reasoner.lines import understood
from reasoner.lines.gathering import understood_in_turn
from reasoner.rules_cache import ready_rulebook

#: The line, the findings (place or entry, side), what was left out (place, side), and what is asked about.
ALARMS: tuple[tuple[str, list[tuple[str, str | None]], list[tuple[str, str]], list[str]], ...] = (
    ("left that hock alone, the near one", [], [("hind_joints", "left")], []),
    ("left that hock alone, the off one", [], [("hind_joints", "right")], []),
    ("left the hock alone, near side", [], [("hind_joints", "left")], []),
    ("left the hock alone", [], [("hind_joints", "both")], []),
    ("left the loin alone, the left one is a four", [("loin", "left")], [("loin", "right")], []),
    ("skipped the loin, left four", [], [("loin", "both")], ["left four"]),
    ("the left loin's a two, croup three", [("loin", "left")], [], ["croup"]),
    ("on the left loin three, croup four", [("loin", "left")], [], ["croup"]),
    ("RF even, loin three", [("fore_step", "right")], [], ["loin"]),
    ("left side. loin three. then I checked the saddle. croup four", [("loin", "left")], [], ["croup"]),
    ("dry patch left, right none", [("dry_patch", "left"), ("dry_patch", "right")], [], []),
    ("trot up even right hind slight left hind even",
     [("trot_in_hand", None), ("hind_step", "right"), ("hind_step", "left")], [], []),
    ("loin three right croup left four", [], [], ["croup", "loin"]),
    ("not done: belly, loin, left four", [], [("belly", "both"), ("loin", "both")], ["left four"]),
    ("near fore knee warm off fore fetlock puffy", [("fore_joints", "left"), ("fore_joints", "right")], [], []),
    ("with my left hand loin four", [], [], ["loin"]),
    ("the horse on the left, loin four", [], [], ["loin"]),
    ("looking from the left loin four", [], [], ["loin"]),
    ("a six, right loin", [], [], ["loin", "six"]),
    ("left the off hock alone", [], [("hind_joints", "right")], []),
    ("left the off hock for the vet", [], [("hind_joints", "right")], []),
    ("in front of the withers left three", [], [], []),
    ("dry patch on the left, none on the right", [("dry_patch", "left"), ("dry_patch", "right")], [], []),
    ("on the left, a bit short on the right fore", [("fore_step", "right")], [], []),
    ("owner says he's dragging his left hind", [], [], []),
    ("check if the saddle slips to the right", [], [], []),
    ("he isn't short on the near fore", [], [], []),
    ("right hip's dropped", [], [], ["lower_hip"]),
    ("saddle slipping off", [], [], []),
    ("hard muscle over the left last ribs", [("last_ribs", "left")], [], []),
    ("left triceps two, right not much different, three", [("triceps", "left")], [], []),
    ("poll left two right two, didn't like the left but no reaction to speak of",
     [("top_of_the_poll", "left"), ("top_of_the_poll", "right")], [], []),
    ("five left up on the right loin", [], [], ["loin"]),
    ("neck left trap three", [("withers", "left")], [], ["neck"]),
    ("if the right loin is still five ring the vet", [], [], []),
    ("aim left girth two", [], [], []),
    ("poll right two, not right left", [], [], ["top_of_the_poll"]),
    ("left loin four, not sure if it was left or right", [], [], ["loin"]),
)  # fmt: skip


@pytest.mark.parametrize(("line", "finds", "left_out", "asked"), ALARMS, ids=lambda value: str(value)[:40])
def test_no_side_comes_out_that_was_not_said(
    line: str, finds: list[tuple[str, str | None]], left_out: list[tuple[str, str]], asked: list[str]
) -> None:
    told = understood(line, ready_rulebook().book)
    assert [(one.key, one.side) for one in told.findings] == finds
    assert [(one.key, one.side) for one in told.not_examined] == left_out
    assert sorted(word for question in told.questions for word in question.about) == asked


@pytest.mark.parametrize(("line", "finds", "asked"), [
    ("left loin five, two more than the right", [("left", 5)], []),
    ("left loin five two worse than the right", [("left", 5)], []),
    ("left loin five, three points more than the off side", [("left", 5)], []),
    ("loin left five, two lower than the other side", [("left", 5)], []),
    ("loin right four, one up on the left", [("right", 4)], []),
    ("loin left five, right two more", [("left", 5)], []),
    ("loin left five, right one better", [("left", 5)], ["loin"]),
    ("left loin is two more than the right", [], []),
    ("loin left two, better than last time, right three", [("left", 2), ("right", 3)], []),
    ("left loin two worse than the right croup three", [("left", 2), ("right", 3)], []),
])  # fmt: skip
def test_how_far_apart_two_sides_are_is_no_reading_of_either(
    line: str, finds: list[tuple[str, int]], asked: list[str]
) -> None:
    told = understood(line, ready_rulebook().book)
    assert [(str(one.side), int(one.reading.soreness or 0)) for one in told.findings] == finds
    assert [word for question in told.questions for word in question.about] == asked


@pytest.mark.parametrize("line", [
    "left loin was three last week", "last week left loin three", "yesterday the loin was four on the left",
    "last visit's loin left three", "saddle straight last time", "gums pink yesterday", "temperature thirty eight yesterday",
])  # fmt: skip
def test_what_was_read_on_another_day_is_kept_and_not_entered(line: str) -> None:
    told = understood(line, ready_rulebook().book)
    assert told.findings == ()
    assert told.questions == ()
    assert told.kept == (line,)


@pytest.mark.parametrize(("line", "finds"), [
    ("loin left three better than last time", [("left", 3)]), ("loin left five, was two last time", [("left", 5)]),
    ("loin left three same as last time right two", [("left", 3), ("right", 2)]),
    ("gone a bit dull since last time", [("None", 0)]),
])  # fmt: skip
def test_what_is_held_against_another_day_is_of_today(line: str, finds: list[tuple[str, int]]) -> None:
    told = understood(line, ready_rulebook().book)
    assert [(str(one.side), int(one.reading.soreness or 0)) for one in told.findings] == finds


def test_of_two_ends_of_a_horse_in_one_breath_not_one_alone_is_entered() -> None:
    """ "All quiet behind" is the hindquarter; "in front" is no region that could be entered with it."""
    told = understood("all quiet in front and behind", ready_rulebook().book)
    assert told.findings == ()
    assert told.kept == ("all quiet in front and behind",)


def test_a_run_of_numbers_is_not_worked_on_for_ever() -> None:
    """Its tokens are cut where nobody speaks on without a breath, and nothing is entered of it."""
    book = ready_rulebook().book
    told = understood("loin " + "four " * 110, book)
    assert told.findings == ()
    assert told.questions


def test_a_word_is_no_slip_of_its_contrary() -> None:
    """ "Uneven" is nearer to "even" in its letters than many a slip."""
    book = ready_rulebook().book
    for line in ("near hind uneven", "unsettled under the hand"):
        assert understood(line, book).findings == (), line


#: A line after one that was entered, and what it may enter or take back: nothing.
OF_WHAT_STANDS = (("loin left three", "make the right four"), ("loin left two", "three more on the right"),
                  ("loin left three", "no, four on the other"), ("loin both two", "right a bit more"))  # fmt: skip


@pytest.mark.parametrize(("first", "then"), OF_WHAT_STANDS)
def test_a_line_that_may_add_or_correct_is_asked_and_what_stands_stays(first: str, then: str) -> None:
    one, other = understood_in_turn((first, then), ready_rulebook().book)
    assert one.findings
    assert not other.findings
    assert not other.withdrawn
    assert other.questions


#: Lines of which one finding at most is sure, each with what may be entered: (side, number).
IN_DOUBT: tuple[tuple[str, list[tuple[str, str]]], ...] = (
    ("loin left three, make the right four", []),
    ("loin left three, make it right four", []),
    ("the right loin three, half of the left", [("right", "3")]),
    ("loin both two, right a bit more", [("left", "2")]),
    ("loin left two and three more on the right", [("left", "2")]),
    ("owner says left loin is a four", []),
    ("she reckons the right stifle is a three", []),
    ("is the saddle straight", []),
    ("loin left ten plus", []),
    ("loin left 2, same on the other, no, three on the other", [("left", "2"), ("right", "3")]),
)


@pytest.mark.parametrize(("line", "finds"), IN_DOUBT)
def test_what_is_no_reading_is_asked_or_kept(line: str, finds: list[tuple[str, str]]) -> None:
    told = understood(line, ready_rulebook().book)
    assert [(one.side, str(one.reading.soreness)) for one in told.findings] == finds
    assert told.questions or told.kept or len(finds) == 2
