"""Reading a visit costs about as much as parsing its YAML.

In: a long visit. Out: a bound that only a change of kind would break; the figure itself is for the benchmark.
Not here: the speed of the engine.
"""

from __future__ import annotations

import time

from reasoner.rulebook.strict_yaml import parse
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit import visit_from_node


def test_a_sixty_line_visit_takes_a_few_milliseconds(shipped: Vocabulary) -> None:
    places = [p for p in shipped.places.values() if p.sides == "each"][:50]
    rows = [f"  {p.name}: {{left: 3, right: {{soreness: 2, response: tightens, once settled: 1}}}}" for p in places]
    text = "visit: 2026-04-18\nhorse: {name: Rook}\nquiet: {neck: both}\npalpation:\n" + "\n".join(rows)
    node = parse(text.encode(), "v")
    visit_from_node(node, "v", shipped)
    best = min(_timed(lambda: visit_from_node(node, "v", shipped)) for _ in range(7))
    assert best < 0.010, f"{best * 1000:.1f} ms"


def _timed(action: object) -> float:
    assert callable(action)
    start = time.perf_counter()
    action()
    return time.perf_counter() - start
