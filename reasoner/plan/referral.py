"""Referral is not a vote: which concerns are raised, what they stop, and what a veterinarian's word opens again.

In: the record, the facts and the visit. Out: a `Referral`.
Not here: sentences, actions, which concerns are told together (folding). Nothing lowers a level; a word opens exactly what
it allows, and a new sign closes it.
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.explanation.from_record import filled
from reasoner.explanation.leaves import Leaves
from reasoner.explanation.model import Finding
from reasoner.facts.table import Facts
from reasoner.inference.record import Record
from reasoner.plan.concerns import RaisedConcern, Referral, Release
from reasoner.plan.folding import folded
from reasoner.rulebook.pages import Concern, bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.model import Side, VetsWord, Visit
from reasoner.visit.steps import STEPS


def referral_of(record: Record, facts: Facts, visit: Visit, book: Rulebook) -> Referral:
    """Every concern raised, most pressing first, and every veterinarian's word as it bears on them."""
    order = list(book.scales.calls)
    raised = list(_raised(record, facts, book))
    raised.sort(key=lambda c: (-order.index(c.call), c.findings[0].line if c.findings else 0, c.key, c.place, c.side))
    releases = tuple(_release(word, raised, visit, book) for word in visit.vets_words)
    words = list(zip(visit.vets_words, releases, strict=True))
    concerns = tuple(_with_release(concern, words, visit, book) for concern in raised)
    level = max((c.call for c in concerns), key=order.index, default="none")
    return Referral(level, folded(concerns, book), releases)


def _raised(record: Record, facts: Facts, book: Rulebook) -> Iterator[RaisedConcern]:
    leaves = Leaves(record, facts, book)
    concerns = record.program.meta["concerns"]
    for number, key, side, place, seen in record.raised():
        literals = [lit for n in seen for lit in leaves.speaking(concerns[number][3][n])]
        yield raised_concern((key, side, place), seen, leaves.findings(literals), book)


def raised_concern(
    at: tuple[str, str, str], seen: tuple[int, ...], findings: tuple[Finding, ...], book: Rulebook
) -> RaisedConcern:
    """The concern of a page, side and place, as those of its signs that were seen and what they rest on raise it; no
    veterinarian's word is weighed yet."""
    key, side, place = at
    page = book.concerns[key]
    name = book.vocabulary.places[place].name if place else ""
    return RaisedConcern(
        key=key, side=side, place=place, place_name=name, words=concern_words(page.says, side, name),
        plain=concern_words(page.plain or page.says, side, name), call=page.call, when=book.scales.calls[page.call],
        stops=_stop_keys(page, book), released=(), while_you_wait=page.while_you_wait,
        tell_the_vet=page.tell_the_vet,
        signs=tuple((page.signs[n].sign, page.signs[n].because, bases(page.signs[n].basis)) for n in seen),
        findings=findings, file=page.file, line=page.line, riding_says=page.riding_says,
    )  # fmt: skip


def concern_words(text: str, side: str, place: str) -> str:
    """A concern's sentence; on the midline the side and the comma before it fall away."""
    if not side:
        for gap in (", on the {side}", " on the {side}", ", {side}", " ({side})", "{side} ", "{side}"):
            text = text.replace(gap, "")
    return filled(text, side, place)


def stop_key(word: str, book: Rulebook) -> str:
    """The key of a stop, from any of its spellings; the canonical word itself where it is not on the list."""
    plain = canonical(word)
    for stop in book.scales.stops:
        if plain in {canonical(w) for w in (stop.key, *stop.also)}:
            return stop.key
    return plain


def _stop_keys(page: Concern, book: Rulebook) -> tuple[str, ...]:
    return tuple(dict.fromkeys(stop_key(stop, book) for stop in page.stops))


def _bears_on(word: VetsWord, concern: RaisedConcern, visit: Visit, book: Rulebook) -> bool:
    """Whether a veterinarian's word is about this concern: by its name, family, place or region, or about every finding.

    INVARIANT: one more finding can only end this, never begin it; else a second sign would open what the first one stopped.
    """
    if not _of_those_legs(word, concern, book):
        return False
    page = book.concerns[concern.key]
    found = concern.findings
    # A concern of one side takes in what was seen without a side; one without a side is about a side only if every finding is.
    sides = {concern.side, *(f.side or concern.side for f in found)} if concern.side else {f.side for f in found}
    about = list(_abouts(word, concern, visit, book))
    if _speaks_of(about, {concern.key, page.family, concern.place}, sides, book):
        return True
    return bool(found) and all(_speaks_of(about, {f.where}, {f.side}, book) for f in found)


