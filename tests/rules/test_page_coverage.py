"""Over all examples: every rule speaks, is stopped and waits; every sign and every action is shown both ways.

In: the examples of the pages, judged as written. Out: what no example shows yet, by name.
Not here: whether an example is right (test_page_examples).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from functools import cache

import pytest

from reasoner.inference.record import Record
from reasoner.rulebook.pages import Action, Concern, Conclusion
from reasoner.rulebook.rulebook import rule_id
from reasoner.rulecare.example_kinds import TAKEN, WITHHELD, OfConcern
from tests.asking import shipped
from tests.rules.page_examples import answer_of, cases, pages


@cache
def seen() -> Mapping[str, frozenset[str]]:
    """What the examples show: for "page/rule", "page: sign" and the id of an action, the set of what became of it."""
    shown: dict[str, set[str]] = defaultdict(set)
    for case in cases():
        if case.mirror:
            continue
        answer = answer_of(case)
        for rule in answer.record.applied:
            if rule.state == "fired" and rule.counted and rule.page == case.page.id:
                shown[rule.id].add("fired")
            elif rule.state == "waits":
                shown[rule.id].add("waits")
            elif rule.state == "below" and _known(answer.record, rule.premise):
                shown[rule.id].add("stopped")
        if isinstance(case.page, Concern):
            for sign, became in _signs(OfConcern(case, answer), case.page):
                shown[f"{case.page.id}: {sign}"].add(became)
        if isinstance(case.page, Action):
            shown[case.page.id] |= {TAKEN for s in answer.plan.steps if s.key == case.page.id}
            shown[case.page.id] |= {WITHHELD for w in answer.plan.withheld if w.key == case.page.id}
    return {name: frozenset(what) for name, what in shown.items()}


def _known(record: Record, premise: int) -> bool:
    return any(record.pair(column << 1) != (0.0, 0.0) for column in record.leaves(premise))


def _signs(check: OfConcern, page: Concern) -> Iterator[tuple[str, str]]:
    for key, _, _, literals in check.meta["concerns"]:
        if key == page.id:
            for sign, literal in zip(page.signs, literals, strict=True):
                if check.holds(literal):
                    yield sign.sign, "seen"
                elif check.refuted(literal):
                    yield sign.sign, "absent"


RULES = [rule_id(page.id, evidence.rule) for _, page, evidence in shipped().book.rules()]
SIGNS = [f"{page.id}: {sign.sign}" for page in shipped().book.concerns.values() for sign in page.signs]


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_speaks_is_stopped_and_waits(rule: str) -> None:
    """On its own page it speaks and counts; somewhere it is known and quiet, and somewhere it waits."""
    wanted = {"fired", "stopped", "waits"}
    assert wanted - seen().get(rule, frozenset()) == set()


@pytest.mark.parametrize("sign", SIGNS)
def test_every_sign_is_seen_and_absent(sign: str) -> None:
    """An example of its page shows it seen, another that it was looked for and is not there."""
    assert {"seen", "absent"} - seen().get(sign, frozenset()) == set()


@pytest.mark.parametrize("action", shipped().book.actions.values(), ids=lambda page: page.id)
def test_every_action_is_taken_and_where_something_can_hold_it_back_withheld(action: Action) -> None:
    """One example takes it; where it has needs or is forbidden by something, one withholds it."""
    gates = {WITHHELD} if action.only_after or action.forbidden_by else set()
    assert ({TAKEN} | gates) - seen().get(action.id, frozenset()) == set()


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
