"""A practitioner's own judgement in the owner's page: beside what that page tells, in the owner's words, and of nothing else.

In: judgements of two conclusions of one visit, one of which the owner is told. Out: the owner's page.
Not here: the pages of other readers, words that are held back (test_held_words).
"""

from __future__ import annotations

from html import unescape
from pathlib import Path

from click.testing import CliRunner

from reasoner.cli import cli
from reasoner.store.afterwards import add_opinion
from reasoner.store.reading import visits
from reasoner.store.saving import save
from tests.rendering.answers import answer
from tests.store.keeping import EXAMPLES, example, fresh


def test_the_owner_reads_it_beside_what_they_are_told(tmp_path: Path) -> None:
    concluded = answer("bramble").explanation.concluded
    store = fresh(tmp_path)
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        (visit,) = visits(connection)
    told, untold = ("saddle_to_one_side", "right"), next(key for key in concluded if concluded[key].kind == "pattern")
    for (conclusion, side), why in ((told, "It came over again on grass"), (untold, "Felt it otherwise on Monday")):
        add_opinion(store, visit.version, conclusion=conclusion, side=side, agrees=False, because=why, by="Wren Aldous")
    place = store.place.shown
    store.close()
    page = tmp_path / "owner.html"
    words = ["report", str(EXAMPLES / "bramble.yaml"), "--store", place, "-o", str(page)]
    assert CliRunner().invoke(cli, words, catch_exceptions=False).exit_code == 0
    text = " ".join(unescape(page.read_text()).split())
    assert "Wren Aldous does not see it so:" in text
    assert f'"{concluded[told].plain}" Because: it came over again on grass' in text
    assert "on Monday" not in text
