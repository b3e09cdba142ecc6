"""What the commands about one conclusion share: which conclusion is meant.

In: words such as "saddle to one side, right". Out: a conclusion's key and side, or BadInput with the nearest name.
Not here: any one command.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.reader import Reader, quote

if TYPE_CHECKING:
    from reasoner.consult import Answer

register({"CL09": "no conclusion of that name"})


def conclusion_meant(words: str, side: str | None, answer: Answer, otherwise: str = "") -> tuple[str, str]:
    """The conclusion and its side; a side may stand before the name, behind a comma, or in `side`.

    Where none is said, it is the side for which more speaks; where left and right are alike, `otherwise` if that is a side,
    else it has to be said.
    Raises BadInput (CL02, CL09).
    """
    book = answer.ready.book
    reader = Reader("", book.vocabulary)
    name, comma, last = words.rpartition(",")
    said = reader.side(last.strip()) if comma else None
    if said is None:
        name = words
    before, key = reader.split_side(canonical(name), book.conclusions.__contains__)
    wanted, sides = said or before, {one for one in (said, before) if one}
    if side is not None:
        wanted = reader.side(side)
        if wanted is None:
            raise BadInput([Problem("--side", 0, "CL02", f"{quote(side)} is no side.", "left (near) or right (off).")])
        sides.add(wanted)
    if len(sides) > 1:
        raise BadInput([Problem("CONCLUSION", 0, "CL02", "two different sides are named.", "Write one of them.")])
    page = book.conclusions.get(key)
    if page is None:
        names = [key.replace("_", " ") for key in book.conclusions]
        hint = near_hint(key.replace("_", " "), names) or f"Such as {', '.join(names[:: max(len(names) // 5, 1)])}."
        raise BadInput([Problem("CONCLUSION", 0, "CL09", f"{quote(words)} is no conclusion of these rules.", hint)])
    if page.sides == "none":
        if wanted:
            raise BadInput([Problem("CONCLUSION", 0, "CL02", f"{quote(page.id.replace('_', ' '))} has no sides.")])
        return key, ""
    if wanted in ("left", "right"):
        return key, str(wanted)
    left, right = (answer.record.weight(key, at) for at in ("left", "right"))
    if wanted is None and left == right and otherwise:
        return key, otherwise
    if wanted == "both" or left == right:
        hint = "Write one of them behind the name, such as " + f'"{key.replace("_", " ")}, left".'
        why = "one side at a time." if wanted == "both" else "which side is meant? Left and right speak alike."
        raise BadInput([Problem("CONCLUSION", 0, "CL02", why, hint)])
    return key, "left" if left > right else "right"
