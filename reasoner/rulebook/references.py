"""Resolve every reference of a rulebook: conditions to names, bases to sources, stops and strengths to their scales.

In: a `Rulebook` as read. Out: the parsed conditions, and a problem for whatever points nowhere.
Not here: whether the rules are good ones (checks), grounding, evaluation.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from reasoner.problems import Problem, near_hint, register
from reasoner.quantities import dimension_of, read_quantity
from reasoner.rulebook.conditions import Condition, Leaf, Names, leaves, parse_condition
from reasoner.rulebook.filling import LEFT_OUT
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, LooksFor, bases, words_of
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Observation, canonical

register(
    {
        "RB20": "a rule points both ways, or neither",
        "RB21": "a strength is not on the written scale",
        "RB22": "a basis is no source of this rulebook",
        "RB23": "a stop is not on the list",
        "RB24": "two rules of one page share a name",
        "RB25": "a page leads to, accounts for, or works on something unknown",
        "RB26": "a concern reads something it may not",
        "RB27": "a gate or a circumstance reads something not recorded",
        "RB28": "a key is used twice: a word of the vocabulary and a page, or two kinds of page",
        "RB65": "an action looks for something that is no reading of an entry, or one that asks for notice",
        "RB66": "an action looks for an entry on a side that it has not, or without the one it has",
        "RB29": "a page yields to something that does not stand for it",
        "RB34": "a concern reads a place without saying which of its readings",
        "RB35": "a page is read for places that are not there",
    }
)

DECLARED = ("common practice", "own setting")
Reading = Conclusion | Concern | Action | Circumstance
EACH = ("place", "spinous_space")
#: What is asked of a place and may come out otherwise when it is felt again.
RE_READ = ("at_least", "response", "felt", "guarded")


def names_of(book: Rulebook, unread: frozenset[str] = frozenset()) -> Names:
    """What a condition of this rulebook may name; `unread` are the ids of pages that could not be read."""
    sided = {key: page.sides for key, page in book.conclusions.items()}
    sided |= {key: page.sides for key, page in book.concerns.items() if not page.for_each}
    return Names(
        vocabulary=book.vocabulary,
        conclusions=sided,
        ramps={key: ramp.of for key, ramp in book.scales.ramps.items()},
        certainties=dict(book.scales.bands),
        quantity=_quantity,
        days=lambda text: float(read_quantity(text, "days")),
        unread=unread,
    )


def _quantity(text: str, observation: Observation) -> float:
    dimension = dimension_of(observation.unit) if observation.unit else "count"
    return float(read_quantity(text, dimension))


def resolve(
    book: Rulebook, problems: list[Problem], unread: frozenset[str] = frozenset()
) -> dict[tuple[str, str], Condition]:
    """Parse every condition; add a problem for each reference that does not resolve.

    `unread` are the ids of pages that could not be read: naming one is no mistake of the page that names it.
    """
    names = names_of(book, unread)
    parsed: dict[tuple[str, str], Condition] = {}
    for page in all_pages(book):
        for where, raw, line in conditions_of(page):
            condition = parse_condition(raw, names, page.file, line, problems)
            if condition is not None:
                parsed[page.id, where] = condition
                _allowed(book, page, where, condition, line, problems)
    for page in book.conclusions.values():
        _conclusion(book, page, problems, unread)
    for concern in book.concerns.values():
        _stops(book, concern, concern.stops, problems)
        _for_each(book, concern, problems)
        _yields(book, concern, problems, unread)
        for sign in concern.signs:
            _basis(book, concern.file, sign.line, sign.basis, problems, unread)
    for action in book.actions.values():
        _action(book, action, problems, unread)
    for circumstance in book.circumstances.values():
        _basis(book, circumstance.file, circumstance.line, circumstance.basis, problems, unread)
        if not 0.0 < circumstance.by <= 1.0:
            problems.append(Problem(circumstance.file, circumstance.line, "RB32",
                                    f"`by` is {circumstance.by:g}; a discount lies above 0 and is at most 1."))  # fmt: skip
    _keys(book, problems)
    return parsed


def all_pages(book: Rulebook) -> Iterator[Reading]:
    """Every page that holds conditions."""
    yield from book.conclusions.values()
    yield from book.concerns.values()
    yield from book.actions.values()
    yield from book.circumstances.values()


def conditions_of(page: Reading) -> Iterator[tuple[str, Any, int]]:
    """(where on the page, the condition as written, line) for every condition of a page."""
    if isinstance(page, Conclusion):
        for number, rule in enumerate(page.evidence):
            yield f"evidence {number} when", rule.when, rule.line
            if rule.only_if is not None:
                yield f"evidence {number} only_if", rule.only_if, rule.line
    elif isinstance(page, Concern):
        for number, sign in enumerate(page.signs):
            yield f"sign {number}", sign.when, sign.line
    elif isinstance(page, Action):
        for number, wanted in enumerate(page.wanted_by):
            yield f"wanted {number}", wanted, wanted.get("line", page.line)
        for number, need in enumerate(page.only_after):
            yield f"need {number}", need.need, need.line
        for number, forbid in enumerate(page.forbidden_by):
            yield f"forbid {number}", forbid.when, forbid.line
    else:
        yield "when", page.when, page.line


def _allowed(book: Rulebook, page: Any, where: str, condition: Condition, line: int, problems: list[Problem]) -> None:
    for leaf in leaves(condition):
        concerns_only_in_actions = leaf.of == "conclusion" and leaf.subject in book.concerns
        if isinstance(page, Concern) and (leaf.of == "conclusion" or leaf.test == "ramp"):
            problems.append(
                Problem(page.file, leaf.line or line, "RB26",
                        "a concern reads recorded things with crisp limits only, no ramp and no conclusion.",
                        "Write a number: {at_least: 7, reading: worst}.")
            )  # fmt: skip
        elif isinstance(page, Concern) and leaf.of in ("place", "places") and _re_read(leaf):
            problems.append(
                Problem(page.file, leaf.line or line, "RB34",
                        f"a concern says which reading it asks for: `{leaf.test}` without one is the reading before work, "
                        "so that feeling again could make a reason to call go away.",
                        "Add reading: worst (or first, settled, after_work).")
            )  # fmt: skip
        elif (isinstance(page, Circumstance) or where.endswith("only_if")) and leaf.of == "conclusion":
            problems.append(
                Problem(page.file, leaf.line or line, "RB27", "a gate or a circumstance reads recorded things only.")
            )
        elif isinstance(page, Conclusion) and concerns_only_in_actions:
            problems.append(Problem(page.file, leaf.line or line, "RB27", "a rule cannot read a concern."))


def _re_read(leaf: Leaf) -> bool:
    """Whether a place's leaf asks for something that a second feel can change, without saying of which feel."""
    return leaf.test in RE_READ and leaf.reading == "effective"


