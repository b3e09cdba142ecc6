"""The compiled rulebook, kept between runs.

In: folders of rules. Out: `Ready`, the rulebook with its program, from the cache where the bytes are the same.
Not here: reading pages, compiling. The cache is data only (JSON and raw numbers, never pickle), written beside and renamed
into place; a cache that cannot be read or written costs time, never an answer.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from reasoner import __version__
from reasoner.frozen import frozen
from reasoner.inference.program import Program, from_plain, to_plain
from reasoner.rulebook.frozen_json import book_from_plain, book_to_plain
from reasoner.rulebook.layers import read_layers, shipped_rules, stamp_of
from reasoner.rulebook.rulebook import Rulebook

FORMAT = "sore-horse-reasoner rulebook 1"
VARIABLE = "REASONER_CACHE"


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
    # INVARIANT: the place of a folder shows in file names and line references, so it is part of the key.
    key = hashlib.sha256(f"{FORMAT}\0{_engine()}\0{names}\0{stamp_of(layers)}".encode()).hexdigest()
    folder = cache_folder()
    path = folder / f"{key[:32]}.rules" if folder else None
    found = _read(path, key, names) if path else None
    if found is not None:
        return found
    from reasoner.rulebook.loading import rulebook_from  # brings in pydantic, which a cached rulebook does without

    made = compiled(rulebook_from(layers))
    if path:
        _write(path, key, made)
    return made


def _engine() -> str:
    """The engine's version; in a checkout, where code changes without one, also the bytes of what compiles."""
    here = Path(__file__).resolve().parent
    if (here / "_rules").is_dir():
        return __version__
    whole = hashlib.sha256()
    for room in ("inference", "rulebook"):
        for path in sorted((here / room).glob("*.py")):
            whole.update(path.read_bytes())
    return f"{__version__}+{whole.hexdigest()}"


def compiled(book: Rulebook) -> Ready:
    """Ground and compile a rulebook. Raises BadInput if its rules run in a circle."""
    from reasoner.inference.from_rulebook import ground
    from reasoner.inference.strata import compile_network

    network = ground(book)
    above = book.scales.fires_above
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


def _read(path: Path, key: str, names: tuple[str, ...]) -> Ready | None:
    """The cached rulebook, or None for any reason at all: the cache is never a reason to fail."""
    try:
        data = path.read_bytes()
        head, _, body = data.partition(b"\n")
        if head.decode() != f"{FORMAT} {key} {hashlib.sha256(body).hexdigest()}":
            return None
        size = int(body[:16])
        plain: dict[str, Any] = json.loads(body[16 : 16 + size])
        raw = memoryview(body)[16 + size :]
        arrays = {}
        for name, kind, shape, at, length in plain["arrays"]:
            arrays[tuple(name)] = np.frombuffer(raw[at : at + length], dtype=np.dtype(kind)).reshape(shape)
        # The two programs mean the same columns, rules and concerns: that part is kept once.
        program, lean = (
            from_plain(
                {n: a for (which, n), a in arrays.items() if which == kind}, plain[kind] | {"meta": plain["meta"]}
            )
            for kind in ("program", "lean")
        )
        return Ready(book_from_plain(plain["book"], names), program, lean)
    except (OSError, ValueError, KeyError, TypeError, IndexError, AttributeError):
        return None


def _write(path: Path, key: str, ready: Ready) -> None:
    plain: dict[str, Any] = {"arrays": [], "book": book_to_plain(ready.book)}
    parts, at = [], 0
    for which, program in (("program", ready.program), ("lean", ready.lean)):
        arrays, plain[which] = to_plain(program)
        plain["meta"] = plain[which].pop("meta")
        for name, array in arrays.items():
            raw = np.ascontiguousarray(array).tobytes()
            plain["arrays"].append([[which, name], array.dtype.str, list(array.shape), at, len(raw)])
            parts.append(raw)
            at += len(raw)
    text = json.dumps(plain, separators=(",", ":"), ensure_ascii=False).encode()
    body = f"{len(text):16d}".encode() + text + b"".join(parts)
    head = f"{FORMAT} {key} {hashlib.sha256(body).hexdigest()}\n".encode()
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
