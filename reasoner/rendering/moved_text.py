"""What the differences of two hands make of the conclusions, as lines: which single reading moved which conclusion.

In: a `Trace`. Out: lines for the terminal, and short texts for JSON.
Not here: tracing (teaching.moved), figures of agreement.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.differences import KINDS
from reasoner.rendering import phrases, wording
from reasoner.rendering.agreement_words import place
from reasoner.rendering.differences_text import HEADINGS, differing_lines
from reasoner.rendering.phrases import counted, plain, rest
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.exchange import Differing
from reasoner.teaching.moved import Moved, Trace
from reasoner.visit.model import DateSpan, Noted, Touch

SAME = "Nothing: both files lead to the same conclusions, the same reasons to call and the same plan."
HOW_TRACED = (
    "Traced by exchanging readings: one reading of the second file was put into the first, and the first was judged again. Where "
    "no single reading moved a conclusion, readings were put over together and those not needed left out again; of such a set "
    "none can be left out, but another set might be smaller."
)
MOST_IDLE = 12  # how many readings that move nothing are named; the rest are counted


def moved_lines(trace: Trace, names: tuple[str, str], words: Vocabulary) -> Iterator[Line]:
    """The section, with its heading."""
    yield from heading("what that makes of the conclusions")
    if not trace.readings:
        yield Line("The two files say the same of everything that a rule hears.")
        return
    if not trace.moved:
        yield Line(SAME, "strong")
        yield Line(f"{counted(len(trace.readings), 'reading')} differ, and none of them moves anything.")
        return
    yield Line(f"Before is {names[0]}, after is {names[1]}.", "faint")
    for kind in KINDS:
        some = [moved for moved in trace.moved if moved.change.kind == kind]
        if some:
            yield Line(HEADINGS[kind], "strong")
        for moved in some:
            _, *told = differing_lines([moved.change])
            yield from told
            yield from (Line(said, "for", 4, "moved by", hang=2) for said in movers(moved, words))
    idle = trace.idle
    if idle:
        yield Line(f"Differ and move nothing: {_named(idle, words)}.", "faint")
    yield Line(HOW_TRACED, "faint")


def movers(moved: Moved, words: Vocabulary) -> list[str]:
    """What moved one difference, to stand behind "moved by"."""
    if moved.alone:
        if len(moved.alone) == 1:
            also = " and putting it back takes it away again" if moved.alone[0] in moved.back else ""
            return [rest(f"this reading by itself: {reading(moved.alone[0], words)}{also and ';' + also}")]
        each = "; ".join(reading(one, words) for one in moved.alone)
        return [rest(f"each of these readings by itself: {each}")]
    if not moved.whole:
        return ["not traced to its end: no single reading, and the search for a set was cut short."]
    if not moved.together:
        return ["no reading of the two files; exchanging all of them does not bring it."]
    each = "; ".join(reading(one, words) for one in moved.together)
    said = [rest(f"no reading by itself; these {len(moved.together)} together: {each}")]
    if moved.back:
        back = "; ".join(reading(one, words) for one in moved.back)
        said.append(rest(f"the other way round each of these takes it away by itself: {back}"))
    return said


def reading(one: Differing, words: Vocabulary) -> str:
    """A differing reading: "withers, left: 5, then 3"."""
    if one.part:
        return f"the {one.part}"
    before, after = (written(entries) for entries in (one.one, one.two))
    return f"{name(one, words)}: {before}, then {after}"


def name(one: Differing, words: Vocabulary) -> str:
    """The place or entry of a differing reading, with its side."""
    key, side = one.spot
    if key in words.places:
        return place(key, side, words)
    known = words.observations.get(key)
    heading_of = wording.group_of(key, words)
    said = known.name if known else plain(key)
    return phrases.at_side(said if heading_of in ("", "other") else f"{heading_of}: {said}", side)


def written(entries: Sequence[Touch | Noted]) -> str:
    """What one file says of one thing, in few words; "not examined" where it says nothing."""
    told = [_touch(entry) if isinstance(entry, Touch) else _noted(entry) for entry in entries]
    return " and ".join(told) or "not examined"


def _touch(touch: Touch) -> str:
    when = {"first": "", "settled": " once settled", "after_work": " after work"}[touch.when]
    if touch.not_examined is not None:
        return f"not examined ({plain(touch.not_examined)}){when}" if touch.not_examined else f"not examined{when}"
    parts = [] if touch.soreness is None else [f"{touch.soreness.normalize():f}"]
    parts += ["would not allow touch"] if touch.refused else []
    for felt in (touch.responses, touch.felt):
        parts += [plain(word) for word in felt or () if word not in ("none", "nothing")]
    parts += [plain(word) for word in (touch.depth, touch.touch) if word]
    return (", ".join(parts) or "nothing written") + when


def _noted(noted: Noted) -> str:
    about = f" ({plain(noted.about[0])}, {noted.about[1]})" if noted.about else ""
    value = noted.value
    if isinstance(value, DateSpan):
        return wording.span(value) + about
    return (noted.written or plain(str(value))) + about


def _named(some: Sequence[Differing], words: Vocabulary) -> str:
    told = "; ".join(name(one, words) for one in some[:MOST_IDLE])
    more = len(some) - MOST_IDLE
    return told if more <= 0 else f"{told}; and {counted(more, 'other')}"
