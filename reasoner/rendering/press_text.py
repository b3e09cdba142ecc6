"""The page of `reasoner press`: a hand on a floor scale.

In: a `Practice`, the table of pressing. Out: lines for the terminal and the printed page.
Not here: working it out, the picture. The figure of the trade stands nowhere without its caution.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.rendering import phrases, wording
from reasoner.rendering.phrases import counted
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.measures.press import Basis, PressTable
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.press import Practice, Series, Within

NAMES = {"left": "left hand", "right": "right hand", "both": "both hands together"}


def press_lines(practice: Practice, book: Rulebook, table: PressTable) -> Iterator[Line]:
    """The page."""
    yield Line(f"Pressing on a floor scale, aiming at {kg(practice.aim_kg)}", "title")
    yield Line(table.cautions.lines[0], "alarm")
    for hand, series in practice.hands.items():
        yield from heading(NAMES[hand])
        yield from _series(series, practice.aim_kg, table)
    if practice.apart_kg is not None:
        yield from heading("left hand and right hand")
        yield Line(apart_words(practice.apart_kg), "strong")
    elif "left" in practice.hands and "right" in practice.hands:
        yield Line(f"Left and right are compared from {table.enough.spread.pushes} pushes each on.", "open")
    if practice.sessions:
        yield from heading("by session")
        yield Line(
            "Above stand all sessions together, in the order written; a drift then runs over all of them.", "faint"
        )
        for one in practice.sessions:
            spread = "" if one.deviation_kg is None else f", spread {kg(one.deviation_kg)}"
            name = one.session or "no day written"
            yield Line(
                f"{name}, {NAMES[one.hand]}",
                mark="-",
                tail=f"{counted(one.pushes, 'push', 'pushes')}, mean {kg(one.mean_kg)}{spread}",
            )
    yield from heading("what this rests on")
    yield Line(table.bands_published.says)
    yield Line(f"{trade(table)} ({wording.basis(_flat(table.floor_scale.basis), book)})")
    yield Line(
        f"Intervals hold {100 * table.interval.share:g} of 100: of a mean and a drift by Student's t, of a spread by "
        "chi-squared, of left and right by Welch's form; they take each push as made by itself."
    )
    for said in table.cautions.lines[1:]:
        yield Line(said, "faint", mark="-")


def trade(table: PressTable) -> str:
    """The figure of the trade with its caution: the one way it is ever told."""
    return f"{table.floor_scale.says} {table.floor_scale.caution}"


def kg(value: float) -> str:
    """A weight on the scale, to a tenth."""
    return f"{value:.1f}".removesuffix(".0") + " kg"


def apart_words(found: Within) -> str:
    """Right less left, in words."""
    if found.low is None or found.high is None:
        return f"The right hand reads {_more(found.value)} the left."
    sure = found.low > 0 or found.high < 0
    said = f"The right hand reads {_more(found.value)} the left ({found.low:+.1f} to {found.high:+.1f} kg)"
    return f"{said}." if sure else f"{said}: no difference that these pushes could show."


def _more(value: float) -> str:
    if f"{abs(value):.1f}" == "0.0":
        return "the same as"
    return f"{kg(abs(value))} {'more' if value > 0 else 'less'} than"


def _series(series: Series, aim_kg: float, table: PressTable) -> Iterator[Line]:
    n = len(series.pushes)
    yield Line(
        f"{counted(n, 'push', 'pushes')}: {', '.join(f'{round(one, 2):g}' for one in series.pushes)} kg.", indent=2
    )
    off = series.off_kg
    yield Line(f"mean {kg(series.mean_kg.value)}{_ends(series.mean_kg)}: {_off(off)}", "strong", 2)
    if series.deviation_kg is None:
        least = table.enough.spread.pushes
        yield Line(f"Too few for a spread: {least} pushes are asked for (an own setting).", "open", 2)
        return
    cv = "" if series.variation_percent is None else f", {series.variation_percent:.0f} % of the mean"
    yield Line(f"spread {kg(series.deviation_kg.value)}{_ends(series.deviation_kg)}{cv}; about a third of pushes lie further off "
               "the mean", "strong", 2)  # fmt: skip
    if series.steps_kg is not None:
        yield Line(f"from push to push alone {kg(series.steps_kg)}: far less than the spread means a hand that wandered slowly",
                   "faint", 2)  # fmt: skip
    if series.drift_kg is None:
        yield Line(f"Too few for a drift: {table.enough.drift.pushes} pushes are asked for.", "open", 2)
        return
    yield Line(drift_words(series.drift_kg), "strong", 2)


def drift_words(drift: Within) -> str:
    """How the pushes changed over the series."""
    ends = "" if drift.low is None or drift.high is None else f" ({drift.low:+.2f} to {drift.high:+.2f})"
    said = f"drift {drift.value:+.2f} kg a push{ends}"
    if drift.low is not None and drift.high is not None and drift.low <= 0 <= drift.high:
        return f"{said}: none that these pushes could show"
    return f"{said}: it {'grows heavier' if drift.value > 0 else 'grows lighter'} from push to push"


def _off(off: Within) -> str:
    if f"{abs(off.value):.1f}" == "0.0":
        return "on the aim"
    return f"{kg(abs(off.value))} {'above' if off.value > 0 else 'below'} the aim"


def _ends(found: Within) -> str:
    return "" if found.low is None or found.high is None else f" ({found.low:.1f} to {found.high:.1f})"


def _flat(basis: Basis) -> tuple[str, ...]:
    return (basis,) if isinstance(basis, str) else basis


def meta() -> str:
    """What stands under the title of the printed page."""
    return f"Practice of the hand on a scale. {phrases.VET_SENTENCE}"
