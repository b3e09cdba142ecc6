"""The parts of a report as plain data for the templates.

In: an answer and a reader. Out: one mapping of names to texts, rows and lists, in the order they are shown.
Not here: HTML, judging; a conclusion is only ever handed on to readers who are told conclusions.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

from markupsafe import Markup

from reasoner import __version__
from reasoner.frozen import frozen
from reasoner.plan.concerns import RaisedConcern
from reasoner.plan.model import Withheld
from reasoner.plan.selection import CALL
from reasoner.rendering import (
    owner_lines,
    phrases,
    riding_words,
    shared_text,
    to_the_trade,
    visit_rows,
    waiting_lines,
    wording,
)
from reasoner.rendering.answered import Answered
from reasoner.rendering.body_map import draw_body_map
from reasoner.rendering.measured import Told, measured, said_once
from reasoner.rendering.phrases import sentence
from reasoner.rendering.plan_text import (
    expected_by,
    expected_words,
    looked_words,
    recheck_words,
    seen_by,
    withheld_groups,
)
from reasoner.rendering.report_unchecked import few, hears, left_open, looked_at_first
from reasoner.rulebook.readers import Reader


@frozen
class Call:
    """The reasons to call of one level, with what they stop and what to do meanwhile."""

    call: str
    title: str
    concerns: tuple[RaisedConcern, ...]
    stops: tuple[str, ...]
    waiting: tuple[str, ...]
    telling: tuple[str, ...]


def parts_for(answer: Answered, reader: Reader) -> dict[str, Any]:
    """Everything the template of this reader may show."""
    visit, book, plan = answer.visit, answer.ready.book, answer.plan
    words = book.vocabulary
    marks = visit_rows.marks(visit, words)
    return {
        **_head(answer, reader),
        "riding": riding_words.riding(answer),
        "riding_because": _riding_because(answer),
        "level": answer.referral.level,
        "stops": _stops(answer),
        "calls": _calls(answer, reader),
        "releases": [shared_text.release_words(r) for r in answer.referral.releases],
        "body_map": Markup(draw_body_map(visit_rows.map_points(words), marks, title=visit.horse_name or "the horse")),
        "marked": bool(marks),
        "answered_in_words": visit_rows.answered_in_words(marks, words),
        "observed": owner_lines.observed(answer),
        "unexplained": [wording.finding(f, words) for f in answer.explanation.account.unexplained],
        "held_back": len(plan.withheld) - sum(len(held) for _, held in _held(plan.withheld, reader)),
        "no_starting_point": wording.no_starting_point(answer),
        "too_little": answer.explanation.account.too_little,
        "look_at": looked_at_first(answer),
        "noted": _by_section(visit_rows.noted_rows(visit, words, lambda key: hears(reader, key, answer))),
        "touches": visit_rows.touch_rows(visit, words, reader.sees),
        "measured": _measured(answer, reader),
        "quiet": visit_rows.quiet_names(visit, words, reader.sees),
        "passed_over": wording.passed_over(visit, words, reader.sees),
        "worked": _worked(answer),
        "vets_words": _vets_words(answer),
        "planned": owner_lines.planned(plan.steps, _riding_because(answer), plan.owner_tasks),
        "in_our_hands": owner_lines.in_our_hands(plan.steps),
        "asked": to_the_trade.asked(answer, reader),
        "meanwhile": to_the_trade.meanwhile(answer, reader),
        "held": _held(plan.withheld, reader),
        "held_here": withheld_groups(to_the_trade.held_here(answer, reader)),
        "tasks": plan.owner_tasks,
        "expected": _expected(answer),
        "recheck": recheck_words(plan, visit) if plan.recheck_days is not None else "",
        "not_checked": few(answer) if reader.key == "owner" else left_open(answer, reader),
        "rests_on": _rests_on(answer, reader),
        "cautions": tuple(dict.fromkeys(shared_text.always(book))),
        "notes": _text(answer, "notes"),
        "hand_pressure": phrases.plain(_text(answer, "hand_pressure")),
        "settled": phrases.plain(_text(answer, "settled_under_the_hand")),
    }


def _head(answer: Answered, reader: Reader) -> dict[str, Any]:
    visit = answer.visit
    sex, *rest = shared_text.horse(visit)
    about = (sex.capitalize(), *rest, _text(answer, "breed"))
    return {
        "reader": reader.called,
        "horse": visit.horse_name or "The horse",
        "about": [part for part in about if part],
        "day": phrases.day(visit.day),
        "yard": _text(answer, "yard"),
        "hands": _text(answer, "examined_by"),
    }


def _measured(answer: Answered, reader: Reader) -> list[tuple[Told, Markup, str]]:
    """(what a measure says, its picture, what it rests on in words) of each measure that concerns this reader. A report has what
    it comes to; the details behind that are on the page of the terminal and in the JSON."""
    book = answer.ready.book
    every: Iterable[Told] = said_once(measured(answer.visit, book, reader.measures))
    if reader.measures_in_short:
        every = (replace(told, lines=told.lines[:1], not_measured=(), cautions=()) for told in every)
    return [(told, Markup(told.picture), wording.basis(told.rests_on, book, named=False)) for told in every]


def _text(answer: Answered, key: str) -> str:
    value = answer.visit.noted_value(key)
    return value if isinstance(value, str) else ""


# -- calls and riding --------------------------------------------------------------------------------------------------


def _calls(answer: Answered, reader: Reader) -> list[Call]:
    """The reasons to call by how pressing they are. What to do meanwhile is that of the most pressing call: a milder
    one's lines ("try once more") can speak against it. Stops and things to tell that were named are not named again."""
    raised, book = answer.referral.concerns, answer.ready.book
    lists = list(dict.fromkeys(c.while_you_wait for c in raised if c.call == answer.referral.level))
    meanwhile = waiting_lines.merged(lists, (), book.scales.waiting_subjects).lines
    told: set[str] = set()
    out: list[Call] = []
    # The veterinarian is told every one of them; for the others a milder one on the same findings is no news.
    shown = shared_text.telling_something(raised) if reader.conclusions else raised
    for call, concerns in shared_text.by_call(shown):
        same = [c for c in raised if c.call == call]
        stops = _new((w for c in same for w in shared_text.stop_words(c, c.standing_stops, book)), told)
        telling = _new(waiting_lines.telling(t for c in same for t in c.tell_the_vet), told)
        title = phrases.CALLS.get(call, phrases.called(call, concerns[0].when))
        out.append(Call(call, title, tuple(concerns), stops, meanwhile if not out else (), telling))
    return out


