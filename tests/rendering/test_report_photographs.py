"""Photographs in reports: who is shown them, with which words, on the screen and on paper.

In: a kept visit with photographs. Out: what stands in its reports.
Not here: how photographs are taken in.
"""

from __future__ import annotations

import base64
import io
import re
import zlib
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from reasoner.cli import cli
from reasoner.problems import BadInput
from reasoner.rendering import photographs
from reasoner.rendering.pdf import pdf_of
from reasoner.rendering.report import report_html
from reasoner.store.enclosing import Enclosed, enclose_photograph, enclosed_with
from reasoner.store.photographs import LEFT_OUT, SHOWS
from reasoner.store.reading import visits
from reasoner.store.saving import save
from tests.asking import shipped
from tests.rendering.answers import READERS, ROOT, answer
from tests.rendering.paper import pango
from tests.store.keeping import example, fresh
from tests.store.pictures import SECRET, picture

__all__ = ["pango"]


@pytest.fixture
def enclosed(tmp_path: Path) -> tuple[Enclosed, ...]:
    """Bramble's visit with one photograph of each kind, and a table."""
    store = fresh(tmp_path)
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        (visit,) = visits(connection)
    for number, shows in enumerate(SHOWS):
        enclose_photograph(store, visit, "x.jpg", picture(size=(1600, 900), shade=40 + 60 * number), shows=shows,
                           caption=f"caption {number}")  # fmt: skip
    with store.reading() as connection:
        found = enclosed_with(connection, store.place, visit.uid)
    store.close()
    return found


def captions(page: str) -> list[str]:
    return re.findall(r"<figcaption>(.+?)</figcaption>", page)


DAY = "18 April 2026"


@pytest.mark.parametrize(
    ("reader", "order"),
    [("owner", [0, 1, 2]), ("vet", [1, 0, 2]), ("saddle-fitter", [0, 1, 2]), ("farrier", [])],
)
def test_each_reader_is_shown_what_concerns_them(enclosed: tuple[Enclosed, ...], reader: str, order: list[int]) -> None:
    page = report_html(answer("bramble"), reader, enclosed=enclosed)
    said = [f"Saddle from behind: caption 0, {DAY}", f"Back from above: caption 1, {DAY}", f"caption 2, {DAY}"]
    assert captions(page) == [said[at] for at in order]
    assert page.count("data:image/jpeg;base64,") == len(order)
    assert ("img-src data:" in page) is bool(order), "the policy of the page lets pictures in where there are some"


def test_what_is_said_last_of_a_photograph_stands_and_one_left_out_is_in_no_report(tmp_path: Path) -> None:
    store = fresh(tmp_path)
    save(store, example("bramble"), by="Wren Aldous")
    with store.reading() as connection:
        (visit,) = visits(connection)
    for shade, told in ((40, {"caption": "old"}), (90, {"caption": "wrong"}), (40, {"caption": "new"}),
                        (90, {"shows": LEFT_OUT})):  # fmt: skip
        enclose_photograph(store, visit, "x.jpg", picture(shade=shade), **told)
    with store.reading() as connection:
        every = enclosed_with(connection, store.place, visit.uid)
    store.close()
    assert len(every) == 4
    for reader in ("owner", "vet", "saddle-fitter", "farrier"):
        page = report_html(answer("bramble"), reader, enclosed=every)
        assert captions(page) == ([] if reader == "farrier" else [f"new, {DAY}"])
        assert "wrong" not in "".join(captions(page))


def test_they_are_no_larger_than_a_page_needs_and_carry_nothing_else(enclosed: tuple[Enclosed, ...]) -> None:
    page = report_html(answer("bramble"), "owner", enclosed=enclosed)
    for data in re.findall(r"data:image/jpeg;base64,([^\"]+)", page):
        image = Image.open(io.BytesIO(base64.b64decode(data)))
        assert image.size == (1200, 675)
        assert not dict(image.getexif())
        assert SECRET not in base64.b64decode(data)


def test_a_report_without_photographs_is_the_report_it_was(enclosed: tuple[Enclosed, ...]) -> None:
    for reader in READERS:
        assert report_html(answer("bramble"), reader, enclosed=()) == report_html(answer("bramble"), reader)


def test_of_many_some_are_shown_and_the_rest_is_counted(
    enclosed: tuple[Enclosed, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photographs, "MOST_SHOWN", 2)
    page = report_html(answer("bramble"), "owner", enclosed=enclosed)
    assert len(captions(page)) == 2
    assert "1 more is kept with the visit." in page


def test_one_that_is_missing_is_not_left_out_in_silence(enclosed: tuple[Enclosed, ...]) -> None:
    at = enclosed[0].at
    assert at is not None
    at.unlink()
    with pytest.raises(BadInput, match="ST41"):
        report_html(answer("bramble"), "owner", enclosed=enclosed)
    assert report_html(answer("bramble"), "farrier", enclosed=enclosed), "whom it does not concern is not kept waiting"


def test_the_rules_name_what_photographs_can_show() -> None:
    for reader in shipped().book.scales.readers.values():
        assert {*reader.photographs} <= {*SHOWS}


@pytest.mark.usefixtures("pango")
def test_they_are_on_the_paper(enclosed: tuple[Enclosed, ...]) -> None:
    page = report_html(answer("bramble"), "owner", enclosed=enclosed)
    paper = pdf_of(page)
    plain = pdf_of(report_html(answer("bramble"), "owner"))
    assert paper.count(b"/Subtype /Image") - plain.count(b"/Subtype /Image") == len(SHOWS)
    assert paper.count(b"/DCTDecode") >= len(SHOWS), "as the JPEGs they are"
    assert SECRET not in paper
    assert pdf_of(page) == paper


def test_the_command_finds_them_in_the_records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    visit = str(ROOT / "examples" / "bramble.yaml")
    (tmp_path / "saddle.jpg").write_bytes(picture())
    for words in (
        ["records", "save", visit, "--store", "practice.db"],
        ["records", "enclose", "Bramble", "saddle.jpg", "--shows", "saddle from behind", "--caption", "as it stood", "--store",
         "practice.db"],
        ["report", visit, "-o", "owner.html", "--store", "practice.db"],
        ["report", visit, "-o", "alone.html"],
    ):  # fmt: skip
        monkeypatch.delenv("REASONER_STORE", raising=False)
        monkeypatch.setattr("reasoner.store.place._own_folder", lambda: tmp_path / "own")
        done = CliRunner().invoke(cli, words)
        assert done.exit_code == 0, done.output
    assert captions((tmp_path / "owner.html").read_text()) == [f"Saddle from behind: as it stood, {DAY}"]
    assert captions((tmp_path / "alone.html").read_text()) == []
    assert zlib.crc32((tmp_path / "saddle.jpg").read_bytes()) == zlib.crc32(picture()), "the original stays as it was"
