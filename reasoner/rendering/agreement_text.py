"""The page of `reasoner agree`: how well two hands agree, where they differ, and what that makes of the conclusions.

In: an `Agreement`, traces of its pairs, the rulebook. Out: lines for the terminal and the printed page.
Not here: working anything out, the trace's own lines (moved_text).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from reasoner.differences import Change
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.agreement_words import called, estimate, hands, number, place, spots
from reasoner.rendering.differences_text import differing_lines
from reasoner.rendering.firmness_words import calls_first
from reasoner.rendering.moved_text import SAME, moved_lines
from reasoner.rendering.phrases import counted, sentence
from reasoner.rendering.text_page import Line, heading
from reasoner.rendering.worded_text import worded_lines
from reasoner.rulebook.measures.agreement import AgreementTable, Basis
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.agreement import Agreement, Figures
from reasoner.teaching.compared import Compared
from reasoner.teaching.paired import Both, Pair, Turned, turned

if TYPE_CHECKING:
    from reasoner.consult import Answer

MOST_DIFFERING = 24  # places named where they differ; the rest are counted
NOT_WHO_IS_RIGHT = (
    "Neither hand is the right one: two that agree can be wrong together, and a difference says that the place is worth feeling "
    "again together, not who erred."
)
ONE_HORSE = (
    "All of this is one horse on one day, whose places hang together: the interval speaks of these places and is too narrow for "
    "any other horse."
)
NONE_GRADED = "There is no place that both graded, and nothing to compare."
FILES_ALONE = "Each file was judged by itself: what earlier visits to the horse say was not heard."
WITHOUT_THE_OTHER = "neither with the other visit of that day."
PRESSED_TWICE = (
    "The second hand meets a horse that has been pressed already, and may find it sorer or more used to it; take turns at being "
    "first."
)


def agreement_lines(found: Compared, book: Rulebook, table: AgreementTable, own: Iterable[Line] = ()) -> Iterator[Line]:
    """The page. `own` are lines of the hand's own error, where one hand graded twice."""
    agreement, traces = found.agreement, found.traces
    words, names = book.vocabulary, hands(agreement)
    yield from _opening(agreement, names)
    yield from _calls(found.answers if traces or len(found.answers) == 1 else ())
    yield from _figures(agreement, names, book, table)
    yield from _groups(agreement, words)
    yield from _where(agreement, names, words, table)
    yield from worded_lines(found.worded, names, book, table)
    yield from _left_out(agreement, names, words)
    if len(agreement.pairs) > 1:
        yield from _apart(found.apart, bool(traces))
    elif not traces:
        yield from heading("what that makes of the conclusions")
        yield Line(f"Before is {names[0]}, after is {names[1]}.", "faint")
        yield from differing_lines(found.apart[0]) if found.apart[0] else (Line(SAME, "strong"),)
    for trace in traces:
        if len(agreement.pairs) > 1:
            yield from heading(f"{_horse(trace.one.visit.horse_name)}, {phrases.day(trace.one.visit.day)}")
        yield from moved_lines(trace, names, words)
    yield from own
    yield from _rests(found, book, table)


def _opening(agreement: Agreement, names: tuple[str, str]) -> Iterator[Line]:
    pair = agreement.pairs[0]
    one = pair.one
    if len(agreement.pairs) == 1:
        yield Line(f"{_horse(one.horse_name)}, {phrases.day(one.day)}: " +
                   ("one hand twice over" if agreement.same_hand else "two hands"), "title")  # fmt: skip
        yield Line(f"first: {names[0]}", indent=2, tail=pair.one.file)
        yield Line(f"second: {names[1]}", indent=2, tail=pair.two.file)
        return
    horses = len({each.one.horse_name for each in agreement.pairs})
    yield Line(f"{counted(len(agreement.pairs), 'pair')} of visits to {counted(horses, 'horse')}: " +
               ("one hand twice over" if agreement.same_hand else "two hands"), "title")  # fmt: skip
    yield Line(f"first: {names[0]}; second: {names[1]}", indent=2)


def _horse(name: str) -> str:
    return name or "the horse"


def _calls(answers: Sequence[tuple[Answer, Answer]]) -> Iterator[Line]:
    """What either file gives as a reason to call stands first, whoever wrote it."""
    for both in answers:
        more = max(both, key=lambda a: list(a.ready.book.scales.calls).index(a.referral.level)
                   if a.referral.level in a.ready.book.scales.calls else -1)  # fmt: skip
        yield from calls_first(more)


def _figures(agreement: Agreement, names: tuple[str, str], book: Rulebook, table: AgreementTable) -> Iterator[Line]:
    yield from heading("how well they agree")
    yield from _one(agreement.whole, " graded by both", agreement, names, book, table)
    left_out = agreement.whole.readings - agreement.answered.readings
    if left_out:
        yield Line(f"Without the {counted(left_out, 'place')} that both only listed as quiet:", "strong")
        yield from _one(agreement.answered, "", agreement, names, book, table)
    for side in ("left", "right"):
        found = agreement.sides[side].limits
        if found is not None:
            yield Line(f"On the horse's {side} the second hand lies {_by(found.mean.value)} in the mean.", "faint")


