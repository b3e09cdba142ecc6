"""The tables behind measurements, as the handbook shows them.

In: a `Rulebook`. Out: entries, each with rows of a label, a text and what it rests on, indented as the table is nested.
Not here: layout; what any one table is for (its own texts say so).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any

from reasoner.frozen import frozen
from reasoner.rendering.book_links import Link, Links, also
from reasoner.rendering.phrases import plain
from reasoner.rulebook.rulebook import Rulebook

#: Fields whose text says by itself what it is.
_SAID = ("says", "because", "note")


@frozen
class Row:
    """One figure or heading of a table; `depth` counts from 0."""

    depth: int
    label: str
    text: str = ""
    basis: tuple[Link, ...] = ()


def measures(book: Rulebook, links: Links) -> list[dict[str, Any]]:
    """An entry for each table."""
    return [
        {
            "id": links.anchor("measure", name), "name": links.name("measure", name), "rows": list(_rows(table, 0, links)),
            "file": f"rules/measures/{name}.yaml", "line": 0, "also": also(name),
        }
        for name, table in book.measures.items()
    ]  # fmt: skip


def _rows(held: Any, depth: int, links: Links) -> Iterator[Row]:
    """The rows of a table or of a part of one; texts come first, what it rests on with them."""
    parts = _parts(held)
    basis = tuple(links.rests_on(tuple(parts["basis"]) if not isinstance(parts["basis"], str) else parts["basis"])
                  ) if parts.get("basis") else ()  # fmt: skip
    for key in _SAID:
        if parts.get(key):
            yield Row(depth, "", str(parts[key]))
    for key, value in parts.items():
        if key == "basis" or key in _SAID or value in ("", (), None):
            continue
        if _is_part(value):
            yield Row(depth, plain(key))
            yield from _rows(value, depth + 1, links)
        elif isinstance(value, (tuple, list)) and any(_is_part(one) for one in value):
            yield Row(depth, plain(key))
            for one in value:
                yield from _rows(one, depth + 1, links)
        else:
            yield Row(depth, plain(key), _shown(value))
    if basis:
        yield Row(depth, "rests on", "", basis)


def _parts(held: Any) -> dict[str, Any]:
    if dataclasses.is_dataclass(held):
        return {item.name: getattr(held, item.name) for item in dataclasses.fields(held)}
    return {str(key): value for key, value in held.items()}


def _is_part(value: Any) -> bool:
    return dataclasses.is_dataclass(value) or isinstance(value, Mapping)


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (tuple, list)):
        return ", ".join(map(_shown, value))
    return f"{value:g}" if isinstance(value, float) else str(value)
