"""A visit as rows for a table and as marks for the body map.

In: a `Visit` and the vocabulary. Out: rows in walking order, and marks.
Not here: conclusions, HTML, which reader gets which rows.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from reasoner.frozen import frozen
from reasoner.quantities import dimension_of, shown
from reasoner.rendering.body_map import MapPoint, Mark
from reasoner.rendering.phrases import days_before, plain
from reasoner.rendering.wording import full_name, span
from reasoner.rulebook.vocabulary import Observation, Place, Vocabulary
from reasoner.visit.model import DateSpan, Noted, Touch, Visit

WHEN = {"first": "at first", "settled": "once settled", "after_work": "after work"}
NO_RESPONSE, NOTHING_FELT = "none", "nothing"


@frozen
class NotedRow:
    """Something noted: under which heading, its name, what was written, and the remark beside it."""

    section: str
    name: str
    value: str
    note: str
    line: int


@frozen
class TouchRow:
    """One place with what was found on each side; a midline place uses `middle`. Empty text: not examined."""

    place: str
    name: str
    region: str
    left: str
    right: str
    middle: str


def noted_rows(visit: Visit, words: Vocabulary, wanted: Callable[[str], bool]) -> list[NotedRow]:
    """The things noted whose key is wanted, in walking order; both sides of one question share a row."""
    groups: dict[str, list[Noted]] = {}
    for noted in visit.noted:
        if wanted(noted.key):
            groups.setdefault(noted.key, []).append(noted)
    rows = []
    for key, some in sorted(groups.items(), key=lambda pair: _walk(pair[0], words)):
        observation = words.observations.get(key)
        section = words.sections.get(observation.section) if observation else None
        values = [_told(noted, observation, visit, several=len(some) > 1) for noted in some]
        if len(some) == 2 and all(n.side for n in some):
            bare = {noted_value(noted, observation, visit) for noted in some}
            values = [f"both sides {bare.pop()}"] if len(bare) == 1 else values
        note = "; ".join(dict.fromkeys(n.note for n in some if n.note))
        name = observation.name if observation else plain(key)
        rows.append(NotedRow(section.name if section else "", name, "; ".join(values), note, some[0].line))
    return rows


def _walk(key: str, words: Vocabulary) -> tuple[int, str]:
    observation = words.observations.get(key)
    return (observation.walk if observation else 9999, key)


def _told(noted: Noted, observation: Observation | None, visit: Visit, several: bool) -> str:
    value = noted_value(noted, observation, visit)
    if noted.about is not None:
        return f"{value} (the {noted.about[1]} {noted.about[0].partition('_')[0]})" if several else value
    return f"{noted.side} {value}" if noted.side else value


def noted_value(noted: Noted, observation: Observation | None, visit: Visit) -> str:
    """What was noted, for a reader: numbers as written, dates with the days before the visit, words as words."""
    value = noted.value
    if isinstance(value, DateSpan):
        return _dated(value, observation, visit)
    if isinstance(value, Decimal):
        return noted.written or shown(value, dimension_of(observation.unit if observation else ""))
    if noted.kind == "text":
        return value
    return plain(value)


def _dated(value: DateSpan, observation: Observation | None, visit: Visit) -> str:
    if value.never or (observation is not None and observation.section == "horse"):
        return span(value, observation.none_word if observation and observation.none_word else "never")
    text = span(value)
    if value.first == value.last and value.last <= visit.day:
        text += f" ({days_before((visit.day - value.last).days)})"
    return text


# -- touches -----------------------------------------------------------------------------------------------------------


def touch_words(touch: Touch) -> str:
    """One touch in words: "5 of 10, tightens; felt a knot; deep"."""
    if touch.not_examined is not None:
        return f"not examined ({plain(touch.not_examined)})"
    said = []
    if touch.refused:
        said.append("would not allow touch")
    if touch.soreness is not None:
        said.append("0 (quiet)" if touch.soreness == 0 else f"{float(touch.soreness):g}")
    said += [plain(word) for word in touch.responses or () if word not in (NO_RESPONSE, "would_not_allow")]
    felt = [plain(word) for word in touch.felt or () if word != NOTHING_FELT]
    said += [f"felt {', '.join(felt)}"] if felt else []
    said += [touch.depth] if touch.depth else []
    said += [f"{touch.touch} touch"] if touch.touch else []
    if not said and touch.responses:
        said.append("no response")
    return ", ".join(said) or "nothing written"


def place_words(touches: Sequence[Touch]) -> str:
    """All readings of one place and side, in order of time: "5, flinches; once settled 3; after work 2"."""
    order = list(WHEN)
    parts = []
    for touch in sorted(touches, key=lambda t: order.index(t.when)):
        when = "" if touch.when == "first" else WHEN[touch.when] + " "
        note = f" ({touch.note})" if touch.note else ""
        parts.append(when + touch_words(touch) + note)
    return "; ".join(parts)


def touch_rows(visit: Visit, words: Vocabulary, wanted: Callable[[Place], bool]) -> list[TouchRow]:
    """Places of which more was written than that they were quiet, in walking order."""
    rows = []
    for place, sides in _by_place(visit, words, wanted).items():
        if all(_plainly_quiet(touches) for touches in sides.values()):
            continue
        told = {side: place_words(touches) for side, touches in sides.items()}
        rows.append(
            TouchRow(
                place.key,
                full_name(place.key, place.name, words),
                plain(place.region),
                told.get("left", ""),
                told.get("right", ""),
                told.get("", ""),
            )
        )
    return rows


def quiet_names(visit: Visit, words: Vocabulary, wanted: Callable[[Place], bool]) -> list[str]:
    """Places that were examined and quiet, with the side where only one of two was."""
    out = []
    for place, sides in _by_place(visit, words, wanted).items():
        quiet = [side for side, touches in sides.items() if _plainly_quiet(touches)]
        if len(quiet) == len(sides) and (len(sides) == 2 or place.sides == "midline"):
            out.append(full_name(place.key, place.name, words))
        elif quiet and len(quiet) == len(sides):
            out.append(f"{place.name} ({quiet[0]} only)")
    return out


def _plainly_quiet(touches: Sequence[Touch]) -> bool:
    return all(
        t.soreness == 0 and not t.refused and not t.depth and not t.note
        and set(t.responses or ()) <= {NO_RESPONSE} and set(t.felt or ()) <= {NOTHING_FELT}
        for t in touches
    )  # fmt: skip


def _by_place(visit: Visit, words: Vocabulary, wanted: Callable[[Place], bool]) -> dict[Place, dict[str, list[Touch]]]:
    found: dict[str, dict[str, list[Touch]]] = {}
    for touch in visit.touches:
        found.setdefault(touch.place, {}).setdefault(touch.side or "", []).append(touch)
    places = sorted((words.places[key] for key in found if key in words.places), key=lambda p: (p.walk, p.key))
    return {place: found[place.key] for place in places if wanted(place)}


# -- the body map ------------------------------------------------------------------------------------------------------


def map_points(words: Vocabulary) -> list[MapPoint]:
    """Where the places lie on the drawing."""
    return [MapPoint(p.key, p.name, p.view, *p.at) for p in words.places.values() if p.at is not None]


def marks(visit: Visit, words: Vocabulary) -> list[Mark]:
    """One mark for each place and side examined: the reading before work, settled before unsettled."""
    found: dict[tuple[str, str], list[Touch]] = {}
    for touch in visit.touches:
        if touch.not_examined is None and touch.when != "after_work":
            found.setdefault((touch.place, touch.side or ""), []).append(touch)
    return [_mark(touches) for touches in found.values()]


def answered_in_words(marks: Sequence[Mark], words: Vocabulary) -> list[tuple[str, str]]:
    """(side, places) of the marks that are more than quiet, the sorest first: for a screen too small for the drawing."""
    sides = (("left", "Left (near)"), ("right", "Right (off)"), (None, "Middle"))
    out = []
    for side, heading in sides:
        here = [mark for mark in marks if mark.side == side and mark.kind != "quiet"]
        here.sort(key=lambda mark: (mark.kind != "refused", -(mark.value or 0.0), mark.place))
        names = [full_name(mark.place, words.places[mark.place].name, words) for mark in here]
        if here:
            out.append((heading, "; ".join(f"{n}: {m.words}" for n, m in zip(names, here, strict=True))))
    return out


def _mark(touches: list[Touch]) -> Mark:
    shown_touch = next((t for t in touches if t.when == "settled"), touches[0])
    value = None if shown_touch.soreness is None else float(shown_touch.soreness)
    told = place_words(touches)
    if shown_touch.refused:
        return Mark(shown_touch.place, shown_touch.side, None, told, "refused")
    if _plainly_quiet(touches):
        return Mark(shown_touch.place, shown_touch.side, 0.0, "quiet", "quiet")
    if value is None:
        return Mark(shown_touch.place, shown_touch.side, None, told, "spoken")
    return Mark(shown_touch.place, shown_touch.side, value, told, "graded")
