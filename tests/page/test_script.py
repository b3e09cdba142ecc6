"""Script in any text that a person may write: it is shown as text, on every page and in every report.

In: a visit, people, telephones, photographs, agreements and judgements whose every text is hostile. Out: pages in which
nothing of it became part of the page. Not here: what the pages say.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import pytest

from reasoner.page.app import made
from reasoner.page.doors.nearby import doors_at
from reasoner.rendering.report import report_html
from reasoner.store.afterwards import add_done, add_opinion
from reasoner.store.consents import WHAT, Agreed, agree
from reasoner.store.enclosing import enclose_photograph, enclosed_with
from reasoner.store.reading import horse_called, visits
from reasoner.store.saving import save
from tests.asking import shipped
from tests.page.neighbours import ADDRESS, PORT, Clock, Yard
from tests.page.serving import served_in
from tests.page.test_everybody import FOR_EVERYBODY, path_for, routes_of
from tests.rendering.answers import READERS, answer
from tests.store.keeping import kept_of
from tests.store.pictures import picture

#: Tags, quotes of both kinds, a template's braces, an address that is script. `name` tells which field it came from.
HOSTILE = "<script>alert({name})</script><img src=x onerror=alert({name})>\"'` onmouseover={name} {{{{ 7*7 }}}}javascript:{name}"


def evil(name: str) -> str:
    return HOSTILE.format(name=name)


#: Where each text of a visit file is written; a text that the vocabulary gains later fails below until it stands here.
AT = {
    "name": "horse", "breed": "horse", "kept": "horse", "veterinary_practice": "horse", "which_saddle": "tacked up",
    "ridden_by": "ridden",
}  # fmt: skip


def hostile_file() -> str:
    """A visit file whose every free text is hostile."""
    tree: dict[str, object] = {"visit": "2026-04-18", "palpation": {
        "loin": {"left": {"soreness": "4", "note": evil("touch")}, "right": "not examined - other"},
        "girth line": {"left": "3", "right": "1"}}}  # fmt: skip
    for one in shipped().book.vocabulary.observations.values():
        if one.kind == "text":
            section = AT.get(one.key)
            at = tree if section is None else tree.setdefault(section, {})
            assert isinstance(at, dict)
            at[one.name] = evil(one.key)
    tree["discharge"] = {"is": "thick or coloured", "note": evil("note")}
    tree["at first sight"] = {"discharge": tree.pop("discharge")}
    tree["worked on"] = [{"place": "loin", "side": "left", "how": "held", "minutes": "4", "note": evil("worked")}]
    tree["veterinarian's word"] = [
        {"who": evil("who"), "seen": "2026-04-10", "about": ["loin"], "allows": ["hands-on work"], "note": evil("vet")}
    ]
    return json.dumps(tree)  # JSON reads as YAML


class Page(HTMLParser):
    """What of a page could run: scripts, handlers, addresses."""

    def __init__(self) -> None:
        super().__init__()
        self.wrong: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        if tag == "script" and not (told.get("src") or "").startswith(("/static/", "/handbook/")):
            self.wrong.append(f"<script> without a file of ours: {attrs}")
        for name, value in attrs:
            plain = (value or "").strip().lower()
            if name.startswith("on"):
                self.wrong.append(f"a handler: <{tag} {name}={value}>")
            if name in ("src", "href", "action", "formaction") and plain.startswith(
                ("javascript:", "x", "data:text", "vbscript:")
            ):
                self.wrong.append(f"an address: <{tag} {name}={value}>")


def wrong_in(page: str) -> list[str]:
    reader = Page()
    reader.feed(page)
    return reader.wrong


def test_the_look_at_a_page_finds_what_it_looks_for() -> None:
    assert len(wrong_in(HOSTILE)) == 3
    assert wrong_in('<a href=" javascript:x">') and wrong_in("<p ONCLICK=x>")  # noqa: PT018
    assert wrong_in('<script type="module" src="/static/pairing.js"></script>') == []


@pytest.fixture(scope="module")
def larkhope(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A yard whose Bramble is replaced by a visit of hostile words, with hostile words beside it."""
    folder = tmp_path_factory.mktemp("hostile")
    clock = Clock()
    served = replace(served_in(folder), now=clock)
    kept = kept_of(hostile_file(), "visit.yaml")
    assert not [w for w in kept.visit.warnings if "unknown" in w.sentence]
    saved = save(served.store, kept, by=evil("by"))
    beside = hostile_file().replace(json.dumps(evil("examined_by")), json.dumps(evil("graded_blind_beside")))
    save(served.store, kept_of(beside, "beside.yaml"), by=evil("by"), part=2)  # graded blind: opens when both are in
    store = served.store
    with store.reading() as connection:
        known = visits(connection)[0]
        horse = horse_called(connection, known.horse)
    photograph = enclose_photograph(store, known, evil("file"), picture(), caption=evil("caption"), by=evil("kept_by"))
    day = date(2026, 4, 18)
    for what in WHAT:
        agree(
            store, horse, Agreed(what=what, given=True, who=evil("agreed"), on=day, until=None, note=evil("agreement"))
        )
    for step in kept.answer["plan"]["steps"]:
        add_done(store, saved.version, step=step["key"], side=step["side"] or "", answer="partly", because=evil("done"),
                 by=evil("told_by"), on=day)  # fmt: skip
    for one in kept.answer["conclusions"][:3]:
        add_opinion(store, saved.version, conclusion=one["key"], side=one["side"] or "", agrees=False, because=evil("opinion"),
                    by=evil("judge"))  # fmt: skip
    doors = doors_at(store.place, clock, ADDRESS, PORT)
    doors.people.add("<script>alert(1)</script>", "apprentice", horse=None, password="")
    doors.people.add("\"'><img src=x onerror=alert(1)>", "owner", horse=horse.uid, password="")
    served = replace(served, doors=doors)
    return Yard(
        served=served, doors=doors, clock=clock, near=made(replace(served, nearby=True)), own=made(served),
        visits={"Bramble": known}, photographs={"Bramble": photograph.uid},
    )  # fmt: skip


