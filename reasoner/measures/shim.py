"""The shim: the thickness for a roll, the roll of a thickness, and the checks beside it.

In: rolls and distances with their error, and the table of shims. Out: `Shim`.
Not here: whether a shim may be laid at all (the action's page in rules/ says that), wording.
"""

from __future__ import annotations

from reasoner.frozen import frozen
from reasoner.measures.roll import Amount, impossible, rise_mm, wedge_deg
from reasoner.measures.seat import with_error
from reasoner.measures.uncertain import error_of, nominal
from reasoner.rulebook.measures.shims import Shims


@frozen(kw_only=True)
class Shim:
    """What would lift one side by a roll.

    `under_load_mm` is the rise the geometry asks for with the rider up, `laid_in_mm` how thick the soft shim then is before
    anybody sits on it. `pressed_share` is the share lost between the two, from 0 to below 1; `share_given` whether it was
    measured. `beyond` says which upper limit is passed, or is empty.
    """

    roll_deg: Amount
    under_load_mm: Amount
    laid_in_mm: Amount
    pressed_share: float
    share_given: bool
    common_mm: float
    common_left_mm: float
    common_roll_deg: Amount
    beyond: str = ""

    @property
    def from_common_mm(self) -> Amount:
        """How much thicker than the common figure the shim is before anybody sits on it; negative where thinner."""
        return self.laid_in_mm - self.common_mm


def pressed(thickness_mm: Amount, share: float) -> Amount:
    """What is left of a soft shim of which `share` (0 to below 1) is pressed away: t (1 - share), mm. Arithmetic.

    Raises BadInput (MS01).

    >>> pressed(20.0, 0.25)
    15.0
    """
    return thickness_mm * (1 - _share(share))


def laid_in(under_load_mm: Amount, share: float) -> Amount:
    """How thick a soft shim must be for so much to be left of it: t / (1 - share), mm. Arithmetic. Raises BadInput (MS01).

    >>> laid_in(15.0, 0.25)
    20.0
    """
    return under_load_mm / (1 - _share(share))


def _share(share: float) -> float:
    if not 0 <= share < 1:
        raise impossible(
            "MS01", f"A share of {share * 100:g} % pressed away was read; 0 % to less than 100 % was expected."
        )
    return share


def shim_for(roll_deg: Amount, bars_mm: Amount, table: Shims, share: float | None = None) -> Shim:
    """The shim that would lift the low side by `roll_deg` (0 or more) under bars `bars_mm` apart.

    Formula: measures.roll.rise_mm. Range: `roll_deg` up to what is possible. `share` is what the stuff loses under the rider,
    None for the table's own setting. Raises BadInput (MS01, MS03).
    """
    if nominal(roll_deg) < 0 or nominal(roll_deg) > table.possible.roll_deg:
        raise impossible(
            "MS03", f"A roll of {nominal(roll_deg):g}° was read; 0° to {table.possible.roll_deg:g}° was expected."
        )
    taken = table.pressed_away.percent / 100 if share is None else _share(share)
    lifted = rise_mm(roll_deg, bars_mm)
    thick = laid_in(lifted, taken)
    common = table.common_figure.thickness_mm
    return Shim(
        roll_deg=roll_deg, under_load_mm=lifted, laid_in_mm=thick, pressed_share=taken, share_given=share is not None,
        common_mm=common, common_left_mm=pressed(common, taken), common_roll_deg=wedge_deg(pressed(common, taken), bars_mm),
        beyond=beyond(roll_deg, thick, table),
    )  # fmt: skip


def beyond(roll_deg: Amount, thick_mm: Amount, table: Shims) -> str:
    """The upper limit of the table (own settings) that a shim passes by its roll or its thickness, in words; or nothing."""
    if nominal(roll_deg) > table.most.roll_deg:
        return f"more than {table.most.roll_deg:g}° of roll"
    if nominal(thick_mm) > table.most.thickness_mm:
        return f"thicker than {table.most.thickness_mm:g} mm"
    return ""


def roll_of_thickness_deg(thickness_mm: float, bars_mm: Amount, table: Shims) -> Amount:
    """The roll that a thickness under one bar gives, degrees, with the error of reading both. Raises BadInput (MS01).

    Formula: measures.roll.wedge_deg; `thickness_mm` is what is left under the rider, more than 0.
    """
    if not thickness_mm > 0:
        raise impossible("MS01", f"A shim {thickness_mm:g} mm thick was read; more than 0 mm was expected.")
    return wedge_deg(with_error(thickness_mm, table.reading_error.thickness_mm), bars_mm)


def give_or_take(amount: Amount, table: Shims) -> float:
    """What is shown behind the ±: the deviation as often as a side must exceed it to be a side."""
    return table.clear_from.times * error_of(amount)
