"""The class as one self-contained HTML file, for a screen and for paper: a table a case, each figure leading to the names behind
it.

In: `CaseFigures`, the rulebook. Out: the file as text; no script, nothing fetched.
Not here: counting (teaching.class_figures), the words (class_text), writing the file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from reasoner.rendering import phrases
from reasoner.rendering.class_text import (
    FEW,
    HOW,
    NOBODY,
    could,
    facts_of,
    second_line,
    two_calls,
)
from reasoner.rendering.report import MARK, environment
from reasoner.rendering.teachers_answer_text import RULES, TEACHER, both_lines, key_words
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.beside_the_teacher import Beside
from reasoner.teaching.class_figures import CaseFigures, Counted
from reasoner.teaching.session import Key

#: Heads of the table, in the order of weight.
HEADS = ("Call", "Causes found", "Not found, or held instead", "Side", "Looks", "Certainty (Brier)")


def class_html(cases: Sequence[CaseFigures], book: Rulebook) -> str:
    """The page."""
    return environment().get_template("class.html").render(**class_parts(cases, book), mark=MARK)


def class_parts(cases: Sequence[CaseFigures], book: Rulebook) -> dict[str, Any]:
    """What the page shows, for this file and for the page at the desk alike."""
    return {
        "title": "The class", "how": HOW, "heads": HEADS, "stamp": book.stamp,
        "cases": [_case(number, case, book) for number, case in enumerate(cases, 1)],
    }  # fmt: skip


def _case(number: int, case: CaseFigures, book: Rulebook) -> dict[str, Any]:
    count, at = len(case.answers), {one.work.by: f"case-{number}-{n}" for n, one in enumerate(case.answers, 1)}
    asked = case.given.locked.answer.referral

    def figure(words: str, who: Iterable[str], weight: str = "") -> dict[str, Any]:
        names = list(who)
        return {
            "words": words,
            "of": f"{len(names)} of {count}",
            "who": [(name, at[name]) for name in names],
            "weight": weight,
        }

    def counted(words: str, some: Iterable[Counted]) -> list[dict[str, Any]]:
        return [figure(f"{words}: {key_words(one.key, book)}", one.who) for one in some]

    silent = [one.work.by for one in case.answers if one.missed and not one.thinks]
    figures = [
        *([figure(f"Called later than the teacher says ({asked})", case.low, "alarm")] if case.low else []),
        *([figure(f"Called sooner than the teacher says ({asked})", case.high)] if case.high else []),
        *(figure(f"Said {one.key[0]}", one.who) for one in case.calls),
        *counted("Taken for", case.taken_for), *([figure("Named no cause", silent)] if silent else []),
        *counted("Named on the other side", case.turned),
        *(
            figure(f"Left unmade{' by everybody' if one.nobody else ''}: {one.look.name}{could(one.look)}", one.who,
                   "strong" if one.nobody else "")
            for one in case.left
        ),
    ]  # fmt: skip
    answer, rules = case.given.locked.answer, case.given.locked.rules
    return {
        "title": case.given.case.title, "at": f"case-{number}", "handed_out": phrases.moment(case.given.case.at), "count": count,
        "nobody": NOBODY, "few": FEW.format(answers=phrases.counted(count, "answer")), "figures": figures,
        "answers": [
            {
                "name": one.work.by, "at": at[one.work.by], "cells": list(zip(HEADS, _cells(one, book), strict=True)),
                "low": bool(one.low), "facts": list(facts_of(one, book)), "ended": phrases.moment(one.work.ended_at),
                "receipt": one.work.receipt,
            }
            for one in case.answers
        ],
        "notes": [*two_calls(case), *(line.text for line in second_line(case))],
        "both": [line for line in both_lines(answer, rules, book) if line.text], "teacher": TEACHER, "rules": RULES,
    }  # fmt: skip


def _cells(one: Beside, book: Rulebook) -> tuple[str, ...]:
    """One row of the table."""
    call = one.said
    if one.low or one.high:
        call += f", {phrases.counted(one.low or one.high, 'degree')} {'later' if one.low else 'sooner'}"
    missed = [
        *(f"not found: {words}" for words in _words(one.missed, book)),
        *(f"jumped to: {words}" for words in _words(one.jumped_to, book)),
        *(f"beside: {words}" for words in _words(one.others, book)),
    ]  # fmt: skip
    score = (
        "not scored"
        if one.scored is None
        else f"{one.scored.brier:.2f} (every cause alike: {one.scored.alike_brier:.2f})"
    )
    turned = [f"other side: {words}" for words in _words(one.turned, book)]
    sides = turned or ["as the teacher says" if any(side for _, side in one.found) else "none to compare"]
    return (
        call, "; ".join(_words(one.found, book)) or "none", "; ".join(missed) or "nothing", "; ".join(sides),
        f"{one.telling} of {one.looks} telling, {len(one.marks.left)} left", score,
    )  # fmt: skip


def _words(keys: Iterable[Key], book: Rulebook) -> list[str]:
    """Each cause in its words; in quotes, because such words have commas of their own."""
    return [f'"{key_words(key, book)}"' for key in keys]
