"""What rendering needs of an answer, and no more.

In: nothing. Out: `Answered`, the shape of any judged visit.
Not here: how an answer is made; rendering never asks for the record of the run.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from reasoner.explanation.model import Explanation
    from reasoner.plan.concerns import Referral
    from reasoner.plan.model import Plan
    from reasoner.records.of_day import Taken
    from reasoner.rulebook.rulebook import Rulebook
    from reasoner.store.afterwards import Signature
    from reasoner.visit.model import Visit


class HasBook(Protocol):
    """A rulebook made ready; only its pages are read here."""

    @property
    def book(self) -> Rulebook:
        """The pages, words and scales."""


class Answered(Protocol):
    """One visit judged by one rulebook."""

    @property
    def visit(self) -> Visit:
        """What was written down."""

    @property
    def ready(self) -> HasBook:
        """What it was judged by."""

    @property
    def explanation(self) -> Explanation:
        """What speaks for what."""

    @property
    def referral(self) -> Referral:
        """The reasons to call the veterinarian."""

    @property
    def plan(self) -> Plan:
        """The draft plan."""

    @property
    def signature(self) -> Signature | None:
        """The countersignature of the visit's very words, as far as the records were asked."""

    @property
    def taken(self) -> Taken | None:
        """Which visit of its day the file is taken for; None where no records were asked."""
