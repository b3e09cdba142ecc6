"""An answer as a practitioner lets it go out: some lines in the practitioner's own words, some steps taken out or added.

In: an answer, and the changes kept of it. Out: `Edited`, with every word that was changed marked as the practitioner's.
Not here: whether a change may be made (changing.py), keeping it (store.edits), pages. The referral, its cautions, the answer
about riding and the lines to ring at are the tool's, and no change reaches them.

INVARIANT: a change is made only where the tool says what it said when the practitioner wrote; words about another sentence are
set aside and named.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, cast

from reasoner.explanation.model import Concluded, Explanation, Key
from reasoner.frozen import frozen
from reasoner.plan.model import OwnerTask, Plan, StepOf, Withheld
from reasoner.plan.referral import stop_key
from reasoner.plan.selection import held_back
from reasoner.rulebook.rulebook import Rulebook

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.plan.concerns import Referral
    from reasoner.store.edits import Edit

MARKED = "in the practitioner's words"
#: How the key of an added step begins: no page has one like it.
OWN = "own-step-"


@frozen(kw_only=True)
class SetAside:
    """A change that is not made, and why."""

    edit: Edit
    because: str


@frozen(kw_only=True)
class Edited:
    """An answer with changes in it: `made` are in it, `aside` are not."""

    answer: Answer
    made: tuple[Edit, ...]
    aside: tuple[SetAside, ...]

    @property
    def writers(self) -> tuple[str, ...]:
        """Whose words stand in it."""
        return tuple(dict.fromkeys(one.who for one in self.made if one.deed != "strike"))


class Reworded:
    """An explanation, some conclusions of which are told to the owner in other words; everything else is as it was."""

    def __init__(self, explanation: Explanation, plain: Mapping[Key, str]) -> None:
        self._plain, self._under = plain, explanation

    def __getattr__(self, name: str) -> object:
        return getattr(self._under, name)

    @property
    def concluded(self) -> Mapping[Key, Concluded]:
        """Every conclusion, in the words that go out."""
        under = self._under.concluded
        return {key: replace(one, plain=self._plain[key]) if key in self._plain else one for key, one in under.items()}


def edited(answer: Answer, edits: Iterable[Edit]) -> Edited:
    """The answer with the changes that stand (store.edits.edits_of)."""
    known = lines_of(answer)
    made: list[Edit] = []
    aside: list[SetAside] = []
    for edit in edits:
        because = _aside(edit, known, answer)
        if because:
            aside.append(SetAside(edit=edit, because=because))
        else:
            made.append(edit)
    words = {edit.at: marked(edit.words) for edit in made if edit.deed == "reword"}
    plain = {(key, side): text for (line, key, side), text in words.items() if line == "observed"}
    if not made:
        return Edited(answer=answer, made=(), aside=tuple(aside))
    told = cast("Explanation", Reworded(answer.explanation, plain)) if plain else answer.explanation
    changed = replace(answer, explanation=told)
    # Both are worked out when first asked for; here they are known already, and the plan is not the tool's alone.
    vars(changed).update(referral=answer.referral, plan=_plan(answer, words, made))
    return Edited(answer=changed, made=tuple(made), aside=tuple(aside))


def marked(words: str) -> str:
    """A sentence as the practitioner's.

    >>> marked("Walk him in hand for ten minutes.")
    "Walk him in hand for ten minutes (in the practitioner's words)."
    """
    return f"{words.strip().rstrip('.')} ({MARKED})."


def lines_of(answer: Answer) -> dict[tuple[str, str, str], str]:
    """The tool's own words of every line that can be changed, by line, key and side."""
    found: dict[tuple[str, str, str], str] = {}
    for step in answer.plan.steps:
        found["step", step.key, step.side] = step.words
        found["owner", step.key, step.side] = step.plain
    for task in answer.plan.owner_tasks:
        found["task", task.key, task.side] = task.words
    for one in observed(answer):
        found["observed", one.key, one.side] = one.plain
    return found


