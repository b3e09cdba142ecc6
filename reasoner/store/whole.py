"""Files and folders that appear whole under their name, or not at all.

In: bytes, or a folder being filled. Out: the finished thing under its name, and nothing half done beside it.
Not here: what is written.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
import tempfile
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path

from reasoner.problems import BadInput, Problem, register

register({"ST30": "a copy that would lie over something", "ST31": "a copy that cannot be written"})

_PIECE = 1 << 20


def sha_of(path: Path) -> str:
    """The SHA-256 of a file's bytes (64 hexadecimal digits). Raises OSError."""
    found = hashlib.sha256()
    with path.open("rb") as handle:
        while piece := handle.read(_PIECE):
            found.update(piece)
    return found.hexdigest()


def put(path: Path, data: bytes) -> None:
    """Write a file that nobody else writes: into a name of its own first, on the disk, then renamed. Raises OSError."""
    _put(path, data, os.replace)


def put_new(path: Path, data: bytes) -> None:
    """The same, under a name that nothing has yet, whoever else is writing. Raises OSError, FileExistsError among it."""
    _put(path, data, _name)


def _put(path: Path, data: bytes, name: Callable[[Path, Path], None]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{uuid.uuid4().hex}")
    try:
        with part.open("xb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        name(part, path)
    finally:
        with contextlib.suppress(OSError):  # it is there no more where it was renamed
            part.unlink()
    settle(path.parent)


def settle(folder: Path) -> None:
    """Have the names in a folder on the disk too, where the system can be asked for that."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def refuse_over(path: Path) -> None:
    """Raises BadInput (ST30) where something stands under this name; an empty folder is nothing."""
    if path.is_dir() and not path.is_symlink() and not any(path.iterdir()):
        return
    if path.exists() or path.is_symlink():
        raise BadInput([Problem(str(path), 0, "ST30", "this exists and is not written over.", "Choose another name.")])


@contextlib.contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A name to write to; the file has its own name once all went well. Raises BadInput (ST30, ST31)."""
    with _beside(path) as folder:
        part = folder / "part"
        yield part
        with part.open("rb+") as handle:
            os.fsync(handle.fileno())
        try:
            _name(part, path)
        except FileExistsError:  # somebody was quicker
            refuse_over(path)
            raise
        settle(path.parent)


def _name(part: Path, path: Path) -> None:
    """Give a finished file its name, unless something has that name. Raises OSError, FileExistsError among it."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:  # some disks, such as most that are carried about, know one name for a file only
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        os.replace(part, path)


@contextlib.contextmanager
def whole_folder(path: Path) -> Iterator[Path]:
    """A folder to fill; it has its own name once all went well. Raises BadInput (ST30, ST31)."""
    with _beside(path) as folder:
        part = folder / "part"
        part.mkdir()
        yield part
        if hasattr(os, "sync"):
            os.sync()  # one call for thousands of files
        refuse_over(path)
        if path.is_dir():
            path.rmdir()
        os.rename(part, path)
        settle(path.parent)


@contextlib.contextmanager
def _beside(path: Path) -> Iterator[Path]:
    refuse_over(path)
    folder = None
    try:
        folder = Path(tempfile.mkdtemp(prefix=f".{path.name[:40]}.", dir=path.parent))
        yield folder
    except OSError as fault:
        # By its number: a library that writes tables has words of its own for it.
        why = (os.strerror(fault.errno) if fault.errno else str(fault) or "it cannot be written").lower()
        raise BadInput([Problem(str(path), 0, "ST31", f"this cannot be written: {why}. Nothing was written.",
                                "Make room, or choose another place.")]) from None  # fmt: skip
    finally:
        if folder is not None:
            shutil.rmtree(folder, ignore_errors=True)
