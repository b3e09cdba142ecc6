"""Words kept before they were held to the list: held back in every report, shown at the desk with what to do.

In: a judgement and a caption kept with words that nobody may use, as an earlier release kept them. Out: reports, pages.
Not here: refusing such words today (tests/track/test_told_commands.py, tests/page/test_photographs.py).
"""

from __future__ import annotations

from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from fastapi.testclient import TestClient

from reasoner.cli import cli
from reasoner.page.app import made
from reasoner.page.served import Served
from reasoner.store.afterwards import add_opinion
from reasoner.store.enclosing import enclose_photograph
from reasoner.store.opening import Store, open_store
from reasoner.store.place import place_of
from reasoner.store.reading import visits
from reasoner.store.saving import save
from tests.asking import shipped
from tests.page.desk_store import NOW
from tests.page.serving import SELF
from tests.store.keeping import EXAMPLES, example, fresh
from tests.store.pictures import picture

BRAMBLE = str(EXAMPLES / "bramble.yaml")
REASON, CAPTION = "He is lame behind", "the unsound side"
READERS = ("vet", "saddle-fitter", "owner")


@pytest.fixture
def at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Records with both, and with consent to everybody."""
    monkeypatch.chdir(tmp_path)
    store = fresh(tmp_path)
    save(store, example("bramble"), by="Wren Aldous")
    said(store, REASON)
    with store.reading() as connection:
        (visit,) = visits(connection)
    enclose_photograph(store, visit, "x.jpg", picture(shade=90), shows="saddle from behind", caption=CAPTION)
    store.close()
    for who in ("the veterinarian", "the saddle fitter"):
        may = ("--what", "report may go to", "--given", "--who", who)
        assert run("records", "consent", "Bramble", *may, "--store", "practice.db").exit_code == 0
    return "practice.db"


def said(store: Store, because: str) -> None:
    with store.reading() as connection:
        (visit,) = visits(connection)
    add_opinion(
        store,
        visit.version,
        conclusion="saddle_to_one_side",
        side="right",
        agrees=False,
        because=because,
        by="Wren Aldous",
    )


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words), catch_exceptions=False)


def report(at: str, reader: str, *more: str) -> str:
    done = run("report", BRAMBLE, "--for", reader, "-o", f"{reader}.html", "--store", at, *more)
    assert done.exit_code == 0, done.output
    return unescape(Path(f"{reader}.html").read_text())


@pytest.mark.parametrize("reader", READERS)
def test_no_report_takes_them_along_and_each_says_so(at: str, reader: str) -> None:
    page = report(at, reader)
    assert "lame behind" not in page
    assert "unsound" not in page
    assert "Saddle from behind: (a caption is held back: it holds a word that is not ours to say)" in page
    assert "A judgement of Wren Aldous (" in page
    assert "is held back here: it holds a word that is not ours to say." in page


def test_the_desk_shows_them_with_what_to_do_and_that_way_works(at: str) -> None:
    shown = " ".join(run("records", "show", "Bramble", "--store", at).output.split())
    assert "he is lame behind" in shown
    assert CAPTION in shown
    assert 'Held back from reports: "lame" is a veterinarian\'s verdict; we write what was seen.' in shown
    assert 'Write for instance "its steps are uneven".' in shown
    assert "Judge it again in other words" in shown
    assert "Add the same photograph again with other words" in shown
    store = open_store(place_of(at))
    said(store, "Its steps are uneven behind")
    with store.reading() as connection:
        (visit,) = visits(connection)
    enclose_photograph(store, visit, "x.jpg", picture(shade=90), caption="the side it stands lower")
    store.close()
    page = report(at, "vet")
    assert "its steps are uneven behind" in page
    assert "the side it stands lower" in page
    assert "held back" not in page
    assert "Held back" not in run("records", "show", "Bramble", "--store", at).output


def test_the_page_at_the_desk_does_the_same(at: str) -> None:
    store = open_store(place_of(at))
    with store.reading() as connection:
        (visit,) = visits(connection)
    served = Served(store=store, ready=shipped(), folders=None, now=lambda: NOW)
    client = TestClient(made(served), base_url=SELF, headers={"X-From-Page": "1"})
    for path, words in (
        (f"/visits/{visit.uid}", ("lame behind", "Held back from reports", "Judge it again in other words")),
        (f"/visits/{visit.uid}/photographs", (CAPTION, "Held back from reports", "Mend its words below")),
    ):
        page = unescape(client.get(path, headers={"accept": "text/html"}).text)
        for word in words:
            assert word in page, (path, word)
    sent = client.get(f"/visits/{visit.uid}/report/vet.html", headers={"accept": "text/html"})
    assert sent.status_code == 200
    assert "is held back here" in unescape(sent.text)
    assert "lame behind" not in unescape(sent.text)
    store.close()


def test_words_of_a_practice_are_held_back_as_well(at: str, tmp_path: Path) -> None:
    store = open_store(place_of(at))
    said(store, "It goes like a rocking horse")
    store.close()
    own = tmp_path / "own" / "scales"
    own.mkdir(parents=True)
    (own / "wording.yaml").write_text(
        "wording:\n  never:\n    - because: is a joke of this yard\n      words: [rocking horse]\n"
    )
    assert "rocking horse" in report(at, "vet")
    (Path("vet.html")).unlink()
    assert "rocking horse" not in report(at, "vet", "--rules", "shipped", "--rules", str(own.parent))
