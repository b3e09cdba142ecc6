"""The rooms of the house: which may import which, how long a file may be, and how each opens.

In: the source as text. Out: a failure for each arrow that runs the wrong way.
Not here: what the code does.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent / "reasoner"
SOURCES = sorted(p for p in ROOT.rglob("*.py") if "_rules" not in p.parts)
FREE = {"problems", "quantities", "frozen"}
#: Each room, and the rooms to its left that it may import. `slots` is the shared naming of slots and belongs to inference.
LOW = {"rulebook", "visit", "inference", "facts", "explanation", "plan"}
JUDGED = LOW | {"rules_cache", "consult", "differences"}
ARROWS: dict[str, set[str]] = {
    "rulebook": set(),
    "visit": {"rulebook"},
    "measures": {"rulebook"},
    "lines": {"visit", "rulebook"},
    "inference": {"rulebook"},
    "facts": {"visit", "rulebook", "inference", "measures"},
    "explanation": {"facts", "inference", "rulebook", "visit"},
    "plan": LOW - {"plan"} | {"measures"},
    "rules_cache": {"inference", "rulebook"},
    "consult": LOW | {"rules_cache"},
    "differences": {"consult", "plan", "explanation"},
    "rulecare": JUDGED,
    "questions": JUDGED,
    "bulk": JUDGED | {"questions"},
    "store": {"visit", "rulebook"},
    "records": JUDGED | {"questions", "store"},
    "teaching": JUDGED | {"measures", "questions", "records", "store"},
    "rendering": JUDGED - {"rules_cache"}
    | {"lines", "measures", "questions", "records", "rulecare", "store", "teaching"},
    "page": JUDGED | {"lines", "measures", "questions", "records", "store", "teaching", "rulecare", "rendering"},
    "cli": JUDGED
    | {"lines", "measures", "questions", "records", "store", "teaching", "bulk", "rulecare", "rendering", "page"},
    "__main__": {"cli"},
}
MOST_LINES = 350


def room_of(path: Path) -> str:
    """The room a file stands in: its folder under reasoner/, or its own name at the top."""
    parts = path.relative_to(ROOT).parts
    return parts[0] if len(parts) > 1 else path.stem


def imported_rooms(path: Path) -> set[str]:
    """The rooms a file imports, wherever in the file it does so, except for type checking alone."""
    tree = ast.parse(path.read_text())
    typing_only = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    found = set()
    for node in ast.walk(tree):
        if id(node) in typing_only:
            continue
        names = [node.module] if isinstance(node, ast.ImportFrom) and node.module else []
        names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        for name in names:
            parts = name.split(".")
            if parts[0] == "reasoner" and len(parts) > 1:
                found.add(parts[1])
    return found


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_point_left_only(path: Path) -> None:
    """A lower room never imports a higher one."""
    room = room_of(path)
    if room in ("__init__", *FREE):
        assert imported_rooms(path) <= FREE
        return
    assert room in ARROWS, f"the room {room} is not in the table: say where it stands"
    assert imported_rooms(path) <= ARROWS[room] | FREE | {room}


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_file_is_one_sheet(path: Path) -> None:
    """At most 350 lines, opening with what it is for, what comes in, what goes out, what does not belong."""
    text = path.read_text()
    assert len(text.splitlines()) <= MOST_LINES
    opening = ast.get_docstring(ast.parse(text)) or ""
    assert "In:" in opening, "the opening says what comes in"
    assert "Out:" in opening, "the opening says what goes out"
    assert "Not here:" in opening, "the opening says what does not belong"


def test_numpy_stays_out_of_the_faces() -> None:
    """Visit, rulebook, rendering and the command line handle no arrays."""
    for path in SOURCES:
        if room_of(path) in ("visit", "rulebook", "rulecare", "rendering", "cli"):
            assert "import numpy" not in path.read_text(), path


def test_pydantic_only_at_the_borders() -> None:
    """Only the reading of pages, the schema of answers, and what a browser sends validate with pydantic."""
    users = {
        str(p.relative_to(ROOT))
        for p in SOURCES
        if "import pydantic" in p.read_text() or "from pydantic" in p.read_text()
    }
    borders = {"rulebook/filling.py", "rendering/schema_base.py"}
    schemas = {user for user in users if user.startswith("rendering/") and user.endswith("_schema.py")}
    assert {user for user in users - schemas if not user.startswith("page/")} <= borders
