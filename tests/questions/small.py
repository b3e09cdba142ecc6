"""Small random rulebases with a table of checks, and visits to them, for brute force.

In: a seed. Out: an `Answer`.
Not here: any question.
"""

from __future__ import annotations

import dataclasses

from reasoner.consult import Answer, judge
from reasoner.inference.from_rulebook import ground
from reasoner.inference.strata import compile_network
from reasoner.rulebook.scales import Checking
from reasoner.rules_cache import Ready
from tests.chance import Seeded
from tests.random_rulebooks import random_rulebook
from tests.random_visits import random_visit

CHECKING = Checking(
    scores=(0.0, 3.0, 6.0, 9.0), minutes_a_side=0.5, minutes_to_begin={"in_hand": 2.0}, first="at_first_sight", asks={},
    back=(), no_trot_after={}, by_telephone=(),
)  # fmt: skip


def small_answer(seed: int, filled: int = 40) -> Answer:
    """A random visit judged by a random rulebase, both of this seed."""
    chooser = Seeded(seed)
    book = random_rulebook(chooser)
    book = dataclasses.replace(book, scales=dataclasses.replace(book.scales, checking=CHECKING))
    network, above = ground(book), book.scales.fires_above
    made = Ready(book, compile_network(network, above), compile_network(network, above, full=False))
    return judge(random_visit(chooser, book, filled=filled), made)
