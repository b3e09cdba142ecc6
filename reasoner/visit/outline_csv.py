"""Tracings as a table: one row a point, and the same table written from outlines.

In: a CSV file with the columns of, plane, station, side, out_mm, down_mm. Out: outlines with what they were read from, or
`BadInput` with every bad row and its line.
Not here: what makes points a line (outline_shape.py), tracings inside a visit file (outlines.py).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from pathlib import Path

from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.quantities import plain
from reasoner.rulebook import strict_yaml
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.model import Outline, Side
from reasoner.visit.outline_shape import Dot, Of, Plane, Say, Traced, outline_of, station_key
from reasoner.visit.reader import MOST_PROBLEMS

register(
    {
        "MS20": "the columns of a table of tracings are not as expected",
        "MS21": "a row of a table of tracings cannot be read",
    }
)

COLUMNS = ("of", "plane", "station", "side", "out_mm", "down_mm")
NEEDED = ("side", "out_mm", "down_mm")
#: Other words for a column, and for what stands in it.
ALSO = {"behind_mm": "out_mm", "out": "out_mm", "down": "down_mm", "behind": "out_mm"}
OF: Mapping[str, Of] = {"back": "back", "horse": "back", "saddle": "saddle", "tree": "saddle", "panels": "saddle"}
PLANE: Mapping[str, Plane] = {"across": "across", "along": "along"}
SIDE: Mapping[str, Side] = {"left": "left", "l": "left", "right": "right", "r": "right"}
_NUMBER = r"-?[0-9]{1,6}(?:\.[0-9]{1,12})?"
Line = tuple[Of, Plane, str]


def outlines_in(
    path: Path, place_of: Mapping[str, str], *, of: Of = "back", noticed: list[Problem] | None = None
) -> tuple[tuple[Traced, Outline], ...]:
    """Every line of a table, with what it was read from; `of` stands in where that column is missing or empty.

    Raises BadInput as `outlines_of` does, and YM01-YM03 where the file cannot be read.
    """
    return outlines_of(strict_yaml.read_bytes(path), str(path), place_of, of=of, noticed=noticed)


def outlines_of(
    data: bytes, file: str, place_of: Mapping[str, str], *, of: Of = "back", noticed: list[Problem] | None = None
) -> tuple[tuple[Traced, Outline], ...]:
    """The same of the bytes of a table, called `file`.

    Rows of one line stand in its order; lines may be mixed. Warnings are added to `noticed`. Raises BadInput (YM01-YM03 where
    the file is no text, MS20, MS21, and the codes of `outline_of`).
    """
    problems: list[Problem] = []

    def say(line: int, code: str, sentence: str, hint: str = "") -> None:
        problems.append(Problem(file, line, code, sentence, hint))
        if len(problems) >= MOST_PROBLEMS:
            what = f"{MOST_PROBLEMS} problems were met; reading stopped here."
            raise BadInput([*problems, Problem(file, 0, "VF26", what)])

    text = strict_yaml.decode(data, file, noticed)
    every = tuple(_lines(text, of, place_of, say)) if text.strip() else ()
    found = [(traced, outline_of(traced, say)) for traced in every] if not problems else []
    if not every and not problems:
        say(1, "MS20", "the table holds no points.", f"Its first row names the columns: {', '.join(COLUMNS)}.")
    if problems:
        raise BadInput(problems)
    return tuple((traced, outline) for traced, outline in found if outline is not None)


def _lines(text: str, of: Of, place_of: Mapping[str, str], say: Say) -> Iterator[Traced]:
    """The rows gathered into lines."""
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=_between(text))
    at: dict[str, int] = {}
    dots: dict[Line, dict[Side, list[Dot]]] = {}
    names: dict[Line, tuple[str, int]] = {}
    try:
        for row in rows:
            if not any(cell.strip() for cell in row) or row[0].lstrip().startswith("#"):
                continue
            if not at:
                at = _columns(row, rows.line_num, say)
                if not at:
                    return
                continue
            cells = {name: row[place].strip() if place < len(row) else "" for name, place in at.items()}
            read = _row(cells, rows.line_num, of, place_of, say)
            if read is not None:
                key, side, dot = read
                names.setdefault(key, (cells.get("station") or "along", dot.line))
                dots.setdefault(key, {}).setdefault(side, []).append(dot)
    except csv.Error as fault:
        say(rows.line_num, "MS21", f"the row cannot be read: {fault}.", "")
    for key, by_side in dots.items():
        name, line = names[key]
        sides = {side: tuple(some) for side, some in by_side.items()}
        yield Traced(of=key[0], plane=key[1], station=key[2], name=name, sides=sides, line=line)


def outlines_csv(outlines: Iterable[Outline]) -> str:
    """Outlines as a table that reads back as the same outlines (points and names; lines of a file and notes are left out)."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for outline in outlines:
        for side, points in (("left", outline.left), ("right", outline.right)):
            for first, down in points:
                writer.writerow((outline.of, outline.plane, outline.station, side, plain(first), plain(down)))
    return out.getvalue()


