"""A line spoken or typed at the horse, read for the telephone.

In: a line, and the answers to its questions so far. Out: what was understood of it.
Not here: understanding, keeping: nothing is written, the telephone enters it after a yes.
"""

from __future__ import annotations

from fastapi import APIRouter

from reasoner.page.served import Serving
from reasoner.page.spoken import LineIn, Told, told_by
from reasoner.page.who import Keeper

router = APIRouter(prefix="/api")


@router.post("/line", response_model_exclude_none=True)
def line(said: LineIn, served: Serving, who: Keeper) -> Told:
    """What the line says. What does not read is said in words (422), and the telephone keeps the line as it is."""
    return told_by(said, served.ready.book)
