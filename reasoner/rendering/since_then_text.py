"""What owners told after an answer was given, beside that answer: in words and as JSON.

In: a `SinceThen`. Out: lines for a terminal, plain lines for a file or a report, JSON-ready data.
Not here: working it out (records.since_then).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reasoner.differences import Change
from reasoner.records.since_then import SaidSince, SinceThen
from reasoner.rendering import phrases
from reasoner.rendering.again import told_words
from reasoner.rendering.differences_text import difference_json, differing_lines
from reasoner.rendering.text_page import Line, heading

#: What a reader of a report is told of what differs: whether to call and to ride, and what is done. Causes are told where they
# were.
TO_READERS = ("level", "concern", "riding", "step")
SAME = "With it the answer would be the same"


def since_then_lines(since: SinceThen | None, *, title: str = "since then") -> Iterator[Line]:
    """The section of a page; nothing where nothing was told."""
    if since is None:
        return
    yield from heading(title)
    yield Line(f"The answer to the visit of {phrases.day(since.day)} stands as it was given. Since then was told:")
    for one in since.said:
        yield Line(said_words(one), mark="-", hang=2)
    if since.unread:
        yield Line(f"What the answer would be with it cannot be worked out now: {since.unread}", "open")
        return
    if since.changes:
        yield Line(f"{how(since)}, the answer would differ in this:", "strong")
        yield from differing_lines(since.changes)
    else:
        yield Line(f"{SAME} ({how(since)[0].lower()}{how(since)[1:]}).")


def said_words(one: SaidSince, *, reason: bool = True) -> str:
    """One answer: "No girth over the sore place (plan of 4 April 2026): done (the owner, 25 April 2026)"; with the owner's
    `reason` or without."""
    before = f"; known then: {told_words(one.before, reason=reason)}" if one.before is not None else ""
    told = told_words(one.told, reason=reason)
    return f"{one.words.rstrip('.')} (plan of {phrases.day(one.planned)}): {told}{before}"


def how(since: SinceThen) -> str:
    """That it is worked out now, by which rules, and whether those are others than then."""
    other = ", another than then; what the rules alone changed is not told here" if since.other_rules else ""
    return f"Worked out now with it, by rulebase {since.stamp[:12]}{other}"


def since_then_sentences(since: SinceThen | None, *, reason: bool = False) -> list[str]:
    """The same in sentences, for a report; what differs only as far as every reader is told of it. The owner's own words for a
    `reason` are for the owner's report alone."""
    if since is None:
        return []
    told = [f"Told after {phrases.day(since.day)}: {said_words(one, reason=reason)}" for one in since.said]
    if since.unread:
        return [*told, f"What the answer would be with it cannot be worked out now: {since.unread}"]
    some = [_changed(change) for change in since.changes if change.kind in TO_READERS]
    what = (
        f"{how(since)}, this would differ: {'; '.join(some)}"
        if some
        else f"{SAME} in what to call for and what to do ({how(since).lower()})"
    )
    return [*told, what]


def _changed(change: Change) -> str:
    if change.kind in ("level", "riding"):
        return f"{change.name}: {change.before.words} then, {change.after.words} now"
    words = change.name.rstrip(".")
    if change.before.value and change.after.value:
        return f"{words}: told otherwise"
    new = "a new reason to call" if change.kind == "concern" else "a new step"
    gone = "no longer a reason to call" if change.kind == "concern" else "no longer a step"
    return f"{new if change.after.value else gone}: {words}"


def since_then_margin(since: SinceThen | None) -> list[str]:
    """The same as lines of a file's opening."""
    if since is None:
        return []
    lines = [f"Told since the answer to the visit of {phrases.day(since.day)}, which stands as it was given:"]
    lines += [f"  {said_words(one)}" for one in since.said]
    if since.unread:
        return [*lines, f"  What the answer would be with it cannot be worked out now: {since.unread}"]
    if not since.changes:
        return [*lines, f"  {SAME} ({how(since).lower()})."]
    lines.append(f"  {how(since)}, the answer would differ in this:")
    return [*lines, *("    " + " ".join(line.text.split()) for line in differing_lines(since.changes))]


def since_then_json(since: SinceThen | None) -> dict[str, Any] | None:
    """The same as data; null where nothing was told."""
    if since is None:
        return None
    return {
        "visit": since.day.isoformat(), "rulebase": since.stamp, "other_rulebase": since.other_rules,
        "unread": since.unread or None,
        "told": [
            {"planned": one.planned.isoformat(), "step": one.step, "side": one.side or None, "words": one.words,
             "answer": one.told.answer, "because": one.told.because or None, "by": one.told.by or None,
             "on": one.told.on.isoformat(),
             "known_then": one.before.answer if one.before is not None else None}
            for one in since.said
        ],
        "differs": [difference_json(change) for change in since.changes],
    }  # fmt: skip
