"""What people tell of a kept visit, checked against that visit before it is kept.

In: the rows of a kept visit, and what is told of it. Out: the step or conclusion meant, with its side.
Not here: adding the row (store/), wording of pages.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection, select

from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.vocabulary import canonical
from reasoner.store import tables as t
from reasoner.store.edits import changed_steps, every_edit_of, standing
from reasoner.store.names import folded, same_name
from reasoner.store.reading import KnownVisit, visits

register(
    {
        "RE20": "a step that was not in the plan of that visit",
        "RE21": "a side that must be said, or does not belong",
        "RE22": "words that must be said: who, or why",
        "RE23": "a conclusion of which that visit says nothing",
        "RE24": "a countersignature that cannot be given",
        "RE27": "a day before the visit, or one still to come",
    }
)

#: Answers that mean little without their reason: a step that was stopped may have been stopped by the horse.
NEEDS_A_REASON = ("not", "stopped")


def step_meant(
    connection: Connection, visit: KnownVisit, step: str, side: str, shown: str, *, dated: bool = True
) -> tuple[str, str]:
    """The step of a visit's plan that is meant, by key or by its number on the sheets, and its side; `dated`: whether the day of
    the plan was said. Raises BadInput (RE20, RE21)."""
    c = t.step.c
    kept = connection.execute(select(c.key, c.side, c.words).where(c.version == visit.version).order_by(c.at)).all()
    own = changed_steps(connection, [visit.uid]).get(visit.uid, ())
    rows = [*((row.key, row.side) for row in kept), *((one.key, one.side) for one in own if one.deed == "add")]
    sides: dict[str, list[str]] = {}
    for known, at in rows:
        sides.setdefault(known, []).append(at)
    number = step.strip()
    key = number if number in sides else canonical(step)
    listed = f"Its steps: {', '.join(f'{n} {known}' for n, (known, _) in enumerate(rows, 1)) or 'none'}."
    if number in [str(n) for n in range(1, len(rows) + 1)]:
        _may_be_a_number(connection, visit, number, len(kept), shown, listed, dated=dated)
        known, at = rows[int(number) - 1]
        return known, _side(side or at, [at], f'step {number}, "{known}",', shown)
    if key not in sides:  # a page shows the sentence and never the key
        key, at = _as_shown(step, ((row.key, row.side, row.words) for row in kept), key)
        if at:
            return key, _side(side or at, [at], f'"{step}"', shown)
    if key not in sides:
        what = f'"{step}" is no step of the plan of {visit.name} on {visit.day.isoformat()}.'
        elsewhere = _in_other_plans(connection, visit, key)
        hints = (elsewhere or near_hint(key, sides), listed)
        raise BadInput([Problem(shown, 0, "RE20", what, " ".join(filter(None, hints)))])
    return key, _side(side, sides[key], f'the step "{key}"', shown)


def _may_be_a_number(
    connection: Connection, visit: KnownVisit, number: str, kept: int, shown: str, listed: str, *, dated: bool
) -> None:
    """A number is a step of one plan as it was kept. The last visit is seldom meant by a number off an earlier sheet, and a step
    taken out before the plan went out moves the others up; one that was added stands behind them all, and with several of them
    it depends on the day which is which. Raises BadInput (RE20)."""
    day = visit.day.isoformat()
    if not dated and len(visits(connection, horse=visit.horse)) > 1:
        what = f'"{number}" is a step of one day\'s plan, and the day is not said.'
        raise BadInput([Problem(shown, 0, "RE20", what, f"Write --on and the day: --on {day} is the last visit.")])
    every = every_edit_of(connection, visit.uid)
    added = {one.key for one in every if one.deed == "add"}
    moved = any(one.deed == "strike" for one in standing(every)) or (int(number) > kept and len(added) > 1)
    if moved or len(set(_plans_of_versions(connection, visit))) > 1:
        what = f"steps of the plan of {day} were taken out or added since it was first kept; {number} may be either of two."
        raise BadInput([Problem(shown, 0, "RE20", what, f"Name the step in words. {listed}")])


def _plans_of_versions(connection: Connection, visit: KnownVisit) -> list[tuple[tuple[str, str], ...]]:
    """The steps of each version of a visit, in their order."""
    c, v = t.step.c, t.version.c
    query = select(v.uid, c.key, c.side).select_from(t.version.outerjoin(t.step, v.uid == c.version))
    plans: dict[str, list[tuple[str, str]]] = {}
    for row in connection.execute(query.where(v.visit == visit.uid).order_by(v.uid, c.at)):
        plans.setdefault(row.uid, []).append((row.key, row.side))
    return [tuple(plan) for plan in plans.values()]


def _in_other_plans(connection: Connection, visit: KnownVisit, key: str) -> str:
    """In which other visit's plan the step is, the last of them first; empty where it is in none."""
    every = {one.version: one for one in visits(connection, horse=visit.horse) if one.uid != visit.uid}
    c = t.step.c
    found = connection.execute(select(c.version).where(c.key == key, c.version.in_(every)).distinct()).scalars()
    plans = sorted((every[version] for version in found), key=lambda one: (one.day, one.part), reverse=True)
    if not plans:
        return ""
    ways = [f"--on {one.day.isoformat()}{f' --part {one.part}' if one.part > 1 else ''}" for one in plans]
    several = "the plan" if len(plans) == 1 else "the plans"
    return f"It is in {several} of {', '.join(one.day.isoformat() for one in plans)}: {' or '.join(ways)}."


