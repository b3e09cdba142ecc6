"""A spoken or typed line in, what was understood of it out.

In: a line, a rulebook, the place that was open, what the visit's last lines entered. Out: `Understood`.
Not here: answering its questions, writing it into a visit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reasoner.lines.breaths import with_breaths
from reasoner.lines.called import called_in
from reasoner.lines.entries import with_entries
from reasoner.lines.grammar import BEHIND, statements
from reasoner.lines.heard import Heard
from reasoner.lines.inside import with_sides_before_names
from reasoner.lines.keeping import Clauses
from reasoner.lines.lexicon import Lexicon, lexicon_of
from reasoner.lines.model import Finding, Part, Question, Understood
from reasoner.lines.outcome import outcome_of
from reasoner.lines.pieces import Piece, pieces_of
from reasoner.lines.said import Said, Spot
from reasoner.lines.sides import without_doubtful_sides
from reasoner.lines.statements import heard_in
from reasoner.lines.tokens import tokens_of
from reasoner.lines.withheld import without_withheld
from reasoner.lines.words import Word, words_of
from reasoner.problems import BadInput, Problem
from reasoner.rulebook.rulebook import Rulebook


def understood(
    line: str, book: Rulebook, looking_at: str | None = None, earlier: tuple[Finding, ...] = ()
) -> Understood:
    """What the line says. `looking_at` is the key of the place that was open; `earlier` what this visit's last lines entered, the
    last of them last, so that "no, left" can be a line of its own.

    Raises BadInput (LN01 without the words of speech, LN06 for what is no line, CL01 for a place that is none).
    """
    lexicon = lexicon_of(book.vocabulary)
    if looking_at is not None and looking_at not in book.vocabulary.places:
        raise BadInput([Problem("the line", 0, "LN07", f'"{looking_at}" is not a place of the vocabulary.')])
    words = words_of(line, lexicon.speech.letters, lexicon.loin)
    if not words:
        return Understood(line=line)
    words = with_sides_before_names(words, lexicon)
    pieces = without_withheld(with_entries(pieces_of(words, lexicon), words, lexicon), words, lexicon)
    pieces = without_doubtful_sides(pieces, words, lexicon)
    tokens = with_breaths(tokens_of(pieces, words, lexicon), lexicon)
    one, other = (_read(line, words, pieces, tokens, lexicon, looking_at, earlier, behind) for behind in BEHIND)
    whole = one if one == other else _differing(one, other)
    return replace(whole, called=called_in(pieces, words, book.vocabulary))


def _read(
    line: str, words: Sequence[Word], pieces: Sequence[Piece], tokens: Sequence[Said], lexicon: Lexicon,
    looking_at: str | None, earlier: tuple[Finding, ...], behind: int,
) -> Understood:  # fmt: skip
    spot = Spot((looking_at,), "", looking_at) if looking_at else None
    heard = heard_in(statements(tokens, behind), Heard(lexicon, spot, earlier, words=words))
    return outcome_of(line, words, heard, Clauses(line, words, pieces, tokens))


def _differing(one: Understood, other: Understood) -> Understood:
    """Two ways to read a line: what both say stands; where they differ about a place, its side is asked."""
    same = [f for f in one.findings if _in(f, other.findings)]
    loose = [f for f in (*one.findings, *other.findings) if f not in same and not _in(f, same)]
    asked: dict[tuple[str, str], Question] = {(q.ask, "+".join(q.about)): q for q in (*one.questions, *other.questions)}
    for finding in loose:
        known = asked.get(("side", finding.key))
        part = Part(reading=finding.reading)
        parts = known.parts if known else ()
        if any(p.reading == finding.reading for p in parts):
            continue
        offers = ("left", "right", "both")
        asked["side", finding.key] = Question(
            ask="side", about=(finding.key,), offers=offers, words=finding.words,
            entry=finding.key if finding.kind == "entry" else "",
            places=(finding.key,) if finding.kind == "place" else (), parts=(*parts, part),
        )  # fmt: skip
    keys = {q.about[0] for q in asked.values() if q.ask == "side"}
    findings = tuple(f for f in same if f.key not in keys)
    return Understood(
        line=one.line, findings=findings, not_examined=one.not_examined, questions=tuple(asked.values()), kept=one.kept,
        withdrawn=one.withdrawn,
    )  # fmt: skip


def _in(finding: Finding, others: Sequence[Finding]) -> bool:
    return any((f.key, f.side, f.reading) == (finding.key, finding.side, finding.reading) for f in others)
