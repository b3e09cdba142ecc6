"""A practice session on the terminal, as far as it has gone: what was seen, what may be looked at, what was said.

In: a session and what may be looked at. Out: lines.
Not here: marks (practise_marks_text). No word of the case or of its answer that was not uncovered stands in any of these lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from reasoner.questions.checks import Check
from reasoner.rendering.condition_words import by_side
from reasoner.rendering.phrases import listed, plain, sentence
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.pages import Action, Conclusion
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.choices import HOW
from reasoner.teaching.offered import SAID_LATER, STOPPED, Offered
from reasoner.teaching.session import Session, revealed, shown
from reasoner.visit.model import Noted, Touch

NOT_A_HORSE = (
    "A practice case is a story for learning and no horse. On a real one hands stay off what guards itself, light "
    "fingertip touch "
    "is all on the spine and the edge of the loin, and whatever is doubtful goes to the veterinarian."
)
NOT_HAD = "could not be had that day"


def state_lines(session: Session, offer: Offered, book: Rulebook) -> Iterator[Line]:
    """Where the session stands."""
    yield Line(f"Practice case ({session.case.difficulty})" if session.case.difficulty else "Practice case", "title")
    yield Line(NOT_A_HORSE, "faint")
    visit = revealed(session, book)
    yield from heading("what is known so far")
    if visit.touches or visit.noted:
        yield from (Line(words, indent=2, mark="-") for words in readings(visit.touches, visit.noted, book.vocabulary))
    else:
        yield Line("Nothing yet.", indent=2)
    yield from heading("what you said")
    yield Line(f"you think: {_thinks(session)}", indent=2)
    yield Line(f"veterinarian: {session.referral or 'not said yet'}", indent=2)
    yield Line(f"plan: {listed(_named(key, side) for key, side in session.steps) or 'no steps yet'}", indent=2)
    yield from heading("what you can do")
    if offer.stop:
        yield Line(f"{sentence(STOPPED)} {SAID_LATER}", "alarm", 2)
    else:
        yield Line(f"look: {len(offer.checks)} looks may be made; `looks` lists them", indent=2)
    yield Line(f"write for instance: {'; '.join(HOW.values())}", indent=2)
    yield Line(
        "`causes` and `steps` list what may be named; `seen` shows this again; `stop` keeps it for later", indent=2
    )


def looks_lines(offer: Offered, book: Rulebook) -> Iterator[Line]:
    """Every look that may be made, by heading, in walking order."""
    if offer.stop:
        yield Line(f"{sentence(STOPPED)} {SAID_LATER}", "alarm")
        return
    before = None
    for check in offer.checks:
        if check.heading != before:
            before = check.heading
            section = book.vocabulary.sections.get(check.heading)
            yield from heading(section.name if section is not None else plain(check.heading))
        yield Line(_look(check), indent=2, mark="-")
    if offer.left:
        yield GAP
        yield Line(
            f"{len(offer.left)} more are not looked at now: something seen so far stands in their way. {SAID_LATER}"
        )


def shown_lines(session: Session, look: str, book: Rulebook) -> Iterator[Line]:
    """What one look has shown."""
    touches, noted = shown(session, look, book)
    found = list(readings(touches, noted, book.vocabulary))
    yield from (Line(words, "strong", 2) for words in found)
    if not found:
        yield Line(f"{look_name(look, book)}: {NOT_HAD}", indent=2)


def look_name(look: str, book: Rulebook) -> str:
    """What a look is called."""
    known = book.vocabulary.places.get(look) or book.vocabulary.observations.get(look)
    return known.name if known is not None else plain(look)


def unseen(session: Session, book: Rulebook) -> Iterator[str]:
    """Of a session that has ended what no look had shown, one place or entry a line; of an open one nothing."""
    if not session.ended:
        return
    seen, whole = revealed(session, book), session.case.visit
    yield from readings([one for one in whole.touches if one not in seen.touches],
                        [one for one in whole.noted if one not in seen.noted and one.key in book.vocabulary.observations],
                        book.vocabulary)  # fmt: skip


def names_lines(book: Rulebook, what: str) -> Iterator[Line]:
    """All causes, or all steps, that may be named; the same list whatever the case is."""
    yield from heading("causes, each with how it is read" if what == "causes" else "steps")
    for key, page, says in may_be_named(book, what):
        side = ", left or right" if page.sides == "each" else ""
        yield Line(f"{plain(key)}{side}: {says}", indent=2, mark="-")


def may_be_named(book: Rulebook, what: str) -> Iterator[tuple[str, Conclusion | Action, str]]:
    """(key, page, how it reads without a side) of every cause, or of every step where `what` is "steps"."""
    pages: dict[str, Conclusion | Action] = (
        dict(book.actions) if what == "steps" else {k: p for k, p in book.conclusions.items() if p.kind == "cause"}
    )
    for key, page in pages.items():
        yield key, page, by_side(page.says)


def readings(touches: Sequence[Touch], noted: Iterable[Noted], words: Vocabulary) -> Iterator[str]:
    """What was felt and seen, one place or entry a line, left before right."""
    quiet = [
        touch
        for touch in touches
        if touch.soreness == 0 and not touch.responses and not touch.felt and touch.side is None
    ]
    stroke = {touch.place for touch in quiet} if len(quiet) > MANY else set()
    places: dict[str, list[Touch]] = {}
    for touch in touches:
        if touch.place not in stroke:
            places.setdefault(touch.place, []).append(touch)
    for place, both in places.items():
        said = [f"{t.side} {_felt(t)}" if t.side else _felt(t) for t in sorted(both, key=lambda t: t.side or "")]
        yield f"{words.places[place].name}: {', '.join(said)}"
    if stroke:
        yield f"{len(stroke)} places on the middle line: 0 each"
    entries: dict[str, list[Noted]] = {}
    for one in noted:
        entries.setdefault(one.key, []).append(one)
    for key, several in entries.items():
        said = [f"{n.side} {_word(n)}" if n.side else _word(n) for n in sorted(several, key=lambda n: n.side or "")]
        yield f"{words.observations[key].name}: {', '.join(said)}"


LATER = {"settled": "once settled", "after_work": "after work"}
MANY = 3  # more than so many quiet places on the middle line stand in one line


def _word(noted: Noted) -> str:
    return plain(noted.value) if isinstance(noted.value, str) and noted.kind != "text" else noted.written


def _felt(touch: Touch) -> str:
    said = [] if touch.soreness is None else [f"{touch.soreness:f}"]
    said += ["would not allow touch"] if touch.refused else []
    said += [
        plain(word)
        for word in (*(touch.responses or ()), *(touch.felt or ()), touch.depth or "", touch.touch or "")
        if word
    ]
    later = LATER.get(touch.when, "")
    return f"{later} {' '.join(said) or 'felt'}".strip()


def _look(check: Check) -> str:
    asks = f": {check.question}" if check.question else ""
    care = f" (take care: {check.safety})" if check.safety else ""
    return f"{check.name}{asks}{care}"


def _thinks(session: Session) -> str:
    said = [f"{_named(*key)} {share:.0%}" for key, share in session.thinks.items()]
    return listed(said) or "nothing said yet, so that every cause is held for equally likely"


def _named(key: str, side: str) -> str:
    return f"{plain(key)}, {side}" if side else plain(key)
