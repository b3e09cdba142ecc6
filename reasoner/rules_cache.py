"""The compiled rulebook, kept between runs.

In: folders of rules. Out: `Ready`, the rulebook with its program, from the cache where the bytes are the same.
Not here: reading pages, compiling. The cache is data only (JSON and raw numbers, never pickle), written beside and renamed
into place; a cache that cannot be read or written costs time, never an answer.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any, overload

import numpy as np

from reasoner import __version__
from reasoner.frozen import frozen
from reasoner.inference.program import Program, from_plain, to_plain
from reasoner.problems import BadInput
from reasoner.rulebook.frozen_json import book_from_plain, book_to_plain
from reasoner.rulebook.layers import read_layers, shipped_rules
from reasoner.rulebook.rulebook import Rulebook

FORMAT = "sore-horse-reasoner rulebook 7"
VARIABLE = "REASONER_CACHE"
#: The long lists of a program's meaning that are read back entry by entry.
LATE = ("columns", "concerns", "actions")
#: What stands in the order of a program's own tables: the same entries in both programs, in another order.
OWN_ORDER = ("conclusions", "rules")


@frozen
class Ready:
    """A rulebook, compiled twice over: `program` keeps the record of a run, `lean` is for many rows without one."""

    book: Rulebook
    program: Program
    lean: Program


def ready_rulebook(folders: Sequence[Path] | None = None) -> Ready:
    """The rulebook of these folders (default: the shipped rules). Raises BadInput with every problem."""
    layers = read_layers(folders or [shipped_rules()])
    names = tuple(dict.fromkeys(str(folder) for folder, _, _ in layers))
    # INVARIANT: the place of a folder shows in file names and line references, so it is part of what is compared.
    made_from = b"\0".join(
        [FORMAT.encode(), _engine(), *(x for f, name, data in layers for x in (_named(f, name), data))]
    )
    folder = cache_folder()
    # Only which file to look into; what is in it is compared byte by byte.
    names_and_sizes = repr([(str(f), name, len(data)) for f, name, data in layers]).encode(errors="surrogateescape")
    path = folder / f"{zlib.crc32(names_and_sizes):08x}.rules" if folder else None
    found = _read(path, made_from, names) if path else None
    if found is not None:
        return found
    from reasoner.rulebook.loading import rulebook_from  # brings in pydantic, which a cached rulebook does without

    made = compiled(rulebook_from(layers))
    if path:
        _write(path, made_from, made)
    return made


def _named(folder: Path, name: str) -> bytes:
    return os.fsencode(f"{folder}\0{name}")


def _engine() -> bytes:
    """The engine's version; in a checkout, where code changes without one, also the bytes of what compiles."""
    here = os.path.dirname(os.path.abspath(__file__))
    parts = [__version__.encode()]
    if not os.path.isdir(os.path.join(here, "_rules")):
        for room in ("inference", "rulebook"):
            for name in sorted(os.listdir(os.path.join(here, room))):
                if name.endswith(".py"):
                    with open(os.path.join(here, room, name), "rb") as handle:
                        parts.append(handle.read())
    return b"\0".join(parts)


def compiled(book: Rulebook) -> Ready:
    """Ground and compile a rulebook. Raises BadInput if its rules run in a circle, or count one finding twice."""
    from reasoner.inference.circles import refuse_circles
    from reasoner.inference.from_rulebook import ground
    from reasoner.inference.strata import compile_network
    from reasoner.inference.voices import counted_twice

    network = ground(book)
    above = book.scales.fires_above
    refuse_circles(network, {key: page.file for key, page in book.conclusions.items()})
    twice = counted_twice(network, book)
    if twice:
        raise BadInput(twice)
    return Ready(book, compile_network(network, above), compile_network(network, above, full=False))


def cache_folder() -> Path | None:
    """Where compiled rulebooks are kept: $REASONER_CACHE, or the platform's own cache folder; None for "off"."""
    wanted = os.environ.get(VARIABLE, "")
    if wanted.lower() == "off":
        return None
    if wanted:
        return Path(wanted)
    name = "sore-horse-reasoner"
    try:
        if sys.platform == "win32":
            return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / name / "cache"
        if sys.platform == "darwin":
            return Path.home() / "Library" / "Caches" / name
        return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / name
    except RuntimeError:  # no home folder
        return None


