"""The rules as they stood, out of the archive kept beside the visits they judged.

In: the bytes of an archive, and the stamp it is kept under. Out: its files, layer by layer, and whether they are those.
Not here: packing (records/keeping.py), what the files say.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from pathlib import Path

from reasoner.rulebook.layers import stamp_of

Layers = list[tuple[Path, str, bytes]]


def layers_of(archive: bytes, stamp: str) -> Layers | None:
    """(layer, path inside it, bytes) of every file in the order packed; None where they are not the files of this stamp."""
    try:
        with zipfile.ZipFile(io.BytesIO(archive)) as packed:
            names = [name.partition("/") for name in packed.namelist()]
            found = [(Path(layer), name, packed.read(f"{layer}/{name}")) for layer, _, name in names]
    except (zipfile.BadZipFile, zlib.error, OSError, ValueError, EOFError, KeyError, NotImplementedError, RuntimeError):
        return None
    return found if stamp_of(found) == stamp else None
