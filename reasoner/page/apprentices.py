"""What an apprentice writes waits for somebody else.

In: who hands a visit over, and the visit. Out: nothing, or what has to be written first.
Not here: countersigning, holding reports back (records.signing).
"""

from __future__ import annotations

from reasoner.page.who import Who
from reasoner.problems import BadInput, Problem, register
from reasoner.records.signing import signing_of
from reasoner.store.names import same_name
from reasoner.visit.model import Visit

register({"PG13": "an apprentice's visit that nobody else answers for"})


def must_wait_for_another(who: Who, visit: Visit) -> None:
    """A visit in an apprentice's hands names a practitioner at `checked by`, so that no report of it leaves before that one has
    countersigned it. Raises BadInput (PG13)."""
    if who.role != "apprentice":
        return
    signing = signing_of(visit)
    if signing is None or same_name(signing.checked_by, who.name):
        raise BadInput([Problem(visit.file, 0, "PG13", f"{who.name} is an apprentice here: somebody else answers for this visit.",
                                f"Write examined by: {who.name}, and at checked by: the practitioner's name.")])  # fmt: skip