def _read(path: Path, made_from: bytes, names: tuple[str, ...]) -> Ready | None:
    """The cached rulebook, or None for any reason at all: the cache is never a reason to fail.

    The bytes it was made from stand in it and are compared one by one; a hash is not needed, nor trusted.
    """
    try:
        data = path.read_bytes()
        start = data.index(b"\n") + 1
        head = data[: start - 1]
        words = head.decode().removeprefix(FORMAT).split()
        # Nothing of it is copied: it is a few megabytes, and this is most of what a short command does.
        if len(words) != 3 or not head.startswith(FORMAT.encode()) or not data.startswith(made_from, start):
            return None
        length, size = start + int(words[0]), int(words[1])
        if int(words[0]) != len(made_from) or int(words[2]) != zlib.crc32(memoryview(data)[length:]):
            return None
        plain: dict[str, Any] = json.loads(data[length : length + size])
        raw = memoryview(data)[length + size :]
        arrays = {}
        for name, kind, shape, at, long in plain["arrays"]:
            arrays[tuple(name)] = np.frombuffer(raw[at : at + long], dtype=np.dtype(kind)).reshape(shape)
        texts = Texts(data, length + size + plain["texts"], arrays.pop(("texts", "ends")).tolist())
        for name, (first, last) in plain["late"].items():
            plain["meta"][name] = Late(texts, first, last)
        # The two programs mean the same columns, rules and concerns: that part is kept once, in the order of `program`.
        meta = {"program": plain["meta"], "lean": dict(plain["meta"])}
        for name in OWN_ORDER:
            meta["lean"][name] = [plain["meta"][name][at] for at in arrays.pop(("order", name)).tolist()]
        program, lean = (
            from_plain({n: a for (which, n), a in arrays.items() if which == kind}, plain[kind] | {"meta": meta[kind]})
            for kind in ("program", "lean")
        )
        return Ready(book_from_plain(plain["book"], names, texts), program, lean)
    except (OSError, ValueError, KeyError, TypeError, IndexError, AttributeError):
        return None


class Texts:
    """Pieces of JSON that lie one behind another in the file, each read when it is asked for."""

    def __init__(self, body: bytes, start: int, ends: Sequence[int]) -> None:
        self._body, self._start, self._ends = body, start, ends

    def __call__(self, at: int) -> bytes:
        """The piece at a place."""
        return self._body[self._start + (self._ends[at - 1] if at else 0) : self._start + self._ends[at]]


class Late(Sequence[list[Any]]):
    """A long list of the program's meaning, read back entry by entry: a visit's answer looks at few of them."""

    def __init__(self, texts: Texts, first: int, last: int) -> None:
        self._texts, self._first, self._last = texts, first, last
        self._known: dict[int, list[Any]] = {}

    @overload
    def __getitem__(self, at: int) -> list[Any]: ...
    @overload
    def __getitem__(self, at: slice) -> list[list[Any]]: ...
    def __getitem__(self, at: int | slice) -> list[Any]:
        if isinstance(at, slice):
            return [self[n] for n in range(*at.indices(len(self)))]
        entry = self._known.get(at)
        if entry is None:
            if not -len(self) <= at < len(self):
                raise IndexError(at)
            entry = self._known[at] = json.loads(self._texts(self._first + at % len(self)))
        return entry

    def __len__(self) -> int:
        return self._last - self._first


def _order(ready: Ready, name: str) -> np.ndarray[Any, np.dtype[np.int64]]:
    """Where in the list of `program` each entry of the list of `lean` stands."""
    at = {json.dumps(entry): n for n, entry in enumerate(ready.program.meta[name])}
    return np.array([at[json.dumps(entry)] for entry in ready.lean.meta[name]], dtype=np.int64)


def _write(path: Path, made_from: bytes, ready: Ready) -> None:
    texts: list[str] = []
    plain: dict[str, Any] = {"arrays": [], "late": {}, "book": book_to_plain(ready.book, texts)}
    parts, at = [], 0
    for which, program in (("program", ready.program), ("lean", ready.lean)):
        arrays, plain[which] = to_plain(program)
        del plain[which]["meta"]
        named = {(which, name): array for name, array in arrays.items()}
        if which == "lean":
            named |= {("order", name): _order(ready, name) for name in OWN_ORDER}
        for whose, array in named.items():
            raw = np.ascontiguousarray(array).tobytes()
            plain["arrays"].append([list(whose), array.dtype.str, list(array.shape), at, len(raw)])
            parts.append(raw)
            at += len(raw)
    meta = plain["meta"] = dict(ready.program.meta)
    for name in LATE:
        entries = meta.pop(name)
        plain["late"][name] = (len(texts), len(texts) + len(entries))
        texts += [json.dumps(entry) for entry in entries]
    pieces = [text.encode(errors="surrogatepass") for text in texts]
    ends = np.cumsum([len(piece) for piece in pieces], dtype=np.int64)
    plain["arrays"].append([["texts", "ends"], ends.dtype.str, list(ends.shape), at, ends.nbytes])
    plain["texts"] = at + ends.nbytes
    text = json.dumps(plain, separators=(",", ":")).encode()
    body = made_from + text + b"".join([*parts, ends.tobytes(), *pieces])
    head = f"{FORMAT} {len(made_from)} {len(text)} {zlib.crc32(memoryview(body)[len(made_from) :])}\n".encode()
    import tempfile  # only where something is written

    temporary = ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".", delete=False) as handle:
            temporary = handle.name
            handle.write(head + body)
        os.replace(temporary, path)
    except OSError:
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
