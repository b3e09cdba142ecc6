"""Whether a report may go to a reader, by what was agreed about the horse.

In: what was said of the horse, oldest first, the reader, the person it goes to. Out: `MayGo`; a name that misses a reader's by a
slip of the pen, told before it is kept.
Not here: refusing, wording, reading the records. The newest word that speaks of the reader counts, under whatever of the reader's
names it was kept; an owner who no longer agrees to the work at all takes back what was agreed before.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, nearest, register
from reasoner.rulebook.readers import Reader
from reasoner.store.consents import MAY_GO_TO, OWNER_AGREED, Agreed
from reasoner.store.names import folded

register({"RE73": "a reader of reports whose name is misspelt"})

State = Literal["not needed", "not known", "agreed", "refused", "over", "not asked"]
_THE = "the "
#: Only whole words are compared: a part of a reader's name ("the fitter's friend") is another name.
WHOLE = 100.0


@frozen(kw_only=True)
class MayGo:
    """Whether a report may go to a reader. `state` "not known": no records were asked, or they hold no such horse; "not asked":
    nothing is kept of it; "over": the last day has passed. `word` is the one that counts; `others` are people whom reports may go
    to and who are not known for this reader."""

    state: State
    word: Agreed | None = None
    others: tuple[str, ...] = ()

    @property
    def held_back(self) -> bool:
        """Whether the report waits."""
        return self.state in ("refused", "over", "not asked")


def may_go(reader: Reader, said: Sequence[Agreed] | None, to: str, day: date) -> MayGo:
    """Whether a report may go to this reader (and to the person `to`, where one is named) on a day; `said` None: no records.

    A word of refusal counts as soon as it is kept; one of consent from the day it was given.
    """
    if not reader.consent:
        return MayGo(state="not needed")
    if said is None:
        return MayGo(state="not known")
    names = {_name(one) for one in (reader.called, *reader.also)}
    names |= {_name(to)} if to else _known_for(reader, said)
    counting = [one for one in said if not one.given or one.on <= day]
    speaking = [one for one in counting if one.what == MAY_GO_TO and _name(one.who) in names]
    agreed_at_all = next((one for one in reversed(counting) if one.what == OWNER_AGREED), None)
    if agreed_at_all is not None and not agreed_at_all.given:
        speaking.append(agreed_at_all)
    newest = max(speaking, key=said.index, default=None)
    others = tuple(_given_to(counting, names, day))
    if newest is None:
        return MayGo(state="not asked", others=others)
    if not newest.given:
        return MayGo(state="refused", word=newest, others=others)
    return MayGo(state="agreed" if newest.holds(day) else "over", word=newest, others=others)


def spelt_as_known(said: Agreed, readers: Iterable[Reader], where: str) -> None:
    """Whether a reader whom consent names is spelt as a reader is called; `where` is the option or the field. A refusal under a
    misspelt name would hold nothing back. A person's name, capitals throughout, is nobody's slip. Raises BadInput (RE73)."""
    who = " ".join(said.who.split())
    person = not folded(who).startswith(_THE) and all(word[:1].isupper() for word in who.split())
    if person or folded(said.what) != MAY_GO_TO:
        return
    names = {_name(name): name for reader in readers for name in (reader.called, *reader.also)}
    if _name(who) in names:
        return
    if near := nearest(_name(who), names, at_least=WHOLE):
        what = f'"{who}" is much like "{names[near]}" and is not it, so that no report would heed it; nothing was kept.'
        raise BadInput(
            [Problem(where, 0, "RE73", what, "Write it so; a person is named by name, with capital letters.")]
        )


def _known_for(reader: Reader, said: Iterable[Agreed]) -> set[str]:
    """People whom other agreements name as such a reader: the practice that looks after the horse is a veterinarian."""
    return {_name(one.who) for one in said if one.what in reader.known_by and one.given}


def _given_to(counting: Iterable[Agreed], names: set[str], day: date) -> Iterable[str]:
    newest = {_name(one.who): one for one in counting if one.what == MAY_GO_TO}
    return (one.who for name, one in newest.items() if name not in names and one.given and one.holds(day))


def _name(text: str) -> str:
    return folded(text).removeprefix(_THE)
