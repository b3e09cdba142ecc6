"""Photographs at the page: sent, kept, shown; and everything that is none.

In: files as telephones and others send them. Out: what is kept, what is refused in words.
Not here: decoding (tests/store/test_photographs.py), reports.
"""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from reasoner.store import photographs
from reasoner.store.enclosing import Enclosed, enclosed_with
from tests.page.neighbours import Yard, yard
from tests.store.pictures import SECRET, bomb, picture


@pytest.fixture
def larkhope(tmp_path: Path) -> Yard:
    return yard(tmp_path)


def kept(at: Yard, horse: str = "Bramble") -> tuple[Enclosed, ...]:
    with at.served.store.reading() as connection:
        return enclosed_with(connection, at.served.store.place, at.visits[horse].uid)


def send(at: Yard, who: str, data: bytes, name: str = "image.jpg", kind: str = "image/jpeg", **told: str) -> Any:
    someone = at.let_in("" if who == "the practitioner" else who)
    path = f"/visits/{at.visits['Bramble'].uid}/photographs"
    return someone.post(path, files={"photograph": (name, data, kind)}, data=told)


@pytest.mark.parametrize("who", ["the practitioner", "Tam Orrin"])
def test_a_photograph_is_kept_and_shown_without_the_place(larkhope: Yard, who: str) -> None:
    answer = send(larkhope, who, picture(shade=200), shows="saddle from behind", caption="as it stood")
    assert answer.status_code == 201
    told = answer.json()
    assert told | {"photograph": "", "at": ""} == {
        "photograph": "", "name": "image.jpg", "shows": "saddle from behind", "caption": "as it stood", "at": "", "new": True,
    }  # fmt: skip
    shown = larkhope.let_in().get(told["at"])
    assert shown.headers["content-type"] == "image/jpeg"
    assert shown.headers["x-content-type-options"] == "nosniff"
    image = Image.open(io.BytesIO(shown.content))
    assert (image.size, dict(image.getexif())) == ((40, 24), {})
    assert SECRET not in shown.content
    assert send(larkhope, who, picture(shade=200)).status_code == 200, "the very same is kept once"
    assert len(kept(larkhope)) == 2
    page = larkhope.let_in().get(f"/visits/{larkhope.visits['Bramble'].uid}/photographs").text
    assert "as it stood" in page
    assert told["at"] in page


def test_a_caption_is_held_to_the_words_and_is_mended_by_the_same_photograph(larkhope: Yard) -> None:
    before = len(kept(larkhope))
    refused = send(larkhope, "the practitioner", picture(shade=200), caption="he is lame here")
    assert refused.status_code == 422
    assert "its steps are uneven" in refused.text
    assert len(kept(larkhope)) == before
    told = {"shows": "saddle from behind", "caption": "the wrong side"}
    assert send(larkhope, "the practitioner", picture(shade=200), **told).status_code == 201
    mended = send(larkhope, "the practitioner", picture(shade=200), shows="other", caption="the right side")
    assert (mended.status_code, mended.json()["shows"]) == (201, "saddle from behind")
    assert send(larkhope, "the practitioner", picture(shade=200), shows="other").status_code == 200
    page = larkhope.let_in().get(f"/visits/{larkhope.visits['Bramble'].uid}/photographs").text
    captions = " ".join(re.findall(r"<figcaption>.*?</figcaption>", page, re.DOTALL))
    assert "the right side" in captions
    assert "the wrong side" not in captions
    assert page.count("the wrong side") == 1, "it stands among what was said before"


def test_the_words_of_a_photograph_are_mended_from_the_page_and_nothing_is_lost(larkhope: Yard) -> None:
    """Who said what, and when, stays; the picture itself is kept once and shown in its place."""
    visit, photograph = larkhope.visits["Bramble"].uid, larkhope.photographs["Bramble"]
    path = f"/visits/{visit}/photographs"
    tam, here = larkhope.let_in("Tam Orrin"), larkhope.here()
    html = here.get(path).text
    assert f"{path}/{photograph}/words" in html
    assert "28 November 2026" not in html, "a day that is not the visit's"
    answer = tam.post(f"{path}/{photograph}/words", data={"shows": "back from above", "caption": "before work"})
    assert (answer.status_code, answer.json()["caption"], answer.json()["new"]) == (200, "before work", True)
    again = answer.json()["photograph"]
    typed = {"shows": "back from above", "caption": "after work", "by": "Wren Aldous"}
    assert here.post(f"{path}/{again}/words", data=typed).status_code == 200
    assert here.post(f"{path}/{again}/words", data=typed).json()["new"] is False, "the same words are no further row"
    assert len([one for one in kept(larkhope) if one.stands]) == 1
    page = " ".join(here.get(path).text.split())
    assert "Back from above: after work" in page
    before = page[page.index("What was said of it before") :]
    assert before.index("Back from above: before work") < before.index("of Bramble")
    assert "by Tam Orrin" in before
    assert "by Wren Aldous" in before
    assert larkhope.let_in().get(f"/photographs/{photograph}").status_code == 200, (
        "an address that was sent still shows it"
    )


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"caption": "he is lame here", "by": "Wren Aldous"}, 422),
        ({"caption": "x" * 201, "by": "Wren Aldous"}, 422),
        ({"caption": "before", "shows": "a cow", "by": "Wren Aldous"}, 422),
        ({"caption": "before"}, 422),
    ],
)
def test_words_that_cannot_stand_change_nothing(larkhope: Yard, told: dict[str, str], code: int) -> None:
    before = kept(larkhope)
    path = f"/visits/{larkhope.visits['Bramble'].uid}/photographs/{larkhope.photographs['Bramble']}/words"
    assert larkhope.here().post(path, data=told).status_code == code
    assert kept(larkhope) == before


