"""The PDFs: every word of the page is on the paper, the draft mark on every sheet, and the same page gives the same bytes.

In: examples in readers' versions, a progress page; WeasyPrint, and poppler's pdftotext to read what was laid out.
Out: passes or fails; without pdftotext a skip, but in CI a failure. Not here: how it looks; that is looked at by eye.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import unicodedata
from collections import Counter
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest

from reasoner.rendering import pdf, phrases
from reasoner.rendering.pdf import Paper, is_ours, pdf_of
from reasoner.rendering.progress_page import progress_html
from reasoner.rendering.report import report_html
from reasoner.rendering.report_parts import parts_for
from tests.asking import shipped
from tests.records.horses import kept_course, progress, visit
from tests.rendering.answers import READERS, answer, hostile, report
from tests.rendering.paper import letters, pango
from tests.store.keeping import fresh

__all__ = ["letters", "pango"]
pytestmark = pytest.mark.usefixtures("pango")

#: Pictures of every kind, a long plan, many reasons to call, an emergency with next to nothing felt.
PAGES = (
    *(("larch", reader) for reader in READERS), ("thistle", "owner"), ("bramble", "owner"), ("bramble", "saddle-fitter"),
    ("rook", "vet"), ("rook", "farrier"), ("otter", "owner"),
)  # fmt: skip
SIZES = {"A4": (595, 842), "Letter": (612, 792)}
every_page = pytest.mark.parametrize(("name", "reader"), PAGES)


@cache
def made(name: str, reader: str, paper: Paper = "A4") -> bytes:
    """The PDF of an example."""
    return pdf_of(report(name, reader), paper)


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Reads a PDF by poppler."""
    if not shutil.which("pdftotext"):
        if os.environ.get("CI"):
            pytest.fail("CI must have pdftotext: .ci/run installs it")
        pytest.skip("no pdftotext on this machine: apt-get install poppler-utils")
    return Read(tmp_path)


class Read:
    """Poppler's reading of a PDF: the words of each sheet, and where they stand."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "read.pdf"

    def sheets(self, content: bytes) -> list[str]:
        """The words of each sheet, in the order they were drawn; what lies off the paper is not among them."""
        return self._asked(content, "-raw").split("\f")[:-1]

    def boxes(self, content: bytes) -> list[tuple[float, float, str]]:
        """Left and right edge of each word in points, and the word."""
        found = re.findall(
            r'<word xMin="([\d.-]+)" .*? xMax="([\d.-]+)" .*?>(.*?)</word>', self._asked(content, "-bbox")
        )
        return [(float(left), float(right), word) for left, right, word in found]

    def size(self, content: bytes) -> tuple[float, float]:
        """Width and height of the first sheet in points."""
        found = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', self._asked(content, "-bbox"))
        assert found
        return float(found[1]), float(found[2])

    def _asked(self, content: bytes, option: str) -> str:
        self.file.write_bytes(content)
        done = subprocess.run(["pdftotext", option, str(self.file), "-"], check=True, capture_output=True, timeout=60)
        return done.stdout.decode()


class Visible(HTMLParser):
    """The words that are seen on paper: none of the style, of what only a screen reader says, of what only a telephone shows."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self._silent: list[str] = []
        self.feed(page.partition("<body>")[2])
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("style", "title", "desc") or "small-screen" in (dict(attrs).get("class") or ""):
            self._silent.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self._silent and self._silent[-1] == tag:
            self._silent.pop()

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.words += data.split()


def plain(text: str) -> str:
    """One way of writing letters, and no spaces: lines are broken elsewhere on paper."""
    return "".join(unicodedata.normalize("NFKC", text).split())


def missing(page: str, sheets: list[str]) -> tuple[set[str], Counter[str]]:
    """The words of the page that stand nowhere on the paper, and the letters of which there are too few there."""
    words, there = Visible(page).words, plain(" ".join(sheets))
    assert len(words) > 80
    return {word for word in words if plain(word) not in there}, Counter(plain(" ".join(words))) - Counter(there)


@every_page
def test_no_word_of_the_page_is_missing(read: Read, name: str, reader: str) -> None:
    assert missing(report(name, reader), read.sheets(made(name, reader))) == (set(), Counter())


def test_a_missing_word_would_be_noticed(read: Read) -> None:
    page = report("otter", "owner")
    cut = pdf_of(page.replace("</head>", "<style>.card .big{display:none}</style></head>", 1))
    words, letters = missing(page, read.sheets(cut))
    assert words or letters


@every_page
def test_the_draft_mark_is_on_every_sheet(read: Read, name: str, reader: str) -> None:
    sheets = read.sheets(made(name, reader))
    assert sheets
    assert [sheet for sheet in sheets if "DRAFT – not approved" not in sheet] == []
    assert all(f"page {at} of {len(sheets)}" in sheet for at, sheet in enumerate(sheets, 1))


def test_what_is_approved_is_no_draft(read: Read) -> None:
    there = " ".join(read.sheets(pdf_of(report("otter", "owner", "Wren Aldous"))))
    assert "DRAFT" not in there
    assert "Approved by Wren Aldous" in there


