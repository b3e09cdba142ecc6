"""What a page tells an owner, fitter or farrier claims no look that nobody made: what is inferred is told as what goes with it.

In: visits to invented horses in which a conclusion rests on other things than its own observation. Out: the sentences of reports.
Not here: whether the conclusion is drawn (the pages' examples), forbidden words (test_reports).
"""

from __future__ import annotations

import re

import pytest

from reasoner.rendering.report import report_html
from tests.asking import ask

HEAD = "horse: {name: Juno}\nvisit: 2026-04-18\nexamined by: Wren Aldous\n"


def told(visit: str, reader: str) -> str:
    """A report's words in one line."""
    return " ".join(re.sub(r"<[^>]+>", " ", report_html(ask(HEAD + visit).answer, reader)).split())


@pytest.mark.parametrize(
    ("visit", "claimed", "said"),
    [
        # Nobody compared the two hips; nobody felt a shoulder.
        (
            "ridden: {lead preferred: left, canter against trot: canter worse}",
            "observed to push off less",
            "hind that pushes off less",
        ),
        (
            "palpation: {breast: {left: 1, right: 5}}\nridden: {lead preferred: left}",
            "observed to carry more",
            "carries more on the right foreleg",
        ),
        (
            "palpation: {breast: {left: 1, right: 5}}\nridden: {lead preferred: left}",
            "tighter for it",
            "carries more on the right foreleg",
        ),
        # The sweat was seen, and not the underside on the back.
        (
            "palpation: {over the last ribs: {both: 1}, behind the shoulder blade: {both: 1}}\n"
            "after work: {sweat marks: ends only}",
            "saddle was observed to touch",
            "goes with a saddle that touches",
        ),
        ("ridden: {saddle movement: lifts behind}", "was observed to rock", "goes with a saddle that rocks"),
        (
            "tacked up: {saddle: {lies: too far back, panel contact: more behind}}",
            "was observed to reach",
            "goes with a saddle that reaches",
        ),
        # Sore as under such a saddle; nobody watched one.
        (
            "palpation: {behind the shoulder blade: {left: 1, right: 3}}\nstanding square: {bigger shoulder: left}",
            "saddle was observed to come",
            "goes with a saddle that comes to the right",
        ),
        (
            "ridden: {stronger rein: right, lead preferred: right}",
            "observed to bend",
            "goes with a horse that bends more easily to the left",
        ),
        (
            "before the visit: {bit changed: lately}\nridden: {head tilts to: left}",
            "observed to be unquiet",
            "goes with something at bit",
        ),
    ],
)
def test_the_owner_is_told_what_it_goes_with(visit: str, claimed: str, said: str) -> None:
    page = told(visit, "owner")
    assert said in page
    assert claimed not in page


def test_the_farrier_is_not_told_of_even_steps_that_nobody_saw() -> None:
    """Of a hind that nobody compared, and of a trot that nobody saw."""
    visit = (
        "palpation: {long back: {both: 5}, top of the croup: {left: 5, right: 1}}\n"
        "ridden: {canter against trot: canter worse, saddle comes to: left, seen on: both reins}\n"
    )
    asked = ask(HEAD + visit)
    page = told("in hand: {hind push-off: left}", "farrier")
    assert "Please look at both hind feet" in page
    assert "with even steps" not in page
    assert "no uneven step is written down" in page
    assert ("hind_pushes_off_less", "left") in asked.supported
    assert "was seen to push off less" not in told(visit, "farrier")
