"""A word that nobody knows, and the names of places it is near to.

In: letters and the lexicon. Out: the one place meant, several to ask about, or nothing.
Not here: how near is near enough (a setting of the table of speech).
"""

from __future__ import annotations

from reasoner.lines.lexicon import Lexicon, Meaning


def near_names(letters: str, lexicon: Lexicon, sure: bool = False) -> tuple[Meaning, ...]:
    """The meaning of the nearest name; one `several` of all that are as good as equally near; () where none is near. `sure`:
    what is only doubtfully near does not count."""
    near = lexicon.speech.near
    if len(letters) < near.shortest:
        return ()
    from rapidfuzz import fuzz, process

    if not sure and (answer := _answer(letters, lexicon)):
        return answer
    found = process.extract(
        letters, [*lexicon.names], scorer=fuzz.ratio, score_cutoff=near.least if sure else near.doubtful, limit=12
    )
    if not found:
        return ()
    best = found[0][1]
    rivals = [name for name, likeness, _ in found if best - likeness < near.ahead]
    keys = dict.fromkeys(key for name in rivals for key in _keys(lexicon.names[name]))
    if len(keys) == 1 and best >= near.least:
        return tuple(m for m in lexicon.names[rivals[0]] if m.kind in ("place", "entry"))
    if len(keys) == 1 or any(m.kind == "entry" for name in rivals for m in lexicon.names[name]):
        return ()
    return (Meaning("several", letters, tuple(keys)),)


def _answer(letters: str, lexicon: Lexicon) -> tuple[Meaning, ...]:
    """A word for what was felt or answered that is nearer than any name and stands alone."""
    from rapidfuzz import fuzz, process

    near = lexicon.speech.near
    found = process.extract(letters, [*lexicon.answers], scorer=fuzz.ratio, score_cutoff=near.least, limit=6)
    found = [one for one in found if not turned_round(letters, one[0], lexicon)]
    found = [one for one in found if one[0][0] == letters[0]]  # "handed" is no slip for "banded"
    if not found:
        return ()
    keys = {m for name, likeness, _ in found if found[0][1] - likeness < near.ahead for m in lexicon.answers[name]}
    if process.extractOne(letters, [*lexicon.names], scorer=fuzz.ratio, score_cutoff=found[0][1] - near.ahead):
        return ()
    return tuple(keys) if len(keys) == 1 else ()


def turned_round(letters: str, name: str, lexicon: Lexicon) -> bool:
    """Whether one of two words is the other with "un" or the like before it: near in letters, and its contrary."""
    short, long = sorted((letters, name), key=len)
    return long != short and any(long == f"{prefix}{short}" for prefix in lexicon.speech.lists["turning"])


def _keys(meanings: tuple[Meaning, ...]) -> tuple[str, ...]:
    places = tuple(m.key for m in meanings if m.kind in ("place", "entry"))
    return places or tuple(key for m in meanings for key in m.keys)
