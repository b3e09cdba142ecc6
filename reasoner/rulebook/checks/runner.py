"""Every check that needs the pages alone, in one table.

In: `Given`. Out: everything they find. A new check is one file beside this one, one line here, and its fault file.
Not here: the checks; which problems are warnings (rulecare).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from reasoner.problems import Problem
from reasoner.rulebook.checks import filler, leads_somewhere, mirror, needed, one_source, same_premise, sides, waivers
from reasoner.rulebook.checks.cases import cases_that_fit
from reasoner.rulebook.checks.cautious import not_ours_to_say
from reasoner.rulebook.checks.given import Given

Check = Callable[[Given], Iterator[Problem]]

#: What can be asked of a page that reads, whatever else is wrong.
OF_ANY_PAGE: tuple[Check, ...] = (
    needed.blanks, filler.filler, filler.copies, not_ours_to_say, waivers.incomplete, mirror.one_sided,
    one_source.sources_twice, cases_that_fit,
)  # fmt: skip
#: What can be asked of pages on which every reference is known.
OF_WHOLE_PAGES: tuple[Check, ...] = (
    sides.sides_that_do_not_fit, same_premise.same_questions, leads_somewhere.of_no_use,
    leads_somewhere.no_way_on,
)  # fmt: skip


def found_on_pages(given: Given, part: Given) -> Iterator[Problem]:
    """The problems of every page; `part`: the pages that read whole and lean on none that does not."""
    for check in OF_ANY_PAGE:
        yield from check(given)
    for check in OF_WHOLE_PAGES:
        yield from check(part)
