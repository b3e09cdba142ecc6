"""Why is it sore here: every supported conclusion that accounts for one place and side, directly or through a chain.

In: an `Explanation` and a place. Out: `WhyHere`.
Not here: sentences; anything not already in the explanation.
"""

from __future__ import annotations

from reasoner.explanation.leaves import merged
from reasoner.explanation.model import Concluded, Explanation, Finding, Key, Unchecked
from reasoner.facts.table import Facts
from reasoner.frozen import frozen
from reasoner.inference.record import Record
from reasoner.inference.slots import slot
from reasoner.rulebook.vocabulary import Place
from reasoner.visit.model import Visit


@frozen
class Reason:
    """One conclusion that accounts for the place; `path` runs from it down to the one that does so directly."""

    concluded: Concluded
    path: tuple[Key, ...]


@frozen
class WhyHere:
    """The answer for one place and side. `finding` is None where the place was not examined or said nothing."""

    where: str
    name: str
    side: str
    finding: Finding | None
    not_examined: str
    reasons: tuple[Reason, ...]
    others: tuple[Concluded, ...]
    not_checked: tuple[Unchecked, ...]
    notable: bool


def why_here(
    explanation: Explanation, where: str, name: str, side: str, finding: Finding | None, not_examined: str,
    could: frozenset[Key],
) -> WhyHere:  # fmt: skip
    """The reasons for one place and side.

    `could` holds the conclusions whose pages account for this place and side; those of them that are not supported but
    open stand in `others`, with what was not checked about them.
    """
    supported = {(c.key, c.side): c for c in explanation.supported()}
    direct = {key for key, c in supported.items() if any((f.where, f.side) == (where, side) for f in c.accounts_for)}
    reasons = []
    for key, concluded in supported.items():
        path = _path(key, supported, direct)
        if path:
            reasons.append(Reason(concluded, path))
    reasons.sort(key=lambda r: (-r.concluded.weight, r.concluded.key, r.concluded.side))
    known = [key for key in explanation.concluded if key in could and key not in supported]
    others = [c for c in map(explanation.concluded.__getitem__, known) if c.open]
    others.sort(key=lambda c: (-c.upper, c.key, c.side))
    listened = [r.concluded for r in reasons] + others
    return WhyHere(
        where, name, side, finding, not_examined, tuple(reasons), tuple(others),
        merged(u for c in listened for u in c.not_checked),
        any((f.where, f.side) == (where, side) for f in explanation.notable),
    )  # fmt: skip


def _path(start: Key, supported: dict[Key, Concluded], direct: set[Key]) -> tuple[Key, ...]:
    """The shortest chain from `start` to a conclusion that accounts for the place; empty if there is none."""
    paths: list[tuple[Key, ...]] = [(start,)]
    seen = {start}
    for path in paths:
        if path[-1] in direct:
            return path
        for nxt in supported[path[-1]].leads_to:
            if nxt in supported and nxt not in seen:
                seen.add(nxt)
                paths.append((*path, nxt))
    return ()


def why_of(explanation: Explanation, record: Record, facts: Facts, visit: Visit, place: Place, side: str) -> WhyHere:
    """The reasons for one place of the vocabulary, looked up in the record of the run."""
    finding, reason = None, ""
    for quality in ("soreness", "guarded"):
        name = slot(place.key, side, quality)
        if name in facts.values and (quality == "soreness" or facts.values[name] > 0.0):
            origin = facts.origins[name]
            degree = 1.0 if facts.values[name] > 0.0 else 0.0
            finding = Finding(place.key, place.name, side, origin.written, origin.file, origin.line, degree)
            break
    for touch in visit.touches:
        if touch.place == place.key and (touch.side or "") == side and touch.not_examined:
            reason = touch.not_examined
    could = frozenset(
        (key, at) for key, at, entries in record.program.meta["accounts"]
        if any((entry[0], entry[1]) == (place.key, side) for entry in entries)
    )  # fmt: skip
    return why_here(explanation, place.key, place.name, side, finding, reason, could)
