"""The page of `reasoner why-not`: what kept each rule silent, and what it would have come to.

In: a `WhyNot` and the answer it came from. Out: lines for the terminal.
Not here: finding the least that is missing.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.questions.why_not import DISCOUNTED, NOT_EXAMINED, TOO_WEAK, Missing, Silenced, Wanted, WhyNot
from reasoner.rendering import phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import at_side, counted, plain, sentence
from reasoner.rendering.text_page import GAP, Line, heading

MOST = 8
UNDRAWN = ("none", "against")
_OPERATORS = ("at least", "more than", "at most", "less than")
HOW_LISTED = "Under each rule stands the least that would make it speak; with any less than that it stays silent."


def why_not_lines(told: WhyNot, answer: Answered, *, full: bool = False) -> Iterator[Line]:
    """The page."""
    concluded = answer.explanation.concluded[told.key]
    yield Line(f"Why not: {concluded.words}", "title", tail=answer.visit.file)
    yield Line(f"It stands at: {shared_text.how_firm(concluded)}.", tail=concluded.file)
    if told.speaking:
        yield Line(f"{sentence(counted(told.speaking, 'rule speaks', 'rules speak') + ' for it already')}", "faint")
    for concern in shared_text.each_once(answer.referral.concerns):
        yield Line(f"{phrases.called(concern.call, concern.when)}: {concern.words}", "alarm")
    if told.silenced:
        yield from heading("rules that could have spoken for it")
    for silenced in told.silenced if full else told.silenced[:MOST]:
        yield from _silenced(silenced, answer, drawn=concluded.band not in UNDRAWN)
    if not told.silenced:
        yield GAP
        yield Line("Every rule that can speak for it does so.")
    elif len(told.silenced) > MOST and not full:
        yield Line(
            f"{sentence(counted(len(told.silenced) - MOST, 'more rule', 'more rules'))} --full shows all.", "faint"
        )
    yield from heading("the strongest evidence against it")
    if told.against is None:
        yield Line("Nothing that was written down speaks against it.")
    else:
        item, words = told.against, answer.ready.book.vocabulary
        seen = wording.findings(item.findings, words)
        yield Line(
            f"{phrases.signed(item.contribution)}  {item.name}: {seen}", "against", tail=f"{item.file}:{item.line}"
        )
        yield Line(item.because, "faint", 2)
    yield from heading("what this rests on")
    yield Line(HOW_LISTED, "faint")
    yield Line(f"Rulebook {answer.ready.book.stamp}. {phrases.NOT_A_PROBABILITY}", "faint")
    yield from (Line(phrases.sentence(line), "faint", mark="-") for line in shared_text.always(answer.ready.book))


def _silenced(silenced: Silenced, answer: Answered, *, drawn: bool) -> Iterator[Line]:
    yield Line(silenced.name, "strong", 0, "-", f"{silenced.file}:{silenced.line}")
    asked = set()
    for missing in silenced.missing:
        yield Line(_missing(missing, answer), indent=4, mark="o", tail=_line(missing))
        for how in missing.how[:1]:
            words = how.question or phrases.first_sentence(how.how)
            if words and words not in asked:  # the other side of the same place is looked at alike
                asked.add(words)
                yield Line(words, "faint", 6)
    says = "it would then be drawn" if silenced.band not in UNDRAWN else "it would still not be drawn"
    if drawn:
        says = "it is drawn already, and would then stand at"
    yield Line(f"{says}: {phrases.pointers(silenced.band)}, {phrases.certainty(silenced.then)}", "faint", 4)
    yield Line(f"rests on {wording.basis(silenced.basis, answer.ready.book)}", "faint", 4)


def _missing(missing: Missing, answer: Answered) -> str:
    wanted = wanted_words(missing.wanted)
    if missing.wanted.kind == "conclusion":
        name = f'"{wording.conclusion_words(answer.explanation, missing.where, missing.side).rstrip(".")}"'
        return f"{name} {wanted}: it stands at {phrases.certainty(missing.support)}"
    name = at_side(wording.full_name(missing.where, missing.name, answer.ready.book.vocabulary), missing.side)
    if missing.state == NOT_EXAMINED:
        # A place may have been graded and nothing written of what was felt there: then it was examined.
        touched = any(
            t.place == missing.where and (t.side or "") == missing.side and t.not_examined is None
            for t in answer.visit.touches
        )
        return f"{name} {wanted}: {'of this nothing was written down' if touched else 'not examined'}"
    value = missing.found[0].value if missing.found else ""
    if missing.state == DISCOUNTED:
        by = wording.circumstances(missing.lessened_by, answer.ready.book)
        return f"{name}: {wanted} is asked for, and it is {value}, which counts for less: {by}"
    if missing.state == TOO_WEAK:
        short = f"it holds to {missing.support:.2f}, and more than {missing.needs:g} is needed"
        return f"{name}: {wanted} is asked for, and it is {value}, too weak ({short})"
    short = f", short by {missing.short:g}" if missing.short else ""
    return f"{name}: {wanted} is asked for, and it is {value}{short}"


def wanted_words(wanted: Wanted) -> str:
    """What a leaf asks for, in words.

    >>> wanted_words(Wanted("limit", 5.0)), wanted_words(Wanted("words", words=("slight", "marked"), turned=True))
    ('at least 5', 'not slight or marked')
    """
    if wanted.kind == "conclusion":
        return "not told" if wanted.turned else f"above {phrases.certainty(wanted.at)}"
    if wanted.kind == "words":
        words = phrases.listed(map(plain, wanted.words), "or")
        return f"not {words}" if wanted.turned else words
    if wanted.kind == "limit" and wanted.quality in ("guarded", "unsettled"):
        word = "that would not allow touch" if wanted.quality == "guarded" else "felt before it had settled"
        return f"not {word}" if wanted.turned else word
    if wanted.kind == "limit":
        words = f"{_OPERATORS[wanted.operator]} {wanted.at:g}"
        days = " days ago" if wanted.quality.startswith("days") else ""
        return f"not {words}{days}" if wanted.turned else f"{words}{days}"
    side = " than on the other side" if wanted.kind == "more" else ""
    return f"{'at most' if wanted.turned else 'above'} {wanted.at:g}{' more' if side else ''}{side}"


def _line(missing: Missing) -> str:
    return f"{missing.found[0].file}:{missing.found[0].line}" if missing.found else ""
