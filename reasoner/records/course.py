"""The course of each place and side over visits, and what two visits say beside each other.

In: visits in order, how far each hand wavers. Out: a `Course` for each place and side; `Compared` for two of its readings.
Not here: plans, causes, wording. Readings before work are laid beside readings before work, settled ones first, as facts read
them; those after work are kept apart. A difference is told only where it is larger than the hands that graded would differ by on
an unchanged horse.

sqrt(shared_1^2 + noise_1^2 + shared_2^2 + noise_2^2) is the standard deviation of that difference (propagation of independent
errors, through `uncertainties`); it counts beyond `better_or_worse.beyond` of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import cache
from typing import Literal, cast

from reasoner.facts.from_visit import SETTLED
from reasoner.frozen import frozen
from reasoner.rulebook.measures.progress import Progress
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import ReadingError
from reasoner.rulebook.vocabulary import Observation, canonical
from reasoner.visit.model import Touch, Visit

Mark = Literal["score", "refused", "words", "not_examined"]
Change = Literal["better", "worse", "within_the_hand", "freed", "refused", "not_examined", "not_measured"]
Spot = tuple[str, str]
TABLE = "progress"


@frozen(kw_only=True)
class Seen:
    """What one visit says of one place and side before work. `score` (0-10) where `mark` is "score"; `reason` why it was not
    examined; `settled`: graded once the horse had settled. `word` is the reading of an entry that is seen and not felt."""

    day: date
    mark: Mark
    score: float | None = None
    reason: str = ""
    settled: bool = False
    line: int = 0
    file: str = ""
    word: str = ""


@frozen(kw_only=True)
class Course:
    """One place and side: for each visit what was seen (None: a gap) and the score after that day's work (None: none)."""

    place: str
    side: str
    seen: tuple[Seen | None, ...]
    after_work: tuple[float | None, ...]

    def examined(self, at: int) -> bool:
        """Whether the place was examined before work at that visit."""
        seen = self.seen[at]
        return seen is not None and seen.mark != "not_examined"


@frozen(kw_only=True)
class Compared:
    """Two readings of one place: `by` is the later less the earlier, `error` one standard deviation of such a difference on an
    unchanged horse (both in points of the scale). `unlike`: what makes the two unlike each other, in words."""

    place: str
    side: str
    earlier: Seen | None
    later: Seen | None
    change: Change
    by: float | None = None
    error: float | None = None
    unlike: tuple[str, ...] = ()


def table_of(book: Rulebook) -> Progress:
    """The figures behind progress."""
    return cast(Progress, book.measures[TABLE])


def courses(visits: Sequence[Visit], book: Rulebook) -> tuple[Course, ...]:
    """Every place and side that any of the visits speaks of, in walking order, left before right."""
    touched = [_by_spot(visit) for visit in visits]
    walk = {place.key: (place.walk, place.key) for place in book.vocabulary.places.values()}
    spots = {spot for one in touched for spot in one}
    return tuple(
        Course(
            place=place, side=side,
            seen=tuple(_seen(one.get((place, side), {}), visit) for one, visit in zip(touched, visits, strict=True)),
            after_work=tuple(_after(one.get((place, side), {})) for one in touched),
        )
        for place, side in sorted(spots, key=lambda spot: (walk.get(spot[0], (10**6, spot[0])), spot[1]))
    )  # fmt: skip


def _by_spot(visit: Visit) -> Mapping[Spot, Mapping[str, Touch]]:
    found: dict[Spot, dict[str, Touch]] = {}
    for touch in visit.touches:
        found.setdefault((touch.place, touch.side or ""), {})[touch.when] = touch
    return found


def _seen(times: Mapping[str, Touch], visit: Visit) -> Seen | None:
    before = [times[when] for when in ("settled", "first") if when in times]
    examined = [touch for touch in before if touch.not_examined is None]
    if not examined:
        why = next((touch for touch in before if touch.not_examined), None)
        if why is None:
            return None
        return Seen(day=visit.day, mark="not_examined", reason=why.not_examined or "", line=why.line, file=visit.file)
    touch = examined[0]
    mark: Mark = "refused" if touch.refused else "words" if touch.soreness is None else "score"
    return Seen(
        day=visit.day, mark=mark, score=float(touch.soreness) if mark == "score" and touch.soreness is not None else None,
        settled=touch.when == "settled", line=touch.line, file=visit.file,
    )  # fmt: skip


def _after(times: Mapping[str, Touch]) -> float | None:
    touch = times.get("after_work")
    return None if touch is None or touch.soreness is None else float(touch.soreness)


# -- two visits beside each other ----------------------------------------------------------------------------------------


