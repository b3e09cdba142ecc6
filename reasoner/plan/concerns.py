"""The shapes of a referral: concerns raised, and a veterinarian's word as it bears on them.

In: nothing. Out: frozen records that referral fills and rendering reads.
Not here: how they are raised or said; the plan (model).
"""

from __future__ import annotations

from reasoner.explanation.model import Finding
from reasoner.frozen import frozen


@frozen
class Folded:
    """A concern that was raised and is told with a more pressing one of the same side and place."""

    key: str
    call: str
    words: str
    file: str
    line: int


@frozen
class RaisedConcern:
    """A reason to call the veterinarian. `stops` are keys of the list of stops; `allowed` is all that a veterinarian's word
    about this concern allows today, `released` those of the stops that it opens. `signs` holds each sign seen with its
    reason and basis. `folds` are the milder concerns on the same finding that are told with this one: it stops what they
    stop, and holds their signs and findings where they rest on something of their own. `riding_says` is the page's own answer
    to whether it may be ridden, which no word opens; mostly empty."""

    key: str
    side: str
    place: str
    place_name: str
    words: str
    plain: str
    call: str
    when: str
    stops: tuple[str, ...]
    released: tuple[str, ...]
    while_you_wait: tuple[str, ...]
    tell_the_vet: tuple[str, ...]
    signs: tuple[tuple[str, str, tuple[str, ...]], ...]
    findings: tuple[Finding, ...]
    file: str
    line: int
    allowed: tuple[str, ...] = ()
    folds: tuple[Folded, ...] = ()
    riding_says: str = ""

    @property
    def standing_stops(self) -> tuple[str, ...]:
        """What is still stopped after the veterinarian's word."""
        return tuple(stop for stop in self.stops if stop not in self.released)


@frozen
class Release:
    """A veterinarian's word as it bears on today: what it opens, what it forbids, or why it opens nothing.

    What it forbids stands until it has `ended`, also where a new sign has closed it.
    """

    who: str
    seen: str
    until: str
    allows: tuple[str, ...]
    forbids: tuple[str, ...]
    about: tuple[str, ...]
    holds: bool
    closed_because: str
    line: int
    ended: bool = False


@frozen
class Referral:
    """`level` is "none", "routine", "prompt" or "emergency": that of the most pressing concern raised. Every concern raised
    stands in `concerns`, by itself or among the `folds` of another."""

    level: str
    concerns: tuple[RaisedConcern, ...]
    releases: tuple[Release, ...]

    def forbidding(self, stop: str) -> tuple[str, ...]:
        """Who has forbidden this, by words that have not ended."""
        return tuple(r.who for r in self.releases if stop in r.forbids and not r.ended)
