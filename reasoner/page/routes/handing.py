"""A finished visit arrives from the telephone that kept it.

In: a draft, who hands it over, and what was chosen where something stood in the way. Out: where it is kept, or
what is in the way.
Not here: the transaction (store.handing), judging.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Annotated, Literal

from fastapi import APIRouter, Response
from fastapi.responses import JSONResponse
from pydantic import BaseModel, StringConstraints

from reasoner.page.apprentices import must_wait_for_another
from reasoner.page.drafts import SHOWN, DraftIn, Exact
from reasoner.page.served import Served, Serving
from reasoner.page.who import Keeper
from reasoner.problems import BadInput, Problem
from reasoner.records.before import said_of, with_history
from reasoner.records.keeping import kept_of
from reasoner.records.newcomers import alike_of, much_like, same_horse
from reasoner.records.still_to_come import DAYS_BETWEEN_ZONES, visits_have_come
from reasoner.rendering.kept_json import kept_json
from reasoner.rendering.visit_differences import differing, differing_lines
from reasoner.store.handing import Choice, Handed, InTheWay, hand_over
from reasoner.store.held_back import MARK, READER, waiting
from reasoner.store.meant import horse_meant
from reasoner.store.names import same_name
from reasoner.store.reading import KnownHorse, beside_of, horses
from reasoner.store.saving import Kept
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes

router = APIRouter(prefix="/api")


class Chosen(Exact):
    """What was decided where something stood in the way: a second visit of that day, a correction of the kept one and why; that a
    horse with a name much like a kept one is another horse, or that it is the same and stands elsewhere now."""

    second_visit: bool = False
    correction: Annotated[str, StringConstraints(max_length=2000, strip_whitespace=True)] = ""
    new_horse: bool = False
    same_horse: bool = False


class HandOver(Exact):
    """A finished visit, and who hands it over."""

    draft: DraftIn
    by: Annotated[str, StringConstraints(max_length=200, strip_whitespace=True)] = ""
    chosen: Chosen = Chosen()


class KeptAt(BaseModel):
    """Where a visit is kept. `before`: it had arrived before, in the same words, and was not kept twice. `held_back`: whose
    grading of that day it waits for, before anybody else may see it."""

    visit: str
    version: str
    horse: str
    at: str
    before: bool
    held_back: str


class Differing(BaseModel):
    """A place and side, or an entry, and what each of two visits says of it."""

    what: str
    kept: str
    here: str


class OtherVisit(BaseModel):
    """The visit that is kept already, and where the two differ: in lines, and one beside the other; None where
    what the other found is held back."""

    visit: str
    day: date
    part: int
    by: str
    at: str
    differs: list[str]
    beside: list[Differing] | None = None


class Clash(BaseModel):
    """What stands in the way of keeping a visit. Nothing was kept, nothing is lost: the telephone has it still."""

    kind: Literal["visit", "draft", "horse"]
    says: str
    kept: OtherVisit | None
    choices: list[Literal["second_visit", "correction", "new_horse", "same_horse"]]


@router.post("/hand-over", responses={200: {"model": KeptAt}, 201: {"model": KeptAt}, 409: {"model": Clash}})
def arrive(arriving: HandOver, served: Serving, who: Keeper) -> Response:
    """Keep a visit once, however often it arrives. 201 kept now, 200 kept before, 409 something is in the way, 422 to mend."""
    draft = arriving.draft
    visit = draft.visit_of(served.ready.book.vocabulary)
    if not visit.horse_name:
        raise BadInput([Problem(SHOWN, 0, "ST11", "the horse has no name yet; a record is found by it.")])
    must_wait_for_another(who, visit)
    visits_have_come([visit], served.now().date(), spare=DAYS_BETWEEN_ZONES)
    horse: KnownHorse | None = None
    if not arriving.chosen.new_horse:
        with served.store.reading() as connection:
            known = horses(connection)
            found_horses = horse_meant(connection, said_of(visit))
        if arriving.chosen.same_horse and not found_horses:
            horse = same_horse(known, visit)
        elif (doubt := much_like(known, visit, found_horses)) is not None:
            return _said(_doubted(doubt, known, visit), 409)
    kept, beside = _kept(served, draft, horse), _blind_beside(visit)
    choice = Choice(
        second_visit=arriving.chosen.second_visit, correction=arriving.chosen.correction,
        same_horse=horse.uid if horse is not None else "",
    )  # fmt: skip

    def handed(chosen: Choice) -> Handed | InTheWay:
        by = who.name if served.nearby else arriving.by or _hands(visit) or who.name
        return hand_over(served.store, kept, draft=draft.draft.hex, by=by, moment=served.now(), choice=chosen)

    found = handed(choice)
    if isinstance(found, InTheWay) and beside and not found.ours and not same_name(found.hand, _hands(visit)):
        found = handed(replace(choice, second_visit=True, correction=""))  # two gradings of one day are what was meant
    if isinstance(found, InTheWay):
        return _said(_clash(found, visit, served), 409)
    return _said(_where(found, visit, _held_back(served, found, beside)), 200 if found.before else 201)


def _held_clash(found: InTheWay, visit: Visit) -> Clash:
    """Not a word of what the other found; and nobody corrects what they may not see."""
    kept = OtherVisit(
        visit=found.visit, day=found.day, part=found.part, by=found.saved_by, at=found.saved_at, differs=[]
    )
    says = (
        f"Another visit to {visit.horse_name} on this day is kept already and was graded blind: what stands in it opens once the "
        "other hand's grading is in."
    )
    return Clash(kind="visit", says=says, kept=kept, choices=["second_visit"])


def _said(told: BaseModel, code: int) -> JSONResponse:
    return JSONResponse(told.model_dump(mode="json"), code)


def _doubted(doubt: Problem, known: Sequence[KnownHorse], visit: Visit) -> Clash:
    named = [one for one in alike_of(known, visit) if same_name(one.name, visit.horse_name)]
    choices: list[Literal["second_visit", "correction", "new_horse", "same_horse"]] = ["new_horse"]
    if len(named) == 1:
        choices = ["same_horse", "new_horse"]
    return Clash(kind="horse", says=f"{doubt.sentence} Is it the same horse?", kept=None, choices=choices)


def _kept(served: Served, draft: DraftIn, horse: KnownHorse | None) -> Kept:
    """The visit judged with those kept before it, as of this moment."""
    book = served.ready.book

    def earlier(visit: Visit) -> Visit:
        with served.store.reading() as connection:
            return with_history(connection, visit, book, horse=horse)

    _, kept = kept_of(draft.bytes_of(book.vocabulary), SHOWN, served.ready, served.folders, kept_json, earlier)
    return kept


def _hands(visit: Visit) -> str:
    hands = visit.noted_value("examined_by")
    return hands if isinstance(hands, str) else ""


def _blind_beside(visit: Visit) -> str:
    beside = visit.noted_value(MARK)
    return beside if isinstance(beside, str) else ""


def _held_back(served: Served, found: Handed, beside: str) -> str:
    """Beside whom it was graded blind, where it waits for that one; empty where nothing is waited for."""
    reader = READER.get()
    if not beside or reader is None:
        return ""
    with served.store.reading() as connection:
        waits = waiting(connection, reader)
    return beside if found.saved.visit in {one.graded.visit for one in waits} else ""


def _where(found: Handed, visit: Visit, held_back: str) -> KeptAt:
    return KeptAt(
        visit=found.saved.visit, version=found.saved.version, horse=visit.horse_name, at=found.saved_at, before=found.before,
        held_back=held_back,
    )  # fmt: skip


def _clash(found: InTheWay, visit: Visit, served: Served) -> Clash:
    if found.held_back:
        return _held_clash(found, visit)
    with served.store.reading() as connection:
        beside = beside_of(connection, served.store.place, found.version)
    other = visit_from_bytes(found.text, SHOWN, served.ready.book.vocabulary, beside=beside)
    words = served.ready.book.vocabulary
    apart = [Differing(what=what, kept=kept, here=here) for what, kept, here in differing(other, visit, words)]
    kept = OtherVisit(
        visit=found.visit, day=found.day, part=found.part, by=found.saved_by, at=found.saved_at, beside=apart,
        differs=differing_lines(other, visit, words),
    )  # fmt: skip
    if found.ours:
        says = "This visit was handed over before, and has been changed on this telephone since."
        return Clash(kind="draft", says=says, kept=kept, choices=["correction"])
    says = f"Another visit to {visit.horse_name} on this day is kept already, in other words."
    return Clash(kind="visit", says=says, kept=kept, choices=["second_visit", "correction"])
