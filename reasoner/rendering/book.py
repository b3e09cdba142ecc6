"""The rulebook as a handbook: one self-contained HTML file to read, search and print.

In: a `Rulebook` with its conditions parsed. Out: the file as text: style, a little script and drawings inside, nothing
fetched. Not here: what stands in it (book_pages.py, book_words.py), writing the file, a clock.
"""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from reasoner.frozen import frozen
from reasoner.rendering import phrases
from reasoner.rendering.book_links import Links
from reasoner.rendering.book_measures import measures
from reasoner.rendering.book_pages import actions, calls, circumstances, conclusions
from reasoner.rendering.book_words import places, scales, signs, sources, words_of_the_hand
from reasoner.rendering.condition_words import by_side
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulecare.tally import COLUMNS, tally

#: Stands near the top of every handbook, so that an earlier one is known for what it is.
MARK = '<meta name="generator" content="handbook of the rules">'
TEMPLATES = Path(__file__).parent / "templates"


@frozen(kw_only=True)
class Beside:
    """Where a server keeps the style, the script and the icon of the handbook, and the way back from it."""

    style: str
    script: str
    icon: str
    back: str
    back_says: str


def style_of() -> str:
    """The handbook's style."""
    return (TEMPLATES / "book.css").read_text(encoding="utf-8")


def script_of() -> str:
    """The handbook's script: its search, and the opening of entries."""
    return (TEMPLATES / "book.js").read_text(encoding="utf-8")


def book_html(book: Rulebook, beside: Beside | None = None) -> str:
    """The handbook, whole in one file, or with style and script `beside` it on a server. The same rulebook gives the same text,
    to the letter."""
    links = Links(book)
    script = script_of()
    allowed = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    return _environment().get_template("book.html").render(
        mark=MARK,
        beside=beside,
        script=script,
        allowed=f"sha256-{allowed}",
        stamp=book.stamp,
        places=places(book, links),
        conclusions=conclusions(book, links),
        signs=signs(book, links),
        hand=words_of_the_hand(book),
        calls=calls(book, links),
        actions=actions(book, links),
        circumstances=circumstances(book, links),
        scales=scales(book),
        measures=measures(book, links),
        sources=sources(book, links),
        tally=tally(book),
        columns=COLUMNS,
        numbers={
            "conclusions": len(book.conclusions), "reasons to call": len(book.concerns), "actions": len(book.actions),
            "circumstances": len(book.circumstances), "places": len(book.vocabulary.places),
            "things to look at": len(book.vocabulary.observations), "sources": len(book.sources),
        },
    )  # fmt: skip


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    environment.filters["sentence"] = phrases.sentence
    environment.filters["listed"] = phrases.listed
    environment.filters["words"] = phrases.plain
    environment.filters["by_side"] = by_side
    environment.filters["heading"] = lambda text: phrases.clause(phrases.sentence(text))
    return environment
