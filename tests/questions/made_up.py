"""Made-up rulebases made ready, for the tests of the questions.

In: a `Rulebook`. Out: `Ready`, compiled as the shipped one is, except that one finding may be counted twice: random
rulebases do that.
Not here: making rulebases.
"""

from __future__ import annotations

from reasoner.inference.from_rulebook import ground
from reasoner.inference.strata import compile_network
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rules_cache import Ready


def made(book: Rulebook) -> Ready:
    """Both programs of a rulebase."""
    network, above = ground(book), book.scales.fires_above
    return Ready(book, compile_network(network, above), compile_network(network, above, full=False))