def _one(
    told: Figures, what: str, agreement: Agreement, names: tuple[str, str], book: Rulebook, table: AgreementTable
) -> Iterator[Line]:
    near = table.near.points
    yield Line(
        f"{counted(told.readings, 'place')}{what}: the same number at {told.same}, "
        f"within {near:g} point{'s' if near != 1 else ''} at {told.near}, furthest apart by {told.largest:g}.", indent=2,
    )  # fmt: skip
    if told.too_few:
        least = table.enough.statistics.readings
        yield Line(f"Too few for a number: fewer than {least} places were graded by both; only the readings are told.",
                   "open", 2)  # fmt: skip
        return
    for name, found, of in (
        ("weighted kappa (linear)", told.linear, "kappa"), (_form(agreement), told.icc, "icc"),
    ):  # fmt: skip
        yield Line(f"{name}: {estimate(found)}", "strong", 2)
        said = list(called(found, of, table, book))  # type: ignore[arg-type]
        if said:
            yield Line("; ".join(said), indent=4, mark="called", hang=2)
    yield Line(f"kappa with square weights {estimate(told.square)}, without weights {estimate(told.unweighted)}; "
               "neither is given a word", "faint", 2)  # fmt: skip
    if told.limits is not None:
        lim = told.limits
        share = f"{100 * table.interval.share:g} of 100"
        yield Line(
            f"{names[1]} lies {_by(lim.mean.value)} in the mean ({number(lim.mean.low or 0)} to {number(lim.mean.high or 0)}); "
            f"limits of agreement {estimate(lim.lower)} and {estimate(lim.upper)} points: about {share} differences lie between.",
            indent=2,
        )  # fmt: skip
    if told.readings < table.enough.firm.readings:
        firm = table.enough.firm
        yield Line(
            f"Few: a published rule of thumb asks for {firm.readings} different subjects and {firm.graders} graders; "
            "go by the interval and not by the number.", "open", 2,
        )  # fmt: skip


def _form(agreement: Agreement) -> str:
    return "ICC(A,1)" if agreement.same_hand else "ICC(2,1), absolute agreement"


def _by(value: float) -> str:
    if number(value) == "0.00":
        return "level"
    return f"{number(abs(value))} points {'higher' if value > 0 else 'lower'}"


def _groups(agreement: Agreement, words: Vocabulary) -> Iterator[Line]:
    yield from heading("by region")
    for region, told in agreement.regions.items():
        yield Line(phrases.plain(region) or "other", mark="-", tail=_short(told))
    several = {site: told for site, told in agreement.places.items() if not told.too_few}
    if several:
        yield from heading("by place")
        for (key, side, after), told in several.items():
            yield Line(place(key, side, words, after_work=after), mark="-", tail=_short(told))
    elif len(agreement.pairs) == 1:
        yield Line("By place there is one reading a hand, so no statistic: the differences stand below. Grade several horses for "
                   "figures by place.", "faint")  # fmt: skip
    else:
        most = max((told.readings for told in agreement.places.values()), default=0)
        yield Line(f"By place there are at most {most} readings a hand, too few for a statistic.", "faint")


def _short(told: Figures) -> str:
    said = f"same at {told.same} of {told.readings}, furthest {told.largest:g}"
    if told.too_few:
        return f"{said}; too few for more"
    numbers = [
        f"{name} {number(found.value)}"
        for name, found in (("kappa", told.linear), ("ICC", told.icc))
        if found is not None
    ]
    return "; ".join([said, *numbers]) if numbers else f"{said}; no place differs from another"


def _where(agreement: Agreement, names: tuple[str, str], words: Vocabulary, table: AgreementTable) -> Iterator[Line]:
    yield from heading("where they differ, and by how much")
    found = [(pair, one) for pair in agreement.pairs for one in pair.readings if one.difference]
    if not found:
        graded = any(pair.readings for pair in agreement.pairs)
        yield Line("Nowhere: every place graded by both has the same number." if graded else NONE_GRADED)
        return
    yield Line(f"Written: {names[0]}, then {names[1]}.", "faint")
    found.sort(key=lambda each: -abs(each[1].difference))
    for pair, one in found[:MOST_DIFFERING]:
        yield _differs(pair, one, agreement, words)
    if len(found) > MOST_DIFFERING:
        yield Line(f"and {counted(len(found) - MOST_DIFFERING, 'place')} nearer together", "faint")
    for pair in agreement.pairs:
        if (sides := turned(pair, table.sides)) is not None:
            yield _turned(sides, pair, len(agreement.pairs) > 1)


