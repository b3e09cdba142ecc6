"""What the records hold beside a visit file: a countersignature of its very bytes, and practitioners' own judgements.

In: a visit file and where the records are. Out: `Beside`; a refusal (RE25) where a report may not leave yet.
Not here: what a countersignature is (records.signing), the page.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.records.signing import Signing
    from reasoner.rendering.text_page import Line
    from reasoner.store.afterwards import Opinion
    from reasoner.store.opening import Store
    from reasoner.visit.model import Visit

register({"RE25": "a report of a visit that is not countersigned"})


@frozen
class Beside:
    """What stands beside a visit file: `signing` None where nobody else has to sign; `opinions` the judgements kept of it."""

    signing: Signing | None
    opinions: tuple[Opinion, ...]


def answer_that_may_leave(
    path: Path, folders: Sequence[Path], as_json: bool, store_at: str | None
) -> tuple[Answer, Beside]:
    """The answer for a visit file of which a report is to be made, and what stands beside it.

    The file is read once, so that what is looked for in the records is what is judged. Raises BadInput (RE25 where an
    apprentice's visit is not countersigned in these very words by who answers for it).
    """
    from reasoner.cli.common import ready, remembered, warn
    from reasoner.consult import judge
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.visit.reading import visit_from_bytes

    text, rules = read_bytes(path), ready(folders)
    visit = visit_from_bytes(text, str(path), rules.book.vocabulary)
    answer = judge(visit if store_at is None else remembered(visit, rules.book, store_at), rules)
    found = beside(answer.visit, text, store_at)
    if found.signing is not None and found.signing.signature is None:
        raise BadInput([_not_signed(path, found.signing, answer.visit.horse_name)])
    if not as_json:
        warn(answer.visit.warnings)
    return answer, found


def beside(visit: Visit, text: bytes, store_at: str | None) -> Beside:
    """What the records hold beside these bytes. Where no place of records is named, the usual one is looked into if it is there;
    what is wrong with that one matters only to a visit that waits for a countersignature. Raises BadInput (ST01 to ST07)."""
    from reasoner.records.signing import signing_of

    signing = signing_of(visit)
    try:
        store = _store(store_at)
        if store is None:
            return Beside(signing, ())
        return _looked(store, signing, text)
    except BadInput as bad:
        if store_at or signing is not None:
            raise
        for problem in bad.problems:
            click.echo(f"note: the records were not looked into: {problem}", err=True)
        return Beside(None, ())


def signing_above(answer: Answer, path: Path, store_at: str | None) -> list[Line]:
    """The line above a draft on the screen; none where the examiner answers for the visit, which costs nothing to see."""
    hands, checks = (answer.visit.noted_value(key) for key in ("examined_by", "checked_by"))
    if not checks or checks == hands:
        return []
    from reasoner.rendering.beside_lines import signing_lines
    from reasoner.rulebook.strict_yaml import read_bytes

    return list(signing_lines(beside(answer.visit, read_bytes(path), store_at).signing))


def _store(store_at: str | None) -> Store | None:
    import os

    from reasoner.store.place import VARIABLE, place_of

    place = place_of(store_at)
    asked = bool(store_at or os.environ.get(VARIABLE, "").strip())
    if not asked and (place.file is None or not place.file.exists()):
        return None
    from reasoner.cli.records.common import opened

    return opened(place)


def _looked(store: Store, signing: Signing | None, text: bytes) -> Beside:
    from reasoner.records.signing import signed
    from reasoner.store.afterwards import opinions_of, visit_of_bytes

    with store.reading() as connection:
        visit = visit_of_bytes(connection, text)
        opinions = opinions_of(connection, visit) if visit is not None else ()
        return Beside(signed(connection, signing, text) if signing is not None else None, opinions)


def _not_signed(path: Path, signing: Signing, horse: str) -> Problem:
    return Problem(
        str(path), 0, "RE25",
        f"examined by {signing.examined_by or 'nobody named'}, to be checked by {signing.checked_by}: no report leaves before "
        f"{signing.checked_by} has countersigned these very words.",
        f'Keep the file with `reasoner records save`, then `reasoner records countersign "{horse}" --by "{signing.checked_by}"`, '
        "and name the same records with --store. `reasoner assess` and `plan` show a draft on the screen.",
    )  # fmt: skip
