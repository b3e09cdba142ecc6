"""Horses of the yard Larkhope with several visits, as text, and stores that hold them.

In: what changes from visit to visit. Out: visit files as text, `Progress`, judged visits.
Not here: expectations.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from sqlalchemy import select

from reasoner.consult import Answer, judge
from reasoner.records.before import held_of, with_history
from reasoner.records.keeping import kept_of
from reasoner.records.progress import Progress, progress_of
from reasoner.rendering.kept_json import kept_json
from reasoner.store import tables as t
from reasoner.store.fresh import now_utc
from reasoner.store.naming import added
from reasoner.store.opening import Store
from reasoner.store.reading import horse_called
from reasoner.store.saving import Saved, save
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped

HORSE = "Juniper"
#: Sore under a girth that lies against the elbow and is too tight; the plan takes the girth off and asks a fitter.
_VISIT = """\
horse: {{name: {horse}, sex: mare, born: 2016, type: middling}}
visit: {day}
yard: Larkhope
owner: the Larkhope riding group
examined by: {hands}
before the visit: {{painkillers: {painkillers}, sedation: none}}
settled under the hand: {settled}
palpation:
  girth line: {girth}
  behind the elbow: {{both: 1}}
  before the shoulder blade: {{both: 1}}
  lower neck: {{both: 1}}
  long back: {back}
{more}tacked up:
  which saddle: the brown one
  girthed: {{girth sits: against the elbow, girth tightness: very tight, girthing: quiet}}
"""
#: What the plan may do about the girth; which one depends on how sore the place is.
ABOUT_THE_GIRTH = ("leave_the_girth_off", "girth_back_in_its_groove")


def visit(
    day: str, girth: str, *, back: str = "{both: 1}", hands: str = "Wren Aldous", painkillers: str = "none",
    settled: str = "seen", horse: str = HORSE, more: str = "",
) -> str:  # fmt: skip
    """A visit file."""
    return _VISIT.format(
        day=day, girth=girth, back=back, hands=hands, painkillers=painkillers, settled=settled, horse=horse, more=more
    )


def turned(text: str) -> str:
    """The same visit with left and right exchanged in every word."""
    swap = {"left": "right", "right": "left"}
    return re.sub(r"\b(left|right)\b", lambda found: swap[found[0]], text)


def keep(store: Store, text: str) -> Saved:
    """Keep a visit, judged with those before it, as the command does."""
    data, words = text.encode(), shipped().book.vocabulary
    with store.reading() as connection:
        seen = with_history(connection, visit_from_bytes(data, "visit.yaml", words), shipped().book)
    _, kept = kept_of(data, "visit.yaml", shipped(), None, kept_json, partial(replace, history=seen.history))
    return save(store, kept, by="Wren Aldous")


def tell(
    store: Store,
    saved: Saved,
    answer: str,
    *,
    step: str = "",
    side: str = "",
    on: str = "2026-04-14",
    because: str = "",
) -> None:
    """What the owner told of a step of a kept visit; of what it does about the girth, where none is named."""
    with store.writing() as connection:
        planned = connection.execute(select(t.step.c.key).where(t.step.c.version == saved.version)).scalars().all()
        step = next(key for key in planned if key == step or (not step and key in ABOUT_THE_GIRTH))
        added(connection, t.done, version=saved.version, step=step, side=side, answer=answer, because=because, told_on=on,
              told_by="the owner", saved_at=now_utc())  # fmt: skip


def kept_course(store: Store, texts: Sequence[str], answers: Iterable[str] = ()) -> Progress:
    """Visits kept one after the other; after each the owner's answer about its girth (an empty string: nobody asked)."""
    told = [*answers, *[""] * len(texts)]
    for text, answer in zip(texts, told, strict=False):
        saved = keep(store, text)
        if answer:
            day = re.search(r"visit: (\S+)", text)
            assert day is not None
            tell(store, saved, answer, on=day[1])
    return progress(store)


def progress(store: Store, horse: str = HORSE) -> Progress:
    """The progress of the horse as it is kept."""
    with store.reading() as connection:
        known = horse_called(connection, horse)
        return progress_of(known, held_of(connection, known), shipped().book)


def judged(store: Store, text: str) -> Answer:
    """A visit judged with those kept before it, without keeping it."""
    seen = visit_from_bytes(text.encode(), "today.yaml", shipped().book.vocabulary)
    with store.reading() as connection:
        return judge(with_history(connection, seen, shipped().book), shipped())


def changes(found: Progress) -> Mapping[tuple[str, str], str]:
    """The change since the last visit by place and side."""
    return {(site.course.place, site.course.side): site.since_last.change for site in found.sites}


def days(*isos: str) -> list[date]:
    """Days."""
    return [date.fromisoformat(iso) for iso in isos]
