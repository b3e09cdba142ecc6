"""YAML with its line numbers, every scalar as text, nothing clever.

In: a path or bytes. Out: `Node` trees. Refused, with the line and the repair: duplicate keys, tabs, anchors, aliases,
tags, deep nesting, large or binary files. Not here: what the words mean.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import yaml

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint

#: A visit is two pages of notes and a rule page one sheet; a larger file is a mistake, not a long visit.
MOST_BYTES = 1_000_000
MOST_DEPTH = 20

_CONTROLS = bytes(byte for byte in range(32) if byte < 9 or byte > 13)
_SPOKEN = {"cp1252": "Windows-1252", "latin-1": "Latin-1"}
#: Curly quotation marks that a word processor put round a whole value; inside a text they stay.
_CURLY = {"“": "”", "‘": "’", "„": "“"}
_Loader: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # libyaml where PyYAML was built with it


@frozen
class Node:
    """One piece of YAML: `value` is text, a list of nodes, or a dict from key text to (key node, value node)."""

    value: str | list[Node] | dict[str, tuple[Node, Node]]
    line: int

    @property
    def text(self) -> str | None:
        """The scalar as written (stripped), or None if this is a list or a mapping."""
        return self.value.strip() if isinstance(self.value, str) else None

    def items(self) -> Iterator[tuple[str, Node, Node]]:
        """(key, key node, value node) of a mapping in file order; nothing for text and lists."""
        if isinstance(self.value, dict):
            for key, (key_node, value_node) in self.value.items():
                yield key, key_node, value_node

    def get(self, key: str) -> Node | None:
        """The value under `key`, or None."""
        if isinstance(self.value, dict) and key in self.value:
            return self.value[key][1]
        return None


def read_bytes(path: Path) -> bytes:
    """The file's bytes. Raises BadInput (YM01, YM02) if it cannot be read or is larger than MOST_BYTES."""
    name = str(path)
    try:
        if path.is_dir():
            raise BadInput([Problem(name, 0, "YM01", "this is a folder; a file was expected.")])
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise BadInput([_too_large(name, size)])
        with path.open("rb") as handle:
            data = handle.read(MOST_BYTES + 1)
    except OSError as fault:
        why = (fault.strerror or "cannot be read").lower()
        hint = _neighbour(path) if isinstance(fault, FileNotFoundError) else ""
        raise BadInput([Problem(name, 0, "YM01", f"the file cannot be read: {why}.", hint)]) from None
    if len(data) > MOST_BYTES:
        raise BadInput([_too_large(name, len(data))])
    return data


def _neighbour(path: Path) -> str:
    """The file of the same folder whose name is most like it."""
    try:
        names = [p.name for p, _ in zip(sorted(path.parent.glob("*.y*ml")), range(500), strict=False)]
    except OSError:
        return ""
    return near_hint(path.name, names)


def _too_large(name: str, size: int) -> Problem:
    return Problem(
        name, 0, "YM02", f"the file has {size / 1e6:.1f} MB; at most {MOST_BYTES / 1e6:.0f} MB is read.",
        "One file holds one visit.",
    )  # fmt: skip


