"""The shapes of the JSON of `reasoner records ...`: what is kept, and what looks after it.

In: nothing. Out: `SHAPES`, file name to model.
Not here: filling the shapes (records_json.py, records_care_json.py), writing the files (schema_files.py). No command imports
this.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from reasoner.rendering.command_schema import Mistake
from reasoner.rendering.records_progress_schema import RestedOnOthers, ToldSinceThen
from reasoner.rendering.records_track_schema import KeptJudgement, Signed, Told
from reasoner.rendering.schema_base import Shape

Day = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
Uid = Annotated[str, Field(pattern=r"^[0-9a-f]{32}$", description="stays the same through export and import")]
Sha = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$", description="SHA-256")]
Count = Annotated[int, Field(ge=0)]
Number = Annotated[int, Field(ge=1)]
Call = Literal["none", "routine", "prompt", "emergency"]


class OfRecords(Shape):
    """What every answer of the records begins with."""

    schema_version: Literal["1"]
    store: str = Field(description="where the records are, without a password")


class SavedVisit(Shape):
    """One visit kept; `new` is false where the same words were kept already."""

    file: str
    horse: str
    date: Day
    visit: Uid
    version: Uid
    number: Number
    new: bool
    since: str | None = Field(
        description="of words kept already: that they were moved to another horse or withdrawn since"
    )
    kept_after: Day | None = Field(
        description="a later day of which a visit was kept before this one, and judged without it"
    )
    notes: list[str] = Field(description="what was noticed of its names and stands in nobody's way")


class SavedVisits(OfRecords):
    """What `records save` and `records correct` kept."""

    begun: bool = Field(description="there were no records at this place before")
    saved: list[SavedVisit]


class Agreed(Shape):
    """What stands about a horse: agreed or refused."""

    what: Literal["owner agreed", "veterinary practice", "veterinarian aware", "report may go to"]
    given: bool
    who: str = Field(description="who said so, or whom it names")
    on: Day
    until: Day | None = Field(description="the last day it holds; null: until something else is said")
    note: str | None
    holds: bool = Field(description="false: its last day is over, or the horse is another owner's since")
    another_owner_since: Day | None = Field(
        description="from which day on the horse is another owner's than when it was said; null: it is not"
    )


class Horse(Shape):
    """A horse of the records."""

    horse: Uid
    name: str
    yard: str | None
    born: str | None
    owner: str | None
    visits: Count
    last: Day | None
    agreed: list[Agreed]


class Visit(Shape):
    """The newest version of one visit."""

    visit: Uid
    version: Uid
    number: Number
    horse: str
    yard: str | None
    date: Day
    part: Number
    examined_by: str | None
    checked_by: str | None
    saddle: str | None
    rider: str | None
    call: Call
    rulebase: Sha


class Version(Shape):
    """One version of a visit: who kept it, when and why, and the rules that judged it."""

    version: Uid
    number: Number
    saved_at: str
    saved_by: str
    why: str | None
    rulebase: Sha


class File(Shape):
    """A file kept with a visit; `number` is the version it came with, `size` is in bytes. `shows` and `caption` of a photograph
    that was given them."""

    name: str
    kind: Literal["photo", "table"]
    number: Number
    size: Number
    sha256: Sha
    file: str | None = Field(description="where the copy lies; null: in the database")
    shows: str | None
    caption: str | None


class NewFile(File):
    """The same; `new` is false where it was kept already."""

    new: bool


class Placed(Shape):
    """Where somebody said that a visit counts: at which horse, or nowhere."""

    horse: str
    part: Number
    withdrawn: bool
    by: str
    why: str
    at: str


class Gone(Placed):
    """A visit that was moved or withdrawn, with the last word on it."""

    visit: Visit


class Changed(Shape):
    """A change of a line before it went out; `tool_words` are the tool's own, beside the practitioner's `words`."""

    line: Literal["step", "owner", "task", "observed"]
    deed: Literal["reword", "strike", "add", "back"]
    key: str
    side: Literal["left", "right"] | None
    kind: str | None
    tool_words: str | None
    words: str | None
    because: str | None
    by: str
    at: str


class Horses(OfRecords):
    """What `records list` prints."""

    horses: list[Horse]


class Visits(OfRecords):
    """What `records list HORSE` prints."""

    horse: Horse
    visits: list[Visit]
    gone: list[Gone] = Field(description="visits kept for it or moved to it that count here no more")


class SaidEarlier(Shape):
    """What was told, judged or agreed and has been said otherwise since, the newest first."""

    told: list[Told]
    judged: list[KeptJudgement]
    agreed: list[Agreed]


class Shown(OfRecords):
    """What `records show` prints."""

    visit: Visit
    versions: list[Version]
    agreed: list[Agreed]
    enclosed: list[File]
    kept_under: str = Field(description="the horse it was first kept under")
    placed: list[Placed] = Field(description="moves and withdrawals, the last word last")
    withdrawn: bool
    shown: Number = Field(description="the version whose answer follows")
    answer: dict[str, Any] = Field(description="as it was given then, in the shape of answer.json of that time, without "
                                   "conclusions that nothing spoke for or against")  # fmt: skip
    told: list[Told]
    judged: list[KeptJudgement]
    countersigned: list[Signed]
    said_earlier: SaidEarlier
    since_then: ToldSinceThen | None
    rested_on_others: list[RestedOnOthers]
    edited: list[Changed]


class Upgraded(OfRecords):
    """What `records upgrade` prints."""

    copy_: str | None = Field(alias="copy", description="the records as they were; null on a server")
    files_taken_in: Count = Field(description="enclosed files brought from this machine into a server's database")
    files_elsewhere: list[str] = Field(description="names of those that lie on another machine")


class Exported(OfRecords):
    """What `records export` wrote: rows by table, and files besides the tables."""

    folder: str
    format: Literal["csv", "parquet"]
    tables: dict[str, Count]
    files: Count


class Imported(OfRecords):
    """What `records import` read in."""

    folder: str
    tables: dict[str, Count]
    files: Count


class BackedUp(OfRecords):
    """The file that `records backup` made; `size` is in bytes, `enclosed` counts the files kept with visits."""

    backup: str
    size: Number
    sha256: Sha
    enclosed: Count
    not_in_it: list[str] = Field(
        description="folders beside the records: what lies in them is no record and in no backup"
    )


class Restored(OfRecords):
    """What `records restore` made; `checked` counts the files that matched their checksums."""

    backup: str
    checked: Number


class Looked(Shape):
    """How many of a kind were looked at."""

    what: str
    count: Count


class Checked(OfRecords):
    """What `records check` found; exit code 0 where `whole` is true, else 2."""

    whole: bool
    looked_at: list[Looked]
    problems: list[Mistake]
    notes: list[Mistake] = Field(description="what could not be looked at, which is not wrong")


class Enclosed(OfRecords):
    """What `records enclose` kept."""

    visit: Visit
    enclosed: list[NewFile]


class Contact(OfRecords):
    """How an owner is reached; null is not kept."""

    owner: str
    telephone: str | None
    mail: str | None
    address: str | None
    erased: bool
    copies_to_take_away: list[str] = Field(description="copies beside the records that may still hold what was erased")


class Consent(OfRecords):
    """What `records consent` prints: what stands for one horse."""

    horse: Horse
    said_earlier: list[Agreed] = Field(description="what was said and has been said otherwise since, the newest first")


SHAPES: dict[str, type[Shape]] = {
    "records_save.json": SavedVisits,
    "records_list.json": Horses,
    "records_list_horse.json": Visits,
    "records_show.json": Shown,
    "records_upgrade.json": Upgraded,
    "records_export.json": Exported,
    "records_import.json": Imported,
    "records_backup.json": BackedUp,
    "records_restore.json": Restored,
    "records_check.json": Checked,
    "records_enclose.json": Enclosed,
    "records_contact.json": Contact,
    "records_consent.json": Consent,
}
