"""Copies of the records, consistent while they are in use.

In: an opened store, or a backup. Out: a file that holds the same records as at one moment; or records again from it.
Not here: exports (exporting.py). A backup is one zip: records.db, the enclosed files, and
SHA256SUMS last, in the form that everyday programs check.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sqlite3
import struct
import zipfile
import zlib
from contextlib import closing
from pathlib import Path

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register
from reasoner.store.opening import Store, steps_known, told
from reasoner.store.place import Place
from reasoner.store.whole import refuse_over, sha_of, whole_file, whole_folder
from reasoner.store.write_protected import read_only_address

register(
    {
        "ST34": "a backup that is damaged, or is none",
        "ST43": "a server, where a file was expected",
    }
)

#: What SQLite calls a fault of the file that is read; whatever else goes wrong in a copy is wrong where it is written.
_OF_THE_SOURCE = (
    "SQLITE_CORRUPT",
    "SQLITE_NOTADB",
    "SQLITE_IOERR_READ",
    "SQLITE_IOERR_SHORT_READ",
    "SQLITE_BUSY",
    "SQLITE_LOCKED",
)
#: What reading a damaged zip comes to: a number in it may point anywhere, before its beginning too.
_NOT_UNPACKED = (
    zipfile.BadZipFile, zlib.error, struct.error, EOFError, OSError, ValueError, OverflowError, NotImplementedError, RuntimeError,
)  # fmt: skip
DATABASE, FILES, SUMS = "records.db", "files/", "SHA256SUMS"


@frozen(kw_only=True)
class Backup:
    """A backup: its file, its size in bytes, its checksum, and how many files it holds besides the database."""

    file: Path
    size: int
    sha256: str
    files: int


def copy_to(store: Store, path: Path) -> None:
    """Copy the database of a file into another file, whole or not at all. Raises BadInput (ST05, ST30, ST31)."""
    with whole_file(path) as part:
        _copy(store, part, path)


def copy_beside(store: Store) -> Path | None:
    """A copy beside the file, named after its version; None for a server, which has its own ways."""
    if store.place.file is None:
        return None
    number = 1
    while (path := store.place.file.with_name(f"{store.place.file.name}.before-upgrade-{number}")).exists():
        number += 1
    copy_to(store, path)
    return path


def backup(store: Store, path: Path) -> Backup:
    """A backup of a file and of everything enclosed, checked once written. Raises BadInput (ST05, ST30, ST31, ST41, ST43)."""
    if store.place.file is None:
        raise BadInput([Problem(store.place.shown, 0, "ST43", "records on a server are not copied file by file.",
                                "There the export is the backup: `reasoner records export FOLDER`. It tells one moment while "
                                "others work, carries its checksums, and `import` reads it back.")])  # fmt: skip
    with whole_file(path) as part:
        database = part.with_name(DATABASE)
        _copy(store, database, path)
        named = _named(database)
        with zipfile.ZipFile(part, "x", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
            sums = [_add(packed, database, DATABASE)]
            for sha, name in named.items():
                kept = store.place.files / sha
                if not kept.is_file():
                    raise BadInput([Problem(str(kept), 0, "ST41", f'the enclosed file "{name}" is not there; no backup was made.',
                                            "`reasoner records check` names everything that is missing.")])  # fmt: skip
                sums.append(_add(packed, kept, FILES + sha))
                if not sums[-1].startswith(sha):
                    raise BadInput([Problem(str(kept), 0, "ST41", f'the enclosed file "{name}" is not as it was kept; '
                                            "no backup was made.", "Enclose a sound copy of it again.")])  # fmt: skip
            packed.writestr(zipfile.ZipInfo(SUMS), "".join(f"{line}\n" for line in sums))
        _checked(part, path)
        size, sha = part.stat().st_size, sha_of(part)
    return Backup(file=path, size=size, sha256=sha, files=len(named))


def restore(path: Path, place: Place) -> int:
    """Records from a backup, under a name where nothing is; how many files were checked. What was told of as damaged
    is not restored, and nothing is written over. Raises BadInput (ST04, ST30, ST31, ST34, ST43)."""
    if place.file is None:
        raise BadInput([Problem(place.shown, 0, "ST43", "a backup is restored to a file, and this is a server.",
                                "Restore it to a file, `export` that, and `import` the export here.")])  # fmt: skip
    if path.is_dir():
        raise BadInput([Problem(str(path), 0, "ST34", "this is a folder, and a backup is one file.",
                                "A folder that `export` wrote is read by `reasoner records import`.")])  # fmt: skip
    if not path.is_file():
        raise BadInput([Problem(str(path), 0, "ST34", "there is no such file.")])
    beside = [place.file.with_name(place.file.name + end) for end in ("-wal", "-shm")]
    for standing in (place.file, *beside):
        refuse_over(standing)
    left = place.files.is_dir() and _left_by(path, place.files)
    if not left:
        refuse_over(place.files)
    if not place.file.parent.is_dir():
        raise BadInput([Problem(str(place.file.parent), 0, "ST31", "there is no such folder.", "Make it first.")])
    sums = _checked(path, path)
    with whole_file(place.file) as part, zipfile.ZipFile(path) as packed:
        _unpack(packed, DATABASE, part)
        _sound(part, path)
        inside = [name for name in sums if name.startswith(FILES)]
        if inside and not left:
            with whole_folder(place.files) as folder:
                for name in inside:
                    _unpack(packed, name, folder / name.removeprefix(FILES))
    return len(sums)


def _left_by(backup: Path, folder: Path) -> bool:
    """Whether a folder holds the files of this backup and nothing else, to the byte: a restore that was cut off before the
    records had their name left it."""
    try:
        with zipfile.ZipFile(backup) as packed:
            wanted = {name.removeprefix(FILES) for name in packed.namelist() if name.startswith(FILES)}
        found = list(folder.iterdir())
        return {one.name for one in found} == wanted and all(one.is_file() and sha_of(one) == one.name for one in found)
    except (OSError, zipfile.BadZipFile):
        return False


def _copy(store: Store, part: Path, shown: Path) -> None:
    """The database into a new file on its way to `shown`; a fault is told of where it lies. Raises BadInput (ST05, ST31)."""
    assert store.place.file is not None
    with told(store.place), store.untouched(), closing(_source(store, store.place.file)) as one:
        one.execute("SELECT count(*) FROM sqlite_master").fetchall()
        try:
            with closing(sqlite3.connect(part)) as other:
                one.backup(other)
                found = [row[0] for row in other.execute("PRAGMA integrity_check(3)")]
        except sqlite3.Error as fault:
            if fault.sqlite_errorname.startswith(_OF_THE_SOURCE):
                raise
            sentence = f"the copy cannot be written here: {fault}. Nothing was."
            raise BadInput([Problem(str(shown), 0, "ST31", sentence,
                                    "Make room, or choose another place; the records are as they were.")]) from None  # fmt: skip
    if found != ["ok"]:
        raise BadInput([Problem(store.place.shown, 0, "ST05", f"these records are damaged ({found[0]}); no copy was made.",
                                "Restore an earlier backup to another name.")])  # fmt: skip


def _source(store: Store, file: Path) -> sqlite3.Connection:
    return sqlite3.connect(read_only_address(file), uri=True) if store.protected else sqlite3.connect(file)


def _named(database: Path) -> dict[str, str]:
    """The enclosed files that the rows of a copy tell of: checksum, name."""
    with closing(sqlite3.connect(database)) as connection:
        return dict(connection.execute("SELECT sha256, name FROM enclosed ORDER BY sha256, name DESC"))


def _add(packed: zipfile.ZipFile, path: Path, name: str) -> str:
    """Put a file in, and its line for the sums, from the bytes that were put in."""
    found = hashlib.sha256()
    with path.open("rb") as source, packed.open(name, "w", force_zip64=True) as out:
        while piece := source.read(1 << 20):
            found.update(piece)
            out.write(piece)
    return f"{found.hexdigest()}  {name}"


def _checked(file: Path, shown: Path) -> list[str]:
    """The files of a backup, each found to be what its checksum says. Raises BadInput (ST34)."""
    try:
        with zipfile.ZipFile(file) as packed:
            lines = packed.read(SUMS).decode().splitlines()
            sums = {name: sha for sha, _, name in (line.partition("  ") for line in lines)}
            if DATABASE not in sums or {*sums, SUMS} != set(packed.namelist()):
                raise _damaged(shown, "files are missing in it")
            for name, sha in sums.items():
                found = hashlib.sha256()
                with packed.open(name) as handle:
                    while piece := handle.read(1 << 20):
                        found.update(piece)
                if found.hexdigest() != sha or (name.startswith(FILES) and name != FILES + sha):
                    raise _damaged(shown, f"{name} differs from its checksum")
    except KeyError:
        raise _damaged(shown, "it holds no checksums") from None
    except _NOT_UNPACKED as fault:
        raise _damaged(shown, f"it does not unpack: {fault}") from None
    return list(sums)


def _unpack(packed: zipfile.ZipFile, name: str, to: Path) -> None:
    with packed.open(name) as source, to.open("xb") as out:
        shutil.copyfileobj(source, out, 1 << 20)
        out.flush()
        os.fsync(out.fileno())


def _sound(database: Path, shown: Path) -> None:
    """Raises BadInput (ST04, ST34) where what was unpacked is damaged, or of a newer version."""
    try:
        with closing(sqlite3.connect(database)) as connection:
            found = [row[0] for row in connection.execute("PRAGMA integrity_check(3)")]
            step = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.Error as fault:
        raise _damaged(shown, str(fault)) from None
    if found != ["ok"]:
        raise _damaged(shown, found[0])
    if step is None or step[0] not in steps_known():
        raise BadInput([Problem(str(shown), 0, "ST04", "this backup was made by a newer version of the reasoner.",
                                "Use that version. Nothing was restored.")])  # fmt: skip


def _damaged(file: Path, why: str) -> BadInput:
    return BadInput([Problem(str(file), 0, "ST34", f"this is no whole backup: {why}.",
                             "Nothing was restored. Use another backup.")])  # fmt: skip
