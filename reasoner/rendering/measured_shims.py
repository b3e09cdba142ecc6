"""Where the saddle sat at a visit, told: off the middle, roll, the load on each side.

In: a visit and the rulebook. Out: `Told`, with the picture; nothing where nothing of it was measured.
Not here: a thickness. One is given by the plan, where its step stands, and nowhere else of a visit.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.facts.measured_shims import after_work, on_both_sides, standing, table_of
from reasoner.rendering.measured import Told
from reasoner.rendering.roll_picture import in_words, picture
from reasoner.rendering.seat_lines import drawn_of, seat_told
from reasoner.rulebook.measures.shims import Shims
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

KEY, TITLE = "shims", "Where the saddle sits"
IN_THE_PLAN = "A thickness for a shim stands in the plan, and only where that step stands today."


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """One measure, whether the saddle was measured standing, after work or both."""
    table = table_of(book)
    timed = (("on the standing horse", standing(visit, book)), ("after work", after_work(visit, book)))
    every = [seat_told(seat, when, table) for when, seat in timed if seat.measured]
    twice = [
        f"{name}: written on both sides at once. A saddle can be off to one side only; no thickness is worked out."
        for name in on_both_sides(visit, book)
    ]
    if not every and not twice:
        return
    kind = next((seat.saddle_type for _, seat in timed if seat.saddle_type), "")
    drawn = next((d for one in reversed(every) if (d := drawn_of(one, table)) is not None), None)
    yield Told(
        key=KEY,
        title=TITLE,
        lines=(*(line for one in every for line in one.lines), *twice, no_thickness_here(kind, table)),
        rests_on=tuple(dict.fromkeys(basis for one in every for basis in one.rests_on)) or ("own setting",),
        cautions=tuple(dict.fromkeys(caution for one in every for caution in one.cautions)),
        not_measured=tuple(dict.fromkeys(missing for one in every for missing in one.not_measured)),
        picture=picture(drawn) if drawn else "",
        picture_says=in_words(drawn) if drawn else "",
        numbers={"seats": [one.numbers for one in every], "shim": None, "thickness": None},
    )


def no_thickness_here(saddle_type: str, table: Shims) -> str:
    """Where a thickness is to be found, or why there is none under this saddle."""
    if saddle_type and saddle_type not in table.thickness_for.types:
        return table.thickness_for.otherwise
    return IN_THE_PLAN
