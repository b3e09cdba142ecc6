"""What is wrong with a file that does not read, in the words of the person who wrote it.

In: the text, and the line and words of the YAML reader. Out: the line that is at fault, what stands there, and the repair.
Not here: reading YAML; this is only asked once that has failed.
"""

from __future__ import annotations

import re

_BARE = re.compile(r"^\s*[^\s#\-\[{\"'][^:#\[\]{},]*$")
_OPENS, _CLOSES = "{[", "}]"
_SIDE_RUN = re.compile(r"\b[\w ]+: *[^,{}\[\]:\"']+ \w+:")


def told(text: str, line: int, said: str) -> tuple[int, str, str]:
    """(line, sentence, hint) for a fault the reader met at `line` (from 1) and named `said`."""
    rows = text.splitlines()
    if not 1 <= line <= len(rows):
        line = max(1, min(line, len(rows)))
    for found in (_unclosed_quote(rows), _odd_quotes(rows, line), _run_together(rows, line), _brackets(rows, line),
                  _stuck(rows, line), _no_colon(rows, line), _indent(rows, line)):  # fmt: skip
        if found is not None:
            return found
    return line, f"this does not read as YAML at {_shown(rows, line)}: {said}.", _USUAL


_USUAL = "Often a missing colon, blank after a colon, comma or closing bracket."


def _shown(rows: list[str], line: int) -> str:
    row = " ".join(rows[line - 1].split()) if rows else ""
    return f'"{row[:60]}{"..." if len(row) > 60 else ""}"'


def _unclosed_quote(rows: list[str]) -> tuple[int, str, str] | None:
    for number, row in enumerate(rows, 1):
        if _before_remark(row).count('"') % 2 and sum(r.count('"') for r in rows) % 2:
            return number, f'{_shown(rows, number)}: a quotation mark (") is opened and not closed.', "Close it."
    return None


def _odd_quotes(rows: list[str], line: int) -> tuple[int, str, str] | None:
    row = rows[line - 1] if rows else ""
    if re.search(r":\s*'[^']*'[^\s,}\]#]", row):
        hint = 'Leave the outer marks out, or use double ones: "it\'s fine".'
        return line, f"{_shown(rows, line)}: an apostrophe ends the text that began with one.", hint
    return None


def _run_together(rows: list[str], line: int) -> tuple[int, str, str] | None:
    row = _before_remark(rows[line - 1]) if rows else ""
    inner = re.search(r"\{[^{}]*\}", row)
    if inner and _SIDE_RUN.search(inner[0]):
        return line, f"{_shown(rows, line)}: a comma is missing between two entries.", "{left: 4, right: 3}"
    if not inner and "{" not in row and len(re.findall(r":(?=\s)", row)) > 1:
        hint = "Write them in curly brackets, with commas: loin: {left: 4, right: 3}"
        return line, f"{_shown(rows, line)}: several entries stand on one line without brackets.", hint
    return None


def _stuck(rows: list[str], line: int) -> tuple[int, str, str] | None:
    for number, row in enumerate(rows[:line], 1):
        if re.match(r"^\s*[\w ]+:[\w{\[]", _before_remark(row)):
            return number, f"{_shown(rows, number)}: a blank is missing after the colon.", "loin: {left: 4}"
    return None


def _brackets(rows: list[str], line: int) -> tuple[int, str, str] | None:
    """The last bracket that is opened at or before the line and never closed."""
    open_at: list[tuple[int, str]] = []
    for number, row in enumerate(rows[:line], 1):
        for letter in re.sub(r"\"[^\"]*\"", "", _before_remark(row)):
            if letter in _OPENS:
                open_at.append((number, letter))
            elif letter in _CLOSES and open_at and _OPENS.index(open_at[-1][1]) == _CLOSES.index(letter):
                open_at.pop()
            elif letter in _CLOSES:
                return number, f'{_shown(rows, number)}: a bracket "{letter}" is closed that was not opened.', ""
    if not open_at:
        return None
    number, letter = open_at[0]
    closing = _CLOSES[_OPENS.index(letter)]
    return number, f'{_shown(rows, number)}: the bracket "{letter}" is opened and not closed.', f'Add a "{closing}".'


def _no_colon(rows: list[str], line: int) -> tuple[int, str, str] | None:
    """The nearest line at or before the fault that holds a word and no colon."""
    for number in range(line, max(0, line - 4), -1):
        row = _before_remark(rows[number - 1]) if rows else ""
        if row.strip() and _BARE.match(row):
            hint = "Write the name, a colon, a blank and the value: loin: {left: 4, right: 3}"
            return number, f"{_shown(rows, number)}: a colon is missing.", hint
    return None


def _indent(rows: list[str], line: int) -> tuple[int, str, str] | None:
    here, before = rows[line - 1] if rows else "", next((r for r in reversed(rows[: line - 1]) if r.strip()), "")
    deep, above = (len(r) - len(r.lstrip()) for r in (here, before))
    if here.strip() and before.strip() and deep != above:
        hint = f"Begin it under the line before it, after {above} blank{'s' if above != 1 else ''}."
        return line, f"{_shown(rows, line)}: it begins after {deep} blanks and the line before it after {above}.", hint
    return None


def _before_remark(row: str) -> str:
    return re.sub(r"(^|\s)#.*$", "", row)
