"""Fences on disk: one file a page under fences/ of a rules folder, written by the tool and read by people as a diff.

In: rules folders, or fences. Out: the fences of each page as examples; or the text of a file.
Not here: finding fences (fences.py). The rulebook itself never reads them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import yaml

from reasoner.problems import BadInput, Problem
from reasoner.rulebook.filling import fill, plain
from reasoner.rulebook.pages import Example
from reasoner.rulebook.strict_yaml import Node, read
from reasoner.rulecare.fences import Fence

FOLDER = "fences"
HEAD = """# Fences of {page}: what the page answers just on either side of its limits, found by trying.
# Written by `reasoner rules fence`; do not tidy by hand. After a change of the page write them anew and read the difference:
# every line that changed is an answer that changed.
"""
_WIDTH = 120


class _Plain(yaml.SafeDumper):
    """Everything written out: rule files know no shorthand for what stands twice."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def read_fences(folders: Sequence[Path]) -> dict[str, tuple[Example, ...]]:
    """The fences of every page, by its id; a later folder's file replaces an earlier one's. Raises BadInput."""
    found: dict[str, tuple[Example, ...]] = {}
    problems: list[Problem] = []
    for folder in folders:
        for path in sorted((folder / FOLDER).glob("*.yaml")):
            root = read(path)
            entries = root.get("fences")
            found[path.stem] = tuple(_examples(entries, path, problems)) if entries is not None else ()
    if problems:
        raise BadInput(problems)
    return found


def _examples(entries: Node, path: Path, problems: list[Problem]) -> Iterable[Example]:
    for number, node in enumerate(entries.value if isinstance(entries.value, list) else [], 1):
        parts = (
            {key: pair for key, pair in node.value.items() if key != "notices"} if isinstance(node.value, dict) else {}
        )
        made = fill(Example, Node(parts, node.line), str(path), problems, name=f"fence {number}", line=node.line)
        if made is not None:
            yield made


def entries_in(path: Path) -> list[Any]:
    """The fences of a file as they are written there; none where there is no file. Raises BadInput where it does not read."""
    if not path.exists():
        return []
    written = read(path).get("fences")
    return plain(written, lines=False) if written is not None else []


def text_of(page: str, fences: Sequence[Fence], before: Sequence[Any] = ()) -> str:
    """A file of fences, after those that were there `before`."""
    entries = [*before, *(_plain(fence) for fence in fences)]
    body = yaml.dump(
        {"page": page, "fences": entries}, Dumper=_Plain, sort_keys=False, allow_unicode=True, width=_WIDTH,
        default_flow_style=None,
    )  # fmt: skip
    return HEAD.format(page=page) + body


def _plain(fence: Fence) -> Mapping[str, Any]:
    example = fence.example
    out: dict[str, Any] = {"recorded": example.recorded, "expect": example.expect}
    if example.thanks_to:
        out["thanks_to"] = list(example.thanks_to)
    if example.stopped_by:
        out["stopped_by"] = list(example.stopped_by)
    out["notices"] = list(fence.notices)
    return out