def test_whose_photograph_it_is_not_may_not_say_a_word(larkhope: Yard) -> None:
    hazel, own = larkhope.photographs["Hazel"], larkhope.visits["Bramble"].uid
    told = {"caption": "mine", "by": "Wren Aldous"}
    assert larkhope.here().post(f"/visits/{own}/photographs/{hazel}/words", data=told).status_code == 404
    ines = larkhope.let_in("Ines Tallow")
    path = f"/visits/{larkhope.visits['Hazel'].uid}/photographs"
    assert ines.post(f"{path}/{hazel}/words", data=told).status_code == 403
    assert "/words" not in ines.get(path).text


def test_what_is_left_out_of_reports_is_not_shown_to_the_owner_either(larkhope: Yard) -> None:
    """Under none of its addresses, for an old one may have been sent; the practice sees it, to have it back."""
    ines, here = larkhope.let_in("Ines Tallow"), larkhope.here()
    path, first = f"/visits/{larkhope.visits['Hazel'].uid}/photographs", larkhope.photographs["Hazel"]
    assert f"/photographs/{first}" in ines.get(path).text
    told = {"shows": "left out of reports", "caption": "of Hazel", "by": "Wren Aldous"}
    last = here.post(f"{path}/{first}/words", data=told).json()["photograph"]
    assert "<img" not in ines.get(path).text
    for photograph in (first, last):
        assert ines.get(f"/photographs/{photograph}").status_code == 404
        assert here.get(f"/photographs/{photograph}").status_code == 200
    assert f"/photographs/{last}" in here.get(path).text
    assert here.post(f"{path}/{last}/words", data={**told, "shows": "other"}).status_code == 200
    assert ines.get(f"/photographs/{first}").status_code == 200


def test_a_form_comes_back_to_the_page(larkhope: Yard) -> None:
    someone = larkhope.here()
    someone.headers["Accept"] = "text/html"
    path = f"/visits/{larkhope.visits['Bramble'].uid}/photographs"
    answer = someone.post(
        path, files={"photograph": ("x.png", picture("PNG", shade=9), "image/png")}, data={"shows": "other"}
    )
    assert (answer.status_code, answer.headers["location"]) == (303, path)
    wrong = someone.post(path, files={"photograph": ("x.png", b"none", "image/png")})
    assert wrong.status_code == 422
    assert "no photograph that is read here" in wrong.text
    assert "Back to" not in wrong.text, "it came from no page"


@pytest.mark.parametrize(
    ("referer", "back"),
    [("http://127.0.0.1:8173{}?a=1", "{}?a=1"), ("https://elsewhere.example{}", ""), ("http://127.0.0.1:8173//x.example", ""),
     ("http://[", "")],
)  # fmt: skip
def test_a_refusal_leads_back_to_where_the_form_stood_and_nowhere_else(larkhope: Yard, referer: str, back: str) -> None:
    """A page opened from a telephone's home screen has no button for it."""
    someone = larkhope.here()
    someone.headers["Accept"] = "text/html"
    path = f"/visits/{larkhope.visits['Bramble'].uid}/photographs"
    for data in (b"none", b"x" * (photographs.MOST_BYTES + 2_000_000)):
        wrong = someone.post(
            path, files={"photograph": ("x.png", data, "image/png")}, headers={"Referer": referer.format(path)}
        )
        assert wrong.status_code in (413, 422)
        assert (f'href="{back.format(path)}">Back to' in wrong.text) if back else ("Back to" not in wrong.text)


@pytest.mark.parametrize(
    ("data", "name", "kind", "code"),
    [
        (b"", "x.jpg", "image/jpeg", "PG01"),
        (b"<script>alert(1)</script>", "x.jpg", "image/jpeg", "PG01"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "x.svg", "image/svg+xml", "PG01"),
        (b"PK\x03\x04 an archive", "x.jpg", "image/jpeg", "PG01"),
        (b"#!/bin/sh\n", "x.sh", "application/x-sh", "PG01"),
        (b"\x00\x00\x00\x18ftypheic", "x.heic", "image/heic", "PG01"),
        (picture("GIF"), "x.gif", "image/gif", "PG01"),
        (picture()[:300], "x.jpg", "image/jpeg", "PG01"),
        (bomb(), "x.png", "image/png", "PG02"),
    ],
)
def test_what_is_no_photograph_is_refused_and_nothing_is_kept(
    larkhope: Yard, data: bytes, name: str, kind: str, code: str
) -> None:
    answer = send(larkhope, "Tam Orrin", data, name, kind)
    assert answer.status_code == 422
    assert [p["code"] for p in answer.json()["problems"]] == [code]
    assert len(kept(larkhope)) == 1
    assert len(list(larkhope.served.store.place.files.iterdir())) == 2


