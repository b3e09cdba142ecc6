"""The tables of the records.

In: nothing. Out: SQLAlchemy tables; migrations/ makes them in a database.
Not here: reading and writing. Rows are added and never changed; only an owner's contact data may be changed or taken out.

Everything that can be named from outside has a `uid`, a random word of 32 hexadecimal digits that stays the same through
export and import. Amounts are text, exactly as they were read; days are ISO dates, moments ISO in UTC.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

META = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)
UID, DAY, MOMENT = String(32), String(10), String(32)


def _uid() -> Column[str]:
    return Column("uid", UID, primary_key=True)


def _of(table: str, name: str = "", *, needed: bool = True) -> Column[str]:
    """A reference to a row of another table, in a column of that table's name unless another is given."""
    return Column(name or table, UID, ForeignKey(f"{table}.uid"), nullable=not needed, index=True)


#: One row for each thing told of a version, in the order told; the first column after the key is where it stood.
def _told(name: str, *columns: Column[str] | Column[int] | Column[float] | Column[bool]) -> Table:
    version = Column("version", UID, ForeignKey("version.uid"), primary_key=True)
    return Table(name, META, version, Column("at", Integer, primary_key=True), *columns)


yard = Table("yard", META, _uid(), Column("name", Text, nullable=False, unique=True))
owner = Table("owner", META, _uid(), Column("name", Text, nullable=False, unique=True))
#: Kept apart from everything else, and the only table from which rows may go.
owner_contact = Table(
    "owner_contact", META,
    Column("owner", UID, ForeignKey("owner.uid"), primary_key=True),
    Column("telephone", Text, nullable=False), Column("mail", Text, nullable=False), Column("address", Text, nullable=False),
)  # fmt: skip
examiner = Table("examiner", META, _uid(), Column("name", Text, nullable=False, unique=True))
rider = Table("rider", META, _uid(), Column("name", Text, nullable=False, unique=True))
saddle = Table("saddle", META, _uid(), Column("name", Text, nullable=False, unique=True))
horse = Table(
    "horse", META, _uid(), Column("name", Text, nullable=False), _of("yard", needed=False), _of("owner", needed=False),
    Column("born", Text, nullable=False), UniqueConstraint("name", "yard", "born"),
)  # fmt: skip
#: Where a horse stands and whose it is, as somebody said it after the row above: from `since` on, the latest row counts.
stay = Table(
    "stay", META, _uid(), _of("horse"), Column("number", Integer, nullable=False), _of("yard", needed=False),
    _of("owner", needed=False), Column("since", DAY, nullable=False), Column("who", Text, nullable=False),
    Column("why", Text, nullable=False), Column("saved_at", MOMENT, nullable=False), UniqueConstraint("horse", "number"),
)  # fmt: skip

#: The rules as they stood: a zip of every file, by the stamp of their bytes.
rulebook = Table(
    "rulebook", META, Column("stamp", String(64), primary_key=True), Column("engine", Text, nullable=False),
    Column("saved_at", MOMENT, nullable=False), Column("archive", LargeBinary, nullable=False),
)  # fmt: skip

