"""The handbook holds every page of the rulebook, links only to what is there, fetches nothing, and says nothing it may not.

In: the shipped rules, and a rulebook as large as ours may become. Out: failures.
Not here: how it looks in a browser (test_book_browser.py).
"""

from __future__ import annotations

import re
from functools import cache
from html import unescape
from html.parser import HTMLParser
from itertools import cycle
from pathlib import Path
from typing import Any

import pytest
from markupsafe import escape

from reasoner.rendering.book import MARK, TEMPLATES, book_html
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulecare.tally import COLUMNS, tally
from tests.test_cautious_words import found_in

MOST = 3_000_000
HOSTILE = "<script>alert(1)</script><img src=x onerror=y> & {{ 7 * 7 }}"


@cache
def rules() -> Rulebook:
    return load_rulebook()


@cache
def handbook() -> str:
    return book_html(rules())


class _Page(HTMLParser):
    """Ids, links, and what would be fetched or run."""

    def __init__(self) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: set[str] = set()
        self.tags: dict[str, int] = {}
        self.other: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] = self.tags.get(tag, 0) + 1
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            elif name == "href":
                self.links.add(value or "")
            elif name in ("src", "srcset", "action", "data") or name.startswith("on") or name == "style":
                self.other.append((tag, name))


def read(page: str) -> _Page:
    parser = _Page()
    parser.feed(page)
    return parser