def test_a_picture_that_says_it_is_something_else_is_what_it_is(larkhope: Yard) -> None:
    """The bytes decide, whatever name and kind they come under."""
    answer = send(larkhope, "Tam Orrin", picture("PNG", shade=7), "page.html", "text/html")
    assert answer.status_code == 201
    assert answer.json()["name"] == "page.jpg"
    assert larkhope.let_in().get(answer.json()["at"]).headers["content-type"] == "image/jpeg"


@pytest.mark.parametrize(
    "name", ["../../../../etc/cron.d/x", "..\\..\\x.jpg", "/etc/passwd", "a/b/c.jpg", "x\r\nX: y.jpg", "%2e%2e%2fx"]
)
def test_a_name_is_no_path(larkhope: Yard, tmp_path: Path, name: str) -> None:
    before = {f for f in tmp_path.rglob("*") if f.is_file()}
    answer = send(larkhope, "Tam Orrin", picture(shade=200), name)
    assert answer.status_code == 201
    assert not {*answer.json()["name"]} & set("/\\\r\n:%")
    new = {f for f in tmp_path.rglob("*") if f.is_file()} - before
    assert {f.parent for f in new if ".db-" not in f.name} == {larkhope.served.store.place.files}


def test_too_large_a_photograph(larkhope: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photographs, "MOST_BYTES", 500)
    answer = send(larkhope, "Tam Orrin", picture(shade=200))
    assert [p["code"] for p in answer.json()["problems"]] == ["PG02"]


@pytest.mark.parametrize(
    ("files", "told"),
    [({}, {}), ({"other": ("x.jpg", b"x", "image/jpeg")}, {}), ({}, {"photograph": "text where a file belongs"}),
     ({"photograph": ("x.jpg", picture(), "image/jpeg")}, {"shows": "x" * 61})],
)  # fmt: skip
def test_a_form_that_is_none(larkhope: Yard, files: dict[str, Any], told: dict[str, str]) -> None:
    path = f"/visits/{larkhope.visits['Bramble'].uid}/photographs"
    answer = larkhope.here().post(path, files=files or None, data=told)
    assert answer.status_code == 422
    assert len(kept(larkhope)) == 1


@pytest.mark.parametrize("uid", ["0" * 32, "x", "../../etc/passwd", "%2e%2e%2f", "' OR 1=1 --", "0" * 33])
def test_no_name_reaches_what_is_not_kept(larkhope: Yard, uid: str) -> None:
    someone = larkhope.here()
    for path in (f"/photographs/{uid}", f"/visits/{uid}/photographs"):
        assert someone.get(path).status_code in (307, 404, 422), path


def test_a_table_is_no_photograph_and_is_not_given_out(larkhope: Yard, tmp_path: Path) -> None:
    from reasoner.store.enclosing import enclose

    (tmp_path / "back.csv").write_text("<script>alert(1)</script>")
    (table,) = enclose(larkhope.served.store, larkhope.visits["Bramble"], [tmp_path / "back.csv"])
    assert larkhope.here().get(f"/photographs/{table.uid}").status_code == 404


def test_a_photograph_that_was_changed_on_the_disk_is_not_shown(larkhope: Yard) -> None:
    at = kept(larkhope)[0].at
    assert at is not None
    at.write_bytes(picture(shade=1))
    answer = larkhope.here().get(f"/photographs/{larkhope.photographs['Bramble']}")
    assert (answer.status_code, answer.json()["problems"][0]["code"]) == (422, "ST41")


def test_one_kept_before_they_were_written_anew_is_given_out_without_the_place(larkhope: Yard) -> None:
    """As the records of an earlier version hold it: the very bytes of the camera."""
    import hashlib

    from sqlalchemy import insert

    from reasoner.store import tables as t
    from reasoner.store.fresh import new_uid, now_utc

    data, uid = picture(shade=77), new_uid()
    sha = hashlib.sha256(data).hexdigest()
    (larkhope.served.store.place.files / sha).write_bytes(data)
    with larkhope.served.store.writing() as connection:
        connection.execute(insert(t.enclosed).values(
            uid=uid, version=larkhope.visits["Bramble"].version, kind="photo", name="old.jpg", sha256=sha, size=len(data),
            saved_at=now_utc()))  # fmt: skip
    shown = larkhope.here().get(f"/photographs/{uid}")
    assert shown.status_code == 200
    assert SECRET not in shown.content