#: One visit; `part` counts visits to one horse on one day from 1. Where that number was taken by a visit that has since been
#: moved or withdrawn, `part` is the next free one and `told_part` the number it goes by.
visit = Table(
    "visit", META, _uid(), _of("horse"), Column("day", DAY, nullable=False, index=True),
    Column("part", Integer, nullable=False), Column("told_part", Integer), UniqueConstraint("horse", "day", "part"),
)  # fmt: skip
#: One wording of a visit: `text` are the very bytes of the file, `answer` the JSON answer as it
#: was given, as compressed by zlib.
version = Table(
    "version", META, _uid(), _of("visit"), Column("number", Integer, nullable=False),
    Column("text", LargeBinary, nullable=False), Column("sha256", String(64), nullable=False),
    Column("saved_at", MOMENT, nullable=False), Column("saved_by", Text, nullable=False),
    Column("why", Text, nullable=False), Column("rulebook", String(64), ForeignKey("rulebook.stamp"), nullable=False),
    Column("answer", LargeBinary, nullable=False), Column("answer_sha256", String(64), nullable=False),
    Column("level", Text, nullable=False), _of("examiner", needed=False),
    _of("examiner", "checked_by", needed=False), _of("saddle", needed=False), _of("rider", needed=False),
    UniqueConstraint("visit", "number"),
)  # fmt: skip
#: Where a visit counts, as somebody said it later: at which horse, as which visit of its day, or nowhere (`withdrawn`). Of the
#: rows of a visit the one with the greatest number counts; without one the row above does.
placed = Table(
    "placed", META, _uid(), _of("visit"), Column("number", Integer, nullable=False), _of("horse"),
    Column("part", Integer, nullable=False), Column("withdrawn", Boolean, nullable=False),
    Column("who", Text, nullable=False), Column("why", Text, nullable=False), Column("saved_at", MOMENT, nullable=False),
    UniqueConstraint("visit", "number"),
)  # fmt: skip
touch = _told(
    "touch", Column("place", Text, nullable=False, index=True), Column("side", Text, nullable=False),
    Column("time", Text, nullable=False), Column("soreness", Text), Column("responses", Text), Column("felt", Text),
    Column("depth", Text), Column("touch", Text), Column("refused", Boolean, nullable=False),
    Column("not_examined", Text), Column("quiet_list", Boolean, nullable=False), Column("line", Integer, nullable=False),
    Column("note", Text, nullable=False),
)  # fmt: skip
noted = _told(
    "noted", Column("key", Text, nullable=False, index=True), Column("side", Text, nullable=False),
    Column("about", Text, nullable=False), Column("kind", Text, nullable=False), Column("value", Text, nullable=False),
    Column("written", Text, nullable=False), Column("line", Integer, nullable=False), Column("note", Text, nullable=False),
)  # fmt: skip
outline = _told(
    "outline", Column("of", Text, nullable=False), Column("plane", Text, nullable=False),
    Column("station", Text, nullable=False), Column("side", Text, nullable=False), Column("points", Text, nullable=False),
    Column("line", Integer, nullable=False),
)  # fmt: skip
vets_word = _told(
    "vets_word", Column("who", Text, nullable=False), Column("seen", DAY, nullable=False), Column("until", DAY),
    Column("about", Text, nullable=False), Column("allows", Text, nullable=False), Column("forbids", Text, nullable=False),
    Column("line", Integer, nullable=False), Column("note", Text, nullable=False),
)  # fmt: skip
conclusion = _told(
    "conclusion", Column("key", Text, nullable=False, index=True), Column("side", Text, nullable=False),
    Column("kind", Text, nullable=False), Column("certainty", Float, nullable=False), Column("band", Text, nullable=False),
    Column("leading", Boolean, nullable=False), Column("words", Text, nullable=False),
)  # fmt: skip
raised = _told(
    "raised", Column("key", Text, nullable=False, index=True), Column("side", Text, nullable=False),
    Column("place", Text, nullable=False), Column("call", Text, nullable=False), Column("words", Text, nullable=False),
)  # fmt: skip
step = _told(
    "step", Column("key", Text, nullable=False, index=True), Column("side", Text, nullable=False),
    Column("kind", Text, nullable=False), Column("words", Text, nullable=False), Column("answers", Text, nullable=False),
    Column("recheck_on", DAY),
)  # fmt: skip
expectation = _told(
    "expectation", Column("step", Text, nullable=False), Column("step_side", Text, nullable=False),
    Column("place", Text, nullable=False, index=True), Column("side", Text, nullable=False), Column("was", Text),
    Column("to", Text, nullable=False), Column("by", DAY, nullable=False),
)  # fmt: skip
#: Which rules spoke for a conclusion that a step answers: `share` is the weight each brought in.
spoke = _told(
    "spoke", Column("conclusion", Text, nullable=False), Column("side", Text, nullable=False),
    Column("rule", Text, nullable=False), Column("strength", Float, nullable=False),
    Column("share", Float, nullable=False),
)  # fmt: skip
#: Which conclusion, of which side, a step of the plan answers, and how certain it was.
answered = _told(
    "answered", Column("step", Text, nullable=False), Column("step_side", Text, nullable=False),
    Column("conclusion", Text, nullable=False), Column("side", Text, nullable=False),
    Column("kind", Text, nullable=False), Column("certainty", Float, nullable=False),
)  # fmt: skip

