"""Lines as they are made for the terminal, as rows of a page.

In: lines. Out: rows with the classes of desk.css, gathered under their headings.
Not here: what they say, HTML.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from reasoner.frozen import frozen
from reasoner.rendering import phrases
from reasoner.rendering.book_links import anchor
from reasoner.rendering.text_page import Line

_KINDS = {
    "concerns": ("concern", "reasons to call the veterinarian"), "actions": ("action", "steps of a plan"),
    "causes": ("conclusion", "causes"), "patterns": ("conclusion", "patterns"), "traits": ("conclusion", "traits"),
    "mechanisms": ("conclusion", "ways one thing leads to another"), "circumstances": ("circumstance", "circumstances"),
}  # fmt: skip
_RULE = re.compile(rf"(?P<path>(?:.*/)?(?P<folder>{'|'.join(_KINDS)})/(?P<stem>\w+)\.yaml)(?::(?P<line>\d+))?")
#: A command beside the way at the desk: whoever reads a page has no window to type it in.
_COMMAND = re.compile(r"`reasoner [^`]*`(?:; |, or )")
_TYPED = re.compile(r"`reasoner |(?<![\w-])--[a-z]")
_SENTENCES = re.compile(r"(?<=[.!?]) +")
#: The lines of the visit itself, as its file is called here (looking.file_of): on its own page only the lines are said.
_LINES = re.compile(r"[^:;]+, \d+ [A-Z][a-z]+ \d{4}(?: \(\d+\))?:(?P<lines>\d+(?:, \d+)*)")


@frozen(kw_only=True)
class RuleAt:
    """A page of the rules: what it is called, among which others it stands, its entry in the handbook, its file and line."""

    name: str
    among: str
    entry: str
    file: str


@frozen(kw_only=True)
class Row:
    """One line: its classes, the mark in front, the text, the reference behind, words with the entry of the handbook they lead
    to, and the page of the rules it comes from."""

    look: str
    mark: str
    text: str
    tail: str
    rule: RuleAt | None = None
    links: tuple[tuple[str, str], ...] = ()


@frozen(kw_only=True)
class Part:
    """Rows under a heading; the first part of a page may have none."""

    title: str
    rows: tuple[Row, ...]


def parts_of(lines: Iterable[Line], names: Iterable[str] = (), *, unsaid: str = "") -> list[Part]:
    """The lines gathered under their headings; empty lines are left to the layout. `names` keep their capitals in headings; a
    reference that reads `unsaid` is left out: where the records lie is nobody's business who reads a page."""
    called = tuple(names)
    found: list[tuple[str, list[Row]]] = [("", [])]
    for line in lines:
        if line.role == "heading":
            found.append((_title(line.text, called), []))
        elif line.text or line.mark:
            found[-1][1].append(_row(replace(line, tail="") if unsaid and line.tail == unsaid else line))
    return [Part(title=title, rows=tuple(rows)) for title, rows in found if rows]


def hint_here(hint: str) -> str:
    """What mends something, without the sentences that name a command or its options: a page has neither."""
    return " ".join(said for said in _SENTENCES.split(hint) if not _TYPED.search(said))


def rows_of(lines: Iterable[Line]) -> list[Row]:
    """The lines, headings and all, as rows of one part."""
    return [_row(line) for line in lines if line.text or line.mark]


def _row(line: Line) -> Row:
    rule = _rule_at(line.tail)
    tail = "" if rule else _LINES.sub(_lines, line.tail)
    return Row(look=f"{line.role} in-{min(line.indent // 2, 8)}", mark=line.mark, text=_said(line.text),
               tail=phrases.days_in_words(tail), rule=rule, links=line.links)  # fmt: skip


def _said(text: str) -> str:
    """A line's words: days as they are said, no command where the desk has its own way, and an arrow of one piece, which no
    narrow screen breaks in two."""
    return phrases.days_in_words(_COMMAND.sub("", text)).replace(" -> ", " \N{RIGHTWARDS ARROW} ")


def _rule_at(tail: str) -> RuleAt | None:
    """The page of the rules that a reference names; a file's path says nothing to somebody who reads of a horse."""
    found = _RULE.fullmatch(tail)
    if found is None:
        return None
    kind, among = _KINDS[found["folder"]]
    line = f", line {found['line']}" if found["line"] else ""
    return RuleAt(name=found["stem"].replace("_", " "), among=among, entry=anchor(kind, found["stem"]),
                  file=f"{found['path']}{line}")  # fmt: skip


def _lines(found: re.Match[str]) -> str:
    return f"line{'s' if ',' in found['lines'] else ''} {found['lines']}"


def _title(text: str, names: Iterable[str]) -> str:
    """A heading of the terminal as one of the page: a capital in front, and those of the months and of names."""
    text = text.capitalize()
    for name in (*phrases.MONTHS, *names):
        text = re.sub(rf"\b{re.escape(name)}\b", lambda _, name=name: name, text, flags=re.IGNORECASE)  # type: ignore[misc]
    return text
