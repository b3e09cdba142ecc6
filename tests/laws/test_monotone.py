"""Law 4, monotone: more soreness never speaks against what it speaks for; one more observation never calms a concern.

In: random rulebases and the shipped one, random visits. Out: failures.
Not here: which way a rule ought to point. Polarity is worked out from the network, not from the pages.
"""

from __future__ import annotations

import dataclasses
from datetime import timedelta
from decimal import Decimal

from hypothesis import given

from reasoner.facts.table import Facts
from reasoner.inference.record import Record
from reasoner.plan.concerns import Referral
from reasoner.plan.referral import referral_of, stop_key
from reasoner.plan.riding import LED, LIGHTLY, NOT_THIS_SADDLE, NOT_UNTIL, USUAL, riding_of
from reasoner.plan.selection import Wanted, stopped_by_referral
from reasoner.rulebook.conditions import leaves
from reasoner.visit.model import Grade, Limb, Noted, VetsWord, Visit
from tests.chance import Chooser, happens, pick, some
from tests.laws.judged import Ready, ready, shipped
from tests.laws.polarity import DOWN, UP, Polarity
from tests.random_visits import DAY, SIDES, limits_of, one_more, random_noted, random_visit
from tests.strategies import Case, cases, seeds

# -- a higher reading -------------------------------------------------------------------------------------------------


def moves_as_the_network_says(ready: Ready, low: Facts, high: Facts) -> None:
    rising = {name for name, value in high.values.items() if value != low.values[name]}
    assert all(high.values[name] > low.values[name] for name in rising)
    polarity = Polarity(ready.network, rising)
    before, after = ready.record(low.values), ready.record(high.values)
    for key, side in before.conclusions:
        directions = polarity.conclusion(key, side)
        one, two = before.certainty(key, side), after.certainty(key, side)
        assert two >= one or DOWN in directions, f"{key} {side} fell from {one} to {two} when {sorted(rising)} rose"
        assert two <= one or UP in directions, f"{key} {side} rose from {one} to {two} when {sorted(rising)} rose"


def one_reading_higher(chooser: Chooser, ready: Ready, visit: Visit) -> None:
    facts = ready.facts(visit)
    numbers = [name for name in facts.values if (name in ready.program.slots and "|soreness" in name)
               or name.startswith(("temperature", "stirrups"))]  # fmt: skip
    if numbers:
        name = pick(chooser, sorted(numbers))
        higher = facts.values[name] + pick(chooser, [0.5, 1.0, 3.0])
        moves_as_the_network_says(ready, facts, Facts({**facts.values, name: higher}, {}))


def one_place_sorer(chooser: Chooser, ready: Ready, visit: Visit) -> None:
    """The same visit with one number of a touch raised, as the visit file would have it."""
    scored = [n for n, t in enumerate(visit.touches) if t.soreness and t.soreness < 10 and not t.refused]
    if scored:
        n = pick(chooser, scored)
        touch = visit.touches[n]
        sorer = dataclasses.replace(touch, soreness=(touch.soreness or Decimal(0)) + Decimal("0.5"))
        touches = (*visit.touches[:n], sorer, *visit.touches[n + 1 :])
        higher = dataclasses.replace(visit, touches=touches)
        moves_as_the_network_says(ready, ready.facts(visit), ready.facts(higher))


@given(cases())
def test_a_higher_reading_on_random_rulebases(case: Case) -> None:
    book, visits, chooser = case
    one_reading_higher(chooser, ready(book), visits[0])


@given(cases())
def test_a_sorer_place_on_random_rulebases(case: Case) -> None:
    book, visits, chooser = case
    one_place_sorer(chooser, ready(book), visits[0])


@given(seeds())
def test_a_higher_reading_on_the_shipped_rulebase(chooser: Chooser) -> None:
    visit = random_visit(chooser, shipped().book)
    one_reading_higher(chooser, shipped(), visit)
    one_place_sorer(chooser, shipped(), visit)


# -- one more observation ---------------------------------------------------------------------------------------------