#: What the owner told of a step: done, partly, not done, stopped.
done = Table(
    "done", META, _uid(), _of("version"), Column("step", Text, nullable=False), Column("side", Text, nullable=False),
    Column("answer", Text, nullable=False), Column("because", Text, nullable=False), Column("told_by", Text, nullable=False),
    Column("told_on", DAY, nullable=False), Column("saved_at", MOMENT, nullable=False),
)  # fmt: skip
#: The practitioner's own judgement beside the tool's.
opinion = Table(
    "opinion", META, _uid(), _of("version"), Column("conclusion", Text, nullable=False),
    Column("side", Text, nullable=False), Column("agrees", Boolean, nullable=False), Column("because", Text, nullable=False),
    Column("who", Text, nullable=False), Column("saved_at", MOMENT, nullable=False),
)  # fmt: skip
countersigned = Table(
    "countersigned", META, _uid(), _of("version"), Column("who", Text, nullable=False),
    Column("saved_at", MOMENT, nullable=False),
)  # fmt: skip
#: The practitioner's own words in the plan and the owner's sentences, beside the tool's; `line` and `deed` as in edits.py.
edited = Table(
    "edited", META, _uid(), _of("version"), Column("line", Text, nullable=False), Column("deed", Text, nullable=False),
    Column("key", Text, nullable=False), Column("side", Text, nullable=False), Column("kind", Text, nullable=False),
    Column("tool_words", Text, nullable=False), Column("words", Text, nullable=False),
    Column("because", Text, nullable=False), Column("who", Text, nullable=False), Column("saved_at", MOMENT, nullable=False),
)  # fmt: skip
#: A name under the page of a reader: `sha256` is that of the page while it was a draft, so that other words are not approved.
approved = Table(
    "approved", META, _uid(), _of("version"), Column("reader", Text, nullable=False),
    Column("sha256", String(64), nullable=False), Column("who", Text, nullable=False),
    Column("saved_at", MOMENT, nullable=False),
)  # fmt: skip
consent = Table(
    "consent", META, _uid(), _of("horse"), Column("what", Text, nullable=False), Column("given", Boolean, nullable=False),
    Column("who", Text, nullable=False), Column("on", DAY, nullable=False), Column("until", DAY),
    Column("note", Text, nullable=False), Column("saved_at", MOMENT, nullable=False),
)  # fmt: skip
#: About which horse an agreement was said, where it went with a visit that was moved; the greatest number counts.
consent_placed = Table(
    "consent_placed", META, _uid(), _of("consent"), Column("number", Integer, nullable=False), _of("horse"), _of("placed"),
    UniqueConstraint("consent", "number"),
)  # fmt: skip
#: What a telephone handed over: `draft` is the name it gave the visit at its first touch, `sha256` that of the words it sent. The
#: same words under the same name are kept once, however often they arrive.
handed_over = Table(
    "handed_over", META, _uid(), Column("draft", UID, nullable=False), _of("version"),
    Column("sha256", String(64), nullable=False), Column("saved_at", MOMENT, nullable=False),
    UniqueConstraint("draft", "sha256"),
)  # fmt: skip
#: Files kept beside the records: photographs, tables of tracings. `kind` is "photo" or "table"; `name` as the visit calls it.
enclosed = Table(
    "enclosed",
    META,
    _uid(),
    _of("version"),
    Column("kind", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("sha256", String(64), nullable=False),
    Column("size", Integer, nullable=False),
    Column("saved_at", MOMENT, nullable=False),
    UniqueConstraint("version", "name"),
)
#: Of an enclosed file that is a photograph: what it shows, and the checksum of what it was made from (what is
#: kept is written anew).
photograph = Table(
    "photograph", META, Column("enclosed", UID, ForeignKey("enclosed.uid"), primary_key=True),
    Column("shows", Text, nullable=False), Column("caption", Text, nullable=False),
    Column("original", String(64), nullable=False), Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False), Column("kept_by", Text, nullable=False),
)  # fmt: skip

#: The bytes of enclosed files, where they lie in the database: pieces of copies, each copy found by its checksum.
piece = Table(
    "piece", META, Column("copy", UID, primary_key=True), Column("at", Integer, primary_key=True),
    Column("sha256", String(64), nullable=False, index=True), Column("data", LargeBinary, nullable=False),
)  # fmt: skip
#: A checksum of every row that somebody said, in the order said; each holds the one before it (sealing.py).
seal = Table(
    "seal", META, Column("at", Integer, primary_key=True, autoincrement=False), Column("of", Text, nullable=False),
    Column("row", String(64), nullable=False), Column("sha256", String(64), nullable=False),
    Column("chain", String(64), nullable=False), Column("late", Boolean, nullable=False), UniqueConstraint("of", "row"),
)  # fmt: skip

#: Rows of these may go: nothing else ever does.
ERASABLE = (owner_contact,)
#: No table of an export: the files lie there under their names, whichever way the records keep them.
AS_FILES = (piece,)
LASTING = tuple(table for table in META.sorted_tables if table not in ERASABLE)
Index("ix_version_current", version.c.visit, version.c.number)
