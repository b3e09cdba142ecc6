"""A rulebook as plain data and back, for the cache.

In: frozen dataclasses. Out: JSON-ready dicts, and instances rebuilt from them by their declared types.
Not here: validation (the data was validated before it was taken apart), files.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin

from reasoner.rulebook.measures import shape_of
from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Source
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import Scales
from reasoner.rulebook.vocabulary import Vocabulary

Shape = TypeVar("Shape")
Convert = Callable[[Any], Any]
WHOLE: dict[str, Any] = {"vocabulary": Vocabulary, "scales": Scales}
SPELLINGS = ("place_of", "side_of", "limb_of", "section_of", "spellings_by_section", "quality_spellings")
PAGES: dict[str, Any] = {
    "conclusions": Conclusion,
    "concerns": Concern,
    "actions": Action,
    "circumstances": Circumstance,
    "sources": Source,
}


class Pages(Mapping[str, Any]):
    """Pages read back one by one, each when it is first asked for: an answer needs only a few of them.

    `shape_of` gives the shape of a page by its key.
    """

    def __init__(
        self, shape_of: Callable[[str], Any], written: Mapping[str, Any], texts: Callable[[int], bytes]
    ) -> None:
        self._shape_of, self._written, self._texts = shape_of, written, texts
        self._made: dict[str, Any] = {}

    def __getitem__(self, key: str) -> Any:
        if key not in self._made:
            self._made[key] = build(self._shape_of(key), json.loads(self._texts(self._written[key])))
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._written)

    def __len__(self) -> int:
        return len(self._written)


def book_to_plain(book: Rulebook, texts: list[str]) -> dict[str, Any]:
    """The rulebook without its parsed conditions, as plain data; each page is JSON text of its own, put into `texts` and
    named by its place there.

    Folders are left out: they are where it was read from.
    """
    out: dict[str, Any] = {"stamp": book.stamp}
    for name in WHOLE:
        out[name] = dataclasses.asdict(getattr(book, name))
    out["spellings"] = {name: getattr(book.vocabulary, name) for name in SPELLINGS}
    out["readings"] = {key: seen.reading_of for key, seen in book.vocabulary.observations.items()}
    for name in PAGES:
        pages = getattr(book, name)
        out[name] = {key: len(texts) + n for n, key in enumerate(pages)}
        texts += [json.dumps(_lean(page), ensure_ascii=False) for page in pages.values()]
    out["measures"] = {key: len(texts) + n for n, key in enumerate(book.measures)}
    texts += [json.dumps(dataclasses.asdict(table), ensure_ascii=False) for table in book.measures.values()]
    return out


def _lean(page: Any) -> dict[str, Any]:
    """A page without its examples: they are for the tests of the rulebook, not for answering."""
    plain = dataclasses.asdict(page)
    if "examples" in plain:
        plain["examples"] = ()
    return plain


def book_from_plain(plain: Mapping[str, Any], folders: tuple[str, ...], texts: Callable[[int], bytes]) -> Rulebook:
    """The way back; `texts` gives a text by its place. Raises KeyError or TypeError on data of another shape."""
    parts: dict[str, Any] = {name: build(shape, plain[name]) for name, shape in WHOLE.items()}
    vocabulary: Vocabulary = parts["vocabulary"]
    # Worked out once, when the rulebook was compiled: the tables these cached properties would make again.
    vars(vocabulary).update(plain["spellings"])
    for key, readings in plain["readings"].items():
        vars(vocabulary.observations[key])["reading_of"] = readings
    parts |= {name: Pages(_always(shape), plain[name], texts) for name, shape in PAGES.items()}
    parts["measures"] = Pages(shape_of, plain["measures"], texts)
    return Rulebook(stamp=plain["stamp"], folders=folders, **parts)


def _always(shape: Any) -> Callable[[str], Any]:
    return lambda _: shape


def build(shape: type[Shape], data: Mapping[str, Any]) -> Shape:
    """An instance of a frozen dataclass from the dict `dataclasses.asdict` made of it."""
    kind: Any = shape
    converters = _converters(kind)
    made: Shape = kind(**{k: v if k not in converters or v is None else converters[k](v) for k, v in data.items()})
    return made


@cache
def _converters(shape: type[Any]) -> dict[str, Convert]:
    hints = typing.get_type_hints(shape)
    found = {item.name: _converter(hints[item.name]) for item in dataclasses.fields(shape)}
    return {name: convert for name, convert in found.items() if convert is not None}


def _converter(hint: Any) -> Convert | None:
    """How a JSON value becomes a value of this type; None where it already is one."""
    if dataclasses.is_dataclass(hint):
        shape: Any = hint
        return lambda value: build(shape, value)
    origin, args = get_origin(hint), get_args(hint)
    if origin is tuple:
        each = _converter(args[0])
        return tuple if each is None else (lambda value: tuple(map(each, value)))
    if origin in (Union, types.UnionType):
        only = next((c for c in map(_converter, args) if c is not None), None)
        # INVARIANT: a union holds at most one type that needs converting, and text never does.
        return None if only is None else (lambda value: value if isinstance(value, str) else only(value))
    if origin in (Mapping, dict) and len(args) == 2:
        held = _converter(args[1])
        return None if held is None else (lambda value: {k: held(v) for k, v in value.items()})
    return None