def _abouts(word: VetsWord, concern: RaisedConcern, visit: Visit, book: Rulebook) -> Iterator[tuple[str, Side | None]]:
    """What a word is about, as far as it reaches this concern.

    A step may have been slight on the day of the word and be marked today. So a word about steps or a leg reaches a
    pressing concern only where the step it saw was as bad: it says so ("left hind marked"), or it is of this very day and
    says nothing else.
    """
    degrees = word.degrees or (None,) * len(word.about)
    for about, side, degree in zip(word.about, word.sides, degrees, strict=True):
        as_bad = word.seen >= visit.day if degree is None else degree not in _mild_steps(book)
        if concern.call == "routine" or as_bad or not _of_steps(about, book):
            yield about, side


def _of_steps(about: str, book: Rulebook) -> bool:
    """Whether this is the heading of uneven steps, a family of that name, or one of its legs."""
    observation = book.vocabulary.observations.get(about)
    return STEPS in (canonical(about), observation.section if observation is not None else "")


def _mild_steps(book: Rulebook) -> set[str]:
    """The degrees of a step that are no more than slight: the words of a leg up to its first that asks for notice."""
    mild: set[str] = set()
    for observation in book.vocabulary.observations.values():
        if _of_steps(observation.key, book) and observation.sides == "each":
            notable = [word.key for word in observation.readings if word.notable]
            mild |= {word.key for word in observation.readings if not word.notable} | set(notable[:1])
    return mild


def _of_those_legs(word: VetsWord, concern: RaisedConcern, book: Rulebook) -> bool:
    """A word that grades one leg is about that leg: no other leg comes open with it, whatever heading it was given under."""
    within = book.vocabulary.within(STEPS)
    graded = {(within.get(grade.limb, grade.limb), grade.side) for grade in word.grades}
    legs = {(f.where, f.side) for f in concern.findings if _of_steps(f.where, book) and f.side}
    return not graded or legs <= graded


def _speaks_of(abouts: list[tuple[str, Side | None]], names: set[str], sides: set[str], book: Rulebook) -> bool:
    names = {canonical(name) for name in names if name}
    for name in list(names):
        place = book.vocabulary.places.get(name)
        observation = book.vocabulary.observations.get(name)
        if place is not None:
            names |= {canonical(place.region), *map(canonical, place.groups)}
        if observation is not None:
            names |= {canonical(observation.section), canonical(observation.name)}
    return any(canonical(about) in names and (side is None or sides == {side}) for about, side in abouts)


def _release(word: VetsWord, raised: list[RaisedConcern], visit: Visit, book: Rulebook) -> Release:
    about = [c for c in raised if _bears_on(word, c, visit, book)]
    families = {book.concerns[c.key].family for c in about} - {""}
    # A new sign: one pressing, or one of the same kind as it was about, such as an uneven step on another leg.
    new = [c for c in raised if c not in about and (c.call != "routine" or book.concerns[c.key].family in families)]
    closed = ""
    ended = word.until is not None and word.until < visit.day
    if word.until is not None and ended:
        closed = f"it ended on {word.until.isoformat()}"
    elif word.allows and word.until is None and word.seen < visit.day:
        # To open something it must say until when; what it forbids stands without that.
        closed = f"it was given on {word.seen.isoformat()} and does not say until when it holds"
    elif any(c.call == "emergency" for c in raised):
        closed = "an emergency sign stands"
    elif new:
        closed = f"a sign it is not about has come up: {new[0].words.rstrip('.')}"
    return Release(
        who=word.who, seen=word.seen.isoformat(), until=word.until.isoformat() if word.until else "",
        allows=tuple(stop_key(w, book) for w in word.allows), forbids=tuple(stop_key(w, book) for w in word.forbids),
        about=word.about, holds=not closed, closed_because=closed, line=word.line, ended=ended,
    )  # fmt: skip


def _with_release(
    concern: RaisedConcern, words: list[tuple[VetsWord, Release]], visit: Visit, book: Rulebook
) -> RaisedConcern:
    about = (told for word, told in words if told.holds and _bears_on(word, concern, visit, book))
    forbidden = {stop for _, told in words if not told.ended for stop in told.forbids}
    allowed = {stop for told in about for stop in told.allows} - forbidden
    released = tuple(stop for stop in concern.stops if stop in allowed)
    fields = {name: getattr(concern, name) for name in RaisedConcern.__dataclass_fields__}
    return RaisedConcern(**fields | {"released": released, "allowed": tuple(sorted(allowed))})
