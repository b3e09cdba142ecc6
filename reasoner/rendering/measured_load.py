"""What the load of a visit says: body weight, the share that is carried beside published work, the rider's force.

In: a visit and the rulebook. Out: up to three `Told`.
Not here: the arithmetic (measures/), reading the visit (facts/), the picture (load_scale.py), forces (measured_force.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from reasoner.facts.measured_load import BORN, GIRTH, HEIGHT, POINTS, SHARE, TYPE, Weights, band, neighbours, weights_of
from reasoner.measures.body_weight import KG_IN_LB, Estimate, NoEstimate
from reasoner.measures.load_share import Placed, placed
from reasoner.measures.uncertain import error_of, nominal
from reasoner.rendering import phrases
from reasoner.rendering.load_scale import load_scale
from reasoner.rendering.measured import Told
from reasoner.rendering.measured_force import force_told
from reasoner.rendering.short_sources import short_source
from reasoner.rulebook.measures.load import Study
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import Visit

COUNTED = {
    "rider": "the rider alone is counted",
    "rider_and_tack": "rider and tack are counted",
    "not_noted": "whether tack is counted was not noted, so the whole is compared",
}


def told(visit: Visit, book: Rulebook) -> Iterator[Told]:
    """The weight by tape, the load, the rider's force: each where enough was written down."""
    weights = weights_of(visit, book)
    if weights.taped is not None or (weights.slip and weights.share is None):
        yield _body_weight(weights, visit)
    if weights.rider_share is not None:
        yield _load(weights, visit, book)
    if weights.rider is not None:
        yield force_told(weights, book)


# -- body weight


def _body_weight(weights: Weights, visit: Visit) -> Told:
    tape, taped = weights.table.tape, weights.taped
    lines = [weights.slip] if weights.slip else []
    rests: list[str] = []
    numbers: dict[str, Any] = {"class": weights.of.key, "horse_kg": None, "formula": None, "printed_otherwise_kg": {}}
    if isinstance(taped, Estimate):
        kg, way = taped.kg, taped.way
        low, high = nominal(kg) - weights.give_or_take(kg), nominal(kg) + weights.give_or_take(kg)
        lines.append(
            f"By tape it weighs {_kg(kg)}, give or take {weights.give_or_take(kg):.0f} kg "
            f"({low:.0f} to {high:.0f}), taken as {taped.of.called}."
        )
        lines.append(f"Worked out with {way.called}: girth x girth x length / {way.divisor:g}{_units(way.units, way.plus_lb)}. "
                     f"{way.says}.")  # fmt: skip
        if way.sure != "high":
            lines.append(f"How sure the figure is: {way.sure}.")
        if taped.otherwise:
            others = "; ".join(f"{called} gives {other:.0f} kg" for called, other in taped.otherwise)
            lines.append(f"Printed elsewhere for the same measures: {others}.")
        explained = 100 * tape.explained.value
        lines.append(
            f"The formula explained {explained:.0f} of a hundred of the differences in weight between horses; the tape itself "
            f"is taken to be off by {tape.girth_error_mm.value / 10:g} cm round the girth and "
            f"{tape.length_error_mm.value / 10:g} cm along the body (own setting). {_twice(weights)}"
        )  # fmt: skip
        rests += [
            *bases(way.basis),
            *bases(tape.explained.basis),
            *(b for one in tape.printed_otherwise for b in bases(one.basis)),
        ]
        numbers |= {"horse_kg": amount(kg), "formula": way.key, "printed_otherwise_kg": dict(taped.otherwise)}
    elif isinstance(taped, NoEstimate):
        lines.append(f"No weight by tape: taken as {taped.of.called}. {taped.because}.")
        rests += bases(taped.of.basis)
    used = weights.horse
    if used is not None and isinstance(taped, Estimate) and used.kg is not taped.kg:
        more = nominal(used.kg) - nominal(taped.kg)
        than = f"{abs(more):.0f} kg {'more' if more >= 0 else 'less'} than girth and length say"
        lines.append(f"For the load the weight that was written is used: {_kg(used.kg)}, {used.called}; {than}.")
    if visit.noted_value(GIRTH) is None:  # nothing was taped: the slip is one of the scales
        return Told(key="body_weight", title="Load", lines=tuple(lines), rests_on=("own setting",), numbers=numbers)
    return Told(
        key="body_weight", title="Body weight by tape", lines=tuple(lines), rests_on=_each([*rests, "own setting"]),
        cautions=tuple(one.says for one in tape.cautions), not_measured=tuple(_weight_unknown(weights, visit)), numbers=numbers,
    )  # fmt: skip


