"""What takes longer than a touch may, worked out in a process of its own: the same answer, and none that nobody waits for.

In: a visit. Out: the looks of both ways.
Not here: how much it takes out of a touch's way (tests/bench/page_bench.py).
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from reasoner.page.app import made
from reasoner.page.drafts import DraftIn
from reasoner.page.live import looks_next
from reasoner.page.longer import Longer
from reasoner.page.two_hands import told_of_hands
from reasoner.problems import BadInput
from reasoner.rules_cache import Ready
from reasoner.visit.reading import read_visit
from tests.page.drafts import FROM_PAGE, sore
from tests.page.serving import SELF, rules, served_in
from tests.store.keeping import EXAMPLES


@pytest.fixture(scope="module")
def longer() -> Iterator[Longer]:
    """One process for all tests here."""
    found = Longer(None)
    yield found
    found.close()


def test_the_other_process_says_what_this_one_does(tmp_path: Path, longer: Longer) -> None:
    served = served_in(tmp_path)
    here = TestClient(made(served), base_url=SELF).post("/api/next", json=sore(), headers=FROM_PAGE)
    there = TestClient(made(replace(served, longer=longer)), base_url=SELF).post(
        "/api/next", json=sore(), headers=FROM_PAGE
    )
    assert here.status_code == there.status_code == 200
    assert here.json() == there.json()
    assert here.json()["then"]


def test_how_two_hands_agree_comes_from_there_alike(longer: Longer) -> None:
    """The visits go there whole, with what earlier visits say, and the lines and the picture come back."""
    one, two = (
        read_visit(EXAMPLES / "two_hands" / f"{name}.yaml", rules().book.vocabulary) for name in ("wren", "tam")
    )
    there = longer.ask(told_of_hands, [(one, two)], {}, follow=False).result(timeout=120)
    assert there == told_of_hands(rules(), [(one, two)], {}, follow=False)
    assert there.picture
    assert there.lines


def test_what_does_not_read_is_told_before_anything_longer_is_begun(tmp_path: Path, longer: Longer) -> None:
    page = TestClient(made(replace(served_in(tmp_path), longer=longer)), base_url=SELF)
    wrong = sore()
    wrong["entries"] = {**wrong["entries"], "gums": "orange"}
    answer = page.post("/api/next", json=wrong, headers=FROM_PAGE)
    assert answer.status_code == 422
    assert "orange" in answer.json()["problems"][0]["sentence"]


def test_what_is_taken_back_before_its_turn_is_never_worked_out(longer: Longer) -> None:
    visit = DraftIn.model_validate(sore()).visit_of(rules().book.vocabulary)
    first, *others = [longer.ask(looks_next, visit, 3) for _ in range(6)]
    assert others[-1].cancel()
    assert first.result(timeout=60).then
    assert others[-1].cancelled()


def number(rules: Ready) -> int:
    return os.getpid()


@pytest.mark.skipif(sys.platform == "win32", reason="signals of Unix")
def test_where_it_is_ended_from_outside_the_next_question_begins_another() -> None:
    """As where memory runs short: lessons, looks and marks used to be refused until the page was started again."""
    longer = Longer(None)
    first = longer.ask(number).result(timeout=120)
    os.kill(first, signal.SIGKILL)
    for _ in range(2):  # the one asked before its end was noticed is lost with it
        with contextlib.suppress(BrokenProcessPool):
            assert longer.ask(number).result(timeout=120) != first
            break
    else:
        pytest.fail("nobody answers any more")
    longer.close()


@pytest.mark.parametrize(("stamp", "code"), [("of other rules", "PG67"), ("", "RB")])
def test_rules_that_were_changed_since_the_page_began_answer_nothing(tmp_path: Path, stamp: str, code: str) -> None:
    """What the page says and what the process says are by the same rules, or it is told in words."""
    longer = Longer(None if stamp else [tmp_path], stamp)
    with pytest.raises(BadInput) as told:
        longer.ask(number).result(timeout=120)
    assert {one.code[: len(code)] for one in told.value.problems} == {code}
    assert str(told.value) == "\n".join(map(str, told.value.problems))
    longer.close()


#: A page that has begun the other process, tells its number, and waits.
PAGE = """
import os, time
from reasoner.page.longer import Longer
def number(rules):
    return os.getpid()
if __name__ == "__main__":
    longer = Longer(None)
    print(longer.ask(number).result(), flush=True)
    time.sleep(120)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="signals of Unix")
@pytest.mark.parametrize("ended_by", [signal.SIGTERM, signal.SIGKILL])
def test_it_ends_with_its_page_however_that_ends(tmp_path: Path, ended_by: signal.Signals) -> None:
    script = tmp_path / "a_page.py"
    script.write_text(PAGE)
    root = str(Path(__file__).resolve().parents[2])
    with subprocess.Popen(
        [sys.executable, str(script)], stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": root}
    ) as page:
        assert page.stdout is not None
        other = int(page.stdout.readline())
        assert _runs(other)
        page.send_signal(ended_by)
        page.wait(timeout=60)
    for _ in range(600):
        if not _runs(other):
            return
        time.sleep(0.1)
    pytest.fail(f"process {other} goes on for nobody")


def _runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    # One that has ended and that nobody has asked for yet still has its number.
    state = Path(f"/proc/{process}/stat")
    return not state.exists() or state.read_text().rpartition(")")[2].split()[0] != "Z"
