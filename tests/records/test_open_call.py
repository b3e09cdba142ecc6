"""A pressing call of an earlier visit stands until a veterinarian's word answers it.

In: horses of two and three visits, the first with a call. Out: the entry, the concern, diary, sheets, what is refused.
Not here: what raises a call in the first place.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from reasoner.cli import cli
from reasoner.consult import Answer
from reasoner.records.looked_at import places_in
from reasoner.records.open_call import OPEN_CALL
from reasoner.rendering.progress_text import NONE_AT_BOTH
from reasoner.store.opening import Store
from reasoner.store.saving import save
from tests.asking import shipped
from tests.records.horses import judged, keep
from tests.store.keeping import fresh, kept_of

PAGE = "earlier_call_not_answered"
DOWN = "at first sight: {standing: down}\n"
ROOTED = "at first sight: {ten steps of walk: unwilling}\n"
QUIET = "palpation: {loin: {left: 1, right: 1}}\n"


def nettle(day: str, more: str = "") -> str:
    return f"horse: {{name: Nettle, born: 2015}}\nvisit: {day}\nyard: Larkhope\nexamined by: Wren Aldous\n{more}"


def word(seen: str, until: str = "2026-06-30", about: str = "unwilling", allows: str = "riding") -> str:
    return (
        f"veterinarian's word: {{who: Dr Mossop, seen: {seen}, about: [{about}], allows: [{allows}], until: {until}}}\n"
    )


def said(answer: Answer) -> dict[str, str]:
    return {str(n.value): n.written for n in answer.visit.history if n.key == OPEN_CALL}


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


@pytest.mark.parametrize("more", ["", QUIET])
def test_an_emergency_is_not_dropped_by_the_next_visit(tmp_path: Path, more: str) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", DOWN))
    answer = judged(store, nettle("2026-05-04", more))
    assert said(answer) == {"emergency": "emergency (2026-05-02, emergency: It is down and does not rise)"}
    (concern,) = (c for c in answer.referral.concerns if c.key == PAGE)
    assert concern.call == "prompt"
    assert {"riding", "exercises", "hands_on_work"} <= {*concern.stops}
    assert answer.plan.riding.answer.startswith("not until")


def test_it_keeps_its_day_and_its_sentence_over_more_visits(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", DOWN))
    keep(store, nettle("2026-05-04"))
    keep(store, nettle("2026-05-05", ROOTED))
    (value, written), *more = said(judged(store, nettle("2026-05-06"))).items()
    assert (value, more) == ("emergency", [])
    assert "2026-05-02, emergency: It is down" in written
    assert "2026-05-05, prompt: It is unwilling to walk" in written


def kept_unknowing(store: Store, text: str) -> None:
    """A visit kept with the answer it gets by itself, as before earlier calls were carried on."""
    save(store, kept_of(text), by="Wren Aldous")


def test_a_call_stands_through_an_empty_visit_that_knew_nothing_of_it(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", DOWN))
    kept_unknowing(store, nettle("2026-05-03"))
    kept_unknowing(store, nettle("2026-05-04"))
    assert said(judged(store, nettle("2026-05-06", QUIET))) == {
        "emergency": "emergency (2026-05-02, emergency: It is down and does not rise)"
    }


def test_a_word_in_an_empty_visit_answers_it(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", ROOTED))
    kept_unknowing(store, nettle("2026-05-03", word("2026-05-03", about="ten steps of walk")))
    assert said(judged(store, nettle("2026-05-06", QUIET))) == {}


def test_a_call_kept_after_a_later_visit_stands_through_that_one(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-04", QUIET))
    keep(store, nettle("2026-05-02", DOWN))
    assert set(said(judged(store, nettle("2026-05-06", QUIET)))) == {"emergency"}


@pytest.mark.parametrize(("seen", "answered"), [("2026-05-01", False), ("2026-05-02", True), ("2026-05-03", True)])
def test_a_word_of_that_day_or_later_answers_it(tmp_path: Path, seen: str, answered: bool) -> None:
    about = word(seen, about="ten steps of walk")
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", ROOTED))
    assert (said(judged(store, nettle("2026-05-04", about))) == {}) is answered
    keep(store, nettle("2026-05-04", about))
    assert (said(judged(store, nettle("2026-05-06"))) == {}) is answered


def test_a_call_that_a_word_opened_that_day_is_no_open_call(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", f"{ROOTED}{word('2026-05-01', about='ten steps of walk')}"))
    assert said(judged(store, nettle("2026-05-06"))) == {}


def test_a_word_about_it_releases_it(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", ROOTED))
    answer = judged(store, nettle("2026-05-06", word("2026-05-01", about="call not answered")))
    (concern,) = (c for c in answer.referral.concerns if c.key == PAGE)
    assert concern.released == ("riding",)


def test_a_quiet_first_visit_leaves_nothing(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", QUIET))
    assert said(judged(store, nettle("2026-05-06"))) == {}


def test_diary_sheets_and_what_is_not_told(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", f"{DOWN}{QUIET}"))
    keep(store, nettle("2026-04-20", QUIET).replace("Nettle", "Hazel"))
    at = str(tmp_path / "practice.db")
    told = run("diary", "--today", "2026-05-03", "--store", at).output
    assert "2 May 2026 (1 day overdue): Nettle" in told
    assert "Hazel" not in told
    assert "ask what was said" in told
    sheet = run("day-sheet", "2026-05-03", "--horse", "Nettle", "--horse", "Hazel", "--store", at)
    assert "NETTLE" in sheet.output
    assert "nothing due by a day" in sheet.output
    keep(store, nettle("2026-05-04"))
    told = " ".join(run("progress", "Nettle", "--store", at).output.split())
    assert NONE_AT_BOTH in told
    assert "Nothing differs" not in told


def test_an_empty_visit_is_asked_about(tmp_path: Path) -> None:
    file, at = tmp_path / "empty.yaml", str(tmp_path / "practice.db")
    file.write_text(nettle("2026-05-04"))
    refused = run("records", "save", str(file), "--store", at)
    assert refused.exit_code == 2
    assert "RE49" in refused.stderr
    assert run("records", "save", str(file), "--empty", "--store", at).exit_code == 0
    file.write_text(nettle("2026-05-05", QUIET))
    assert run("records", "save", str(file), "--store", at).exit_code == 0


def test_what_was_not_looked_at_did_not_go(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    keep(store, nettle("2026-05-02", "tacked up: {girthed: {girth sits: against the elbow, girth tightness: very tight}}\n"
                                     "palpation: {girth line: {left: 6, right: 6}}\n"))  # fmt: skip
    keep(store, nettle("2026-05-04"))
    told = run("progress", "Nettle", "--store", str(tmp_path / "practice.db")).output
    assert "not looked at again:" in told
    assert "went:" not in told


def test_what_only_another_place_was_examined_for_did_not_go(tmp_path: Path) -> None:
    """The girth was sore; the next time the hand was on the poll alone, and then on the girth line, which was quiet."""
    store, at = fresh(tmp_path), str(tmp_path / "practice.db")
    girth = "tacked up: {girthed: {girth sits: against the elbow, girth tightness: very tight}}\n"
    keep(store, nettle("2026-05-02", girth + "palpation: {girth line: {left: 6, right: 6}}\n"))
    keep(store, nettle("2026-05-04", "palpation: {poll: {both: 1}}\n"))
    told = run("progress", "Nettle", "--store", at).output
    assert "not looked at again:" in told
    assert "went:" not in told
    keep(store, nettle("2026-05-06", girth + "palpation: {girth line: {left: 6, right: 6}}\n"))
    keep(store, nettle("2026-05-08", "palpation: {girth line: {both: 0}}\n"))
    assert "went:" in run("progress", "Nettle", "--store", at).output


def test_a_group_of_places_is_listened_to_place_by_place() -> None:
    vocabulary = shipped().book.vocabulary
    asked = {"all": [{"places": {"group": "loin", "side": "either", "how many": "2", "at least": "sore"}},
                     {"not": {"girth line": {"side": "this", "at least": "sore"}}}]}  # fmt: skip
    assert {*places_in(asked, vocabulary)} == {*vocabulary.group("loin"), "girth_line"}
