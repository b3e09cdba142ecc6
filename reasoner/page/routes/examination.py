"""What a telephone needs to know before it goes out to a horse: the words, the places, the order, the horses, whose hands.

In: the rulebook, the records, who asks. Out: JSON that is kept on the telephone.
Not here: answers, keeping visits.
"""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel

from reasoner.page.examination import examination
from reasoner.page.served import Serving
from reasoner.page.who import OWN_MACHINE, Keeper
from reasoner.records.before import held_of
from reasoner.rendering.again import begun_again, staying
from reasoner.rendering.phrases import days_in_words
from reasoner.store.reading import horse_called, horses
from reasoner.visit.model import Noted

router = APIRouter(prefix="/api")


class KnownToThePage(BaseModel):
    """A horse of the records."""

    horse: str
    name: str
    yard: str
    born: str
    last: date | None


class Hands(BaseModel):
    """Whose hands hold the telephone: the name they came in by (empty where nobody was asked for one), and whether somebody else
    answers for what they write."""

    name: str
    answered_for: bool


class Again(BaseModel):
    """What the last visit leaves to the next one: entries that stay, what was expected and is to be asked, and last time's
    readings by entry or place."""

    horse: str
    last_visit: date
    stays: dict[str, str]
    opening: list[str]
    last: dict[str, str]


@router.get("/examination")
def asked(request: Request, served: Serving, who: Keeper) -> Response:
    """Every heading in walking order, every place with its point on the drawings, the words to choose from."""
    tag = f'"{served.ready.book.stamp}"'
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers={"etag": tag})
    state = request.app.state
    if getattr(state, "examination", None) is None:
        state.examination = examination(served.ready.book).model_dump_json()
    return Response(
        state.examination, media_type="application/json", headers={"etag": tag, "cache-control": "no-cache"}
    )


@router.get("/horses")
def known(served: Serving, who: Keeper) -> list[KnownToThePage]:
    """The horses of the records."""
    with served.store.reading() as connection:
        return [
            KnownToThePage(horse=one.uid, name=one.name, yard=one.yard, born=one.born, last=one.last)
            for one in horses(connection)
        ]  # fmt: skip


@router.get("/hands")
def hands(who: Keeper) -> Hands:
    """Whose hands write the visits of this telephone, so that an apprentice names who answers for one before it begins."""
    return Hands(name="" if who.name == OWN_MACHINE else who.name, answered_for=who.role == "apprentice")


@router.get("/again/{horse}")
def again(horse: str, served: Serving, who: Keeper) -> Again:
    """What stays from the last visit to a horse, what was expected, and what was read. Raises BadInput (ST20, RE01)."""
    with served.store.reading() as connection:
        known = horse_called(connection, horse)
        every = held_of(connection, known)
    book, visit = served.ready.book, every[-1].visit
    before = begun_again(every, book)
    last: dict[str, str] = {}
    for (key, _), said in before.last.items():
        last.setdefault(key, days_in_words(said))
    return Again(
        horse=known.uid, last_visit=every[-1].known.day, stays={one.key: _plainly(one) for one in staying(visit, book)},
        opening=[days_in_words(line) for line in before.opening], last=last,
    )  # fmt: skip


def _plainly(noted: Noted) -> str:
    return noted.written or str(noted.value)
