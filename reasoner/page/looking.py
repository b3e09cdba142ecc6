"""A horse or a visit of the records, as somebody at the page may see it, and a visit judged by today's rules.

In: the records, who asks, a name of the records. Out: rows, or "no such page"; an answer with what earlier visits say.
Not here: any page. Whoever may not see a horse is told what is told of one that is not kept.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import HTTPException, Path, Query
from sqlalchemy import Connection, select

from reasoner.consult import Answer, judge
from reasoner.frozen import frozen
from reasoner.page.served import Served
from reasoner.page.who import Who
from reasoner.page.words import wording
from reasoner.records.before import with_history
from reasoner.records.editing import Edited, edited
from reasoner.records.signing import Signing, signature_under, signing_of
from reasoner.rendering import phrases
from reasoner.rulebook.layers import read_layers, shipped_rules, stamp_of
from reasoner.rulebook.wording import Wording
from reasoner.store import tables as t
from reasoner.store.afterwards import Opinion, opinions_of
from reasoner.store.edits import Edit, every_edit_of, standing
from reasoner.store.place import Place
from reasoner.store.reading import KnownHorse, KnownVisit, beside_of, horse_called, text_of, visit_of
from reasoner.store.standing import here
from reasoner.visit.reading import visit_from_bytes

Uid = Annotated[str, Path(pattern="^[0-9a-f]{32}$")]
Side = Annotated[str, Query(pattern="^(left|right)?$")]
NOT_THERE = HTTPException(404, "Nothing of that name is kept here.")


@frozen(kw_only=True)
class Looked:
    """A kept visit, its bytes, what today's rules say of it (`own`), and the same with the practitioner's words in it;
    `wording` are the words nobody may use."""

    known: KnownVisit
    text: bytes
    own: Answer
    edited: Edited
    edits: tuple[Edit, ...]
    place: Place
    signing: Signing | None
    opinions: tuple[Opinion, ...]
    wording: Wording

    @property
    def answer(self) -> Answer:
        """What goes out."""
        return self.edited.answer

    @property
    def waits(self) -> bool:
        """Whether it waits for a countersignature."""
        return self.signing is not None and self.signing.signature is None


def horse_seen(connection: Connection, who: Who, uid: str) -> KnownHorse:
    """A horse that this person may see. Raises HTTPException (404)."""
    there = connection.execute(select(t.horse.c.uid).where(t.horse.c.uid == uid)).scalar()
    if there is None or not who.sees(uid):
        raise NOT_THERE
    return horse_called(connection, uid)


def visit_seen(connection: Connection, who: Who, uid: str) -> KnownVisit:
    """A visit to a horse that this person may see. Raises HTTPException (404)."""
    now = here()
    horse = connection.execute(select(now.c.horse).where(now.c.uid == uid)).scalar()
    if horse is None or not who.sees(horse):
        raise NOT_THERE
    return visit_of(connection, uid)


def looked_at(connection: Connection, served: Served, who: Who, uid: str) -> Looked:
    """A visit with all that stands beside it. Raises HTTPException (404); BadInput where its words no longer read."""
    known = visit_seen(connection, who, uid)
    answer, text = judged(connection, served, known)
    signing = signing_of(answer.visit)
    if signing is not None:
        answer = replace(answer, signature=signature_under(connection, signing, text))
    every = every_edit_of(connection, uid)
    return Looked(
        known=known, text=text, own=answer, place=served.store.place, edited=edited(answer, standing(every)), edits=every,
        signing=signing_of(answer.visit, answer.signature),
        opinions=opinions_of(connection, uid), wording=wording(served.folders),
    )  # fmt: skip


def judged(connection: Connection, served: Served, known: KnownVisit) -> tuple[Answer, bytes]:
    """What today's rules say of a kept visit, with what earlier visits say; and its bytes."""
    text = text_of(connection, known.version, shown=served.store.place.shown)
    beside = beside_of(connection, served.store.place, known.version)
    visit = visit_from_bytes(text, file_of(known), served.ready.book.vocabulary, beside)
    return judge(with_history(connection, visit, served.ready.book, known.part), served.ready), text


def file_of(known: KnownVisit) -> str:
    """What the file of a visit is called on the page."""
    return f"{known.name}, {phrases.day(known.day)}{f' ({known.part})' if known.part > 1 else ''}"


def stamp(served: Served) -> str:
    """The stamp under which visits judged by today's rules are kept."""
    return stamp_of(read_layers(served.folders or [shipped_rules()]))
