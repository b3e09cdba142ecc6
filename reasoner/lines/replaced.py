"""What stands of a spot before a line is said yes to, so that nobody replaces a reading without seeing it.

In: a visit, findings. Out: for each spot its reading in words: "2", "quiet", "not examined"; nothing where nothing stands.
Not here: whether it may be replaced (into_file.py), the page's own visit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from reasoner.lines.model import Finding, Reading
from reasoner.visit.model import Side, Touch, Visit
from reasoner.visit.reader import plain

Spot = tuple[str, str, Side | None]
QUIET = "quiet"
NOT_EXAMINED = "not examined"
REFUSED = "would not allow touch"


def standing_in(visit: Visit) -> dict[Spot, str]:
    """What a visit says of every place and entry: (kind, key, side) to its words. Later readings of a place are others."""
    out: dict[Spot, str] = {}
    for touch in visit.touches:
        if touch.when == "first" and (("place", touch.place, touch.side) not in out or not touch.quiet_list):
            out["place", touch.place, touch.side] = touch_words(touch)
    for noted in visit.noted:
        if noted.about is None and noted.key != "notes":
            out["entry", noted.key, noted.side] = noted.written.replace("_", " ") or str(noted.value)
    return out


def with_line(stands: Mapping[Spot, str], findings: Sequence[Finding], withdrawn: Sequence[Finding]) -> dict[Spot, str]:
    """The same after a line was said yes to."""
    gone = {spot_of(one) for one in withdrawn}
    out = {spot: words for spot, words in stands.items() if spot not in gone}
    return out | {spot_of(one): _words(one.reading) for one in findings if one.reading.when == "first"}


def spot_of(finding: Finding) -> Spot:
    """What a finding is of."""
    return finding.kind, finding.key, finding.side


def touch_words(touch: Touch) -> str:
    """A reading of the hand in a few words."""
    if touch.quiet_list:
        return QUIET
    if touch.not_examined is not None:
        return NOT_EXAMINED
    if touch.refused:
        return REFUSED
    return _words(
        Reading(soreness=touch.soreness, responses=touch.responses or (), felt=touch.felt or (), depth=touch.depth or "",
                touch=touch.touch or "")
    )  # fmt: skip


def _words(reading: Reading) -> str:
    if reading.value:
        return plain(reading.value)
    parts = [] if reading.soreness is None else [f"{reading.soreness.normalize():f}"]
    parts += [plain(word) for word in (*reading.responses, *reading.felt, reading.depth, reading.touch) if word]
    return ", ".join(parts) or "without a reading"
