"""How far what shows in practice cases overlaps with the rules' premises: `python -m tests.teaching.overlap`.

In: the shipped rulebook. Out: for each cause the lines of the table of cases and of its links, and how many of them a premise
of the same page asks for as well. Not here: any judgement. Much overlap is to be expected, since both speak of the same
horse; a case that shows nothing but premises would make recovery an echo, which is why it is printed."""

from __future__ import annotations

from dataclasses import dataclass

from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.causal import linked
from reasoner.teaching.making import table_of

Asked = tuple[str, str]
"""A place or entry, and the word asked for; "" for a place that is sore, or a date."""


@dataclass(frozen=True)
class Overlap:
    """Of one cause: what its own lines show, what the links add, and what its rules for it ask."""

    own: frozenset[Asked]
    added: frozenset[Asked]
    asked: frozenset[Asked]


def overlaps(book: Rulebook) -> dict[str, Overlap]:
    """By cause."""
    links, table = linked(book), table_of(book)
    found = {}
    for key, page in book.conclusions.items():
        if page.kind != "cause":
            continue
        signs = [sign for way in table.shows.get(key, ()) for sign in way.shows]
        own = {(s.place or s.entry, "" if s.place or s.days_ago else _word(s.word)) for s in signs}
        subjects = {subject for subject, _ in own}
        added = {
            (shown.subject, _word(word))
            for shown in links[key].accounts_for if shown.subject not in subjects
            for word in (("",) if shown.subject in book.vocabulary.places else shown.words[:1])
        }  # fmt: skip
        asked = {
            (leaf.subject, _word(word))
            for number, rule in enumerate(page.evidence) if rule.points
            for leaf in leaves(book.parsed[key, f"evidence {number} when"])
            for word in (("",) if leaf.subject in book.vocabulary.places else leaf.words or ("",))
        }  # fmt: skip
        found[key] = Overlap(frozenset(own), frozenset(added), frozenset(asked))
    return found


def _word(word: str) -> str:
    return "a side" if word in ("this", "other", "left", "right", "either") else word


def main() -> None:
    """Print a line for each cause, and the sums."""
    rows = overlaps(load_rulebook())
    print(
        f"{'cause':32} {'own lines':>9} {'asked too':>9} {'links add':>9} {'asked too':>9} {'premises':>9} {'not shown':>9}"
    )
    for key, row in rows.items():
        print(f"{key:32} {len(row.own):9} {len(row.own & row.asked):9} {len(row.added):9} {len(row.added & row.asked):9} "
              f"{len(row.asked):9} {len(row.asked - row.own - row.added):9}")  # fmt: skip
    own, added, asked, both, more, missed = sums(rows)
    print(f"of {own} own lines {both} ({both / own:.0%}) are asked for by a rule of the same page, of {added} that the "
          f"links add {more} "
          f"({more / added:.0%}); of {asked} things the rules ask for {missed} ({missed / asked:.0%}) are shown by "
          f"neither")  # fmt: skip


def sums(rows: dict[str, Overlap]) -> tuple[int, int, int, int, int, int]:
    """Over all causes: own lines, lines of links, things asked; own lines asked too, lines of links asked too, asked and not
    shown."""
    every = rows.values()
    return (
        sum(len(r.own) for r in every), sum(len(r.added) for r in every), sum(len(r.asked) for r in every),
        sum(len(r.own & r.asked) for r in every), sum(len(r.added & r.asked) for r in every),
        sum(len(r.asked - r.own - r.added) for r in every),
    )  # fmt: skip


if __name__ == "__main__":
    main()
