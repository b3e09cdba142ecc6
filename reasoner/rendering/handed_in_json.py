"""An apprentice's work on a handed-out case for machines.

In: the work, where the session stands. Out: a dict ready for json.dumps.
Not here: its shape (handed_in_schema). No word of the teacher's answer is known where this is printed.
"""

from __future__ import annotations

from typing import Any

from reasoner.rendering.practise_json import practise_json
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.handed_in import Work
from reasoner.teaching.marked import Marked
from reasoner.teaching.offered import Offered
from reasoner.teaching.session import Session

VERSION = "1"


def handed_in_json(
    work: Work, file: str, marks_shown: bool, session: Session, offer: Offered, marks: Marked | None, book: Rulebook
) -> dict[str, Any]:
    """The work, and the session it comes to; marks stand in it only where the teacher lets them be seen."""
    return {
        "schema_version": VERSION, "case": work.title, "case_seal": work.seal, "by": work.by, "begun": work.begun,
        "file": file, "ended": work.ended, "ended_at": work.ended_at if work.ended else None,
        "receipt": work.receipt if work.ended else None, "marks_shown": marks_shown,
        "session": practise_json(session, offer, marks, None, book),
    }  # fmt: skip
