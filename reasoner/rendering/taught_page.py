"""A page of the teaching commands as one self-contained HTML file, for a screen and for paper: the words and the pictures.

In: the lines of the terminal's page and whole SVGs. Out: the file as text; no script, nothing fetched.
Not here: the words, the pictures, writing the file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from reasoner.rendering import phrases
from reasoner.rendering.report import MARK, environment
from reasoner.rendering.text_page import Line


def taught_html(lines: Iterable[Line], pictures: Sequence[str], meta: str) -> str:
    """The page. Its title is the first line of role title; the pictures stand after what comes before the first heading."""
    title, parts = "", [("", list[Line]())]
    for line in lines:
        if line.role == "title" and not title:
            title = line.text
        elif line.role == "heading":
            parts.append((_heading(line.text), []))
        elif line.text:
            parts[-1][1].append(line)
    return environment().get_template("taught.html").render(
        mark=MARK, title=title, meta=meta, parts=parts, pictures=[Markup(svg) for svg in pictures if svg]
    )  # fmt: skip


def _heading(text: str) -> str:
    """A heading of the terminal as one of the page: a capital in front, and those of the months."""
    text = text.capitalize()
    for month in phrases.MONTHS:
        text = text.replace(month.lower(), month)
    return text
