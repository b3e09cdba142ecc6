"""A class and each apprentice's answer, on the terminal, on the page and on paper.

In: `CaseFigures`. Out: lines; the table is told line by line where there is no room for one.
Not here: counting (teaching.class_figures), the table in HTML (class_page). No order but that of names, no sum of points.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from reasoner.rendering import phrases
from reasoner.rendering.phrases import listed
from reasoner.rendering.teachers_answer_text import key_words
from reasoner.rendering.text_page import GAP, Line, Role, heading
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.beside_the_teacher import Beside
from reasoner.teaching.class_figures import CaseFigures, Counted
from reasoner.teaching.class_marks import Look
from reasoner.teaching.session import Key
from reasoner.teaching.teachers_answer import named

HOW = (
    "The call and the causes are held against the teacher's answer, looks and what something stands in the way of against the "
    "rules. A look is telling where it stood among the upper share of those that could be made then, is "
    "one of the first sixty seconds that could change the call, or showed what the rules' account or call rests on (own setting, "
    "rules/measures/practise.yaml). Certainty is scored over every cause and side there is, the teacher's causes taken as one "
    "(Brier 1950: 0 best, 2 worst; Good 1952: minus the logarithm, 0 best); less is better, and nobody does better by saying "
    "other than they think. Nothing here is added up, and names stand by the alphabet."
)
FEW = "These are counts of {answers}: they say what to talk about in this class, and nothing of any other."
NOBODY = "Nobody has handed in an answer yet."


def class_lines(cases: Sequence[CaseFigures], book: Rulebook) -> Iterator[Line]:
    """Every case of the class."""
    yield Line("The class", "title")
    for case in cases:
        yield from case_lines(case, book)
    yield from heading("what this rests on")
    yield Line(HOW, "faint")


def case_lines(case: CaseFigures, book: Rulebook) -> Iterator[Line]:
    """One case: the class over it, then each apprentice."""
    yield from heading(case.given.case.title)
    yield from over_lines(case, book)
    for one in case.answers:
        yield GAP
        yield Line(one.work.by, "strong", 2)
        yield from (Line(words, role, 4, mark="-") for words, role in facts_of(one, book))
    yield from (second_line(case))


def over_lines(case: CaseFigures, book: Rulebook) -> Iterator[Line]:
    """The class over one case: the call first."""
    count = len(case.answers)
    if not count:
        yield Line(NOBODY, indent=2)
        return
    yield Line(f"Handed in by {listed(one.work.by for one in case.answers)}.", indent=2)
    yield Line(FEW.format(answers=phrases.counted(count, "answer")), "faint", 2)
    yield from (Line(words, "alarm", 2) for words in two_calls(case))
    yield from calls(case)
    yield from _some("Taken for, by who named none of the teacher's causes", case.taken_for, count, book)
    silent = [one.work.by for one in case.answers if one.missed and not one.thinks]
    if silent:
        yield Line(f"No cause named: {len(silent)} of {count} ({listed(silent)})", indent=2)
    yield from _some("Named on the other side", case.turned, count, book)
    everybody = [one for one in case.left if one.nobody]
    if everybody:
        yield Line(
            f"Looks that nobody made, telling to the end: {listed(one.look.name for one in everybody)}", "strong", 2
        )
    for left in case.left:
        yield Line(f"{left.look.name}{could(left.look)}: left unmade by {of(left.who, count)}", indent=4, mark="-")


def two_calls(case: CaseFigures) -> Iterator[str]:
    """That the teacher and the rules call otherwise, where they do: whoever agrees with one is off by the other."""
    teacher, rules = case.given.locked.answer.referral, case.given.locked.rules.referral
    if teacher != rules:
        yield f"The teacher's call is {teacher}, that of the rules with everything looked at is {rules}; talk about both."


def calls(case: CaseFigures) -> Iterator[Line]:
    """How the calls fell beside the teacher's."""
    asked, count = case.given.locked.answer.referral, len(case.answers)
    if case.low:
        yield Line(f"Called later than the teacher says ({asked}): {of(case.low, count)}", "alarm", 2)
    if case.high:
        yield Line(f"Called sooner than the teacher says ({asked}): {of(case.high, count)}", indent=2)
    if not case.low and not case.high:
        yield Line(f"All called as the teacher says ({asked}).", indent=2)
    for said in case.calls:
        yield Line(f"said {said.key[0]}: {of(said.who, count)}", indent=4, mark="-")


