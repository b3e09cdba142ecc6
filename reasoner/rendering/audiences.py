"""Who reads a report, and which of the things written down concern that reader.

In: nothing. Out: one `Audience` for each reader.
Not here: how a report looks, and the words of any finding. Keys that a rulebook does not have are simply never met.
"""

from __future__ import annotations

from reasoner.frozen import frozen
from reasoner.rulebook.vocabulary import Observation, Place

#: The person, the day and the yard stand at the head of every report; free notes only where a template asks for them.
HEAD = frozenset({"visit", "examined_by", "yard", "owner", "name", "notes"})


@frozen
class Audience:
    """A reader. `sections` are the headings whose entries concern them, `keys` single entries from other headings;
    `regions` and `groups` are the places. `trade` is the word by which a step of the plan speaks to them, `kinds` the
    kinds of steps that always do. `conclusions`: whether the reader is told any."""

    key: str
    reader: str
    sections: frozenset[str] = frozenset()
    keys: frozenset[str] = frozenset()
    regions: frozenset[str] = frozenset()
    groups: frozenset[str] = frozenset()
    all_places: bool = False
    conclusions: bool = True
    trade: str = ""
    kinds: frozenset[str] = frozenset()

    def hears_of(self, observation: Observation) -> bool:
        """Whether an entry concerns this reader."""
        return observation.key not in HEAD and (observation.section in self.sections or observation.key in self.keys)

    def sees(self, place: Place) -> bool:
        """Whether a place concerns this reader."""
        return self.all_places or place.region in self.regions or bool(self.groups & set(place.groups))


OWNER = Audience("owner", "the owner", all_places=True)

VET = Audience(
    "vet",
    "the veterinarian",
    sections=frozenset(
        {
            "horse",
            "before_the_visit",
            "at_first_sight",
            "vital_signs",
            "in_hand",
            "standing_square",
            "uneven_steps",
            "tacked_up",
            "tacked_up/saddle",
            "tacked_up/with_the_pad",
            "tacked_up/girthed",
            "tacked_up/rider_up",
            "ridden",
            "after_work",
        }
    ),
    all_places=True,
    conclusions=False,
)

SADDLE_FITTER = Audience(
    "saddle-fitter",
    "the saddle fitter",
    sections=frozenset(
        {
            "tacked_up",
            "tacked_up/saddle",
            "tacked_up/with_the_pad",
            "tacked_up/girthed",
            "tacked_up/rider_up",
            "ridden",
            "after_work",
        }
    ),
    keys=frozenset(
        {
            "height",
            "weight",
            "type",
            "saddle_checked",
            "load",
            "bigger_shoulder",
            "topline",
            "trot_in_hand",
            "both_reins",
            "back_carriage",
        }
    ),
    regions=frozenset({"withers", "back"}),
    groups=frozenset({"under_the_saddle", "under_the_saddle_front", "under_the_girth"}),
    trade="fitter",
    kinds=frozenset({"tack"}),
)

FARRIER = Audience(
    "farrier",
    "the farrier",
    sections=frozenset({"uneven_steps", "in_hand"}),
    keys=frozenset(
        {
            "height",
            "weight",
            "shod",
            "feet_due",
            "steeper_fore_foot",
            "feet_and_pulses",
            "standing",
            "ten_steps_of_walk",
            "wound",
            "lead_preferred_ridden",
            "head_at_the_trot",
            "canter_against_trot",
        }
    ),
    regions=frozenset({"limbs", "shoulder", "croup"}),
    trade="farrier",
)

AUDIENCES: dict[str, Audience] = {one.key: one for one in (OWNER, VET, SADDLE_FITTER, FARRIER)}