def _new(lines: Iterable[str], told: set[str]) -> tuple[str, ...]:
    """The lines not told yet, each once; `told` grows."""
    new = tuple(line for line in dict.fromkeys(lines) if line not in told)
    told.update(new)
    return new


def _stops(answer: Answered) -> list[str]:
    """Everything that is stopped, each once."""
    every = (
        w for c in answer.referral.concerns for w in shared_text.stop_words(c, c.standing_stops, answer.ready.book)
    )
    return list(dict.fromkeys(every))


def _riding_because(answer: Answered) -> list[str]:
    """Why it may be ridden so; reasons to call stand right below and are not said twice."""
    concerns = {sentence(c.words) for c in answer.referral.concerns}
    return [one for one in riding_words.riding_because(answer) if one not in concerns]


#: Kinds of step that the reader of a report for the owner has no part in; there they are counted.
_IN_OUR_HANDS = ("bodywork", "recheck", "look")


def _held(withheld: Sequence[Withheld], reader: Reader) -> list[tuple[tuple[str, ...], list[Withheld]]]:
    """What waits and why; the owner is told the first reason, and of what the owner has a part in."""
    if reader.key != "owner":
        return withheld_groups(tuple(withheld))
    # A step that asks for the veterinarian waits only where a reason to call asks already; "not today" would say the opposite.
    theirs = [replace(one, because=one.because[:1]) for one in withheld if one.kind not in (*_IN_OUR_HANDS, CALL)]
    return withheld_groups(tuple(theirs))


# -- what was observed and done ----------------------------------------------------------------------------------------


