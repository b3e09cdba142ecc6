"""Whether two hands wrote the same words: how the horse answered, what was felt, how deep, and what was seen.

In: pairs of visits, the vocabulary, the table of agreement. Out: a `Worded`: word by word over the places where both wrote of it.
Not here: numbers (agreement), what a difference of words moves (moved), sentences.

A word such as "flinches" was written or not at each place, so it has kappa without weights; several may stand at one place, so
each is counted by itself. Of what was seen, each thing has words of its own: one share over all of them and no kappa, since
chance agreement is not defined over things with different words. A place only listed as quiet has no words, and counts for none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np

from reasoner.frozen import frozen
from reasoner.questions.changes import Spot
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.teaching.exchange import UNHEARD
from reasoner.teaching.paired import Pair, touches_that_count
from reasoner.teaching.statistics import Estimate, kappa
from reasoner.visit.model import Touch, Visit

#: What is written where nothing was: no word of its own.
NONE = ("none", "nothing")
#: What a touch says in words, and what that is called here; the first two may hold several words at once.
SEVERAL: tuple[tuple[str, Callable[[Touch], Sequence[str] | None]], ...] = (
    ("how the horse answered", lambda touch: touch.responses), ("what was felt", lambda touch: touch.felt),
)  # fmt: skip
SINGLE: tuple[tuple[str, Callable[[Touch], str | None]], ...] = (("how deep", lambda touch: touch.depth),)


@frozen(kw_only=True)
class Word:
    """One word at the places where both wrote of such things: how many wrote it both, the first alone, the second alone, neither.
    `share` is how often the two say the same; `kappa` None where it is not defined or there are too few places."""

    of: str
    word: str
    both: int
    first: int
    second: int
    neither: int
    share: Estimate
    kappa: Estimate | None

    @property
    def places(self) -> int:
        """Where both wrote of such things."""
        return self.both + self.first + self.second + self.neither


@frozen(kw_only=True)
class Shared:
    """Things with one word each: `compared` written by both, `same` in the same word; `only_one` written by one hand alone."""

    of: str
    compared: int
    same: int
    only_one: int
    share: Estimate | None


@frozen(kw_only=True)
class Worded:
    """Agreement on words. `silent` counts places graded by both of which at least one wrote no such words, by kind."""

    words: tuple[Word, ...]
    shared: tuple[Shared, ...]
    silent: tuple[tuple[str, int], ...]


def worded_of(pairs: Sequence[Pair], vocabulary: Vocabulary, table: AgreementTable) -> Worded:
    """Compare the words of two hands over one pair of visits or many."""
    touched = [both for pair in pairs for both in _touched(pair)]
    words: list[Word] = []
    silent: list[tuple[str, int]] = []
    for of, read in SEVERAL:
        told = [(read(one), read(two)) for one, two in touched]
        known = [(set(a) - {*NONE}, set(b) - {*NONE}) for a, b in told if a is not None and b is not None]
        silent.append((of, sum((a is None) != (b is None) for a, b in told)))
        words += [_word(of, word, known, table) for word in sorted(set().union(*(a | b for a, b in known)))]
    shared = [_shared(of, [(read(one), read(two)) for one, two in touched], table) for of, read in SINGLE]
    seen = [both for pair in pairs for both in _seen(pair, vocabulary)]
    shared.append(_shared("what was seen, tried or read", seen, table))
    return Worded(words=tuple(words), shared=tuple(one for one in shared if one.compared), silent=tuple(silent))


def share_of(same: int, of: int, share: float) -> Estimate:
    """A share of `of` (above 0) with Wilson's interval (Wilson 1927; Newcombe 1998, method 3), from statsmodels."""
    from statsmodels.stats.proportion import proportion_confint

    low, high = proportion_confint(same, of, alpha=1 - share, method="wilson")
    return Estimate(value=same / of, low=max(0.0, float(low)), high=min(1.0, float(high)))


def _touched(pair: Pair) -> Iterator[tuple[Touch, Touch]]:
    """Every place that both examined, at one time; without those that both only listed as quiet."""
    one, two = touches_that_count(pair.one), touches_that_count(pair.two)
    for key in one:
        if key in two and not (one[key].quiet_list and two[key].quiet_list):
            yield one[key], two[key]


def _word(of: str, word: str, known: Sequence[tuple[set[str], set[str]]], table: AgreementTable) -> Word:
    counts = np.zeros((2, 2), dtype=np.int64)
    for one, two in known:
        counts[int(word not in one), int(word not in two)] += 1
    (both, first), (second, neither) = counts.tolist()
    enough = len(known) >= table.enough.statistics.readings
    return Word(
        of=of, word=word, both=both, first=first, second=second, neither=neither,
        share=share_of(both + neither, len(known), table.interval.share),
        kappa=kappa(counts, "none", table.interval.share) if enough else None,
    )  # fmt: skip


def _shared(of: str, told: Iterable[tuple[str | None, str | None]], table: AgreementTable) -> Shared:
    every = list(told)
    known = [(one, two) for one, two in every if one and two]
    same = sum(one == two for one, two in known)
    return Shared(
        of=of, compared=len(known), same=same, only_one=sum(bool(one) != bool(two) for one, two in every),
        share=share_of(same, len(known), table.interval.share) if known else None,
    )  # fmt: skip


def _seen(pair: Pair, vocabulary: Vocabulary) -> Iterator[tuple[str | None, str | None]]:
    """What each wrote of everything that has words to choose from."""
    one, two = _said(pair.one, vocabulary), _said(pair.two, vocabulary)
    for key in dict.fromkeys([*one, *two]):
        yield one.get(key), two.get(key)


def _said(visit: Visit, vocabulary: Vocabulary) -> dict[tuple[Spot, object], str]:
    found: dict[tuple[Spot, object], str] = {}
    for noted in visit.noted:
        entry = vocabulary.observations.get(noted.key)
        if entry is not None and entry.readings and noted.key not in UNHEARD and isinstance(noted.value, str):
            found[(noted.key, noted.side or ""), noted.about] = noted.value
    return found
