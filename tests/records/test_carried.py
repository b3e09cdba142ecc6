"""A veterinarian's word of an earlier visit is carried into the next file, as an entry to see and to strike.

In: visits with words, and the file that begins the next. Out: the file as read and judged, the command.
Not here: everything else of the new file (test_again.py), what a word opens (tests of plan/).
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from reasoner.cli import cli
from reasoner.consult import judge
from reasoner.records.carried import bare
from reasoner.store.saving import save
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped
from tests.records.horses import judged, keep, visit
from tests.records.test_again import begun, filled_in
from tests.store.keeping import EXAMPLES, example, fresh

WORD = "veterinarian's word: {{who: Dr Mossop, seen: {seen}, about: [{about}]{more}}}\n"
FIRST = visit("2026-04-04", "{left: 6, right: 1}")
SECOND = visit("2026-04-20", "{left: 5, right: 1}")


def said(more: str, *, seen: str = "2026-04-03", about: str = "uneven steps") -> str:
    return WORD.format(seen=seen, about=about, more=more)


ALLOWED = said(", allows: [hands-on work], until: 2026-05-05")


def test_a_word_that_holds_is_written_and_marked_with_its_visit(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + ALLOWED)
    text = begun(store, "2026-04-20")
    (word,) = filled_in(text, "2026-04-20").vets_words
    assert (word.who, word.seen.isoformat(), word.allows) == ("Dr Mossop", "2026-04-03", ("hands_on_work",))
    assert word.note == "carried over from the visit of 2026-04-04"
    assert "# from the visit of 4 April 2026; strike it if it no longer holds" in text
    assert "still holds is written at the end" in text.split("\nvisit:")[0]


def test_struck_it_does_not_count_and_comes_back_only_with_a_mark(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + ALLOWED)
    text = begun(store, "2026-04-20")
    struck = "\n".join(
        line for line in text.splitlines() if "Dr Mossop" not in line and not line.startswith("veterinarian's word")
    )
    struck = re.sub(r"(?m)^visit:.*$", "visit: 2026-04-20", struck)
    keep(store, struck)
    third = begun(store, "2026-04-28")
    assert filled_in(third, "2026-04-28").vets_words == ()
    assert re.search(r"(?m)^  # - \{who: .Dr Mossop", third)
    assert "not written again at the last visit" in third


def test_what_is_only_forbidden_stands_though_it_was_left_out_once(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + said(", forbids: [ridden work], until: 2026-05-05"))
    keep(store, SECOND)
    (word,) = filled_in(begun(store, "2026-04-28"), "2026-04-28").vets_words
    assert word.forbids


@pytest.mark.parametrize(("on", "holds"), [("2026-05-05", True), ("2026-05-06", False)])
def test_one_that_has_run_out_is_named_and_not_written(tmp_path: Path, on: str, holds: bool) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + ALLOWED)
    text = begun(store, on)
    assert bool(filled_in(text, on).vets_words) == holds
    assert ("it ended on 2026-05-05" in text) != holds


def test_without_a_last_day_what_it_allowed_is_over_and_what_it_forbade_stands(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + said(", allows: [hands-on work], forbids: [ridden work]"))
    text = begun(store, "2026-04-20")
    (word,) = filled_in(text, "2026-04-20").vets_words
    assert (word.allows, bool(word.forbids)) == ((), True)
    assert "held for its own day alone" in text


def test_a_new_sign_closed_it_and_it_stays_closed(tmp_path: Path) -> None:
    """At the second visit an uneven foreleg came up, which the word on the hind was not about; at the third it is gone."""
    store = fresh(tmp_path)
    word = said(", allows: [hands-on work], forbids: [ridden work], until: 2026-06-05", about="left hind slight")
    keep(store, FIRST + "uneven steps: {left hind: slight}\n" + word)
    second = SECOND + "uneven steps: {left hind: slight, right fore: slight}\n" + word
    assert any(not release.holds for release in judged(store, second).referral.releases)
    keep(store, second)
    text = begun(store, "2026-05-05")
    (left,) = filled_in(text, "2026-05-05").vets_words
    assert (left.allows, bool(left.forbids)) == ((), True)
    assert "closed at the visit of 2026-04-20: a sign it is not about has come up" in text
    assert left.sides == ("left",)
    assert left.degrees == ("slight",)


def test_a_new_sign_still_closes_what_was_carried_over(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + "uneven steps: {left hind: slight}\n"
         + said(", allows: [hands-on work], until: 2026-06-05", about="left hind slight"))  # fmt: skip
    text = re.sub(r"(?m)^visit:.*$", "visit: 2026-04-20", begun(store, "2026-04-20"))
    same = re.sub(r"(?m)^uneven steps:.*$", "uneven steps:\n  left hind: slight", text)
    other = re.sub(r"(?m)^uneven steps:.*$", "uneven steps:\n  left hind: slight\n  right fore: slight", text)
    assert [release.holds for release in judged(store, same).referral.releases] == [True]
    assert [release.holds for release in judged(store, other).referral.releases] == [False]


@pytest.mark.parametrize("more", [
    ", allows: [hands-on work], until: 2026-06-05",
    ", forbids: [ridden work, hands-on work], until: 2026-06-05",
    ", allows: [hands-on work], until: 2026-06-05, grade: {scale: AAEP, left hind: 2, right hind: 1}",
    ", allows: [hands-on work], until: 2026-06-05, note: \"said by telephone, \\'slowly\\'\"",
])  # fmt: skip
@pytest.mark.parametrize("about", ["uneven steps", "left hind marked", "left hind, right fore slight", "withers",
                                   "left girth line",
                                   "hind"])  # fmt: skip
def test_what_is_written_reads_as_what_was_said(tmp_path: Path, more: str, about: str) -> None:
    store = fresh(tmp_path)
    text = FIRST + said(more.replace("\\'", "'"), about=about)
    keep(store, text)
    first = visit_from_bytes(text.encode(), "first.yaml", shipped().book.vocabulary)
    carried_over = filled_in(begun(store, "2026-04-20"), "2026-04-20")
    assert [bare(word) for word in carried_over.vets_words] == [bare(word) for word in first.vets_words]
    assert carried_over.vets_words


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.yaml")))
def test_the_words_of_every_example_are_carried_over_whole(tmp_path: Path, name: str) -> None:
    store = fresh(tmp_path)
    save(store, example(name), by="Wren Aldous")
    old: Visit = example(name).visit
    day = old.day.isoformat()
    new = filled_in(begun(store, day), day)
    assert [bare(word) for word in new.vets_words] == [bare(word) for word in old.vets_words]


def test_another_visit_with_it_opens_what_the_word_opens(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + "uneven steps: {left hind: slight}\n"
         + said(", allows: [hands-on work], until: 2026-06-05", about="left hind slight"))  # fmt: skip
    text = re.sub(r"(?m)^uneven steps:.*$", "uneven steps:\n  left hind: slight", begun(store, "2026-04-20"))
    answer = judge(filled_in(text, "2026-04-20"), shipped())
    released = {stop for concern in answer.referral.concerns for stop in concern.released}
    assert "hands_on_work" in released


def test_by_the_command_with_a_day_and_refused_before_the_last(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, FIRST + ALLOWED)
    at = store.place.shown
    told = CliRunner().invoke(cli, ["again", "Juniper", "--on", "2026-05-20", "--json", "--store", at])
    assert told.exit_code == 0, told.output
    (word,) = json.loads(told.stdout)["vets_words"]
    assert (word["state"], word["from_visit"], word["why"]) == ("run out", "2026-04-04", "it ended on 2026-05-05")
    wrong = CliRunner().invoke(cli, ["again", "Juniper", "--on", "2026-04-01", "--store", at])
    assert wrong.exit_code == 2
    assert "RE50" in wrong.output
    assert "lies before the last visit" in wrong.output
