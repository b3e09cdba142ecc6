"""The page of a lesson by its routes: what it shows, how it opens, who may see it, what holds its sheet back.

In: filled records. Out: a failure where a step has no rule, or the wrong person is let in.
Not here: what the lesson says (tests/teaching/test_lesson), how it looks (test_browser_lesson).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape

import pytest
from fastapi.testclient import TestClient

from reasoner.page.app import made
from reasoner.page.longer import Longer
from reasoner.page.who import Who, who
from reasoner.rendering.pdf import is_ours
from tests.page.desk_store import WREN, Desk, desk
from tests.page.serving import SELF

WORDS = {"accept": "text/html"}
INLINE = re.compile(r"<style|\sstyle=|\son[a-z]+=|<script", re.IGNORECASE)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """Filled records, read by the tests of this file that write nothing."""
    found = desk(tmp_path_factory.mktemp("lesson"))
    yield found
    found.served.store.close()


def plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def test_a_visit_leads_to_its_lesson_which_opens_to_rules_that_are_in_the_handbook(kept: Desk) -> None:
    client = kept.client()
    assert f'href="{kept.at("first", "/lesson")}"' in client.get(kept.at("first"), headers=WORDS).text
    html = client.get(kept.at("first", "/lesson"), headers=WORDS).text
    assert not INLINE.search(html)
    said = plain(html)
    assert said.index("ROUTINE: the veterinarian, before the next session") < said.index("What was found")
    assert "it begins The ligament over the spines from T3 to T10." in said
    assert "0.86" not in said
    ids = re.findall(r'\sid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', html)) <= {*ids}
    book = client.get("/handbook", headers=WORDS).text
    anchors = set(re.findall(r'href="/handbook#([^"]+)"', html))
    assert {
        "rule-saddle_to_one_side--seen_to_this_side", "place-withers", "conclusion-saddle_to_one_side",
    } <= anchors  # fmt: skip
    assert f'href="{kept.at("first", "/why/saddle_to_one_side?side=right")}"' in html
    assert [one for one in sorted(anchors) if f'id="{one}"' not in book] == []
    technical = plain(client.get(kept.at("first", "/lesson?words=technical"), headers=WORDS).text)
    assert "Cause: strong pointers, 0.86" in technical
    assert "M. trapezius, pars thoracica" in technical


def test_every_visit_of_the_records_gives_a_lesson(kept: Desk) -> None:
    client = kept.client()
    for name in kept.visits:
        answer = client.get(kept.at(name, "/lesson"), headers=WORDS)
        assert answer.status_code == 200, name
        assert 'id="first"' in answer.text


def test_an_address_that_does_not_read_is_told_so(kept: Desk) -> None:
    client = kept.client()
    wrong = client.get(kept.at("first", "/lesson?words=latin"), headers=WORDS)
    assert wrong.status_code == 422
    assert "words" in plain(wrong.text)
    assert client.get("/visits/" + "0" * 32 + "/lesson", headers=WORDS).status_code == 404


def test_an_owner_is_not_taught_from_a_visit(kept: Desk) -> None:
    """As with why: the pages of reasons are the practice's."""
    app = made(kept.served)
    app.dependency_overrides[who] = lambda: Who(name="Ines Tallow", role="owner", horse=kept.bramble)
    ines = TestClient(app, base_url=SELF, headers={"X-From-Page": "1"})
    for more in ("/lesson", "/lesson/sheet.pdf"):
        assert ines.get(kept.at("first", more), headers=WORDS).status_code == 403


def test_the_sheet_is_a_pdf_and_waits_for_the_countersignature(kept: Desk) -> None:
    client = kept.client()
    sheet = client.get(kept.at("rook", "/lesson/sheet.pdf"))
    assert sheet.headers["content-type"] == "application/pdf"
    assert is_ours(sheet.content)
    assert 'filename="rook-2026-04-18-lesson.pdf"' in sheet.headers["content-disposition"]
    held = client.get(kept.at("apprentice", "/lesson/sheet.pdf"), headers=WORDS)
    assert held.status_code == 409
    assert "countersignature" in plain(held.text)
    shown = client.get(kept.at("apprentice", "/lesson"), headers=WORDS).text
    assert "A sheet to print" not in shown
    assert WREN in plain(shown)


def test_the_other_process_tells_the_same_lesson(kept: Desk) -> None:
    longer = Longer(None)
    try:
        there = made(replace(kept.served, longer=longer))
        asked = TestClient(there, base_url=SELF, headers={"X-From-Page": "1"}).get(
            kept.at("rook", "/lesson"), headers=WORDS
        )
        assert asked.text == kept.client().get(kept.at("rook", "/lesson"), headers=WORDS).text
    finally:
        longer.close()
