"""Lines added to the text of a visit file, its comments and its order left as they are.

In: the bytes of a file, the lines with the headings they belong under, pieces for its notes. Out: the new bytes.
Not here: what is added, whether it reads (into_file.py checks that).
"""

from __future__ import annotations

import json
from collections.abc import Sequence

import yaml

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem
from reasoner.rulebook.vocabulary import Vocabulary, canonical
from reasoner.visit.reading import heading_of

NOTES = "notes"
Edit = tuple[int, int, str]  # from, to, the text that stands there now


@frozen
class Added:
    """One line: the headings it stands under (outermost first; none: at the left edge), its name and its value."""

    heading: tuple[str, ...]
    name: str
    value: str


def with_added(
    data: bytes,
    file: str,
    added: Sequence[Added],
    notes: Sequence[str],
    comments: Sequence[str],
    vocabulary: Vocabulary,
) -> bytes:
    """The text with every line under its heading. Raises BadInput (LN04) where its shape is not one that lines can go into."""
    text = data.decode("utf-8")
    end = "\r\n" if "\r\n" in text else "\n"
    groups: dict[tuple[str, ...], list[str]] = {}
    for one in added:
        groups.setdefault(one.heading, []).append(f"{one.name}: {one.value}")
    for heading, lines in groups.items():
        text = _put(text, file, heading, lines, end, vocabulary)
    if notes:
        text = _noted(text, file, notes, end, vocabulary)
    if comments:
        text = _ended(text, end) + "".join(f"# said, and not understood: {piece}{end}" for piece in comments)
    return text.encode("utf-8")


def _root(text: str, file: str) -> yaml.MappingNode:
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    if not isinstance(root, yaml.MappingNode):
        raise BadInput([Problem(file, 0, "LN04", "the file holds no lines that others could be added to.")])
    return root


def _put(text: str, file: str, heading: tuple[str, ...], lines: Sequence[str], end: str, vocabulary: Vocabulary) -> str:
    node: yaml.Node = _root(text, file)
    key: yaml.Node | None = None
    missing = [*heading]
    while missing and isinstance(node, yaml.MappingNode):
        found = next((pair for pair in node.value if _is(pair[0], missing[0], key is None, vocabulary)), None)
        if found is None:
            break
        key, node = found
        missing.pop(0)
    new = [*lines]
    flows = isinstance(node, yaml.MappingNode) and bool(node.flow_style)
    for place, name in reversed([*enumerate(missing)]):
        said = name.replace("_", " ")
        outermost = place == 0 and key is None and not flows
        new = _block(said, new, end) if outermost else [f"{said}: {{" + ", ".join(new) + "}"]
    return _inserted(text, file, key, node, new, end)


def _block(name: str, lines: Sequence[str], end: str) -> list[str]:
    return [f"{name}:" + "".join(f"{end}  {line}" for line in lines)]


def _is(key: yaml.Node, heading: str, top: bool, vocabulary: Vocabulary) -> bool:
    word = str(key.value)
    return (
        heading_of(vocabulary, word) == heading
        if top
        else canonical(word) == heading or _inner(word, heading, vocabulary)
    )


def _inner(word: str, heading: str, vocabulary: Vocabulary) -> bool:
    return any(
        s.key.endswith(f"/{heading}") and canonical(word) in {canonical(w) for w in (s.name, *s.also)}
        for s in vocabulary.sections.values()
    )


def _inserted(text: str, file: str, key: yaml.Node | None, node: yaml.Node, lines: Sequence[str], end: str) -> str:
    if isinstance(node, yaml.MappingNode) and node.flow_style and node.value:
        at = _last(node.value[-1]).end_mark.index
        return text[:at] + "".join(f", {line}" for line in lines) + text[at:]
    if isinstance(node, yaml.MappingNode) and node.flow_style:
        at = node.start_mark.index + 1
        return text[:at] + ", ".join(lines) + text[at:]
    if isinstance(node, yaml.MappingNode):
        column = node.value[0][0].start_mark.column
        at = _line_end(text, _last(node.value[-1]).end_mark.index)
        indent = " " * column
    elif isinstance(node, yaml.ScalarNode) and not node.value and key is not None:
        at = _line_end(text, key.end_mark.index)
        indent = " " * (key.start_mark.column + 2)
    else:
        said = str(key.value) if key is not None else "the file"
        line = (key.start_mark.line + 1) if key is not None else 0
        raise BadInput(
            [Problem(file, line, "LN04", f'lines were expected under "{said}", and something else stands there.')]
        )
    head = _ended(text[:at], end)
    return head + "".join(f"{indent}{line.replace(end, end + indent)}{end}" for line in lines) + text[at:]


def _last(pair: tuple[yaml.Node, yaml.Node]) -> yaml.Node:
    """The node with which an entry ends; the key where nothing is written behind it."""
    key, value = pair
    if isinstance(value, yaml.MappingNode) and not value.flow_style and value.value:
        return _last(value.value[-1])
    if isinstance(value, yaml.SequenceNode) and not value.flow_style and value.value:
        last = value.value[-1]
        return _last((last, last))
    return key if isinstance(value, yaml.ScalarNode) and value.start_mark.index == value.end_mark.index else value


def _line_end(text: str, at: int) -> int:
    """Where the line after this place begins."""
    if at and text[at - 1] == "\n":
        return at
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


def _ended(text: str, end: str) -> str:
    return text if not text or text.endswith("\n") else text + end


def _noted(text: str, file: str, pieces: Sequence[str], end: str, vocabulary: Vocabulary) -> str:
    """The pieces behind the visit's notes, whatever way those are written; a new line of notes where there are none."""
    known = {canonical(w) for o in vocabulary.observations.values() if o.key == NOTES for w in (o.key, o.name, *o.also)}
    said = "; ".join(pieces)
    root = _root(text, file)
    pair = next((p for p in root.value if canonical(str(p[0].value)) in known), None)
    if pair is None:
        return _inserted(text, file, None, root, [f"{NOTES}: {_quoted(said)}"], end)
    key, value = pair
    if not isinstance(value, yaml.ScalarNode):
        raise BadInput(
            [Problem(file, value.start_mark.line + 1, "LN04", "notes are text, and something else stands there.")]
        )
    old = str(value.value).rstrip()
    if not old:
        at = key.end_mark.index + 1
        return text[:at] + f" {_quoted(said)}" + text[at:]
    first, last = value.start_mark.index, value.end_mark.index
    tail = end if value.style in ("|", ">") else ""
    return text[:first] + _quoted(f"{old}; {said}") + tail + text[last:]


def _quoted(text: str) -> str:
    return json.dumps(" ".join(text.split()) if "\n" not in text else text, ensure_ascii=False)