def pages(at: Yard) -> Iterator[tuple[str, str]]:
    """Every page that can be asked for, and the refusals."""
    phone = at.stranger()
    answer_ = phone.post("/pair", data={"code": at.doors.codes.current().text, "label": evil("label")},
                         headers={"X-From-Page": "1"})  # fmt: skip
    assert answer_.status_code == 303
    for someone in (at.here(), phone):
        someone.headers["Accept"] = "text/html"
        for route in routes_of(at.near):
            if "GET" in route.methods:
                path = path_for(route, at, "Bramble")
                answered = someone.get(path)
                assert answered.status_code < 500, path
                if "html" in answered.headers.get("content-type", "") or "svg" in answered.headers.get(
                    "content-type", ""
                ):
                    yield path, answered.text
        yield "nothing", someone.get("/<script>alert(1)</script>").text
    for text in ("code", "name", "password", "label"):
        yield "/pair", at.stranger().post("/pair", data={text: evil(text)}, headers={"X-From-Page": "1"}).text


def test_no_page_lets_a_text_become_part_of_it(larkhope: Yard) -> None:
    seen = dict(pages(larkhope))
    assert len(seen) > 4
    for path, text in seen.items():
        assert wrong_in(text) == [], path
        assert "<script>alert" not in text, path
        assert "49javascript:" not in text, f"{path}: a template inside a text was carried out"
    everything = "".join(seen.values())
    for name in ("caption", "name"):
        assert f"alert({name})" in everything, f"{name} is shown somewhere, as text"
    assert FOR_EVERYBODY


def test_no_report_does_either(larkhope: Yard) -> None:
    store = larkhope.served.store
    with store.reading() as connection:
        enclosed = enclosed_with(connection, store.place, larkhope.visits["Bramble"].uid)
    for reader in READERS:
        page = report_html(answer("bramble"), reader, evil("approved"), to=evil("to"), enclosed=enclosed)
        assert [one for one in wrong_in(page) if "data:" not in one] == []
        assert "<script" not in page
