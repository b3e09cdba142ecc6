"""The pages of `reasoner records list` and `show`.

In: rows of the records. Out: lines for the terminal.
Not here: reading the records.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from reasoner.rendering import phrases
from reasoner.rendering.records_care_text import Beside, agreed_lines, enclosed_lines, in_short
from reasoner.rendering.text_page import Line, heading
from reasoner.store.consents import Agreed
from reasoner.store.place import Place
from reasoner.store.placing import Placed
from reasoner.store.reading import KnownHorse, KnownVisit


def horse_lines(
    place: Place, every: Sequence[KnownHorse], said: Mapping[str, Sequence[Agreed]], today: date
) -> Iterator[Line]:
    """A line a horse."""
    yield Line(f"{phrases.counted(len(every), 'horse')} in the records", "title", tail=place.shown)
    for one in every:
        about = ", ".join(filter(None, (one.yard, f"born {one.born}" if one.born else "")))
        last = f", the last on {phrases.day(one.last)}" if one.last else ""
        yield Line(
            f"{one.name}{f' ({about})' if about else ''}: {phrases.counted(one.visits, 'visit')}{last}"
            f"{in_short(said.get(one.uid, ()), today)}",
            mark="-",
            hang=2,
        )


def visit_lines(
    place: Place, horse: KnownHorse, every: Sequence[KnownVisit], agreed: Sequence[Agreed], today: date,
    gone: Sequence[tuple[KnownVisit, Placed]] = (),
) -> Iterator[Line]:  # fmt: skip
    """A line a visit."""
    yield Line(f"{horse.name}: {phrases.counted(len(every), 'visit')} in the records", "title", tail=place.shown)
    for one in every:
        yield Line(f"{visit_head(one)}{_called(one)}", mark="-", hang=2, tail=one.uid[:8])
    if gone:
        yield from heading("moved or withdrawn, and counted here no more")
    for one, last in gone:
        yield Line(f"{visit_head(one)}: {placed_words(last)}", mark="-", hang=2, tail=one.uid[:8])
    yield from agreed_lines(agreed, today)


def visit_head(one: KnownVisit) -> str:
    """A visit in a few words: the day, the hands, the version if it is not the first."""
    parts = [phrases.day(one.day), f"second visit that day ({one.part})" if one.part > 1 else ""]
    parts += [
        f"examined by {one.examiner}" if one.examiner else "",
        f"checked by {one.checked_by}" if one.checked_by else "",
    ]
    parts += [f"version {one.number}" if one.number > 1 else ""]
    return ", ".join(filter(None, parts))


def placed_words(one: Placed) -> str:
    """What somebody said of where a visit counts."""
    what = "withdrawn" if one.withdrawn else f"counts at {one.horse}"
    return f"{what}, said by {one.who}: {one.why}"


def _called(one: KnownVisit) -> str:
    return "" if one.level == "none" else f" ({one.level} call)"


def shown_lines(
    place: Place, visit: KnownVisit, versions: Sequence[Any], row: Any, answer: Mapping[str, Any], beside: Beside
) -> Iterator[Line]:  # fmt: skip
    """One visit as it was kept, with what was said of it then."""
    yield Line(f"{visit.name}, {visit_head(visit)}", "title", tail=place.shown)
    if beside.placed and beside.placed[-1].withdrawn:
        yield Line("WITHDRAWN: this visit counts nowhere.", "alarm")
    yield Line(f"kept as visit {visit.uid}", "faint")
    yield from heading("versions")
    for one in versions:
        by = f" by {one.saved_by}" if one.saved_by else ""
        why = f": {one.why}" if one.why else ""
        shown = " (shown here)" if one.number == row.number else ""
        yield Line(
            f"version {one.number}, kept {one.saved_at[:16].replace('T', ' ')} UTC{by}{why}{shown}", mark="-", hang=2
        )
    if beside.placed:
        yield from heading("where it counts")
        yield Line(f"kept under {beside.first}", mark="-", hang=2)
    for placed in beside.placed:
        yield Line(f"{placed_words(placed)}, {placed.saved_at[:16].replace('T', ' ')} UTC", mark="-", hang=2)
    yield from agreed_lines(beside.agreed, beside.today)
    yield from enclosed_lines(beside.enclosed, beside.wording)
    yield from heading("what was said then")
    yield Line(f"judged by rulebase {row.rulebook[:12]}, reasoner {answer['engine']}", "faint")
    for concern in answer["referral"]["concerns"]:
        yield Line(f"{concern['call']}: {concern['words']}", mark="-", hang=2)
    for one in answer["conclusions"]:
        if one["band"] not in ("none", "against"):
            yield Line(f"{one['words']}", mark="-", hang=2, tail=phrases.certainty(one["certainty"]))
    steps = answer["plan"]["steps"]
    if steps:
        yield from heading("the plan then")
    for number, step in enumerate(steps, 1):
        yield Line(step["words"], mark=f"{number}.", hang=3)
    yield Line("--file prints the visit file as it was kept; --json the whole answer.", "faint")
