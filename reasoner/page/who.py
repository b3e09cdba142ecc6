"""Who asks, and what they may see.

In: a request. Out: a `Who`, or a refusal.
Not here: passwords, codes, sessions (they decide who somebody is; this says what follows from it).
"""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Depends, HTTPException, Request

from reasoner.frozen import frozen

#: The name of whoever sits at the own machine, where nobody is asked who they are.
OWN_MACHINE = "this machine"
Role = Literal["practitioner", "apprentice", "owner"]


@frozen(kw_only=True)
class Who:
    """A person at the page. An owner sees the horse `horse` (its uid in the records) and changes nothing. `uid` is that of their
    entry on the list of people; empty for whoever sits at this machine, or holds a telephone paired by its own code."""

    name: str
    role: Role
    horse: str | None = None
    uid: str = ""

    @property
    def key(self) -> str:
        """Under what one person's own is kept: a name may be given anew, an entry of the list is one person's for ever."""
        return self.uid or f"this machine, {self.role}"

    @property
    def keeps(self) -> bool:
        """Whether this person may write visits."""
        return self.role != "owner"

    def sees(self, horse: str) -> bool:
        """Whether this person may read what is kept of a horse."""
        return self.role != "owner" or horse == self.horse


def who(request: Request) -> Who:
    """The person asking. On the own machine that is the practitioner; from nearby, whoever the session says."""
    found: Who | None = getattr(request.state, "who", None)
    if found is None:
        raise HTTPException(401, "Say who you are first.")
    return found


def keeper(somebody: Annotated[Who, Depends(who)]) -> Who:
    """The same, of one who may write visits."""
    if not somebody.keeps:
        raise HTTPException(403, "Your page shows your own horse; only the practice writes in it.")
    return somebody


def practitioner(somebody: Annotated[Who, Depends(who)]) -> Who:
    """The same, of one who answers for visits: approves, countersigns, lets people in."""
    if somebody.role != "practitioner":
        raise HTTPException(403, "Only a practitioner does this.")
    return somebody


Asking = Annotated[Who, Depends(who)]
Keeper = Annotated[Who, Depends(keeper)]
Practitioner = Annotated[Who, Depends(practitioner)]
