"""What a step of a lesson opens to: the rule with what it rests on, the findings, and the anatomy of the places touched.

In: items of an explanation, reasons to call, places of the vocabulary. Out: `Rule`, `Seen`, `Anatomy`.
Not here: which steps there are, layout. Two wordings, `plain` and `technical`, tell the same rules and the same places.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from reasoner.explanation.model import Finding, Item, Silent, Unchecked
from reasoner.plan.concerns import RaisedConcern
from reasoner.rendering import both_sides, phrases, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.book_links import anchor
from reasoner.rendering.lesson_shapes import Anatomy, Basis, Rule, Seen, Words
from reasoner.rendering.short_sources import short_source
from reasoner.rulebook.pages import bases
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.vocabulary import Place

LESS = "less than a slight pointer"
NOT_WRITTEN = "not written down"
#: How far the attachments were read, for a reader who wants to know how far to trust them.
READ = {
    "seen": "Where it begins and ends was read in the sources named.",
    "part_seen": "Part of this was read in the sources named, the rest is written from memory.",
    "from_memory": "Where it begins and ends is written from memory.",
    "": "How far this was read is not written down.",
}
LABELS: Mapping[Words, tuple[str, str, str, str, str]] = {
    "plain": ("it begins", "it ends", "what it does", "where the hand goes", "take care"),
    "technical": ("origin", "insertion", "action", "the hand", "safety"),
}


# -- strength --------------------------------------------------------------------------------------------------------------


def loudness(contribution: float, strengths: Mapping[str, float], words: Words) -> str:
    """How loud a rule speaks here: the strongest word it reaches; with its number in the technical wording.

    >>> loudness(0.6, {"slight": 0.2, "clear": 0.6}, "plain"), loudness(-0.1, {"slight": 0.2}, "technical")
    ('a clear pointer', 'less than a slight pointer, -0.10')
    """
    reached = [word for word, least in sorted(strengths.items(), key=lambda pair: pair[1])
               if abs(contribution) >= least - 1e-9]  # fmt: skip
    said = f"a {reached[-1]} pointer" if reached else LESS
    return said if words == "plain" else f"{said}, {phrases.signed(contribution)}"


# -- rules -----------------------------------------------------------------------------------------------------------------


def rule_at_work(item: Item, of: str, answer: Answered, words: Words) -> Rule:
    """A rule that speaks for or against a conclusion."""
    book = answer.ready.book
    said = loudness(item.contribution, book.scales.strengths, words)
    if item.lessened_by:
        said += f", less than usual because of {wording.circumstances(item.lessened_by, book)}"
    return Rule(
        speaks="for" if item.contribution > 0.0 else "against", name=item.name, of=of, loud=said, because=item.because,
        basis=rests_on(item.basis, book), seen=seen(item.findings, book), file=item.file, line=item.line,
        entry=anchor("rule", item.rule),
    )  # fmt: skip


def rule_waiting(silent: Silent, key: str, of: str, book: Rulebook) -> Rule:
    """A rule that says nothing yet."""
    page = book.conclusions[key]
    evidence = next(one for one in page.evidence if one.rule == silent.name)
    return Rule(
        speaks="waits", name=silent.name, of=of, loud="", because=evidence.because,
        basis=rests_on(bases(evidence.basis), book), seen=(), file=page.file, line=evidence.line,
        entry=anchor("rule", silent.rule),
    )  # fmt: skip


def rules_that_call(concern: RaisedConcern, book: Rulebook) -> tuple[Rule, ...]:
    """Why what was seen is a reason to call."""
    found = seen(concern.findings, book)
    return tuple(
        Rule(speaks="calls", name=name, of=concern.words, loud="", because=because, basis=rests_on(basis, book), seen=found,
             file=concern.file, line=concern.line, entry=anchor("concern", concern.key))
        for name, because, basis in concern.signs
    )  # fmt: skip


def each_once(rules: Iterable[Rule]) -> tuple[Rule, ...]:
    """Rules in their order; one that says the same of left and right stands once, with what was found on both."""
    found: list[Rule] = []
    for rule in rules:
        at = next((n for n, one in enumerate(found) if _same(one, rule)), None)
        if at is None:
            found.append(rule)
            continue
        one = found[at]
        of = one.of if rule.of == one.of else phrases.clause(both_sides.of_both(one.of))
        loud = one.loud if rule.loud == one.loud else f"{one.loud}; on the other side {rule.loud}"
        found[at] = replace(one, of=of, loud=loud, seen=tuple(dict.fromkeys((*one.seen, *rule.seen))))
    return tuple(found)


def _same(one: Rule, other: Rule) -> bool:
    """Whether it is the same rule, of the same conclusion or of its other side; how loud it speaks there may differ."""
    blank = replace(one, of="", loud="", seen=()), replace(other, of="", loud="", seen=())
    return blank[0] == blank[1] and both_sides.same_of_both(one.of, other.of)


def rests_on(basis: Iterable[str], book: Rulebook) -> tuple[Basis, ...]:
    """What something rests on: a published source with its title, or in words."""
    found = []
    for one in dict.fromkeys(basis):
        source = book.sources.get(one)
        if source is None:
            found.append(Basis(words=phrases.plain(one), entry=""))
            continue
        short = short_source(source.authors, source.year, source.title)
        title = source.title.rstrip(".")
        said = short if short.startswith('"') else f"{short}: {title}"
        found.append(Basis(words=said, entry=anchor("source", one)))
    return tuple(found)


# -- findings --------------------------------------------------------------------------------------------------------------


def seen(findings: Iterable[Finding], book: Rulebook) -> tuple[Seen, ...]:
    """Findings in words, each once; what a finding says more of stands for what says less."""
    every = list(dict.fromkeys((f.where, f.side, f.value) for f in findings))
    kept = [
        (where, side, value) for where, side, value in every
        if not any((w, s) == (where, side) and more.startswith(f"{value}, ") for w, s, more in every)
    ]  # fmt: skip
    by = {(f.where, f.side, f.value): f for f in findings}
    return tuple(
        Seen(words=wording.finding(by[one], book.vocabulary), file=by[one].file, line=by[one].line) for one in kept
    )


def waits_for(left_out: Iterable[Unchecked], answer: Answered, most: int = 3) -> str:
    """What was not looked at, the first few by name: "canter against trot, trot in hand and 3 more"."""
    words, felt = answer.ready.book.vocabulary, wording.touched(answer.visit)
    names = []
    for name, one in wording.sided_names(left_out):
        full = name.replace(one.name, wording.full_name(one.where, one.name, words), 1)
        names.append(f"how it answered at {full}" if (one.where, one.side) in felt else full)
    shown, more = names[:most], len(names) - most
    return ", ".join(shown) + (f" and {more} more" if more > 0 else "")


# -- anatomy ---------------------------------------------------------------------------------------------------------------


def anatomy_of(wheres: Iterable[str], answer: Answered, words: Words) -> tuple[Anatomy, ...]:
    """The anatomy of the places among these entries, each once, in the order given."""
    book = answer.ready.book
    places = book.vocabulary.places
    return tuple(_anatomy(places[where], book, words) for where in dict.fromkeys(wheres) if where in places)


def _anatomy(place: Place, book: Rulebook, words: Words) -> Anatomy:
    begins, ends, does, hand, care = LABELS[words]
    rows: list[tuple[str, str]] = []
    if words == "technical" and place.latin:
        rows.append(("Latin", place.latin))
    rows += [
        (begins, place.origin or NOT_WRITTEN), (ends, place.insertion or NOT_WRITTEN), (does, place.action or NOT_WRITTEN),
        (hand, place.hand or NOT_WRITTEN), *(((care, place.safety),) if place.safety else ()),
    ]  # fmt: skip
    return Anatomy(
        place=place.key, name=wording.full_name(place.key, place.name, book.vocabulary),
        rows=tuple((label, phrases.sentence(text)) for label, text in rows), read=READ.get(place.anatomy_seen, READ[""]),
        basis=rests_on(place.anatomy_basis, book), file=place.file, line=place.line, entry=anchor("place", place.key),
    )  # fmt: skip


def wheres(items: Sequence[Item]) -> list[str]:
    """The entries some rules rest on, each once."""
    return list(dict.fromkeys(f.where for item in items for f in item.findings))
