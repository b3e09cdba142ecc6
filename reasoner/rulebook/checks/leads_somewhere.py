"""Every conclusion is of use: it explains something, brings something about, or is asked for; and a cause ends in a step.

In: pages and their links. Out: a problem for each conclusion nobody needs, and each cause that leaves one standing there.
Not here: whether its rules can fire (rulecare).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import SKETCH, Given
from reasoner.rulebook.conditions import leaves
from reasoner.rulebook.pages import Conclusion
from reasoner.rulebook.references import Reading, conditions_of
from reasoner.rulebook.vocabulary import canonical

register(
    {
        "RB42": "a conclusion explains nothing and nothing asks for it",
        "RB43": "a cause without an action or a reason to call",
    }
)


def of_no_use(given: Given) -> Iterator[Problem]:
    """Conclusions that account for nothing, lead nowhere, and are read by no rule and no action."""
    read = {leaf for page in given.pages() for leaf, kind in asked_by(given, page) if kind == "conclusion"}
    for page in given.book.conclusions.values():
        needed = page.accounts_for or page.leads_to or page.id in read or given.may_be_asked(page.id)
        if page.status != SKETCH and not needed:
            yield given.say(page, page.line, "RB42", f'"{page.id}" accounts for nothing, leads to nothing, and nothing reads '
                            "it.", "Say what it accounts for, or ask for it in a rule or an action.")  # fmt: skip


def no_way_on(given: Given) -> Iterator[Problem]:
    """Causes that no action is wanted by and no concern looks at, neither themselves nor what they lead to.

    A concern looks at a cause if one of its signs names a place or an observation that a rule for the cause rests on.
    """
    wanted = {key for page in given.book.actions.values() for key, _ in asked_by(given, page, "wanted")}
    looked_at = {key for page in given.book.concerns.values() for key, _ in asked_by(given, page)} - {"this_place"}
    for page in given.book.conclusions.values():
        if page.kind != "cause" or page.status == SKETCH:
            continue
        chain = _chain(given, page)
        referred = any(
            key in looked_at or given.may_be_asked(key)
            for one in chain
            for number, rule in enumerate(one.evidence)
            if rule.points
            for key, _ in asked_by(given, one, f"evidence {number} when")
        )
        if not referred and not any(one.id in wanted or given.may_be_asked(one.id) for one in chain):
            yield given.say(page, page.line, "RB43", f'no action is wanted by "{page.id}" or by what it leads to, and no '
                            "concern looks at what it rests on.", "Add it to `wanted_by` of an action.")  # fmt: skip


def asked_by(given: Given, page: Reading, where: str = "") -> Iterator[tuple[str, str]]:
    """(what is asked, of which kind) by the conditions of a page, or by those whose place begins with `where`."""
    for place, _, _ in conditions_of(page):
        condition = given.book.parsed.get((page.id, place))
        if condition is not None and place.startswith(where):
            yield from ((leaf.subject, leaf.of) for leaf in leaves(condition))


def _chain(given: Given, page: Conclusion) -> list[Conclusion]:
    """A page and whatever it leads to, step by step."""
    found: dict[str, Conclusion] = {}
    waiting = [page.id]
    while waiting:
        key = waiting.pop()
        if key not in found and key in given.book.conclusions:
            found[key] = given.book.conclusions[key]
            waiting += [canonical(k) for entry in found[key].leads_to for k in entry if k != "line"]
    return list(found.values())
