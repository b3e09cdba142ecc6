"""Another visit begins as the last one left it, and never with a finding.

In: kept visits. Out: the new file as read, and what stands in it.
Not here: the blank file itself.
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from reasoner.records.before import held_of
from reasoner.records.carried import carried
from reasoner.records.course import table_of
from reasoner.rendering.again import again_text
from reasoner.store.opening import Store
from reasoner.store.reading import horses
from reasoner.store.saving import save
from reasoner.visit.blank import blank_visit
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.records.horses import keep, tell, turned, visit
from tests.store.keeping import EXAMPLES, example, fresh

FIRST = visit("2026-04-04", "{left: 6, right: 1}", back="{left: {soreness: 2, after work: 6}, right: 2}")
STAYS = table_of(shipped().book).stays.entries


def begun(store: Store, on: str = "2026-06-01") -> str:
    book = shipped().book
    with store.reading() as connection:
        (horse,) = horses(connection)
        every = held_of(connection, horse)
        return again_text(every, book, carried(connection, store.place, every, date.fromisoformat(on), book.vocabulary))


def filled_in(text: str, on: str = "2026-06-01") -> Visit:
    """The file as read once its day is written."""
    dated = re.sub(r"(?m)^visit:.*$", f"visit: {on}", text)
    return visit_from_bytes(dated.encode(), "again.yaml", shipped().book.vocabulary)


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.yaml")))
def test_every_example_begins_another_visit_without_a_finding(tmp_path: Path, name: str) -> None:
    store = fresh(tmp_path)
    save(store, example(name), by="Wren Aldous")
    new, old = filled_in(begun(store)), example(name).visit
    assert (new.touches, new.worked, new.vets_words, new.outlines, new.warnings) == ((), (), (), (), ())
    kept = {n.key: n.value for n in new.noted if n.key != "visit"}
    assert kept == {n.key: n.value for n in old.noted if n.key in STAYS}
    assert [n.note for n in new.noted if n.key != "visit"] == [
        n.note for key in kept for n in old.noted if n.key == key
    ]


def test_last_time_stands_beside_the_empty_place(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST)
    text = begun(store)
    assert re.search(r"(?m)^  # girth line: \{left: , right: \} +# last time left 6, right 1", text)
    assert "last time left 2, left 6 after work, right 2" in text
    assert re.search(r"(?m)^    # girthing: +# last time quiet", text)
    assert _names(text) == _names(
        blank_visit(shipped().book.vocabulary)
    )  # the examiner's walk, whatever stands beside it


def _names(text: str) -> list[str]:
    """The lines of a visit file by name, in order, whether written or not."""
    below = text[re.search(r"(?m)^visit:", text).start() :]  # type: ignore[union-attr]
    return re.findall(r"(?m)^ *(?:# )?([\w' /-]+):", below)


def test_it_opens_with_what_was_expected_and_what_to_ask(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    saved = keep(store, FIRST)
    opening = begun(store).split("\nvisit:")[0]
    assert "left girth line 6 to 2 or less by 14 April 2026. Today?" in opening
    assert "No girth over the sore place until it has gone down and the girth has been looked at: ?" in opening
    assert "done, partly, not done, or stopped because ..?" in opening
    tell(store, saved, "stopped")
    assert "looked at: stopped (the owner, 14 April 2026)" in begun(store)
    assert all(line.startswith("#") or not line for line in opening.splitlines())


def test_a_mirrored_horse_begins_a_mirrored_visit(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    one, other = fresh(tmp_path / "one"), fresh(tmp_path / "two")
    keep(one, FIRST)
    keep(other, turned(FIRST))

    def beside(store: Store) -> list[list[str]]:
        # Within a line left is named before right whichever is the sorer, so what stands there is compared part by part.
        found = re.findall(r"(?m)^ *# ([\w ]+):.*# last time ([^;\n]*)|^#   (left|right) (.*) Today", begun(store))
        return [[name, *sorted(last.split(", ")), side, rest] for name, last, side, rest in found]

    swapped = [[name, *sorted(turned(", ".join(parts)).split(", ")), turned(side), rest]
               for name, *parts, side, rest in beside(one)]  # fmt: skip
    assert swapped == beside(other)
    assert len(swapped) > 10


@pytest.mark.parametrize("name", ["the brown one: # 2", '"Larkhope", the second', "yes", "17", "Ængus (old)", "{a}"])
def test_any_name_can_be_written_again(tmp_path: Path, name: str) -> None:
    store = fresh(tmp_path)
    quoted = '"' + name.replace('"', '\\"') + '"'
    keep(store, FIRST.replace("the brown one", quoted))
    assert filled_in(begun(store)).noted_value("which_saddle") == name


def test_another_visit_after_another_visit(tmp_path: Path) -> None:
    """What is begun so is kept like any other, and a third begins from it."""
    store = fresh(tmp_path)
    keep(store, FIRST)
    second = re.sub(r"(?m)^visit:.*$", "visit: 2026-04-20", begun(store))
    second = re.sub(r"(?m)^  # girth line: \{left: , right: \}", "  girth line: {left: 3, right: 0}", second)
    keep(store, second)
    assert "last time left 3, right 0 (quiet)" in begun(store)
