"""A name in other capitals is the same name; one much like it is asked about before it is kept.

In: visits that name a horse, its people and its tack. Out: nothing. Not here: what is kept of each.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from sqlalchemy import select

from reasoner.cli import cli
from reasoner.problems import BadInput
from reasoner.records.before import horse_of
from reasoner.store import tables as t
from reasoner.store.checking import check
from reasoner.store.opening import Store
from reasoner.store.reading import horse_called
from reasoner.store.saving import save
from tests.store.keeping import kept_of

VISIT = """\
horse: {{name: {name}, born: {born}}}
visit: {day}
yard: {yard}
owner: Ines Tallow
examined by: {hands}
palpation: {{loin: {{left: 4, right: 1}}}}
tacked up: {{which saddle: {saddle}}}
ridden: {{ridden by: {rider}}}
"""
#: Every name as it is first written, and in other capitals.
FIRST = {"name": "Jórunn", "yard": "Larkhope", "hands": "Wren Aldous", "saddle": "the old brown", "rider": "Ida Fenn"}
OTHER = {key: f'"{"  ".join(word.split(" ")).upper()}"' for key, word in FIRST.items()}


def text(day: str, born: int = 2016, /, **names: str) -> str:
    return VISIT.format(day=day, born=born, **{**FIRST, **names}).replace("yard: \n", "")


def test_other_capitals_are_the_same_horse_and_people(store: Store) -> None:
    save(store, kept_of(text("2026-04-18")), by="Wren Aldous")
    two = kept_of(text("2026-05-02", 2016, **OTHER))
    with store.reading() as connection:
        found = horse_of(connection, two.visit)
    assert found is not None
    save(store, two, by="Wren Aldous")
    with store.reading() as connection:
        for table in (t.horse, t.yard, t.saddle, t.rider, t.examiner):
            assert len(connection.execute(select(table)).all()) == 1, table.name
        assert horse_called(connection, "  jórunn ").visits == 2
    assert check(store).wrong == ()


def test_two_of_one_name_at_one_yard_are_told_apart_by_the_year(store: Store) -> None:
    for born in (2011, 2016):
        save(store, kept_of(text("2026-04-18", born)), by="Wren Aldous")
    with store.reading() as connection:
        with pytest.raises(BadInput) as bad:
            horse_called(connection, "Jórunn")
        assert '"Jórunn 2011" or "Jórunn 2016"' in str(bad.value)
        assert horse_called(connection, "jórunn 2011").born == "2011"


def said(folder: Path, words: str, *more: str) -> Result:
    (folder / "visit.yaml").write_text(words, encoding="utf-8")
    return CliRunner().invoke(
        cli,
        ["records", "save", str(folder / "visit.yaml"), "--store", str(folder / "p.db"), *more],
        catch_exceptions=False,
    )


@pytest.mark.parametrize(
    ("slip", "born", "asked"),
    [
        ({"name": "Jórun"}, 2016, True),
        ({"yard": ""}, 2016, True),
        ({"yard": "Skelbeck"}, 2016, True),
        ({"name": "Jórun"}, 2011, False),
        ({"name": "Hazel"}, 2016, False),
        ({"name": "Jórun", "yard": "Skelbeck"}, 2016, False),
    ],
)
def test_a_new_horse_much_like_one_that_is_kept(slip: dict[str, str], born: int, asked: bool, tmp_path: Path) -> None:
    assert said(tmp_path, text("2026-04-18")).exit_code == 0
    result = said(tmp_path, text("2026-05-02", born, **slip))
    assert (result.exit_code == 2) == asked, result.output
    if asked:
        assert "RE29" in result.output
        assert "Jórunn, Larkhope, born 2016" in result.output
        assert said(tmp_path, text("2026-05-02", born, **slip), "--new-horse").exit_code == 0
