"""The pieces JSON Schemas of our files are built from: text, words, lists, and records made from their dataclasses.

In: a dataclass and what is to be said of its fields. Out: JSON Schema (draft 2020-12) as plain data.
Not here: which files there are (page_schemas, visit_schema). A schema helps while typing; whether a file is right is for the
reader and for `reasoner rules check` to say. So a schema never forbids what they accept: synonyms, other layers' words.
"""

from __future__ import annotations

import dataclasses
import re
import types
import typing
from collections.abc import Iterable, Mapping
from typing import Any, Literal, Union, get_args, get_origin

Schema = dict[str, Any]

DRAFT = "https://json-schema.org/draft/2020-12/schema"
#: Editors read numbers and yes or no before we read text; all of it is text to us.
TEXT: Schema = {"type": ["string", "number", "boolean"]}
BLANK: Schema = {"type": "null"}
#: What no author writes: our readers add it.
OURS = ("file", "line", "key")


def words(known: Iterable[str], *, more: bool = True) -> Schema:
    """One of some words, which an editor then offers; `more`: synonyms and words of another layer read as well."""
    offered: Schema = {"enum": list(dict.fromkeys(known))}
    return {"anyOf": [offered, TEXT]} if more else offered


def one_or_list(each: Schema) -> Schema:
    """One of these, or a list of them."""
    return {"anyOf": [each, {"type": "array", "items": each}]}


def entries(each: Schema) -> Schema:
    """A mapping whose every value is one of these."""
    return {"type": "object", "additionalProperties": each}


def told(schema: Mapping[str, Any], description: str) -> Schema:
    """A schema with what an editor shows beside it."""
    return {"description": " ".join(description.split()), **schema} if description else dict(schema)


def record(shape: Any, special: Mapping[str, Schema], says: Mapping[str, str], *, top: bool = False) -> Schema:
    """The schema of a mapping read into `shape`. `special` stands for whole fields; `says` describes them.

    At the top of a page a key may be written with blanks or strokes for `_` and in capitals; below it may not.
    """
    hints = typing.get_type_hints(shape)
    properties: Schema = {}
    for field in dataclasses.fields(shape):
        if field.name not in OURS:
            schema = special.get(field.name) or _of(hints[field.name], special, says)
            properties[field.name] = told(schema, says.get(field.name, ""))
    needed = [
        f.name
        for f in dataclasses.fields(shape)
        if f.name in properties and f.default is dataclasses.MISSING and f.default_factory is dataclasses.MISSING
    ]
    out = told({"type": "object", "properties": properties}, shape.__doc__ or "")
    spelled = {_spelled(name): properties[name] for name in properties if "_" in name}
    if top and spelled:
        out["patternProperties"] = spelled
        out["allOf"] = [
            {"anyOf": [{"required": [name]}, {"not": {"propertyNames": {"not": {"pattern": _spelled(name)}}}}]}
            if "_" in name
            else {"required": [name]}
            for name in needed
        ]
    else:
        out["required"] = needed
    out["additionalProperties"] = False
    return out


def _spelled(name: str) -> str:
    """A key of several words however it is spelled: blanks or strokes between the words, in any capitals."""
    letters = "".join(f"[{c}{c.upper()}]" if c.isalpha() else r"[ _\-]+" for c in name)
    return f"^{letters}$"


def _of(hint: Any, special: Mapping[str, Schema], says: Mapping[str, str]) -> Schema:
    origin, args = get_origin(hint), get_args(hint)
    if dataclasses.is_dataclass(hint):
        return record(hint, special, says)
    if origin is Literal:
        return words((a for a in args if a != ""), more=False) if "" not in args else {"enum": list(args)}
    if origin in (Union, types.UnionType):
        return {"anyOf": [BLANK if a is type(None) else _of(a, special, says) for a in args]}
    if origin is tuple:
        if len(args) == 2 and args[1] is Ellipsis:
            return {"type": "array", "items": _of(args[0], special, says)}
        return {"type": "array", "prefixItems": [_of(a, special, says) for a in args]}
    if hint in (int, float):
        return {"type": "number" if hint is float else "integer"}
    return {} if hint is Any else dict(TEXT)


def described(markdown: str, heading: str) -> dict[str, str]:
    """Key to text, from the tables and lists under one heading of rules/README.md: the one place where keys are told.

    >>> described("## A\\n| `says`, `plain` | the sentences |\\n- `because:` why so.\\n## B\\n| `x` | y |", "A")
    {'says': 'the sentences', 'plain': 'the sentences', 'because': 'why so.'}
    """
    section = re.search(rf"^## {re.escape(heading)}.*?$(.*?)(?=^## |\Z)", markdown, re.MULTILINE | re.DOTALL)
    out: dict[str, str] = {}
    for line in _unwrapped(section[1] if section else ""):
        found = re.match(r"\| ((?:`\w+[^`]*`(?:, | or )?)+) \| (.+) \|$", line) or re.match(
            r"- ((?:`[^`]+`,? ?)+)(.+)$", line
        )
        if found:
            for key in re.findall(r"`(\w+)", found[1]):
                out.setdefault(key, found[2].strip().replace("`", ""))
    return out


def _unwrapped(text: str) -> list[str]:
    return re.sub(r"\n  (?=\S)", " ", text).splitlines()
