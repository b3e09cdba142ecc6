"""The page of `reasoner suppose`: before and after.

In: a `Supposed` and the lines that were supposed. Out: lines for the terminal.
Not here: judging, comparing (differences).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.inference.record import Applied
from reasoner.questions.suppose import Supposed
from reasoner.rendering import phrases, shared_text
from reasoner.rendering.differences_text import differing_lines
from reasoner.rendering.phrases import at_side, plain
from reasoner.rendering.text_page import GAP, Line, heading

ONLY_SUPPOSED = "This is only supposed: what was written down stands, and a plan is made from what was found."


def suppose_lines(told: Supposed, lines: Sequence[str]) -> Iterator[Line]:
    """The page."""
    yield Line("Suppose: " + "; ".join(lines), "title", tail=told.before.visit.file)
    known = {(c.key, c.side, c.place) for c in told.before.referral.concerns}
    for concern in shared_text.each_once(told.after.referral.concerns):
        when = "still" if (concern.key, concern.side, concern.place) in known else "then"
        yield Line(f"{when} {phrases.called(concern.call, concern.when)}: {concern.words}", "alarm")
    yield GAP
    if told.differences:
        yield from differing_lines(told.differences)
    else:
        yield Line("Nothing would change: no conclusion, no reason to call, no step.", "strong")
    for rules, title in (
        (told.started, "rules that would start to speak"),
        (told.stopped, "rules that would fall silent"),
    ):
        if rules:
            yield from heading(title)
            yield from (_rule(rule, told) for rule in rules)
    yield from heading("what this rests on")
    yield Line(ONLY_SUPPOSED)
    yield Line(f"Rulebook {told.before.ready.book.stamp}. {phrases.NOT_A_PROBABILITY}", "faint")
    yield from (Line(phrases.sentence(line), "faint", mark="-") for line in shared_text.always(told.before.ready.book))


def _rule(rule: Applied, told: Supposed) -> Line:
    page = told.before.ready.book.conclusions[rule.page]
    evidence = page.evidence[rule.number]
    about = at_side(plain(rule.page), rule.side)
    way = "for" if rule.strength > 0 else "against"
    return Line(
        f"{evidence.rule} ({way} {about})", "for" if way == "for" else "against", 0, "-", f"{page.file}:{evidence.line}"
    )
