"""The handbook in a browser: nothing scrolls sideways, the search filters, links open what they lead to, print opens all.

In: the handbook of the shipped rules, in headless chromium. Out: failures.
Not here: what stands in it (test_book.py).
"""

from __future__ import annotations

import html
import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.rendering.test_book import handbook
from tests.rendering.test_browser import _run
from tests.rendering.test_browser import browser as browser  # the fixture

PHONE, DESK = 390, 1280
#: What is tried inside the page; each answer is read by the tests below.
TRIED = """
const out = {};
const ask = (word) => { const i = d.getElementById('find'); i.value = word; i.dispatchEvent(new w.Event('input')); };
const seen = () => [...d.querySelectorAll('details.entry')].filter((e) => e.offsetParent !== null).map((e) => e.id);
d.getElementById('open-all').click();
out.wide = d.documentElement.scrollWidth;
out.clipped = [...d.querySelectorAll('svg.chain text')].filter((t) => {
  const box = t.getBBox(), own = t.ownerSVGElement.viewBox.baseVal; return box.x + box.width > own.width + 0.5;
}).map((t) => t.textContent);
d.getElementById('close-all').click();
out.all = seen().length;
ask('trapezius thoracica'); out.synonym = seen(); out.named = [...d.querySelectorAll('#named a')].map((a) => a.hash);
ask('LEFT\\u00e9zz nothing of the kind'); out.none = seen().length; out.said = !d.getElementById('nothing').hidden;
ask('dry spot'); out.text = seen();
d.dispatchEvent(new w.KeyboardEvent('keydown', {key: 'Escape', bubbles: true})); out.back = seen().length;
d.dispatchEvent(new w.KeyboardEvent('keydown', {key: '/', bubbles: true})); out.focus = d.activeElement.id;
ask('uneven'); w.location.hash = '#source-von_peinen_2010';
setTimeout(() => {
  const box = d.getElementById('source-von_peinen_2010');
  out.opened = box.open && !box.hidden; out.cleared = d.getElementById('find').value;
  w.location.hash = '#rule-withers_pinch--sore_on_this_side';
  setTimeout(() => {
    out.rule = d.getElementById('conclusion-withers_pinch').open;
    w.dispatchEvent(new w.Event('beforeprint')); out.print = d.querySelectorAll('details:not([open])').length;
    w.dispatchEvent(new w.Event('afterprint')); out.after = d.querySelectorAll('details.entry[open]').length;
    document.body.innerHTML = '<pre>' + JSON.stringify(out).replace(/</g, '&lt;') + '</pre>';
  }, 300);
}, 300);
"""


@pytest.fixture(scope="module", params=[PHONE, DESK])
def tried(request: pytest.FixtureRequest, browser: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[int, Any]:
    width: int = request.param
    folder: Path = tmp_path_factory.mktemp("book")
    (folder / "rules.html").write_text(handbook(), encoding="utf-8")
    wrapper = folder / "wrapper.html"
    wrapper.write_text(
        f'<!doctype html><meta charset=utf-8><body><iframe id="f" style="border:0;width:{width}px;height:900px" '
        f"src=\"rules.html\"></iframe><script>const f = document.getElementById('f');"
        f"f.onload = () => {{ f.onload = null; const w = f.contentWindow, d = w.document; {TRIED} }}</script>",
        encoding="utf-8",
    )
    dumped = _run(
        browser, "--allow-file-access-from-files", "--virtual-time-budget=8000", "--dump-dom", wrapper.as_uri()
    ).decode()
    found = re.search(r"<pre>(.*)</pre>", dumped, re.DOTALL)
    assert found, "the browser answered nothing"
    return width, json.loads(html.unescape(found[1]))


def test_nothing_scrolls_sideways(tried: tuple[int, Any]) -> None:
    width, out = tried
    assert out["wide"] <= width


def test_no_word_leaves_its_picture(tried: tuple[int, Any]) -> None:
    assert tried[1]["clipped"] == []


def test_the_search_finds_synonyms_and_text(tried: tuple[int, Any]) -> None:
    out = tried[1]
    assert "place-withers" in out["synonym"]
    assert len(out["synonym"]) < out["all"] / 4
    assert "#place-withers" in out["named"]
    assert "conclusion-withers_pinch" in out["text"]
    assert out["none"] == 0
    assert out["said"] is True


def test_keys_clear_and_reach_the_search(tried: tuple[int, Any]) -> None:
    out = tried[1]
    assert out["back"] == out["all"]
    assert out["focus"] == "find"


def test_a_link_opens_what_it_leads_to_even_out_of_a_search(tried: tuple[int, Any]) -> None:
    out = tried[1]
    assert out["opened"] is True
    assert out["cleared"] == ""
    assert out["rule"] is True


def test_paper_has_no_closed_entries(tried: tuple[int, Any]) -> None:
    out = tried[1]
    assert out["print"] == 0
    assert 0 < out["after"] < out["all"]