def raised(record: Record) -> set[tuple[str, str, str]]:
    """The concerns raised."""
    return {(key, side, place) for _, key, side, place, _ in record.raised()}


@given(cases(rising=True))
def test_one_more_observation_on_random_rulebases(case: Case) -> None:
    book, visits, chooser = case
    made, visit = ready(book), visits[0]
    before = raised(made.record(made.facts(visit).values))
    after = raised(made.record(made.facts(one_more(chooser, book, visit)).values))
    assert before <= after


@given(cases())
def test_something_recorded_where_nothing_was(case: Case) -> None:
    """Slot by slot, whatever the concern says, `not` included."""
    book, visits, chooser = case
    made = ready(book)
    values = dict(made.facts(visits[0]).values)
    dropped = some(chooser, sorted(values), 0, 6)
    before = raised(made.record({name: value for name, value in values.items() if name not in dropped}))
    assert before <= raised(made.record(values))


def with_a_word(chooser: Chooser, ready: Ready, visit: Visit) -> Visit:
    """The visit with a veterinarian's word, mostly about what one concern reads or is called."""
    book = ready.book
    names = [*book.concerns, *book.vocabulary.regions, *book.vocabulary.observations, "uneven_steps", "vital_signs"]
    for _, key, _, place, _ in ready.record(ready.facts(visit).values).raised():
        signs = range(len(book.concerns[key].signs))
        names += [key, *[leaf.subject for n in signs for leaf in leaves(book.parsed[key, f"sign {n}"])] * 20]
        names += [place] * 20 if place else []
    about = list(dict.fromkeys(pick(chooser, names) for _ in range(chooser.integer(1, 3))))
    stops = [stop.key for stop in book.scales.stops]
    limbs: tuple[Limb, Limb] = ("fore", "hind")
    legs = [(limb, side) for limb in limbs for side in SIDES]
    graded = some(chooser, legs, 1, 2) if happens(chooser, 30) else []
    word = VetsWord(who="Dr Mossop", seen=DAY - timedelta(days=pick(chooser, [0, 0, 8])), until=DAY, about=tuple(about),
                    sides=tuple(None for _ in about),
                    degrees=tuple(pick(chooser, [None, None, "slight", "marked"]) for _ in about),
                    grades=tuple(Grade(scale="AAEP", limb=limb, side=side, grade="2") for limb, side in graded),
                    allows=tuple(some(chooser, stops, 1, len(stops))),
                    forbids=tuple(some(chooser, stops, 0, 2)))  # fmt: skip
    return dataclasses.replace(visit, vets_words=(word,))


def referral(ready: Ready, visit: Visit) -> Referral:
    facts = ready.facts(visit)
    return referral_of(ready.record(facts.values), facts, visit, ready.book)


def told(referral: Referral) -> set[tuple[str, str, str]]:
    """Every concern told, by itself or with a more pressing one of the same side and place."""
    return {(key, c.side, c.place) for c in referral.concerns for key in (c.key, *(f.key for f in c.folds))}


def stopped(referral: Referral) -> set[tuple[str, str, str]]:
    """What stands stopped, and where, after the veterinarian's word."""
    found = {(stop, c.place, c.side) if stop == "this_place" else (stop, "", "")
             for c in referral.concerns for stop in c.standing_stops}  # fmt: skip
    return found | {("forbidden", stop, "") for release in referral.releases for stop in release.forbids
                    if referral.forbidding(stop)}  # fmt: skip


#: The answers to the owner's first question, from the most open to the most closed.
ANSWERS = (USUAL, LIGHTLY, NOT_THIS_SADDLE, LED, NOT_UNTIL)


def shut(referral: Referral) -> int:
    """How closed riding is by the referral alone; a veterinarian's "lightly" is no stop, so it counts as open."""
    answer = ANSWERS.index(riding_of(referral, ()).answer)
    return answer if answer > ANSWERS.index(LIGHTLY) else 0


def open_at(ready: Ready, referral: Referral) -> set[tuple[str, str]]:
    """The actions, with their side, that the referral would let stand whatever else holds them back."""
    wanted = [Wanted(page, side, (), (), tuple((place, side) for entry in page.works_on for place in entry if place != "line"))
              for page in ready.book.actions.values() for side in SIDES]  # fmt: skip
    return {(w.page.id, w.side) for w in wanted if not any(stopped_by_referral(w, referral, ready.book))}


