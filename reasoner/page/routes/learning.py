"""Where to learn: cases to practise on, two hands on one horse, the floor scale, the class.

In: nothing. Out: links, each with what it is for.
Not here: any of them.
"""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from reasoner.page.pages import page
from reasoner.page.who import Keeper

router = APIRouter()


@router.get("/learning", response_class=HTMLResponse)
def learning(who: Keeper) -> HTMLResponse:
    """Where to learn to reason, and to feel the same thing."""
    return page("learning.html", who=who)
