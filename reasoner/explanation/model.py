"""The shapes of an explanation.

In: nothing. Out: frozen records that from_record, account and why fill, and plan and rendering read.
Not here: how they are worked out or said.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from reasoner.frozen import frozen

Key = tuple[str, str]
"""A conclusion's key and side; the side is "left", "right" or "" where there is none."""


@frozen
class Finding:
    """Something recorded in this visit: where, as written, on which line, and how far it holds (degree in [0, 1])."""

    where: str
    name: str
    side: str
    value: str
    file: str
    line: int
    degree: float = 0.0


@frozen
class Unchecked:
    """Something not recorded that a rule listens to: what to look at or ask, and how. `tells` names the rules."""

    where: str
    name: str
    side: str
    question: str = ""
    how: str = ""
    safety: str = ""
    walk: int = 0
    tells: tuple[str, ...] = ()


@frozen
class Item:
    """One rule at work for or against a conclusion.

    `contribution` is strength times degree, signed; `share` its counted weight (natural-log units, signed; 0 where a
    louder voice of its group spoke). `findings` are the leaves it rests on, `via` the earlier conclusions it read,
    `lessened_by` the circumstances that discounted it, `gated` says whether a gate held it back.
    """

    rule: str
    name: str
    strength: float
    degree: float
    contribution: float
    share: float
    because: str
    basis: tuple[str, ...]
    sure: str
    file: str
    line: int
    findings: tuple[Finding, ...] = ()
    via: tuple[Key, ...] = ()
    lessened_by: tuple[str, ...] = ()
    gated: bool = False


@frozen
class Silent:
    """A rule that did not speak: "below" (known and too weak) or "waits" (something it needs was not checked)."""

    rule: str
    name: str
    strength: float
    state: str
    support: float
    findings: tuple[Finding, ...]
    waiting_on: tuple[Unchecked, ...]


@frozen
class Concluded:
    """One conclusion for one side, as this visit leaves it.

    `certainty`, `lower` and `upper` are in [-1, 1] and are not probabilities; `band` is a word of the scale, "against" or
    "none"; `words` the page's sentence with the side filled in. `open` is true where the range crosses a band.
    """

    key: str
    kind: str
    side: str
    certainty: float
    lower: float
    upper: float
    band: str
    words: str
    plain: str
    weight: int
    supporting: tuple[Item, ...]
    opposing: tuple[Item, ...]
    silent: tuple[Silent, ...]
    not_checked: tuple[Unchecked, ...]
    accounts_for: tuple[Finding, ...]
    leads_to: tuple[Key, ...]
    basis: tuple[str, ...]
    can_mislead: str
    lesson: str
    file: str

    @property
    def open(self) -> bool:
        """Whether what was not checked could move it to another band."""
        return self.lower_band != self.upper_band

    lower_band: str = "none"
    upper_band: str = "none"


@frozen
class Chain:
    """A conclusion of the account and what it leads to. `loop` holds the other members where they lead to each other."""

    key: str
    side: str
    leads: tuple[Chain, ...] = ()
    loop: tuple[Key, ...] = ()


@frozen
class Account:
    """The working account: starting points with what they lead to. `ties` holds equally good sets of starting points."""

    starting_points: tuple[Chain, ...]
    ties: tuple[tuple[Key, ...], ...]
    unexplained: tuple[Finding, ...]
    too_little: bool
    look_at: tuple[Unchecked, ...]


class Explanation(Protocol):
    """Everything a run says, as data; each part is laid out when it is first asked for."""

    @property
    def concluded(self) -> Mapping[Key, Concluded]:
        """Every ground conclusion that has rules, in the program's order."""

    @property
    def leading(self) -> tuple[Key, ...]:
        """The causes of the greatest weight among the supported ones; ties are all named."""

    @property
    def notable(self) -> tuple[Finding, ...]:
        """The findings that ask for an explanation, in the order of the visit."""

    @property
    def mild(self) -> tuple[Finding, ...]:
        """The places that answered without asking for an explanation: mildly, or in a reading that counts for less."""

    @property
    def doubtful_quiet(self) -> tuple[Finding, ...]:
        """What was recorded that makes a quiet place unknown, such as something given for pain."""

    @property
    def started(self) -> Account:
        """The working account, before it is asked what to look at first where there is too little to say."""

    @property
    def wide_open(self) -> bool:
        """Whether no cause is supported and what was not checked could still bring one up."""

    @property
    def account(self) -> Account:
        """The working account."""

    @property
    def not_checked(self) -> tuple[Unchecked, ...]:
        """Everything unrecorded that a supported conclusion or an open cause listens to, in walking order."""

    @property
    def circumstances(self) -> tuple[Finding, ...]:
        """What was recorded that makes readings weigh less."""

    def supported(self) -> tuple[Concluded, ...]:
        """Every supported conclusion, strongest first."""
