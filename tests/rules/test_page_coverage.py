"""Over all examples: every rule speaks, is stopped and waits; every sign and every action is shown both ways.

In: the examples of the pages, judged as written. Out: what no example shows yet, by name.
Not here: whether an example is right (test_page_examples).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from functools import cache

import pytest

from reasoner.rulebook.pages import Action, Conclusion
from reasoner.rulebook.rulebook import rule_id
from reasoner.rulecare.coverage import Coverage
from tests.asking import shipped
from tests.rules.page_examples import answer_of, cases, pages


@cache
def gaps() -> Mapping[str, frozenset[str]]:
    """What no example shows: for "page/rule", "page: sign" and the id of an action, what it never does."""
    coverage = Coverage()
    for case in cases():
        if not case.mirror:
            coverage.add(case, answer_of(case))
    missing: dict[str, set[str]] = defaultdict(set)
    for gap in coverage.gaps(shipped().book):
        missing[gap.name].add(gap.never)
    return {name: frozenset(never) for name, never in missing.items()}


RULES = [rule_id(page.id, evidence.rule) for _, page, evidence in shipped().book.rules()]
SIGNS = [f"{page.id}: {sign.sign}" for page in shipped().book.concerns.values() for sign in page.signs]


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_speaks_is_stopped_and_waits(rule: str) -> None:
    """On its own page it speaks and counts; somewhere it is known and quiet, and somewhere it waits."""
    assert gaps().get(rule, frozenset()) == frozenset()


@pytest.mark.parametrize("sign", SIGNS)
def test_every_sign_is_seen_and_absent(sign: str) -> None:
    """An example of its page shows it seen, another that it was looked for and is not there."""
    assert gaps().get(sign, frozenset()) == frozenset()


@pytest.mark.parametrize("action", shipped().book.actions.values(), ids=lambda page: page.id)
def test_every_action_is_taken_and_where_something_can_hold_it_back_withheld(action: Action) -> None:
    """One example takes it; where it has needs or is forbidden by something, one withholds it."""
    assert gaps().get(action.id, frozenset()) == frozenset()


@pytest.mark.parametrize("page", list(pages(shipped().book)), ids=lambda page: page.id)
def test_every_page_shows_what_it_does_what_stops_it_and_what_it_waits_for(page: Conclusion) -> None:
    """Each page has an example that holds, one that is stopped; those that weigh or listen also one that waits."""
    thanks = any(e.thanks_to for e in page.examples)
    stopped = any(e.stopped_by for e in page.examples) or isinstance(page, Action)
    waiting = any(e.waiting_on for e in page.examples) or isinstance(page, Action)
    assert (thanks, stopped, waiting) == (True, True, True)


@pytest.mark.parametrize("page", list(pages(shipped().book)), ids=lambda page: page.id)
def test_no_two_examples_of_a_page_share_a_sentence(page: Conclusion) -> None:
    """The sentence is the example's name in every report."""
    names = Counter(example.name for example in page.examples)
    assert [name for name, times in names.items() if times > 1] == []
