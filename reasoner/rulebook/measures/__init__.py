"""The tables behind measurements: formulas' figures, published bands, errors of reading.

In: parsed files of rules/measures/, layer upon layer. Out: one frozen table a file; a later layer's file replaces an earlier.
Not here: the figures (they are data), working anything out from them (measures/).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Container, Iterable, Iterator, Mapping
from importlib import import_module
from typing import Any

from reasoner.problems import Problem, near_hint, register
from reasoner.rulebook.strict_yaml import Node

register(
    {
        "RB63": "a file of measures that the reasoner does not read",
        "RB64": "a table of measures rests on a source that is not there",
    }
)

#: Each file of rules/measures/, and the shape it fills: a module beside this one and a class in it.
SHAPES: dict[str, tuple[str, str]] = {
    "feet_and_gait": ("feet_and_gait", "FeetAndGait"),
    "sides": ("sides", "Sides"),
    "tracing": ("tracing", "Tracing"),
    "tree": ("tree", "Tree"),
    "load": ("load", "Load"),
    "pressure": ("pressure", "Pressure"),
    "shims": ("shims", "Shims"),
    "stirrups": ("stirrups", "Stirrups"),
    "progress": ("progress", "Progress"),
    "agreement": ("agreement", "AgreementTable"),
    "press": ("press", "PressTable"),
    "cases": ("cases", "Cases"),
    "practise": ("practise", "Practise"),
}
Files = Iterable[tuple[str, Node]]


def shape_of(name: str) -> Any:
    """The class that the file of this name fills."""
    module, kind = SHAPES[name]
    return getattr(import_module(f"{__name__}.{module}"), kind)


def measures_from(files: Files, problems: list[Problem]) -> dict[str, Any]:
    """Every table by the name of its file; problems are added."""
    from reasoner.rulebook.filling import fill  # brings in pydantic, which a cached rulebook does without

    tables: dict[str, Any] = {}
    for file, node in files:
        name = file.rpartition("/")[2].removesuffix(".yaml")
        if name not in SHAPES:
            hint = near_hint(name, SHAPES) or f"Files read here: {', '.join(SHAPES)}."
            problems.append(Problem(file, 0, "RB63", f'"{name}" is no table of measures.', hint))
            continue
        table = fill(shape_of(name), node, file, problems, with_lines=False)
        if table is not None:
            tables[name] = table
    return tables


def bases_missing(tables: Mapping[str, Any], known: Container[str], names: Iterable[str]) -> Iterator[Problem]:
    """A problem for each basis in a table that is neither declared nor the id of a source."""
    listed = list(names)
    for name, table in tables.items():
        for basis in dict.fromkeys(bases_in(table)):
            if basis not in known:
                what = f'"{basis}" is no source of this rulebook.'
                yield Problem(f"rules/measures/{name}.yaml", 0, "RB64", what, near_hint(basis, listed))


def bases_in(table: Any) -> Iterator[str]:
    """Every basis named anywhere in a table, in the order of its fields."""
    if dataclasses.is_dataclass(table):
        for item in dataclasses.fields(table):
            held = getattr(table, item.name)
            if item.name == "basis":
                yield from (held,) if isinstance(held, str) else held
            else:
                yield from bases_in(held)
    elif isinstance(table, Mapping):
        for held in table.values():
            yield from bases_in(held)
    elif isinstance(table, (tuple, list)):
        for held in table:
            yield from bases_in(held)
