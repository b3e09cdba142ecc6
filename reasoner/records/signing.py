"""Whether a visit was an apprentice's, and whether who answers for it has put a name to these very words.

In: a visit, its bytes, and the records. Out: `Signing`. A visit is an apprentice's where `checked by` names somebody else than
`examined by`. Not here: refusing, wording, adding a countersignature (store/). Light: every JSON answer of such a visit asks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.store.names import same_name
from reasoner.visit.model import Visit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy import Connection

    from reasoner.store.afterwards import Signature
    from reasoner.store.reading import KnownVisit


@frozen(kw_only=True)
class Signing:
    """Who examined and who answers for it; `signature` None: not countersigned, as far as was looked."""

    examined_by: str
    checked_by: str
    signature: Signature | None = None


def signing_of(visit: Visit, signature: Signature | None = None) -> Signing | None:
    """What an apprentice's visit waits for, with the countersignature found, if any; None where nobody else has to sign."""
    hands, checks = _text(visit, "examined_by"), _text(visit, "checked_by")
    if not checks or same_name(hands, checks):
        return None
    return Signing(examined_by=hands, checked_by=checks, signature=signature)


def signature_under(connection: Connection, signing: Signing, text: bytes) -> Signature | None:
    """The countersignature of these very bytes by the person the visit names, where the records hold one."""
    from reasoner.store.afterwards import signatures_of_bytes

    return next((one for one in signatures_of_bytes(connection, text) if same_name(one.who, signing.checked_by)), None)


def waiting(connection: Connection, visits: Iterable[KnownVisit]) -> tuple[KnownVisit, ...]:
    """Of kept visits those that still wait for a countersignature of their newest version."""
    from reasoner.store.afterwards import signatures_of

    return tuple(
        one
        for one in visits
        if one.checked_by
        and not same_name(one.examiner, one.checked_by)
        and not any(same_name(s.who, one.checked_by) for s in signatures_of(connection, one.version))
    )


def waiting_for(connection: Connection, visit: Visit, text: bytes) -> KnownVisit | None:
    """A kept visit of the same horse and day that waits for a countersignature, unless these bytes are kept as another one: a
    name taken out of the file, or put into it, does not open the way for its report."""
    from reasoner.records.before import horse_of
    from reasoner.store.afterwards import visit_of_bytes
    from reasoner.store.reading import visits

    horse = horse_of(connection, visit)
    if horse is None:
        return None
    that_day = visits(connection, horse=horse.uid, since=visit.day, until=visit.day)
    waits = waiting(connection, that_day)
    own = visit_of_bytes(connection, text) if waits else None
    if own is not None and own not in {one.uid for one in waits}:
        return None
    return next(iter(waits), None)


def _text(visit: Visit, key: str) -> str:
    value = visit.noted_value(key)
    return value if isinstance(value, str) else ""