@every_page
def test_referral_and_cautions_are_on_the_paper(read: Read, name: str, reader: str) -> None:
    there = plain(" ".join(read.sheets(made(name, reader))))
    parts = parts_for(answer(name), shipped().book.scales.readers[reader])
    cautions = parts["cautions"]
    assert len(cautions) > 2
    assert [line for line in cautions if plain(line) not in there] == []
    if reader == "vet":
        assert plain(phrases.VET_SENTENCE) in there
    concerns = [one for call in parts["calls"] for one in call.concerns]
    assert concerns or name == "larch"
    said = [phrases.sentence(one.plain if reader == "owner" else one.words) for one in concerns]
    assert [line for line in said if plain(line) not in there] == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nothing_stands_off_the_paper(read: Read, paper: Paper) -> None:
    content = made("larch", "owner", paper)
    assert read.size(content) == pytest.approx(SIZES[paper], abs=1)
    edge = 25.0  # points; the margin is 34
    boxes = read.boxes(content)
    assert [word for left, right, word in boxes if left < edge or right > SIZES[paper][0] - edge] == []
    left, right = ([box[0] for box in boxes if box[2] == side] for side in ("LEFT", "RIGHT"))
    assert max(left[0], 0) < SIZES[paper][0] / 2 < right[0], "the body map: left stands left, and neither is cut"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["thistle", "larch", "rook"])
@pytest.mark.usefixtures("letters")
def test_the_owners_page_is_two_sheets_at_most(read: Read, name: str, paper: Paper) -> None:
    assert 1 <= len(read.sheets(made(name, "owner", paper))) <= 2


def test_a_report_is_set_large_enough_to_read_on_paper() -> None:
    (size,) = re.findall(r"html\{font-size:([\d.]+)pt\}", report("thistle", "owner"))
    assert float(size) >= 9.5
    assert not re.search(r"\.for-owner[^}]*font-size", report("thistle", "owner"))


def test_the_progress_of_a_horse(read: Read, tmp_path: Path) -> None:
    texts = [visit(f"2026-0{month}-04", f"{{left: {left}, right: 1}}") for month, left in ((4, 6), (5, 4), (6, 1))]
    store = fresh(tmp_path)
    kept_course(store, texts, ["done"])
    page = progress_html(progress(store), shipped().book)
    assert missing(page, read.sheets(pdf_of(page))) == (set(), Counter())


def test_the_maps_are_on_the_sheet_of_their_heading(read: Read, tmp_path: Path) -> None:
    texts = [visit(f"2026-0{month}-04", f"{{left: {left}, right: 1}}") for month, left in ((4, 6), (6, 1))]
    store = fresh(tmp_path)
    kept_course(store, texts, ["done"])
    page = progress_html(progress(store), shipped().book)
    part = page[page.index("<h2>Before and after</h2>") : page.index("</main>")]
    # The same part many times over, each a little further down its sheet than the one before.
    many = page.replace("</main>", "".join("<p>one line</p>" * (3 * n) + part for n in range(1, 11)) + "</main>")
    sheets = [words for words in read.sheets(pdf_of(many)) if "Before and after" in words]
    assert sum(words.count("Before and after") for words in sheets) == 11
    assert all("LEFT (near)" in words for words in sheets)


def test_words_that_would_be_markup_stay_words(read: Read) -> None:
    page = report_html(hostile(), "vet")
    assert "alert('x')" in "".join(read.sheets(pdf_of(page)))


def test_the_same_page_gives_the_same_bytes_whatever_the_day() -> None:
    """Another process, with other hashes and another clock, writes what this one wrote."""
    here = made("otter", "owner")
    script = (
        "import sys; from reasoner.rendering.pdf import pdf_of\n"
        "sys.stdout.buffer.write(pdf_of(sys.stdin.buffer.read().decode()))"
    )
    there = subprocess.run(
        [sys.executable, "-c", script], input=report("otter", "owner").encode(), capture_output=True, check=True, timeout=60,
        env=os.environ | {"PYTHONHASHSEED": "5", "SOURCE_DATE_EPOCH": "1"},
    ).stdout  # fmt: skip
    assert there == here
    assert b"/CreationDate" not in here
    assert pdf_of(report("otter", "owner", "Wren Aldous")) != here


def test_ours_is_known_by_its_identifier_until_somebody_writes_into_it() -> None:
    ours = made("otter", "owner")
    assert is_ours(ours)
    assert not is_ours(ours + b"1 0 obj\n<</Type/Annot>>\nendobj\nstartxref\n0\n%%EOF\n")
    assert not is_ours(ours.replace(pdf.PDF_MARK, b"/ID [(another            "))
    assert not is_ours(b"hands-on visit report")


def test_a_picture_that_cannot_be_laid_out_is_never_left_out_in_silence() -> None:
    broken = '<main><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><g transform="rotate(a)"/></svg>'
    page = report("otter", "owner").replace("<main>", broken, 1)
    with pytest.raises(RuntimeError, match="laid out"):
        pdf_of(page)


def test_nothing_is_fetched(tmp_path: Path) -> None:
    (tmp_path / "x.css").write_text("body{display:none}")
    page = report("otter", "owner")
    link = f'<link rel="stylesheet" href="{(tmp_path / "x.css").as_uri()}"></head>'
    with pytest.raises(RuntimeError):
        pdf_of(page.replace("</head>", link, 1))
