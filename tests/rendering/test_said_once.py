"""What several measures have in common stands on a page once.

In: `Told`. Out: the same with each caution at the first. Not here: any one measure.
"""

from __future__ import annotations

from reasoner.rendering.measured import Told, said_once


def test_a_caution_stands_at_the_first_measure_that_has_it_and_none_is_lost() -> None:
    one = Told(key="a", title="A", lines=("1.",), rests_on=("own setting",), cautions=("x", "y"), not_measured=("m",))
    two = Told(
        key="b", title="B", lines=("2.",), rests_on=("own setting",), cautions=("y", "z"), not_measured=("m", "n")
    )
    first, second = said_once([one, two])
    assert first == one
    assert (second.cautions, second.not_measured, second.lines) == (("z",), ("n",), two.lines)
    assert {*first.cautions, *second.cautions} == {*one.cautions, *two.cautions}