def _worked(answer: Answered) -> list[str]:
    words = answer.ready.book.vocabulary
    out = []
    for work in answer.visit.worked:
        place = words.places.get(work.place)
        name = phrases.at_side(place.name if place else phrases.plain(work.place), work.side or "")
        said = [phrases.plain(work.how)]
        said += [f"{float(work.minutes):g} min"] if work.minutes is not None else []
        said += [f"soreness afterwards {phrases.of_ten(float(work.after))}"] if work.after is not None else []
        out.append(f"{name}: {', '.join(said)}" + (f" ({work.note})" if work.note else ""))
    return out


def _vets_words(answer: Answered) -> list[str]:
    """Grades and remarks as a veterinarian gave them; what is allowed and forbidden stands in the releases."""
    out = []
    for word in answer.visit.vets_words:
        grades = [f"{g.scale} {g.grade}, {g.side} {g.limb}" for g in word.grades]
        if grades:
            out.append(f"{word.who or 'A veterinarian'}, {phrases.day(word.seen)}: grade {'; '.join(grades)}")
        if word.note:
            out.append(f"{word.who or 'A veterinarian'}, {phrases.day(word.seen)}: {word.note}")
    return out


def _by_section(rows: list[visit_rows.NotedRow]) -> list[tuple[str, list[visit_rows.NotedRow]]]:
    groups: dict[str, list[visit_rows.NotedRow]] = {}
    for row in rows:
        groups.setdefault(row.section, []).append(row)
    return list(groups.items())


# -- the plan ----------------------------------------------------------------------------------------------------------


def _expected(answer: Answered) -> list[tuple[str, str]]:
    """(by when, what) of everything the steps should change."""
    out = []
    for days, expected in expected_by(answer.plan):
        by = f"by {phrases.day(answer.visit.day + timedelta(days=days))} ({phrases.counted(days, 'day')})"
        out.append((by, "; ".join(expected_words(e).rpartition(", within")[0] for e in expected)))
    for days, looked in seen_by(answer.plan):
        by = f"by {phrases.day(answer.visit.day + timedelta(days=days))} ({phrases.counted(days, 'day')})"
        out.append((by, "; ".join(looked_words(one).rpartition(", within")[0] for one in looked)))
    return out


# -- what it rests on --------------------------------------------------------------------------------------------------


def _rests_on(answer: Answered, reader: Reader) -> list[str]:
    """What was felt and written down, and on what the rules at work rest; the veterinarian is given the sources of
    the reasons to call, and nothing that rests on conclusions."""
    visit, book = answer.visit, answer.ready.book
    places = phrases.counted(len(wording.touched(visit)), "place")
    entries = phrases.counted(len(visit.noted), "other entry", "other entries")
    hands = _text(answer, "examined_by")
    felt = f"{places} felt by hand (each side counts) and {entries}, all of {phrases.day(visit.day)}"
    said = [sentence(felt + (f", written down by {hands}" if hands else ""))]
    bases = wording.all_bases(answer) if reader.conclusions else wording.concern_bases(answer)
    own = [phrases.plain(one) for one in bases if one not in book.sources]
    published = [one for one in bases if one in book.sources]
    if published and reader.conclusions:
        own.append(f"published work ({phrases.counted(len(published), 'source')})")
        rested = phrases.listed(own)
    else:
        rested = wording.basis(bases, book)
    behind = [one for told in measured(visit, book, reader.measures) for one in told.rests_on if one in book.sources]
    if behind and reader.key != "owner":  # named once, and not again under each measurement
        said.append(sentence(f"behind the measurements stands {wording.basis(behind, book)}"))
    if rested:
        what = "the rules at work rest on" if reader.conclusions else "the reasons to call rest on"
        said.append(sentence(f"{what} {rested}"))
    said.append(f"Rulebook {book.stamp}, engine {__version__}, visit file {_name(visit.file)}.")
    return said


def _name(file: str) -> str:
    """The last part of a path: folders of somebody's disk are no reader's business."""
    return file.replace("\\", "/").rpartition("/")[2]
