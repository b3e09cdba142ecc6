"""Parts that several pages of the terminal share: the opening, the reasons to call, rules at work, what it rests on.

In: pieces of an answer. Out: lines.
Not here: the order of a whole page, colours, wording that phrases.py holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from reasoner.explanation.model import Concluded, Item
from reasoner.plan.model import RaisedConcern, Referral, Release
from reasoner.rendering import phrases, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import clause, listed, sentence
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.rulebook import Rulebook
from reasoner.visit.model import DateSpan, Visit


def opening(answer: Answered) -> Iterator[Line]:
    """Which horse, which day, whose hands, and the warnings the reader gave."""
    visit = answer.visit
    yield Line(", ".join(part for part in (visit.horse_name or "The horse", *horse(visit)) if part), "title")
    hands = visit.noted_value("examined_by")
    yield Line(f"Visit of {phrases.day(visit.day)}" + (f", examined by {hands}" if hands else ""), tail=visit.file)
    for warning in visit.warnings:
        place = f"{warning.file}:{warning.line}" if warning.line else warning.file
        yield Line(sentence(f"{warning.sentence} {warning.hint}"), "open", mark="look again:", tail=place)


def horse(visit: Visit) -> tuple[str, ...]:
    """Sex and year of birth, as far as written."""
    sex, born = visit.noted_value("sex"), visit.noted_value("born")
    return (
        phrases.plain(sex) if isinstance(sex, str) else "",
        f"born {wording.span(born)}" if isinstance(born, DateSpan) and not born.never else "",
    )


# -- reasons to call the veterinarian ----------------------------------------------------------------------------------


def referral(answer: Answered) -> Iterator[Line]:
    """Every reason to call, what it stops, and once for all of them what to do while waiting."""
    raised = answer.referral.concerns
    yield from heading("first: reasons to call the veterinarian")
    if not raised:
        yield Line(phrases.NO_CONCERN + " " + phrases.NO_CONCERN_MEANS)
    for concern in raised:
        yield from _concern(concern, answer)
    yield from while_you_wait(answer.referral)
    for release in answer.referral.releases:
        yield from _release(release)


def _concern(concern: RaisedConcern, answer: Answered) -> Iterator[Line]:
    book = answer.ready.book
    yield Line(concern.words, "alarm", mark=f"{concern.call.upper()}, {concern.when}:", tail=f"{concern.file}:{concern.line}")
    for name, because, bases in concern.signs:
        yield Line(f"{sentence(name)} {because}", indent=2, hang=8, mark="sign", tail=wording.basis(bases, book))
    if concern.findings:
        seen = wording.findings(concern.findings, book.vocabulary)
        yield Line(seen, indent=2, hang=8, mark="seen", tail=wording.places_in_file(concern.findings))
    stops = listed(concern.standing_stops) or "nothing any more"
    if concern.released:
        stops += f" (opened again by a veterinarian's word: {listed(concern.released)})"
    yield Line(stops, indent=2, hang=8, mark="stops")


def while_you_wait(raised: Referral) -> Iterator[Line]:
    """The lines for the handler and for the telephone, each once."""
    waiting = dict.fromkeys(line for concern in raised.concerns for line in concern.while_you_wait)
    telling = dict.fromkeys(line for concern in raised.concerns for line in concern.tell_the_vet)
    if waiting:
        yield Line("While you wait for the veterinarian:", "strong")
        for line in waiting:
            yield Line(sentence(line), indent=2, mark="-")
    if telling:
        yield Line("Tell the veterinarian: " + sentence("; ".join(clause(line) for line in telling)))


def release_words(release: Release) -> str:
    """A veterinarian's word in one sentence."""
    said = f"{release.who or 'A veterinarian'} saw the horse ({release.seen})"
    if release.about:
        said += f" about {listed(phrases.plain(word) for word in release.about)}"
    if release.allows:
        said += f"; allows {listed(release.allows)}"
    if release.forbids:
        said += f"; forbids {listed(release.forbids)}"
    if release.until:
        said += f"; until {release.until}"
    return sentence(said)


