"""Words of the desk that a practitioner reads: days, rules, what nobody looked at, what to do next.

In: every page of the desk over filled records. Out: failures.
Not here: what each page shows (test_desk.py), the telephone's own screens (test_browser_round.py).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from reasoner.page.rows import Row, hint_here, rows_of
from reasoner.rendering.beside_lines import JUDGE_ANEW
from reasoner.rendering.rested_lines import rested_lines
from reasoner.rendering.text_page import Line
from reasoner.store.rested_on import Rested
from tests.page.desk_store import Desk, desk
from tests.page.horse import over, store_in
from tests.page.serving import SELF
from tests.page.test_desk import WORDS, pages, plain

#: What is no sentence of ours: the visit's own file, which is written year first, and fields that hold a day for the browser.
FILES = re.compile(
    r"<(script|style|textarea|code)\b.*?</\1>|<details class=\"which.*?</details>", re.DOTALL | re.IGNORECASE
)
ISO = re.compile(r"\b\d{4}-\d\d-\d\d\b")
RULE_FILE = re.compile(r"\b\w+/\w+\.yaml")


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """Filled records."""
    found = desk(tmp_path_factory.mktemp("desk"))
    yield found
    found.served.store.close()


def read(kept: Desk, path: str) -> str:
    """A page as a person reads it, without what is opened and without the visit's file."""
    answer = kept.client().get(path, headers=WORDS)
    assert answer.status_code == 200, path
    return plain(FILES.sub(" ", answer.text))


def everything(kept: Desk) -> list[str]:
    more = [kept.at(one, part) for one in kept.visits for part in ("/photographs", "/versions/1")]
    return [*pages(kept), *more, "/", "/telephones"]


def test_days_are_told_in_words(kept: Desk) -> None:
    """Also where a sentence of an earlier visit, or a moment of the records, holds one."""
    for path in everything(kept):
        told = read(kept, path)
        assert not ISO.search(told), (path, told[max(ISO.search(told).start() - 60, 0) :][:120])  # type: ignore[union-attr]
    assert "18 April 2026" in read(kept, kept.at("first"))


def test_a_rules_file_is_shown_only_behind_an_opening(kept: Desk) -> None:
    for path in everything(kept):
        if "/why" in path:
            continue  # there each rule is itself an opening
        told = read(kept, path)
        assert not RULE_FILE.search(told), (path, RULE_FILE.search(told))
    html = kept.client().get(kept.at("rook"), headers=WORDS).text
    box = html[html.index('id="referral"') :]
    box = box[: box.index("</section>")]
    assert box.count('<details class="which') > 2
    which = plain(box[box.index('<details class="which') :])
    assert which.startswith("which rule"), which[:80]
    assert "among the reasons to call the veterinarian (in the files of the rules: rules/concerns/" in which


def test_a_reference_that_is_no_rule_stays_as_it_is() -> None:
    (row,) = rows_of([Line("seen", tail="Bramble, 18 April 2026:44, 46")])
    assert (row.tail, row.rule) == ("lines 44, 46", None)
    (row,) = rows_of([Line("slight pointers (0.31) -> fair pointers (0.49)")])
    assert row.text == "slight pointers (0.31) \N{RIGHTWARDS ARROW} fair pointers (0.49)", "no screen breaks it in two"
    (row,) = rows_of([Line("seen", tail="Bramble, 18 April 2026 (2):44")])
    assert row.tail == "line 44"
    (row,) = rows_of([Line("seen on 2026-04-18", tail="a word of 2026-04-18")])
    assert row == Row(look="body in-0", mark="", text="seen on 18 April 2026", tail="a word of 18 April 2026")


def test_what_of_the_first_sixty_seconds_nobody_saw_comes_first(kept: Desk) -> None:
    """On the visit's page, on the owner's and on the telephone."""
    own = read(kept, kept.at("larch"))
    part = own[own.index("Not checked") :]
    assert part.startswith("Not checked the first sixty seconds"), part[:90]
    owner = kept.client().get(kept.at("larch", "/report/owner.html"), headers=WORDS)
    assert owner.status_code == 200, owner.text[:300]
    told = plain(FILES.sub(" ", owner.text))
    part = told[told.index("Not checked") :]
    assert part.startswith("Not checked The first sixty seconds, before anything else:"), part[:90]


def test_the_page_of_telephones_says_how_one_is_let_in(kept: Desk) -> None:
    told = read(kept, "/telephones")
    assert "reasoner serve --lan" in told
    assert "Everything that is kept stays kept." in told
    html = kept.client().get("/telephones", headers=WORDS).text
    main = html[html.index("<main") :]
    assert 'href="/at-the-horse"' in main
    assert 'href="/horses"' in main


def test_no_page_names_a_command_where_the_desk_has_its_own_way(tmp_path: Path) -> None:
    """Whoever reads a page, on a telephone above all, has no window to type a command in."""
    store = store_in(tmp_path)
    client = TestClient(over(store), base_url=SELF)
    told = plain(client.get("/track", headers=WORDS).text)
    store.close()
    assert "Nothing to count yet" in told
    assert 'carried out (at the desk below the visit, "What was really done")' in told
    assert "reasoner records" not in told
    (row,) = rows_of([Line(JUDGE_ANEW)])
    assert row.text == "Judge it again in other words (below the visit at the desk): the last one stands."
    rested = (
        Rested(day=date(2026, 5, 2), part=1, of_day=date(2026, 4, 18), of_part=1, what="withdrawn", who="", why=""),
    )
    assert "reasoner records" in " ".join(rested_lines(rested, "Bramble"))
    assert "reasoner" not in " ".join(rested_lines(rested, "Bramble", at_the_desk=True))


def test_a_refused_form_names_no_options(kept: Desk) -> None:
    client, path = kept.client(), kept.at("first", "/report/owner/approved")
    form = client.get(kept.at("first", "/send"), headers=WORDS).text.split(f'action="{path}"')[1].split("</form>")[0]
    hidden = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form))
    told = client.post(path, data={**hidden, "by": " "}, headers=WORDS)
    assert told.status_code == 422
    assert "Nobody is named who says so." in plain(told.text)
    assert "--by" not in told.text
    several = 'Near: "loin". Write --by NAME. `reasoner records correct` keeps one; --part 2 is another.'
    assert hint_here(several) == 'Near: "loin".'
    assert hint_here('Such as "loin left four" -- or less.') == 'Such as "loin left four" -- or less.'
