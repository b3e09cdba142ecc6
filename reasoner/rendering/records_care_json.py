"""What the commands that look after the records print with --json.

In: what was done or found. Out: JSON-ready data (schemas/records_*.json).
Not here: doing it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reasoner.problems import Problem
from reasoner.rendering.records_json import agreed_json, file_json, head_json, horse_json, visit_json
from reasoner.store.consents import Agreed
from reasoner.store.enclosing import Enclosed
from reasoner.store.place import Place
from reasoner.store.reading import KnownHorse, KnownVisit

if TYPE_CHECKING:  # pyarrow, which exports need, is not for every page to pay for
    from reasoner.store.backup import Backup
    from reasoner.store.checking import Checked
    from reasoner.store.exporting import Exported
    from reasoner.store.importing import Imported
    from reasoner.store.people import Contact


def exported_json(place: Place, done: Exported) -> dict[str, Any]:
    """What was written."""
    return {
        **head_json(place), "folder": str(done.folder), "format": done.kind, "tables": dict(done.tables), "files": done.files,
    }  # fmt: skip


def imported_json(place: Place, folder: Path, done: Imported) -> dict[str, Any]:
    """What was read in."""
    return {**head_json(place), "folder": str(folder), "tables": dict(done.tables), "files": done.files}


def backup_json(place: Place, made: Backup) -> dict[str, Any]:
    """The backup that was made."""
    return {
        **head_json(place), "backup": str(made.file), "size": made.size, "sha256": made.sha256, "enclosed": made.files,
        "not_in_it": [str(folder) for folder in place.stands_beside],
    }  # fmt: skip


def restored_json(place: Place, file: Path, count: int) -> dict[str, Any]:
    """Records made from a backup."""
    return {**head_json(place), "backup": str(file), "checked": count}


def checked_json(place: Place, found: Checked) -> dict[str, Any]:
    """What was looked at and what is wrong."""
    return {
        **head_json(place), "whole": not found.wrong,
        "looked_at": [{"what": what, "count": count} for what, count in found.looked_at.items()],
        "problems": [_problem(one) for one in found.wrong], "notes": [_problem(one) for one in found.notes],
    }  # fmt: skip


def enclosed_json(place: Place, visit: KnownVisit, kept: Iterable[Enclosed]) -> dict[str, Any]:
    """Files kept with a visit."""
    return {
        **head_json(place), "visit": visit_json(visit),
        "enclosed": [{**file_json(one), "new": one.new} for one in kept],
    }  # fmt: skip


def contact_json(place: Place, kept: Contact, *, erased: bool, copies: Sequence[str]) -> dict[str, Any]:
    """How an owner is reached; what is not kept is null."""
    return {
        **head_json(place), "owner": kept.owner, "telephone": kept.telephone or None, "mail": kept.mail or None,
        "address": kept.address or None, "erased": erased, "copies_to_take_away": list(copies),
    }  # fmt: skip


def consent_json(
    place: Place, horse: KnownHorse, agreed: Iterable[Agreed], today: date, earlier: Iterable[Agreed] = ()
) -> dict[str, Any]:  # fmt: skip
    """What stands for a horse, and what was said earlier and otherwise since."""
    return {
        **head_json(place), "horse": {**horse_json(horse), "agreed": agreed_json(agreed, today)},
        "said_earlier": agreed_json(earlier, today),
    }  # fmt: skip


def _problem(one: Problem) -> dict[str, Any]:
    return {
        "code": one.code, "severity": one.severity, "file": one.file, "line": one.line, "sentence": one.sentence,
        "hint": one.hint,
    }  # fmt: skip