def _between(text: str) -> str:
    """What stands between the columns: the mark that the first row holds, for programs that write semicolons."""
    first = next((row for row in text.splitlines() if row.strip() and not row.lstrip().startswith("#")), "")
    return max(",;\t", key=first.count)


def _columns(row: list[str], line: int, say: Say) -> dict[str, int]:
    """Where each column stands; empty where they are not as expected."""
    words = [canonical(cell.replace("(", " ").replace(")", "")) for cell in row]
    names = [ALSO.get(word, word) for word in words]
    if not set(names) & set(COLUMNS):
        first = ",".join(cell.strip() for cell in row)[:60]
        say(line, "MS20", f'the first row names the columns; "{first}" was read.', f"Write {', '.join(COLUMNS)}.")
        return {}
    at: dict[str, int] = {}
    good = True
    for place, (word, name) in enumerate(zip(words, names, strict=True)):
        if not word:
            continue
        if name not in COLUMNS:
            what = f'the column "{row[place].strip()[:40]}" is not known here; expected {", ".join(COLUMNS)}.'
            say(line, "MS20", what, near_hint(word, COLUMNS))
            good = False
        elif name in at:
            say(line, "MS20", f"the column {name} stands twice.", "Keep one of them.")
            good = False
        at[name] = place
    missing = [name for name in NEEDED if name not in at]
    if good and missing:
        say(line, "MS20", f"no column {' and '.join(missing)}; expected {', '.join(COLUMNS)}.", "")
    return at if good and not missing else {}


def _row(
    cells: Mapping[str, str], line: int, of: Of, place_of: Mapping[str, str], say: Say
) -> tuple[Line, Side, Dot] | None:
    """One point, or None with what is wrong told."""
    station = cells.get("station", "")
    of_cell, plane_cell = cells.get("of") or of, cells.get("plane") or ("across" if station else "along")
    traced, plane = OF.get(canonical(of_cell)), PLANE.get(canonical(plane_cell))
    side = SIDE.get(canonical(cells["side"]))
    if traced is None or plane is None or side is None:
        name, word, known = (
            ("of", of_cell, ["back", "saddle"]) if traced is None
            else ("plane", plane_cell, [*PLANE]) if plane is None
            else ("side", cells["side"], ["left", "right"])
        )  # fmt: skip
        read = f'"{word[:40]}" was read' if word else "nothing was read"
        say(line, "MS21", f"{name}: {' or '.join(known)} was expected, and {read}.", near_hint(word, known))
        return None
    if plane == "across" and not station:
        say(line, "MS21", "station: nothing was read.", "A line across needs its station, such as T13.")
        return None
    out = _number("out_mm", cells, line, say)
    down = _number("down_mm", cells, line, say) if out is not None else None
    if out is None or down is None:
        return None
    return (traced, plane, station_key(place_of, station) if plane == "across" else ""), side, Dot(out, down, line)


def _number(name: str, cells: Mapping[str, str], line: int, say: Say) -> Decimal | None:
    text = cells[name]
    if re.fullmatch(_NUMBER, text):
        return Decimal(text)
    comma = "Decimals are written with a dot: 3.5." if re.fullmatch(r"-?[0-9]+,[0-9]+", text) else ""
    unit = "Write the bare number of millimetres." if re.search(r"[a-z\"]", text) else ""
    read = f'"{text[:40]}" was read' if text else "nothing was read"
    say(line, "MS21", f"{name}: a number was expected, and {read}.", comma or unit)
    return None