def _release(release: Release) -> Iterator[Line]:
    text = release_words(release)
    if not release.holds:
        text += f" This does not open anything today: {sentence(release.closed_because)}"
    yield Line(text, mark="veterinarian's word:", tail=f"line {release.line}" if release.line else "")


# -- a conclusion and the rules behind it ------------------------------------------------------------------------------


def how_firm(concluded: Concluded) -> str:
    """Band and certainty, and how far what was not checked could move it."""
    text = f"{phrases.pointers(concluded.band)}, {phrases.certainty(concluded.certainty)}"
    low, high = phrases.certainty(concluded.lower), phrases.certainty(concluded.upper)
    if low == high:
        return text
    return f"{text} ({low} to {high} with what was not checked)"


def evidence(concluded: Concluded, book: Rulebook, indent: int) -> Iterator[Line]:
    """What speaks for and against it, one rule a line, with where the finding and the rule stand."""
    folded = [item for item in (*concluded.supporting, *concluded.opposing) if not item.share]
    for items, mark in ((concluded.supporting, "for"), (concluded.opposing, "against")):
        for item in items:
            if item.share:
                yield from _item(item, mark, book, indent)
    if folded:
        names = "; ".join(item.name for item in folded)
        yield Line(f"already counted through a louder rule of its group: {names}", "faint", indent, hang=9)


def _item(item: Item, mark: str, book: Rulebook, indent: int) -> Iterator[Line]:
    text = f"{phrases.signed(item.contribution)}  {item.name}"
    yield Line(text, "for" if mark == "for" else "against", indent, mark, f"{item.file}:{item.line}", 9)
    inner = indent + 9
    if item.findings:
        seen = wording.findings(item.findings, book.vocabulary)
        yield Line(seen, indent=inner, hang=7, tail=wording.places_in_file(item.findings))
    if item.via:
        names = "; ".join(phrases.at_side(phrases.plain(key), side) for key, side in item.via)
        yield Line(f"by way of: {names}", indent=inner, hang=7)
    if item.lessened_by:
        yield Line(f"counts less: {wording.circumstances(item.lessened_by, book)}", indent=inner, hang=7)
    if item.gated:
        yield Line("held back: what it depends on is not fully there", indent=inner, hang=7)
    yield Line(wording.basis(item.basis, book), "faint", inner, hang=7)


def left_open(concluded: Concluded, book: Rulebook, indent: int) -> Iterator[Line]:
    """What was not checked about one conclusion."""
    if concluded.not_checked:
        names = wording.unchecked(concluded.not_checked, book.vocabulary)
        yield Line(f"not checked: {names}", "open", indent)


# -- what everything rests on ------------------------------------------------------------------------------------------


def rests_on(answer: Answered, examined: int) -> Iterator[Line]:
    """The findings, the rules, and what these rest on."""
    from reasoner import __version__

    book, visit = answer.ready.book, answer.visit
    yield from heading("what this rests on")
    yield Line(
        f"{phrases.counted(examined, 'place')} examined by hand (each side counts) and "
        f"{phrases.counted(len(visit.noted), 'other entry', 'other entries')}, all in {visit.file}."
    )
    rested = wording.basis(wording.all_bases(answer), book)
    if rested:
        yield Line(sentence(f"Rules at work rest on {rested}"))
    folders = listed(book.folders)
    yield Line(f"Rulebook {book.stamp} ({folders}), engine {__version__}.", "faint")
    yield Line(phrases.NOT_A_PROBABILITY, "faint")


def cautions(more: Iterable[str] = ()) -> Iterator[Line]:
    """The cautions of the plan and the usual ones, each once."""
    yield GAP
    for line in dict.fromkeys((*more, *phrases.CAUTIONS)):
        yield Line(sentence(line), "faint", mark="-")
