"""The answer while a horse is being examined, and what to look at next.

In: a visit so far. Out: the few lines of its answer.
Not here: judging, keeping.
"""

from __future__ import annotations

import asyncio
from typing import Annotated

from fastapi import APIRouter, HTTPException, Query, Request
from fastapi.concurrency import run_in_threadpool

from reasoner.consult import judge
from reasoner.page.drafts import DraftIn
from reasoner.page.earlier import Remembered, with_earlier
from reasoner.page.live import Live, Looks, live, looks_next
from reasoner.page.served import Served, Serving
from reasoner.page.who import Keeper
from reasoner.visit.model import Visit

router = APIRouter(prefix="/api")
#: How often (seconds) somebody who waits for the looks to make next is asked whether they still do.
STILL_THERE_S = 0.25


def remembered(request: Request) -> Remembered:
    """The earlier visits of the horses being examined."""
    state = request.app.state
    if getattr(state, "remembered", None) is None:
        state.remembered = Remembered()
    found: Remembered = state.remembered
    return found


@router.post("/answer")
def answer(draft: DraftIn, request: Request, served: Serving, who: Keeper) -> Live:
    """The answer so far. What does not read is said in words (422), and nothing is lost by it: the telephone keeps the visit."""
    return live(judge(_to_judge(draft, request, served), served.ready))


@router.post("/next")
async def after(
    draft: DraftIn, request: Request, served: Serving, who: Keeper, most: Annotated[int, Query(ge=1, le=50)] = 5
) -> Looks:
    """What to look at next: what is open of the first sixty seconds, then the looks that would tell most.

    Where somebody has gone on touching meanwhile, the answer is no longer worked out.
    """
    visit = await run_in_threadpool(_to_judge, draft, request, served)
    if served.longer is None:
        return await run_in_threadpool(looks_next, served.ready, visit, most)
    asked = served.longer.ask(looks_next, visit, most)
    coming = asyncio.wrap_future(asked)
    while not (await asyncio.wait({coming}, timeout=STILL_THERE_S))[0]:
        if await request.is_disconnected() and asked.cancel():
            raise HTTPException(499, "Nobody waits for this any more.")
    return await coming


def _to_judge(draft: DraftIn, request: Request, served: Served) -> Visit:
    return with_earlier(served, draft.visit_of(served.ready.book.vocabulary), remembered(request))


@router.get("/here", status_code=204)
def here(who: Keeper) -> None:
    """Whether the page can be reached. Nothing is read and nothing is worked out."""
