"""Ask the reasoner in a practitioner's words, as written or in the mirror.

In: a visit as text (or already read) and the shipped rules. Out: `Asked`, the answer looked into by key and side.
Not here: expectations. In the mirror every side asked for is swapped, so one expectation serves both horses.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property

from reasoner.consult import Answer, judge
from reasoner.explanation.model import Chain, Concluded
from reasoner.inference.record import Applied
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.strict_yaml import parse
from reasoner.rules_cache import Ready, compiled
from reasoner.visit.model import Visit, mirrored
from reasoner.visit.reading import visit_from_node

#: The day of a visit whose text gives none.
DAY = date(2026, 4, 18)
OTHER = {"left": "right", "right": "left", "": ""}


@cache
def shipped() -> Ready:
    """The shipped rules with their examples, compiled in this run (never from a cache)."""
    return compiled(load_rulebook())


def visit_of(text: str, name: str = "visit.yaml") -> Visit:
    """The visit in a text."""
    return visit_from_node(parse(text.encode(), name), name, shipped().book.vocabulary, default_day=DAY)


def ask(text: str, *, mirror: bool = False) -> Asked:
    """The answer to a visit written as text, or to its mirror image."""
    visit = visit_of(text)
    return Asked(judge(mirrored(visit) if mirror else visit, shipped()), mirror)


@dataclass(frozen=True)
class Asked:
    """One answer. `turned`: the visit was mirrored, and so is every side named to a method here."""

    answer: Answer
    turned: bool = False

    def side(self, side: str) -> str:
        """A side of the visit as written, to the side of the visit that was judged, or back."""
        return OTHER[side] if self.turned else side

    # -- conclusions -------------------------------------------------------------------------------------------------

    def concluded(self, key: str, side: str = "") -> Concluded:
        """One conclusion."""
        return self.answer.explanation.concluded[key, self.side(side)]

    def band(self, key: str, side: str = "") -> str:
        """The word for a conclusion's certainty."""
        return self.concluded(key, side).band

    def certainty(self, key: str, side: str = "") -> float:
        """A conclusion's certainty."""
        return self.concluded(key, side).certainty

    def rules(self, key: str, side: str = "") -> Mapping[str, Applied]:
        """Every rule of a conclusion by its name, as it came out."""
        page = self.answer.ready.book.conclusions[key]
        return {page.evidence[r.number].rule: r for r in self.answer.record.rules_of(key, self.side(side))}

    def spoke(self, key: str, side: str = "") -> set[str]:
        """The names of the rules that fired and were counted."""
        return {name for name, rule in self.rules(key, side).items() if rule.state == "fired" and rule.counted}

    def unchecked(self, key: str, side: str = "") -> set[str]:
        """The words of the vocabulary that a conclusion still waits for."""
        return {u.where for u in self.concluded(key, side).not_checked}

    @cached_property
    def supported(self) -> set[tuple[str, str]]:
        """Key and side of every supported conclusion."""
        return {(c.key, self.side(c.side)) for c in self.answer.explanation.supported()}

    @cached_property
    def starting_points(self) -> set[tuple[str, str]]:
        """Key and side of the account's starting points, a circle's other members too."""
        points = self.answer.explanation.account.starting_points
        return {(k, self.side(s)) for c in points for k, s in ((c.key, c.side), *c.loop)}

    def chains(self) -> set[tuple[tuple[str, str], ...]]:
        """Every way down through the account, from a starting point to an end."""

        def down(chain: Chain) -> set[tuple[tuple[str, str], ...]]:
            here = ((chain.key, self.side(chain.side)),)
            return {(*here, *rest) for below in chain.leads for rest in down(below)} or {here}

        return {way for chain in self.answer.explanation.account.starting_points for way in down(chain)}

    # -- referral ----------------------------------------------------------------------------------------------------

    @property
    def level(self) -> str:
        """How pressing the most pressing concern is."""
        return self.answer.referral.level

    @cached_property
    def concerns(self) -> set[tuple[str, str]]:
        """(key, side and place) of every concern raised, such as ("moves_away_from_the_hand", "left withers").

        A concern that is told with a more pressing one is raised like any other.
        """
        return {
            (key, f"{self.side(c.side)} {c.place}".strip())
            for c in self.answer.referral.concerns
            for key in (c.key, *(milder.key for milder in c.folds))
        }

    @cached_property
    def listed(self) -> set[tuple[str, str]]:
        """(key, side and place) of the concerns that are told by themselves."""
        return {(c.key, f"{self.side(c.side)} {c.place}".strip()) for c in self.answer.referral.concerns}

    def stops(self) -> set[str]:
        """Everything that any concern stops and no veterinarian has opened."""
        return {stop for c in self.answer.referral.concerns for stop in c.standing_stops}

    # -- plan --------------------------------------------------------------------------------------------------------

    @property
    def riding(self) -> str:
        """The answer to the owner's first question."""
        return self.answer.plan.riding.answer

    @cached_property
    def steps(self) -> set[tuple[str, str]]:
        """Key and side of every step, those that are told with another one too."""
        return {(key, self.side(side)) for key, side in self.answer.plan.standing}

    @cached_property
    def withheld(self) -> dict[tuple[str, str], tuple[str, ...]]:
        """The sentences that hold back each withheld action."""
        return {(w.key, self.side(w.side)): w.because for w in self.answer.plan.withheld}
