"""How two hands agree, for machines.

In: agreements with their traces, the rulebook. Out: a dict ready for json.dumps.
Not here: its schema (agreement_schema.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from reasoner import __version__
from reasoner.differences import Change
from reasoner.questions.changes import Spot
from reasoner.rendering.agreement_words import called
from reasoner.rendering.answer_head import SCHEMA_VERSION
from reasoner.rendering.differences_text import difference_json
from reasoner.rendering.moved_text import written
from reasoner.rendering.numbers import number
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.agreement import Figures
from reasoner.teaching.compared import Compared
from reasoner.teaching.exchange import Differing
from reasoner.teaching.moved import Trace
from reasoner.teaching.paired import Pair, hand_of
from reasoner.teaching.repeatability import Wavering
from reasoner.teaching.statistics import Estimate
from reasoner.teaching.worded import Word
from reasoner.visit.model import Visit


def agreement_json(
    told: Iterable[Compared], alone: Iterable[Visit], sealed: Sequence[str], book: Rulebook, table: AgreementTable,
) -> dict[str, Any]:  # fmt: skip
    """Everything the pages are made from. `sealed` are the files that were found to fit their seals."""
    return {
        "schema_version": SCHEMA_VERSION, "rulebase": book.stamp, "engine": __version__,
        "comparisons": [_comparison(one, book, table) for one in told],
        "without_another": [visit.file for visit in alone], "sealed": list(sealed),
    }  # fmt: skip


def _comparison(found: Compared, book: Rulebook, table: AgreementTable) -> dict[str, Any]:
    agreement = found.agreement

    def figures(told: Figures) -> dict[str, Any]:
        return _figures(told, table, book)

    return {
        "first": agreement.hands[0], "second": agreement.hands[1], "same_hand": agreement.same_hand,
        "icc_form": "ICC(A,1)" if agreement.same_hand else "ICC(2,1)", "seed": agreement.seed,
        "pairs": [_pair(pair, changes) for pair, changes in zip(agreement.pairs, found.apart, strict=True)],
        "whole": figures(agreement.whole), "answered": figures(agreement.answered),
        "sides": {side: figures(told) for side, told in agreement.sides.items()},
        "regions": [{"region": region, **figures(told)} for region, told in agreement.regions.items()],
        "places": [
            {"place": key, "side": side or None, "after_work": after, **figures(told)}
            for (key, side, after), told in agreement.places.items()
        ],
        "words": [_word(one, table, book) for one in found.worded.words],
        "in_one_word": [
            {"of": one.of, "compared": one.compared, "same": one.same, "only_one": one.only_one, "share": _estimate(one.share)}
            for one in found.worded.shared
        ],
        "without_words": [{"of": of, "places": places} for of, places in found.worded.silent],
        "earlier_visits": found.earlier,
        "traces": [_trace(trace) for trace in found.traces],
        "own_error": None if found.wavering is None else _wavering(found.wavering),
    }  # fmt: skip


def _word(one: Word, table: AgreementTable, book: Rulebook) -> dict[str, Any]:
    return {
        "of": one.of, "word": one.word, "both": one.both, "only_first": one.first, "only_second": one.second,
        "neither": one.neither, "share": _estimate(one.share), "kappa": _estimate(one.kappa),
        "kappa_called": list(called(one.kappa, "kappa", table, book)),
    }  # fmt: skip


def _pair(pair: Pair, apart: Sequence[Change]) -> dict[str, Any]:
    return {
        "first": _visit(pair.one), "second": _visit(pair.two),
        "readings": [
            {
                "place": one.place, "side": one.side or None, "after_work": one.after_work, "first": number(one.one),
                "second": number(one.two), "difference": number(one.difference), "line_first": one.line_one,
                "line_second": one.line_two, "both_listed_as_quiet": one.listed,
            }
            for one in pair.readings
        ],
        "without_number": _spots(pair.without_number), "only_first": _spots(pair.only_one),
        "only_second": _spots(pair.only_two), "neither": _spots(pair.neither),
        "differences": [difference_json(change) for change in apart],
    }  # fmt: skip


def _visit(visit: Visit) -> dict[str, Any]:
    return {"file": visit.file, "date": visit.day.isoformat(), "horse": visit.horse_name, "examined_by": hand_of(visit)}


def _spots(some: Iterable[Spot]) -> list[dict[str, Any]]:
    return [{"key": key, "side": side or None} for key, side in some]


def _figures(told: Figures, table: AgreementTable, book: Rulebook) -> dict[str, Any]:
    lim = told.limits
    return {
        "readings": told.readings, "pairs": told.pairs, "same": told.same, "near": told.near,
        "largest": number(told.largest), "too_few": told.too_few,
        "kappa_linear": _estimate(told.linear), "kappa_linear_called": list(called(told.linear, "kappa", table, book)),
        "kappa_square": _estimate(told.square), "kappa_unweighted": _estimate(told.unweighted),
        "icc": _estimate(told.icc), "icc_called": list(called(told.icc, "icc", table, book)),
        "limits": None if lim is None else {
            "mean": _estimate(lim.mean), "deviation": number(lim.deviation), "lower": _estimate(lim.lower),
            "upper": _estimate(lim.upper),
        },
    }  # fmt: skip


def _estimate(found: Estimate | None) -> dict[str, Any] | None:
    if found is None:
        return None
    low, high = (None if end is None else number(end) for end in (found.low, found.high))
    return {"value": number(found.value), "low": low, "high": high, "by": found.by}


def _trace(trace: Trace) -> dict[str, Any]:
    at = {id(reading): n for n, reading in enumerate(trace.readings)}
    return {
        "first": trace.one.visit.file, "second": trace.two.visit.file, "judged": trace.runs,
        "readings": [_differing(reading) for reading in trace.readings],
        "moved": [
            {
                **difference_json(moved.change), "alone": [at[id(r)] for r in moved.alone],
                "back": [at[id(r)] for r in moved.back], "groups": list(moved.groups),
                "together": [at[id(r)] for r in moved.together], "traced_to_its_end": moved.whole,
            }
            for moved in trace.moved
        ],
        "idle": [at[id(r)] for r in trace.idle],
    }  # fmt: skip


def _differing(one: Differing) -> dict[str, Any]:
    return {
        "key": one.spot[0], "side": one.spot[1] or None, "group": one.group, "whole_part": bool(one.part),
        "first": written(one.one) if not one.part else None, "second": written(one.two) if not one.part else None,
        "line_first": one.line_one, "line_second": one.line_two,
        "points": None if one.points is None else number(one.points),
    }  # fmt: skip


def _wavering(told: Wavering) -> dict[str, Any]:
    return {
        "examiner": told.examiner, "readings": told.readings, "left_out": told.left_out, "pairs": told.pairs,
        "shift": number(told.shift), "noise": _estimate(told.noise), "shared": _estimate(told.shared),
    }  # fmt: skip
