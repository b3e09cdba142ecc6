"""Tracings in a visit file: stations over the back, under the saddle, or along it, as points or as a table beside it.

In: what stands under `back tracings` or `saddle tracings`. Out: `Outline` records, in millimetres.
Not here: what makes points a line (outline_shape.py), a table of points (outline_csv.py), widths and angles (measures/).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path

from reasoner.problems import BadInput, near_hint
from reasoner.quantities import NotAQuantity, dimension_of, unit_size
from reasoner.rulebook import strict_yaml
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.model import Outline, Side
from reasoner.visit.outline_csv import outlines_of
from reasoner.visit.outline_shape import Dot, Of, Plane, Traced, outline_of, station_key
from reasoner.visit.reader import Reader, fields, plain, quote, sides_of

HEADINGS: Mapping[str, Of] = {"back_tracings": "back", "saddle_tracings": "saddle"}
#: What may stand under the heading beside stations.
FIELDS = fields(units="unit", file="table csv", along="along_the_back along_the_saddle along_the_panels lengthwise")
NOTE = fields(note="notes")
_NUMBER = r"-?[0-9]{1,6}(?:\.[0-9]{1,6})?"
_PAIR = rf"({_NUMBER})\s*/\s*({_NUMBER})"
_BLANK_PAIR = rf"({_NUMBER})\s+({_NUMBER})"
_HOW = "Write out/down from point to point: 0/0 30/4 60/15."


def read_outlines(reader: Reader, heading: str, node: Node) -> tuple[Outline, ...]:
    """Every line traced under one heading, in the order written; of a table, in the order of its rows."""
    if node.text == "":
        return ()
    name = plain(heading)
    if not isinstance(node.value, dict):
        read = quote(node.text) if node.text is not None else "a list"
        expected = "a station on each line, such as T13: {left: 0/0 30/4, right: 0/0 30/5}"
        reader.say(node.line, "VF20", f"{name}: {expected} was expected, and {read} was read.")
        return ()
    size = _unit(reader, name, node)
    found: list[Outline] = []
    for key, key_node, value in node.items():
        field = FIELDS.get(canonical(key), "")
        if field == "file":
            found += _table(reader, HEADINGS[heading], f"{name}, file", value)
        elif field != "units":
            plane: Plane = "along" if field == "along" else "across"
            found += _station(reader, HEADINGS[heading], plane, key_node, value, size)
    return tuple(_each_once(reader, found))


def _unit(reader: Reader, name: str, node: Node) -> Decimal:
    """How many millimetres one unit of the points is; 1 where no unit is written."""
    for key, _, value in node.items():
        if FIELDS.get(canonical(key)) != "units":
            continue
        written = reader.word(value, f"{name}, units")
        if written is None:
            break
        try:
            if dimension_of(written) == "length" and canonical(written) != "length":
                return unit_size(written)
        except NotAQuantity:
            pass
        what = f"{name}: {quote(written)} is no unit of length; expected mm, cm or in."
        reader.say(value.line, "VF54", what, "Left out, the points are millimetres.")
        break
    return Decimal(1)


def _station(reader: Reader, of: Of, plane: Plane, key_node: Node, value: Node, size: Decimal) -> Iterator[Outline]:
    key = key_node.text or ""
    station = "" if plane == "along" else station_key(reader.vocabulary.place_of, key)
    if reader.side(key) or (plane == "across" and not station):
        what = f"{plain(of)} tracings: a station was expected at the left, such as T13, and {quote(key)} was read."
        reader.say(key_node.line, "VF53", what, "The sides stand behind their station: T13: {left: .., right: ..}.")
        return
    before = len(reader.problems)
    note, rest = "", Node({}, value.line)
    if isinstance(value.value, dict) and isinstance(rest.value, dict):
        for inner, inner_key, inner_value in value.items():
            if canonical(inner) in NOTE:
                note = reader.free_text(inner_value, f"{key}, note")
            elif _stray(inner, inner_value):
                what = f"{key}: {quote(inner)} stands alone, because a comma inside {{ }} ends what was before it."
                reader.say(inner_key.line, "VF51", what, _HOW)
                return
            else:
                rest.value[inner] = (inner_key, inner_value)
        by_side = reader.by_side(rest, key)
    else:
        read = quote(value.text) if value.text is not None else "a list"
        what = f"{key}: left and right were expected, each with its points, and {read} was read."
        reader.say(value.line, "VF53", what, f"Write {key}: {{left: 0/0 30/4, right: 0/0 30/5}}.")
        return
    sides = {side: tuple(_dots(reader, node, f"{key}, {side}", size)) for side, node in by_side.items()}
    if len(reader.problems) > before:
        return
    traced = Traced(of=of, plane=plane, station=station, name=key, sides=sides, line=key_node.line, note=note)
    outline = outline_of(traced, reader.say)
    if outline is None:
        return
    _one_side(reader, key, sides, key_node.line)
    yield outline


def _one_side(reader: Reader, name: str, sides: Mapping[Side, object], line: int) -> None:
    for side in sides_of("both"):
        if side not in sides:
            other = next(iter(sides))
            reader.warn(line, "VF56", f"{name}: only the {other} side is traced; the sides cannot be set side by side.")


def _stray(key: str, value: Node) -> bool:
    """Whether a key is what is left over of `{left: 0 0, 30 4}`: numbers, and nothing behind them."""
    return value.text == "" and re.fullmatch(r"[-0-9./\s]+", key) is not None


def _dots(reader: Reader, node: Node, name: str, size: Decimal) -> Iterator[Dot]:
    """The points of one side: text such as `0/0 30/4`, or a list of pairs."""
    if isinstance(node.value, list):
        for item in node.value:
            yield from _dot(reader, item, name, size)
        return
    text = reader.word(node, name)
    if text is None:
        return
    apart = [chunk for chunk in re.split(r"[,;]", text) if chunk.strip()]
    for chunk in apart:
        pairs = re.findall(_PAIR, chunk)
        if over := re.sub(_PAIR, "", chunk).strip():
            alone = re.fullmatch(_BLANK_PAIR, chunk.strip()) if len(apart) > 1 else None
            if alone is None:
                reader.say(node.line, "VF51", f"{name}: {quote(over)} is no traced point; out/down is.", _repair(text))
                return
            pairs = [alone.groups()]
        yield from (Dot(Decimal(out) * size, Decimal(down) * size, node.line) for out, down in pairs)


def _dot(reader: Reader, item: Node, name: str, size: Decimal) -> Iterator[Dot]:
    numbers: list[str] = []
    if isinstance(item.value, list):
        numbers = [part.text or "" for part in item.value]
    elif item.text is not None:
        numbers = re.split(r"\s*/\s*|\s+", item.text)
    if len(numbers) != 2 or not all(re.fullmatch(_NUMBER, number) for number in numbers):
        read = quote(item.text if item.text is not None else ", ".join(numbers))
        reader.say(
            item.line, "VF51", f"{name}: a point is two numbers, out and down, and {read} was read.", _repair(read)
        )
        return
    yield Dot(Decimal(numbers[0]) * size, Decimal(numbers[1]) * size, item.line)


def _repair(text: str) -> str:
    if re.search(r"[0-9],[0-9]", text):
        return "Decimals are written with a dot: 3.5/12."
    if re.search(r"(mm|cm|in|\")", text):
        return "The unit stands once, above the stations: units: cm."
    return _HOW


def _table(reader: Reader, of: Of, what: str, value: Node) -> Iterator[Outline]:
    """The lines of a CSV table named beside the visit file."""
    written = reader.word(value, what)
    if written is None:
        return
    path = Path(reader.file).parent / written
    data = _beside(reader, written, path)
    if data is None:
        near = near_hint(path.name, (p.name for p in sorted(path.parent.glob("*.csv"))[:500]))
        where = f"there is no file {quote(written)} beside the visit file."
        reader.say(
            value.line, "VF58", f"{what}: {where}", near or "Its name is read from the folder of the visit file."
        )
        return
    reader.read_beside[written] = data
    try:
        found = outlines_of(data, str(path), reader.vocabulary.place_of, of=of, noticed=reader.warnings)
    except BadInput as bad:
        reader.problems += bad.problems
        return
    for traced, outline in found:
        _one_side(reader, traced.name, traced.sides, value.line)
        yield Outline(
            of=outline.of, plane=outline.plane, station=outline.station, left=outline.left, right=outline.right,
            line=value.line, note=outline.note,
        )  # fmt: skip


def _beside(reader: Reader, written: str, path: Path) -> bytes | None:
    """The bytes of a file beside the visit file; None where there is none."""
    if reader.beside is not None:
        return reader.beside.get(written)
    return strict_yaml.read_bytes(path) if path.is_file() else None


def _each_once(reader: Reader, outlines: list[Outline]) -> Iterator[Outline]:
    """INVARIANT of a visit: one line for what was traced, plane and station."""
    lines: dict[tuple[str, str, str], int] = {}
    for outline in outlines:
        key = (outline.of, outline.plane, outline.station)
        if key in lines:
            where = f"the {outline.of} along" if outline.plane == "along" else plain(outline.station)
            reader.twice(outline.line, where, lines[key])
        else:
            lines[key] = outline.line
            yield outline
