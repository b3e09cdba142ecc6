"""How often the reasoner finds the cause again from which a case was made, and what it takes the rest for.

In: a rulebook, how many cases of each kind. Out: `Recovered` for each cause, side and difficulty.
Not here: making cases (making), words. A case made from a cause is a story and no horse: what is measured here is whether the
rules and the links of the pages say the same, and never how often the reasoner is right about a horse."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from reasoner.consult import Answer, judge
from reasoner.explanation.model import Chain, Key
from reasoner.frozen import frozen
from reasoner.rules_cache import Ready
from reasoner.teaching.making import Maker, every_kind


@frozen
class Recovered:
    """Of `cases` made: in how many the cause, on its side, is a starting point of the account (`found`), and in how many the
    first (`first`), or one of those equally good. `calls`: in how many a reason to call the veterinarian stands. `instead`: what
    the account began with where the cause was no starting point, the commonest first; `led` of those were led to from there."""

    cause: str
    side: str
    difficulty: str
    cases: int
    found: int
    first: int
    calls: int
    instead: tuple[tuple[Key, int], ...]
    led: int


def recovered(ready: Ready, count: int, seed: int = 0, only: Sequence[str] = ()) -> Iterator[Recovered]:
    """Every kind of case, `count` of each; `only` these causes, if any are named."""
    maker = Maker(ready.book)
    for cause, side, difficulty in every_kind(maker):
        if not only or cause in only:
            yield _of_kind(maker, ready, (cause, side), difficulty, range(seed, seed + count))


def _of_kind(maker: Maker, ready: Ready, key: Key, difficulty: str, seeds: range) -> Recovered:
    instead: Counter[Key] = Counter()
    found = first = calls = led = 0
    for seed in seeds:
        answer = judge(maker.case(*key, difficulty, seed).visit, ready)
        starts = starting_points(answer)
        calls += answer.referral.level != "none"
        if key in starts:
            found += 1
            first += key in first_points(answer)
        else:
            instead.update(first_points(answer))
            led += any(_leads(chain, key) for chain in answer.explanation.account.starting_points)
    common = tuple(sorted(instead.items(), key=lambda one: (-one[1], one[0])))
    return Recovered(key[0], key[1], difficulty, len(seeds), found, first, calls, common, led)


def starting_points(answer: Answer) -> tuple[Key, ...]:
    """Every starting point of the account, also those of equally good accounts, and those that lead to each other."""
    account = answer.explanation.account
    shown = [key for chain in account.starting_points for key in _of_chain(chain)]
    return tuple(dict.fromkeys((*shown, *(key for tie in account.ties for key in tie))))


def first_points(answer: Answer) -> tuple[Key, ...]:
    """The first starting point, with those that lead to it and back."""
    account = answer.explanation.account
    return _of_chain(account.starting_points[0]) if account.starting_points else ()


def _of_chain(chain: Chain) -> tuple[Key, ...]:
    return ((chain.key, chain.side), *chain.loop)


def _leads(chain: Chain, key: Key) -> bool:
    return any(key in _of_chain(one) or _leads(one, key) for one in chain.leads)