class Comparing:
    """Visits laid side by side by the hands that graded them."""

    def __init__(self, visits: Sequence[Visit], book: Rulebook) -> None:
        self.visits, self.book, self.table = tuple(visits), book, table_of(book)
        self.hands = tuple(hand_at(visit, book) for visit in visits)
        self.courses = courses(visits, book)
        self.course_of = {(course.place, course.side): course for course in self.courses}

    def of(self, spot: Spot, earlier: int, later: int) -> Compared:
        """One place at two visits, by their numbers."""
        course = self.course(spot)
        if course is None:
            return Compared(place=spot[0], side=spot[1], earlier=None, later=None, change="not_examined")
        one, other = course.seen[earlier], course.seen[later]
        change, by, error = self._change(course, earlier, later)
        return Compared(
            place=spot[0], side=spot[1], earlier=one, later=other, change=change, by=by, error=error,
            unlike=tuple(self.unlike(earlier, later, one, other)),
        )  # fmt: skip

    def course(self, spot: Spot) -> Course | None:
        """The course of a place, or of an entry that is answered by a word; None where no visit speaks of it."""
        if spot not in self.course_of and spot[0] in self.book.vocabulary.observations:
            seen = tuple(entry_seen(visit, spot, self.book.vocabulary.observations[spot[0]]) for visit in self.visits)
            nothing = (None,) * len(seen)
            self.course_of[spot] = Course(place=spot[0], side=spot[1], seen=seen, after_work=nothing)
        return self.course_of.get(spot)

    def _change(self, course: Course, earlier: int, later: int) -> tuple[Change, float | None, float | None]:
        one, other = course.seen[earlier], course.seen[later]
        if one is None or other is None or "not_examined" in (one.mark, other.mark):
            return "not_examined", None, None
        if "refused" in (one.mark, other.mark):
            same = one.mark == other.mark
            return ("within_the_hand" if same else "freed" if one.mark == "refused" else "refused"), None, None
        if one.word and other.word:
            ranks = [rank_of(self.book.vocabulary.observations[course.place], seen.word) for seen in (one, other)]
            return (
                ("better" if ranks[1] < ranks[0] else "worse" if ranks[1] > ranks[0] else "within_the_hand"),
                None,
                None,
            )
        error = self.error(earlier, later)
        if one.score is None or other.score is None or error is None:
            return "not_measured", None, None
        by = other.score - one.score
        if abs(by) <= self.table.better_or_worse.beyond * error:
            return "within_the_hand", by, error
        return ("better" if by < 0 else "worse"), by, error

    def error(self, earlier: int, later: int) -> float | None:
        """One standard deviation of the difference of two visits; None where nothing says how far the hand wavers."""
        one, other = self.hands[earlier], self.hands[later]
        if one is None or other is None:
            return None
        return error_of_difference(one.shared, one.noise, other.shared, other.noise)

    def unlike(self, earlier: int, later: int, one: Seen | None = None, other: Seen | None = None) -> Iterator[str]:
        """What makes two visits unlike each other, in words; of a place graded once settled, not that the horse was tense."""
        for at, seen in ((earlier, one), (later, other)):
            visit = self.visits[at]
            for sign in self.table.unlike.signs:
                said = visit.noted_value(sign.entry) in sign.words
                if said and not (sign.entry == SETTLED and seen is not None and seen.settled):
                    yield f"{sign.says} on {visit.day.isoformat()}"

    def two_hands(self, earlier: int, later: int) -> tuple[str, str] | None:
        """The two examiners, where they are not the same; None where they are, or where one is not written."""
        one, other = (examiner(self.visits[at]) for at in (earlier, later))
        return (one, other) if one and other and canonical(one) != canonical(other) else None


def entry_seen(visit: Visit, spot: Spot, entry: Observation) -> Seen | None:
    """What a visit says of an entry that is answered by a word; None where it says nothing. An eye does not wait for a horse to
    settle, so it counts as settled."""
    for noted in visit.noted:
        here = noted.key == entry.key and noted.about is None and (entry.sides == "none" or noted.side == spot[1])
        if here and isinstance(noted.value, str):
            return Seen(day=visit.day, mark="words", settled=True, line=noted.line, file=visit.file, word=noted.value)
    return None


def rank_of(entry: Observation, word: str) -> int:
    """How far a reading is from one that asks for nothing (0): readings that ask for notice in the order of the vocabulary,
    each side alike."""
    notable = [one.key for one in entry.readings if one.notable]
    return 0 if word not in notable else 1 if entry.kind == "side" else notable.index(word) + 1


def examiner(visit: Visit) -> str:
    """Who examined the horse, as written, or an empty string."""
    value = visit.noted_value("examined_by")
    return value if isinstance(value, str) else ""


def hand_at(visit: Visit, book: Rulebook) -> ReadingError | None:
    """How far the hand of this visit wavers: the examiner's own figure, else the usual one."""
    return book.scales.examiners.get(canonical(examiner(visit))) or book.scales.reading_error


@cache
def error_of_difference(shared: float, noise: float, shared_later: float, noise_later: float) -> float:
    """One standard deviation of the difference of two visits' scores of an unchanged place, in points of the scale.

    Each visit's score carries an error shared by the whole visit and one of its own; the four are independent.

    >>> round(error_of_difference(0.5, 0.7, 0.5, 0.7), 3)  # the square root of 2 * (0.25 + 0.49)
    1.217
    """
    from uncertainties import ufloat

    earlier = ufloat(0.0, shared) + ufloat(0.0, noise)
    later = ufloat(0.0, shared_later) + ufloat(0.0, noise_later)
    return float((later - earlier).std_dev)
