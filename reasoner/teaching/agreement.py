"""How well two hands agree: over all places, without those both only listed as quiet, by region, by place.

In: pairs of visits by the same two hands, the table of agreement. Out: an `Agreement`.
Not here: the statistics themselves (statistics), what the differences move (moved), words and bands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from reasoner.frozen import frozen
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching import resampling
from reasoner.teaching.paired import Both, Pair
from reasoner.teaching.statistics import Estimate, Limits, icc, kappa, limits, table_of

SEED = 1


@frozen(kw_only=True)
class Figures:
    """Agreement over some places. `same` and `near` count readings; `largest` is the largest difference, in points.

    Without statistics (None) where there are too few readings, or where the statistic is not defined for them: `too_few` says
    which. `unweighted`, `linear` and `square` are kappas.
    """

    readings: int
    pairs: int
    same: int
    near: int
    largest: float
    too_few: bool
    unweighted: Estimate | None = None
    linear: Estimate | None = None
    square: Estimate | None = None
    icc: Estimate | None = None
    limits: Limits | None = None


@frozen(kw_only=True)
class Agreement:
    """Two hands on the same horses. `whole` counts every place both graded, `answered` those that are not a 0 both only listed as
    quiet; `sides` those of the horse's left and right; `regions` and `places` (place, side, after work) are in walking order."""

    hands: tuple[str, str]
    same_hand: bool
    pairs: tuple[Pair, ...]
    whole: Figures
    answered: Figures
    sides: Mapping[str, Figures]
    regions: Mapping[str, Figures]
    places: Mapping[tuple[str, str, bool], Figures]
    seed: int


def agreement_of(pairs: Sequence[Pair], book: Rulebook, table: AgreementTable, seed: int = SEED) -> Agreement:
    """Compare two hands over one pair of visits or many.

    INVARIANT: the order of `pairs` and of places bears on no figure by formula; exchanging the hands turns the signs of the
    differences and nothing else.
    """
    ordered = sorted(pairs, key=lambda pair: (pair.one.day, pair.one.horse_name, pair.one.file, pair.two.file))
    every = [(number, one) for number, pair in enumerate(ordered) for one in pair.readings]

    def over(chosen: Callable[[Both], bool]) -> Figures:
        return figures_of([(n, one) for n, one in every if chosen(one)], book.scales.step, table, seed)

    places = book.vocabulary.places
    regions = {key: places[key].region if key in places else "" for key in {one.place for _, one in every}}
    walk = {key: (place.walk, key) for key, place in places.items()}
    sites = sorted({(o.after_work, walk.get(o.place, (0, o.place)), o.place, o.side) for _, o in every})
    first: dict[str, int] = {}
    for number, site in enumerate(sites):
        first.setdefault(regions[site[2]], number)
    return Agreement(
        hands=pairs[0].hands, same_hand=pairs[0].same_hand, pairs=tuple(ordered),
        whole=over(lambda _: True), answered=over(lambda one: not one.listed),
        sides={side: over(lambda one, s=side: one.side == s) for side in ("left", "right")},  # type: ignore[misc]
        regions={r: over(lambda one, r=r: regions[one.place] == r) for r in sorted(first, key=first.__getitem__)},  # type: ignore[misc]
        places={
            (place, side, after): over(lambda o, p=place, s=side, a=after: (o.place, o.side, o.after_work) == (p, s, a))  # type: ignore[misc]
            for after, _, place, side in sites
        },
        seed=seed,
    )  # fmt: skip


def figures_of(found: Iterable[tuple[int, Both]], step: float, table: AgreementTable, seed: int) -> Figures:
    """The figures over some readings, each with the number of its visit."""
    some = list(found)
    ones, twos = [one.one for _, one in some], [one.two for _, one in some]
    apart = [two - one for one, two in zip(ones, twos, strict=True)]
    visits = {number: n for n, number in enumerate(sorted({number for number, _ in some}))}
    told = Figures(
        readings=len(some), pairs=len(visits), same=sum(d == 0 for d in apart),
        near=sum(abs(d) <= table.near.points for d in apart), largest=max(map(abs, apart), default=0.0),
        too_few=len(some) < table.enough.statistics.readings,
    )  # fmt: skip
    if told.too_few:
        return told
    counts, share = table_of(ones, twos, step), table.interval.share
    told = replace(
        told, unweighted=kappa(counts, "none", share), linear=kappa(counts, "linear", share),
        square=kappa(counts, "square", share), icc=icc(ones, twos, share),
        limits=limits(apart, table.limits.times, share),
    )  # fmt: skip
    if len(visits) < table.enough.resampling.pairs:
        return told
    return _drawn_again(told, ones, twos, [visits[number] for number, _ in some], step, table, seed)


def _drawn_again(
    told: Figures, ones: Sequence[float], twos: Sequence[float], of: Sequence[int], step: float, table: AgreementTable,
    seed: int,
) -> Figures:  # fmt: skip
    counts = resampling.drawn(told.pairs, table.interval.draws, seed)
    draws = resampling.statistics_of(counts, ones, twos, of, step, table.limits.times)

    def again(estimate: Estimate | None, name: resampling.Name) -> Estimate | None:
        if estimate is None:
            return None
        found = resampling.ends(draws[name], table.interval.share)
        low, high = found if found is not None else (None, None)
        return Estimate(value=estimate.value, low=low, high=high, by="visits drawn again")

    def sure(estimate: Estimate, name: resampling.Name) -> Estimate:
        return again(estimate, name) or estimate

    lim = told.limits
    return replace(
        told, unweighted=again(told.unweighted, "none"), linear=again(told.linear, "linear"),
        square=again(told.square, "square"), icc=again(told.icc, "icc"),
        limits=lim and Limits(mean=sure(lim.mean, "mean"), deviation=lim.deviation, lower=sure(lim.lower, "lower"),
                              upper=sure(lim.upper, "upper")),
    )  # fmt: skip