def second_line(case: CaseFigures) -> Iterator[Line]:
    """Answers that are kept and not counted."""
    for kept in case.second:
        ended = phrases.moment(kept.work.ended_at)
        yield Line(f"{kept.work.by} has handed in another answer, ended {ended}; it is kept and not counted "
                   f"here ({kept.path.name}).", "open", 2)  # fmt: skip
    for one in case.unread:
        yield Line(f"{one.kept.work.by} has handed in an answer that these rules cannot read, and it is not counted: {one.why}",
                   "open", 2)  # fmt: skip


def facts_of(one: Beside, book: Rulebook) -> Iterator[tuple[str, Role]]:
    """What there is to say of one answer, in the order of weight: (words, role)."""
    yield call_words(one), "alarm" if one.low else "body"
    for what, keys in causes_of(one):
        yield f"{what}: {_keys(keys, one, book)}", "body"
    yield looks_words(one), "body"
    yield certainty_words(one), "body"
    for what, keys in steps_of(one):
        yield f"{what}: {listed(named(key) for key in keys)}", "body"


def call_words(one: Beside) -> str:
    """The call beside the teacher's, and what the rules say where that is another."""
    off = phrases.counted(one.low or one.high, "degree")
    words = f"call: {one.said}, " + (
        f"{off} {'later' if one.low else 'sooner'} than the teacher says ({one.asked})" if one.low or one.high
        else "as the teacher says"
    )  # fmt: skip
    if one.unseen:
        words += "; what had been looked at did not show it"
    if one.marks.referral_seen not in (one.said, one.asked):
        words += f"; on what had been looked at the rules say {one.marks.referral_seen}"
    if one.marks.referral_whole != one.asked:
        words += f"; with everything looked at the rules say {one.marks.referral_whole}"
    return words


def causes_of(one: Beside) -> list[tuple[str, tuple[Key, ...]]]:
    """The causes by how they stand, where there are any."""
    every = (
        ("found", one.found), ("on the other side", one.turned), ("not found", one.missed), ("right too, not named", one.also),
        ("jumped to, nothing seen speaks for it", one.jumped_to), ("named beside", one.others),
    )  # fmt: skip
    return [(what, keys) for what, keys in every if keys]


def steps_of(one: Beside) -> list[tuple[str, tuple[Key, ...]]]:
    """The steps by how they stand, where there are any."""
    every = (
        ("steps that something standing stops", one.stopped), ("steps the teacher calls wrong", one.wrong),
        ("steps as the teacher wanted", one.wanted), ("steps wanted and not proposed", one.left),
    )  # fmt: skip
    return [(what, keys) for what, keys in every if keys]


def looks_words(one: Beside) -> str:
    """What the looks were worth."""
    left = listed(look.name for look in one.marks.left)
    made = phrases.counted(one.looks, "look")
    return f"{made}, {one.telling} of them telling when made" + (
        f"; left unmade, and telling to the end: {left}" if left else ""
    )


def certainty_words(one: Beside) -> str:
    """How the certainty matched."""
    if one.scored is None:
        return "certainty: not scored, because the teacher names no cause"
    said = one.scored
    return (f"certainty: {said.share:.0%} given to the teacher's causes; Brier {said.brier:.2f} (every cause alike "
            f"{said.alike_brier:.2f}), logarithmic {said.logarithmic:.2f} (every cause alike "
            f"{said.alike_logarithmic:.2f})")  # fmt: skip


def could(look: Look) -> str:
    """What a look could have changed."""
    changes = [*(["the reasons to call"] if look.level else []), *(["the plan"] if look.plan else [])]
    return f", could change {listed(changes)}" if changes else ""


def of(who: Sequence[str], count: int) -> str:
    """ "2 of 3 (Ida Fenn and Tam Orrin)"."""
    return f"{len(who)} of {count} ({listed(who)})"


def _some(what: str, counted: Iterable[Counted], count: int, book: Rulebook) -> Iterator[Line]:
    for one in counted:
        yield Line(f"{what}: {key_words(one.key, book)}, {of(one.who, count)}", indent=2)


def _keys(keys: Iterable[Key], one: Beside, book: Rulebook) -> str:
    """Each cause in its words, and how likely it was held; in quotes, because such words have commas of their own."""
    shares = {key: f" ({share:.0%})" for key, share in one.thinks.items()}
    return listed(f'"{key_words(key, book)}"{shares.get(key, "")}' for key in keys)
