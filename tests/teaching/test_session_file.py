"""The file of a practice session: enciphered until it ends, plain after; of another machine, damaged, or of an older kind.

In: sessions written and read, keys in folders of the tests. Out: failures.
Not here: the command (test_practise_command), the page (tests/page/test_practise_leaks).
"""

from __future__ import annotations

import base64
import json
import os
import stat
import zlib
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

import pytest

from reasoner.consult import load_rulebook
from reasoner.problems import BadInput
from reasoner.rules_cache import Ready
from reasoner.teaching.making import Maker
from reasoner.teaching.session import Session, begun, ended, proposed, thought, with_step
from reasoner.teaching.session_file import session_from, session_text
from reasoner.teaching.session_key import NAME, key_at, key_in, own_place
from tests.teaching.answers import answer_words, beside_the_cipher


@cache
def _ready() -> Ready:
    return load_rulebook()


def _session(
    cause: str = "girth_presses", side: str = "left", difficulty: str = "plain", seed: int = 70_700_707
) -> Session:
    return begun(Maker(_ready().book).case(cause, side, difficulty, seed))


def _said(session: Session) -> Session:
    book = _ready().book
    session = thought(session, {("girth_presses", "left"): 0.335, ("mouth_and_teeth", ""): 0.2}, book, 0.01, 0.99)
    return with_step(proposed(session, "routine", book.scales), "poles_in_hand", "", book)


def _packed(session: Session) -> str:
    """A file as it was written before files were enciphered."""
    case = session.case
    inside = {"visit": case.text, "cause": case.cause, "side": case.side, "difficulty": case.difficulty, "seed": case.seed,
              "origin": case.origin}  # fmt: skip
    return json.dumps({
        "what": "reasoner practice session", "schema_version": "1", "difficulty": case.difficulty,
        "case": base64.b64encode(zlib.compress(json.dumps(inside).encode(), 9)).decode(),
        "looks": list(session.looks),
        "thoughts": [{"after_looks": one.after, "sure": [{"cause": k, "side": s or None, "percent": 100 * share}
                                                         for (k, s), share in one.sure]} for one in session.thoughts],
        "referral": session.referral or None, "steps": [{"step": k, "side": s or None} for k, s in session.steps],
        "ended": session.ended,
    })  # fmt: skip


def _code(text: str, **more: object) -> tuple[str, str]:
    with pytest.raises(BadInput) as bad:
        session_from(text.encode(), "s.json", _ready().book, **more)  # type: ignore[arg-type]
    problem = bad.value.problems[0]
    assert problem.file == "s.json"
    return problem.code, f"{problem.sentence} {problem.hint}"


def test_it_comes_back_as_it_was() -> None:
    for session in (_session(), _said(_session()), ended(_said(_session()))):
        again = session_from(session_text(session).encode(), "s.json", _ready().book)
        assert again == session


@pytest.mark.parametrize("seed", range(12))
def test_an_open_file_tells_nothing_and_an_ended_one_is_plain(seed: int) -> None:
    maker = Maker(_ready().book)
    cause = maker.causes[seed * 3 % len(maker.causes)]
    session = _said(_session(cause, maker.sides(cause)[-1], ("plain", "usual", "hard")[seed % 3], 70_700_000 + seed))
    text = session_text(session)
    said = json.loads(text)
    assert set(said) == {"what", "schema_version", "ended", "note", "key", "sealed"}
    inside = base64.urlsafe_b64decode(said["sealed"])
    words = {*answer_words(), cause, "palpation", "soreness", "girth", str(session.case.seed), session.case.difficulty}
    for where in (beside_the_cipher(text).casefold(), inside.decode("latin-1").casefold()):
        assert not {word for word in words if len(word) > 4 and word in where}
    for unpacked in (inside, inside[9:], inside[25:]):
        with pytest.raises(zlib.error):
            zlib.decompress(unpacked)
    after = session_text(ended(session))
    plain = json.loads(after)
    assert plain["case"]["cause"] == cause
    assert plain["case"]["visit"] == session.case.text
    assert plain["case"]["seed"] == session.case.seed
    assert "sealed" not in after


def test_the_length_of_a_file_tells_nothing() -> None:
    maker = Maker(_ready().book)
    lengths = {
        len(session_text(_said(_session(cause, maker.sides(cause)[0], difficulty))))
        for cause in maker.causes[::6]
        for difficulty in ("plain", "hard")
    }
    assert len(lengths) == 1