def _for_each(book: Rulebook, page: Concern, problems: list[Problem]) -> None:
    each = canonical(page.for_each)
    vocabulary = book.vocabulary
    if each in ("", *EACH) or vocabulary.group(each):
        return
    known = {*EACH, *vocabulary.regions} | {canonical(g) for place in vocabulary.places.values() for g in place.groups}
    problems.append(Problem(page.file, page.line, "RB35", f'"{page.for_each}" is no group or region of places.',
                            near_hint(each, known)))  # fmt: skip


def _yields(book: Rulebook, page: Concern, problems: list[Problem], unread: frozenset[str]) -> None:
    """A page may give way only to a more pressing one that is read for the same sides and places.

    Equal pages could give way to each other and both fall silent; a page of other sides would leave it unsaid where.
    """
    calls = list(book.scales.calls)
    for key in page.yields_to:
        other = book.concerns.get(canonical(key))
        if other is None and canonical(key) in unread:
            continue
        if other is None:
            wrong, hint = f'this page yields to "{key}", which is no concern.', near_hint(key, book.concerns)
        elif calls.index(other.call) <= calls.index(page.call):
            wrong, hint = f'this page yields to "{key}", which is no more pressing ({other.call}).', ""
        elif (other.sides, canonical(other.for_each)) != (page.sides, canonical(page.for_each)):
            wrong, hint = f'this page yields to "{key}", which is read for other sides or places.', ""
        else:
            continue
        problems.append(Problem(page.file, page.line, "RB29", wrong, hint))


def _told_with(book: Rulebook, page: Action, problems: list[Problem], unread: frozenset[str]) -> None:
    """A step may be told only with one of its kind that comes before it: two could not be told with each other."""

    def turn(action: Action) -> tuple[int, str]:
        return action.rank, action.id

    for told in page.yields_to:
        other = book.actions.get(canonical(told.step))
        if other is None and canonical(told.step) in unread:
            continue
        if other is None:
            wrong, hint = (
                f'this step is told with "{told.step}", which is no action.',
                near_hint(told.step, book.actions),
            )
        elif other.kind != page.kind or turn(other) >= turn(page):
            wrong, hint = f'this step is told with "{told.step}", which is no earlier step of its kind.', ""
        else:
            continue
        problems.append(Problem(page.file, told.line, "RB29", wrong, hint))


def _basis(
    book: Rulebook, file: str, line: int, basis: str | tuple[str, ...], problems: list[Problem], unread: frozenset[str]
) -> None:
    for one in bases(basis):
        if one not in (*DECLARED, LEFT_OUT) and one not in book.sources and one not in unread:
            hint = near_hint(one, [*book.sources, *DECLARED])
            problems.append(Problem(file, line, "RB22", f'the basis "{one}" is no source of this rulebook.', hint))


