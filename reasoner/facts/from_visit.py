"""The single door from a visit: touches and observations become values in slots.

In: a `Visit` and the lists of words that code readings. Out: `Facts`.
Not here: reading files, limits, rules. Four kinds of silence are kept apart: quiet is 0, not examined is no value, could not
examine is no value, and would not allow touch is a value of its own (`guarded`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from reasoner.facts.table import Facts, Origin
from reasoner.inference.slots import FELT, RESPONSES, SORENESS, bit, mask, slot
from reasoner.visit.model import DateSpan, Noted, Touch, Visit

Words = Mapping[str, Sequence[str]]
REFUSAL, NO_RESPONSE, NOTHING_FELT = "would_not_allow", "none", "nothing"
SETTLED = "settled_under_the_hand"
WHEN = ("first", "settled", "after_work")


def facts_of(visit: Visit, words: Words, more: tuple[Noted, ...] = ()) -> Facts:
    """Every value of a visit, and of the entries in `more` that were worked out from its measurements.

    `words` maps an observation's key to its readings in coding order, and "*responses", "*felt", "*depth", "*touch" to the
    words of those qualities (see `Program.meta["words"]`).
    """
    made = _Facts(visit, words)
    touches: dict[tuple[str, str], dict[str, Touch]] = {}
    # In the order of time and of legs, whatever the order on paper: of two readings that say the same, the line shown is the
    # same one however the file is shuffled.
    for touch in sorted(visit.touches, key=lambda t: WHEN.index(t.when)):
        touches.setdefault((touch.place, touch.side or ""), {})[touch.when] = touch
    for noted in sorted((*visit.noted, *more), key=lambda n: n.about or ("", "")):
        made.note(noted)
    for (place, side), times in touches.items():
        made.touch(place, side, times)
    return Facts(made.values, made.origins, more)


class _Facts:
    def __init__(self, visit: Visit, words: Words) -> None:
        self.visit = visit
        self.words = words
        self.values: dict[str, float] = {}
        self.origins: dict[str, Origin] = {}

    def put(self, name: str, value: float, line: int, written: str, file: str = "") -> None:
        self.values[name] = value
        self.origins[name] = Origin(file or self.visit.file, line, written)

    # -- observations ------------------------------------------------------------------------------------------------

    def note(self, noted: Noted) -> None:
        side = noted.side or ""
        value = noted.value
        if isinstance(value, DateSpan):
            self._date(noted, side, value)
        elif isinstance(value, Decimal):
            self.put(slot(noted.key, side, "value"), float(value), noted.line, noted.written, noted.file)
        elif noted.key in self.words and value in self.words[noted.key]:
            name = slot(noted.key, side, "value")
            code = bit(self.words[noted.key], value)
            # Said of one leg each, the same question may have two answers: both are then recorded.
            both = int(self.values[name]) | code if noted.about and name in self.values else code
            self.put(name, float(both), noted.line, noted.written, noted.file)

    def _date(self, noted: Noted, side: str, span: DateSpan) -> None:
        least, most = _days_ago(span, self.visit.day)
        for quality, days in (("days_least", least), ("days_most", most)):
            name = slot(noted.key, side, quality)
            if days >= self.values.get(name, -math.inf):  # of several legs, the one seen longest ago is what counts
                self.put(name, days, noted.line, noted.written)

    # -- touches -----------------------------------------------------------------------------------------------------

    def touch(self, place: str, side: str, times: Mapping[str, Touch]) -> None:
        examined = {when: t for when, t in times.items() if t.not_examined is None}
        if not examined:
            return
        before = [examined[when] for when in ("settled", "first") if when in examined]
        for reading, when in (("first", "first"), ("settled", "settled"), ("after_work", "after_work")):
            if when in examined:
                self._soreness(place, side, reading, examined[when])
        if before:
            self._soreness(place, side, "effective", before[0])
            self._settled(place, side, before[0])
            self._words(place, side, before)
        scored = [t for t in examined.values() if t.soreness is not None]
        if scored:
            worst = max(scored, key=lambda t: t.soreness or Decimal(0))
            self._put_soreness(place, side, "worst", worst)
        self._felt(place, side, "worst", list(examined.values()))
        self._guarded(place, side, list(examined.values()))
        answers = [code for t in examined.values() if (code := self._responses(t)) is not None]
        if answers:
            whole = 0
            for code in answers:
                whole |= code
            speaking = [t for t in examined.values() if self._responses(t) is not None]
            telling = next(
                (t for t in speaking if self._responses(t) != bit(self.words["*responses"], NO_RESPONSE)), speaking[0]
            )
            self.put(slot(place, side, RESPONSES["worst"]), float(whole), telling.line, _shown(telling))

    def _soreness(self, place: str, side: str, reading: str, touch: Touch) -> None:
        if touch.soreness is not None:
            self._put_soreness(place, side, reading, touch)
        code = self._responses(touch)
        if code is not None:
            self.put(slot(place, side, RESPONSES[reading]), float(code), touch.line, _shown(touch))

    def _put_soreness(self, place: str, side: str, reading: str, touch: Touch) -> None:
        if touch.soreness is not None:
            self.put(slot(place, side, SORENESS[reading]), float(touch.soreness), touch.line, _shown(touch))

    def _responses(self, touch: Touch) -> int | None:
        """The bits of the responses; a 0 with nothing said is "none", a number alone says nothing of the response."""
        words = self.words["*responses"]
        said = set(touch.responses or ())
        if touch.refused:
            said.add(REFUSAL)
        if said:
            return mask(words, said)
        return bit(words, NO_RESPONSE) if touch.soreness == 0 else None

    def _guarded(self, place: str, side: str, touches: Sequence[Touch]) -> None:
        refused = [t for t in touches if t.refused]
        told = refused or [t for t in touches if t.soreness is not None]
        if told:
            self.put(slot(place, side, "guarded"), 1.0 if refused else 0.0, told[0].line, _shown(told[0]))

    def _settled(self, place: str, side: str, touch: Touch) -> None:
        """Whether the reading the causes use was taken before the horse had settled."""
        if touch.when == "settled":
            self.put(slot(place, side, "unsettled"), 0.0, touch.line, _shown(touch))
            return
        for noted in self.visit.noted:
            if noted.key == SETTLED:
                self.put(
                    slot(place, side, "unsettled"), 0.0 if noted.value == "seen" else 1.0, noted.line, noted.written
                )

    def _words(self, place: str, side: str, touches: Sequence[Touch]) -> None:
        self._felt(place, side, "effective", touches)
        for quality in ("depth", "touch"):
            told = next((t for t in touches if getattr(t, quality) is not None), None)
            if told is not None:
                code = bit(self.words[f"*{quality}"], getattr(told, quality))
                self.put(slot(place, side, quality), float(code), told.line, _shown(told))

    def _felt(self, place: str, side: str, reading: str, touches: Sequence[Touch]) -> None:
        """What was felt in any of these touches; the line is that of one where something was."""
        felt = [t for t in touches if t.felt is not None]
        if felt or all(t.quiet_list for t in touches):
            found = {word for t in felt for word in t.felt or ()} - {NOTHING_FELT}
            code = mask(self.words["*felt"], found or {NOTHING_FELT})
            telling = next((t for t in felt if set(t.felt or ()) & found), (felt or touches)[0])
            self.put(slot(place, side, FELT[reading]), float(code), telling.line, _shown(telling))


def _days_ago(span: DateSpan, day: date) -> tuple[float, float]:
    if span.never:
        return math.inf, math.inf
    return float(max((day - span.last).days, 0)), float(max((day - span.first).days, 0))


def _shown(touch: Touch) -> str:
    """A touch in short words: "5, flinches", "would not allow touch"."""
    if touch.refused:
        return "would not allow touch"
    words = [] if touch.soreness is None else [f"{touch.soreness.normalize():f}"]
    words += [w.replace("_", " ") for w in (touch.responses or ()) if w != NO_RESPONSE]
    words += [f"felt {w.replace('_', ' ')}" for w in (touch.felt or ()) if w != NOTHING_FELT]
    words += [touch.depth] if touch.depth else []
    return ", ".join(words) or "quiet"
