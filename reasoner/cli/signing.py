"""What the records hold beside a visit file: a countersignature of its very bytes, and practitioners' own judgements.

In: a visit file and where the records are. Out: an answer with its countersignature; `Beside`; a refusal (RE25) where a report
may not leave yet. Not here: what a countersignature is (records.signing), what was agreed (cli.consent), the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.records.signing import Signing
    from reasoner.rendering.text_page import Line
    from reasoner.store.afterwards import Opinion, Signature
    from reasoner.store.enclosing import Enclosed
    from reasoner.store.opening import Store
    from reasoner.store.reading import KnownVisit
    from reasoner.visit.model import Visit

register({"RE25": "a report of a visit that is not countersigned"})


@frozen
class Beside:
    """What stands beside a visit file: the countersignature of its bytes, if any, `opinions`, the judgements kept of it, and
    `enclosed`, the files, with their bytes. `waiting` is the same visit as it is kept, where that waits for a countersignature
    and the file no longer says so."""

    signature: Signature | None = None
    opinions: tuple[Opinion, ...] = ()
    waiting: KnownVisit | None = None
    enclosed: tuple[Enclosed, ...] = ()


def answer_that_may_leave(
    path: Path, folders: Sequence[Path], as_json: bool, store_at: str | None, part: int | None = None
) -> tuple[Answer, Beside]:
    """The answer for a visit file of which a report is to be made, and what the records hold beside it.

    Raises BadInput (RE25 where an apprentice's visit is not countersigned in these very words by who answers for it).
    """
    from reasoner.cli.common import judged, tell_aside
    from reasoner.records.signing import signing_of

    answer, text = judged(path, folders, store_at, part)
    found = beside(answer.visit, text, store_at)
    if found.waiting is not None:
        raise BadInput([_name_left_out(path, found.waiting)])
    answer = replace(answer, signature=found.signature)
    signing = signing_of(answer.visit, found.signature)
    if signing is not None and signing.signature is None:
        raise BadInput([_not_signed(path, signing, answer)])
    if not as_json:
        tell_aside(answer)
    return answer, found


def beside(visit: Visit, text: bytes, store_at: str | None) -> Beside:
    """What the records hold beside these bytes. Where no place of records is named, the usual one is looked into if it is there;
    what is wrong with that one matters only to a visit that waits for a countersignature. Raises BadInput (ST01 to ST07)."""
    from reasoner.records.signing import signing_of

    signing = signing_of(visit)
    try:
        store = usual_store(store_at)
        return Beside() if store is None else _looked(store, visit, signing, text)
    except BadInput as bad:
        if store_at or signing is not None:
            raise
        for problem in bad.problems:
            click.echo(f"note: the records were not looked into: {problem}", err=True)
        return Beside()


def with_signature(answer: Answer, text: bytes, store_at: str | None) -> Answer:
    """The answer with the countersignature of the bytes it was read from; where nobody else has to sign, that costs nothing."""
    if answer.visit.noted_value("checked_by") is None:
        return answer
    from reasoner.records.signing import signing_of

    if signing_of(answer.visit) is None:
        return answer
    return replace(answer, signature=beside(answer.visit, text, store_at).signature)


def signing_above(answer: Answer) -> list[Line]:
    """The line above a draft on the screen; none where the examiner answers for the visit, which costs nothing to see."""
    if answer.visit.noted_value("checked_by") is None:
        return []
    from reasoner.records.signing import signing_of
    from reasoner.rendering.beside_lines import signing_lines

    return list(signing_lines(signing_of(answer.visit, answer.signature)))


def none_waits(waiting: Iterable[KnownVisit], what: str, shown: str) -> None:
    """That no kept visit of a page that is to be written waits for a countersignature. Raises BadInput (RE25)."""
    every = [f"{one.day.isoformat()} (by {one.checked_by})" for one in waiting]
    if every:
        raise BadInput([Problem(shown, 0, "RE25", f"{what} shows visits that are not countersigned: {', '.join(every)}.",
                                "No page leaves before: `reasoner records countersign`. On the screen it is shown without -o "
                                "and --picture.")])  # fmt: skip


def usual_store(store_at: str | None) -> Store | None:
    """The records that are named, or the usual ones where they are there. Raises BadInput (ST01 to ST07)."""
    from reasoner.store.place import place_of
    from reasoner.store.write_protected import stands

    place = place_of(store_at)
    if not named(store_at) and (place.file is None or not stands(place.file)):
        return None
    from reasoner.cli.records.common import opened

    return opened(place)


def note_unheard(answer: Answer, store_at: str | None) -> None:
    """Tell on standard error that the usual records hold earlier visits to this horse, which a page made without --store did not
    hear. Whether records are asked for earlier visits is said by --store alone; where they are, by $REASONER_STORE too."""
    if store_at is not None:
        return
    from reasoner.records.before import horse_of
    from reasoner.store.reading import visits

    try:
        store = usual_store(None)
        if store is None:
            return
        with store.reading() as connection:
            horse = horse_of(connection, answer.visit)
            every = visits(connection, horse=horse.uid, until=answer.visit.day) if horse is not None else ()
    except BadInput:  # what is wrong with records that nobody named was told where consent was looked up
        return
    before = sum(one.day < answer.visit.day for one in every)
    if before:
        visits_to = f"{before} earlier visit{'s' if before > 1 else ''} to {answer.visit.horse_name}"
        click.echo(f"note: {store.place.shown} holds {visits_to}, which this page was written without. With --store at the end "
                   "it is judged with them, and tells what changed since.", err=True)  # fmt: skip


def named(store_at: str | None) -> bool:
    """Whether somebody said where the records are, by the option or by the environment."""
    import os

    from reasoner.store.place import VARIABLE

    return bool(store_at or os.environ.get(VARIABLE, "").strip())


def _looked(store: Store, seen: Visit, signing: Signing | None, text: bytes) -> Beside:
    from reasoner.records.signing import signature_under, waiting_for
    from reasoner.store.afterwards import opinions_of, visit_of_bytes
    from reasoner.store.enclosing import enclosed_with, with_bytes

    with store.reading() as connection:
        visit = visit_of_bytes(connection, text)
        opinions = opinions_of(connection, visit) if visit is not None else ()
        held = enclosed_with(connection, store.place, visit) if visit is not None else ()
        enclosed = with_bytes(connection, store.place, [one for one in held if one.kind == "photo"])
        if signing is None:
            return Beside(opinions=opinions, waiting=waiting_for(connection, seen, text), enclosed=enclosed)
        return Beside(signature_under(connection, signing, text), opinions, enclosed=enclosed)


def _name_left_out(path: Path, kept: KnownVisit) -> Problem:
    return Problem(
        str(path), 0, "RE25",
        f"the visit to {kept.name} on {kept.day.isoformat()} is kept as one to be checked by {kept.checked_by}, is not "
        "countersigned, and this file no longer says so: no report leaves.",
        "Countersign the kept one, or keep this one: as its correction (`reasoner records correct`), or as another of that "
        "day (`reasoner records save --part`).",
    )  # fmt: skip


def _not_signed(path: Path, signing: Signing, answer: Answer) -> Problem:
    hint = (
        f'Keep the file with `reasoner records save`, then `reasoner records countersign "{answer.visit.horse_name}" --by '
        f'"{signing.checked_by}"`, and name the same records with --store. `reasoner assess` and `plan` show a draft on the '
        "screen."
    )
    if answer.referral.level == "emergency":
        hint = (
            f"An emergency waits for no page: ring the veterinarian now, and say what `reasoner assess` shows. {hint}"
        )
    return Problem(
        str(path), 0, "RE25",
        f"examined by {signing.examined_by or 'nobody named'}, to be checked by {signing.checked_by}: no report leaves before "
        f"{signing.checked_by} has countersigned these very words.", hint,
    )  # fmt: skip
