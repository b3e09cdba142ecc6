"""Two hands on one horse: which horse-days were graded twice, how well the two agree, and what the difference moved.

In: the records, and who asks. Out: /agree, /agree/hands, /agree/{visit}/{other}.
Not here: comparing (page.two_hands), holding back what is graded blind (store.held_back). An apprentice is shown the pairs they
took part in and no others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, cast

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, Response

from reasoner.page.blind import blind_to_each_other, graded_words, one_waiting
from reasoner.page.looking import NOT_THERE, Uid
from reasoner.page.pages import page
from reasoner.page.pictures import inside
from reasoner.page.rows import parts_of, rows_of
from reasoner.page.served import Served, Serving
from reasoner.page.two_hands import Pairs, ToldOfHands, told_of_hands
from reasoner.page.who import Keeper, Who
from reasoner.problems import BadInput
from reasoner.rendering import phrases
from reasoner.rendering.phrases import counted
from reasoner.rendering.text_page import Line
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.store.held_back import READER, Graded, graded_blind, waiting
from reasoner.store.names import same_name
from reasoner.store.reading import KnownVisit, horse_called
from reasoner.teaching.compared import Earlier
from reasoner.teaching.paired import Pair, hand_of, paired
from reasoner.teaching.pairing import Gathered, KeptTwice, gathered, kept_twice

router = APIRouter()
Name = Annotated[str, Query(max_length=200)]
#: Sections that are long and looked up rather than read.
FOLDED = ("By region", "By place", "Not compared", "What this rests on")
NO_NAME = "a hand without a name"


@router.get("/agree", response_class=HTMLResponse)
def every(who: Keeper, served: Serving) -> HTMLResponse:
    """Every horse and day with two gradings, by the two hands; and what is graded blind and waits for the other hand."""
    reader = READER.get()
    with served.store.reading() as connection:
        kept = _kept(served, connection)
        blind = {one.visit: one for one in graded_blind(connection)}
        waits = waiting(connection, reader) if reader is not None else ()
        names = {one.graded.horse: horse_called(connection, one.graded.horse).name for one in waits}
    shown = [
        one for one in waits
        if who.role == "practitioner" or same_name(one.graded.beside, who.name) or one.written_by(who.name)
    ]  # fmt: skip
    return page(
        "agree.html", who=who, couples=[_couple(pairs, kept, served, blind) for pairs in _theirs(kept, who).values()],
        waits=rows_of(line for one in shown for line in one_waiting(
            one, names[one.graded.horse], own=reader is not None and one.written_by(reader.name))),
        hours=f"{cast(AgreementTable, served.ready.book.measures['agreement']).blind.opens_after_hours:g}",
    )  # fmt: skip


@router.get("/agree/hands", response_class=HTMLResponse)
def hands(who: Keeper, served: Serving, one: Name = "", two: Name = "") -> HTMLResponse:
    """Two hands over every horse and day they both graded; or one hand over those it graded twice."""
    kept, pairs = _of_hands(who, served, one, two)
    told = _told(served, pairs, kept.earlier)
    follow = ""
    if told.differs and len(pairs) == 1:
        first, second = (kept.known[visit.file].uid for visit in pairs[0])
        follow = f"/agree/{first}/{second}?moved=true#moved"
    return _shown(who, told, pairs, kept, [], layer=f"one={one}&two={two}" if told.layer else "", follow=follow)


@router.get("/agree/hands/reading_error.yaml")
def own_error(who: Keeper, served: Serving, one: Name = "", two: Name = "") -> Response:
    """One hand's own error of reading, as a layer of rules."""
    kept, pairs = _of_hands(who, served, one, two)
    told = _told(served, pairs, kept.earlier)
    if not told.layer:
        raise NOT_THERE
    headers = {"Content-Disposition": 'attachment; filename="reading_error.yaml"'}
    return Response(told.layer, media_type="application/yaml", headers=headers)


@router.get("/agree/{visit}/{other}", response_class=HTMLResponse)
def pair(who: Keeper, served: Serving, visit: Uid, other: Uid, moved: bool = False) -> HTMLResponse:
    """Two gradings of one horse and day laid side by side; with `moved` the reading behind every conclusion that differs."""
    with served.store.reading() as connection:
        kept = _kept(served, connection)
        blind = {each.visit: each for each in graded_blind(connection)}
    uids = {file: known.uid for file, known in kept.known.items()}
    found = [
        (first, second) for pairs in _theirs(kept, who).values() for first, second in pairs
        if {uids[first.file], uids[second.file]} == {visit, other}
    ]  # fmt: skip
    if not found:
        raise NOT_THERE
    told = _told(served, found, kept.earlier, follow=moved)
    at = "" if moved or not told.differs else f"/agree/{visit}/{other}?moved=true#moved"
    return _shown(who, told, found, kept, graded_words(blind.get(visit), blind.get(other)), follow=at, one_day=True)