def _weight_unknown(weights: Weights, visit: Visit) -> Iterator[str]:
    unknown = [
        name for key, name in ((HEIGHT, "height"), (BORN, "age"), (TYPE, "type")) if visit.noted_value(key) is None
    ]
    if unknown:
        yield f"{phrases.listed(unknown).capitalize()}: not written, so it is taken as {weights.of.called}."
    if visit.noted_value(POINTS) is None:
        yield f"Measuring points: not written, so the length is taken as {phrases.plain(weights.points)}."


# -- the share


def _load(weights: Weights, visit: Visit, book: Rulebook) -> Told:
    assert weights.horse is not None
    horse, whole, alone = weights.horse, weights.share, weights.rider_share
    on = f"on a horse of {nominal(horse.kg):.0f} kg ({horse.called}, give or take {weights.give_or_take(horse.kg):.0f} kg)"
    lines = []
    if whole is not None:
        lines.append(
            f"Rider, tack and extra: {nominal(weights.carried):.1f} kg {on}, which is {_share(whole, weights)}."
        )
    lines.append(f"The rider alone: {nominal(weights.rider):.1f} kg{'' if whole is not None else f' {on}'}, which is "
                 f"{_share(alone, weights)}. Publications count one way or the other.")  # fmt: skip
    lines.append(_twice(weights))
    if whole is not None:
        lines += _band_lines(weights, visit)
    places = places_of(weights)
    lines += _studies_in_short(places, book)
    table = weights.table
    rests = [b for one in table.bands for b in bases(one.basis)] + [study.basis for study in table.studies]
    return Told(
        key="load", title="Load", lines=tuple(lines), more=tuple(_beside(study, here, weights, book) for study, here in places),
        rests_on=_each([*rests, *bases(horse.basis), "own setting"]),
        cautions=tuple(one.says for one in table.cautions), not_measured=tuple(_load_unknown(weights)),
        picture=load_scale(weights, places), picture_says=_picture_says(weights, places), numbers=_numbers(weights, places, book),
    )  # fmt: skip


def _band_lines(weights: Weights, visit: Visit) -> Iterator[str]:
    here, others = phrases.plain(band(weights)), [phrases.plain(one) for one in neighbours(weights)]
    may = f" Within its error it may be {phrases.listed(others, 'or')}." if others else ""
    yield f"As an entry of the visit that is {here}.{may}"
    by_hand = next((n for n in visit.noted if n.key == SHARE), None)
    if by_hand is not None:
        yield f'By hand "{by_hand.written}" was written, and that is what is judged.'


def places_of(weights: Weights) -> tuple[tuple[Study, tuple[Placed, ...]], ...]:
    """Every study with today's share beside each load it tried; without the tack, only those that count the rider alone."""
    found = []
    for study in weights.table.studies:
        share = weights.rider_share if study.counts == "rider" else weights.share
        if share is not None:
            found.append((study, placed(share, study, weights.table.errors_shown.value)))
    return tuple(found)


def _studies_in_short(places: Sequence[tuple[Study, tuple[Placed, ...]]], book: Rulebook) -> Iterator[str]:
    """Every study in a few words: those first that tried a load near today's, then the others in one line."""
    clear = []
    for study, here in places:
        near = next((one for one in here if one.where in ("at", "inside")), None)
        near = near or next((one for one in here if one.edge_near), None)
        if near is None:
            clear.append(f"{_who(study, book)}: {_in_short(study, here, min(here, key=_away))}.")
        else:
            yield f"{_who(study, book)}: {_in_short(study, here, near, near.tried.tells)}."
    if clear:
        others = (
            "None of the studies tried a"
            if len(clear) == len(places)
            else f"The other {len(clear)} of {len(places)} tried no"
        )
        yield " ".join([f"{others} load near today's; beside what they tried today's share lies so.", *clear])


def _in_short(study: Study, here: Iterable[Placed], one: Placed, tells: str = "") -> str:
    """Where today's share lies beside one load of a study, what was told of it, and the first load at which trouble is told."""
    trouble = next((other for other in here if other.tried.trouble), None)
    counted = "the rider alone " if study.counts == "rider" else ""
    told = "no trouble told at any" if trouble is None else f"trouble told at {_load_of(trouble)}"
    besides = ", an opinion" if study.opinion else ", no leave for other horses" if study.no_leave else ""
    return f"{counted}{_where(one)}{f' ({tells})' if tells else ''}, {told}{besides}"


def _away(one: Placed) -> float:
    share = nominal(one.share)
    return max(one.tried.from_percent - share, share - one.tried.to_percent, 0.0)


