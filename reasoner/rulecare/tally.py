"""How many rules rest on what: published work, common practice, our own settings.

In: a `Rulebook`. Out: counts.
Not here: whether a basis is a good one, wording.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from reasoner.rulebook.pages import bases
from reasoner.rulebook.references import DECLARED
from reasoner.rulebook.rulebook import Rulebook

ROWS = ("rules", "signs", "actions", "circumstances")
COLUMNS = ("published", "common_practice", "own_setting")


def resting(basis: str | tuple[str, ...]) -> str:
    """The firmest thing a basis names: a source, else common practice, else our own setting.

    >>> resting(("own setting", "von_peinen_2010")), resting("common practice"), resting("own setting")
    ('published', 'common_practice', 'own_setting')
    """
    named = bases(basis)
    if any(one not in DECLARED for one in named):
        return "published"
    return "common_practice" if DECLARED[0] in named else "own_setting"


def tally(book: Rulebook) -> Mapping[str, Mapping[str, int]]:
    """For rules, signs of concerns, actions and circumstances: how many rest on each; the three add up to `all`."""
    return {
        "rules": _counted(rule.basis for _, _, rule in book.rules()),
        "signs": _counted(sign.basis for page in book.concerns.values() for sign in page.signs),
        "actions": _counted(page.basis for page in book.actions.values()),
        "circumstances": _counted(page.basis for page in book.circumstances.values()),
    }


def _counted(every: Iterable[str | tuple[str, ...]]) -> Mapping[str, int]:
    found = [resting(basis) for basis in every]
    return {"all": len(found), **{column: found.count(column) for column in COLUMNS}}
