"""The scales of the rulebook: strengths, bands, ramps, what is notable, when to call.

In: nothing. Out: frozen shapes, filled from rules/scales/.
Not here: the numbers (they are data) and applying them to a visit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from reasoner.frozen import frozen
from reasoner.rulebook.practice import TrackSettings, YardSettings
from reasoner.rulebook.readers import Reader
from reasoner.rulebook.reminders import Reminders
from reasoner.rulebook.vocabulary import Word

#: The stops that the plan and the wording ask for by name. They are words of rules/scales/referral.yaml like any other;
#: a layer that leaves one out would let stand what it meant to stop, so that loading refuses it (RB33).
HANDS_ON, THIS_PLACE, RIDING, THIS_SADDLE = "hands_on_work", "this_place", "riding", "this_saddle"
EXERCISES, BACK_WORK = "exercises", "back_work"
STOPS_READ = (HANDS_ON, THIS_PLACE, RIDING, THIS_SADDLE, EXERCISES, BACK_WORK)


@frozen(kw_only=True)
class Ramp:
    """From a soreness (0-10) or a difference of two, to a degree in [0, 1]: 0 up to `none_at`, 1 from `full_at`."""

    key: str
    of: str
    none_at: float
    full_at: float
    says: str = ""


@frozen(kw_only=True)
class Caution:
    """A sentence shown with a plan: `when` is "always" or the kind of step that brings it in."""

    key: str
    says: str
    when: str


@frozen(kw_only=True)
class Agreement:
    """What must be recorded before an action of certain kinds is taken, and what is said where it is not."""

    need: Mapping[str, Any]
    otherwise: str


@frozen(kw_only=True)
class Bring:
    """What is brought, or who is asked to be there: for looks under these headings, and where a step of one of these kinds stands
    in the plan; `named_by` is the entry that names it, if there is one."""

    what: str
    looks: tuple[str, ...]
    steps: tuple[str, ...] = ()
    named_by: str = ""


@frozen(kw_only=True)
class Checking:
    """How the next check is chosen. Headings and entries are canonical words, stops and readings too.

    `scores` (0-10) are what a place not yet felt is tried with; `minutes_a_side` what feeling one side of it takes;
    `minutes_to_begin` what the looks under a heading take once, before the first of them; `first` the heading of the first
    sixty seconds; `asks` the stops that take the looks under a heading away; `walked_for` the entries for which the horse
    is walked, which a pressing reason to call takes away; `not_asked_after` the readings of other entries that make an
    entry idle; `ridden_for` the headings whose looks somebody rides for, `not_ridden_while` the steps of a plan beside
    which nobody does; `how_the_spaces` how the hand strokes along the spaces between the spines, `minutes_for_the_spaces`
    what that takes; `asked_again` the reasons why a place was passed over that do not keep it back; `guarding` the answers
    after which a region is not pressed further, `pressed_for` the region pressed for an entry, `moved_for` the stops of moving
    that also take an entry away; `back` the regions where pressing is work on the back; `no_trot_after` the readings after which
    nobody trots or rides the horse to find out more;
    `by_telephone` the headings and entries an owner can answer before a visit; `bring` what looks and steps need.
    """

    scores: tuple[float, ...]
    minutes_a_side: float
    minutes_to_begin: Mapping[str, float]
    first: str
    asks: Mapping[str, tuple[str, ...]]
    back: tuple[str, ...]
    no_trot_after: Mapping[str, tuple[str, ...]]
    by_telephone: tuple[str, ...]
    walked_for: tuple[str, ...] = ()
    not_asked_after: Mapping[str, Mapping[str, tuple[str, ...]]] = field(default_factory=dict)
    how_the_spaces: str = ""
    minutes_for_the_spaces: float = 1.0
    asked_again: tuple[str, ...] = ()
    guarding: tuple[str, ...] = ()
    pressed_for: Mapping[str, str] = field(default_factory=dict)
    moved_for: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    ridden_for: tuple[str, ...] = ()
    not_ridden_while: tuple[str, ...] = ()
    bring: tuple[Bring, ...] = ()
    basis: str = ""


@frozen(kw_only=True)
class ReadingError:
    """How far the same hand wavers, as standard deviations in points of the soreness scale: `shared` by all scores of a
    visit, `noise` of each place and side by itself; both from 0 to 10."""

    shared: float
    noise: float
    basis: str


@frozen(kw_only=True)
class Scales:
    """Every setting the engine and the wording read.

    `bands` go from weak to strong; `calls` from the least pressing up; `fires_above` is exclusive. `step` is the grid of
    the soreness scale. `stopped_by` says which stops hold back which kind of action, `most_a_day` how many
    different actions of a kind one day holds, `agreement_needed_for` which kinds wait for the veterinarian's agreement.
    `readers` are those who are given a report of their own, `waiting_subjects` the words by which a line says what to do
    while waiting about which subject;
    `reading_error` says how far a hand wavers (None: nothing is said of it) and `examiners` whose hand is known better, by the
    canonical name; `track` and `yard` say what the track record and the yard's view count (None: these are not worked out),
    `reminders` when a calendar reminds (None: it does not).
    """

    strengths: Mapping[str, float]
    bands: Mapping[str, float]
    fires_above: float
    ramps: Mapping[str, Ramp]
    notable_degree: float
    notable_ramp: str
    step: float
    covering_k: float
    calls: Mapping[str, str]
    stops: tuple[Word, ...]
    action_order: tuple[str, ...]
    stopped_by: Mapping[str, tuple[str, ...]]
    cautions: tuple[Caution, ...] = ()
    readers: Mapping[str, Reader] = field(default_factory=dict)
    waiting_subjects: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    most_a_day: Mapping[str, int] = field(default_factory=dict)
    agreement_needed_for: tuple[str, ...] = ()
    agreement: Agreement | None = None
    checking: Checking | None = None
    reading_error: ReadingError | None = None
    examiners: Mapping[str, ReadingError] = field(default_factory=dict)
    track: TrackSettings | None = None
    yard: YardSettings | None = None
    reminders: Reminders | None = None

    def band(self, certainty: float) -> str:
        """The word for a certainty: a band, "against" (below minus the lowest band), or "none".

        The lowest band is entered above its value, the others at it.
        """
        lowest = min(self.bands.values())
        if certainty < -lowest:
            return "against"
        word = "none"
        for name, from_value in self.bands.items():
            if certainty > from_value or (certainty == from_value and from_value != lowest):
                word = name
        return word
