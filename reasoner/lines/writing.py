"""What was understood, as a visit file writes it.

In: findings. Out: plain readings (a number, words, a mapping).
Not here: where in a file they stand (into_file.py).
"""

from __future__ import annotations

from collections.abc import Sequence

from reasoner.lines.model import Finding
from reasoner.visit.reader import plain

#: How a later reading of the same spot is written.
WHEN_WRITTEN = {"settled": "once settled", "after_work": "after work"}
Plain = str | dict[str, "str | list[str]"]


def plain_reading(finding: Finding) -> Plain:
    """A reading as a visit file writes it: a bare number where nothing else was said, else a mapping."""
    reading = finding.reading
    if finding.kind == "entry":
        return reading.value
    number = "" if reading.soreness is None else f"{reading.soreness.normalize():f}"
    if reading.when != "first":
        return {WHEN_WRITTEN[reading.when]: number or "0"}
    out: dict[str, str | list[str]] = {}
    if number:
        out["soreness"] = number
    for name, words in (("response", reading.responses), ("felt", reading.felt)):
        if words:
            out[name] = plain(words[0]) if len(words) == 1 else [plain(word) for word in words]
    if reading.depth:
        out["depth"] = plain(reading.depth)
    if reading.touch:
        out["touch"] = plain(reading.touch)
    if list(out) == ["soreness"]:
        return number
    if out == {"response": "would not allow"}:
        return "would not allow touch"
    return out


def plain_readings(some: Sequence[Finding]) -> Plain:
    """All readings of one spot, at first and later, as one."""
    if len(some) == 1:
        return plain_reading(some[0])
    out: dict[str, str | list[str]] = {}
    for finding in some:
        reading = plain_reading(finding)
        out |= reading if isinstance(reading, dict) else {"soreness": reading}
    return out


def flow(reading: Plain) -> str:
    """A reading as it stands behind its name, on one line."""
    if isinstance(reading, str):
        return reading
    parts = (
        f"{name}: {value if isinstance(value, str) else '[' + ', '.join(value) + ']'}"
        for name, value in reading.items()
    )
    return "{" + ", ".join(parts) + "}"
