"""Several lines of one visit, one after another: what they say together.

In: lines. Out: what was understood of each, and of all of them; what an earlier line said can be corrected by a later one.
Not here: asking, writing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reasoner.lines.model import Finding, Part, Question, Understood
from reasoner.lines.understanding import understood
from reasoner.rulebook.rulebook import Rulebook


def understood_in_turn(lines: Sequence[str], book: Rulebook, looking_at: str | None = None) -> tuple[Understood, ...]:
    """Each line with what the ones before it entered; the place named last stays open. Raises BadInput as `understood` does."""
    out: list[Understood] = []
    entered: tuple[Finding, ...] = ()
    for line in lines:
        told = understood(line, book, looking_at, entered)
        out.append(told)
        kept = (*(f for f in entered if f not in told.withdrawn), *told.findings)
        # What was left out is no finding: "scratch that" behind it must not take back the finding before it.
        entered = () if told.not_examined else kept
        looking_at = next((f.key for f in reversed(told.findings) if f.kind == "place"), looking_at)
    return tuple(out)


def together(every: Sequence[Understood]) -> Understood:
    """All lines as one: what was taken back is gone, what was said twice and differently is asked."""
    findings: dict[tuple[str, str, str | None], Finding] = {}
    questions = [question for told in every for question in told.questions]
    for told in every:
        for gone in told.withdrawn:
            findings.pop((gone.kind, gone.key, gone.side), None)
        for finding in told.findings:
            known = findings.get((finding.kind, finding.key, finding.side))
            if known is not None and known.reading != finding.reading:
                questions.append(_twice(known, finding))
            findings[finding.kind, finding.key, finding.side] = finding
    asked = {(q.entry or q.places[0], q.parts[0].side) for q in questions if q.words.startswith(_TWICE)}
    return Understood(
        line="; ".join(told.line for told in every),
        findings=tuple(f for f in findings.values() if (f.key, f.side) not in asked),
        not_examined=tuple(dict.fromkeys(one for told in every for one in told.not_examined)),
        questions=tuple(dict.fromkeys(questions)), kept=tuple(piece for told in every for piece in told.kept),
        called=tuple(dict(pair for told in every for pair in told.called).items()),
    )  # fmt: skip


_TWICE = "said twice: "


def _twice(one: Finding, other: Finding) -> Question:
    """One spot with two readings: which of them holds."""
    words = f"{_TWICE}{one.words}; {other.words}"
    if one.kind == "entry":
        offers = (one.reading.value, other.reading.value)
        return Question(
            ask="reading", about=(one.key,), offers=offers, words=words, entry=one.key, parts=(Part(side=one.side),)
        )
    numbers = [f"{r.soreness.normalize():f}" for r in (one.reading, other.reading) if r.soreness is not None]
    part = Part(side=one.side, reading=replace(other.reading, soreness=None))
    return Question(
        ask="reading", about=(one.key,), offers=tuple(numbers) or ("0",), words=words, places=(one.key,), parts=(part,)
    )
