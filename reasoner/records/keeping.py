"""A visit made ready to be kept.

In: a visit file, read once, and the rulebook. Out: its answer, and a `Kept` for the store.
Not here: the transaction, the shape of the kept answer (rendering/).
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from reasoner import __version__
from reasoner.consult import Answer, judge
from reasoner.rulebook.layers import read_layers, shipped_rules, stamp_of
from reasoner.rulebook.strict_yaml import read_bytes
from reasoner.rules_cache import Ready
from reasoner.store.saving import Kept
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes

#: The oldest moment a zip can hold: an archive of the same rules has the same bytes whenever it is made.
_NO_TIME = (1980, 1, 1, 0, 0, 0)


def kept_from(
    path: Path, ready: Ready, folders: Sequence[Path] | None, plain: Callable[[Answer], Mapping[str, Any]]
) -> tuple[Answer, Kept]:
    """The answer to a visit file and what is kept of both. Raises BadInput with everything that is wrong in the file.

    `plain` makes the JSON-ready data of an answer. The file is read once, so that what is kept is what was judged.
    """
    return kept_of(read_bytes(path), str(path), ready, folders, plain)


def kept_of(
    text: bytes, shown: str, ready: Ready, folders: Sequence[Path] | None, plain: Callable[[Answer], Mapping[str, Any]],
    earlier: Callable[[Visit], Visit] | None = None, beside: Mapping[str, bytes] | None = None,
) -> tuple[Answer, Kept]:  # fmt: skip
    """The same of the bytes of a visit file; `earlier` adds what visits before it say, `beside` are the tables it names, where
    they do not lie in its folder. Raises BadInput as `kept_from` does."""
    visit = visit_from_bytes(text, shown, ready.book.vocabulary, beside)
    answer = judge(visit if earlier is None else earlier(visit), ready)
    layers = read_layers(folders or [shipped_rules()])
    return answer, Kept(
        visit=answer.visit, text=text, answer=plain(answer), stamp=stamp_of(layers), engine=__version__,
        archive=archive_of(layers),
    )  # fmt: skip


def archive_of(layers: Sequence[tuple[Path, str, bytes]]) -> bytes:
    """Every file of a rulebook in one zip, layer by layer (0/, 1/, ...); the same rules give the same bytes."""
    numbers = {folder: n for n, folder in enumerate(dict.fromkeys(folder for folder, _, _ in layers))}
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for folder, name, data in layers:
            packed.writestr(zipfile.ZipInfo(f"{numbers[folder]}/{name}", _NO_TIME), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()
