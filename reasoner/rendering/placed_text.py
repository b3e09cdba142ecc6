"""The pages of `reasoner records move`, `withdraw` and `horse`: what counts where from now on, and what stays as it was.

In: what was done. Out: lines for the terminal.
Not here: doing it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.rendering import phrases
from reasoner.rendering.text_page import Line
from reasoner.store.consents import Agreed
from reasoner.store.place import Place
from reasoner.store.placing import Moved
from reasoner.store.reading import KnownHorse, KnownVisit
from reasoner.store.standing import Stay


def moved_lines(place: Place, done: Moved, *, by: str, why: str) -> Iterator[Line]:
    """A visit that counts at another horse now."""
    before, after = done.before, done.after
    yield Line(f"the visit of {phrases.day(before.day)} now counts at {_horse(after)} only", "title", tail=place.shown)
    yield _item(f"before it counted at {_horse(before)}; moved by {by}: {why}")
    yield from _part(after)
    yield _item("its versions, files, answers told, judgements and countersignatures went with it")
    for one in done.went:
        yield _item(f"what was agreed went with it: {_agreed(one)}; --consent-stays leaves it where it was")
    for one in done.stayed:
        yield _item(f"what was agreed stayed with {before.name}: {_agreed(one)}")
    right = " `reasoner records correct` keeps a version with the right name." if done.first != after.name else ""
    yield Line(f"Its file and its answer of that day stay as they were kept, under the name {done.first}; that answer, and "
               f"those given since, were judged with the visits that counted then.{right}")  # fmt: skip
    yield Line(f"To undo it, move it back: `reasoner records move` from {after.name} to {before.name}.", "faint")


def withdrawn_lines(place: Place, done: Moved, *, by: str, why: str, undo: bool) -> Iterator[Line]:
    """A visit that counts nowhere now, or counts again."""
    one = done.after
    state = f"counts at {_horse(one)} again" if undo else "is withdrawn and counts nowhere"
    yield Line(f"the visit to {one.name} of {phrases.day(one.day)} {state}", "title", tail=place.shown)
    yield _item(f"{'brought back' if undo else 'withdrawn'} by {by}: {why}")
    if undo:
        yield from _part(one)
        return
    yield _item("what was agreed about the horse stays: it was said of the horse")
    yield Line("It stays listed and readable: `reasoner records show --withdrawn`. Answers given while it counted stay as they "
               "were given. --undo has it count again.")  # fmt: skip


def stays_lines(
    place: Place, horse: KnownHorse, every: Sequence[Stay], *, new: bool | None, later: int,
    over: Sequence[Agreed] = (),
) -> Iterator[Line]:  # fmt: skip
    """Where a horse stood and whose it was; `later` counts its visits from the day on that was just said, and `over` is what an
    owner before agreed."""
    yield Line(f"{horse.name}: {horse.yard or 'no yard written'}", "title", tail=place.shown)
    if horse.owner:
        yield _item(f"owner: {horse.owner}")
    yield _item(f"first kept at {horse.first}" if horse.first else "first kept without a yard")
    for one in every:
        what = " and ".join(
            filter(None, (f"at {one.yard}" if one.yard else "", f"owned by {one.owner}" if one.owner else ""))
        )
        why = f": {one.why}" if one.why else ""
        yield _item(f"since {phrases.day(one.since)} {what}, said by {one.who or 'nobody named'}{why}")
    for word in over:
        yield _item(f"agreed by an owner before, and to be asked again: {_agreed(word)}")
    if new is False:
        yield Line("It was so already on that day; nothing was added.")
    elif new:
        told = "tells" if later == 1 else "tell"
        if later:
            yield _item(f"{phrases.counted(later, 'visit')} of that day or later now {told} it")
        yield Line("Kept. Earlier visits keep the yard they had, and answers stay as they were given.")


def _part(after: KnownVisit) -> Iterator[Line]:
    if after.part > 1:
        yield _item(f"{after.name} has another visit of that day; this one is found by --part {after.part}")


def _item(text: str) -> Line:
    return Line(text, mark="-", hang=2)


def _horse(one: KnownVisit) -> str:
    return f"{one.name} ({one.yard})" if one.yard else one.name


def _agreed(one: Agreed) -> str:
    return f"{one.what}, {'given' if one.given else 'refused'}, {one.who}, said on {phrases.day(one.on)}"
