"""The files of the page at the horse: their opening, their length, their colours, the libraries as they were published."""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from reasoner.page.app import made
from reasoner.page.pages import HERE
from reasoner.page.routes.at_the_horse import files
from reasoner.rendering.grade_colours import contrast, fill_for, ink_for
from tests.page.serving import SELF, client, served_in

STATIC = HERE / "static"
SCRIPTS = sorted((STATIC / "horse").glob("*.js"))
LIBRARIES = {
    "htm_preact.js": "72284e8e9079c87817145df1110f74e8a2aa040b2fc384922e18dfcb46fc1fd7",
    "idb_keyval.js": "480f1d31a40b5720fbaaee44c1a21d83392c6cf9516672007813a1824483a058",
}


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_a_script_opens_like_every_module_and_stays_short(script: Path) -> None:
    text = script.read_text(encoding="utf-8")
    opening = text[: text.index("*/")]
    for word in ("/* ", "\nIn: ", "Out: ", "\nNot here: "):
        assert word in opening, word
    assert text.count("\n") <= 350


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_a_script_names_no_other_machine_and_builds_no_code_from_text(script: Path) -> None:
    text = script.read_text(encoding="utf-8")
    assert not re.search(r"https?://|\beval\(|new Function|document\.write|\.innerHTML", text)


@pytest.mark.parametrize("name", LIBRARIES)
def test_a_library_is_whole_and_unchanged(name: str) -> None:
    assert hashlib.sha256((STATIC / "library" / name).read_bytes()).hexdigest() == LIBRARIES[name]


def test_the_colours_on_the_map_are_those_of_reports() -> None:
    text = (STATIC / "horse" / "marks.css").read_text(encoding="utf-8")
    for half in range(21):
        fill = fill_for(half / 2)
        assert f".g{half} .badge{{fill:{fill}}}.g{half} text{{fill:{ink_for(fill)}}}" in text
        assert contrast(ink_for(fill), fill) >= 4.5


def test_the_worker_names_every_file_of_the_page_and_nothing_else(tmp_path: Path) -> None:
    here = client(tmp_path)
    answer = here.get("/service-worker.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"
    found = re.search(r"const FILES = (\[.*\]);", answer.text)
    assert found is not None
    assert json.loads(found.group(1)) == list(files())
    for address in files():
        assert here.get(address).status_code == 200
    page = here.get("/at-the-horse").text
    assert all(address in files() for address in re.findall(r'(?:src|href)="(/static/[^"]+)"', page))


def test_the_page_holds_no_script_or_style_within_it(tmp_path: Path) -> None:
    text = client(tmp_path).get("/at-the-horse").text
    assert not re.search(r"<script(?![^>]*src=)|<style|\sstyle=|\son\w+=", text)


def test_another_rulebook_is_another_version(tmp_path: Path) -> None:
    """A telephone holds the words of one rulebook; with the next one it fetches everything anew."""
    served = served_in(tmp_path)
    other = replace(served.ready, book=replace(served.ready.book, stamp="another"))
    texts = [
        TestClient(made(one), base_url=SELF).get("/service-worker.js").text
        for one in (served, replace(served, ready=other))
    ]
    assert texts[0].splitlines()[0] != texts[1].splitlines()[0]
    assert texts[0].splitlines()[1:] == texts[1].splitlines()[1:]
