"""Whether a visit was an apprentice's, and whether who answers for it has put a name to these very words.

In: a visit, its bytes, and the records. Out: `Signing`. A visit is an apprentice's where `checked by` names somebody else than
`examined by`. Not here: refusing, wording, adding a countersignature (store/).
"""

from __future__ import annotations

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.store.afterwards import Signature, signatures_of_bytes
from reasoner.store.names import same_name
from reasoner.visit.model import Visit


@frozen(kw_only=True)
class Signing:
    """Who examined and who answers for it; `signature` None: not countersigned, as far as was looked."""

    examined_by: str
    checked_by: str
    signature: Signature | None = None


def signing_of(visit: Visit) -> Signing | None:
    """What an apprentice's visit waits for; None where nobody else has to sign."""
    hands, checks = _text(visit, "examined_by"), _text(visit, "checked_by")
    if not checks or same_name(hands, checks):
        return None
    return Signing(examined_by=hands, checked_by=checks)


def signed(connection: Connection, signing: Signing, text: bytes) -> Signing:
    """The same, with the countersignature of these very bytes by the person the visit names, where the records hold one."""
    for one in signatures_of_bytes(connection, text):
        if same_name(one.who, signing.checked_by):
            return Signing(examined_by=signing.examined_by, checked_by=signing.checked_by, signature=one)
    return signing


def _text(visit: Visit, key: str) -> str:
    value = visit.noted_value(key)
    return value if isinstance(value, str) else ""