def conclusion_meant(answer: Mapping[str, Any], key: str, side: str, shown: str) -> tuple[str, str]:
    """The conclusion of a kept answer that is meant, by key, and its side. Raises BadInput (RE21, RE23).

    Where no side is said, the one that something speaks for is meant, rather than the one that it speaks against.
    """
    sides: dict[str, list[str]] = {}
    spoken_for: dict[str, list[str]] = {}
    for one in answer["conclusions"]:
        if one["band"] != "none":
            sides.setdefault(one["key"], []).append(one["side"] or "")
            if one["band"] != "against":
                spoken_for.setdefault(one["key"], []).append(one["side"] or "")
    wanted = canonical(key)
    if wanted not in sides:
        shown_words = (
            (one["key"], one["side"] or "", one["words"]) for one in answer["conclusions"] if one["key"] in sides
        )
        wanted, at = _as_shown(key, shown_words, wanted)
        if at:
            return wanted, _side(side or at, [at], f'"{key}"', shown)
    if wanted not in sides:
        listed = f"It speaks of: {', '.join(sorted(sides)) or 'nothing'}."
        what = f'of "{key}" that visit says nothing.'
        raise BadInput([Problem(shown, 0, "RE23", what, " ".join(filter(None, (near_hint(wanted, sides), listed))))])
    if not side and len(spoken_for.get(wanted, ())) == 1:
        return wanted, spoken_for[wanted][0]
    return wanted, _side(side, sides[wanted], f'"{wanted}"', shown)


def _as_shown(said: str, shown: Iterable[tuple[str, str, str]], otherwise: str) -> tuple[str, str]:
    """The key and side of what a page shows in these words, `otherwise` where it shows nothing of the kind."""
    wanted = folded(said).rstrip(".")
    return next(((key, side) for key, side, words in shown if folded(words).rstrip(".") == wanted), (otherwise, ""))


def _side(side: str, known: Sequence[str], what: str, shown: str) -> str:
    """The side meant: the one there is, where none is said."""
    if not side and len(known) == 1:
        return known[0]
    if side in known:
        return side
    if not side:
        raise BadInput([Problem(shown, 0, "RE21", f"{what} stands there for both sides.", "Say --side left or right.")])
    ways = " or ".join(one for one in known if one)
    hint = f"Say --side {ways}." if ways else "Leave --side out."
    raise BadInput([Problem(shown, 0, "RE21", f"{what} does not stand there for the {side}.", hint)])


def told_in_full(by: str, because: str, *, needed: bool, shown: str) -> None:
    """Whether a name, and where it is `needed` a reason, were given. Raises BadInput (RE22)."""
    wrong = [] if by.strip() else [Problem(shown, 0, "RE22", "nobody is named who says so.", "Write --by NAME.")]
    if needed and not because.strip():
        wrong.append(Problem(shown, 0, "RE22", "this needs its reason.", 'Write --because "...".'))
    if wrong:
        raise BadInput(wrong)


def told_in_time(told_on: date, visit: KnownVisit, today: date, where: str) -> None:
    """Whether something could be told on that day, which is not still to come either; `where` is what was written: the option or
    the field. Raises BadInput (RE27)."""
    day, said = visit.day.isoformat(), told_on.isoformat()
    if told_on < visit.day:
        what = f"{said} was read, and the visit whose step it is about was on {day}; nothing was kept."
    elif told_on > today:
        what = f"{said} was read, and today is {today.isoformat()}: that day has not come yet; nothing was kept."
    else:
        return
    hint = f"It is the day on which it was said: from {day} to today. Left out, it is today."
    raise BadInput([Problem(where, 0, "RE27", what, hint)])


def may_countersign(visit: KnownVisit, by: str, signed_by: Collection[str], shown: str) -> bool:
    """Whether this countersignature is still to be added (False: it is there). Raises BadInput (RE22, RE24)."""
    told_in_full(by, "", needed=False, shown=shown)
    day = visit.day.isoformat()
    if not visit.checked_by or same_name(visit.checked_by, visit.examiner):
        what = (
            f"the visit to {visit.name} on {day} names nobody but its examiner; nothing waits for a countersignature."
        )
        raise BadInput([Problem(shown, 0, "RE24", what, "An apprentice's visit says `checked by:`.")])
    if not same_name(by, visit.checked_by):
        what = f'that visit is to be checked by {visit.checked_by}, not by "{by}".'
        hint = "Who answers for it is written in the visit; another name is a correction of it."
        raise BadInput([Problem(shown, 0, "RE24", what, hint)])
    return not any(same_name(by, one) for one in signed_by)
