"""How an export lies in its folder: where the bytes of each record stand, and what the tables say instead of them.

In: rows of the records. Out: names of files and folders that any system takes, and bytes as they stand in them.
Not here: reading and writing the folder.

    manifest.json                                     every file with its checksum, every table with its rows
    tables/NAME.csv (or .parquet)                     one table a kind
    visits/YARD/HORSE/DAY[-PART]/VERSION/visit.yaml   the very bytes of the visit file
    visits/YARD/HORSE/withdrawn/...                   the same of visits that count no more
    visits/.../VERSION/answer.json.gz                 the answer as it was given
    visits/.../VERSION/enclosed/NAME                  photographs and tables
    rulebooks/STAMP.zip                               the rules as they stood
"""

from __future__ import annotations

import gzip
import re
import struct
import unicodedata
import zlib
from collections import Counter
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, select

from reasoner.store import tables as t
from reasoner.store.reading import horses
from reasoner.store.standing import here

MANIFEST, FORMAT, FORMAT_VERSION = "manifest.json", "sore-horse-reasoner records", 1
#: Columns that hold bytes; in the tables of an export the name of a file stands in their place.
BYTES = {"version": ("text", "answer"), "rulebook": ("archive",)}
#: The column of an export that names an enclosed file, which no column of the records holds.
FILE = "file"
_NONE, _WITHDRAWN = "no yard written", "withdrawn"
_TAKEN = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)  # names that one system keeps to itself
_LONGEST = 40
_ZLIB, _GZIP = b"\x78\x9c", b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff"


def version_folders(connection: Connection) -> dict[str, str]:
    """Each version, and its folder: under the horse it counts at, where that stands now; a withdrawn one apart."""
    now, known = here(withdrawn=True), horses(connection)
    yards = _yards(connection)
    inside: dict[str, dict[str, str]] = {}
    for one in known:
        inside.setdefault(yards.get(one.yard, _NONE), {})[one.uid] = one.name
    folders = {uid: f"visits/{yard}/{name}" for yard, some in inside.items() for uid, name in unique(some).items()}
    query = (
        select(t.version.c.uid, t.version.c.visit, t.version.c.number, now.c.day, now.c.part, now.c.horse, now.c.withdrawn)
        .select_from(t.version).join(now, t.version.c.visit == now.c.uid)
    )  # fmt: skip
    return {row.uid: f"{folders[row.horse]}/{_visit(row)}/{row.number}" for row in connection.execute(query)}


def _yards(connection: Connection) -> dict[str, str]:
    """Each yard's name, and its folder."""
    every = {row.uid: row.name for row in connection.execute(select(t.yard))}
    return {every[uid]: folder for uid, folder in unique(every).items()}


def _visit(row: Any) -> str:
    name = f"{row.day}{f'-{row.part}' if row.part > 1 else ''}"
    return f"{_WITHDRAWN}/{name}-{row.visit}" if row.withdrawn else name


def enclosed_files(connection: Connection, folders: Mapping[str, str]) -> dict[str, str]:
    """Each enclosed file, and its name in the export."""
    inside: dict[str, dict[str, str]] = {}
    for row in connection.execute(select(t.enclosed.c.uid, t.enclosed.c.version, t.enclosed.c.name)):
        inside.setdefault(row.version, {})[row.uid] = row.name
    return {
        uid: f"{folders[version]}/enclosed/{name}"
        for version, each in inside.items()
        for uid, name in unique(each).items()
    }


def unique(names: Mapping[str, str]) -> dict[str, str]:
    """Names that any system takes and that differ also where capitals do not count; `names` is by uid.

    >>> unique({"a1": "Juniper", "b2": "juniper", "c3": "St. Otter/Hob"})
    {'a1': 'Juniper-a1', 'b2': 'juniper-b2', 'c3': 'St. Otter_Hob'}
    """
    safe = {uid: _safe(name) for uid, name in names.items()}
    often = Counter(name.casefold() for name in safe.values())
    often[_NONE] += 1
    return {uid: name if often[name.casefold()] == 1 else _with(name, uid) for uid, name in safe.items()}


def _with(name: str, uid: str) -> str:
    stem, dot, ending = name.rpartition(".")
    return f"{stem}-{uid}{dot}{ending}" if stem else f"{name}-{uid}"


def _safe(name: str) -> str:
    text = re.sub(r"[^\w .()'-]+", "_", unicodedata.normalize("NFC", name)).strip(" .")
    if len(text) > _LONGEST:
        stem, dot, ending = text.rpartition(".")
        kept = f"{dot}{ending}" if stem and len(ending) <= 5 else ""
        text = text[: _LONGEST - len(kept)].strip(" .") + kept
    return f"{text}_" if _TAKEN.fullmatch(text) else text or "unnamed"


def as_gzip(data: bytes) -> bytes:
    """What zlib packed, as a file that everyday programs unpack; the packed part stays as it is. Raises ValueError."""
    try:
        content = zlib.decompress(data)
    except zlib.error as fault:
        raise ValueError(str(fault)) from None
    if data[:2] != _ZLIB:
        raise ValueError("packed in another way")
    return _GZIP + data[2:-4] + struct.pack("<II", zlib.crc32(content), len(content) & 0xFFFFFFFF)


def as_zlib(data: bytes) -> bytes:
    """The way back, to the very same bytes. Raises ValueError.

    >>> packed = zlib.compress(b"girth line: 3")
    >>> as_zlib(as_gzip(packed)) == packed and gzip.decompress(as_gzip(packed))
    b'girth line: 3'
    """
    try:
        content = gzip.decompress(data)
    except (OSError, EOFError, zlib.error) as fault:
        raise ValueError(str(fault)) from None
    if data[:10] != _GZIP:
        raise ValueError("packed in another way")
    return _ZLIB + data[10:-8] + struct.pack(">I", zlib.adler32(content))