def _who(study: Study, book: Rulebook) -> str:
    source = book.sources[study.basis]
    return short_source(source.authors, source.year, source.title)


def _beside(study: Study, here: Iterable[Placed], weights: Weights, book: Rulebook) -> str:
    """One study beside today's share: who, which work, and each load it tried."""
    places = list(here)
    share = f"today's {nominal(places[0].share):.1f} %"
    tried = "; ".join(f"{_where(one)} ({one.tried.tells})" for one in places)
    more = [study.besides] if study.besides else []
    more += ["No leave for other horses."] if study.no_leave else []
    more += ["An opinion, nothing was measured."] if study.opinion else []
    what = f"{_who(study, book)}: {study.horses}; {study.work}; {COUNTED[study.counts]}."
    return " ".join([what, f"{share.capitalize()} lies {tried}.", *more])


def _where(one: Placed) -> str:
    near = ", as near as can be told" if one.edge_near and one.where != "at" else ""
    word = {"at": "at", "inside": "inside the band of", "below": "below", "above": "above"}[one.where]
    return f"{word} {_load_of(one)}{near}"


def _load_of(one: Placed) -> str:
    low, high = one.tried.from_percent, one.tried.to_percent
    return f"{low:g} %" if low == high else f"{low:g} to {high:g} %"


def _load_unknown(weights: Weights) -> Iterator[str]:
    if weights.tack is None:
        yield "Tack: not weighed, so neither the whole share nor an entry for it is worked out."
    if weights.extra is None:
        yield "Extra: nothing else is written as carried, and nothing is counted."
    if weights.horse is not None and weights.horse.how == "not written":
        yield "How the horse was weighed is not written; an error as of a told weight is taken."


def _picture_says(weights: Weights, places: tuple[tuple[Study, tuple[Placed, ...]], ...]) -> str:
    today = [f"the rider alone at {nominal(weights.rider_share):.1f} %"]
    if weights.share is not None:
        today.insert(0, f"rider, tack and extra at {nominal(weights.share):.1f} %")
    return (
        f"A scale of load in percent of body weight, with {phrases.listed(today)}, each with its error, and a row for each of "
        f"{len(places)} studies with the loads it tried. Full bars are those at which trouble is told, outlined bars those at "
        "which none is."
    )


def _numbers(weights: Weights, places: tuple[tuple[Study, tuple[Placed, ...]], ...], book: Rulebook) -> dict[str, Any]:
    assert weights.horse is not None
    return {
        "horse_kg": amount(weights.horse.kg),
        "horse_weighed": weights.horse.how,
        "rider_kg": amount(weights.rider),
        "tack_kg": amount(weights.tack),
        "extra_kg": amount(weights.extra),
        "carried_kg": amount(weights.carried),
        "share_percent": amount(weights.share),
        "rider_share_percent": amount(weights.rider_share),
        "band": None if weights.share is None else band(weights),
        "bands_also_possible": [] if weights.share is None else list(neighbours(weights)),
        "errors_shown": weights.table.errors_shown.value,
        "studies": [
            {
                "study": study.key, "source": study.basis, "counts": study.counts, "sure": study.sure,
                "opinion": study.opinion, "no_leave": study.no_leave,
                "tried": [
                    {
                        "from_percent": one.tried.from_percent, "to_percent": one.tried.to_percent,
                        "trouble": one.tried.trouble, "tells": one.tried.tells,
                        "today": one.where, "edge_within_error": one.edge_near,
                    }
                    for one in here
                ],
            }
            for study, here in places
        ],
    }  # fmt: skip


# -- shared small words


def amount(value: Any) -> dict[str, float] | None:
    """A number with its standard error for programs; None where there is none."""
    return None if value is None else {"value": round(nominal(value), 4), "standard_error": round(error_of(value), 4)}


def _share(share: Any, weights: Weights) -> str:
    return f"{nominal(share):.1f} % of its weight, give or take {weights.give_or_take(share):.1f}"


def _twice(weights: Weights) -> str:
    return f'"Give or take" is {weights.table.errors_shown.value:g} standard errors, by own settings.'


def _units(units: str, plus_lb: float) -> str:
    if units == "cm_kg":
        return ", in centimetres and kilograms"
    return f"{f' + {plus_lb:g}' if plus_lb else ''}, in inches and pounds"


def _kg(amount: Any) -> str:
    return f"{nominal(amount):.0f} kg ({nominal(amount) / KG_IN_LB:.0f} lb)"


def _each(bases: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(bases))
