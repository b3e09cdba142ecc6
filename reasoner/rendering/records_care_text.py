"""The pages of the commands that look after the records: exports, backups, checks, agreements, contact data, enclosed files.

In: what was done or found. Out: lines for the terminal.
Not here: doing it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.problems import Problem
from reasoner.rendering import phrases
from reasoner.rendering.held_words import what_to_do
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook.wording import Wording
from reasoner.store.consents import WHAT, Agreed
from reasoner.store.enclosing import Enclosed
from reasoner.store.place import ACCESS, CLASS, PRACTICE, Place
from reasoner.store.placing import Placed
from reasoner.store.reading import KnownHorse

if TYPE_CHECKING:  # pyarrow, which exports need, is not for every page to pay for
    from reasoner.store.backup import Backup
    from reasoner.store.checking import Checked
    from reasoner.store.exporting import Exported
    from reasoner.store.importing import Imported
    from reasoner.store.people import Contact


#: What is done about a caption that no report takes along.
CAPTION_ANEW = "Add the same photograph again with other words: the last ones stand."

#: What lies beside the records and in no backup of them.
NOT_RECORDS = {
    ACCESS: "who may come in by telephone, and pushes on a floor scale",
    PRACTICE: "practice cases and what each person has learnt at them",
    CLASS: "the class, its cases and its answers",
}


@frozen(kw_only=True)
class Beside:
    """What is told beside a visit: what was agreed about the horse, the files kept with it, where it counts by whose
    word, the horse it was first kept under, and the words nobody may use (None: not looked for)."""

    agreed: Sequence[Agreed]
    enclosed: Sequence[Enclosed]
    today: date
    placed: Sequence[Placed] = ()
    first: str = ""
    wording: Wording | None = None


def exported_lines(place: Place, done: Exported) -> Iterator[Line]:
    """What was written where."""
    yield Line(f"everything kept is in {done.folder}", "title", tail=place.shown)
    yield from _tables(done.tables, f"{done.kind} tables", done.files)
    yield Line("It holds the owners' contact data. manifest.json has the checksum of every file.", "faint")


def imported_lines(place: Place, folder: Path, done: Imported) -> Iterator[Line]:
    """What was read in."""
    yield Line(f"everything in {folder} is kept", "title", tail=place.shown)
    yield from _tables(done.tables, "tables", done.files)
    yield Line("Every checksum was looked at first.", "faint")


def _tables(tables: Mapping[str, int], what: str, files: int) -> Iterator[Line]:
    rows = sum(tables.values())
    visits = phrases.counted(tables["visit"], "visit")
    versions = phrases.counted(tables["version"], "version")
    yield Line(f"{phrases.counted(tables['horse'], 'horse')}, {visits}, {versions}", mark="-", hang=2)
    yield Line(
        f"{len(tables)} {what} with {phrases.counted(rows, 'row')}, and {phrases.counted(files, 'file')}",
        mark="-",
        hang=2,
    )


def backup_lines(place: Place, made: Backup) -> Iterator[Line]:
    """The backup that was made."""
    yield Line(f"backed up to {made.file}", "title", tail=place.shown)
    held = f"the records and {phrases.counted(made.files, 'enclosed file')}"
    yield Line(f"{held}, {_size(made.size)}, read back and found to match their checksums", mark="-", hang=2)
    yield Line(f"checksum of the backup (SHA-256): {made.sha256}", mark="-", hang=2)
    for folder in place.stands_beside:
        yield Line(f"Not in it: {NOT_RECORDS[folder.suffix[1:]]}. That is in {folder}; a copy of the folder keeps it.")
    yield Line("Keep it somewhere else than the records: on the same disk it is lost with them.", "faint")


def checked_lines(place: Place, found: Checked) -> Iterator[Line]:
    """What was looked at and what is wrong."""
    several = "1 thing is not as it was" if len(found.wrong) == 1 else f"{len(found.wrong)} things are not as they were"
    yield Line(f"{several} kept" if found.wrong else "everything is as it was kept",
               "alarm" if found.wrong else "title", tail=place.shown)  # fmt: skip
    for one in found.wrong:
        yield _problem(one)
    yield from heading("looked at")
    for what, count in found.looked_at.items():
        yield Line(f"{what}: {count:,}", mark="-", hang=2)
    if found.notes:
        yield from heading("could not be looked at")
        for one in found.notes:
            yield _problem(one)


def _problem(one: Problem) -> Line:
    return Line(str(one), mark="-", hang=2)


def contact_lines(place: Place, kept: Contact, *, erased: bool, copies: Sequence[str]) -> Iterator[Line]:
    """How an owner is reached, or that nothing of it is left."""
    yield Line(kept.owner, "title", tail=place.shown)
    if erased:
        yield Line("Contact data: erased. Nothing of it is left in these records.")
        if place.file is None:
            yield Line("The server's own log and backups are not reached from here: ask who keeps the server.")
        yield Line("Backups, exports and copies made before still hold it; take those away too.")
        for path in copies:
            yield Line(path, mark="-", hang=2)
        return
    told = [(name, getattr(kept, name)) for name in ("telephone", "mail", "address")]
    for name, value in told:
        if value:
            yield Line(f"{name}: {value}", mark="-", hang=2)
    if not any(value for _, value in told):
        yield Line("No contact data are kept.")


def consent_lines(
    place: Place, horse: KnownHorse, agreed: Sequence[Agreed], to_come: Sequence[Agreed], today: date
) -> Iterator[Line]:
    """What stands for a horse, what counts from a later day only, what holds now, and what was never said."""
    yield Line(horse.name, "title", tail=place.shown)
    yield from agreed_lines((*agreed, *to_come), today)
    if agreed or to_come:
        holding = [_agreed(one) for one in agreed if not one.given or one.holds(today)]
        yield Line(f"Holds now, on {phrases.day(today)}: {'; '.join(holding) or 'nothing of it'}.")
    unsaid = [what for what in WHAT if what not in {one.what for one in (*agreed, *to_come)}]
    if unsaid:
        yield from heading("nothing was said of")
        for what in unsaid:
            yield Line(f"{what}: {WHAT[what]}", mark="-", hang=2)


def agreed_lines(agreed: Sequence[Agreed], today: date) -> Iterator[Line]:
    """What was agreed or refused, one line each; nothing where nothing was said."""
    if not agreed:
        return
    yield from heading("what was said")
    for one in agreed:
        yield Line(agreed_words(one, today), mark="-", hang=2)


def agreed_words(one: Agreed, today: date) -> str:
    """One thing agreed or refused: who, when, how long, and the note."""
    return f"{_agreed(one)}{_holds(one, today)}{f' ({one.note})' if one.note else ''}"


def _agreed(one: Agreed) -> str:
    sentence = {
        ("owner agreed", True): f"the owner agrees to the work: {one.who}",
        ("owner agreed", False): f"the owner does not agree to the work: {one.who}",
        ("veterinary practice", True): f"veterinary practice: {one.who}",
        ("veterinary practice", False): f"no longer the veterinary practice: {one.who}",
        ("veterinarian aware", True): f"a veterinarian knows of the work: {one.who}",
        ("veterinarian aware", False): f"a veterinarian does not know of the work: {one.who}",
        ("report may go to", True): f"a report may go to {one.who}",
        ("report may go to", False): f"no report may go to {one.who}",
    }.get((one.what, one.given))
    return sentence or f"{one.what}: {'yes' if one.given else 'no'}, {one.who}"


def _holds(one: Agreed, today: date) -> str:
    said = f", said on {phrases.day(one.on)}"
    if one.given and one.on > today:
        said += ", counts from that day on"
    if one.another_since is not None:
        since = phrases.day(one.another_since)
        return f"{said}, which is over: the horse is another owner's since {since}; ask again"
    if one.until is None:
        return said
    return f"{said}, until {phrases.day(one.until)}" + ("" if one.holds(today) else ", which is over: ask again")


def in_short(agreed: Sequence[Agreed], today: date) -> str:
    """Of a horse in a list: whether the owner agrees; nothing where nobody said."""
    for one in agreed:
        if one.what == "owner agreed":
            if not one.given:
                return "; the owner does not agree to the work"
            return "; the owner agrees" if one.holds(today) else "; the owner's agreement is over"
    return ""


def enclosed_lines(enclosed: Sequence[Enclosed], wording: Wording | None = None) -> Iterator[Line]:
    """The files kept with a visit; by `wording` which caption no report takes along."""
    if not enclosed:
        return
    yield from heading("enclosed")
    for one in enclosed:
        where = "in the database; --files-to FOLDER writes it out" if one.at is None else str(one.at)
        missing = "" if one.at is None or one.at.is_file() else "; NOT THERE: see `reasoner records check`"
        shown = "".join(f", {told}" for told in (one.shows, one.caption and f'"{one.caption}"') if told)
        later = "" if one.stands else ", described otherwise since"
        yield Line(
            f"{one.name} ({one.kind}{shown}{later}, {_size(one.size)}, with version {one.number}): {where}{missing}",
            mark="-",
            hang=2,
        )
        if one.stands and (held := what_to_do(one.caption, wording, CAPTION_ANEW)):
            yield Line(held, "open", indent=2)


def _size(count: int) -> str:
    for unit, size in (("MB", 1_000_000), ("kB", 1000)):
        if count >= size:
            return f"{count / size:.1f} {unit}"
    return f"{count} bytes"
