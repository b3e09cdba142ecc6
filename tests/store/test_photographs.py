"""Photographs: nothing but the picture is kept, and what is no picture is refused in words.

In: pictures made here, with a place in them; bytes that are none. Out: what is kept, what is refused.
Not here: the page that takes them, reports.
"""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from reasoner.problems import BadInput
from reasoner.store import enclosing, photographs
from reasoner.store.enclosed_bytes import bytes_of
from reasoner.store.enclosing import Enclosed, enclose, enclose_photograph, enclosed_with, photograph_of
from reasoner.store.opening import Store
from reasoner.store.photographs import FROM_THIS_MACHINE, cleaned
from reasoner.store.reading import KnownVisit, visits
from reasoner.store.saving import correct, save
from reasoner.store.sealing import broken
from tests.store.keeping import EXAMPLES, example, kept_of
from tests.store.pictures import SECRET, bomb, picture


@pytest.fixture
def visit(store: Store) -> KnownVisit:
    """Bramble's visit, kept."""
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        return visits(connection)[0]


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "GIF", "BMP"])
def test_nothing_but_the_picture_is_left(kind: str) -> None:
    given_ = picture(kind)
    if kind in ("JPEG", "PNG", "WEBP", "TIFF"):
        assert b"camera" in given_, "the test's own picture says whose camera it was"
    if kind in ("JPEG", "PNG", "WEBP"):
        assert opened(given_).getexif().get_ifd(0x8825), "and where it was taken"
    kept = cleaned(given_, "x", FROM_THIS_MACHINE)
    image = opened(kept.data)
    assert (image.format, image.size) == ("JPEG", (40, 24))
    assert not dict(image.getexif())
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert SECRET not in kept.data
    assert b"camera" not in kept.data


def test_it_stands_upright_as_the_camera_was_held() -> None:
    kept = opened(cleaned(picture(turned=6), "x").data)  # 6: the right-hand edge is the top
    assert kept.size == (24, 40)
    brightness = [sum(kept.convert("L").crop((0, top, 24, top + 15)).tobytes()) for top in (0, 25)]
    assert brightness[0] < brightness[1], "what was left is now above"


def test_a_large_one_is_kept_smaller_and_the_same_bytes_come_out_again() -> None:
    large = picture(size=(4000, 1000))
    kept = cleaned(large, "x")
    assert (kept.width, kept.height) == (3000, 750)
    assert cleaned(large, "x") == kept


def test_a_transparent_one_lies_on_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(out, "PNG")
    assert opened(cleaned(out.getvalue(), "x").data).getpixel((4, 4)) == (255, 255, 255)


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "PG01"),
        (b"\xff\xd8\xff\xe0 no picture", "PG01"),
        (SVG, "PG01"),
        (b"<html><script>alert(1)</script></html>", "PG01"),
        (b"%PDF-1.7", "PG01"),
        (picture()[:400], "PG01"),
        (picture("TIFF"), "PG01"),
        (picture("GIF"), "PG01"),
        (bomb(), "PG02"),
        (bomb(9_000, 8_000), "PG02"),
        (bomb(11_000, 9_000), "PG02"),
        (bomb(200, 100), "PG01"),
    ],
)
def test_what_a_telephone_may_not_send(data: bytes, code: str) -> None:
    with pytest.raises(BadInput) as bad:
        cleaned(data, "saddle.jpg")
    assert [p.code for p in bad.value.problems] == [code]


def test_too_many_bytes_are_not_even_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photographs, "MOST_BYTES", 500)
    with pytest.raises(BadInput, match="PG02"):
        cleaned(picture(), "saddle.jpg")


