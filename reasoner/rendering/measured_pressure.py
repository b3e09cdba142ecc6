"""What the pressures of a visit say: the mean from mass and area, and mat readings beside published groups.

In: a visit and the rulebook. Out: up to two `Told`.
Not here: the arithmetic (measures/), reading the visit (facts/). The warnings travel with the numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from reasoner.facts.measured_load import weights_of
from reasoner.facts.measured_pressure import HEAVIEST, WITHERS, Mat, heaviest, mat_of
from reasoner.measures.contact_pressure import Beside, together
from reasoner.measures.rider_force import change_percent
from reasoner.measures.uncertain import error_of, nominal
from reasoner.rendering import phrases
from reasoner.rendering.measured import Told
from reasoner.rendering.measured_load import amount
from reasoner.rendering.short_sources import short_source
from reasoner.rulebook.measures.load import Caution
from reasoner.rulebook.pages import bases as bases_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

PAD = "pad"
_OF = {"mean": "mean", "most": "greatest"}


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """The mean pressure where a contact area was measured, and the mat where anything of it was written."""
    mat = mat_of(visit, book)
    if mat.area_cm2 is not None:
        yield _mean(mat, visit, book)
    if mat.means or mat.mosts or mat.thirds or mat.slips:
        yield _mat(mat, visit, book)


def _mean(mat: Mat, visit: Visit, book: Rulebook) -> Told:
    """Mass over area."""
    lines, missing = [], []
    if mat.mean_kpa is None:
        missing.append("Rider: not weighed, so no mean pressure is worked out.")
    else:
        errors = weights_of(visit, book).table.errors_shown.value
        who = "rider, tack and extra" if mat.with_tack else "the rider alone, since the tack was not weighed"
        lines.append(
            f"Mean over a whole stride: {nominal(mat.mean_kpa):.1f} kPa, give or take {errors * error_of(mat.mean_kpa):.1f}, "
            f"from {nominal(mat.mass_kg):.1f} kg ({who}) on {nominal(mat.area_cm2):.0f} cm²."
        )
        lines.append(
            f"The area is taken to be off by {mat.table.area_error_percent.value:g} of a hundred (own setting), and what is "
            f"told is {errors:g} standard errors."
        )
        if not mat.with_tack:
            missing.append("Tack: not weighed; what it weighs is not in the mean.")
    cautions = (*mat.table.mean_cautions, *mat.table.cautions)
    return Told(
        key="mean_pressure", title="Mean pressure from mass and contact area", lines=tuple(lines),
        rests_on=_each([*_bases(cautions), "own setting"]), cautions=tuple(one.says for one in cautions),
        not_measured=tuple(missing),
        numbers={
            "mass_kg": amount(mat.mass_kg), "with_tack": mat.with_tack, "area_cm2": amount(mat.area_cm2),
            "mean_kpa": amount(mat.mean_kpa),
        },
    )  # fmt: skip


def _mat(mat: Mat, visit: Visit, book: Rulebook) -> Told:
    """The fields of a mat."""
    lines = list(mat.slips)
    bases: list[str] = []
    if mat.means:
        reading = together(mat.means, mat.table)
        lines.append(f"At the withers, by the mean at every gait measured: {phrases.plain(reading)}.")
    for one in (*mat.means, *mat.mosts):
        lines.append(_beside(one, mat, book))
        bases += [group.basis for group in mat.table.groups]
        bases += [basis for level in one.passed for basis in bases_of(level.basis)]
    if mat.thirds:
        lines += _thirds(mat, book)
        bases += [third.basis for third in mat.table.thirds] + list(bases_of(mat.table.stands_out_by_percent.basis))
    if mat.means or mat.mosts:
        part = 100 * mat.table.belongs_to_neither.value
        lines.append(
            f"Between two groups lies the middle {part:.0f} of a hundred of the step from one to the next (own setting); how far "
            "the groups overlap was not noted, and no error of a mat is in print as one number."
        )
        bases.append("own setting")
    if visit.noted_value(PAD) in mat.table.shims_for_pad:
        lines.append(_shims(mat, book))
        bases += [one.basis for one in mat.table.shims]
    lines += [f'By hand "{n.written}" was written for {book.vocabulary.observations[n.key].name}, and that is what is judged.'
              for n in visit.noted if n.key in (WITHERS, HEAVIEST)]  # fmt: skip
    cautions = (*mat.table.mat_cautions, *mat.table.cautions)
    return Told(
        key="pressure_mat", title="Pressure mat", lines=tuple(lines), rests_on=_each([*bases, *_bases(cautions)]),
        cautions=tuple(one.says for one in cautions), not_measured=tuple(_missing(mat)), numbers=_numbers(mat),
    )  # fmt: skip


def _beside(one: Beside, mat: Mat, book: Rulebook) -> str:
    """One reading beside each group, and the published levels it lies above."""
    groups = "; ".join(
        f"{_figure(one, key):g} in {called} ({one.ratios[key]:.2f} times that)"
        for key, called in ((group.key, group.called) for group in mat.table.groups)
    )
    like = (
        f"like {one.group.called}"
        if one.group
        else "like one of the other groups"
        if one.higher
        else "between two groups"
    )
    lowest = mat.table.groups[0].called
    apart = (
        ""
        if one.tells_apart
        else f" At this gait this figure told only {lowest} from the others, not those from one another."
    )
    source = book.sources[mat.table.groups[0].basis]
    who = short_source(source.authors, source.year, source.title)
    levels = "".join(f" It lies above {level.kpa:g} kPa, {level.called} ({level.says})." for level in one.passed)
    return (
        f"At {one.gait}, {_OF[one.of]} at the withers {one.kpa:g} kPa: {like}. {who}, in kPa: {groups}.{apart}{levels}"
    )


def _figure(one: Beside, key: str) -> float:
    return round(one.kpa / one.ratios[key], 4)


def _thirds(mat: Mat, book: Rulebook) -> Iterator[str]:
    by = mat.table.stands_out_by_percent.value
    yield (
        f"Thirds of the saddle, at every gait measured: {phrases.plain(heaviest(mat))} (a third stands out if it is {by:g} of a "
        "hundred or more above each of the others)."
    )
    for gait, here in mat.thirds.items():
        told = ", ".join(f"{third} {kpa:g} kPa" for third, kpa in here.items())
        yield f"At {gait}: {told}."
    for one in mat.table.thirds:
        source = book.sources[one.basis]
        who = short_source(source.authors, source.year, source.title)
        figures = f"{one.walk_kpa:g} kPa at walk and {one.trot_kpa:g} kPa at trot"
        yield f"{who}, {one.tree}: {one.third} third {figures}, with other horses and another rider."


def _shims(mat: Mat, book: Rulebook) -> str:
    source = book.sources[mat.table.shims[0].basis]
    changes = [f"{one.called} {change_percent(one.suited_kpa, one.shimmed_kpa):+.1f} %" for one in mat.table.shims]
    who = short_source(source.authors, source.year, source.title)
    return (
        "A thick pad lay under it. A saddle one width too wide with a half pad and shims pressed more in front than one that "
        f"suited: {phrases.listed(changes)} [{who}]."
    )


def _missing(mat: Mat) -> Iterator[str]:
    gaits = [gait for gait in ("walk", "trot", "canter") if gait not in {one.gait for one in mat.means}]
    if gaits:
        yield f"Mean at the withers at {phrases.listed(gaits)}: not written."
    if not mat.thirds:
        yield "Thirds of the saddle: not all three written at any gait."


def _numbers(mat: Mat) -> dict[str, Any]:
    return {
        "pressure_at_the_withers": together(mat.means, mat.table) if mat.means else None,
        "heaviest_third": heaviest(mat) if mat.thirds else None,
        "withers": [
            {
                "gait": one.gait, "of": one.of, "kpa": one.kpa,
                "like": one.group.key if one.group else None if one.higher else mat.table.between,
                "times_the_group": {key: round(ratio, 4) for key, ratio in one.ratios.items()},
                "tells_the_groups_apart": one.tells_apart, "above_kpa": [level.kpa for level in one.passed],
            }
            for one in (*mat.means, *mat.mosts)
        ],
        "thirds_kpa": {gait: dict(here) for gait, here in mat.thirds.items()},
    }  # fmt: skip


def _bases(cautions: Iterable[Caution]) -> list[str]:
    return [basis for one in cautions for basis in bases_of(one.basis)]


def _each(bases: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(bases))