def decode(data: bytes, name: str, warnings: list[Problem] | None = None) -> str:
    """Bytes to text: UTF-8, or UTF-16 with its mark, else Latin-1 with a warning. Raises BadInput (YM03) if binary."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            return data.decode("utf-16")
        except UnicodeDecodeError:
            raise BadInput([Problem(name, 0, "YM03", "the file is not text.")]) from None
    if len(data.translate(None, _CONTROLS)) != len(data):
        raise BadInput([Problem(name, 0, "YM03", "the file is not text.", "A visit file is plain text (YAML).")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        # Word processors write curly quotes and dashes in 0x80-0x9f, where Latin-1 has control characters.
        kind = "cp1252" if any(0x80 <= byte <= 0x9F for byte in data) else "latin-1"
        if warnings is not None:
            warnings.append(
                Problem(name, line, "YM09", f"the file is not UTF-8; it was read as {_SPOKEN[kind]}.",
                        "Look at names with accents.", "warning")
            )  # fmt: skip
        return data.decode(kind, errors="replace")


def parse(data: bytes, name: str, noticed: list[Problem] | None = None) -> Node:
    """One YAML document as a Node tree (an empty file gives an empty mapping). Raises BadInput with every problem met.

    Where `noticed` is given, what can be read past is put there instead: warnings, and keys that stand twice (the first
    one is kept), so that the rest of the file is checked as well.
    """
    text = decode(data, name, noticed)
    tabs = [n for n, row in enumerate(text.splitlines(), 1) if "\t" in row[: len(row) - len(row.lstrip())]]
    if tabs:
        raise BadInput(
            Problem(name, n, "YM08", "a tab stands at the start of this line.", "Use blanks.") for n in tabs[:20]
        )
    problems: list[Problem] = []
    try:
        root = _build(text, name, problems)
    except yaml.YAMLError as fault:
        mark = getattr(fault, "problem_mark", None)
        line = mark.line + 1 if mark else 0
        what = getattr(fault, "problem", None) or str(fault).splitlines()[0]
        from reasoner.rulebook.yaml_faults import told  # only a mistake needs it

        problems.append(Problem(name, *_placed("YM04", *told(text, line, what))))
        raise BadInput(problems) from None
    if problems and noticed is None:
        raise BadInput(problems)
    if noticed is not None:
        noticed += problems
    return root


def _placed(code: str, line: int, sentence: str, hint: str) -> tuple[int, str, str, str]:
    return line, code, sentence, hint


def read(path: Path, noticed: list[Problem] | None = None) -> Node:
    """Read and parse one file; `noticed` as in `parse`. Raises BadInput."""
    return parse(read_bytes(path), str(path), noticed)


def _build(text: str, name: str, problems: list[Problem]) -> Node:
    """Fold libyaml's event stream into nodes without recursion, so that depth is our limit and not the stack's."""
    stack: list[tuple[Node, list[Node]]] = []  # open collection, and the pending key of a mapping
    root: Node | None = None
    for event in yaml.parse(text, Loader=_Loader):
        line = event.start_mark.line + 1 if event.start_mark else 0
        if isinstance(event, yaml.DocumentStartEvent):
            if root is not None:
                problems.append(
                    Problem(name, line, "YM04", "a second document starts here.", "One file, one document.")
                )
                raise BadInput(problems)
            continue
        if isinstance(event, (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
            stack.pop()
            continue
        if not isinstance(event, yaml.NodeEvent):
            continue
        if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
            problems.append(
                Problem(name, line, "YM06", "anchors and aliases (& and *) are not read here.", "Write it out.")
            )
            raise BadInput(problems)
        if getattr(event, "tag", None) not in (None, "!"):
            problems.append(
                Problem(name, line, "YM06", f"the tag {getattr(event, 'tag', '')} is not read here.", "Leave it out.")
            )
        if isinstance(event, yaml.ScalarEvent):
            node = Node(_uncurled(event.value), line)
        elif isinstance(event, yaml.SequenceStartEvent):
            node = Node([], line)
        else:
            node = Node({}, line)
        root = _attach(node, stack, root, name, problems)
        if isinstance(event, yaml.CollectionStartEvent):
            stack.append((node, []))
            if len(stack) > MOST_DEPTH:
                problems.append(Problem(name, line, "YM07", f"nested more than {MOST_DEPTH} deep.", "Flatten it."))
                raise BadInput(problems)
    return root if root is not None else Node({}, 1)


def _uncurled(text: str) -> str:
    if text[:1] in _CURLY and len(text) > 1 and text.endswith(_CURLY[text[0]]):
        return text[1:-1]
    return text


def _attach(
    node: Node, stack: list[tuple[Node, list[Node]]], root: Node | None, name: str, problems: list[Problem]
) -> Node:
    if not stack:
        return node
    parent, pending = stack[-1]
    if isinstance(parent.value, list):
        parent.value.append(node)
    elif isinstance(parent.value, dict):
        if not pending:
            if not isinstance(node.value, str):
                problems.append(Problem(name, node.line, "YM04", "a key must be a word, not a list or a mapping."))
                raise BadInput(problems)
            pending.append(node)
        else:
            key_node = pending.pop()
            key = str(key_node.value).strip()
            if key in parent.value:
                first = parent.value[key][0].line
                problems.append(
                    Problem(name, key_node.line, "YM05", f'"{key}" stands twice here, first on line {first}.',
                            "Keep one of them.")
                )  # fmt: skip
            else:
                parent.value[key] = (key_node, node)
    return root if root is not None else node
