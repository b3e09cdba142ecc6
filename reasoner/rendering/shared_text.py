"""Parts that several pages of the terminal share: the opening, reasons to call, rules at work, what it rests on.

In: pieces of an answer. Out: lines.
Not here: the order of a whole page, colours, wording that phrases.py holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from reasoner import __version__
from reasoner.explanation.model import Concluded, Finding, Item
from reasoner.plan.concerns import RaisedConcern, Release
from reasoner.rendering import phrases, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.phrases import clause, counted, listed, sentence, stop
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import THIS_PLACE
from reasoner.visit.model import DateSpan, Visit


def opening(answer: Answered) -> Iterator[Line]:
    """Which horse, which day, whose hands."""
    visit = answer.visit
    yield Line(", ".join(part for part in (visit.horse_name or "The horse", *horse(visit)) if part), "title")
    hands = visit.noted_value("examined_by")
    yield Line(f"Visit of {phrases.day(visit.day)}" + (f", examined by {hands}" if hands else ""), tail=visit.file)


def horse(visit: Visit) -> tuple[str, ...]:
    """Sex and year of birth, as far as written."""
    sex, born = visit.noted_value("sex"), visit.noted_value("born")
    return (
        phrases.plain(sex) if isinstance(sex, str) else "",
        f"born {wording.span(born)}" if isinstance(born, DateSpan) and not born.never else "",
    )


# -- reasons to call the veterinarian ----------------------------------------------------------------------------------


def by_call(concerns: Iterable[RaisedConcern]) -> list[tuple[str, list[RaisedConcern]]]:
    """Concerns in the order given, gathered by how pressing the call is."""
    groups: dict[str, list[RaisedConcern]] = {}
    for concern in concerns:
        groups.setdefault(concern.call, []).append(concern)
    return list(groups.items())


def each_once(concerns: Iterable[RaisedConcern]) -> list[RaisedConcern]:
    """Concerns whose sentences differ: left and right of one place may say the same words."""
    return list({(concern.call, concern.words): concern for concern in reversed(list(concerns))}.values())[::-1]


def telling_something(raised: Sequence[RaisedConcern]) -> list[RaisedConcern]:
    """The concerns that tell something: a milder one that rests only on findings of more pressing ones does not."""
    level = {call: n for n, (call, _) in enumerate(by_call(raised))}

    def said_before(one: RaisedConcern) -> bool:
        above = {f for c in raised if level[c.call] < level[one.call] for f in map(_where, c.findings)}
        return bool(one.findings) and set(map(_where, one.findings)) <= above

    return [one for one in raised if not said_before(one)]


def _where(found: Finding) -> tuple[str, str]:
    return found.where, found.side


def referral(answer: Answered) -> Iterator[Line]:
    """Every reason to call, by how pressing it is: what was seen, what it stops, what to do while waiting."""
    book, raised = answer.ready.book, answer.referral.concerns
    yield from heading("first: reasons to call the veterinarian")
    if not raised:
        yield Line(phrases.NO_CONCERN + " " + phrases.NO_CONCERN_MEANS)
    told: set[str] = set()
    for call, concerns in by_call(raised):
        yield Line(phrases.called(call, concerns[0].when), "alarm")
        for concern in concerns:
            yield from _concern(concern, book)
        yield from waiting(concerns, told)
    for release in answer.referral.releases:
        yield Line(release_words(release), mark="veterinarian's word:", tail=_line(release))


def _concern(concern: RaisedConcern, book: Rulebook) -> Iterator[Line]:
    yield Line(concern.words, "strong", 2, "-", f"{concern.file}:{concern.line}")
    if concern.findings:
        seen = wording.findings(concern.findings, book.vocabulary)
        yield Line(seen, indent=4, mark="seen", hang=6, tail=wording.places_in_file(concern.findings))
    yield Line(stopped(concern, book), indent=4, mark="stops", hang=6)
    for milder in concern.folds:
        yield Line(milder.words, "faint", 4, "told with it", f"{milder.file}:{milder.line}", 6)


def stop_words(concern: RaisedConcern, keys: Iterable[str], book: Rulebook) -> list[str]:
    """Stops as they are written; "this place" by its name, so that it can stand beside other concerns' stops."""
    name = wording.full_name(concern.place, concern.place_name, book.vocabulary)
    place = phrases.at_side(name, concern.side) if concern.place_name else ""
    return [f"any hand on {place}" if place and key == THIS_PLACE else stop(key) for key in keys]


def stopped(concern: RaisedConcern, book: Rulebook) -> str:
    """What a concern stops, and what a veterinarian's word opened again."""
    if not concern.stops:
        return "nothing by itself"
    standing = listed(stop_words(concern, concern.standing_stops, book)) or "nothing any more"
    if not concern.released:
        return standing
    return f"{standing} (a veterinarian's word opened {listed(stop_words(concern, concern.released, book))} again)"


def waiting(concerns: Sequence[RaisedConcern], told: set[str]) -> Iterator[Line]:
    """What to do while waiting and what to say on the telephone, each line once; `told` grows."""
    lines = [line for concern in concerns for line in concern.while_you_wait]
    new = [line for line in dict.fromkeys(lines) if line not in told]
    told.update(new)
    if new:
        yield Line("while you wait", "strong", 2)
    for line in new:
        yield Line(sentence(line), indent=4, mark="-")
    telling = dict.fromkeys(clause(line) for concern in concerns for line in concern.tell_the_vet)
    if telling:
        yield Line(sentence("tell the veterinarian: " + "; ".join(telling)), indent=2, hang=2)