@settings(max_examples=150, derandomize=True, deadline=None)
@given(st.data())
def test_a_damaged_picture_is_refused_or_kept_and_never_a_fault_of_the_program(data: st.DataObject) -> None:
    whole = bytearray(picture(data.draw(st.sampled_from(["JPEG", "PNG", "WEBP"]))))
    for _ in range(data.draw(st.integers(1, 12))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    try:
        kept = cleaned(bytes(whole), "x")
    except BadInput as bad:
        assert {p.code for p in bad.problems} <= {"PG01", "PG02"}  # noqa: PT017
    else:
        assert opened(kept.data).format == "JPEG"
        assert SECRET not in kept.data


def test_the_command_line_strips_the_place_too(store: Store, visit: KnownVisit, tmp_path: Path) -> None:
    (tmp_path / "saddle.png").write_bytes(picture("PNG"))
    (one,) = enclose(
        store, visit, [tmp_path / "saddle.png"], shows="Saddle from  behind", caption="as it\nstood", by="Wren"
    )
    assert (one.name, one.shows, one.caption) == ("saddle.jpg", "saddle from behind", "as it stood")
    with store.reading() as connection:
        data = bytes_of(connection, store.place, one.sha256)
        assert not dict(opened(data).getexif())
        assert SECRET not in data
        assert photograph_of(connection, store.place, one.uid) == (enclosed_with(connection, store.place, visit.uid)[0],
                                                                   visit.uid)  # fmt: skip
        assert photograph_of(connection, store.place, "0" * 32) is None


def test_a_later_release_of_the_library_may_write_other_bytes_and_it_is_still_the_same_photograph(
    store: Store, visit: KnownVisit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "left.jpg").write_bytes(picture())
    (first,) = enclose(store, visit, [tmp_path / "left.jpg"])
    monkeypatch.setattr(photographs, "_QUALITY", 70)
    (again,) = enclose(store, visit, [tmp_path / "left.jpg"])
    assert (again.new, again.sha256) == (False, first.sha256)


@pytest.mark.parametrize("by_telephone", [False, True])
def test_a_caption_is_mended_by_a_further_row_and_what_was_kept_stays(
    store: Store, visit: KnownVisit, tmp_path: Path, by_telephone: bool
) -> None:
    (tmp_path / "left.jpg").write_bytes(picture())

    def said(**told: Any) -> Enclosed:
        if by_telephone:
            return send(store, visit, "left.jpg", picture(), **told)
        return enclose(store, visit, [tmp_path / "left.jpg"], **told)[0]

    def held() -> list[tuple[str, str, str, bool]]:
        with store.reading() as connection:
            every = enclosed_with(connection, store.place, visit.uid)
            assert not [*broken(connection, {})], "every row has its seal"
        return sorted((one.name, one.shows, one.caption, one.stands) for one in every)

    first = said(shows="saddle from behind", caption="the left")
    assert not said().new, "nothing else is said of it"
    assert not said(caption="the left").new
    mended = said(caption="the right")
    assert (mended.new, mended.sha256, mended.shows) == (True, first.sha256, "saddle from behind")
    before = ("left.jpg", "saddle from behind", "the left", False)
    assert held() == [("left-2.jpg", "saddle from behind", "the right", True), before]
    assert not said(caption="the right").new
    assert said(shows="left out of reports").caption == "the right"
    assert said(caption="").caption == ""
    assert said(shows="other", caption="the left").new, "and back again"
    assert [one for one in held() if one[3]] == [("left-5.jpg", "other", "the left", True)]


def test_the_copy_that_the_records_keep_is_known_as_the_same_photograph(
    store: Store, visit: KnownVisit, tmp_path: Path
) -> None:
    first = send(store, visit, "left.jpg", picture(), caption="the left")
    with store.reading() as connection:
        data = bytes_of(connection, store.place, first.sha256)
    assert data != picture()
    (tmp_path / "left.jpg").write_bytes(data)
    (mended,) = enclose(store, visit, [tmp_path / "left.jpg"], caption="the right")
    assert (mended.new, mended.sha256, mended.original) == (True, first.sha256, first.original)
    with store.reading() as connection:
        every = enclosed_with(connection, store.place, visit.uid)
    assert [one.caption for one in every if one.stands] == ["the right"]


@pytest.mark.parametrize("name", ["left.jpg", "another.jpg"])
def test_enclosed_again_after_the_visit_was_corrected_it_keeps_its_words(
    store: Store, visit: KnownVisit, tmp_path: Path, name: str
) -> None:
    (tmp_path / "left.jpg").write_bytes(picture())
    (tmp_path / name).write_bytes(picture())
    enclose(store, visit, [tmp_path / "left.jpg"], shows="saddle from behind", caption="the left")
    text = (EXAMPLES / "bramble.yaml").read_text() + "\n# read again\n"
    correct(store, visit.uid, kept_of(text), by="Wren Aldous", why="a note was left out")
    with store.reading() as connection:
        (newest,) = visits(connection)
    assert newest.number == 2
    (again,) = enclose(store, newest, [tmp_path / name])
    assert (again.new, again.number, again.caption) == (False, 1, "the left")
    with store.reading() as connection:
        (one,) = enclosed_with(connection, store.place, visit.uid)
    assert (one.shows, one.caption, one.stands) == ("saddle from behind", "the left", True)


def test_other_words_take_no_place_of_another_photograph(
    store: Store, visit: KnownVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(enclosing, "MOST_PHOTOGRAPHS", 2)
    send(store, visit, "image.jpg", picture(shade=10))
    for caption in ("one", "two", "three"):
        assert send(store, visit, "image.jpg", picture(shade=10), caption=caption).new
    assert send(store, visit, "image.jpg", picture(shade=90)).new
    with pytest.raises(BadInput, match="PG04"):
        send(store, visit, "image.jpg", picture(shade=200))


def send(store: Store, visit: KnownVisit, name: str, data: bytes, **told: Any) -> Enclosed:
    return enclose_photograph(store, visit, name, data, by="Wren Aldous", **told)


def test_telephones_call_every_photograph_the_same(store: Store, visit: KnownVisit) -> None:
    names = [send(store, visit, "image.jpg", picture(shade=shade)).name for shade in (10, 90, 200)]
    assert names == ["image.jpg", "image-2.jpg", "image-3.jpg"]
    twice = send(store, visit, "other.jpg", picture(shade=90))
    assert (twice.new, twice.name) == (False, "image-2.jpg")


@pytest.mark.parametrize(
    "name",
    ["../../../etc/passwd", "/etc/cron.d/x", "..\\..\\x.jpg", "a\x00b.jpg", "..", "", ".", "CON", "x" * 900,
     "\r\nSet-Cookie: x", "<img src=x>",
     "\u202egpj.exe"],
)  # fmt: skip
def test_no_name_leads_out_of_the_folder(store: Store, visit: KnownVisit, tmp_path: Path, name: str) -> None:
    before = {f for f in tmp_path.rglob("*") if f.is_file()}
    one = send(store, visit, name, picture())
    new = {f for f in tmp_path.rglob("*") if f.is_file() and "practice.db" not in f.name} - before
    assert one.at is None or one.at.parent == store.place.files
    assert new <= {one.at}
    assert one.name.endswith(".jpg")
    assert len(one.name) < 80
    assert one.name.isprintable()
    assert not {*one.name} & set('/\\<>:"|?*')


def test_a_visit_holds_so_many_photographs_and_no_more(
    store: Store, visit: KnownVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(enclosing, "MOST_PHOTOGRAPHS", 2)
    for shade in (10, 90):
        send(store, visit, "image.jpg", picture(shade=shade))
    with pytest.raises(BadInput, match="PG04"):
        send(store, visit, "image.jpg", picture(shade=200))


@pytest.mark.parametrize(("told", "code"), [({"shows": "saddle from behnd"}, 'PG03.*Near: "saddle from behind"'),
                                            ({"caption": "x" * 201}, "PG05")])  # fmt: skip
def test_what_is_told_of_a_photograph(store: Store, visit: KnownVisit, told: dict[str, str], code: str) -> None:
    with pytest.raises(BadInput, match=code):
        send(store, visit, "x.jpg", picture(), **told)
    assert not store.place.files.exists() or not list(store.place.files.iterdir())
