"""Before the end of a case nothing of it that was not looked at reaches the browser: no reading, not the cause, not the seed.

In: many seeded cases, each beside a twin that is alike in what was looked at and otherwise made from another cause. Out: a
failure where any byte of any answer differs, or holds what was not seen.
Not here: what the marks say.
"""

from __future__ import annotations

import html
import re
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from reasoner.explanation.from_record import filled
from reasoner.page.practice.forms import looked
from reasoner.page.practice.shown import view_of
from reasoner.problems import BadInput
from reasoner.rendering.phrases import days_in_words
from reasoner.rendering.practise_json import practise_json
from reasoner.rendering.practise_text import looks_lines, readings, state_lines
from reasoner.rendering.text_page import plain_text
from reasoner.rulebook.checking import SPACES
from reasoner.teaching.making import Case, Maker, every_kind
from reasoner.teaching.offered import offered
from reasoner.teaching.session import GIVEN, Session, begun, revealed, seen_by
from reasoner.teaching.unnamed import _draft
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes
from reasoner.visit.touches import is_space
from reasoner.visit.written_out import written_out
from tests.page.practice import Played, given
from tests.page.serving import client, rules

MAKER = Maker(rules().book)
KINDS = list(every_kind(MAKER))
SEEDS, MANY = range(6), range(6, 26)
#: Looks that are tried often, beside those that fall by chance: places, an entry with sides, the stroke, one that riding needs.
ALWAYS = ("withers", "hind_step", SPACES, "girth_line", "saddle_comes_to")


def _written(visit: Visit, like: Case) -> Case:
    """The case of a visit, through its text."""
    vocabulary = rules().book.vocabulary
    text = written_out(_draft(visit, vocabulary, {}), vocabulary)
    return replace(like, text=text, visit=visit_from_bytes(text.encode(), "a practice case", vocabulary))


def _twins(seed: int) -> tuple[Case, Case, list[str]]:
    """A case, one that is alike in what is given and in the looks that will be made and otherwise another, and those looks."""
    chance, book = Random(seed), rules().book
    (cause, side, difficulty), other = chance.choice(KINDS), chance.choice(KINDS)
    while other[0] == cause:
        other = chance.choice(KINDS)
    case = MAKER.case(cause, side, difficulty, 7_000_001 + seed)
    strange = MAKER.case(other[0], other[1], difficulty, 8_000_001 + seed)
    spaces = {key for key, place in book.vocabulary.places.items() if is_space(place)}
    every = [*book.vocabulary.round, *(k for k, o in book.vocabulary.observations.items() if not o.from_records)]
    looks = list(dict.fromkeys((*chance.sample(ALWAYS, 3), *chance.sample(every, 4))))
    seen = {*looks, *(spaces if SPACES in looks else ())}
    seen |= {key for key, entry in book.vocabulary.observations.items() if entry.section in GIVEN}
    one, two = case.visit, strange.visit
    mixed = replace(
        two,
        touches=(*(t for t in one.touches if t.place in seen), *(t for t in two.touches if t.place not in seen)),
        noted=(*(n for n in one.noted if n.key in seen), *(n for n in two.noted if n.key not in seen)),
    )
    return _written(one, case), _written(mixed, strange), looks


def _until_the_end(case: Case, looks: list[str], folder: Path, patch: pytest.MonkeyPatch) -> Played:
    return _everything_asked(Played(client(folder), patch, case), looks)


def _everything_asked(play: Played, looks: list[str]) -> Played:
    """Everything that can be asked of a session before its end, slips included."""
    for look in looks:
        play.does("look", look=look)
    play.does("look", look=looks[0])
    play.does("look", look="no_such_look")
    play.get(f"{play.at}?find=withers")
    play.does("think", new_cause="girth_presses", new_side="left", new_sure="30")
    play.does("think", new_cause="mouth_and_teeth", new_side="left", new_sure="5")
    play.does("think", cause=["girth_presses/left"], sure=["90"], new_cause="tree_too_narrow", new_sure="20")
    play.does("refer", degree="routine")
    play.does("refer", degree="soon")
    play.does("step", step="girth_hole_by_hole")
    play.does("step", step="poles_in_hand", side="left")
    play.does("drop", step="girth_hole_by_hole/")
    for path in (f"{play.at}/end", f"{play.at}/answer.json", "/practise", "/practise/record", play.at):
        play.get(path)
    return play