def why_on_the_list(answer: Answered) -> Iterator[Line]:
    """Why each sign is a reason to call, and what that rests on."""
    signs = dict.fromkeys((sign, c.file, c.line) for c in answer.referral.concerns for sign in c.signs)
    if signs:
        yield from heading("why these are reasons to call")
    for (name, because, bases), file, line in signs:
        yield Line(f"{name}: {because}", mark="-", tail=f"{file}:{line}")
        yield Line(f"rests on {wording.basis(bases, answer.ready.book)}", "faint", 2)


def release_words(release: Release) -> str:
    """A veterinarian's word in words, and why it opens nothing where it does not hold."""
    said = f"{release.who or 'a veterinarian'}, seen {phrases.iso_day(release.seen)}"
    if release.about:
        said += f", about {listed(phrases.plain(word) for word in release.about)}"
    if release.allows:
        said += f"; allows {listed(map(stop, release.allows))}"
    if release.forbids:
        said += f"; forbids {listed(map(stop, release.forbids))}"
    if release.until:
        said += f"; until {phrases.iso_day(release.until)}"
    if not release.holds and release.closed_because:
        said = f"{said}. It opens nothing today: {release.closed_because}"
    return sentence(said)


def _line(release: Release) -> str:
    return f"line {release.line}" if release.line else ""


# -- a conclusion and the rules behind it ------------------------------------------------------------------------------


def firmness(concluded: Concluded) -> str:
    """Band and certainty."""
    return f"{phrases.pointers(concluded.band)}, {phrases.certainty(concluded.certainty)}"


def how_firm(concluded: Concluded) -> str:
    """Band and certainty, and how far what was not checked could move it."""
    low, high = phrases.certainty(concluded.lower), phrases.certainty(concluded.upper)
    moved = f" ({low} to {high} with what was not checked)" if low != high else ""
    return firmness(concluded) + moved


def evidence(concluded: Concluded, book: Rulebook, indent: int, *, bases: bool = False) -> Iterator[Line]:
    """What speaks for and against it: each rule with its page and line, and the findings with theirs."""
    folded = []
    for items, mark in ((concluded.supporting, "for"), (concluded.opposing, "against")):
        for item in items:
            if item.share:
                yield from _item(item, mark, book, indent, bases)
            else:
                folded.append(item.name)
    if folded:
        yield Line("already counted by a louder rule of its group: " + "; ".join(folded), "faint", indent, hang=8)


def _item(item: Item, mark: str, book: Rulebook, indent: int, bases: bool) -> Iterator[Line]:
    text = f"{phrases.signed(item.contribution)}  {item.name}"
    yield Line(text, "for" if mark == "for" else "against", indent, mark, f"{item.file}:{item.line}", 8)
    inner, hang = indent + 8, 7
    if item.findings:
        seen = wording.findings(item.findings, book.vocabulary)
        yield Line(seen, indent=inner, hang=hang, tail=wording.places_in_file(item.findings))
    if item.via:
        names = "; ".join(phrases.at_side(phrases.plain(key), side) for key, side in item.via)
        yield Line(f"by way of {names}", indent=inner, hang=hang)
    if item.lessened_by:
        yield Line(f"counts for less: {wording.circumstances(item.lessened_by, book)}", indent=inner, hang=hang)
    if item.gated:
        yield Line("held back: what it depends on is not fully there", indent=inner, hang=hang)
    if bases:
        yield Line(f"rests on {wording.basis(item.basis, book)}", "faint", inner, hang=hang)


def left_open(concluded: Concluded, answer: Answered, indent: int) -> Iterator[Line]:
    """What was not checked about one conclusion."""
    if concluded.not_checked:
        felt = wording.touched(answer.visit)
        names = wording.unchecked(concluded.not_checked, answer.ready.book.vocabulary, felt)
        yield Line(f"not checked: {names}", "open", indent, hang=0)


# -- what everything rests on ------------------------------------------------------------------------------------------


def rests_on(answer: Answered, *, named: bool = True) -> Iterator[Line]:
    """The findings, the rules, and what these rest on."""
    book, visit = answer.ready.book, answer.visit
    yield from heading("what this rests on")
    entries = counted(len(visit.noted), "other entry", "other entries")
    examined = counted(len(wording.touched(visit)), "place")
    yield Line(f"{examined} examined by hand (each side counts) and {entries}, all in {visit.file}.")
    if visit.history:
        earlier = counted(len(visit.history), "entry", "entries")
        yield Line(f"Beside them {earlier} from the records of earlier visits; each says on which days it rests.")
    rested = wording.basis(wording.all_bases(answer), book, named=named)
    if rested:
        yield Line(sentence(f"the rules at work rest on {rested}"))
    yield Line(f"Rulebook {book.stamp}, engine {__version__}. {phrases.NOT_A_PROBABILITY}", "faint")


def cautions(sentences: Iterable[str]) -> Iterator[Line]:
    """The cautions, each once."""
    yield from heading("cautions")
    for line in dict.fromkeys(sentences):
        yield Line(sentence(line), "faint", mark="-")


def always(book: Rulebook) -> list[str]:
    """The cautions that hold whatever is planned."""
    return [caution.says for caution in book.scales.cautions if caution.when == "always"]
