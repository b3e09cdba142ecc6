"""A page of ours as a PDF, laid out by WeasyPrint: the same words and pictures, on paper of a given size.

In: a self-contained HTML page of ours, and the paper. Out: the bytes of one PDF, the same for the same page and fonts.
Not here: the page (report.py, progress_page.py), writing the file, a clock.
"""

from __future__ import annotations

import hashlib
import logging
from pathlib import Path
from typing import Any, Literal

from reasoner.problems import BadInput, Problem, register

register({"RE40": "what a PDF needs and is missing"})

Paper = Literal["A4", "Letter"]
#: Stands once in every PDF of ours, as the first half of its identifier, so that an earlier one is known for what it is.
PDF_MARK = b"/ID [(hands-on visit report "
_NAME = b"hands-on visit report "
_ONCE = b"%%EOF"
_STYLE = Path(__file__).parent / "templates" / "report_pdf.css"


def pdf_of(page: str, paper: Paper = "A4") -> bytes:
    """The PDF of a page.

    It carries no date, and its identifier is made from the page, so the same page gives the same bytes with the same fonts and
    the same release of the library. Headings, lists and tables are tagged for screen readers. Nothing is fetched.
    Raises BadInput (RE40) where the library or what it leans on is missing; RuntimeError where a picture could not be laid
    out, for a page that lacks one must not look whole.
    """
    library = _library()
    style = f"<style>{_STYLE.read_text(encoding='utf-8')}\n@page{{size:{paper}}}</style>"
    laid = page.replace("</head>", f"{style}</head>", 1)
    failures = _Failures()
    logger = logging.getLogger("weasyprint")
    before = logger.level, logger.propagate
    logger.addHandler(failures)
    logger.setLevel(logging.ERROR)  # warnings are of rules that only browsers know
    logger.propagate = False
    try:
        closed = library.urls.URLFetcher(allowed_protocols=("data",))  # photographs stand inside the page
        name = _NAME + hashlib.sha256(laid.encode()).hexdigest()[:32].encode()
        found = library.HTML(string=laid, url_fetcher=closed).write_pdf(pdf_identifier=name, pdf_tags=True)
    finally:
        logger.removeHandler(failures)
        logger.setLevel(before[0])
        logger.propagate = before[1]
    if failures.told:
        raise RuntimeError(f"not all of the page could be laid out: {'; '.join(failures.told)}")
    return bytes(found)


def is_ours(content: bytes) -> bool:
    """Whether this is a PDF that `pdf_of` made and nobody has written into since: remarks that a reader adds are appended
    behind a second end, and a program that writes it anew writes another identifier."""
    return content.startswith(b"%PDF-") and PDF_MARK in content and content.count(_ONCE) == 1


class _Failures(logging.Handler):
    """Keeps what the library could not lay out."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.told: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the words."""
        self.told.append(record.getMessage())


def _library() -> Any:
    """WeasyPrint; it finds the system's Pango while it is imported, and prints a page of its own where there is none."""
    import contextlib
    import io

    try:
        with contextlib.redirect_stdout(io.StringIO()):
            import weasyprint
            import weasyprint.urls
    except ImportError:
        raise BadInput([_missing("the library WeasyPrint", "`pip install weasyprint`")]) from None
    except OSError:
        raise BadInput([_missing("Pango, which sets the text of a page", _PANGO)]) from None
    return weasyprint


_PANGO = (
    "`apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0` on Debian and Ubuntu, "
    "`brew install pango` on macOS"
)


def _missing(what: str, how: str) -> Problem:
    return Problem("the PDF", 0, "RE40", f"{what} is missing on this computer.",
                   f"Install it ({how}), or write a page with the ending .html and print that.")  # fmt: skip
