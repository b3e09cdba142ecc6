"""How a lesson names conclusions and weighs their rules, alike in every chapter; what stands for both sides is said once.

In: conclusions on the scales. Out: sentences, points, rules to open.
Not here: which conclusions are told, chapters.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.explanation.leaves import merged
from reasoner.explanation.model import Finding, Item, Key
from reasoner.rendering import both_sides, phrases, shared_text, wording
from reasoner.rendering.answered import Answered
from reasoner.rendering.lesson_opens import each_once, loudness, rule_at_work, rule_waiting, waits_for
from reasoner.rendering.lesson_shapes import Point, Rule, Words
from reasoner.teaching.threads import Weighed

NOTHING = "nothing that was written down"
RULES_IN, RULES_OUT, SILENT = "rules it in", "rules it out", "says nothing yet"
MOST_IN, MOST_OUT = 2, 2


def said_of(keys: Sequence[Key], answer: Answered) -> str:
    """A conclusion in its page's words. Left and right of one page are said once: of both sides where both stand, else as a
    choice between them."""
    words = [wording.conclusion_words(answer.explanation, *key) for key in keys]
    if len(words) == 2 and keys[0][0] == keys[1][0] and both_sides.same_of_both(*words):
        if all(answer.explanation.concluded[key].band in answer.ready.book.scales.bands for key in keys):
            return both_sides.of_both(words[0])
        return (
            answer.ready.book.conclusions[keys[0][0]]
            .says.replace("{side}", "left or right")
            .replace("{other}", "other")
        )
    return " ".join(phrases.sentence(one) for one in words)


def quoted(keys: Sequence[Key], answer: Answered) -> str:
    """The same between quotation marks, to stand inside a sentence."""
    by: dict[str, list[Key]] = {}
    for key in keys:
        by.setdefault(key[0], []).append(key)
    return phrases.listed(f'"{phrases.clause(said_of(same, answer))}"' for same in by.values())


def plainly(keys: Sequence[Key], answer: Answered) -> str:
    """The page's explanation in plain words, of both sides once; empty where it has none."""
    said = [c.plain for c in (answer.explanation.concluded[key] for key in keys) if c.plain and c.plain != c.words]
    if len(said) == 2 and both_sides.same_of_both(*said):
        return both_sides.of_both(said[0])
    return " ".join(said)


def firm(key: Key, answer: Answered, words: Words) -> str:
    """How firm it is: in words, or with the numbers."""
    concluded = answer.explanation.concluded[key]
    if words == "technical":
        return phrases.sentence(f"{concluded.kind}: {shared_text.how_firm(concluded)}")
    said = phrases.pointers(concluded.band)
    return f"The pointers are {concluded.band}." if said.endswith("pointers") else phrases.sentence(said)


def points_of(weighed: Sequence[Weighed], answer: Answered, words: Words) -> Iterator[Point]:
    """What rules it in, what rules it out, and what is silent; `weighed` is one conclusion, or both its sides."""
    book = answer.ready.book
    strengths = book.scales.strengths
    for mark, sides, most in (
        (RULES_IN, [one.rules_in for one in weighed], MOST_IN), (RULES_OUT, [one.rules_out for one in weighed], MOST_OUT),
    ):  # fmt: skip
        for number, (item, findings) in enumerate(_of_both(sides)):
            text = f"{item.name}{_seen(item, findings, answer)}: {loudness(item.contribution, strengths, words)}"
            yield Point(mark=mark, text=text, folded=number >= most)
        if not any(sides):
            yield Point(mark=mark, text=NOTHING)
    waiting = merged(one for w in weighed for silent in w.waits for one in silent.waiting_on)
    if waiting:
        count = len({silent.rule for one in weighed for silent in one.waits})
        rules = phrases.counted(count, "rule")
        text = f"{rules}, because nobody looked at this: {waits_for(waiting, answer)}"
        yield Point(mark=SILENT, text=text)


def _of_both(sides: Sequence[Sequence[Item]]) -> list[tuple[Item, tuple[Finding, ...]]]:
    """Each rule once, with what it rests on on every side; where it speaks louder on one of them, each side by itself."""
    found: dict[tuple[str, float], tuple[Item, list[Finding]]] = {}
    for items in sides:
        for item in items:
            found.setdefault((item.rule, round(item.contribution, 6)), (item, []))[1].extend(item.findings)
    return [(item, tuple(findings)) for item, findings in found.values()]


def _seen(item: Item, findings: Sequence[Finding], answer: Answered) -> str:
    """What the rule rests on, behind its name."""
    if findings:
        return f" ({wording.findings(findings, answer.ready.book.vocabulary)})"
    by_way = [phrases.clause(wording.conclusion_words(answer.explanation, *key)) for key in item.via]
    return f" (by way of: {phrases.listed(by_way)})" if by_way else ""


def rules_of(weighed: Sequence[Weighed], answer: Answered, words: Words, waits: int = 3) -> tuple[Rule, ...]:
    """The rules a conclusion opens to: those at work, and the loudest of those that say nothing yet."""
    found: list[Rule] = []
    for one in weighed:
        of = phrases.clause(wording.conclusion_words(answer.explanation, *one.key))
        found += [rule_at_work(item, of, answer, words) for item in (*one.rules_in, *one.rules_out)]
    waiting = {silent.rule: (silent, one.key) for one in weighed for silent in one.waits[:waits]}
    for silent, key in waiting.values():
        of = phrases.clause(wording.conclusion_words(answer.explanation, *key))
        found.append(rule_waiting(silent, key[0], of, answer.ready.book))
    return each_once(found)
