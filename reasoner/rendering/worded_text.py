"""Agreement on words, as lines: how the horse answered, what was felt, what was seen.

In: a `Worded`, the rulebook. Out: lines of the page of `reasoner agree`, with their heading.
Not here: counting (teaching.worded), which single word moved a conclusion (moved_text).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.rendering.agreement_words import called, estimate
from reasoner.rendering.phrases import counted, plain
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.worded import Word, Worded

LEFT_OUT = (
    "Not compared as words: places that both only listed as quiet, for which no words were written; measurements, tracings, "
    "days, free text and a veterinarian's word, which count in what they make of the conclusions."
)


def worded_lines(worded: Worded, names: tuple[str, str], book: Rulebook, table: AgreementTable) -> Iterator[Line]:
    """The section."""
    yield from heading("the same words")
    if not worded.words and not worded.shared:
        yield Line(
            "There is no word to compare: where both wrote of such things, neither wrote more than that there was none."
        )
    for kind in dict.fromkeys(one.of for one in worded.words):
        yield Line(f"{kind}:", "strong")
        for one in (each for each in worded.words if each.of == kind):
            yield from _word(one, names, book, table)
    for shared in worded.shared:
        assert shared.share is not None
        yield Line(
            f"{shared.of}: the same word {shared.same} of {shared.compared} times, a share of {estimate(shared.share)}",
            "strong",
        )
        if shared.only_one:
            yield Line(f"written by one hand alone: {counted(shared.only_one, 'thing')}", "open", 2)
    for of, places in worded.silent:
        if places:
            yield Line(
                f"{of}: at {counted(places, 'place')} one hand wrote it and the other did not; left out.", "open"
            )
    yield Line(LEFT_OUT, "faint")


def _word(one: Word, names: tuple[str, str], book: Rulebook, table: AgreementTable) -> Iterator[Line]:
    either = one.both + one.first + one.second
    alone = ", ".join(f"{name} alone at {n}" for name, n in zip(names, (one.first, one.second), strict=True) if n)
    yield Line(
        f"{plain(one.word)}: of {counted(either, 'place')} where either wrote it, both did at {one.both}"
        f"{f' ({alone})' if alone else ''}; the same at {one.both + one.neither} of {one.places}, {estimate(one.share)}",
        indent=2, mark="-",
    )  # fmt: skip
    if one.places < table.enough.statistics.readings:
        yield Line("too few places for a kappa", "faint", 4)
        return
    if one.kappa is None:
        yield Line("kappa: not defined here, for both wrote it everywhere", "faint", 4)
        return
    said = "; ".join(called(one.kappa, "kappa", table, book))
    yield Line(f"kappa without weights {estimate(one.kappa)}: {said}", indent=4)