def _stops(book: Rulebook, page: Concern | Action, stops: tuple[str, ...], problems: list[Problem]) -> None:
    known = {canonical(w) for word in book.scales.stops for w in (word.key, *word.also)}
    for stop in stops:
        if canonical(stop) not in known:
            problems.append(
                Problem(page.file, page.line, "RB23", f'"{stop}" is not on the list of stops.', near_hint(stop, known))
            )


def _conclusion(book: Rulebook, page: Conclusion, problems: list[Problem], unread: frozenset[str]) -> None:
    seen: set[str] = set()
    for rule in page.evidence:
        if canonical(rule.rule) in seen:
            problems.append(
                Problem(page.file, rule.line, "RB24", f'a rule is called "{rule.rule}" twice on this page.')
            )
        seen.add(canonical(rule.rule))
        if (rule.points is None) == (rule.against is None):
            problems.append(Problem(page.file, rule.line, "RB20", f'"{rule.rule}" needs either `points` or `against`.'))
        word = rule.points or rule.against or ""
        if (rule.points or rule.against) and canonical(word) not in book.scales.strengths:
            known = ", ".join(book.scales.strengths)
            problems.append(Problem(page.file, rule.line, "RB21", f'the strength "{word}" is not on the scale.',
                                    f"Known: {known}."))  # fmt: skip
        _basis(book, page.file, rule.line, rule.basis, problems, unread)
    for entry in page.leads_to:
        _known(entry, book.conclusions, "leads to", page, problems, unread)
    recorded: dict[str, object] = {**book.vocabulary.places, **book.vocabulary.observations}
    for entry in page.accounts_for:
        _known(entry, recorded, "accounts for", page, problems)


def _known(
    entry: Mapping[str, Any],
    known: Mapping[str, Any],
    what: str,
    page: Any,
    problems: list[Problem],
    unread: frozenset[str] = frozenset(),
) -> None:
    for key in entry:
        if key != "line" and canonical(key) not in known and canonical(key) not in unread:
            line = entry.get("line", page.line)
            problems.append(Problem(page.file, line, "RB25", f'this page {what} "{key}", which is not known.',
                                    near_hint(key, known)))  # fmt: skip


def _action(book: Rulebook, action: Action, problems: list[Problem], unread: frozenset[str]) -> None:
    _basis(book, action.file, action.line, action.basis, problems, unread)
    _stops(book, action, action.stopped_by or (), problems)
    _told_with(book, action, problems, unread)
    for told in action.told_to:
        if told.reader not in book.scales.readers:
            wrong, hint = (
                f'this page speaks to "{told.reader}", who is given no report.',
                near_hint(told.reader, book.scales.readers),
            )
            problems.append(Problem(action.file, told.line, "RB25", wrong, hint))
    for entry in action.works_on:
        _known(entry, book.vocabulary.places, "works on", action, problems)
    for expected in action.expects:
        _known({expected.place: "", "line": expected.line}, book.vocabulary.places, "expects a change at", action,
               problems)  # fmt: skip
    for looked in action.looks_for:
        _looked_for(book, action, looked, problems)


def _looked_for(book: Rulebook, action: Action, looked: LooksFor, problems: list[Problem]) -> None:
    """An entry that is looked at again has words, and every reading hoped for is one of them that asks for no explanation."""
    entry = book.vocabulary.observations.get(looked.entry)
    if entry is None or entry.kind not in ("choice", "side"):
        what = f'looks for "{looked.entry}", which is no entry of the vocabulary that is answered by a word.'
        words = [key for key, one in book.vocabulary.observations.items() if one.kind in ("choice", "side")]
        problems.append(Problem(action.file, looked.line, "RB65", what, near_hint(looked.entry, words)))
        return
    good = {word.key for word in entry.readings if not word.notable}
    for word in words_of(looked.to):
        if word not in good:
            what = f'looks for "{word}" at {entry.name}; expected a reading that asks for nothing: {", ".join(sorted(good))}.'
            problems.append(Problem(action.file, looked.line, "RB65", what, near_hint(word, good)))
    sided = entry.kind == "side" or entry.sides == "each"
    if (looked.side in ("this", "other", "both", "left", "right")) != sided:
        what = f"looks for {entry.name} " + (
            "without a side." if sided else f'on the side "{looked.side}", which it has not.'
        )
        problems.append(
            Problem(action.file, looked.line, "RB66", what, "Write side: this, other or both where it has one.")
        )


def _keys(book: Rulebook, problems: list[Problem]) -> None:
    words = set(book.vocabulary.places) | set(book.vocabulary.observations)
    for page in all_pages(book):
        if page.id in words:
            problems.append(Problem(page.file, page.line, "RB28", f'"{page.id}" is also a word of the vocabulary.'))
