"""The practitioner's own words beside a visit file, as the records hold them.

In: an answer, its visit file and where the records are. Out: the answer with the changes in it.
Not here: what a change may be (records.changing), its words (rendering.edited_lines).
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.records.editing import Edited


def with_edits(answer: Answer, path: Path, store_at: str, *, quiet: bool) -> Edited:
    """The answer with what was changed of the visit kept in these very bytes; what is set aside is told unless `quiet`."""
    from reasoner.cli.records.common import opened
    from reasoner.records.editing import edited
    from reasoner.rendering.edited_lines import aside_words
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.store.afterwards import visit_of_bytes
    from reasoner.store.edits import edits_of
    from reasoner.store.place import place_of

    with opened(place_of(store_at)).reading() as connection:
        visit = visit_of_bytes(connection, read_bytes(path))
        found = edited(answer, edits_of(connection, visit) if visit is not None else ())
    for one in () if quiet else found.aside:
        click.echo(f"note: {aside_words(one)}", err=True)
    return found
