"""The shape of what was understood of a line: findings, what was passed over, questions, kept pieces.

In: nothing, these are the frozen records. Out: `Understood` and its parts.
Not here: how a line is read, how a question is answered, sentences.
"""

from __future__ import annotations

from dataclasses import field
from decimal import Decimal
from typing import Literal

from reasoner.frozen import frozen
from reasoner.visit.model import Side, When

Ask = Literal["verb", "place", "side", "reading"]
Kind = Literal["place", "region", "entry"]


@frozen(kw_only=True)
class Reading:
    """What was said of one place and side: a soreness from 0 to 10, words of the vocabulary by their keys, or a refusal.

    `value` is that of an entry, as a visit file writes it; everything else is then empty.
    """

    soreness: Decimal | None = None
    responses: tuple[str, ...] = ()
    felt: tuple[str, ...] = ()
    depth: str = ""
    touch: str = ""
    when: When = "first"
    value: str = ""

    @property
    def refused(self) -> bool:
        """Whether the horse would not allow touch: a finding, and no missing one."""
        return "would_not_allow" in self.responses

    @property
    def empty(self) -> bool:
        """Whether nothing is said that a visit could hold."""
        return self.soreness is None and not (self.responses or self.felt or self.value)


@frozen(kw_only=True)
class Finding:
    """One reading of a place or of an entry. `side` None: on the midline, or an entry without sides.

    INVARIANT: `words` is the piece of the line it rests on (or of an earlier line, for a correction); never empty.
    """

    kind: Literal["place", "entry"]
    key: str
    side: Side | None
    reading: Reading
    words: str


@frozen(kw_only=True)
class PassedOver:
    """A place, a region or an entry that was not examined, on one side, on both, or (None) one that has no sides.

    `reason` is a key of the vocabulary's reasons.
    """

    kind: Kind
    key: str
    side: Literal["left", "right", "both"] | None
    reason: str
    words: str


@frozen(kw_only=True)
class Part:
    """What a question already knows of one finding: its side (None: not known) and its reading."""

    side: Literal["left", "right", "both"] | None = None
    reading: Reading = field(default_factory=Reading)


@frozen(kw_only=True)
class Question:
    """What has to be asked before anything is entered.

    `about` are keys or words it is about, `offers` the valid answers: keys of places, sides, numbers or readings, or the two ways
    to take "left". Without offers any place, or any soreness, may be answered. `places` are the places it may be, `entry` the
    entry it is of, `parts` what is known already, `left_out` that the place was not examined; an answer that leaves something
    open brings the next question.
    """

    ask: Ask
    about: tuple[str, ...]
    offers: tuple[str, ...]
    words: str
    places: tuple[str, ...] = ()
    entry: str = ""
    parts: tuple[Part, ...] = (Part(),)
    left_out: bool = False


@frozen(kw_only=True)
class Understood:
    """All that a line gives. Nothing of `questions` is entered before it is answered; `kept` goes into the notes.

    `withdrawn` are findings of this visit's last lines that the line takes back. `called`: what a place was called in the line,
    where its own name does not hold that (key, words).
    """

    line: str
    findings: tuple[Finding, ...] = ()
    not_examined: tuple[PassedOver, ...] = ()
    questions: tuple[Question, ...] = ()
    kept: tuple[str, ...] = ()
    withdrawn: tuple[Finding, ...] = ()
    called: tuple[tuple[str, str], ...] = ()
