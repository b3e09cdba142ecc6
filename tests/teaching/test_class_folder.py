"""The folder of a class while somebody else writes into it too.

In: two cases of one title, handed out at once. Out: failures.
Not here: changed files (test_teach_tampering), the road (test_teach_road).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from reasoner.consult import judge, load_rulebook
from reasoner.problems import BadInput
from reasoner.teaching.beside_the_rules import rules_say
from reasoner.teaching.class_folder import ClassFolder, class_in
from reasoner.teaching.handing_out import HandedOut, handed_out
from reasoner.teaching.making import Maker
from reasoner.teaching.teachers_answer import TeachersAnswer


def test_of_two_hand_outs_at_once_under_one_title_one_is_refused_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A second tap, or the page and a command: the other one is written just after this one has looked."""
    room, ready = class_in(tmp_path / "class", make=True), load_rulebook()
    made = Maker(ready.book).case("girth_presses", "left", "plain", 4)
    says = rules_say(judge(made.visit, ready))

    def case(words: str) -> HandedOut:
        answer = TeachersAnswer(title="Case 1", visit="v", causes=(), referral="none", words=words)
        return handed_out(made, answer, says, room.key, at="2026-11-29T08:00:00+00:00", made_by="tests")

    others, look = [case("the other's")], ClassFolder.must_be_new

    def looked(self: ClassFolder, title: str) -> None:
        look(self, title)
        if others:
            self.hand_out(others.pop())

    monkeypatch.setattr(ClassFolder, "must_be_new", looked)
    with pytest.raises(BadInput, match="TE92"):
        room.hand_out(case("mine"))
    (kept,) = room.given()
    assert kept.locked.answer.words == "the other's"
