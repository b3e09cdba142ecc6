"""A new page: a skeleton that passes the check, with remarks that say what goes where.

In: a kind, an id, the rulebook it is for. Out: the text of the page and its place below a rules folder.
Not here: the skeletons (skeletons/*.yaml), writing files.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import get_args

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.layers import read_layers, shipped_rules
from reasoner.rulebook.loading import PAGE_FOLDERS, read_book
from reasoner.rulebook.pages import ActionKind, ConclusionKind
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Place, Vocabulary, canonical

register({"RB60": "a new page whose id is taken, or is no id", "RB61": "a kind of page that is not known"})

SKELETONS = Path(__file__).parent / "skeletons"
#: Each kind of page: its skeleton, the folder it usually lies in, and the word after `kind:`.
KINDS: dict[str, tuple[str, str, str]] = {
    **{kind: ("conclusion", f"{kind}s", kind) for kind in get_args(ConclusionKind)},
    "concern": ("concern", "concerns", "concern"),
    "action": ("action", "actions", "bodywork"),
    **{kind: ("action", "actions", kind) for kind in get_args(ActionKind)},
    "circumstance": ("circumstance", "circumstances", ""),
    "source": ("source", "sources", ""),
}


@frozen
class NewPage:
    """The text of a page, and where it belongs below a rules folder."""

    text: str
    place: str


def new_page(kind: str, wanted: str, folders: Sequence[Path] | None = None, *, apart: bool = True) -> NewPage:
    """A skeleton of `kind` with the id `wanted`. Raises BadInput where either will not do, or the id is taken.

    `apart`: the page lies outside the shipped rules, so that its first line names the schema by its whole path.
    """
    kind = canonical(kind)
    if kind not in KINDS:
        hint = near_hint(kind, KINDS) or f"Known: {', '.join(KINDS)}."
        raise BadInput([Problem(wanted, 0, "RB61", f'there is no kind of page "{kind}".', hint)])
    if not re.fullmatch(r"[a-z][a-z0-9_]*", wanted):
        better = re.sub(r"[^a-z0-9_]", "", canonical(wanted)).lstrip("0123456789_")
        raise BadInput([Problem(wanted, 0, "RB60", "an id is small letters, figures and _, and begins with a letter.",
                                f'Write "{better}".' if better else "")])  # fmt: skip
    read = read_book(read_layers(folders or [shipped_rules()]))
    if read.book is None:
        raise BadInput(read.problems)
    for what, file in _taken(read.files, read.book.vocabulary, wanted):
        raise BadInput([Problem(file, 0, "RB60", f'"{wanted}" is already {what}.', "Choose another id.")])
    skeleton, folder, word = KINDS[kind]
    place = _a_place(read.book.vocabulary)
    text = (SKELETONS / f"{skeleton}.yaml").read_text("utf-8")
    name = wanted.replace("_", " ").capitalize()
    schemas = (shipped_rules() / "schema").as_posix() if apart else "../schema"
    for mark, value in (("@SCHEMAS@", schemas), ("@ID@", wanted), ("@KIND@", word), ("@NAME@", name), ("@PLACE@", place.key),
                        ("@PLACE NAME@", place.name)):  # fmt: skip
        text = text.replace(mark, value)
    return NewPage(text, f"{folder}/{wanted}.yaml")


def _taken(files: Mapping[str, Node], vocabulary: Vocabulary, wanted: str) -> Iterator[tuple[str, str]]:
    """What already goes by this id, and in which file: a page in use, a retired one, or a word."""
    for file, root in files.items():
        node = root.get("id")
        if node is not None and node.text is not None and canonical(node.text) == wanted and _is_page(file):
            retired = root.get("status")
            gone = ", retired; an id is never used again" if retired is not None and retired.text == "retired" else ""
            yield f"the id of a page{gone}", file
    for table in (vocabulary.places, vocabulary.observations):
        if wanted in table:
            yield "a word of the vocabulary", getattr(table[wanted], "file", "")
    if wanted in vocabulary.place_of:
        key = vocabulary.place_of[wanted]
        yield f"a name of the place {key}", vocabulary.places[key].file


def _is_page(file: str) -> bool:
    return Path(file).parent.name in PAGE_FOLDERS


def _a_place(vocabulary: Vocabulary) -> Place:
    """The place a skeleton shows its form with: the withers, or the first of this vocabulary that has two sides."""
    if "withers" in vocabulary.places and vocabulary.places["withers"].sides == "each":
        return vocabulary.places["withers"]
    return min((p for p in vocabulary.places.values() if p.sides == "each"), key=lambda p: (p.walk, p.key))
