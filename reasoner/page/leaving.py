"""Whether a report of a kept visit may leave, and the report.

In: a visit looked at, a reader. Out: what holds it back, in words; who approved it; its HTML.
Not here: routes, consent (records.may_go), the page itself (rendering.report), its layout on paper (rendering.pdf).
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import date

from sqlalchemy import Connection

from reasoner.frozen import frozen
from reasoner.page.looking import Looked
from reasoner.problems import BadInput, Problem, register
from reasoner.records.before import progress_until, since_of
from reasoner.records.may_go import may_go
from reasoner.records.signing import waiting
from reasoner.rendering.consent_lines import on_the_page, why_held_back
from reasoner.rendering.edited_lines import told
from reasoner.rendering.report import report_html
from reasoner.rulebook.readers import Reader
from reasoner.store.consents import said_of, standing
from reasoner.store.edits import Approval
from reasoner.store.enclosing import enclosed_with, with_bytes

register({"PG38": "a report that may not leave yet"})

#: The reader to whom a report goes without anybody's consent: it is the owner's own horse.
OWN = "owner"


@frozen(kw_only=True)
class Page:
    """The page of one reader: what holds it back (nothing: it may leave), its HTML, and who approved these very words."""

    reader: Reader
    held_back: tuple[str, ...]
    html: str
    draft_sha256: str
    approval: Approval | None
    approved_before: Approval | None

    @property
    def may_leave(self) -> bool:
        """Whether it may leave: nothing holds it back, and it was approved in these words."""
        return not self.held_back and self.approval is not None


def page_for(connection: Connection, looked: Looked, key: str, approvals: Sequence[Approval], today: date) -> Page:
    """The page of a reader, marked a draft until somebody approves it; none while it waits for a countersignature."""
    answer, horse, part = looked.answer, looked.known.horse, looked.known.part
    reader = answer.ready.book.scales.readers[key]
    may, urgent = may_go(reader, said_of(connection, horse), "", today), answer.referral.level == reader.not_held_up_at
    unsigned = waits_for_signature(looked)
    held = tuple(filter(None, (unsigned, "" if urgent or not may.held_back else why_held_back(reader, may))))
    mine = [one for one in approvals if one.reader == key]
    if unsigned:
        return Page(reader=reader, held_back=held, html="", draft_sha256="", approval=None, approved_before=None)
    agreed = on_the_page(
        reader, may, standing(connection, horse, day=today).get(horse, ()), own_eyes=False, emergency=urgent
    )
    progress = progress_until(connection, looked.own, part)
    earlier = waiting(connection, [one.known for one in progress.held[:-1]]) if progress is not None else ()
    since, place = since_of(connection, looked.own, part), looked.place
    photographs = [one for one in enclosed_with(connection, place, looked.known.uid) if one.kind == "photo"]
    enclosed = with_bytes(connection, place, photographs)

    def made(approved_by: str | None) -> str:
        return report_html(
            answer, key, approved_by, opinions=looked.opinions, progress=progress, changed=told(looked.edited),
            unsigned=[one.day for one in earlier], consent=agreed, told_since=since, enclosed=enclosed,
            wording=looked.wording,
        )  # fmt: skip

    draft = made(None)
    sha = hashlib.sha256(draft.encode()).hexdigest()
    approval = next((one for one in reversed(mine) if one.sha256 == sha), None)
    return Page(
        reader=reader, held_back=held, html=made(approval.who) if approval is not None and not held else draft,
        draft_sha256=sha, approval=approval, approved_before=mine[-1] if mine and approval is None else None,
    )  # fmt: skip


def waits_for_signature(looked: Looked) -> str:
    """What an apprentice's visit waits for; empty where nobody else has to sign, or somebody has."""
    if not looked.waits or looked.signing is None:
        return ""
    by = looked.signing.examined_by or "nobody named"
    return f"Examined by {by}: no report leaves before {looked.signing.checked_by} has countersigned these very words."


def refuse_if_held_back(page: Page) -> None:
    """Raises BadInput (PG38) where a report may not leave."""
    if page.held_back:
        hint = "The visit can be read on the screen; what the owner agrees to is kept on the page of the horse."
        raise BadInput([Problem(f"report for {page.reader.called}", 0, "PG38", one, hint) for one in page.held_back])