def one_more_of_the_same(chooser: Chooser, ready: Ready, visit: Visit) -> Visit:
    """The visit with one more thing noted that a concern already raised reads too, or any one more."""
    book, limits = ready.book, limits_of(ready.book)
    noted = {n.key for n in visit.noted}
    keys = [leaf.subject for _, key, *_ in ready.record(ready.facts(visit).values).raised()
            for n in range(len(book.concerns[key].signs)) for leaf in leaves(book.parsed[key, f"sign {n}"])
            if leaf.subject not in noted and leaf.subject in book.vocabulary.observations]  # fmt: skip
    if not keys or happens(chooser, 50):
        return one_more(chooser, book, visit)
    observation = book.vocabulary.observations[pick(chooser, keys)]
    side = pick(chooser, SIDES) if observation.sides == "each" else None
    more = random_noted(chooser, observation, side, limits.get(observation.key, ()))
    return visit if more is None else dataclasses.replace(visit, noted=(*visit.noted, more))


@given(seeds())
def test_one_more_observation_on_the_shipped_rulebase(chooser: Chooser) -> None:
    made = shipped()
    visit = random_visit(chooser, made.book, filled=pick(chooser, [1, 3, 10, 40]))
    if happens(chooser, 50):
        visit = with_a_word(chooser, made, visit)
    for _ in range(4):
        more = one_more_of_the_same(chooser, made, visit)
        before, after = referral(made, visit), referral(made, more)
        calls = ["none", *made.book.scales.calls]
        assert calls.index(after.level) >= calls.index(before.level)
        lost = told(before) - told(after)
        assert not lost, f"{lost} calmed by {set(more.touches + more.noted) - set(visit.touches + visit.noted)}"
        assert stopped(before) <= stopped(after), f"reopened: {stopped(before) - stopped(after)}"
        assert shut(before) <= shut(after), f"riding: {before} and {after}"
        reopened = open_at(made, after) - open_at(made, before)
        assert not reopened, f"reopened: {reopened}"
        visit = more


@given(seeds())
def test_what_is_told_together_loses_no_concern_and_no_stop(chooser: Chooser) -> None:
    """Folding is telling: every concern the run raised is told, and everything it stops stands stopped."""
    made = shipped()
    visit = random_visit(chooser, made.book, filled=pick(chooser, [1, 3, 10, 40]))
    record = made.record(made.facts(visit).values)
    found, calls = referral(made, visit), list(made.book.scales.calls)
    assert told(found) == raised(record)
    stops = {
        (key, place, side) if key == "this_place" else (key, "", "")
        for _, page, side, place, _ in record.raised()
        for key in (stop_key(stop, made.book) for stop in made.book.concerns[page].stops)
    }
    assert stopped(found) == stops
    levels = [made.book.concerns[page].call for _, page, *_ in record.raised()]
    assert found.level == max(levels, key=calls.index, default="none")
    for concern in found.concerns:
        assert all(calls.index(milder.call) < calls.index(concern.call) for milder in concern.folds)


def test_a_second_sign_does_not_open_what_the_first_one_stopped() -> None:
    """A word about the temperature opens nothing while the pulse is what raised the concern, whatever comes up after."""
    made = shipped()
    word = VetsWord(who="Dr Mossop", seen=DAY, about=("temperature",), sides=(None,),
                    allows=tuple(stop.key for stop in made.book.scales.stops))  # fmt: skip
    pulse = Noted(key="pulse", value=Decimal(55), kind="number", line=1)
    warm = Noted(key="temperature", value=Decimal(39), kind="number", line=2)
    one = Visit(file="made_up.yaml", day=DAY, noted=(pulse,), vets_words=(word,))
    two = dataclasses.replace(one, noted=(pulse, warm))
    assert stopped(referral(made, one))
    assert stopped(referral(made, one)) <= stopped(referral(made, two))