def _turned(sides: Turned, pair: Pair, many: bool) -> Line:
    """Whether somebody wrote left for right is for the two to say; a number cannot."""
    which = f"{_horse(pair.one.horse_name)}, {phrases.day(pair.one.day)}: " if many else ""
    said = f"with left and right of one file exchanged these readings would lie {sides.across:g} points apart, all added up, "
    said += f"and not {sides.apart:g}. Look whether one of the two wrote left for right: left is always the horse's own left."
    return Line(which + (said if many else sentence(said)), "strong")


def _differs(pair: Pair, one: Both, agreement: Agreement, words: Vocabulary) -> Line:
    where = place(one.place, one.side, words, after_work=one.after_work)
    if len(agreement.pairs) > 1:
        where = f"{_horse(pair.one.horse_name)}, {phrases.day(pair.one.day)}, {where}"
    lines = f"lines {one.line_one} and {one.line_two}" if one.line_one and one.line_two else ""
    return Line(f"{where}: {one.one:g}, then {one.two:g} ({one.difference:+g})", mark="-", tail=lines)


def _left_out(agreement: Agreement, names: tuple[str, str], words: Vocabulary) -> Iterator[Line]:
    if len(agreement.pairs) > 1:
        yield from heading("not compared")
        for name, count in (
            (f"examined by {names[0]} alone", sum(len(p.only_one) for p in agreement.pairs)),
            (f"examined by {names[1]} alone", sum(len(p.only_two) for p in agreement.pairs)),
            ("examined by both without two numbers", sum(len(p.without_number) for p in agreement.pairs)),
            ("examined by neither", sum(len(p.neither) for p in agreement.pairs)),
        ):  # fmt: skip
            yield Line(f"{name}: {counted(count, 'place')} over all visits", mark="-")
        return
    (pair,) = agreement.pairs
    yield from heading("not compared")
    told: Mapping[str, tuple[tuple[str, str], ...]] = {
        f"examined by {names[0]} alone": pair.only_one, f"examined by {names[1]} alone": pair.only_two,
        "examined by both without two numbers": pair.without_number, "examined by neither": pair.neither,
    }  # fmt: skip
    for name, some in told.items():
        yield Line(f"{name}: {spots(some, words) or 'nothing'}", "open", mark="-")


def _apart(apart: Sequence[Sequence[Change]], followed: bool) -> Iterator[Line]:
    """Over all pairs: how often both files lead to the same."""
    yield from heading("what that makes of the conclusions")
    for kind, what in (("level", "how pressing the call is"), ("riding", "may it be ridden"),
                       ("starting_points", "where the account starts"), ("step", "the steps of the plan")):  # fmt: skip
        same = sum(all(change.kind != kind for change in changes) for changes in apart)
        yield Line(f"{what}: the same in {same} of {len(apart)} pairs", mark="-")
    if not followed and any(apart):
        yield Line("--moved follows every pair to the readings behind it.", "faint")


def _rests(found: Compared, book: Rulebook, table: AgreementTable) -> Iterator[Line]:
    agreement, forms = found.agreement, table.forms
    form = forms.icc_one if agreement.same_hand else forms.icc_two
    yield from heading("what this rests on")
    for said in (forms.kappa, form, forms.words, forms.share, table.differing, table.published_hands):
        yield Line(said.says, mark="-", tail=wording.basis(_flat(said.basis), book))
    by_visits = agreement.whole.linear is not None and agreement.whole.linear.by != "formula"
    share = f"{100 * table.interval.share:g} of 100"
    if by_visits:
        yield Line(
            f"Intervals of {share} by drawing whole visits again {table.interval.draws:,} times (seed {agreement.seed})."
        )
    else:
        yield Line(f"Intervals of {share} by the formulas of the sources above.")
        yield Line(ONE_HORSE if len(agreement.pairs) == 1 else
                   f"From {table.enough.resampling.pairs} pairs of visits on, whole visits are drawn again for the intervals; "
                   "with fewer they are too narrow, because the places of one horse hang together.")  # fmt: skip
    yield Line(_heard(found.earlier))
    yield Line(f"The least number of places ({table.enough.statistics.readings}) is an own setting of these rules.")
    yield Line(NOT_WHO_IS_RIGHT)
    yield Line(PRESSED_TWICE)
    yield from (Line(sentence(line), "faint", mark="-") for line in shared_text.always(book))
    yield Line(f"Rulebook {book.stamp}. {phrases.VET_SENTENCE}", "faint")


def _heard(earlier: int | None) -> str:
    if earlier is None:
        return FILES_ALONE
    return f"Judged as the records judge: with what {counted(earlier, 'earlier visit')} say, {WITHOUT_THE_OTHER}"


def _flat(basis: Basis) -> tuple[str, ...]:
    return (basis,) if isinstance(basis, str) else basis
