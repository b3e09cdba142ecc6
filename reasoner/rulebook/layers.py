"""The files a rulebook is made of: folders, layered, and the stamp of their bytes.

In: folders. Out: every file's bytes in order, and a hash of them all.
Not here: what the files say. This module stays light: it is read at every start, also when the rulebook is cached.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from reasoner.problems import BadInput, Problem, near_hint


@cache
def shipped_rules() -> Path:
    """The rules that came with this copy: inside the wheel, or beside the package in a checkout. Looked for once: a process that
    gives up its rights may not be let into this folder any more."""
    here = Path(__file__).resolve().parent.parent
    inside = here / "_rules"
    return inside if inside.is_dir() else here.parent / "rules"


def _unreadable(fault: OSError) -> None:
    """A folder that cannot be listed is never passed over: the reasons to call a veterinarian may stand in it."""
    why = (fault.strerror or "cannot be read").lower()
    raise BadInput([Problem(str(fault.filename), 0, "RB08", f"this folder cannot be read: {why}.")])


def _folders_beside(folder: Path) -> list[str]:
    """The folders that do stand where this one was looked for, for the nearest name."""
    try:
        return [str(folder.parent / found.name) for found in folder.parent.iterdir() if found.is_dir()]
    except OSError:
        return []


def rule_files(folder: Path) -> list[str]:
    """Every YAML file of one layer by its path inside it, sorted. Raises BadInput (RB08) if this is no rules folder."""
    if not folder.is_dir():
        if folder.exists():
            raise BadInput([Problem(str(folder), 0, "RB08", "this is a file; a rules folder was expected.")])
        hint = near_hint(str(folder), ["shipped", *_folders_beside(folder)])
        raise BadInput([Problem(str(folder), 0, "RB08", "there is no such rules folder.", hint)])
    top = str(folder)
    found: list[str] = []
    for at, _, names in os.walk(top, onerror=_unreadable):
        if os.path.basename(at) == "fences":  # cases for the tests of the rulebook, not pages of it
            continue
        inside = "" if at == top else os.path.relpath(at, top).replace(os.sep, "/") + "/"
        found += [inside + name for name in names if name.endswith(".yaml")]
    if not found:
        raise BadInput([Problem(str(folder), 0, "RB08", "this folder holds no rule pages (*.yaml).")])
    return sorted(found)


def read_layers(folders: Sequence[Path]) -> list[tuple[Path, str, bytes]]:
    """(folder, path inside it, bytes) of every file, layer by layer: the whole of what a rulebook is made from."""
    out = []
    for folder in folders:
        for name in rule_files(folder):
            path = os.path.join(folder, name)
            try:
                # Unbuffered: some hundred small files are read whole before every answer.
                with open(path, "rb", buffering=0) as handle:
                    out.append((folder, name, handle.readall()))
            except OSError as fault:
                why = (fault.strerror or "cannot be read").lower()
                raise BadInput([Problem(path, 0, "YM01", f"the file cannot be read: {why}.")]) from None
    return out


def stamp_of(layers: Sequence[tuple[Path, str, bytes]]) -> str:
    """A hash over the names and bytes of every file of every layer in order (64 hexadecimal digits)."""
    import hashlib  # only for a rulebook that is read anew

    whole = hashlib.sha256()
    last = None
    for folder, name, data in layers:
        if folder != last:
            whole.update(b"layer\0")
            last = folder
        whole.update(f"{name}\0{len(data)}\0".encode())
        whole.update(data)
    return whole.hexdigest()