@pytest.mark.parametrize("seed", SEEDS)
def test_no_answer_depends_on_what_was_not_looked_at(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All bytes of all answers, headers and addresses are the same for the case and its twin. And no answer holds a reading that
    was not uncovered, the sentence of the cause on its side, or the seed; nor does the file on the disk."""
    case, twin, looks = _twins(seed)
    assert case.text != twin.text
    assert case.cause != twin.cause
    play = _until_the_end(case, looks, tmp_path / "one", monkeypatch)
    other = _until_the_end(twin, looks, tmp_path / "two", monkeypatch)
    for mine, its in zip(play.whole(), other.whole(), strict=True):
        assert mine == its
    _nothing_unseen(case, play)
    kept = b"".join(path.read_bytes() for path in (tmp_path / "one" / "practice.db.practice").iterdir())
    for word in (case.cause, case.cause.replace("_", " "), str(case.seed), "soreness", "palpation", looks[0]):
        assert word.encode() not in kept, "the file on the disk is enciphered"


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("marks", [False, True])
def test_nor_of_a_case_that_was_handed_out(seed: int, marks: bool, tmp_path: Path) -> None:
    """The same of a case that a teacher handed out; where the teacher does not let the marks be seen, also after the end, in the
    page, the record and the answer's file."""
    case, twin, looks = _twins(seed)
    play, other = (
        _everything_asked(Played.handed(client(tmp_path / name), given(one, marks=marks)), looks)
        for name, one in (("one", case), ("two", twin))
    )
    kept = b"".join(path.read_bytes() for path in (tmp_path / "one" / "practice.db.practice").iterdir())
    for word in (case.cause, str(case.seed), "soreness", "palpation", looks[0], "Tam Orrin", "zinnober"):
        assert word.encode() not in kept, "the file on the disk is enciphered"
    _nothing_unseen(case, play)
    if not marks:
        for one in (play, other):
            one.does("end")
            for path in (f"{one.at}/answer.json", "/practise", "/practise/record"):
                one.get(path)
        assert "your teacher opens it" in play.answers[-4][1].text
        _nothing_unseen(case, play)
    assert all("zinnober" not in answer.text for _, answer in play.answers)
    own = r'[0-9a-f]{4}(?: [0-9a-f]{4}){3}|"(seal|random|link)": "[0-9a-f]+"'  # of every copy of a case, and of every answer
    for mine, its in zip(play.whole(), other.whole(), strict=True):
        assert re.sub(own, "", mine) == re.sub(own, "", its)


def test_after_the_end_it_is_all_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    case, _, looks = _twins(0)
    play = _until_the_end(case, looks[:2], tmp_path, monkeypatch)
    end = html.unescape(play.does("end").text)
    assert "of 100 points" in end
    assert _sentence(case).rstrip(".") in end
    assert all(days_in_words(line) in end for line in _hidden(case, play))


@pytest.mark.parametrize("seed", MANY)
def test_no_view_depends_on_what_was_not_looked_at(seed: int) -> None:
    """The same for what the template is given and what the terminal says, look by look, with many more cases."""
    case, twin, looks = _twins(seed)
    one, other = begun(case), begun(twin)
    assert _everything(one) == _everything(other)
    for look in looks:
        (one, told), (other, also) = _after(one, look), _after(other, look)
        assert told == also
        assert _everything(one) == _everything(other)


def _everything(session: Session) -> tuple[object, ...]:
    """What the page's template is given, what the terminal prints, and the answer for machines."""
    book = rules().book
    offer = offered(session, seen_by(session, rules()))
    lines = [*state_lines(session, offer, book), *looks_lines(offer, book)]
    return view_of(session, rules()), plain_text(lines, 1000), practise_json(session, offer, None, None, book)


def _after(session: Session, look: str) -> tuple[Session, str]:
    try:
        return looked(session, look, rules()), ""
    except BadInput as bad:
        return session, str(bad.problems)


def _sentence(case: Case) -> str:
    return filled(rules().book.conclusions[case.cause].says, case.side)


def _hidden(case: Case, play: Played) -> set[str]:
    """The readings that no look of the session has shown."""
    made = [
        asked.partition("('look', '")[2].partition("'")[0]
        for asked, answer in play.answers
        if asked.startswith(f"POST {play.at}/look") and answer.status_code == 303
    ]
    seen = revealed(Session(case=case, looks=tuple(dict.fromkeys(made))), rules().book)
    left = (
        [t for t in case.visit.touches if t not in seen.touches],
        [n for n in case.visit.noted if n not in seen.noted],
    )
    return set(readings(*left, rules().book.vocabulary))


def _nothing_unseen(case: Case, play: Played) -> None:
    hidden = _hidden(case, play)
    assert len(hidden) > 20
    for asked, answer in play.answers:
        text = html.unescape(answer.text)
        assert not [line for line in hidden if line in text or days_in_words(line) in text], asked
        assert str(case.seed) not in text + str(answer.headers) + str(answer.url), asked
        assert case.side == "" or _sentence(case).rstrip(".") not in text, asked
        assert "set-cookie" not in answer.headers, asked


def test_the_twin_test_finds_what_it_looks_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page that held one reading more would fail above."""
    from reasoner.page.routes import practise

    case, twin, looks = _twins(1)
    monkeypatch.setattr(practise, "title_of", lambda session: f"Practice case {len(session.case.text)}")
    play = _until_the_end(case, looks, tmp_path / "one", monkeypatch)
    other = _until_the_end(twin, looks, tmp_path / "two", monkeypatch)
    assert any(mine != its for mine, its in zip(play.whole(), other.whole(), strict=True))