def test_a_file_never_holds_the_key_and_no_two_are_alike(tmp_path: Path) -> None:
    key = key_in(tmp_path / NAME)
    one, two = session_text(_session(), key), session_text(_session(), key)
    assert one != two
    assert key.secret.decode() not in one
    assert key.mark in one
    if os.name == "posix":
        assert stat.S_IMODE((tmp_path / NAME).stat().st_mode) == 0o600


def test_a_file_of_another_machine_is_refused_and_says_what_to_do(tmp_path: Path) -> None:
    here, there = key_in(tmp_path / "here" / NAME), key_in(tmp_path / "there" / NAME)
    text = session_text(_session(), there)
    code, told = _code(text, key=here)
    assert code == "TE70"
    assert "Nothing was changed" in told
    assert "another one" in told
    assert str(tmp_path / "here" / NAME) in told
    assert session_from(text.encode(), "s.json", _ready().book, there) == _session()


def test_a_lost_key_is_told_and_none_is_made_for_reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    text = session_text(_session())
    own_place().rename(tmp_path / "elsewhere")
    code, told = _code(text)
    assert code == "TE70"
    assert "there is no key on this machine" in told
    assert not own_place().exists()
    (tmp_path / "elsewhere").rename(own_place())
    assert session_from(text.encode(), "s.json", _ready().book) == _session()


def test_a_key_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(b"x" * 90)
    with pytest.raises(BadInput) as bad:
        key_in(tmp_path / NAME)
    assert bad.value.problems[0].code == "TE71"
    assert (tmp_path / NAME).read_bytes() == b"x" * 90
    (tmp_path / "folder").mkdir()
    with pytest.raises(BadInput) as bad:
        key_at(tmp_path / "folder")
    assert bad.value.problems[0].code == "TE71"


def test_many_at_once_agree_on_one_key(tmp_path: Path) -> None:
    with ThreadPoolExecutor(16) as pool:
        keys = set(pool.map(lambda _: key_in(tmp_path / "new" / NAME).secret, range(64)))
    assert len(keys) == 1


def test_what_was_changed_in_a_file_is_found() -> None:
    text = session_text(_said(_session()))
    sealed = json.loads(text)["sealed"]
    for at in (20, len(sealed) // 2, len(sealed) - 8):
        other = sealed[:at] + ("A" if sealed[at] != "A" else "B") + sealed[at + 1 :]
        assert _code(text.replace(sealed, other))[0] == "TE53"
    assert _code(text.replace('"ended": false', '"ended": true'))[0] == "TE53"  # nothing in it is plain
    assert _code(text.replace('"sealed"', '"other"'))[0] == "TE53"


def test_an_older_packed_file_still_opens_and_is_written_anew() -> None:
    session = _said(_session())
    again = session_from(_packed(session).encode(), "s.json", _ready().book)
    assert again == session
    assert json.loads(session_text(again))["schema_version"] == "2"
    assert session_from(_packed(ended(session)).encode(), "s.json", _ready().book) == ended(session)


@pytest.mark.parametrize("old", [False, True])
@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ('"what": "reasoner practice session"', '"what": "something"'),
        ('"schema_version": "', '"schema_version": "9'),
        ('"looks": [', '"looks": [3, '),
        ('"referral": "routine"', '"referral": "tomorrow"'),
        ('"percent": ', '"percent": 10'),
        ("{", "{{"),
    ],
)
def test_a_damaged_session_is_refused_in_words(was: str, becomes: str, old: bool) -> None:
    session = ended(_said(_session()))
    text = _packed(session) if old else session_text(session)
    text = text.replace('"looks": []', '"looks": ["withers"]').replace("[\n", "[")
    assert was in text
    assert _code(text.replace(was, becomes, 1))[0] == "TE53"


@pytest.mark.parametrize("case", ['"AAAA', "3", "null", '{"visit": 3}', '{"visit": "horse: [", "cause": ""}'])
def test_a_damaged_case_is_refused_in_words(case: str) -> None:
    for version in ("1", "2"):
        text = f'{{"what": "reasoner practice session", "schema_version": "{version}", "ended": true, "case": {case}'
        rest = '", "looks": []}' if case.startswith('"') else ', "looks": []}'
        assert _code(text + rest)[0] == "TE53"