def text_of(page: str) -> str:
    body = page.split("<body>")[1].split("<script>")[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_nothing_is_fetched_and_only_our_script_runs() -> None:
    page = read(handbook())
    assert page.other == []
    assert page.tags["script"] == 1
    assert {"img", "iframe", "link", "form", "object"} & set(page.tags) == set()
    assert "http" not in handbook().replace("http-equiv", "")
    assert "default-src 'none'" in handbook()
    assert "url(" not in handbook()


def test_every_link_leads_somewhere_and_every_id_stands_once() -> None:
    page = read(handbook())
    assert len(page.ids) == len(set(page.ids))
    assert {link for link in page.links if not link.startswith("#")} == set()
    assert {link[1:] for link in page.links} - set(page.ids) == set()


def test_every_page_rule_word_and_source_has_its_entry() -> None:
    book, ids = rules(), set(read(handbook()).ids)
    wanted = {f"conclusion-{key}" for key in book.conclusions} | {f"concern-{key}" for key in book.concerns}
    wanted |= {f"action-{key}" for key in book.actions} | {f"circumstance-{key}" for key in book.circumstances}
    wanted |= {f"source-{key}" for key in book.sources} | {f"place-{key}" for key in book.vocabulary.places}
    wanted |= {f"observation-{key}" for key in book.vocabulary.observations}
    wanted |= {f"rule-{key.replace('/', '--')}" for key, _, _ in book.rules()}
    assert wanted - ids == set()


def test_every_rule_says_why_how_strongly_and_how_sure() -> None:
    whole = handbook()
    for page in rules().conclusions.values():
        for rule in page.evidence:
            anchor = str(escape(f"rule-{rule_id(page.id, rule.rule).replace('/', '--')}")).join(('id="', '"'))
            article = text_of("<body>" + whole[whole.index(anchor) - 9 :].split("</article>")[0])
            assert f"{rule.points or rule.against} pointer {'for' if rule.points else 'against'}" in article
            assert f"How sure: {rule.sure}." in article
            assert " ".join(rule.because.split())[:30] in article or "{" in rule.because


def test_lessons_and_what_can_mislead_stand_in_it() -> None:
    text = text_of(handbook())
    pages: list[Any] = [*rules().conclusions.values(), *rules().concerns.values(), *rules().actions.values()]
    for page in pages:
        for said in (page.lesson, page.can_mislead):
            if "{" not in said:
                assert " ".join(said.split()) in text, page.id


def test_the_counts_are_those_of_the_rules_and_add_up() -> None:
    counts = tally(rules())
    assert counts["rules"]["all"] == sum(1 for _ in rules().rules())
    for row in counts.values():
        assert row["all"] == sum(row[column] for column in COLUMNS)
    cells = re.findall(r'<th scope="row">Rules</th>(.*?)</tr>', handbook())[0]
    assert [int(n) for n in re.findall(r"\d+", cells)] == [
        *(counts["rules"][c] for c in COLUMNS),
        counts["rules"]["all"],
    ]


def test_it_says_no_forbidden_word() -> None:
    """Up to the sources, whose titles are cited as they are."""
    whole = handbook().split('<section class="chapter" id="sources">')[0]
    # Two entries of a list are two phrases, not one.
    shown = text_of(whole.replace("</li>", " ; </li>") + "<script>")
    assert [word for word, _ in found_in(shown)] == []


def test_whatever_a_page_says_stays_text(tmp_path: Path) -> None:
    page = (shipped_rules() / "patterns" / "loin_answers.yaml").read_text()
    (tmp_path / "patterns").mkdir()
    hostile = re.sub(r"\nsays: .*", f"\nsays: '{HOSTILE}'", page.replace("id: loin_answers", "id: our_own"))
    (tmp_path / "patterns" / "our_own.yaml").write_text(hostile)
    whole = book_html(load_rulebook([shipped_rules(), tmp_path]))
    assert read(whole).tags["script"] == 1
    assert "img" not in read(whole).tags
    assert "&lt;script&gt;alert(1)" in whole
    assert "{{ 7 * 7 }}" in whole


def test_the_same_rules_give_the_same_book() -> None:
    assert book_html(load_rulebook()) == handbook()
    assert MARK in handbook()[:300]


def grown(folder: Path) -> Rulebook:
    """A rulebook as large as ours is to become: pages of the shipped one once more, and again, until there are enough."""
    wanted = {"conclusions": 60, "actions": 70, "concerns": 65}
    kinds = {
        "conclusions": ("causes", "patterns", "mechanisms", "traits"),
        "actions": ("actions",),
        "concerns": ("concerns",),
    }
    for what, folders in kinds.items():
        pages = [path for kind in folders for path in sorted((shipped_rules() / kind).glob("*.yaml"))]
        for number, path in zip(range(wanted[what] - len(pages)), cycle(pages), strict=False):
            name = f"{path.stem}_{number}"
            target = folder / path.parent.name / f"{name}.yaml"
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(re.sub(r"\Aid: .*", f"id: {name}", path.read_text(), count=1))
    return load_rulebook([shipped_rules(), folder] if folder.is_dir() and any(folder.iterdir()) else None)


def test_it_stays_under_three_megabytes_when_the_rules_grow(tmp_path: Path) -> None:
    book = grown(tmp_path)
    assert len(book.conclusions) >= 60
    assert sum(1 for _ in book.rules()) >= 230
    assert len(book.actions) >= 70
    assert len(book.concerns) >= 65
    assert len(book_html(book).encode()) < MOST


def _colours() -> dict[str, dict[str, str]]:
    css = (TEMPLATES / "book.css").read_text()
    blocks = re.findall(r":root\{(.*?)\}", css, re.DOTALL)
    light, dark = (dict(re.findall(r"--([a-z-]+):(#[0-9a-f]{6})", block)) for block in blocks[:2])
    return {"light": light, "dark": dark}


def _luminance(colour: str) -> float:
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ink", ["ink", "soft", "link", "for", "against", "call"])
@pytest.mark.parametrize("ground", ["paper", "card"])
def test_text_stands_out_from_its_ground(scheme: str, ink: str, ground: str) -> None:
    """At least 4.5 to 1, the AA limit for text, by day and by night."""
    colours = _colours()[scheme]
    one, two = sorted((_luminance(colours[ink]), _luminance(colours[ground])))
    assert (two + 0.05) / (one + 0.05) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["mark", "place", "sign", "card"])
def test_words_in_the_pictures_stand_out(scheme: str, ground: str) -> None:
    colours = _colours()[scheme]
    one, two = sorted((_luminance(colours["ink"]), _luminance(colours[ground])))
    assert (two + 0.05) / (one + 0.05) >= 4.5