def observed(answer: Answer) -> Iterator[Concluded]:
    """The conclusions of the working account, whose plain words the owner reads."""
    seen: set[Key] = set()
    below = list(answer.explanation.account.starting_points)
    while below:
        chain = below.pop(0)
        for key in ((chain.key, chain.side), *chain.loop):
            if key not in seen:
                seen.add(key)
                yield answer.explanation.concluded[key]
        below = [*chain.leads, *below]


def stopped(kind: str, referral: Referral, book: Rulebook) -> str:
    """Why a step of this kind, added by the practitioner, cannot stand today; empty where it can."""
    scales = book.scales
    waits = scales.agreement if kind in scales.agreement_needed_for else None
    if waits is not None and not any(word.holds and word.allows for word in referral.releases):
        return waits.otherwise
    stops = tuple(stop_key(stop, book) for stop in scales.stopped_by.get(kind, ()))
    return next(held_back(stops, (), referral), "")


def _aside(edit: Edit, known: Mapping[tuple[str, str, str], str], answer: Answer) -> str:
    if edit.deed == "add":
        return stopped(edit.kind, answer.referral, answer.ready.book)
    if edit.deed == "strike":
        said = [words for (line, key, _), words in known.items() if (line, key) == ("step", edit.key)]
        same = edit.tool_words in said
    else:
        said = [known[edit.at]] if edit.at in known else []
        same = said == [edit.tool_words]
    if same:
        return ""
    return "The tool says something else there now." if said else "The tool does not say this any more."


# -- the plan ------------------------------------------------------------------------------------------------------------


def _plan(answer: Answer, words: Mapping[tuple[str, str, str], str], made: Sequence[Edit]) -> Plan:
    plan, visit = answer.plan, answer.visit
    struck = {edit.key: edit for edit in made if edit.deed == "strike"}
    steps = [_step(step, words) for step in plan.steps if step.key not in struck]
    steps += [_added(edit) for edit in made if edit.deed == "add"]
    order = answer.ready.book.scales.action_order
    steps.sort(key=lambda step: order.index(step.kind) if step.kind in order else len(order))  # else as they came
    out = [step for step in plan.steps if step.key in struck]
    standing = {one.key for step in steps for one in step.parts}
    gone = {one.key for step in out for one in step.parts} - standing
    days = min((step.recheck_days for step in steps if step.recheck_days is not None), default=None)
    return replace(
        plan, steps=tuple(steps),
        withheld=(*plan.withheld, *(_taken_out(step, struck[step.key]) for step in out)),
        owner_tasks=tuple(_task(task, words) for task in plan.owner_tasks if task.key not in gone),
        recheck_days=days, recheck_on=(visit.day + timedelta(days=days)).isoformat() if days is not None else "",
    )  # fmt: skip


def _step(step: StepOf, words: Mapping[tuple[str, str, str], str]) -> StepOf:
    said, plain = (words.get((line, step.key, step.side)) for line in ("step", "owner"))
    return replace(step, words=said or step.words, plain=plain or step.plain) if said or plain else step


def _task(task: OwnerTask, words: Mapping[tuple[str, str, str], str]) -> OwnerTask:
    said = words.get(("task", task.key, task.side))
    return replace(task, words=said) if said else task


def _added(edit: Edit) -> StepOf:
    text = marked(edit.words)
    return StepOf(
        key=edit.key, kind=edit.kind, side=edit.side, words=text, plain=text, dose="", because=(),
        reason=edit.because, basis=(f"the judgement of {edit.who}",), sure="", expects=(), recheck_days=None,
        can_mislead="", file="added by the practitioner",
    )  # fmt: skip


def _taken_out(step: StepOf, edit: Edit) -> Withheld:
    because = f"Taken out by {edit.who}: {edit.because.strip().rstrip('.')}."
    return Withheld(step.key, step.side, step.words, step.kind, (because,))
