"""From YAML nodes to the frozen shapes, with every fault said in the author's words.

In: a Node and a shape. Out: an instance, or problems with file and line.
Not here: which shapes there are, and anything that needs two pages at once. pydantic does the validation.
"""

from __future__ import annotations

from typing import Any, TypeVar

import pydantic

from reasoner.problems import Problem, near_hint, register
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical

register(
    {
        "RB01": "a page lacks something it needs",
        "RB02": "a page holds a key that is not known",
        "RB03": "a value on a page is not one of the permitted ones",
        "RB04": "one spelling names two things",
    }
)

Shape = TypeVar("Shape")

#: Sentences and bases without which a page can still be read on, so that whatever else is wrong with it is told as well.
SENTENCES = ("because", "basis", "lesson", "can_mislead", "otherwise", "why", "used_for", "seen")
#: What stands where one of them was left out; the problem that says so is told once, by `fill`.
LEFT_OUT = "(left out)"


def plain(node: Node, *, lines: bool = True) -> Any:
    """A Node as text, lists and dicts; with `lines` every dict also holds its line under "line"."""
    if isinstance(node.value, str):
        return node.value.strip()
    if isinstance(node.value, list):
        return [plain(item, lines=lines) for item in node.value]
    out: dict[str, Any] = {key: plain(value, lines=lines) for key, _, value in node.items()}
    if lines:
        out["line"] = node.line
    return out


def node_of(value: Any, line: int = 0) -> Node:
    """The way back from `plain`: text, lists and dicts as a Node (an example's `recorded` is read like a visit file)."""
    if isinstance(value, dict):
        line = value.get("line", line)
        return Node({k: (Node(k, line), node_of(v, line)) for k, v in value.items() if k != "line"}, line)
    if isinstance(value, (list, tuple)):
        return Node([node_of(v, line) for v in value], line)
    return Node(str(value), line)


_MISSING = ("missing", "missing_argument", "missing_keyword_only_argument")
_UNKNOWN = ("unexpected_keyword_argument", "extra_forbidden")
_ADAPTERS: dict[Any, pydantic.TypeAdapter[Any]] = {}


def adapter(shape: Any) -> pydantic.TypeAdapter[Any]:
    """The validator of a shape, built once."""
    if shape not in _ADAPTERS:
        _ADAPTERS[shape] = pydantic.TypeAdapter(shape)
    return _ADAPTERS[shape]


def fill(
    shape: type[Shape], node: Node, file: str, problems: list[Problem], *, with_lines: bool = True, **more: Any
) -> Shape | None:
    """An instance of `shape` from a mapping node; problems are added, and None returned where it does not fit.

    `with_lines`: every mapping inside knows its line.

    Where all that is wrong is a sentence left out or a key that is not known, the problems are added and the rest is returned.
    """
    if not isinstance(node.value, dict):
        problems.append(Problem(file, node.line, "RB01", "a mapping was expected here."))
        return None
    data = {canonical(k) if " " in k or "-" in k else k: v for k, v in plain(node, lines=with_lines).items()} | more
    if "file" in shape.__dataclass_fields__:  # type: ignore[attr-defined]
        data["file"] = file
    try:
        made: Shape = adapter(shape).validate_python(data)
        return made
    except pydantic.ValidationError as fault:
        for error in fault.errors(include_url=False):
            problems.append(_problem(shape, node, file, error))
        return _rest(shape, data, fault.errors(include_url=False))


def _rest(shape: type[Shape], data: dict[str, Any], errors: Any) -> Shape | None:
    """What is left of a page without its unknown keys and with a mark for each sentence left out, if that can be read."""
    for error in errors:
        *way, key = error["loc"]
        here: Any = data
        for part in way:
            here = here[part] if isinstance(here, dict | list) and _holds(here, part) else None
        if not isinstance(here, dict):
            return None
        if error["type"] in _MISSING and key in SENTENCES:
            here[key] = LEFT_OUT
        elif error["type"] in _UNKNOWN:
            here.pop(key, None)
        else:
            return None
    try:
        rest: Shape = adapter(shape).validate_python(data)
        return rest
    except pydantic.ValidationError:
        return None


def _holds(here: dict[Any, Any] | list[Any], part: Any) -> bool:
    return part in here if isinstance(here, dict) else isinstance(part, int) and part < len(here)


def _problem(shape: type, node: Node, file: str, error: Any) -> Problem:
    # people count from one: the second rule of `evidence` is "evidence 2", and not 1
    place, line = [str(part + 1) if isinstance(part, int) else str(part) for part in error["loc"]], node.line
    here: Node = node
    for part in error["loc"]:
        if isinstance(here.value, list) and isinstance(part, int) and part < len(here.value):
            here = here.value[part]
        elif isinstance(here.value, dict) and str(part) in here.value:
            key_node, here = here.value[str(part)]
            line = key_node.line
        else:
            break
        line = here.line if not isinstance(here.value, str) else line
    where = " > ".join(place)
    if error["type"] in _MISSING:
        return Problem(file, line, "RB01", f"`{where}` is missing.")
    if error["type"] in _UNKNOWN:
        known = list(shape.__dataclass_fields__) if len(place) == 1 else []  # type: ignore[attr-defined]
        return Problem(file, line, "RB02", f"`{where}` is not known here.", near_hint(place[-1], known))
    expected = error.get("ctx", {}).get("expected") or error["msg"]
    return Problem(file, line, "RB03", f"`{where}` reads {str(error['input'])[:60]!r}; expected {expected}.")
