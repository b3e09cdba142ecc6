"""Everything that can be asked of the examples of a rulebook, in one go.

In: rules folders. Out: `Findings`: examples that do not come true, what no example shows, slips that none notices.
Not here: words for people.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from reasoner.frozen import frozen
from reasoner.problems import BadInput
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulecare.coverage import Coverage, Gap
from reasoner.rulecare.example_check import Case
from reasoner.rulecare.examples import answer_of, complaints, pages
from reasoner.rulecare.fence_files import read_fences
from reasoner.rulecare.trials import Trials, Unnoticed


@frozen
class Failed:
    """An example that does not come true, and why."""

    page: str
    name: str
    complaints: tuple[str, ...]
    file: str
    line: int


@frozen
class Findings:
    """What came out. `examples` and `fences` count cases as written; each example is judged in the mirror as well."""

    stamp: str
    pages: int
    examples: int
    fences: int
    failed: tuple[Failed, ...]
    gaps: tuple[Gap, ...]
    slips: int
    unnoticed: tuple[Unnoticed, ...]


def tested(layers: Sequence[Path] | None, progress: Callable[[int, int], None]) -> Findings:
    """Judge every example both ways round and every fence, gather what they show, and try every slip. Raises BadInput.

    `layers` as in `load_rulebook`; `progress` is told how many pages are done, of how many.
    """
    folders = list(layers or [shipped_rules()])
    book = load_rulebook(folders)
    fences = read_fences(folders)
    trials = Trials(book, fences)
    coverage = Coverage()
    failed: list[Failed] = []
    unnoticed: list[Unnoticed] = []
    every = list(pages(book))
    for number, page in enumerate(every):
        progress(number, len(every))
        more = fences.get(page.id, ())
        for example in (*page.examples, *more):
            # A fence was found to hold both ways round when it was written; law 1 keeps the mirror.
            for mirror in (False, True) if example in page.examples else (False,):
                case = Case(page, example, mirror)
                try:
                    answer = answer_of(case, trials.ready)
                except BadInput as bad:
                    told: list[str] = [str(problem) for problem in bad.problems]
                else:
                    told = complaints(case, answer)
                    if not mirror:
                        coverage.add(case, answer)
                if told:
                    failed.append(Failed(page.id, case.name, tuple(told), page.file, example.line))
        if not any(one.page == page.id for one in failed):
            unnoticed += trials.unnoticed(page)
    progress(len(every), len(every))
    return Findings(
        stamp=book.stamp, pages=len(every), examples=sum(len(page.examples) for page in every),
        fences=sum(map(len, fences.values())), failed=tuple(failed), gaps=tuple(coverage.gaps(book)),
        slips=sum(map(len, trials.slips.values())), unnoticed=tuple(unnoticed),
    )  # fmt: skip