def _kept(served: Served, connection: Any) -> KeptTwice:
    return kept_twice(connection, served.store.place, served.ready.book.vocabulary)


def _theirs(kept: KeptTwice, who: Who) -> Mapping[tuple[str, str], Pairs]:
    """The pairs by the two hands; of an apprentice those they took part in."""
    try:
        found: Gathered = gathered(kept.visits, "the records")
    except BadInput:
        return {}
    if who.role == "practitioner":
        return found.pairs
    return {key: pairs for key, pairs in found.pairs.items() if any(same_name(who.name, hand) for hand in key)}


def _of_hands(who: Who, served: Served, one: str, two: str) -> tuple[KeptTwice, Pairs]:
    with served.store.reading() as connection:
        kept = _kept(served, connection)
    for key, pairs in _theirs(kept, who).items():
        if (same_name(one, key[0]) and same_name(two, key[1])) or (same_name(two, key[0]) and same_name(one, key[1])):
            return kept, pairs
    raise NOT_THERE


def _told(served: Served, pairs: Pairs, earlier: Earlier, *, follow: bool = False) -> ToldOfHands:
    files = {visit.file for both in pairs for visit in both}
    theirs = {file: held for file, held in earlier.items() if file in files}
    return served.worked_out(told_of_hands, pairs, theirs, follow=follow)


def _couple(pairs: Pairs, kept: KeptTwice, served: Served, blind: Mapping[str, Graded]) -> dict[str, Any]:
    """Two hands in the list: their names, how often they said the same, and each horse and day."""
    words = served.ready.book.vocabulary
    laid = [paired(one, two, words) for one, two in pairs]
    one, two = (hand_of(visit) for visit in pairs[0])
    same = bool(one) and same_name(one, two)
    graded = [reading for each in laid for reading in each.readings]
    return {
        "one": one, "two": two, "title": f"{one}, twice over" if same else f"{one or NO_NAME} and {two or NO_NAME}",
        "says": f"{counted(len(pairs), 'pair')} of visits: the same number at {sum(r.difference == 0 for r in graded)} of "
                f"{counted(len(graded), 'place')} graded twice.",
        "days": sorted((_day(each, kept, blind) for each in laid), key=lambda row: str(row["sort"]), reverse=True),
    }  # fmt: skip


def _day(each: Pair, kept: KeptTwice, blind: Mapping[str, Graded]) -> dict[str, Any]:
    known = [kept.known[visit.file] for visit in (each.one, each.two)]
    return {
        "at": f"/agree/{known[0].uid}/{known[1].uid}", "sort": known[0].day.isoformat(),
        "blind": blind_to_each_other(*(blind.get(one.uid) for one in known)),
        "name": f"{known[0].name}, {phrases.day(known[0].day)}{_which(known)}",
        "says": f"the same number at {sum(r.difference == 0 for r in each.readings)} of {len(each.readings)}",
    }  # fmt: skip


def _which(known: Sequence[KnownVisit]) -> str:
    """Which visits of the day, where there are more than two."""
    first, last = sorted(one.part for one in known)
    return "" if (first, last) == (1, 2) else f", visits {first} and {last}"


def _shown(
    who: Who, told: ToldOfHands, pairs: Pairs, kept: KeptTwice, graded: Sequence[Line], *, layer: str = "", follow: str = "",
    one_day: bool = False,
) -> HTMLResponse:  # fmt: skip
    """The page. `layer` and `follow` are what may be asked for besides, `one_day` says that other pairs are left out."""
    names = [name for one, two in pairs for visit in (one, two) for name in (visit.horse_name, hand_of(visit)) if name]
    same = _same(pairs)
    visits = [
        (kept.known[visit.file].uid, f"the {order} visit" if same else f"{hand_of(visit) or NO_NAME}'s visit")
        for visit, order in zip(pairs[0], ("first", "second"), strict=True)
    ]  # fmt: skip
    return page(
        "agree_pair.html", who=who, title=told.title, picture=inside(told.picture) if told.picture else "",
        parts=parts_of(told.lines, names), folded=FOLDED, graded=rows_of(graded), layer=layer, follow=follow,
        visits=visits if len(pairs) == 1 else [], twice=same, one_day=one_day,
    )  # fmt: skip


def _same(pairs: Pairs) -> bool:
    one, two = (hand_of(visit) for visit in pairs[0])
    return bool(one) and same_name(one, two)
