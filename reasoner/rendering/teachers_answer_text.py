"""A teacher's own answer, and where it differs from the rules, on the terminal and on the page.

In: the answer, what the rules say, the differences. Out: lines.
Not here: finding differences (teaching.beside_the_rules). Both are told; neither is called right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from reasoner.explanation.from_record import filled
from reasoner.rendering import phrases
from reasoner.rendering.phrases import listed
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.beside_the_rules import Differs, RulesSay
from reasoner.teaching.session import Key
from reasoner.teaching.teachers_answer import TeachersAnswer, named

TEACHER, RULES = "your teacher says", "the rules say"
BOTH_KEPT = "A difference is no mistake of either. Both are kept with the case, and both are shown at the end."


def both_lines(answer: TeachersAnswer, rules: RulesSay, book: Rulebook, teacher: str = TEACHER) -> Iterator[Line]:
    """What the teacher says, then what the rules say."""
    yield from heading(teacher)
    yield Line(f"veterinarian: {answer.referral}", indent=2)
    yield from _named("causes, each of which counts as right", answer.causes, book)
    yield from _named("steps wanted", answer.wanted, book)
    yield from _named("steps that would be wrong", answer.wrong, book)
    if answer.words:
        yield Line(answer.words, "strong", 2)
    yield from heading(RULES)
    yield Line(f"veterinarian: {rules.referral}", indent=2)
    yield from _named("their account begins with", rules.begins, book)
    yield from _named("steps of their plan", rules.steps, book)
    yield Line(f"Rulebook {rules.stamp}.", "faint", 2)


def differences_lines(some: Sequence[Differs], answer: TeachersAnswer, rules: RulesSay) -> Iterator[Line]:
    """Each difference, and what follows from it."""
    yield from heading("where they differ")
    for one in some:
        yield Line(
            difference_words(one, answer, rules),
            "alarm" if one.what in ("calls later", "stopped") else "body",
            2,
            mark="-",
        )
        yield from (Line(why, indent=4) for why in one.because)
    if some:
        yield Line(BOTH_KEPT, "faint", 2)
    else:
        yield Line("Nowhere: call and causes agree, and no step of yours stands against the rules.", indent=2)


def difference_words(one: Differs, answer: TeachersAnswer, rules: RulesSay) -> str:
    """One difference in a sentence."""
    key, band = named(one.key), phrases.certainty(one.certainty)
    return {
        "calls later": f"You call {_degree(answer.referral)}; the rules call {_degree(rules.referral)}, which is sooner. Where "
                       "you and the rules differ, the sooner call costs the horse nothing.",
        "calls sooner": f"You call {_degree(answer.referral)}; the rules call {_degree(rules.referral)}.",
        "cause": f"You hold {key}; the rules' account does not begin with it (certainty by the rules {band}).",
        "other side": f"You hold {key}; the rules hold the other side.",
        "cause of the rules": f"The rules' account begins with {key} (certainty {band}); your answer does not name it.",
        "stopped": f"You want the step {key}; something that stands stops it, and it is rewarded to nobody:",
        "in their plan": f"You call the step {key} wrong; it is in the plan of the rules.",
    }[one.what]  # fmt: skip


def rules_say_remarks(rules: RulesSay) -> list[str]:
    """What the rules say, to stand below a teacher's file as remarks."""
    return [
        "The rules say of the whole case (yours may differ; both are kept):",
        f"  causes: {listed(map(named, rules.causes)) or 'none'}", f"  referral: {rules.referral}",
        f"  steps: {'; '.join(map(named, rules.steps)) or 'none'}", f"  rulebook {rules.stamp}",
    ]  # fmt: skip


def key_words(key: Key, book: Rulebook) -> str:
    """A cause or a step in the words of its page; by its key where these rules have no such page."""
    page = book.conclusions.get(key[0]) or book.actions.get(key[0])
    return filled(page.says, key[1]).rstrip(".") if page is not None else named(key)


def _named(what: str, keys: Iterable[Key], book: Rulebook) -> Iterator[Line]:
    keys = tuple(keys)
    yield Line(f"{what}:" if keys else f"{what}: none", indent=2)
    yield from (Line(key_words(key, book), indent=4, mark="-") for key in keys)


def _degree(level: str) -> str:
    return {"none": "nobody"}.get(level, level)
