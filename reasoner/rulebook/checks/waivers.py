"""A waiver says which rule of good writing is broken, why, and since when; and only what is broken is waived.

In: the waivers of every rule, and the problems found. Out: the problems that are left, and those of the waivers.
Not here: finding what there is to waive.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from reasoner.problems import CODES, Problem, near_hint, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.pages import Conclusion, Evidence, Waiver

register({"RB53": "a waiver does not say what it waives, why and since when", "RB54": "a waiver that nothing needs"})

#: What may be waived: habits of good writing. Never a side, a word, or a reason to call.
WAIVABLE = ("RB31", "RB45", "RB50", "RB51")


def incomplete(given: Given) -> Iterator[Problem]:
    """Waivers without a code, a reason or a date, or of something that is not waived."""
    for page, rule in _waived(given):
        waiver = rule.waiver
        if not isinstance(waiver, Waiver):
            yield given.say(page, rule.line, "RB53", f'the waiver of "{rule.rule}" has no code and no date.',
                            "Write waiver: {code: RB31, because: ..., date: 2026-04-18}.")  # fmt: skip
        elif waiver.code not in WAIVABLE:
            hint = f"Waived may be {', '.join(WAIVABLE)}." if waiver.code in CODES else near_hint(waiver.code, WAIVABLE)
            yield given.say(
                page, waiver.line or rule.line, "RB53", f'"{waiver.code}" is nothing that can be waived.', hint
            )
        elif given.wording.says_nothing("because", waiver.because):
            yield given.say(page, waiver.line or rule.line, "RB53", "a waiver without a reason is none.", "Say why.")
        elif not re.fullmatch(r"\d{4}-\d{2}-\d{2}", waiver.date):
            yield given.say(page, waiver.line or rule.line, "RB53", f'the date of the waiver reads "{waiver.date}".',
                            "Write it like 2026-04-18.")  # fmt: skip


def heeded(given: Given, problems: Iterable[Problem], twice: frozenset[str] | None) -> Iterator[Problem]:
    """The problems that no waiver covers, and a warning for each waiver that covers none.

    `twice` holds the ids ("page/rule") of the rules in a pair that rests on one finding, waived or not; None where not every
    check was made, so that no waiver can be called needless.
    """
    spans = [(page, rule, rule.waiver, _span(page, rule)) for page, rule in _waived(given)]
    used: set[int] = set()
    for problem in problems:
        covering = [
            n
            for n, (page, _, waiver, span) in enumerate(spans)
            if isinstance(waiver, Waiver)
            and (problem.file, problem.code) == (page.file, waiver.code)
            and waiver.code in WAIVABLE
            and problem.line in span
        ]
        used.update(covering)
        if not covering:
            yield problem
    for number, (page, rule, waiver, _) in enumerate(spans if twice is not None else ()):
        code = waiver.code if isinstance(waiver, Waiver) else "RB31"
        needed = f"{page.id}/{rule.rule}" in (twice or ()) if code == "RB31" else number in used
        if code in WAIVABLE and not needed:
            yield Problem(page.file, rule.line, "RB54", f'"{rule.rule}" has a waiver of {code} that nothing needs.',
                          "Take it out.", "warning")  # fmt: skip


def _waived(given: Given) -> Iterator[tuple[Conclusion, Evidence]]:
    for page in given.book.conclusions.values():
        for rule in page.evidence:
            if rule.waiver:
                yield page, rule


def _span(page: Conclusion, rule: Evidence) -> range:
    """The lines of a rule on its page: up to the next rule."""
    later = [other.line for other in page.evidence if other.line > rule.line]
    return range(rule.line, min(later, default=rule.line + 200))
