"""What is written and can never happen: rules that cannot fire, conclusions nothing speaks for, actions never taken.

In: a `Network` and its rulebook. Out: a problem for each.
Not here: whether there is a visit in which a condition holds (possible).
"""

from __future__ import annotations

from collections.abc import Iterator

from reasoner.inference.network import Network
from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulecare.possible import Possible

register(
    {
        "RB40": "a rule or a sign that can never speak",
        "RB41": "a conclusion that nothing can speak for",
        "RB44": "an action that nothing can ask for",
        "RB55": "an action that can never be taken",
    }
)

_REPAIR = "Look for two parts that exclude each other, a word or a limit out of reach."


def never_fires(given: Given, network: Network, possible: Possible) -> Iterator[Problem]:
    """Rules and signs for which there is no visit, on either side and at any place."""
    heard = {(rule.page, rule.number) for rule in network.rules if possible.fires(rule)}
    for page in given.book.conclusions.values():
        for number, rule in enumerate(page.evidence):
            if (page.id, number) not in heard:
                yield given.say(page, rule.line, "RB40", f'there is no visit in which "{rule.rule}" can fire.', _REPAIR)
    seen = {
        (concern.page, number)
        for concern in network.concerns
        for number, sign in enumerate(concern.signs)
        if possible.holds(sign)
    }
    for concern in given.book.concerns.values():
        for number, entry in enumerate(concern.signs):
            if (concern.id, number) not in seen:
                yield given.say(concern, entry.line, "RB40", f'there is no visit in which "{entry.sign}" can be seen.',
                                _REPAIR)  # fmt: skip


def nothing_speaks_for(given: Given, network: Network, possible: Possible) -> Iterator[Problem]:
    """Conclusions without a rule that points to them and can fire."""
    reached = {rule.page for rule in network.rules if rule.strength > 0 and possible.fires(rule)}
    for page in given.book.conclusions.values():
        if page.id not in reached:
            yield given.say(page, given.line(page, "evidence"), "RB41", f'no rule that can fire points to "{page.id}".',
                            "Give it a rule with `points:`.")  # fmt: skip


def never_taken(given: Given, network: Network, possible: Possible) -> Iterator[Problem]:
    """Actions that nothing can ask for, and those asked for only where their own needs cannot be met."""
    asked = {a.page for a in network.actions if a.wanted and possible.holds(a.wanted_literal)}
    taken = {a.page for a in network.actions if a.page in asked and possible.holds(a.wanted_literal, a.ready_literal)}
    for page in given.book.actions.values():
        if page.id not in asked:
            yield given.say(page, given.line(page, "wanted_by"), "RB44", "what this action is wanted by can never be met.",
                            _REPAIR)  # fmt: skip
        elif page.id not in taken:
            yield given.say(page, given.line(page, "only_after"), "RB55",
                            "wherever this action is wanted, one of its needs cannot be met.", _REPAIR)  # fmt: skip
